//! Stories from their files, what is believed when their readings are in, and how our own next checks fare on such a vehicle.

use belief::Outcome;
use circuit::{Cause, FaultId, Instrument, Story};
use engine::{
    Bay, Belief, Effort, Evidence, Model, Observation, Outlook, Scene, Shop, Surroundings, as_evidence,
    belief, load, next, shipped,
};
use std::collections::BTreeMap;

/// Samples behind each of our choices.
const SAMPLES: usize = 200;
/// Seed of a story's vehicle and instruments.
const SEED: u32 = 7;

/// All shipped circuits, ready to be measured.
pub(super) struct Library {
    models: BTreeMap<String, Model>,
}

/// A story with the name of its file.
pub(super) struct Told {
    pub(super) name: String,
    pub(super) story: Story,
}

/// What the readings of a story lead to.
pub(super) struct After {
    /// Probability of the true cause; of several faults the least.
    pub(super) probability: f64,
    /// `true` if nothing else is as likely.
    pub(super) leads: bool,
    /// The likeliest suspect, in words.
    pub(super) leader: String,
}

impl Library {
    pub(super) fn new() -> Self {
        let models = shipped().iter().map(|shipped| {
            (
                shipped.name.to_owned(),
                load(shipped.name, shipped.text).model.unwrap(),
            )
        });
        Self {
            models: models.collect(),
        }
    }

    pub(super) fn model(&self, name: &str) -> &Model {
        &self.models[name]
    }

    /// Every story, in order of its file's name.
    pub(super) fn stories(&self) -> Vec<Told> {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../stories");
        let mut paths: Vec<_> = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.extension().is_some_and(|extension| extension == "toml"))
            .collect();
        paths.sort();
        let known: Vec<circuit::Known> = self
            .models
            .values()
            .map(|model| (model.circuit(), model.checks()))
            .collect();
        let told = paths.iter().map(|path| {
            let text = std::fs::read_to_string(path).unwrap();
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            let file = circuit::read_story(&text, &known);
            assert!(file.findings.is_empty(), "{name}: {:#?}", file.findings);
            assert!(
                text.starts_with("# Invented"),
                "{name} does not say that it is invented"
            );
            Told {
                name,
                story: file.story.unwrap(),
            }
        });
        told.collect()
    }
}

impl Told {
    /// What is believed when all readings are in.
    pub(super) fn after_its_readings(&self, model: &Model) -> After {
        let (evidence, findings) = as_evidence(model, &self.story.readings, Vec::new());
        assert!(findings.is_empty(), "{}: {findings:#?}", self.name);
        let belief = belief(model, &evidence.unwrap(), Effort::default());
        self.judge(&belief)
    }

    fn judge(&self, belief: &Belief) -> After {
        let circuit = belief.model().circuit();
        let first = &belief.suspects()[0];
        let mut leader = match &first.faults[..] {
            [] => "nothing wrong".to_owned(),
            faults => faults
                .iter()
                .map(|fault| circuit.fault_name(*fault))
                .collect::<Vec<_>>()
                .join(" with "),
        };
        if belief.not_listed() > first.probability {
            "what is not listed".clone_into(&mut leader);
        }
        let (own, others): (Vec<f64>, Vec<f64>) = match &self.story.cause {
            Cause::NothingWrong => (vec![belief.nothing_wrong()], self.all_but(belief, &[])),
            Cause::NotListed => (vec![belief.not_listed()], self.all_but(belief, &[])),
            Cause::Faults(faults) => {
                let ids: Vec<FaultId> = faults.iter().map(|(fault, _)| *fault).collect();
                let of = |id: &FaultId| {
                    if self.story.by_part {
                        belief.parts()[id.part.0]
                    } else {
                        belief.faults().iter().find(|(fault, _)| fault == id).unwrap().1
                    }
                };
                (ids.iter().map(of).collect(), self.all_but(belief, &ids))
            }
        };
        let mut rest = others;
        if self.story.cause != Cause::NothingWrong {
            rest.push(belief.nothing_wrong());
        }
        if self.story.cause != Cause::NotListed {
            rest.push(belief.not_listed());
        }
        let probability = own.into_iter().fold(1.0, f64::min);
        After {
            probability,
            leads: rest.into_iter().all(|other| other < probability),
            leader,
        }
    }

    /// Probabilities of all faults, or parts, that are not in `ids`.
    fn all_but(&self, belief: &Belief, ids: &[FaultId]) -> Vec<f64> {
        if self.story.by_part {
            let parts = belief.parts().into_iter().enumerate();
            let other = parts.filter(|(part, _)| ids.iter().all(|id| id.part.0 != *part));
            return other.map(|(_, probability)| probability).collect();
        }
        let other = belief
            .faults()
            .into_iter()
            .filter(|(fault, _)| !ids.contains(fault));
        other.map(|(_, probability)| probability).collect()
    }

    /// A vehicle with this cause, measured with the story's instruments. What is not listed is a sound circuit to measure.
    fn scene<'m>(&self, model: &'m Model, surroundings: Surroundings) -> Scene<'m> {
        let faults: Vec<(FaultId, f64)> = match &self.story.cause {
            Cause::Faults(faults) => faults
                .iter()
                .map(|(fault, severity)| {
                    let spec = model.circuit().fault_spec(*fault).severity;
                    let usual = spec.map_or(1.0, |spec| spec.typical);
                    (*fault, severity.unwrap_or(usual))
                })
                .collect(),
            Cause::NothingWrong | Cause::NotListed => Vec::new(),
        };
        let scene = Scene::new(model, surroundings, &faults, SEED);
        match self.story.wrong {
            Some((instrument, factor)) => scene.with_wrong(instrument, factor),
            None => scene,
        }
    }

    /// How many checks our own choice of the next one takes until the cause leads as the story states; `None` if that is more than
    /// whoever worked on it made. A cause that no list holds cannot be measured on a vehicle made from the list: there the story's
    /// own readings must do.
    pub(super) fn our_checks(&self, model: &Model) -> Option<usize> {
        if self.story.cause == Cause::NotListed {
            return Some(self.story.checks);
        }
        let told = as_evidence(model, &self.story.readings, Vec::new()).0.unwrap();
        let used: Vec<Instrument> = told
            .observations
            .iter()
            .map(|read| model.checks()[read.check].instrument)
            .collect();
        let at_hand = |tool: Instrument| !SELDOM.contains(&tool) || used.contains(&tool);
        let mut evidence = Evidence {
            surroundings: told.surroundings,
            ..Evidence::default()
        };
        let mut scene = self.scene(model, evidence.surroundings);
        let (shop, mut bay) = (Shop::default(), Bay::default());
        for made in 0..=self.story.checks {
            let belief = belief(model, &evidence, Effort::brisk());
            let now = self.judge(&belief);
            if now.leads && now.probability >= self.story.probability {
                return Some(made);
            }
            if made == self.story.checks {
                break;
            }
            let outlook = Outlook::new(&belief, SAMPLES);
            let steps = next(&outlook, &evidence, &shop, &bay);
            let check = steps
                .iter()
                .find(|step| at_hand(model.checks()[step.check].instrument))?
                .check;
            let outcome = scene.read(check).ok()?;
            show(model, check, outcome);
            let spec = &model.checks()[check];
            bay.condition = spec.condition;
            bay.open
                .extend(model.circuit().closed_accesses(&spec.needs, &bay.open));
            evidence.observations.push(Observation {
                check,
                outcome,
                instrument: None,
            });
        }
        None
    }
}

/// What not every bay has: our checks count beside the story's, so they are made with what was at hand in it.
const SELDOM: [Instrument; 5] = [
    Instrument::HandPump,
    Instrument::Watch,
    Instrument::LeakUnit,
    Instrument::LowGauge,
    Instrument::SmokeMaker,
];

/// One step of ours, for whoever looks why a story fails.
fn show(model: &Model, check: usize, outcome: Outcome) {
    println!("    {} {outcome:?}", model.checks()[check].id);
}
