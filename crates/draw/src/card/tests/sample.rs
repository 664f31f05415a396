//! An invented card: a vacuum circuit of fourteen parts, as a planner might lay it out. All figures are made up.

use crate::{CardAction, CardBranch, CardGiven, CardStep, CardTarget, TestCard};

const CURED: &str = "works: finish with the proof";

fn branch(words: &str, share: f64, to: CardTarget) -> CardBranch {
    CardBranch {
        words: words.to_owned(),
        share,
        to,
    }
}

fn step(action: CardAction, heading: &str, lines: &[&str], branches: Vec<CardBranch>) -> CardStep {
    CardStep {
        action,
        heading: heading.to_owned(),
        lines: lines.iter().map(|line| (*line).to_owned()).collect(),
        caution: None,
        branches,
    }
}

/// A check whose outcomes lead to steps.
fn check(heading: &str, lines: &[&str], branches: &[(&str, f64, usize)]) -> CardStep {
    let branches = branches
        .iter()
        .map(|(words, share, number)| branch(words, *share, CardTarget::Step(*number)));
    step(CardAction::Check, heading, lines, branches.collect())
}

/// A repair that cures or leads to `next`.
fn replace(heading: &str, lines: &[&str], cured: f64, next: CardTarget) -> CardStep {
    let branches = vec![
        branch("cured", cured, CardTarget::Done(CURED.to_owned())),
        branch("not cured", 1.0 - cured, next),
    ];
    step(CardAction::Replace, heading, lines, branches)
}

fn to(number: usize) -> CardTarget {
    CardTarget::Step(number)
}

fn ask() -> CardTarget {
    CardTarget::Ask("rarer: ask the program again".to_owned())
}

fn warned(caution: &str, step: CardStep) -> CardStep {
    CardStep {
        caution: Some(caution.to_owned()),
        ..step
    }
}

fn beyond(lines: &[&str]) -> CardStep {
    step(CardAction::LookBeyond, "Look beyond this circuit", lines, vec![])
}

/// See the module's header.
pub(crate) fn vacuum() -> TestCard {
    let mut ends_here = check(
        "Look at vent-filter: cap off, blow through",
        &["Engine off; 3 min"],
        &[("free", 0.35, 30)],
    );
    ends_here.branches.insert(0, branch("blocked", 0.65, ask()));
    TestCard {
        title: "Vacuum wastegate: pump, reservoir, duty valve, actuator (invented)".to_owned(),
        subtitle: "Codes P0299, P2263. Complaint: no power uphill. At 1,600 m. Before any reading.".to_owned(),
        given: CardGiven::default(),
        facts: [
            ("expected cost", "142 (48 min and parts)"),
            ("no plan can be below", "137"),
            ("gap", "4 %"),
            ("parts first, likeliest first", "391"),
        ]
        .map(|(name, value)| (name.to_owned(), value.to_owned()))
        .to_vec(),
        cautions: [
            "Engine running: exhaust gas out of the building, no sleeves or cords near belts and fan, gauge hose tied away.",
            "Turbocharger and pipes burn for half an hour after driving: gloves, or the cold checks first.",
        ]
        .map(str::to_owned)
        .to_vec(),
        steps: steps(ends_here),
        foot: [
            "The vehicle maker's service information, local law and licensed practice come before this card.",
            "Made from circuit vacuum-sample (invented), prices and minutes of an invented shop, seed 1. Any step may be left: enter what you found and ask the program again.",
        ]
        .map(str::to_owned)
        .to_vec(),
    }
}

fn steps(ends_here: CardStep) -> Vec<CardStep> {
    let mut steps = source_side();
    steps.extend(electric_side());
    steps.extend(signal_side(ends_here));
    steps
}

/// Steps 1 to 12: pump, its line, reservoir, filter.
fn source_side() -> Vec<CardStep> {
    vec![
        check(
            "Vacuum at valve.source, hose off and gauge on the source side, at idle",
            &["Cover off (4 min, once). Other end stays open. Healthy 19 to 21.5 inHg. 3 min"],
            &[
                ("under 3 inHg", 0.14, 2),
                ("3 to 16", 0.22, 9),
                ("16 and up", 0.64, 13),
            ],
        ),
        check(
            "Vacuum at pump.inlet, gauge straight on the pump, at idle",
            &["Healthy 20 to 22 inHg. 4 min"],
            &[("under 3 inHg", 0.55, 3), ("3 and up", 0.45, 6)],
        ),
        replace("Replace pump", &["Look at the drive first. 75 min"], 0.93, to(4)),
        replace(
            "Replace check-valve, arrow towards the pump",
            &["10 min"],
            0.72,
            to(5),
        ),
        beyond(&["Camshaft drive of the pump, oil supply."]),
        check(
            "Look at source-line from end to end: bend it, tug at its ends",
            &["Engine off. 5 min"],
            &[("split or off", 0.7, 7), ("whole", 0.3, 8)],
        ),
        replace("Replace source-line", &["3.0 mm bore, 15 min"], 0.96, ask()),
        replace(
            "Replace reservoir",
            &["Shell cracks at the seam. 20 min"],
            0.81,
            ask(),
        ),
        check(
            "Hold at source-line, hand pump to 20 inHg, close, read after 60 s",
            &["Unplugged at both ends. Healthy: 19 and up. 5 min"],
            &[("under 15 inHg", 0.41, 10), ("15 and up", 0.59, 12)],
        ),
        replace("Replace source-line", &["15 min"], 0.77, to(11)),
        replace("Replace reservoir", &["20 min"], 0.9, ask()),
        replace("Clean or replace filter", &["8 min"], 0.58, to(4)),
    ]
}

/// Steps 13 to 21: what drives the valve.
fn electric_side() -> Vec<CardStep> {
    vec![
        warned(
            "Rod and flap move by themselves: fingers away.",
            check(
                "Vacuum at actuator.port, gauge teed in, at idle, valve commanded 65 %",
                &["Healthy 11 to 14 inHg. 4 min"],
                &[
                    ("under 1 inHg", 0.36, 14),
                    ("1 to 9", 0.2, 22),
                    ("9 to 15", 0.38, 25),
                    ("15 and up", 0.06, 29),
                ],
            ),
        ),
        check(
            "Volts at valve.plus from the back of the plug, key on, all plugged in",
            &["Healthy: within 0.5 V of the battery. 3 min"],
            &[("under 9 V", 0.27, 15), ("9 and up", 0.73, 18)],
        ),
        check(
            "Look at fuse, and volts on both its sides",
            &["2 min"],
            &[("blown", 0.3, 16), ("whole", 0.7, 17)],
        ),
        replace(
            "Replace fuse, find what blew it",
            &["Coil under 8 ohm? 10 min"],
            0.6,
            ask(),
        ),
        replace("Repair feed wire at its joint", &["30 min"], 0.88, to(5)),
        check(
            "Ohms across valve's own pins, unplugged, key off",
            &["Healthy 28 to 36 ohm at 20 C. 3 min"],
            &[("under 20 or over 60", 0.52, 19), ("20 to 60", 0.48, 20)],
        ),
        replace(
            "Replace valve: new one 28 to 36 ohm before fitting",
            &["15 min"],
            0.97,
            ask(),
        ),
        check(
            "Does valve click when commanded?",
            &["One switches, one listens. 2 min"],
            &[("yes", 0.33, 22), ("no", 0.67, 21)],
        ),
        replace(
            "Repair driver wire between module and valve",
            &["30 min"],
            0.74,
            to(19),
        ),
    ]
}

/// From step 22: valve to flap, sensor, vent.
fn signal_side(ends_here: CardStep) -> Vec<CardStep> {
    vec![
        check(
            "Hold at signal-line, hand pump to 20 inHg, close, read after 60 s",
            &["4 min"],
            &[("under 15 inHg", 0.47, 23), ("15 and up", 0.53, 24)],
        ),
        replace("Replace signal-line", &["3.0 mm bore, 10 min"], 0.95, ask()),
        replace(
            "Replace valve",
            &["Weak but clicking: sticks half-way. 15 min"],
            0.71,
            to(27),
        ),
        check(
            "Travel of the rod at actuator: hand pump slowly to full",
            &["Healthy 10 to 13 mm, begins at 4 inHg, holds. 5 min"],
            &[("under 8 mm", 0.37, 26), ("8 and up", 0.63, 28)],
        ),
        replace(
            "Free and grease flap and rod",
            &["Only when cold. 25 min"],
            0.41,
            to(27),
        ),
        replace(
            "Replace actuator: new one holds 20 inHg for 60 s before fitting",
            &["Set the rod. 90 min"],
            0.86,
            to(32),
        ),
        check(
            "Module's data: boost sensor with key on, engine off",
            &["Healthy: the barometer, 83 to 85 kPa here. 2 min"],
            &[("off by 4 kPa or more", 0.21, 31), ("right", 0.79, 33)],
        ),
        ends_here,
        replace("Replace valve: vents too slowly", &["15 min"], 0.83, ask()),
        replace("Replace boost sensor", &["10 min"], 0.9, ask()),
        beyond(&["Charge-air leaks, exhaust restriction, the turbocharger's own wheel."]),
        beyond(&["Charge-air pipes under pressure, intake, fuel, exhaust restriction."]),
    ]
}

/// Twelve checks, each made when the one before it was good; in truth a plan would stop earlier.
pub(crate) fn chain() -> TestCard {
    let places = ["battery.plus", "fuse.out", "relay.switched", "motor.plus"];
    let looks = (0..12).map(|index| {
        let heading = format!("Volts at {} from the back of the plug, key on", places[index % 4]);
        let mut step = check(
            &heading,
            &["Healthy: within 0.5 V of the battery. 3 min"],
            &[("under 9 V", 0.2, 13 + index), ("9 and up", 0.8, 2 + index)],
        );
        if index == 11 {
            step.branches[1].to = CardTarget::Done("look beyond this circuit".to_owned());
        }
        step
    });
    let repairs = (0..12).map(|_| replace("Repair wire at its joint", &["15 min"], 0.9, ask()));
    TestCard {
        title: "Twelve checks in a chain (invented)".to_owned(),
        steps: looks.chain(repairs).collect(),
        ..vacuum()
    }
}
