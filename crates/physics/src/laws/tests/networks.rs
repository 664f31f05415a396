//! Two openings in a row, solved as a network.

use super::{cell, check, table};
use crate::laws::air::{CRITICAL_RATIO, hole};
use crate::network::{AirElement, Network, Opening};
use crate::steady::Solver;

/// A leak from 101 325 Pa and a restriction to a source of constant pressure: the pressure where they meet, against the
/// frictionless nozzle solved by SciPy. The ellipse passes up to 0.3 % less through one of the two, which moves the node by
/// less than 0.1 %; where both choke it is exact.
#[test]
fn a_leak_and_a_restriction_meet_where_scipy_says() {
    for row in table("leak_networks.csv") {
        let [leak, restriction, source, node, _, _] = std::array::from_fn(|i| cell(&row, i).unwrap());
        let mut net = Network::default();
        let (air, low, middle) =
            (net.air.node(Some(101_325.0)), net.air.node(Some(source)), net.air.node(None));
        let mut opening = |a, b, millimetres: f64| {
            let conductance = hole(millimetres * 1e-3, 1.0, 293.15);
            let element = AirElement::Restriction { a, b, conductance, opening: Opening::Fixed(1.0) };
            net.air.elements.push((element, 0));
        };
        opening(air, middle, leak);
        opening(middle, low, restriction);
        let mut solver = Solver::default();
        solver.solve(&net, 101_325.0).unwrap();
        let both_choke = node * CRITICAL_RATIO >= source && node <= CRITICAL_RATIO * 101_325.0;
        // Where both choke only the seepage through walls is left, 1e-5 of a 0.5 mm hole.
        check(&format!("{row:?}"), solver.state.air[middle], node, if both_choke { 2e-5 } else { 1e-3 });
    }
}
