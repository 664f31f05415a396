//! One chamber of air in time against the closed forms of vacuum handbooks, `references/chambers.csv`: pumped down, filled, blown down.
#![allow(clippy::unwrap_used, reason = "tests")]

use super::*;
use crate::hold::Lump;
use crate::laws::air::hole;
use crate::laws::tests::{cell, check, table};
use crate::network::Opening;

const AROUND: Ambient = Ambient {
    pressure: 101_325.0,
    temperature: 293.15,
};

/// A chamber with one element between it and the air around.
struct Chamber {
    net: Network,
    room: Vec<f64>,
    inside: Node,
}

impl Chamber {
    fn new(volume: f64, element: impl Fn(Node) -> AirElement) -> Self {
        let mut net = Network::default();
        let around = net.air.node(Some(AROUND.pressure));
        assert_eq!(around, AMBIENT);
        let inside = net.air.node(None);
        net.air.elements.push((element(inside), 0));
        Self {
            net,
            room: vec![0.0, volume],
            inside,
        }
    }

    /// With a nozzle of 0.5 mm.
    fn with_nozzle(volume: f64) -> Self {
        Self::new(volume, |inside| AirElement::Restriction {
            a: AMBIENT,
            b: inside,
            conductance: hole(0.5e-3, 1.0, AROUND.temperature),
            opening: Opening::Fixed(1.0),
        })
    }

    /// Follows it from a pressure; the time it took, and the pressure at the end.
    fn follow(&self, start: f64, goal: Goal, span: f64) -> (f64, f64) {
        let mut timed = Timed {
            room: self.room.clone(),
            ..Timed::default()
        };
        let mut pressures = vec![AROUND.pressure, start];
        let end = End {
            goal,
            span,
            unseen: UNSEEN,
        };
        let time = timed.follow(&self.net, &[], AROUND, &mut pressures, end).unwrap();
        (time, pressures[self.inside])
    }

    /// Its pressure after a wait, by the integral for one volume.
    fn wait(&self, start: f64, wait: f64) -> f64 {
        let mut pressures = vec![AROUND.pressure; 2];
        Lump::of(&self.net, &[], &self.room, (start, wait, AROUND))
            .unwrap()
            .wait(wait, &mut pressures);
        pressures[self.inside]
    }
}

/// Rows of one kind: volume, pumping speed, start, end, ultimate pressure, seconds.
fn rows(kind: &str) -> Vec<[f64; 6]> {
    let all = table("chambers.csv");
    let own = all.iter().filter(|row| &row[0] == kind);
    let rows: Vec<_> = own
        .map(|row| [2, 3, 4, 5, 6, 7].map(|column| cell(row, column).unwrap_or(f64::NAN)))
        .collect();
    assert!(!rows.is_empty(), "{kind}");
    rows
}

#[test]
fn a_chamber_is_pumped_down_as_the_handbooks_say() {
    for [volume, speed, start, end, ultimate, seconds] in rows("pump-down") {
        let chamber = Chamber::new(volume, |node| AirElement::Pump {
            node,
            speed: speed * AROUND.density(1.0),
            ultimate,
        });
        let (time, _) = chamber.follow(start, Goal::Down(chamber.inside, end), 100.0);
        // A pascal a step; seen 8e-5 where a hundredth of the start is left.
        check("seconds", time, seconds, 1e-4);
    }
}

#[test]
fn a_chamber_fills_as_long_as_the_closed_form_says() {
    for [volume, _, start, end, _, seconds] in rows("fill, isothermal") {
        let chamber = Chamber::with_nozzle(volume);
        let stepped = chamber.follow(start, Goal::Rest(0.0), seconds).1;
        let summed = chamber.wait(start, seconds);
        // Choked, the law is the nozzle's own, and a step may be a pascal off; from there on the ellipse of ISO 6358 stands in its
        // place (seen 0.03 %).
        let choked = end < 0.53 * AROUND.pressure;
        let tolerance = if choked { 2e-5 } else { 5e-4 };
        check("stepped", stepped, end, tolerance);
        check("summed", summed, end, tolerance);
    }
}

#[test]
fn a_chamber_under_pressure_blows_down_as_the_closed_form_says() {
    for [volume, _, start, end, _, seconds] in rows("blow-down, isothermal") {
        let chamber = Chamber::with_nozzle(volume);
        check(
            "stepped",
            chamber.follow(start, Goal::Rest(0.0), seconds).1,
            end,
            1e-4,
        );
        check("summed", chamber.wait(start, seconds), end, 1e-4);
    }
}
