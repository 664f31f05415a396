//! Lines: Hagen-Poiseuille, Darcy-Weisbach, Churchill's and Colebrook's friction factors, as `fluids` computes them.

use super::{cell, check, table};
use crate::ambient::{Ambient, GAS_CONSTANT};
use crate::laws::air::{Line, line};
use crate::laws::friction::{churchill, churchill_rough, reynolds};
use quantity::Temperature;

/// Air at 293.15 K: viscosity by `CoolProp` 8.0.0.
const VISCOSITY: f64 = 1.820_567_518e-5;
const TEMPERATURE: f64 = 293.15;

/// Churchill 1977 by `fluids` 1.3.1, to the ten digits of the table.
#[test]
fn friction_is_churchills() {
    for row in table("friction_churchill.csv") {
        let [re, roughness, darcy] = std::array::from_fn(|i| cell(&row, i).unwrap());
        check(
            &format!("Re {re}, ε/D {roughness}"),
            churchill_rough(re, roughness),
            darcy,
            1e-9,
        );
    }
}

/// The law turned inside out gives back the Reynolds number of every smooth row: 0.1 % of flow is asked for, 1e-5 reached
/// outside the laminar end, where 64/Re is used for Churchill's formula.
#[test]
fn the_inverse_gives_the_flow_of_the_table() {
    for row in table("friction_churchill.csv") {
        let [re, roughness, darcy] = std::array::from_fn(|i| cell(&row, i).unwrap());
        if roughness == 0.0 {
            check(&format!("Re {re}"), reynolds(darcy * re * re).0, re, 1e-4);
        }
    }
}

/// Colebrook 1939 in turbulent flow. Churchill wrote that his fit lies within a few per cent of it near Re 4000.
#[test]
fn friction_is_near_colebrooks() {
    for row in table("friction_colebrook.csv") {
        let [re, roughness, darcy] = std::array::from_fn(|i| cell(&row, i).unwrap());
        let tolerance = if re < 1e4 { 0.03 } else { 0.015 };
        check(
            &format!("Re {re}, ε/D {roughness}"),
            churchill_rough(re, roughness),
            darcy,
            tolerance,
        );
    }
    check("laminar", churchill(500.0), 64.0 / 500.0, 1e-9);
}

/// Small tubes at a given loss, centred on 101 325 Pa so that the density is that of the incompressible formula.
///
/// Air's density is 0.04 % above an ideal gas's, the rest is the table's own. Against the smooth-tube factor of the
/// library (64/Re, then Colebrook) the flow differs where Churchill's fit does: 0.5 % at Re 7000.
#[test]
fn small_tubes_lose_what_darcy_and_weisbach_say() {
    for row in table("tube.csv") {
        let number = |i| cell(&row, i).unwrap();
        let [bore, length, volume, viscosity, density] = std::array::from_fn(number);
        let flow = |loss: f64| {
            line(
                Line::new(bore, length, viscosity, TEMPERATURE),
                101_325.0 + 0.5 * loss,
                101_325.0 - 0.5 * loss,
            )
            .value
        };
        check(
            &format!("Churchill {row:?}"),
            flow(number(10)),
            density * volume,
            0.001,
        );
        check(
            &format!("smooth tube {row:?}"),
            flow(number(8)),
            density * volume,
            0.006,
        );
        if row.get(6) == Some("laminar") {
            check(
                &format!("Poiseuille {row:?}"),
                flow(number(9)),
                density * volume,
                0.002,
            );
        }
    }
}

/// Isothermal laminar capillaries by closed form: exact where the closed form holds.
#[test]
fn capillaries_follow_the_isothermal_closed_form() {
    let laminar: Vec<_> = table("tube_isothermal.csv")
        .into_iter()
        .filter(|row| row.get(7) == Some("laminar closed form"))
        .collect();
    assert_eq!(laminar.len(), 2);
    for row in laminar {
        let [bore, length, up, down] = std::array::from_fn(|i| cell(&row, i).unwrap());
        let ours = line(Line::new(bore, length, VISCOSITY, TEMPERATURE), up, down).value;
        check(&format!("{row:?}"), ours, cell(&row, 5).unwrap(), 1e-9);
    }
}

/// Sutherland's formula: 1.7894e-5 Pa s at 288.15 K (U.S. Standard Atmosphere 1976, table, from memory) to its digits;
/// `CoolProp`'s air at 293.15 K is 0.4 % more viscous.
#[test]
fn viscosity_is_that_of_the_standard_atmosphere() {
    let at = |kelvin| Ambient::default().with_temperature(Temperature::from_si(kelvin));
    check("288.15 K", at(288.15).viscosity(), 1.7894e-5, 3e-5);
    check("293.15 K", at(TEMPERATURE).viscosity(), VISCOSITY, 0.005);
    check("density", at(288.15).density(101_325.0), 1.225, 1e-5);
    check("gas constant", GAS_CONSTANT * 28.964_4, 8314.32, 1e-5);
}
