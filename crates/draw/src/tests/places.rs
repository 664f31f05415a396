//! Where things stand: in shipped circuits and one of sixty parts, after a change that should move nothing, where the
//! author pinned them, and how large the areas for a finger are.

use super::bench::{branches, sixty, starter, vacuum};
use super::described::{SHIPPED, read, shipped, sixty_described};
use super::laws::{any_circuit, check, full_notes};
use crate::{Drawing, JointNote, Notes, PartNote, Rect, Segment, layout};
use circuit::{Circuit, JointId, PartId};
use proptest::prelude::*;

/// Boxes and lines.
fn places(circuit: &Circuit) -> (Vec<Rect>, Vec<Vec<Segment>>) {
    let drawing = layout(circuit);
    let parts = (0..circuit.parts.len()).map(|part| drawing.part(PartId(part)));
    let lines = (0..circuit.joints.len()).map(|joint| drawing.line(JointId(joint)).to_vec());
    (parts.collect(), lines.collect())
}

/// Columns of parts, top to bottom, with the height of each.
fn columns(drawing: &Drawing, circuit: &Circuit) -> Vec<Vec<(usize, i32)>> {
    let parts = circuit.parts.len();
    let own = |cells: &Vec<usize>| {
        let own = cells.iter().filter(|cell| **cell < parts);
        own.map(|cell| (*cell, drawing.part(PartId(*cell)).y)).collect()
    };
    drawing.plan.columns.iter().map(own).collect()
}

fn column_of(drawing: &Drawing, part: PartId) -> usize {
    let holds = |cells: &Vec<usize>| cells.contains(&part.0);
    drawing.plan.columns.iter().position(holds).unwrap()
}

#[test]
fn shipped_circuits_keep_every_law() {
    for circuit in shipped() {
        check(&circuit);
    }
}

#[test]
fn sixty_real_parts_keep_every_law() {
    check(&sixty_described());
}

/// A ceiling for each: who changes the layout sees at once if lines cross more often than they did.
#[test]
fn few_lines_cross() {
    for (name, text, most) in SHIPPED {
        let found = layout(&read(name, text)).crossings();
        assert!(found <= most, "{name}: {found} crossings, {most} are enough");
    }
    for (circuit, most) in [
        (vacuum(), 0),
        (starter(), 1),
        (sixty(), 9),
        (sixty_described(), 37),
    ] {
        let found = layout(&circuit).crossings();
        assert!(
            found <= most,
            "{}: {found} crossings, {most} are enough",
            circuit.name
        );
    }
}

/// Current is drawn from its source through what switches it to what uses it, however many branches share a feed.
#[test]
fn current_flows_from_left_to_right() {
    for circuit in shipped().into_iter().chain([sixty_described()]) {
        let drawing = layout(&circuit);
        for (part, kind) in circuit.parts.iter().map(|part| part.kind.name).enumerate() {
            let pairs: &[(&str, &str)] = match kind {
                "relay" => &[("30", "87"), ("86", "85")],
                "starter solenoid" => &[("30", "motor"), ("50", "ground")],
                "glow plug" | "lamp" | "motor" => &[("plus", "minus")],
                "low-side driver" => &[("pin", "ground")],
                _ => &[],
            };
            for (from, to) in pairs {
                let id = &circuit.parts[part].id;
                let at = |port: &str| drawing.port(circuit.port(&format!("{id}.{port}")).unwrap());
                assert!(
                    at(from).x < at(to).x,
                    "{}: {id} from {from} to {to}",
                    circuit.name
                );
            }
        }
    }
}

/// A value is no part of the drawing.
#[test]
fn another_value_moves_nothing() {
    let changes = [
        ("bore = \"3.5 mm\"", "bore = \"4.25 mm ± 3 %\""),
        ("bore = \"3.5 mm\"", "bore = \"4.25 mm ± 3 %\""),
        ("length = \"1.2 m\"", "length = \"2.75 m\""),
    ];
    for ((name, text, _), (from, to)) in SHIPPED.into_iter().zip(changes) {
        assert!(text.contains(from), "{name}: {from}");
        let changed = read(name, &text.replace(from, to));
        assert_eq!(places(&read(name, text)), places(&changed), "{name}");
    }
}

/// Suspects and readings come and go; the drawing stays where it is, whatever they say.
#[test]
fn other_suspects_and_readings_move_nothing() {
    let picture = |circuit: &Circuit, notes: &Notes| {
        let style = crate::Style {
            legend: false,
            ..crate::Style::default()
        };
        let picture = crate::svg(&layout(circuit), circuit, notes, &style);
        let fixed = picture.lines().filter(|line| {
            let place = ["data-part=", "class=\"id\"", "class=\"spot\"", "class=\"touch\""];
            place.iter().any(|place| line.contains(place))
        });
        fixed.map(str::to_owned).collect::<Vec<String>>()
    };
    for circuit in shipped() {
        let other = Notes {
            parts: (0..circuit.parts.len())
                .map(|part| PartNote {
                    part: PartId(part),
                    share: Some(0.99 / (part + 1) as f64),
                    text: None,
                })
                .collect(),
            joints: (0..circuit.joints.len())
                .map(|joint| JointNote {
                    joint: JointId(joint),
                    text: "0.02 V".to_owned(),
                })
                .collect(),
            highlight: None,
        };
        let plain = picture(&circuit, &Notes::default());
        assert!(!plain.is_empty());
        assert_eq!(
            plain,
            picture(&circuit, &full_notes(&circuit)),
            "{}",
            circuit.name
        );
        assert_eq!(plain, picture(&circuit, &other), "{}", circuit.name);
    }
}

/// Every part and measuring point of a shipped circuit can be hit with a finger.
#[test]
fn shipped_parts_are_large_enough_for_a_finger() {
    for circuit in shipped().into_iter().chain([sixty_described()]) {
        let drawing = layout(&circuit);
        for part in 0..circuit.parts.len() {
            let Rect { width, height, .. } = drawing.touch(PartId(part));
            assert!(
                width >= 48 && height >= 48,
                "{}: {width} by {height}",
                circuit.parts[part].id
            );
        }
        for joint in 0..circuit.joints.len() {
            let Rect { width, height, .. } = drawing.touch_joint(JointId(joint));
            // Pins of one plug are neighbours: each has half the way to the next.
            assert!(
                width >= 24 && height >= 30,
                "{}: {width} by {height}",
                circuit.joints[joint].name
            );
        }
    }
}

/// What follows a pinned part stands right of it, what leads to it left of it.
#[test]
fn the_rest_flows_around_a_pin() {
    for (name, text, _) in SHIPPED.into_iter().take(2) {
        let pinned = text.replace("[part.valve]\n", "[part.valve]\nplace = [9, 0]\n");
        assert_ne!(pinned, text);
        let circuit = read(name, &pinned);
        check(&circuit);
        let drawing = layout(&circuit);
        let column = |id: &str| column_of(&drawing, circuit.part(id).unwrap());
        assert!(column("pump") < column("valve"), "{name}");
        for right in ["actuator", "driver-wire"] {
            assert!(column("valve") < column(right), "{name}: {right}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    /// A longer name makes its box wider and moves nothing up, down or into another column.
    #[test]
    fn a_new_name_keeps_the_places(circuit in any_circuit(), part in 0_usize..100, name in "[a-z]{1,24}") {
        let before = columns(&layout(&circuit), &circuit);
        let mut renamed = circuit;
        let part = part % renamed.parts.len();
        renamed.parts[part].id = name;
        prop_assert_eq!(before, columns(&layout(&renamed), &renamed));
    }

    /// Pinned parts stand in the order of their columns, and of their rows within one.
    #[test]
    fn pins_are_kept(circuit in any_circuit()) {
        let drawing = layout(&circuit);
        let pins = circuit.parts.iter().enumerate();
        let pins: Vec<_> = pins.filter_map(|(part, spec)| Some((PartId(part), spec.pinned?))).collect();
        for (a, (a_column, a_row)) in &pins {
            for (b, (b_column, b_row)) in &pins {
                let found = column_of(&drawing, *a).cmp(&column_of(&drawing, *b));
                prop_assert_eq!(found, a_column.cmp(b_column));
                if a_column == b_column && a_row < b_row {
                    prop_assert!(drawing.part(*a).bottom() <= drawing.part(*b).y);
                }
            }
        }
    }
}

/// Many more parts than anyone draws on one sheet are laid out all the same.
#[test]
fn two_hundred_parts() {
    let circuit = branches(11);
    assert_eq!(circuit.parts.len(), 204);
    let drawing = layout(&circuit);
    let apart = |a: usize, b: usize| !drawing.part(PartId(a)).overlaps(&drawing.part(PartId(b)));
    assert!((0..204).all(|a| (0..a).all(|b| apart(a, b))));
}
