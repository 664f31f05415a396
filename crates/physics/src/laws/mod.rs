//! The laws: what flows through one element at given potentials, with exact derivatives.
//!
//! Each law is a plain function of numbers in SI; DERIVATIONS.md gives each its section and source.

pub(crate) mod air;
pub(crate) mod alternator;
pub(crate) mod electric;
pub(crate) mod friction;
pub(crate) mod liquid;
pub(crate) mod thermistor;
pub(crate) mod turbo;

#[cfg(test)]
pub(crate) mod tests;
