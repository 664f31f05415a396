//! What holds for every drawing of every circuit, also of circuits no one would build.

use super::bench::{add_joint, build, every_kind, part, sixty, starter, vacuum};
use crate::{Drawing, JointNote, Notes, PartNote, Point, Rect, Segment, Style, layout, svg, text};
use circuit::{Circuit, JointId, Medium, PartId, Place, PortRef};
use proptest::prelude::*;

/// Every law on one circuit.
pub(super) fn check(circuit: &Circuit) {
    let drawing = layout(circuit);
    parts_apart(circuit, &drawing);
    words_apart(circuit, &drawing);
    joints_connected(circuit, &drawing);
    lines_apart(circuit, &drawing);
    all_on_the_sheet(circuit, &drawing);
    touch_apart(circuit, &drawing);
    well_formed(&svg(&drawing, circuit, &full_notes(circuit), &Style::default()));
    text_fits(circuit, &drawing);
}

/// A note everywhere one can be.
pub(super) fn full_notes(circuit: &Circuit) -> Notes {
    let parts = (0..circuit.parts.len()).map(|part| PartNote {
        part: PartId(part),
        share: Some(0.3),
        text: Some("<leaks> & \"hisses\"".to_owned()),
    });
    let joints = (0..circuit.joints.len()).map(|joint| JointNote {
        joint: JointId(joint),
        text: "21.5 inHg".to_owned(),
    });
    let highlight = circuit
        .joints
        .first()
        .map(|joint| Place::Port(joint.ports[0], JointId(0)));
    Notes {
        parts: parts.collect(),
        joints: joints.collect(),
        highlight,
    }
}

fn parts_apart(circuit: &Circuit, drawing: &Drawing) {
    for a in 0..circuit.parts.len() {
        for b in 0..a {
            assert!(
                !drawing.part(PartId(a)).overlaps(&drawing.part(PartId(b))),
                "{} over {}",
                circuit.parts[a].id,
                circuit.parts[b].id
            );
        }
    }
}

/// Words stay inside their part's box and off each other, off the symbol and off the leads.
fn words_apart(circuit: &Circuit, drawing: &Drawing) {
    for (index, figure) in drawing.figures.iter().enumerate() {
        let id = &circuit.parts[index].id;
        let words = figure.words();
        let room = Rect::new(0, 0, figure.shape.width, figure.shape.height);
        for (place, word) in words.iter().enumerate() {
            assert!(
                word.x >= 0 && word.y >= 0 && word.right() <= room.right() && word.bottom() <= room.bottom(),
                "{id}: {word:?} leaves {room:?}"
            );
            assert!(
                words[..place].iter().all(|other| !other.overlaps(word)),
                "{id}: words on words {words:?}"
            );
            assert!(!figure.symbol().overlaps(word), "{id}: {word:?} on the symbol");
            for lead in &figure.leads {
                assert!(
                    !word.crossed_by(&Segment::horizontal(lead.y, lead.from, lead.to)),
                    "{id}: {word:?} on a lead"
                );
            }
        }
    }
}

/// From any port of a joint every other can be reached along its drawn line.
fn joints_connected(circuit: &Circuit, drawing: &Drawing) {
    for (index, joint) in circuit.joints.iter().enumerate() {
        let pieces = drawing.line(JointId(index));
        assert!(
            pieces
                .iter()
                .all(|piece| piece.is_horizontal() || piece.is_vertical()),
            "{}: a slanting line",
            joint.name
        );
        if joint.ports.len() < 2 {
            continue;
        }
        let mut reached = vec![drawing.port(joint.ports[0])];
        let mut open: Vec<&Segment> = pieces.iter().collect();
        loop {
            let touching = |piece: &&Segment| {
                reached.iter().any(|point| piece.holds(*point)) || reached_piece(pieces, &open, piece)
            };
            let Some(place) = open.iter().position(touching) else {
                break;
            };
            let piece = open.remove(place);
            reached.extend([piece.a, piece.b]);
        }
        assert!(open.is_empty(), "{}: pieces left over {open:?}", joint.name);
        for port in &joint.ports {
            assert!(
                reached.contains(&drawing.port(*port)),
                "{} not joined to {}",
                circuit.port_name(*port),
                joint.name
            );
        }
    }
}

/// `true` if an end of `piece` lies on a piece already reached.
fn reached_piece(all: &[Segment], open: &[&Segment], piece: &Segment) -> bool {
    let reached = all.iter().filter(|other| !open.contains(other));
    reached
        .into_iter()
        .any(|other| other.holds(piece.a) || other.holds(piece.b))
}

/// Lines keep out of boxes, and lines of different joints only ever cross.
fn lines_apart(circuit: &Circuit, drawing: &Drawing) {
    let all: Vec<(usize, Segment)> = (0..circuit.joints.len())
        .flat_map(|joint| {
            drawing
                .line(JointId(joint))
                .iter()
                .map(move |piece| (joint, *piece))
        })
        .collect();
    for (joint, piece) in &all {
        for part in 0..circuit.parts.len() {
            let inside = drawing.part(PartId(part)).crossed_by(piece);
            assert!(
                !inside,
                "{} runs through {}",
                circuit.joints[*joint].name, circuit.parts[part].id
            );
        }
    }
    for (place, (joint, piece)) in all.iter().enumerate() {
        for (other_joint, other) in all[..place].iter().filter(|other| other.0 != *joint) {
            let message = || {
                format!(
                    "{} on {}: {piece:?} {other:?}",
                    circuit.joints[*joint].name, circuit.joints[*other_joint].name
                )
            };
            if piece.is_horizontal() == other.is_horizontal() {
                assert!(
                    !piece.holds(other.a) && !piece.holds(other.b) && !other.holds(piece.a),
                    "{}",
                    message()
                );
            } else {
                // A crossing is fine; an end on the other's line would read as a branch.
                assert!(
                    [other.a, other.b].iter().all(|end| !piece.holds(*end)),
                    "{}",
                    message()
                );
                assert!(
                    [piece.a, piece.b].iter().all(|end| !other.holds(*end)),
                    "{}",
                    message()
                );
            }
        }
    }
}

fn all_on_the_sheet(circuit: &Circuit, drawing: &Drawing) {
    let (width, height) = drawing.size();
    let inside = |point: Point| (0..=width).contains(&point.x) && (0..=height).contains(&point.y);
    for part in 0..circuit.parts.len() {
        let Rect { x, y, width, height } = drawing.part(PartId(part));
        assert!(
            inside(Point { x, y })
                && inside(Point {
                    x: x + width,
                    y: y + height
                }),
            "{}",
            circuit.parts[part].id
        );
    }
    for joint in 0..circuit.joints.len() {
        assert!(
            drawing
                .line(JointId(joint))
                .iter()
                .all(|piece| inside(piece.a) && inside(piece.b)),
            "{}",
            circuit.joints[joint].name
        );
    }
}

/// No finger can hit two parts or two measuring points at once, and each area holds what it stands for.
fn touch_apart(circuit: &Circuit, drawing: &Drawing) {
    let parts: Vec<Rect> = (0..circuit.parts.len())
        .map(|part| drawing.touch(PartId(part)))
        .collect();
    let joints: Vec<Rect> = (0..circuit.joints.len())
        .map(|joint| drawing.touch_joint(JointId(joint)))
        .collect();
    for areas in [&parts, &joints] {
        for (place, area) in areas.iter().enumerate() {
            assert!(
                areas[..place].iter().all(|other| !other.overlaps(area)),
                "{area:?}"
            );
        }
    }
    for (part, area) in parts.iter().enumerate() {
        let Rect { x, y, width, height } = drawing.part(PartId(part));
        assert!(area.x <= x && area.y <= y && area.right() >= x + width && area.bottom() >= y + height);
    }
    for (joint, area) in circuit.joints.iter().zip(&joints) {
        let Point { x, y } = drawing.port(joint.ports[0]);
        assert!((area.x..=area.right()).contains(&x) && (area.y..=area.bottom()).contains(&y));
    }
}

/// Every tag that opens closes in order, and no bare `&` or quote is left in what came from outside.
fn well_formed(svg: &str) {
    let mut open: Vec<&str> = Vec::new();
    let mut rest = svg;
    while let Some(start) = rest.find('<') {
        let end = start + rest[start..].find('>').unwrap();
        let tag = &rest[start + 1..end];
        let name = tag.trim_start_matches('/').split([' ', '/']).next().unwrap();
        if tag.starts_with('/') {
            assert_eq!(open.pop(), Some(name), "closed out of order");
        } else if !tag.ends_with('/') {
            open.push(name);
        }
        assert_eq!(tag.matches('"').count() % 2, 0, "quotes in {tag}");
        rest = &rest[end + 1..];
    }
    assert!(open.is_empty(), "left open: {open:?}");
    let entities = ["&amp;", "&lt;", "&gt;", "&quot;", "&#39;"];
    assert!(
        svg.match_indices('&')
            .all(|(at, _)| entities.iter().any(|entity| svg[at..].starts_with(entity)))
    );
}

fn text_fits(circuit: &Circuit, drawing: &Drawing) {
    for (width, ascii_only) in [(30, false), (72, true), (100, false)] {
        {
            let page = text(drawing, circuit, &full_notes(circuit), width, ascii_only);
            assert!(!ascii_only || page.is_ascii(), "not ASCII: {page}");
            if width >= 72 {
                let longest = page.lines().map(|line| line.chars().count()).max().unwrap_or(0);
                assert!(longest <= width, "{longest} > {width} columns:\n{page}");
            }
            for part in circuit
                .parts
                .iter()
                .filter(|part| part.joints.iter().any(Option::is_some))
            {
                assert!(page.contains(part.id.as_str()), "{} missing:\n{page}", part.id);
            }
        }
    }
}

#[test]
fn made_up_circuits() {
    for circuit in [vacuum(), starter(), sixty()] {
        check(&circuit);
    }
}

#[test]
fn an_empty_circuit_and_a_lonely_part() {
    check(&build("Empty", ""));
    check(&build("One", "pump: vane pump"));
}

#[test]
fn the_same_circuit_gives_the_same_bytes() {
    for circuit in [vacuum(), starter(), sixty()] {
        let draw = || {
            let drawing = layout(&circuit);
            let notes = full_notes(&circuit);
            svg(&drawing, &circuit, &notes, &Style::default()) + &text(&drawing, &circuit, &notes, 100, false)
        };
        assert_eq!(draw(), draw());
    }
}

/// Readings come and go; nothing that is drawn may move for them.
#[test]
fn notes_move_nothing() {
    let circuit = vacuum();
    let drawing = layout(&circuit);
    let places = |notes: &Notes| -> Vec<String> {
        let picture = svg(
            &drawing,
            &circuit,
            notes,
            &Style {
                legend: false,
                ..Style::default()
            },
        );
        let fixed = picture.lines().filter(|line| {
            line.contains("data-part")
                || line.contains("class=\"id\"")
                || line.contains("<path") && !line.contains("pointer") && !line.contains("halo")
        });
        fixed.map(str::to_owned).collect()
    };
    assert!(
        places(&Notes::default()) == places(&full_notes(&circuit)),
        "something moved"
    );
}

/// A circuit of any parts joined in any way that respects media.
pub(super) fn any_circuit() -> impl Strategy<Value = Circuit> {
    let kinds = proptest::collection::vec(proptest::sample::select(every_kind()), 1..14);
    let pins = proptest::collection::vec(proptest::option::weighted(0.1, (0_u16..6, 0_u16..4)), 14);
    (kinds, proptest::collection::vec(0_usize..1000, 60), pins).prop_map(|(kinds, dice, pins)| {
        let mut circuit = build("Any", "");
        for (index, kind) in kinds.iter().enumerate() {
            let mut part = part(&format!("part{index}"), kind);
            part.pinned = pins[index];
            circuit.parts.push(part);
        }
        let mut dice = dice.into_iter().cycle();
        for medium in [Medium::Air, Medium::Electric, Medium::Rod] {
            join_by_dice(&mut circuit, medium, &mut dice);
        }
        circuit
    })
}

fn join_by_dice(circuit: &mut Circuit, medium: Medium, dice: &mut impl Iterator<Item = usize>) {
    let mut free: Vec<PortRef> = Vec::new();
    for (index, part) in circuit.parts.iter().enumerate() {
        let ports = (0..part.kind.ports.len()).filter(|port| part.kind.ports[*port].medium == medium);
        free.extend(ports.map(|port| PortRef {
            part: PartId(index),
            port,
        }));
    }
    while free.len() > 1 {
        let count = [2, 2, 2, 3, 4][dice.next().unwrap() % 5].min(free.len());
        let ports: Vec<PortRef> = (0..count)
            .map(|_| free.swap_remove(dice.next().unwrap() % free.len()))
            .collect();
        add_joint(circuit, &ports);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_circuit_at_all(circuit in any_circuit()) {
        check(&circuit);
    }
}
