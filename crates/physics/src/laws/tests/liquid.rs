//! Liquid: lines as `fluids` computes them, viscosity over temperature beside a hydrocarbon of the class, closed forms, laws.

use super::{cell, check, table};
use crate::laws::air::Flow;
use crate::laws::liquid::{DIESEL, Feed, Fuel, Line, Liquid, Loss, PETROL, Pump, draw, line, loss, valve};
use proptest::prelude::*;

/// `fluids` 1.3.1. It takes 64/Re below Re 2040, where Churchill's formula is 64/Re to 1e-5, and the inverse here is a table.
#[test]
fn a_line_takes_what_the_table_says() {
    for row in table("liquid_lines.csv") {
        let [density, viscosity, bore, length, flow, reynolds, _, drop] =
            std::array::from_fn(|i| cell(&row, i).unwrap());
        let law = Line::new(bore, length, Liquid { density, viscosity });
        let found = line(law, 3e5 + drop, 3e5).value;
        check(&format!("Re {reynolds}"), found, flow, 1e-3);
    }
}

/// Hagen and Poiseuille: Δp = 128 μ L Q/(π D⁴).
#[test]
fn slow_flow_is_hagen_poiseuilles() {
    let liquid = Liquid {
        density: 833.0,
        viscosity: 3e-3,
    };
    let (bore, length, flow): (f64, f64, f64) = (6e-3, 2.0, 4e-6);
    let drop = 128.0 * liquid.viscosity * length * flow / (std::f64::consts::PI * bore.powi(4));
    check(
        "laminar",
        line(Line::new(bore, length, liquid), 1e5 + drop, 1e5).value,
        flow,
        1e-6,
    );
}

/// `CoolProp` 8.0.0, n-dodecane: ASTM D341's straight line through 20 and 40 °C meets the rest within 2.1 %, far nearer than
/// one knows a fuel. The standard itself only claims to interpolate.
#[test]
fn viscosity_falls_as_that_of_a_hydrocarbon() {
    let rows = table("liquid_viscosity.csv");
    let at = |kelvin: f64| {
        let row = rows
            .iter()
            .find(|row| (cell(row, 0).unwrap() - kelvin).abs() < 0.01)
            .unwrap();
        (cell(row, 1).unwrap(), cell(row, 2).unwrap())
    };
    let fuel = Fuel {
        density: at(293.15).0 + 0.7 * 5.0,
        viscosity: [at(293.15).1, at(313.15).1],
    };
    for row in &rows {
        let [kelvin, density, viscosity] = std::array::from_fn(|i| cell(row, i).unwrap());
        let found = fuel.at(kelvin);
        check(
            &format!("ν at {kelvin}"),
            found.viscosity / found.density * 1e6,
            viscosity,
            0.021,
        );
        // 0.7 instead of 0.74 kg/(m3 K) over 40 K.
        check(&format!("ρ at {kelvin}"), found.density, density, 0.005);
    }
}

/// EN 590: 2.0 to 4.5 mm2/s at 40 °C and 820 to 845 kg/m3 at 15 °C; EN 228: 720 to 775 kg/m3 at 15 °C. From memory.
#[test]
fn fuels_are_within_their_standards() {
    let nu = |fuel: Fuel, kelvin: f64| fuel.at(kelvin).viscosity / fuel.at(kelvin).density * 1e6;
    assert!((2.0..4.5).contains(&nu(DIESEL, 313.15)) && (820.0..845.0).contains(&DIESEL.at(288.15).density));
    assert!((720.0..775.0).contains(&PETROL.at(288.15).density) && nu(PETROL, 293.15) < 1.0);
    assert!(
        nu(DIESEL, 263.15) > 2.0 * nu(DIESEL, 293.15),
        "cold diesel is thick"
    );
}

const MOTOR: Pump = Pump {
    displacement: 7e-8,
    leak: 1.5e-11,
    resistance: 0.6,
    constant: 0.0147,
    load: 0.035,
    drag: 6e-5,
};
const FEED: Feed = Feed {
    voltage: 13.5,
    resistance: 0.15,
};
const AMBIENT: f64 = 101_325.0;

fn laws() -> [fn(f64, f64) -> Flow; 5] {
    [
        |a, b| line(Line::new(7e-3, 3.0, DIESEL.at(300.0)), a, b),
        |a, b| loss(Loss::opening(1.2e-3, DIESEL.at(300.0)), a, b),
        |a, b| valve(2e5, Loss::opening(3e-3, DIESEL.at(300.0)), a, b),
        |a, b| Flow {
            value: draw(2e-5, 1e5, 1.5e5, a).value - 1e-11 * b,
            by_a: draw(2e-5, 1e5, 1.5e5, a).by_a,
            by_b: -1e-11,
        },
        |a, b| MOTOR.flow(FEED, a, b, AMBIENT),
    ]
}

proptest! {
    /// Against central differences, away from the kinks: equal pressures, and the ends of a load's and a filling's way.
    #[test]
    fn derivatives_are_exact(a in 4.0e4f64..9.0e5, b in 4.0e4f64..9.0e5) {
        for (index, law) in laws().into_iter().enumerate() {
            let near = |x: f64, kink: f64| (x - kink).abs() < 300.0;
            prop_assume!((a - b).abs() > 2e3);
            prop_assume!(![1e5, 1.5e5, 0.5 * AMBIENT, 0.7 * AMBIENT].iter().any(|kink| near(a, *kink)));
            let step = 0.5;
            let flow = law(a, b);
            let by_a = (law(a + step, b).value - law(a - step, b).value) / (2.0 * step);
            let by_b = (law(a, b + step).value - law(a, b - step).value) / (2.0 * step);
            let scale = flow.by_a.abs() + flow.by_b.abs() + 1e-14;
            prop_assert!((flow.by_a - by_a).abs() < 1e-3 * scale, "law {index} at {a}, {b}: {} {by_a}", flow.by_a);
            prop_assert!((flow.by_b - by_b).abs() < 1e-3 * scale, "law {index} at {a}, {b}: {} {by_b}", flow.by_b);
        }
    }

    #[test]
    fn flow_reverses_with_pressure(a in 1.0e4f64..9.0e5, b in 1.0e4f64..9.0e5) {
        for law in &laws()[..2] {
            prop_assert!((law(a, b).value + law(b, a).value).abs() <= 0.0);
        }
    }

    /// A pump within the half of its stall that it is used in, and everything passive: more before or less behind never means
    /// less.
    #[test]
    fn more_pressure_before_never_means_less_flow(a in 5.0e4f64..6.0e5, b in 5.0e4f64..6.0e5, more in 0.0f64..2.0e4) {
        for (index, law) in laws().into_iter().enumerate() {
            prop_assert!(law(a + more, b).value >= law(a, b).value - 1e-18, "law {index}");
            prop_assert!(law(a, b + more).value <= law(a, b).value + 1e-18, "law {index}");
        }
    }
}

/// What a valve lets pass: nothing a little below its set pressure, its opening's flow above.
#[test]
fn a_valve_opens_at_its_set_pressure() {
    let past = Loss::opening(3.5e-3, DIESEL.at(300.0));
    let flow = |apart: f64| valve(4e5, past, 1e5 + apart, 1e5).value;
    assert!(flow(3.97e5) < 1e-10, "{}", flow(3.97e5));
    check("open", flow(4.2e5), loss(past, 0.2e5, 0.0).value, 1e-9);
}

#[test]
fn a_stalled_pump_only_leaks() {
    let stalled = MOTOR.stall(FEED);
    assert!(MOTOR.flow(FEED, AMBIENT, AMBIENT + 1.1 * stalled, AMBIENT).value <= 0.0);
    assert!(MOTOR.flow(FEED, AMBIENT, AMBIENT + 4e5, AMBIENT).value > 1e-5);
    assert!(
        MOTOR.flow(FEED, 0.3 * AMBIENT, AMBIENT, AMBIENT).value <= 0.0,
        "no fuel, no flow"
    );
}
