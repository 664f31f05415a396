//! Nets of openings and lines: two in a row against `SciPy`, many at random against the conservation of mass.

use super::{cell, check, table};
use crate::laws::air::{CRITICAL_RATIO, Line, hole};
use crate::network::{AirElement, Network, Opening};
use crate::steady::Solver;
use proptest::prelude::*;

/// A leak from 101 325 Pa and a restriction to a source of constant pressure: the pressure where they meet, against the
/// frictionless nozzle solved by `SciPy`. The ellipse passes up to 0.3 % less through one of the two, which moves the node by
/// less than 0.1 %; where both choke it is exact.
#[test]
fn a_leak_and_a_restriction_meet_where_scipy_says() {
    for row in table("leak_networks.csv") {
        let [leak, restriction, source, node, _, _] = std::array::from_fn(|i| cell(&row, i).unwrap());
        let mut net = Network::default();
        let (air, low, middle) = (
            net.air.node(Some(101_325.0)),
            net.air.node(Some(source)),
            net.air.node(None),
        );
        let mut opening = |a, b, millimetres: f64| {
            let conductance = hole(millimetres * 1e-3, 1.0, 293.15);
            let element = AirElement::Restriction {
                a,
                b,
                conductance,
                opening: Opening::Fixed(1.0),
            };
            net.air.elements.push((element, 0));
        };
        opening(air, middle, leak);
        opening(middle, low, restriction);
        let mut solver = Solver::default();
        solver.solve(&net, 101_325.0).unwrap();
        let both_choke = node * CRITICAL_RATIO >= source && node <= CRITICAL_RATIO * 101_325.0;
        // Where both choke only the seepage through walls is left, 1e-5 of a 0.5 mm hole.
        check(
            &format!("{row:?}"),
            solver.state.air[middle],
            node,
            if both_choke { 2e-5 } else { 1e-3 },
        );
    }
}

/// A net of random parts between ambient, a pump and a space at another pressure; node `i` hangs on one before it, so that all
/// are reached, and `extra` elements close loops.
fn random_net(links: &[(usize, usize, f64, f64)], extra: &[(usize, usize, f64, f64)], space: f64) -> Network {
    let mut net = Network::default();
    net.air.node(Some(101_325.0));
    net.air.node(Some(space));
    let mut element = |a: usize, b: usize, sort: f64, size: f64| {
        let (bore, conductance) = (size * 1e-3, hole(size * 1e-3, 0.75, 300.0));
        let element = if sort < 0.5 {
            AirElement::Restriction {
                a,
                b,
                conductance,
                opening: Opening::Fixed(1.0),
            }
        } else if sort < 0.85 {
            AirElement::Line {
                a,
                b,
                line: Line::new(bore, 200.0 * bore, 1.85e-5, 300.0),
            }
        } else {
            AirElement::CheckValve {
                a,
                b,
                conductance,
                leak: conductance * 1e-5,
                opening: 1e3,
            }
        };
        net.air.elements.push((element, 0));
    };
    for (index, &(other, _, sort, size)) in links.iter().enumerate() {
        element(index + 2, other % (index + 2), sort, size);
    }
    for &(one, other, sort, size) in extra {
        let (a, b) = (one % (links.len() + 2), other % (links.len() + 2));
        if a != b {
            element(a, b, sort, size);
        }
    }
    for _ in links {
        net.air.node(None);
    }
    net.air.elements.push((
        AirElement::Pump {
            node: 2,
            speed: 8.5e-9,
            ultimate: 6.0e3,
        },
        0,
    ));
    net
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 1000, ..ProptestConfig::default() })]

    /// At the solution every free node passes on as much air as it gets, and no pressure lies outside those of the sources.
    /// The last step is below 0.01 Pa and quadratically small after it; 1e-5 of the air that runs through a node is what that
    /// leaves where a wide hose lies between nearly equal pressures, 1e-10 kg/s where hardly any runs: a
    /// millionth of what a 1 mm hole passes.
    #[test]
    fn every_node_passes_on_what_it_gets(
        links in prop::collection::vec((0usize..99, 0usize..99, 0.0f64..1.0, 0.3f64..4.0), 1..12),
        extra in prop::collection::vec((0usize..99, 0usize..99, 0.0f64..1.0, 0.3f64..4.0), 0..6),
        space in 2.0e4f64..2.5e5,
    ) {
        let net = random_net(&links, &extra, space);
        let mut solver = Solver::default();
        let work = solver.solve(&net, 101_325.0);
        prop_assert!(work.is_ok(), "{work:?} {net:?}");
        let (low, high) = net.air.bounds(101_325.0, 1.0);
        for node in 2..net.air.fixed.len() {
            let pressure = solver.state.air[node];
            prop_assert!((low - 1e-6..=high + 1e-6).contains(&pressure), "node {node}: {pressure}");
            let (surplus, through) = solver.air_balance(&net, 101_325.0, node);
            prop_assert!(surplus.abs() <= 1e-5 * through + 1e-10, "node {node}: {surplus:e} of {through:e} in {net:?}");
        }
    }
}

/// A narrow opening leads from a space under pressure to a wide dead end. The flow into it is choked from a start at rest, so
/// that no derivative tells how far it is from full.
#[test]
fn a_dead_end_behind_a_choked_opening_fills() {
    let mut net = Network::default();
    net.air.node(Some(101_325.0));
    net.air.node(Some(221_142.7));
    let (near, far) = (net.air.node(None), net.air.node(None));
    for (a, b, conductance) in [(near, 1, 1.237e-10), (far, near, 1.65e-8)] {
        let opening = Opening::Fixed(1.0);
        net.air.elements.push((
            AirElement::Restriction {
                a,
                b,
                conductance,
                opening,
            },
            0,
        ));
    }
    let mut solver = Solver::default();
    let work = solver.solve(&net, 101_325.0);
    assert!(work.is_ok(), "{work:?}");
    // The walls' own seepage, 8e-10 kg/s, takes less than 2 Pa from it.
    assert!(
        (solver.state.air[far] - 221_142.7).abs() < 2.0,
        "{:?}",
        solver.state.air
    );
}
