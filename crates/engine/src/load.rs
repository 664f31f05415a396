//! From a description's text to a circuit ready to be measured.

use circuit::Bundle;
use diag::{Diagnostic, Source};
use physics::Model;

/// A description after reading.
#[derive(Debug)]
pub struct Loaded {
    /// Its name and text, with the texts of included files behind it, for showing findings.
    pub source: Source,
    /// The circuit ready to be measured; `None` if the description has an error.
    pub model: Option<Model>,
    /// Everything found, in the order of the text.
    pub findings: Vec<Diagnostic>,
}

/// Reads a description.
pub fn load(name: &str, text: &str) -> Loaded {
    let outcome = circuit::read(name, text, physics::catalogue());
    Loaded {
        source: Source::new(name, text),
        model: outcome.circuit.map(Model::new),
        findings: outcome.findings,
    }
}

/// Reads a description with the files that it includes.
pub fn load_bundle(name: &str, bundle: &Bundle) -> Loaded {
    let outcome = bundle.read(name, physics::catalogue());
    Loaded {
        source: bundle.source.clone(),
        model: outcome.circuit.map(Model::new),
        findings: outcome.findings,
    }
}

/// Reads a description that may not be text at all.
pub fn load_bytes(name: &str, bytes: &[u8]) -> Loaded {
    let outcome = circuit::read_bytes(name, bytes, physics::catalogue());
    let text = String::from_utf8_lossy(bytes);
    Loaded {
        source: Source::new(name, text),
        model: outcome.circuit.map(Model::new),
        findings: outcome.findings,
    }
}

/// The kinds of parts that a description may name.
pub fn kinds() -> &'static [&'static circuit::KindSpec] {
    physics::catalogue().kinds()
}
