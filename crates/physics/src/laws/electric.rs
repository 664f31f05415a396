//! Current through conductors, diodes, filaments and motors.

use super::air::Flow;

/// Current from `a` to `b` through a conductance, A.
pub(crate) fn conductor(conductance: f64, a: f64, b: f64) -> Flow {
    Flow {
        value: conductance * (a - b),
        by_a: conductance,
        by_b: -conductance,
    }
}

/// Rise of copper's resistance with temperature, as a share of that at 20 °C, 1/K. IEC 60028.
pub(crate) const COPPER_RISE: f64 = 0.003_93;
/// Resistivity of annealed copper at 20 °C, ohm m: 1/58 ohm mm²/m. IEC 60028.
const COPPER: f64 = 1.0e-6 / 58.0;

/// Resistance of solid copper of `area` (m²) and `length` (m) at `temperature` (K), ohm.
pub(crate) fn copper(area: f64, length: f64, temperature: f64) -> f64 {
    COPPER * length / area * (1.0 + COPPER_RISE * (temperature - 293.15))
}

/// Current from `a` to `b` through a conductance, at most `limit`, A. At the limit the current still grows a little, so
/// that the equations stay determined.
pub(crate) fn limited(conductance: f64, limit: f64, a: f64, b: f64) -> Flow {
    const BEYOND: f64 = 1.0e-4;
    let flow = conductor(conductance, a, b);
    if flow.value <= limit {
        return flow;
    }
    let slope = BEYOND * conductance;
    Flow {
        value: limit + BEYOND * (flow.value - limit),
        by_a: slope,
        by_b: -slope,
    }
}

/// Shockley's diode from `a` to `b`: I = Is (exp(V/Vt) − 1). Beyond 10 kA it goes on as its tangent, so that a trial far
/// off overflows nothing.
pub(crate) fn diode(saturation: f64, thermal: f64, a: f64, b: f64) -> Flow {
    const LINEAR: f64 = 1.0e4;
    let (x, linear) = ((a - b) / thermal, (LINEAR / saturation).ln());
    let e = x.min(linear).exp();
    let current = saturation * (e - 1.0 + e * (x - linear).max(0.0));
    let slope = saturation * e / thermal;
    Flow {
        value: current,
        by_a: slope,
        by_b: -slope,
    }
}

/// A filament or heater whose resistance rises as it gets hot: I = In (V/Vn)^γ in the hot range, ohmic when cold.
///
/// The current is V / (Rc + (Rn − Rc) h(V/Vn)), where h is the share of the full rise. Hot, h = x^(1−γ). Below `GLIMMER` of
/// the nominal voltage the rise follows the power, h ~ x², so that an ohmmeter does not warm it.
pub(crate) fn filament(cold: f64, hot: f64, nominal: f64, exponent: f64, a: f64, b: f64) -> Flow {
    /// From memory: half a volt on a 12 V lamp leaves it dark.
    const GLIMMER: f64 = 0.05;
    let v = a - b;
    let (x2, edge, q) = ((v / nominal).powi(2), GLIMMER * GLIMMER, 0.5 * (1.0 + exponent));
    let heat = (hot - cold) * x2 * ((1.0 + edge) / (x2 + edge)).powf(q);
    let r = cold + heat;
    // d(V/R)/dV = (R − V dR/dV) / R², and V dR/dV = 2 heat (1 − q x²/(x² + edge)).
    let rise = 2.0 * heat * (1.0 - q * x2 / (x2 + edge));
    let slope = (r - rise) / (r * r);
    Flow {
        value: v / r,
        by_a: slope,
        by_b: -slope,
    }
}

/// A direct-current motor at steady speed: V = I R + k ω, k I = load + drag ω. Below the stall current it stands.
///
/// Returns the current; [`motor_speed`] gives the speed that goes with it.
pub(crate) fn motor(resistance: f64, constant: f64, load: f64, drag: f64, a: f64, b: f64) -> Flow {
    let v = a - b;
    let stall = load / constant * resistance;
    if v.abs() <= stall {
        return conductor(1.0 / resistance, a, b);
    }
    // With ω = (k I − load)/drag: V = I R + k (k I − load)/drag.
    let slope = 1.0 / (resistance + constant * constant / drag);
    let value = v.signum() * (stall / resistance + (v.abs() - stall) * slope);
    Flow {
        value,
        by_a: slope,
        by_b: -slope,
    }
}

/// Speed of that motor at `voltage`, rad/s, 0 when stalled.
pub(crate) fn motor_speed(resistance: f64, constant: f64, load: f64, drag: f64, voltage: f64) -> f64 {
    let current = motor(resistance, constant, load, drag, voltage, 0.0).value.abs();
    ((constant * current - load) / drag).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn laws() -> [fn(f64, f64) -> Flow; 4] {
        [
            |a, b| diode(1e-14, 0.025_85, a, b),
            |a, b| filament(0.6, 7.0, 12.0, 0.54, a, b),
            |a, b| motor(0.01, 0.02, 4.0, 0.1, a, b),
            |a, b| limited(1.0, 0.1, a, b),
        ]
    }

    proptest! {
        #[test]
        fn derivatives_are_exact(v in -14.0f64..1.2) {
            for (index, law) in laws().into_iter().enumerate() {
                let h = 1e-6;
                // The motor starts to turn at 2 V, the regulator gives way at 0.1 V: no derivative there.
                prop_assume!((v.abs() - 2.0).abs() > 1e-3 && (v - 0.1).abs() > 1e-3 && v.abs() > 1e-3);
                let flow = law(v, 0.0);
                let slope = (law(v + h, 0.0).value - law(v - h, 0.0).value) / (2.0 * h);
                // Cancellation in the difference quotient leaves 1e-16 of the value over the step.
                let noise = 1e-9 * flow.value.abs() + 1e-9;
                prop_assert!((flow.by_a - slope).abs() < 1e-5 * flow.by_a.abs() + noise, "law {index} at {v}: {} {slope}", flow.by_a);
            }
        }
    }
}
