//! A plan as numbered steps, each with the set-up it needs first.
//!
//! Nothing here calls itself: a plan may be as deep as a table has causes and tests.

use plan::{SetupMode, Table, Tree};

/// One step of a plan.
#[derive(Debug)]
pub(super) struct Step<'t> {
    /// What is done, or where the plan ends.
    pub(super) tree: &'t Tree,
    /// Its number as people count, from 1; ends have none and share that of the step before.
    pub(super) number: usize,
    /// Set-up to be made first, an index into the table's.
    pub(super) setup: Option<usize>,
    /// Places of the steps that follow: after a positive and a negative outcome, or after a repair that did not cure.
    pub(super) then: Vec<usize>,
}

/// A step that is to be written down, and the set-ups that stand when it is reached.
#[derive(Debug)]
struct Reached<'t> {
    tree: &'t Tree,
    stands: Vec<usize>,
    /// The step that leads here.
    from: Option<usize>,
}

/// All steps, ends among them: the first stands first, and what follows a positive outcome comes before what follows a negative one.
pub(super) fn steps<'t>(table: &Table, tree: &'t Tree) -> Vec<Step<'t>> {
    let mut steps: Vec<Step<'t>> = Vec::new();
    let mut number = 0;
    let mut waiting = vec![Reached {
        tree,
        stands: Vec::new(),
        from: None,
    }];
    while let Some(Reached {
        tree,
        mut stands,
        from,
    }) = waiting.pop()
    {
        let place = steps.len();
        if let Some(from) = from {
            steps[from].then.push(place);
        }
        number += usize::from(!matches!(tree, Tree::Causes(_)));
        let setup = needed(table, tree).filter(|setup| !stands.contains(setup));
        if let Some(setup) = setup {
            if table.mode == SetupMode::OneAtATime {
                stands.clear();
            }
            stands.push(setup);
        }
        for next in following(tree).into_iter().rev().flatten() {
            waiting.push(Reached {
                tree: next,
                stands: stands.clone(),
                from: Some(place),
            });
        }
        steps.push(Step {
            tree,
            number,
            setup,
            then: Vec::new(),
        });
    }
    steps
}

fn needed(table: &Table, tree: &Tree) -> Option<usize> {
    match tree {
        Tree::Test { test, .. } => table.tests[*test].setup,
        Tree::Repair { cause, .. } => table.causes[*cause].repair_setup,
        Tree::Causes(_) => None,
    }
}

fn following(tree: &Tree) -> [Option<&Tree>; 2] {
    match tree {
        Tree::Test {
            positive, negative, ..
        } => [Some(positive), Some(negative)],
        Tree::Repair { otherwise, .. } => [otherwise.as_deref(), None],
        Tree::Causes(_) => [None, None],
    }
}
