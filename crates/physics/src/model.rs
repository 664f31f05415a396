//! A circuit ready to be measured: its checks, and which network each of them needs.
//!
//! Checks that leave the circuit as it is share one solve per condition; a check that takes something off or puts
//! something in has its own. [`Model::probe`] holds the memory for solves, so that one vehicle after another is solved
//! from the last solution.

use crate::assembly::Edit;
use crate::course::Course;
use crate::kinds::{Kind, kind_of};
use crate::probe::Probe;
use crate::readout::Readout;
use circuit::{Check, Circuit, ConditionId, derive_checks, find_check};
use quantity::Minutes;

/// One network to solve: the circuit in a condition with an edit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Setting {
    pub(crate) condition: ConditionId,
    pub(crate) edit: Edit,
    pub(crate) course: Course,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Route {
    /// Index into the settings; `None` where nothing needs to be solved.
    pub(crate) setting: Option<usize>,
    pub(crate) readout: Readout,
}

/// A circuit ready to be measured.
#[derive(Debug)]
pub struct Model {
    pub(crate) circuit: Circuit,
    pub(crate) checks: Vec<Check>,
    pub(crate) kinds: Kinds,
    pub(crate) settings: Vec<Setting>,
    /// Per setting the parts that are laid out; all where nothing is said.
    pub(crate) pieces: Vec<Option<Vec<bool>>>,
    pub(crate) routes: Vec<Route>,
    /// Readouts that belong to no check of their own.
    pub(crate) works: Vec<Route>,
    /// All checks, those that share a network side by side.
    pub(crate) order: Vec<usize>,
}

pub(crate) struct Kinds(pub(crate) Vec<&'static dyn Kind>);

impl std::fmt::Debug for Kinds {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.debug_list()
            .entries(self.0.iter().map(|kind| kind.spec().name))
            .finish()
    }
}

impl Model {
    /// Makes `circuit` ready.
    ///
    /// # Panics
    /// If `circuit` was read with another catalogue than [`crate::catalogue`]: a mistake of the program, not of the author.
    pub fn new(circuit: Circuit) -> Self {
        let checks = derive_checks(&circuit);
        let kinds: Vec<_> = circuit
            .parts
            .iter()
            .filter_map(|part| kind_of(part.kind))
            .collect();
        assert_eq!(
            kinds.len(),
            circuit.parts.len(),
            "a circuit read with the catalogue of this crate"
        );
        let mut model = Self {
            circuit,
            checks,
            kinds: Kinds(kinds),
            settings: Vec::new(),
            pieces: Vec::new(),
            routes: Vec::new(),
            works: Vec::new(),
            order: Vec::new(),
        };
        for index in 0..model.checks.len() {
            let route = model.route(&model.checks[index].clone());
            model.routes.push(route);
        }
        model.order = (0..model.checks.len()).collect();
        model.order.sort_by_key(|check| model.routes[*check].setting);
        model
    }

    /// The same with other minutes for the checks of which some are known; what cannot be is left out.
    #[must_use]
    pub fn timed(mut self, minutes: impl Fn(&Check) -> Option<Minutes>) -> Self {
        for check in &mut self.checks {
            let known = minutes(check).map(Minutes::minutes);
            check.minutes = known
                .filter(|known| known.is_finite() && *known > 0.0)
                .unwrap_or(check.minutes);
        }
        self
    }

    /// The circuit.
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }

    /// Its checks, as [`derive_checks`] orders them.
    pub fn checks(&self) -> &[Check] {
        &self.checks
    }

    /// Index of the check called `id`.
    pub fn check(&self, id: &str) -> Option<usize> {
        let found = find_check(&self.circuit, &self.checks, id)?;
        self.checks.iter().position(|check| check.id == found.id)
    }

    /// Which network a check needs: checks with the same number share one solve. `None`: nothing is solved.
    pub fn setting(&self, check: usize) -> Option<usize> {
        self.routes[check].setting
    }

    /// All checks, those that share a network side by side: the order in which predicting them all is cheapest.
    pub fn by_setting(&self) -> &[usize] {
        &self.order
    }

    /// Memory for predictions.
    pub fn probe(&self) -> Probe<'_> {
        Probe::new(self)
    }

    /// Index of a network among the settings; it is added where it is new.
    pub(crate) fn intern(&mut self, condition: ConditionId, edit: Edit, course: Course) -> usize {
        let setting = Setting {
            condition,
            edit,
            course,
        };
        let found = self.settings.iter().position(|known| *known == setting);
        found.unwrap_or_else(|| {
            let piece = match edit {
                Edit::Held(port) => Some(circuit::piece(&self.circuit, port)),
                _ => None,
            };
            self.pieces.push(piece.map(|piece| {
                let parts = 0..self.circuit.parts.len();
                parts.map(|part| piece.contains(&circuit::PartId(part))).collect()
            }));
            self.settings.push(setting);
            self.settings.len() - 1
        })
    }
}
