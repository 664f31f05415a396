//! Physical quantities: parsed and printed as the trade writes them.
//!
//! Inside everything is SI; `inHg`, `rpm`, `mm` and the rest exist only where a text is read ([`parse`],
//! [`parse_reading`]) and where a number is shown ([`UnitSystem::show`]). A [`Quantity`] knows its [`Dimension`] and
//! adds only to its like; the types of [`Pressure`] and its neighbours are for where the dimension is known beforehand.
//!
//! Whether a pressure counts from ambient or from nothing is kept as written ([`PressureReference`]): only someone who
//! knows the barometer can turn a gauge's reading into an absolute pressure.

mod dimension;
mod error;
mod parse;
mod parsed;
mod piece;
mod quantity;
mod reading;
mod show;
mod spelling;
mod typed;
mod unit;

pub use dimension::Dimension;
pub use error::{ParseError, ParseErrorKind};
pub use parse::parse;
pub use parsed::{Parsed, PressureReference, Tolerance};
pub use quantity::{DimensionMismatch, Quantity};
pub use reading::{ReadingValue, parse_reading};
pub use show::{UnitSystem, UnknownUnitSystem, round_half_away, show_in};
pub use typed::{
    Current, Length, Minutes, Pressure, PressureDifference, Ratio, Resistance, RotationalSpeed, Temperature,
    Voltage,
};
pub use unit::Unit;
