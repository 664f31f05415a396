//! What the tests of this crate share: circuits read from files, units of the trade, checks by name.
#![allow(
    dead_code,
    clippy::unwrap_used,
    reason = "tests; each file uses its own part of this"
)]

pub(crate) mod meter;

use circuit::{Circuit, FaultId};
use physics::{Model, Probe, Vehicle};

/// Pascals in a conventional inch of mercury; NIST SP 811.
pub(crate) const INCH: f64 = 3_386.388_64;

/// The circuit in `text`, or a panic with what is wrong with it.
pub(crate) fn read(name: &str, text: &str) -> Circuit {
    let file = circuit::read(name, text, physics::catalogue());
    file.circuit
        .unwrap_or_else(|| panic!("{name}: {:#?}", file.findings))
}

/// Every circuit that is shipped, in order of name.
pub(crate) fn shipped() -> Vec<Circuit> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../circuits");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.retain(|path| path.extension().is_some_and(|extension| extension == "toml"));
    paths.sort();
    paths
        .iter()
        .map(|path| {
            read(
                &path.file_stem().unwrap().to_string_lossy(),
                &std::fs::read_to_string(path).unwrap(),
            )
        })
        .collect()
}

/// The shipped circuit called `name`.
pub(crate) fn one(name: &str) -> Circuit {
    shipped()
        .into_iter()
        .find(|circuit| circuit.name == name)
        .unwrap()
}

/// The fault written `part/fault`.
pub(crate) fn fault(circuit: &Circuit, text: &str) -> FaultId {
    let (part, name) = text.split_once('/').unwrap();
    let part = circuit.part(part).unwrap_or_else(|| panic!("no part {part}"));
    let fault = circuit.parts[part.0]
        .kind
        .fault(name)
        .unwrap_or_else(|| panic!("no fault {text}"));
    FaultId { part, fault }
}

/// What the check called `id` reads on `vehicle`, SI.
pub(crate) fn reading(probe: &mut Probe, id: &str, vehicle: &Vehicle) -> f64 {
    let check = probe
        .model()
        .check(id)
        .unwrap_or_else(|| panic!("no check {id}: {:?}", ids(probe.model())));
    probe
        .predict(check, vehicle)
        .unwrap_or_else(|error| panic!("{error}"))
        .value()
}

fn ids(model: &Model) -> Vec<&str> {
    model.checks().iter().map(|check| check.id.as_str()).collect()
}
