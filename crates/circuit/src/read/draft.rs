//! Parts as written, on their way to a circuit: some of their kinds may be unknown, their connections are not yet looked up.
//!
//! A composed part is no part of its own here but the parts it is made of, one behind the other, and a [`Group`] that says so.

use crate::fields::Quoted;
use crate::kind::KindSpec;
use crate::model::{PartId, PortRef, Repair, Value};
use diag::Span;
use std::borrow::Cow;
use std::collections::BTreeSet;
use std::ops::Range;

/// The parts of a table in the order of the file.
#[derive(Debug, Clone, Default)]
pub(super) struct Draft<'a> {
    pub(super) parts: Vec<DraftPart<'a>>,
    /// An outer group before those in it.
    pub(super) groups: Vec<Group<'a>>,
}

/// A part as written; its kind may be unknown.
#[derive(Debug, Clone)]
pub(super) struct DraftPart<'a> {
    pub(super) id: Cow<'a, str>,
    pub(super) id_span: Span,
    pub(super) span: Span,
    pub(super) kind: Option<&'static KindSpec>,
    pub(super) what: Option<String>,
    pub(super) values: Vec<Value>,
    /// Parameters that have no value yet: they are left to whoever uses the composed kind.
    pub(super) wanting: Vec<usize>,
    pub(super) links: Vec<Link<'a>>,
    /// Ports whose key says nothing that can be read.
    pub(super) unreadable: Vec<usize>,
    /// Texts of a part of unknown kind: some of them may name ports.
    pub(super) strays: Vec<&'a str>,
    pub(super) repair: Option<Repair>,
    /// Weights of its faults as the composed kind has them that it comes from; without one the kind's own.
    pub(super) weights: Option<Vec<f64>>,
    /// Column and row in the drawing, and where they are written.
    pub(super) pinned: Option<((u16, u16), Span)>,
}

/// A key that joins a port of this part to another.
#[derive(Debug, Clone)]
pub(super) struct Link<'a> {
    pub(super) port: usize,
    pub(super) target: Target<'a>,
}

/// Where a connection leads.
#[derive(Debug, Clone, Copy)]
pub(super) enum Target<'a> {
    /// As the author wrote it.
    Written(Quoted<'a>),
    /// Inside a composed part, looked up when its kind was read.
    Inside(PortRef),
}

/// A composed part: which parts it is made of, and what of theirs can be named as its own.
#[derive(Debug, Clone)]
pub(super) struct Group<'a> {
    pub(super) id: String,
    pub(super) kind: &'a str,
    pub(super) members: Range<usize>,
    pub(super) ports: Vec<(&'a str, PortRef)>,
    /// Part and parameter behind each name.
    pub(super) parameters: Vec<(&'a str, Vec<(usize, usize)>)>,
}

/// Parameters that may be missing, as part and name: the composed kind that is being read leaves them to its users.
pub(super) type Left<'a> = BTreeSet<(&'a str, &'a str)>;

/// The port as it is called where the parts before it are `base` more.
pub(super) fn moved(port: PortRef, base: usize) -> PortRef {
    PortRef {
        part: PartId(port.part.0 + base),
        port: port.port,
    }
}
