//! Figures of a circuit: on which of them no reading depends, and which are unusual for their kind.

use super::sea_level;
use belief::Accuracy;
use circuit::{Circuit, FaultId, ParameterSpec, PartId, Spread, Value};
use physics::{Model, Probe, Vehicle};

/// A reading that moves by less than this share of its own scatter, when the figure moves over all that it may be, does not
/// depend on it. Our own choice: three hundred readings would have to be averaged to see it.
const FELT: f64 = 0.06;
/// A figure is moved by its tolerance, and at least by this share of itself.
const MOVED: f64 = 0.1;
/// Likeliest faults with which a figure is tried beside its own part's: some matter only where air flows that should not.
const OTHERS: usize = 6;
/// How many times more or less than typical is unusual. Our own choice: bores and lengths of one kind differ by two and more.
const UNUSUAL: f64 = 4.0;
/// How many times wider or narrower than usual a tolerance is remarkable.
const UNUSUAL_SPREAD: f64 = 4.0;
/// The outermost share of a kind's range, in orders of magnitude where it has them, on either side.
const EDGE: f64 = 0.03;

/// A value that is unusual for its kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unusual {
    /// The part.
    pub part: PartId,
    /// Index into its kind's parameters.
    pub parameter: usize,
    /// What is unusual.
    pub what: UnusualWhat,
}

/// What is unusual in a value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum UnusualWhat {
    /// Many times the usual value or a small share of it; the usual value, SI.
    Far(f64),
    /// Close to where the kind's range ends; that end, SI.
    AtTheEdge(f64),
    /// A tolerance many times the kind's or a small share of it; the kind's, SI.
    Tolerance(f64),
}

/// Parameters on which no reading depends.
pub(super) fn idle(model: &Model, faults: &[FaultId]) -> Vec<(PartId, usize)> {
    let circuit = model.circuit();
    let mut likeliest = circuit.faults();
    likeliest.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let (mut idle, mut index, mut probe) = (Vec::new(), 0, model.probe());
    for (number, part) in circuit.parts.iter().enumerate() {
        let own = faults.iter().filter(|fault| fault.part.0 == number).copied();
        let others = likeliest.iter().map(|(fault, _)| *fault).take(OTHERS);
        let tried: Vec<Option<FaultId>> = std::iter::once(None).chain(own.chain(others).map(Some)).collect();
        for (parameter, (value, spec)) in part.values.iter().zip(part.kind.parameters).enumerate() {
            let quantity = value.dimension.is_some();
            if quantity
                && !tried
                    .iter()
                    .any(|fault| felt(&mut probe, index, value, spec, *fault))
            {
                idle.push((PartId(number), parameter));
            }
            index += 1;
        }
    }
    idle
}

/// Whether any reading moves with the value at `index`, on a vehicle with `fault`.
fn felt(
    probe: &mut Probe,
    index: usize,
    value: &Value,
    spec: &ParameterSpec,
    fault: Option<FaultId>,
) -> bool {
    let model = probe.model();
    let circuit = model.circuit();
    let mut vehicle = Vehicle::typical(circuit, sea_level().ambient);
    if let Some(fault) = fault {
        vehicle = vehicle.with_fault(circuit, fault);
    }
    let step = value.spread.max(MOVED * value.typical.abs());
    let order = model.by_setting();
    let mut shown = |to: f64| {
        vehicle.values[index] = to.clamp(spec.range.0, spec.range.1);
        let mut out = vec![f64::NAN; order.len()];
        // From rest both times, so that no difference is the solver's.
        probe.cold();
        let _ = probe.predict_all(order, &vehicle, &mut out);
        out
    };
    let (less, more) = (shown(value.typical - step), shown(value.typical + step));
    order
        .iter()
        .zip(less.iter().zip(&more))
        .any(|(check, (less, more))| {
            let accuracy = Accuracy::of(model.checks()[*check].instrument);
            // A chance of yes has no scatter; a hundredth of it cannot be felt.
            let scatter = accuracy.deviation(*less).max(0.1);
            let scatter = if accuracy.noise > 0.0 {
                accuracy.deviation(*less)
            } else {
                scatter
            };
            (less - more).abs() > FELT * scatter
        })
}

/// Values that an author wrote and that are unusual for their kind.
pub(super) fn unusual(circuit: &Circuit) -> Vec<Unusual> {
    let mut found = Vec::new();
    for (number, part) in circuit.parts.iter().enumerate() {
        for (parameter, (value, spec)) in part.values.iter().zip(part.kind.parameters).enumerate() {
            let written = value.span.is_some() && value.dimension.is_some();
            let same_sort = value.dimension == default_dimension(spec);
            if let Some(what) = one(value, spec).filter(|_| written && same_sort) {
                found.push(Unusual {
                    part: PartId(number),
                    parameter,
                    what,
                });
            }
        }
    }
    found
}

/// The dimension in which the kind's figures stand: a share of something cannot be set beside them.
fn default_dimension(spec: &ParameterSpec) -> Option<quantity::Dimension> {
    match spec.domain {
        circuit::ParameterDomain::Quantity(dimensions) => dimensions.first().copied(),
        circuit::ParameterDomain::Choice(_) => None,
    }
}

fn one(value: &Value, spec: &ParameterSpec) -> Option<UnusualWhat> {
    let ratio = |a: f64, b: f64| {
        if a > 0.0 && b > 0.0 {
            (a / b).max(b / a)
        } else {
            1.0
        }
    };
    if let Some(usual) = spec
        .default
        .filter(|usual| ratio(value.typical, *usual) > UNUSUAL)
    {
        return Some(UnusualWhat::Far(usual));
    }
    if let Some(end) = edge(value.typical, spec) {
        return Some(UnusualWhat::AtTheEdge(end));
    }
    let usual = match spec.spread {
        Spread::Relative(share) => share * value.typical.abs(),
        Spread::Absolute(spread) => spread,
    };
    // Exactly known is a choice of the author's.
    (value.spread > 0.0 && ratio(value.spread, usual) > UNUSUAL_SPREAD)
        .then_some(UnusualWhat::Tolerance(usual))
}

/// The end of the range that a value is close to, unless the usual value is as close.
fn edge(value: f64, spec: &ParameterSpec) -> Option<f64> {
    let (low, high) = spec.range;
    let place = |value: f64| {
        if low > 0.0 {
            (value / low).ln() / (high / low).ln()
        } else {
            (value - low) / (high - low)
        }
    };
    let at_low = |value: f64| place(value) < EDGE;
    let at_high = |value: f64| place(value) > 1.0 - EDGE;
    // A range that begins at nothing says nothing there: many values are small.
    if low > 0.0 && at_low(value) && !spec.default.is_some_and(at_low) {
        return Some(low);
    }
    (at_high(value) && !spec.default.is_some_and(at_high)).then_some(high)
}
