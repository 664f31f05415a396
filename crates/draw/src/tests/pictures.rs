//! Snapshots: what a drawing looks like. Changed pictures are looked at before they are accepted
//! (`rsvg-convert` makes an image of an SVG).

use super::bench::{sixty, starter, vacuum};
use crate::{JointNote, Notes, PartNote, Style, Theme, layout, svg, text};
use circuit::{Circuit, JointId, Place};

fn check(name: &str, circuit: &Circuit, notes: &Notes) {
    let drawing = layout(circuit);
    let style = Style {
        theme: Theme::Light,
        ..Style::default()
    };
    insta::assert_snapshot!(format!("{name}.svg"), svg(&drawing, circuit, notes, &style));
    insta::assert_snapshot!(format!("{name}.txt"), text(&drawing, circuit, notes, 100, false));
    insta::assert_snapshot!(
        format!("{name}-ascii.txt"),
        text(&drawing, circuit, notes, 80, true)
    );
}

/// Half-way through a job: some readings, some suspects, the next check.
fn half_way(circuit: &Circuit, suspects: &[(&str, f64)], readings: &[(&str, &str)], next: &str) -> Notes {
    let joint = |port: &str| {
        let at = circuit.port(port).unwrap();
        circuit.parts[at.part.0].joints[at.port].unwrap()
    };
    let parts = suspects.iter().map(|(part, share)| PartNote {
        part: circuit.part(part).unwrap(),
        share: Some(*share),
        text: (*share > 0.5).then(|| "seat leaks".to_owned()),
    });
    let joints = readings.iter().map(|(port, text)| JointNote {
        joint: joint(port),
        text: (*text).to_owned(),
    });
    Notes {
        parts: parts.collect(),
        joints: joints.collect(),
        highlight: Some(Place::Port(circuit.port(next).unwrap(), joint(next))),
    }
}

#[test]
fn vacuum_chain() {
    let circuit = vacuum();
    let suspects = [
        ("valve", 0.62),
        ("signal-line", 0.21),
        ("pump", 0.08),
        ("driver-wire", 0.012),
        ("fuse", 0.004),
    ];
    let readings = [
        ("valve.source", "21.5 inHg dead-headed"),
        ("valve.source", "12 inHg teed"),
        ("pump.inlet", "24.0 inHg"),
    ];
    check(
        "vacuum",
        &circuit,
        &half_way(&circuit, &suspects, &readings, "valve.output"),
    );
}

#[test]
fn starter_circuit() {
    let circuit = starter();
    let suspects = [("engine-strap", 0.4), ("main-cable", 0.25), ("battery", 0.1)];
    check(
        "starter",
        &circuit,
        &half_way(&circuit, &suspects, &[("battery.plus", "10.8 V")], "motor.minus"),
    );
}

#[test]
fn sixty_parts() {
    check("sixty", &sixty(), &Notes::default());
}

/// A column an author pins a part to is kept, and so is the order of pinned rows.
#[test]
fn pinned_parts_stay_where_they_are_put() {
    let mut circuit = starter();
    let pins = [("battery", (0, 1)), ("motor", (3, 0)), ("chassis", (3, 2))];
    for (part, place) in pins {
        let part = circuit.part(part).unwrap();
        circuit.parts[part.0].pinned = Some(place);
    }
    let drawing = layout(&circuit);
    let place = |part: &str| drawing.part(circuit.part(part).unwrap());
    let middle = |part: &str| place(part).x + place(part).width / 2;
    assert!((middle("motor") - middle("chassis")).abs() <= 1, "one column");
    assert!(
        place("motor").bottom() < place("chassis").y,
        "upper row above lower"
    );
    assert!(middle("battery") < middle("motor"));
}

/// The text of a drawing must not depend on colour alone, and a printed page is black on white.
#[test]
fn printed_in_black() {
    let circuit = vacuum();
    let page = svg(
        &layout(&circuit),
        &circuit,
        &Notes::default(),
        &Style {
            theme: Theme::Print,
            ..Style::default()
        },
    );
    let colours = page.match_indices('#').map(|(at, _)| {
        page[at + 1..]
            .chars()
            .take_while(char::is_ascii_hexdigit)
            .collect::<String>()
    });
    let other: Vec<String> = colours
        .filter(|colour| !["", "000", "333", "fff"].contains(&colour.as_str()))
        .collect();
    assert!(other.is_empty(), "{other:?}");
}

#[test]
fn joints_of_the_starter() {
    // No drawing fits into twenty columns: the joints are listed.
    let circuit = starter();
    let page = text(&layout(&circuit), &circuit, &Notes::default(), 20, false);
    assert!(
        page.lines().any(|line| line.starts_with("solenoid.motor")),
        "{page}"
    );
    assert_eq!(circuit.joints[0].ports.len(), 3);
    assert_eq!(
        circuit
            .joints
            .iter()
            .position(|joint| joint.name == "battery.plus"),
        Some(JointId(0).0)
    );
}

/// On a page of 640 units the starter takes three bands; every cut line has its letter twice.
#[test]
fn wide_drawings_are_cut_into_bands() {
    let circuit = starter();
    let style = Style {
        theme: Theme::Light,
        width: Some(640),
        ..Style::default()
    };
    let page = svg(&layout(&circuit), &circuit, &Notes::default(), &style);
    for letter in ['A', 'B', 'C'] {
        assert!(
            page.matches(&format!(">{letter}</text>")).count() >= 2,
            "{letter}"
        );
    }
    for part in &circuit.parts {
        assert_eq!(
            page.matches(&format!("data-part=\"{}\"", part.id)).count(),
            1,
            "{}",
            part.id
        );
    }
    insta::assert_snapshot!("starter-bands.svg", page);
}
