//! A job: one vehicle, one complaint, from intake to closing, as an append-only series of events.
//!
//! An [`Entry`] is an [`Event`] with who said it, when and where. [`Job::fold`] makes the state of all entries; the same
//! entries give the same state, in whatever order they came and however often. Nothing is erased: what is withdrawn stays in
//! the record. [`Job::admits`] says why an event would make no sense now. No file, clock or network here.

mod codes;
mod driven;
mod entry;
mod event;
mod facts;
mod money;
mod proof;
mod readings;
mod refusal;
mod stage;
mod state;
mod vehicle;
mod watch;

pub use codes::{DefinedBy, Nature, NotACode, Ranked, Slip, TroubleCode, nature, root_first, wording};
pub use entry::{Entry, EntryId, FORMAT, JobId, Unreadable, in_order};
pub use event::{Behind, Closing, CodeStatus, Event, Mended, Over, Recorded, Said};
pub use facts::{Code, Comeback, Drive, NewPart, Note, Odd, Photo, Proof, Proven, Reading, Repair, RuledOut};
pub use money::{Choice, GivenPrice, Grade, Quote, QuoteOption};
pub use proof::{BY_HAND, Unproven};
pub use readings::{With, write_reading};
pub use refusal::Refused;
pub use stage::Stage;
pub use state::Job;
pub use vehicle::{Described, Frozen, Intake, Replaced, Vehicle};
pub use watch::{Lamp, Memory, OTHER_MARKETS, Rules, Trip, Watch};
