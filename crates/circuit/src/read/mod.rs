//! Reading a circuit file: text in, a [`Circuit`] and all findings out.
//!
//! One pass in a few steps. First each table for itself: keys, words, quantities. Then what one place says about another:
//! joints, commands, reach, weights. Last what only the whole can show: sources, and whether the check in `[works]`
//! exists. A step goes on after a finding; what would only repeat the same cause in other words is not said.

mod access;
mod commanded;
mod composed;
mod conditions;
mod draft;
mod header;
mod joints;
mod likelihood;
mod names;
mod parts;
mod put;
mod sources;
mod works;

use crate::codes;
use crate::derive::derive_checks;
use crate::fields::{Field, Fields};
use crate::kind::{Catalogue, KindSpec};
use crate::model::{Access, Circuit, CommonCause, Condition, Joint, JointId, Part, Priors, Repair, Works};
use crate::sheet::Sheet;
use access::Reaches;
use diag::{Diagnostic, Span};
use draft::{Draft, DraftPart};
use header::Header;
use joints::Joints;
use names::Parts;
use works::DraftWorks;

/// What came of reading a circuit file.
#[derive(Debug, Clone)]
pub struct CircuitFile {
    /// The circuit; `None` if a finding is an error.
    pub circuit: Option<Circuit>,
    /// Everything found, in the order of the text.
    pub findings: Vec<Diagnostic>,
}

/// Reads a circuit file. `name` becomes the circuit's name.
///
/// Never panics and never stops at the first error: every mistake in the file is found at once.
///
/// # The file
/// ```toml
#[doc = include_str!("example.toml")]
/// ```
/// A kind can be composed of others, in the same file or in one that is included (`include = ["vacuum-unit.toml"]` above the
/// first table; [`bundle`](crate::bundle) puts the texts together):
/// ```toml
#[doc = include_str!("composed.toml")]
/// ```
/// A part of such a kind is the parts it is made of: `low.valve` is what faults, checks, `[reach]` and `[likelihood]` name.
/// The condition `off` always exists and comes first. A joint is named by the port of a part rather than by that of the
/// hose or wire that leads there, and lies as deep as that part unless `[reach]` says otherwise.
pub fn read(name: &str, text: &str, catalogue: &Catalogue) -> CircuitFile {
    let (mut sheet, root) = Sheet::parse(text);
    let circuit = root.and_then(|root| {
        let end = Span::new(0, 0);
        document(&mut sheet, name, Fields::of(&root, end), catalogue)
    });
    let circuit = circuit.filter(|_| !sheet.has_errors());
    CircuitFile {
        circuit,
        findings: sheet.into_findings(),
    }
}

/// Reads a circuit file that may not even be text.
pub fn read_bytes(name: &str, bytes: &[u8], catalogue: &Catalogue) -> CircuitFile {
    match std::str::from_utf8(bytes) {
        Ok(text) => read(name, text, catalogue),
        Err(error) => {
            let at = error.valid_up_to();
            let found = Diagnostic::error(
                codes::NOT_UTF8,
                at..at,
                format!("not UTF-8 text from byte {at} on"),
            );
            let found = found.labelled("no character").hint("save the file as UTF-8");
            CircuitFile {
                circuit: None,
                findings: vec![found],
            }
        }
    }
}

const TABLES: &[&str] = &[
    "circuit",
    "prior",
    "part",
    "kind",
    "condition",
    "access",
    "reach",
    "likelihood",
    "common-cause",
    "works",
    "complaint",
];

fn document(
    sheet: &mut Sheet<'_>,
    name: &str,
    mut root: Fields<'_>,
    catalogue: &Catalogue,
) -> Option<Circuit> {
    let header = match table(sheet, &mut root, "circuit") {
        Some(fields) => header::read(sheet, fields),
        None => no_header(sheet),
    };
    let priors = table(sheet, &mut root, "prior")
        .map(|fields| header::priors(sheet, fields))
        .unwrap_or_default();
    let kinds = table(sheet, &mut root, "kind");
    let kinds = composed::read(sheet, kinds, catalogue);
    let draft = match table(sheet, &mut root, "part") {
        Some(fields) => parts::read(sheet, fields, &kinds, &draft::Left::new())?,
        None => Draft::default(),
    };
    if draft.parts.is_empty() {
        let found = Diagnostic::error(codes::NO_PART, Span::new(0, 0), "the file has no part");
        sheet.push(
            found
                .labelled("a circuit has parts")
                .hint("add `[part.ID]` with `kind = \"…\"`"),
        );
    }
    let parts = Parts::of(&draft);
    let draft_parts = &draft.parts;
    let joints = joints::read(sheet, draft_parts, &parts, &[]);
    let conditions = table(sheet, &mut root, "condition");
    let conditions = conditions::read(sheet, conditions, &parts);
    commanded::check(sheet, &conditions.commanded, draft_parts, &joints);
    let accesses = table(sheet, &mut root, "access");
    let accesses = access::read(sheet, accesses);
    let reach = table(sheet, &mut root, "reach");
    let reaches = access::reach(sheet, reach, &parts, &joints, &accesses.ids);
    let likelihood = table(sheet, &mut root, "likelihood");
    let weights = likelihood::read(sheet, likelihood, draft_parts, &parts);
    let causes = root
        .take("common-cause")
        .map(|field| field.tables(sheet))
        .unwrap_or_default();
    let causes = likelihood::common_causes(sheet, causes, &parts);
    let works = table(sheet, &mut root, "works").and_then(|fields| works::read(sheet, fields));
    let complaints = root
        .take("complaint")
        .map(|field| field.tables(sheet))
        .unwrap_or_default();
    let complaints = complaints
        .into_iter()
        .filter_map(|fields| works::read(sheet, fields))
        .collect::<Vec<_>>();
    not_fetched(sheet, &mut root);
    unknown_tables(sheet, root);
    sources::check(sheet, draft_parts, &joints);
    let whole = Whole {
        header,
        priors,
        draft: draft.parts,
        joints,
        conditions: conditions.all,
        accesses: accesses.all,
        reaches,
        weights,
        causes,
    };
    whole.complete(sheet, name, works, &complaints)
}

fn table<'a>(sheet: &mut Sheet<'_>, root: &mut Fields<'a>, key: &str) -> Option<Fields<'a>> {
    let field: Field<'a> = root.take(key)?;
    field.fields(sheet, &format!("write `[{key}]` on a line of its own"))
}

fn no_header(sheet: &mut Sheet<'_>) -> Header {
    let found = Diagnostic::error(codes::MISSING_KEY, Span::new(0, 0), "the file has no `[circuit]`");
    sheet.push(
        found
            .labelled("needs a title")
            .hint("begin with `[circuit]` and `title = \"…\"`"),
    );
    Header::default()
}

/// Files that the text includes and that nobody put behind it.
fn not_fetched(sheet: &mut Sheet<'_>, root: &mut Fields<'_>) {
    let Some(field) = root.take("include") else { return };
    for text in field.texts(sheet).unwrap_or_default() {
        let message = format!(
            "`{}` was not handed in with this text",
            crate::sheet::shown(text.text)
        );
        let found = Diagnostic::error(codes::INCLUDE_MISSING, text.span, message).labelled("not there");
        sheet.push(found.hint("write the composed kind into this text, or read the circuit from its file"));
    }
}

fn unknown_tables(sheet: &mut Sheet<'_>, mut root: Fields<'_>) {
    for field in root.take_all() {
        let message = format!("unknown table `{}`", crate::sheet::shown(field.key));
        let found = Diagnostic::error(codes::UNKNOWN_TABLE, field.key_span, message)
            .labelled("not known in a circuit");
        sheet.push(found.maybe_hint(sheet.suggest(field.key, TABLES.iter().copied())));
    }
}

/// Everything read, on its way to a circuit.
struct Whole<'a> {
    header: Header,
    priors: Priors,
    draft: Vec<DraftPart<'a>>,
    joints: Joints,
    conditions: Vec<Condition>,
    accesses: Vec<Access>,
    reaches: Reaches,
    weights: Vec<Vec<f64>>,
    causes: Vec<CommonCause>,
}

impl Whole<'_> {
    /// The circuit. `[works]` and `[[complaint]]` are looked at as closely as the rest allows.
    fn complete(
        self,
        sheet: &mut Sheet<'_>,
        name: &str,
        works: Option<DraftWorks<'_>>,
        complaints: &[DraftWorks<'_>],
    ) -> Option<Circuit> {
        if sheet.has_errors() {
            for works in works.iter().chain(complaints) {
                let ids: Vec<String> = self
                    .conditions
                    .iter()
                    .map(|condition| condition.id.clone())
                    .collect();
                works.look(
                    sheet,
                    self.draft
                        .iter()
                        .map(|part| (part.id.as_ref(), part.kind))
                        .collect(),
                    &ids,
                );
            }
            return None;
        }
        let mut circuit = self.circuit(name)?;
        if let Some(works) = works {
            // Which checks exist depends on the condition in which the circuit must work.
            circuit.works = Some(Works {
                check: works.check.text.to_owned(),
                least: None,
                most: None,
            });
            let checks = derive_checks(&circuit);
            circuit.works = works.complete(sheet, &circuit, &checks);
        }
        if !complaints.is_empty() {
            let checks = derive_checks(&circuit);
            let complete = complaints
                .iter()
                .map(|complaint| complaint.complete(sheet, &circuit, &checks));
            circuit.complaints = complete.collect::<Option<_>>()?;
        }
        Some(circuit)
    }

    fn circuit(self, name: &str) -> Option<Circuit> {
        let joints = self.joints.ports.into_iter().zip(self.reaches.joints);
        let mut parts = Vec::new();
        let details = self
            .joints
            .at
            .into_iter()
            .zip(self.weights)
            .zip(self.reaches.parts);
        for (draft, ((at, weights), reach)) in self.draft.into_iter().zip(details) {
            let kind: &'static KindSpec = draft.kind?;
            parts.push(Part {
                id: draft.id.into_owned(),
                what: draft.what,
                kind,
                values: draft.values,
                joints: at.into_iter().map(|joint| joint.map(JointId)).collect(),
                weights,
                reach,
                repair: draft.repair.unwrap_or(Repair {
                    minutes: kind.repair.minutes,
                    price: kind.repair.price,
                }),
                pinned: draft.pinned.map(|(place, _)| place),
                span: draft.span,
            });
        }
        let mut circuit = Circuit {
            name: name.to_owned(),
            title: self.header.title,
            about: self.header.about,
            codes: self.header.codes,
            symptoms: self.header.symptoms,
            invented: self.header.invented,
            parts,
            joints: Vec::new(),
            conditions: self.conditions,
            accesses: self.accesses,
            common_causes: self.causes,
            works: None,
            complaints: Vec::new(),
            priors: self.priors,
        };
        for (ports, reach) in joints {
            let first = *ports.first()?;
            let medium = circuit.parts[first.part.0].kind.ports[first.port].medium;
            let name = circuit.port_name(first);
            circuit.joints.push(Joint {
                name,
                medium,
                ports,
                reach,
            });
        }
        Some(circuit)
    }
}
