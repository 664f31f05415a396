//! The instruments in use, and the likelihood of one sample's readings as they come in.

use crate::coming::Truth;
use crate::evidence::{NamedInstrument, Observation, Prepared};
use crate::instrument::{Accuracy, ToolError};
use circuit::{Check, Instrument};

/// The instruments in use, each with the values its own error can have.
#[derive(Debug, Clone, Default)]
pub(crate) struct Toolbox {
    tools: Vec<Tool>,
}

/// One instrument.
#[derive(Debug, Clone)]
pub(crate) struct Tool {
    pub(crate) instrument: Instrument,
    pub(crate) name: Option<String>,
    pub(crate) accuracy: Accuracy,
    pub(crate) errors: Vec<(ToolError, f64)>,
}

impl Toolbox {
    /// The usual instrument of every sort that `checks` need, then those that `observations` name.
    pub(crate) fn new(checks: &[Check], observations: &[Observation]) -> Self {
        let mut toolbox = Self::default();
        for check in checks {
            toolbox.add(check.instrument, None);
        }
        for observation in observations {
            if let Some(named) = &observation.instrument {
                toolbox.add(checks[observation.check].instrument, Some(named));
            }
        }
        toolbox
    }

    fn add(&mut self, instrument: Instrument, named: Option<&NamedInstrument>) {
        let name = named.map(|named| named.name.as_str());
        let class = named.and_then(|named| named.class.as_ref());
        let accuracy = class.map_or_else(
            || Accuracy::of(instrument),
            |class| Accuracy::by(instrument, class),
        );
        let tool = || Tool {
            instrument,
            name: name.map(str::to_owned),
            accuracy,
            errors: accuracy.errors(),
        };
        let known = self.tools.iter().position(|tool| tool.is(instrument, name));
        match known {
            None => self.tools.push(tool()),
            // It is one instrument still.
            Some(index) if class.is_some() => self.tools[index] = tool(),
            Some(_) => {}
        }
    }

    pub(crate) fn tools(&self) -> &[Tool] {
        &self.tools
    }

    /// Index of an instrument.
    pub(crate) fn index(&self, instrument: Instrument, name: Option<&str>) -> usize {
        let found = self.tools.iter().position(|tool| tool.is(instrument, name));
        found.unwrap_or_default()
    }

    pub(crate) fn prepare(&self, checks: &[Check], observation: &Observation) -> Prepared {
        let check = &checks[observation.check];
        let name = observation.instrument.as_ref().map(|named| named.name.as_str());
        let tool = self.index(check.instrument, name);
        let reading = Prepared::new(
            observation.check,
            observation.outcome,
            self.tools[tool].accuracy,
            tool,
        );
        match check.level() {
            Some(level) => reading.beside_another(&Accuracy::of(check.instrument), level),
            None => reading,
        }
    }
}

impl Tool {
    fn is(&self, instrument: Instrument, name: Option<&str>) -> bool {
        self.instrument == instrument && self.name.as_deref() == name
    }
}

/// The likelihood of one sample's readings, as they come in one after another.
///
/// Readings taken with one instrument share its error: their joint likelihood is the mean, over the values of that error,
/// of the product. Instruments are independent of each other. Every reading counts as a share of its own peak, so what
/// is there so far is never less than what it will be in the end.
#[derive(Debug, Clone)]
pub(crate) struct Running<'t> {
    tools: &'t [Tool],
    /// Per instrument and value of its error, weight and likelihood so far.
    products: Vec<Vec<f64>>,
    /// Per instrument, the sum of its products; nothing before its first reading.
    sums: Vec<Option<f64>>,
}

impl<'t> Running<'t> {
    /// Before any reading.
    pub(crate) fn new(toolbox: &'t Toolbox) -> Self {
        let products = toolbox.tools.iter();
        Self {
            tools: &toolbox.tools,
            products: products
                .map(|tool| tool.errors.iter().map(|(_, weight)| *weight).collect())
                .collect(),
            sums: vec![None; toolbox.tools.len()],
        }
    }

    /// Starts again with another sample.
    pub(crate) fn reset(&mut self) {
        for ((products, sum), tool) in self.products.iter_mut().zip(&mut self.sums).zip(self.tools) {
            if sum.take().is_some() {
                products
                    .iter_mut()
                    .zip(&tool.errors)
                    .for_each(|(product, (_, weight))| *product = *weight);
            }
        }
    }

    /// Takes `reading` in, where a perfect instrument would show `truth`.
    pub(crate) fn take(&mut self, reading: &Prepared, truth: Truth) {
        let tool = reading.instrument;
        let mut sum = 0.0;
        let values = self.products[tool].iter_mut().zip(&self.tools[tool].errors);
        for (index, (product, (error, _))) in values.enumerate() {
            *product *= reading.relative(truth, (index, *error));
            sum += *product;
        }
        self.sums[tool] = Some(sum);
    }

    /// Logarithm of the joint likelihood so far, as a share of the readings' peaks.
    pub(crate) fn ln(&self) -> f64 {
        self.sums.iter().flatten().map(|sum| sum.ln()).sum()
    }

    /// Weights of the values of the error of `reading`'s instrument as if it had not been taken, not normalised.
    pub(crate) fn without<'r>(
        &'r self,
        reading: &'r Prepared,
        truth: Truth<'r>,
    ) -> impl Iterator<Item = f64> + 'r {
        let tool = reading.instrument;
        let values = self.products[tool]
            .iter()
            .zip(&self.tools[tool].errors)
            .enumerate();
        values.map(move |(index, (product, (error, _)))| product / reading.relative(truth, (index, *error)))
    }

    /// Weights of the values of an instrument's own error so far, not normalised.
    pub(crate) fn weights(&self, tool: usize) -> &[f64] {
        &self.products[tool]
    }
}

/// For every reading, the likelihood of all others over that of all: what a sample's weight is multiplied by to leave that
/// reading out.
pub(crate) fn leave_one_out(toolbox: &Toolbox, readings: &[Prepared], truths: &[Truth]) -> Vec<f64> {
    let mut running = Running::new(toolbox);
    let taken = readings.iter().zip(truths);
    taken
        .clone()
        .for_each(|(reading, truth)| running.take(reading, *truth));
    let without = |(reading, truth): (&Prepared, &Truth)| {
        let all: f64 = running.weights(reading.instrument).iter().sum();
        running.without(reading, *truth).sum::<f64>() / (all * reading.peak)
    };
    taken.map(without).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::{Outcome, one_likelihood};
    use proptest::prelude::*;

    const SORTS: [Instrument; 4] = [
        Instrument::VacuumGauge,
        Instrument::Voltmeter,
        Instrument::Ohmmeter,
        Instrument::Senses,
    ];

    /// Every sort of instrument once.
    fn toolbox() -> Toolbox {
        let mut toolbox = Toolbox::default();
        for sort in SORTS {
            toolbox.add(sort, None);
        }
        toolbox
    }

    /// A reading with the truth behind it, somewhere in the instrument's range; the network of a few found no balance.
    fn reading() -> impl Strategy<Value = (Prepared, f64)> {
        (0..SORTS.len(), 0..3_usize, 0.0..1.0, 0.9..1.1, 0..20_usize).prop_map(
            |(tool, sort, place, off, balance)| {
                let (instrument, top) = (SORTS[tool], Accuracy::of(SORTS[tool]).range.1);
                let value: f64 = if instrument == Instrument::Ohmmeter {
                    10_f64.powf(6.0 * place)
                } else {
                    place * top
                };
                let outcome = match (instrument, sort) {
                    (Instrument::Senses, 0) => Outcome::No,
                    (Instrument::Senses, _) => Outcome::Yes,
                    (_, 0) => Outcome::Value(value * off),
                    (_, 1) => Outcome::Over(value * off),
                    _ => Outcome::Under(value * off),
                };
                let truth = if balance == 0 { f64::NAN } else { value };
                (Prepared::new(0, outcome, Accuracy::of(instrument), tool), truth)
            },
        )
    }

    fn certain(value: &f64) -> Truth<'_> {
        Truth {
            values: std::slice::from_ref(value),
            chances: &[1.0],
        }
    }

    /// Joint likelihood by its definition: instruments are independent, readings of one share its error.
    fn joint(toolbox: &Toolbox, readings: &[(Prepared, f64)]) -> f64 {
        let tools = toolbox.tools().iter().enumerate();
        let means = tools.map(|(index, tool)| {
            let own = || readings.iter().filter(|(reading, _)| reading.instrument == index);
            let products = tool.errors.iter().map(|(error, weight)| {
                weight
                    * own()
                        .map(|(reading, truth)| one_likelihood(reading, *truth, *error))
                        .product::<f64>()
            });
            products.sum::<f64>()
        });
        means.product()
    }

    proptest! {
        #[test]
        fn readings_one_by_one_are_their_joint_likelihood(readings in prop::collection::vec(reading(), 0..7)) {
            let toolbox = toolbox();
            let mut running = Running::new(&toolbox);
            // A sample before it leaves nothing behind.
            for (reading, _) in &readings {
                running.take(reading, certain(&0.3));
            }
            running.reset();
            let mut before = 0.0;
            for (reading, truth) in &readings {
                running.take(reading, certain(truth));
                prop_assert!(running.ln() <= before + 1e-12, "a reading made the sample likelier than its peak");
                before = running.ln();
            }
            let ln = running.ln() + readings.iter().map(|(reading, _)| reading.ln_peak()).sum::<f64>();
            let expected = joint(&toolbox, &readings).ln();
            // Both add up some hundred products.
            prop_assert!((ln - expected).abs() < 1e-9 * (1.0 + expected.abs()), "{ln} and {expected}");
        }

        #[test]
        fn a_reading_left_out_was_never_taken(readings in prop::collection::vec(reading(), 1..6)) {
            let toolbox = toolbox();
            let (prepared, truths): (Vec<Prepared>, Vec<Truth>) =
                readings.iter().map(|(reading, truth)| (reading.clone(), certain(truth))).unzip();
            let all = joint(&toolbox, &readings);
            for (k, ratio) in leave_one_out(&toolbox, &prepared, &truths).into_iter().enumerate() {
                let mut rest = readings.clone();
                rest.remove(k);
                let expected = joint(&toolbox, &rest) / all;
                prop_assert!((ratio / expected - 1.0).abs() < 1e-9, "{k}: {ratio} and {expected}");
            }
        }
    }
}
