//! The description of a circuit: parts, joints, conditions, access, and the checks that follow from them.
//!
//! First room of the pipeline: text in, a [`Circuit`] and all findings out. It knows what a kind of part brings as
//! plain data ([`KindSpec`], handed in as a [`Catalogue`]), but no law of physics and no probability beyond the
//! shares an author writes.

mod accuracy;
mod amount;
mod bundle;
mod check;
mod check_id;
mod codes;
mod derive;
mod fields;
mod kind;
mod liquid;
mod model;
mod read;
mod readings;
mod sheet;
mod shows;
mod story;
mod timed;

pub use accuracy::{AccuracyClass, ClassError};
pub use bundle::{Bundle, bundle};
pub use check::{Check, Instrument, Method, Place, Reads};
pub use codes::explain;
pub use derive::{derive_checks, find_check};
pub use kind::{
    Catalogue, Caution, CommandSpec, FaultSpec, KindSpec, Medium, ParameterDomain, ParameterSpec, PortSpec,
    RepairSpec, SeveritySpec, Spread, Supplies, Symbol,
};
pub use model::{
    Access, AccessId, Circuit, Command, CommonCause, Condition, ConditionId, FaultId, Joint, JointId, Part,
    PartId, PortRef, Priors, Reach, Repair, Value, Works,
};
pub use read::{CircuitFile, read, read_bytes};
pub use readings::{ReadingEntry, Readings, ReadingsFile, read_readings};
pub use shows::{Shows, Under};
pub use story::{Cause, Known, Sort, Story, StoryFile, read_story};
pub use timed::{GIVEN_UP, HOLD_LEVEL, HOLD_PRESSURE, LEAK_PRESSURE, PUMP_DOWN_LEVEL, WAIT, piece};
