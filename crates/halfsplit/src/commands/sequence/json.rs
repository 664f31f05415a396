//! A plan as JSON, in the form that other programs rely on.
//!
//! Written piece by piece from a list of what is still to come: a plan may be deeper than anything that calls itself could go.

use crate::commands::compact;
use crate::failure::Failure;
use plan::{Sequence, Table, Tree};
use std::fmt::Write as _;

/// Levels that are shown by indentation; what lies deeper stands below the last of them, so that a deep plan is not mostly
/// blanks.
const INDENTED: usize = 40;

/// What is still to be written.
enum Piece<'t> {
    Tree(&'t Tree, usize),
    /// A key on a line of its own; the value follows.
    Key(&'static str, usize),
    Text(&'static str),
    /// The brace that closes what was opened at this level.
    Close(usize),
}

/// `{"expected_cost", "lower_bound", "optimal", "tree"}`.
pub(super) fn written(table: &Table, sequence: &Sequence) -> Result<String, Failure> {
    let mut text = format!(
        "{{\n  \"expected_cost\": {},\n  \"lower_bound\": {},\n  \"optimal\": {},\n  \"tree\": ",
        compact(&sequence.expected_cost)?,
        compact(&sequence.lower_bound)?,
        sequence.optimal
    );
    let mut pieces = vec![Piece::Tree(&sequence.tree, 1)];
    while let Some(piece) = pieces.pop() {
        match piece {
            Piece::Text(piece) => text.push_str(piece),
            Piece::Key(key, level) => {
                new_line(&mut text, level);
                text.push_str(key);
            }
            Piece::Close(level) => {
                new_line(&mut text, level);
                text.push('}');
            }
            Piece::Tree(tree, level) => node(&mut text, &mut pieces, table, tree, level)?,
        }
    }
    text.push_str("\n}\n");
    Ok(text)
}

/// Writes what a step is, and leaves what follows it to be written later: the last piece first. Writing to a text cannot
/// fail otherwise.
fn node<'t>(
    text: &mut String,
    pieces: &mut Vec<Piece<'t>>,
    table: &Table,
    tree: &'t Tree,
    level: usize,
) -> Result<(), Failure> {
    let inside = level + 1;
    match tree {
        Tree::Test {
            test,
            positive,
            negative,
        } => {
            opened(text, inside, "test", &table.tests[*test].name)?;
            pieces.extend([
                Piece::Close(level),
                Piece::Tree(negative, inside),
                Piece::Key("\"negative\": ", inside),
                Piece::Text(","),
                Piece::Tree(positive, inside),
                Piece::Key("\"positive\": ", inside),
            ]);
        }
        Tree::Repair { cause, otherwise } => {
            opened(text, inside, "repair", &table.causes[*cause].name)?;
            pieces.push(Piece::Close(level));
            pieces.push(match otherwise {
                Some(otherwise) => Piece::Tree(otherwise, inside),
                None => Piece::Text("null"),
            });
            pieces.push(Piece::Key("\"else\": ", inside));
        }
        Tree::Causes(causes) => {
            let names: Vec<&str> = causes
                .iter()
                .map(|cause| table.causes[*cause].name.as_str())
                .collect();
            let names = names.into_iter().map(compact).collect::<Result<Vec<_>, _>>()?;
            let _ = write!(text, "{{\"causes\": [{}]}}", names.join(", "));
        }
    }
    Ok(())
}

fn opened(text: &mut String, level: usize, what: &str, name: &str) -> Result<(), Failure> {
    text.push('{');
    new_line(text, level);
    let name = compact(name)?;
    let _ = write!(text, "\"{what}\": {name},");
    Ok(())
}

fn new_line(text: &mut String, level: usize) {
    text.push('\n');
    text.extend(std::iter::repeat_n("  ", level.min(INDENTED)));
}
