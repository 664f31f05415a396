//! Copper against its tables, and the electric net against ngspice.

use super::{cell, check, table};
use crate::electric_net::{Phase, electric_flow};
use crate::laws::electric::{COPPER_RISE, copper};
use crate::network::{ElectricElement, Network, Node, Ratiometric};
use crate::steady::Solver;
use proptest::prelude::*;
use serde_json::Value;
use std::collections::BTreeMap;

/// Twenty degrees, K.
const TWENTY: f64 = 293.15;

/// `copper_awg.csv`: ASTM B258 diameters (formula from memory), printed ohms per 1000 ft at 20 °C and 75 °C.
#[test]
fn solid_wire_has_the_resistance_of_the_gauge_tables() {
    for row in table("copper_awg.csv") {
        let (gauge, area) = (&row[0], cell(&row, 2).unwrap() * 1e-6);
        // The computed columns use the same constants.
        check(
            gauge,
            copper(area, 1.0, TWENTY) * 1e3,
            cell(&row, 3).unwrap(),
            1e-8,
        );
        check(gauge, copper(area, 304.8, 348.15), cell(&row, 7).unwrap(), 1e-8);
        if let Some(printed) = cell(&row, 5) {
            // Printed to four digits: half a unit of the last one is at most 0.05 %.
            check(gauge, copper(area, 304.8, TWENTY), printed, 5e-4);
        }
        if let Some(printed) = cell(&row, 6) {
            // Printed to three digits, by a slightly other coefficient: 0.5 %.
            check(gauge, copper(area, 304.8, 348.15), printed, 5e-3);
        }
    }
}

/// `copper_temperature.csv`: the straight line by 0.00393 /K, the rule of 234.5 °C, and coils as workshops print them.
#[test]
fn copper_follows_its_temperature() {
    for row in table("copper_temperature.csv") {
        let (what, celsius, value) = (&row[0], cell(&row, 1).unwrap(), cell(&row, 2).unwrap());
        let rise = copper(1e-6, 1.0, celsius + 273.15) / copper(1e-6, 1.0, TWENTY);
        match what {
            "R(t)/R(20), 0.00393 /K" => check(what, rise, value, 1e-9),
            // Rounding 1/254.5 to 0.00393 moves it by 0.006 % at most between -40 and 120 °C.
            "R(t)/R(20), (234.5+t)/254.5" => check(what, rise, value, 1e-4),
            "14 ohm coil, (234.5+t)/254.5" => check(what, 14.0 * rise, value, 1e-4),
            // Computed with 0.0039; printed to three digits.
            "14.6 ohm coil, 0.0039 /K" => check(what, 14.6 * rise, cell(&row, 3).unwrap(), 5e-3),
            // IEC's factor rounds 0.00393 to 0.004 /K: 0.3 % at 75 °C, 0.5 % at 100 °C.
            "IEC 60228 kt = 250/(230+t)" => check(what, 1.0 / rise, value, 6e-3),
            other => panic!("unknown row {other}"),
        }
    }
    assert!((COPPER_RISE - 1.0 / 254.5).abs() < 1e-6);
}

/// A netlist of `electric_nets.json` as one of our networks.
#[derive(Default)]
struct Netlist {
    net: Network,
    nodes: BTreeMap<String, Node>,
    /// Nodes inside an element of ours: so much above another node.
    above: Vec<(String, String, f64)>,
}

/// Conductance of the resistor `ohms` as SPICE writes it.
fn siemens(ohms: &str) -> f64 {
    1.0 / number(ohms)
}

/// A number with SPICE's suffixes.
fn number(text: &str) -> f64 {
    let scaled = |digits: &str, scale: f64| digits.parse::<f64>().unwrap() * scale;
    if let Some(digits) = text.strip_suffix('k') {
        scaled(digits, 1e3)
    } else if let Some(digits) = text.strip_suffix('m') {
        scaled(digits, 1e-3)
    } else {
        scaled(text, 1.0)
    }
}

impl Netlist {
    fn read(lines: &[&str]) -> Self {
        let mut list = Self::default();
        list.net.air.node(Some(101_300.0));
        list.net.electric.node(Some(0.0));
        list.nodes.insert("0".to_owned(), 0);
        let words: Vec<Vec<&str>> = lines.iter().map(|line| line.split(' ').collect()).collect();
        // An ideal source between two free nodes joins the resistor before it in one element; so does a sensor's output.
        let inner: Vec<&str> = words
            .iter()
            .filter(|w| w[0].starts_with('E') || w[0].starts_with('V') && w[2] != "0")
            .map(|w| w[1])
            .collect();
        for w in &words {
            match w[0].as_bytes()[0] {
                b'V' if w[2] == "0" => {
                    let node = list.node(w[1]);
                    list.net.electric.fixed[node] = Some(number(w[4]));
                }
                b'V' => list.source(w, &words),
                b'E' => list.sensor(w, &words),
                b'D' => {
                    let (a, b) = (list.node(w[1]), list.node(w[2]));
                    list.push(ElectricElement::Diode {
                        a,
                        b,
                        saturation: 1e-14,
                        thermal: 25.864_917e-3,
                    });
                }
                b'R' if !inner.contains(&w[1]) && !inner.contains(&w[2]) => {
                    let (a, b) = (list.node(w[1]), list.node(w[2]));
                    list.push(ElectricElement::Conductor {
                        a,
                        b,
                        conductance: siemens(w[3]),
                    });
                }
                b'R' => {}
                _ => panic!("{w:?}"),
            }
        }
        list
    }

    fn node(&mut self, name: &str) -> Node {
        let net = &mut self.net.electric;
        *self
            .nodes
            .entry(name.to_owned())
            .or_insert_with(|| net.node(None))
    }

    fn push(&mut self, element: ElectricElement) {
        self.net.electric.elements.push((element, 0));
    }

    /// The resistor at `node`, and its far end.
    fn resistor<'a>(words: &'a [Vec<&'a str>], node: &str) -> (&'a str, f64) {
        let found = words
            .iter()
            .find(|w| w[0].starts_with('R') && w[1..3].contains(&node))
            .unwrap();
        (
            if found[1] == node { found[2] } else { found[1] },
            siemens(found[3]),
        )
    }

    fn source(&mut self, w: &[&str], words: &[Vec<&str>]) {
        let (end, conductance) = Self::resistor(words, w[1]);
        let (plus, minus, emf) = (self.node(end), self.node(w[2]), number(w[4]));
        self.push(ElectricElement::Source {
            plus,
            minus,
            emf,
            conductance,
        });
        self.above.push((w[1].to_owned(), w[2].to_owned(), emf));
    }

    fn sensor(&mut self, w: &[&str], words: &[Vec<&str>]) {
        let (end, conductance) = Self::resistor(words, w[1]);
        let (signal, minus, plus) = (self.node(end), self.node(w[4]), self.node(w[3]));
        // 101.3 kPa on 20 to 250 kPa is the share that the netlist gives.
        let scale = Ratiometric {
            low_share: 0.1,
            high_share: 0.9,
            from: 20e3,
            to: 250e3,
            offset: 0.0,
        };
        assert!((0.1 + 0.8 * (101.3 - 20.0) / 230.0 - number(w[5])).abs() < 1e-15);
        self.push(ElectricElement::Ratiometric {
            plus,
            minus,
            signal,
            conductance,
            air: 0,
            scale,
        });
    }
}

/// Node voltages of `electric_nets.json` against ours, the mean over the phases.
fn compare(name: &str, list: &Netlist, solver: &Solver, expected: &serde_json::Map<String, Value>) {
    let mean = |node: usize| match list.net.duty {
        Some(duty) => duty * solver.state.electric[0][node] + (1.0 - duty) * solver.state.electric[1][node],
        None => solver.state.electric[0][node],
    };
    for (node, value) in expected {
        let value = value.as_f64().unwrap();
        let inner = list.above.iter().find(|(inner, ..)| inner == node);
        let ours = match (inner, list.nodes.get(node)) {
            (Some((_, base, emf)), _) => mean(list.nodes[base]) + emf,
            (None, Some(node)) => mean(*node),
            // A sensor's own amplifier is inside our element.
            (None, None) if node == "out" => continue,
            (None, None) => panic!("{name}: no node {node}"),
        };
        // Every node of ours has a teraohm of insulation, and behind the ten megohms of the driver that is off
        // runs a microampere: what the insulation takes away there shows as 1e-13 V.
        assert!(
            (ours - value).abs() <= 1e-6 * value.abs() + 1e-12,
            "{name}, {node}: {ours} instead of {value}"
        );
    }
}

fn nets() -> Value {
    let path = format!(
        "{}/../../references/electric_nets.json",
        env!("CARGO_MANIFEST_DIR")
    );
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn lines(net: &Value) -> Vec<&str> {
    net["netlist"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| line.as_str().unwrap())
        .collect()
}

/// `electric_nets.json`: operating points of invented circuits by ngspice 39.
#[test]
fn operating_points_are_those_of_ngspice() {
    for net in nets()["nets"].as_array().unwrap() {
        let (name, list) = (net["name"].as_str().unwrap(), Netlist::read(&lines(net)));
        let mut solver = Solver::default();
        solver
            .solve(&list.net, 101_300.0)
            .unwrap_or_else(|error| panic!("{name}: {error:?}"));
        compare(name, &list, &solver, net["nodes"].as_object().unwrap());
    }
}

/// The same file: a driver at half duty shows the mean of its two phases.
#[test]
fn a_duty_shows_the_mean_of_its_phases() {
    let nets = nets();
    let find = |name: &Value| {
        nets["nets"]
            .as_array()
            .unwrap()
            .iter()
            .find(|net| net["name"] == *name)
            .unwrap()
    };
    for duty in nets["duty"].as_array().unwrap() {
        let (on, off) = (find(&duty["of"][0]), find(&duty["of"][1]));
        // The driver's leak is always there; it conducts beside it in the on-phase.
        let mut list = Netlist::read(&lines(off));
        let (a, b) = (list.node("pin"), list.node("case"));
        let driver = lines(on)
            .into_iter()
            .find(|line| line.starts_with("Rdriver"))
            .unwrap();
        let conductance = siemens(driver.split(' ').nth(3).unwrap()) - siemens("10e6");
        list.push(ElectricElement::Driver { a, b, conductance });
        list.net.duty = duty["share"].as_f64();
        let mut solver = Solver::default();
        solver.solve(&list.net, 101_300.0).unwrap();
        compare(
            duty["name"].as_str().unwrap(),
            &list,
            &solver,
            duty["mean"].as_object().unwrap(),
        );
    }
}

/// Any element between two of `nodes`, of any size found in a vehicle.
fn element(nodes: Node) -> impl Strategy<Value = ElectricElement> {
    let ends = (0..nodes, 1..nodes).prop_map(move |(a, step)| (a, (a + step) % nodes));
    // From a tenth of a milliohm to a megohm.
    let size = (-6.0f64..4.0).prop_map(|exponent| 10f64.powf(exponent));
    (ends, size, 0..6).prop_map(|((a, b), conductance, kind)| match kind {
        0 => ElectricElement::Source {
            plus: a,
            minus: b,
            emf: 12.6,
            conductance,
        },
        1 => ElectricElement::Limited {
            a,
            b,
            conductance,
            limit: 0.1,
        },
        2 => ElectricElement::Diode {
            a,
            b,
            saturation: 1e-14,
            thermal: 25.85e-3,
        },
        3 => ElectricElement::Filament {
            a,
            b,
            cold: 0.08 / conductance,
            hot: 1.0 / conductance,
            nominal: 12.0,
            exponent: 0.54,
        },
        4 => ElectricElement::Motor {
            a,
            b,
            resistance: 0.3 / conductance,
            constant: 0.3,
            load: 2.0 * conductance,
            drag: 0.02 * conductance,
        },
        _ => ElectricElement::Conductor { a, b, conductance },
    })
}

proptest! {
    /// Kirchhoff's current law at every node of any net, and nothing outside of what its sources can give.
    #[test]
    fn every_node_passes_on_its_current(elements in prop::collection::vec(element(7), 6..16)) {
        let mut net = Network::default();
        net.air.node(Some(101_325.0));
        net.electric.node(Some(0.0));
        // A way of ten ohms from node to node, so that none hangs in the air.
        for node in 1..7 {
            net.electric.node(None);
            net.electric.elements.push((ElectricElement::Conductor { a: node - 1, b: node, conductance: 0.1 }, 0));
        }
        let sources = elements.iter().filter(|e| matches!(e, ElectricElement::Source { .. })).count();
        net.electric.elements.extend(elements.into_iter().map(|element| (element, 0)));
        let mut solver = Solver::default();
        let work = solver.solve(&net, 101_325.0).map_err(|error| TestCaseError::fail(format!("{error:?} {net:?}")))?;
        prop_assert!(work.steps <= 60, "{} steps", work.steps);
        let v = &solver.state.electric[0];
        for node in 1..7 {
            let flows = net.electric.elements.iter().filter_map(|(element, _)| electric_flow(element, v, Phase { driven: true, pulled: &[], torques: &[] }));
            let (mut sum, mut through) = (0.0, 0.0);
            for (a, b, flow) in flows.filter(|(a, b, _)| *a == node || *b == node) {
                sum += if a == node { flow.value } else { -flow.value };
                through += 0.5 * flow.value.abs();
                prop_assert!(b != a);
            }
            // Steps end below a nanovolt per volt, which a milliohm turns into microamperes.
            prop_assert!(f64::abs(sum) <= 1e-6 * through + 1e-9, "node {node}: {sum} of {through} A");
            prop_assert!(v[node].abs() <= 12.6 * sources as f64 + 1e-6, "node {node} at {} V", v[node]);
        }
    }
}
