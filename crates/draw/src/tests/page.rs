//! A drawing within a page: styled from outside, parts and measuring points as buttons or links, words of a readable size.

use super::bench::{starter, vacuum};
use super::described::{shipped, sixty_described};
use super::laws::full_notes;
use crate::{Notes, Sheet, Style, Theme, Touch, layout, stylesheet, svg};
use circuit::Circuit;

fn page(circuit: &Circuit, notes: &Notes, style: &Style) -> String {
    svg(&layout(circuit), circuit, notes, style)
}

fn outside(touch: Touch) -> Style {
    Style {
        sheet: Sheet::Outside,
        touch,
        natural: true,
        ..Style::default()
    }
}

/// Under a policy that forbids inline styles and scripts nothing of a drawing is refused, and nothing is loaded.
#[test]
fn a_strict_policy_refuses_nothing() {
    for circuit in shipped() {
        for width in [None, Some(390)] {
            let style = Style {
                width,
                ..outside(Touch::Buttons)
            };
            let page = page(&circuit, &full_notes(&circuit), &style);
            for refused in [
                "<style",
                " style=",
                "<script",
                " onclick",
                "javascript:",
                "<image",
                "url(h",
            ] {
                assert!(!page.contains(refused), "{}: {refused}", circuit.name);
            }
        }
    }
}

/// A stand-alone drawing brings the very sheet that a page would give it.
#[test]
fn the_sheet_is_the_same_inside_and_outside() {
    let circuit = vacuum();
    for theme in [Theme::Auto, Theme::Light, Theme::Dark, Theme::Print] {
        let style = Style {
            theme,
            ..Style::default()
        };
        let alone = page(&circuit, &Notes::default(), &style);
        assert!(alone.contains(&format!("<style>\n{}</style>\n", stylesheet(theme))));
    }
}

/// Every class that is drawn has a rule, so that nothing stays unseen, and every rule begins with the drawing's own class.
#[test]
fn every_class_has_its_rule() {
    let sheet = stylesheet(Theme::Auto);
    for circuit in shipped().into_iter().chain([sixty_described(), starter()]) {
        let page = page(&circuit, &full_notes(&circuit), &outside(Touch::Buttons));
        for classes in page.split("class=\"").skip(1) {
            for class in classes.split('"').next().unwrap().split(' ') {
                let group = ["circuit", "part", "joint", "shade"].contains(&class);
                assert!(group || sheet.contains(&format!(".{class}")), "{class}");
            }
        }
    }
    for rule in sheet
        .lines()
        .filter(|line| line.contains('{') && !line.starts_with('@'))
    {
        assert!(rule.starts_with(".circuit"), "{rule}");
    }
}

/// As buttons all parts and joints take the focus and say what they are; as a picture none does.
#[test]
fn parts_and_joints_as_buttons() {
    let circuit = vacuum();
    let notes = full_notes(&circuit);
    let buttons = page(&circuit, &notes, &outside(Touch::Buttons));
    let wanted = circuit.parts.len() + circuit.joints.len();
    assert_eq!(
        buttons
            .matches(r#" tabindex="0" role="button" aria-label=""#)
            .count(),
        wanted
    );
    assert!(buttons.contains(r#"role="group" aria-label="Vacuum chain"#));
    for part in &circuit.parts {
        assert_eq!(buttons.matches(&format!("data-part=\"{}\"", part.id)).count(), 1);
    }
    for joint in &circuit.joints {
        let start = format!("<g class=\"joint\" data-joint=\"{}\" tabindex", joint.name);
        assert_eq!(buttons.matches(&start).count(), 1, "{start}");
    }
    let picture = page(&circuit, &notes, &outside(Touch::Nothing));
    assert!(!picture.contains("tabindex") && picture.contains(r#"role="img""#));
}

/// Links work without a script; an id stands in them percent-encoded.
#[test]
fn parts_and_joints_as_links() {
    let mut circuit = vacuum();
    circuit.parts[0].id = "a pump/β".to_owned();
    let touch = Touch::Links {
        part: "/jobs/7/parts/{}?a=1&b=2".to_owned(),
        joint: "/jobs/7/joints/{}".to_owned(),
    };
    let page = page(&circuit, &Notes::default(), &outside(touch));
    assert!(page.contains(
        r#"<a href="/jobs/7/parts/a%20pump%2F%CE%B2?a=1&amp;b=2" aria-label="a pump/β: vane pump">"#
    ));
    assert!(page.contains(r#"<a href="/jobs/7/joints/valve.source" aria-label="valve.source">"#));
    assert_eq!(
        page.matches("<a href").count(),
        circuit.parts.len() + circuit.joints.len()
    );
    assert_eq!(page.matches("<a href").count(), page.matches("</a>").count());
}

/// At its own scale no word is smaller than 11 pixels, and on a phone of 390 pixels nothing of a shipped circuit runs out
/// of sight.
#[test]
fn words_read_on_a_phone() {
    let sheet = stylesheet(Theme::Auto);
    let sizes = |text: &str, before: &str| -> Vec<u32> {
        let digits = |rest: &str| rest.chars().take_while(char::is_ascii_digit).collect::<String>();
        text.split(before)
            .skip(1)
            .map(|rest| digits(rest).parse().unwrap())
            .collect()
    };
    let in_rules = sizes(&sheet, "font-size:");
    assert!(
        in_rules.len() > 4 && in_rules.iter().all(|size| *size >= 11),
        "{in_rules:?}"
    );
    for circuit in shipped() {
        let style = Style {
            width: Some(390),
            ..outside(Touch::Buttons)
        };
        let mut notes = full_notes(&circuit);
        notes.parts.iter_mut().for_each(|note| note.text = None);
        let page = page(&circuit, &notes, &style);
        assert!(
            sizes(&page, "font-size=\"").iter().all(|size| *size >= 11),
            "{}",
            circuit.name
        );
        let width = sizes(&page, " width=\"")[0];
        assert!(width <= 390, "{}: {width} wide", circuit.name);
        assert!(
            page.contains("viewBox=\"0 0 ") && !page.contains('…'),
            "{}",
            circuit.name
        );
    }
}

/// Shares are told by a figure and by ever denser hatching.
#[test]
fn denser_is_likelier() {
    let circuit = vacuum();
    let mut notes = full_notes(&circuit);
    let shares = [0.005, 0.03, 0.1, 0.3, 0.7];
    for (note, share) in notes.parts.iter_mut().zip(shares) {
        note.share = Some(share);
    }
    notes.parts.truncate(shares.len());
    let page = page(&circuit, &notes, &outside(Touch::Nothing));
    let levels: Vec<&str> = page
        .split("data-level=\"")
        .skip(1)
        .map(|rest| &rest[..1])
        .collect();
    assert_eq!(levels, ["1", "2", "3", "4"]);
    for figure in ["&lt; 1 %", "3 %", "10 %", "30 %", "70 %"] {
        assert!(
            page.contains(&format!("<tspan class=\"share\">{figure}</tspan>")),
            "{figure}"
        );
    }
}

/// The letters at cut lines stand clear of each other.
#[test]
fn letters_at_cuts_stand_apart() {
    for circuit in shipped().into_iter().chain([sixty_described()]) {
        for width in [390, 640, 1000] {
            let style = Style {
                width: Some(width),
                ..outside(Touch::Buttons)
            };
            let page = page(&circuit, &full_notes(&circuit), &style);
            let mut run: Vec<(i32, i32)> = Vec::new();
            let mut found = 0;
            // The circles of a band's cuts stand together, each followed by its letter.
            for line in page
                .lines()
                .filter(|line| !line.starts_with("<text class=\"small\""))
            {
                let Some(rest) = line.strip_prefix("<circle class=\"spot\" cx=\"") else {
                    run.clear();
                    continue;
                };
                let numbers: Vec<i32> = rest.split('"').filter_map(|number| number.parse().ok()).collect();
                let (x, y, r) = (numbers[0], numbers[1], numbers[2]);
                for (other_x, other_y) in &run {
                    let apart = (x - other_x).abs().max((y - other_y).abs());
                    assert!(apart >= 2 * r, "{}: {apart} at {width}", circuit.name);
                }
                run.push((x, y));
                found += 1;
            }
            // A short circuit fits on a wide page; on a telephone's every one is cut.
            assert!(
                found > 0 || width == 1000,
                "{} has no cut at {width}",
                circuit.name
            );
        }
    }
}
