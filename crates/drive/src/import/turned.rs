//! Files with one row per signal and moment, turned into one row per moment.

use super::{Raw, Table, VALUES, whole};
use crate::recording::{Dropped, Finding};
use std::collections::BTreeMap;

/// Whether every row names its signal.
pub(super) fn is_turned(table: &Table) -> bool {
    table.rows > 0 && table.tags.iter().all(Option::is_some)
}

/// One row per moment, a column per signal, gaps where a signal was not read then.
pub(super) fn upright(table: &Table, dropped: &mut Dropped, findings: &mut Vec<Finding>) -> Table {
    let value = table.columns.iter().position(|column| column.is_called(VALUES));
    let time = table.columns.iter().position(|column| {
        column.clock
            || crate::recognise::words(&column.name)
                .iter()
                .any(|word| ["time", "timestamp", "seconds", "elapsed"].contains(&word.as_str()))
    });
    let (Some(value), Some(time)) = (value, time) else {
        findings.push(whole(
            "one row per signal, but no column of times or values beside the names".to_owned(),
        ));
        return Table::default();
    };
    let mut columns: Vec<Raw> = vec![Raw {
        figures: Vec::new(),
        ..table.columns[time].clone()
    }];
    let mut places: BTreeMap<String, usize> = BTreeMap::new();
    let mut upright = Table::default();
    for row in 0..table.rows {
        let Some(Some(tag)) = table.tags.get(row) else {
            continue;
        };
        let at = table.columns[time].figures[row];
        if !at.is_finite() {
            dropped.rows += 1;
            continue;
        }
        let last = columns[0].figures.last().copied();
        if last.is_none_or(|last| last.total_cmp(&at).is_ne()) {
            for column in &mut columns {
                column.figures.push(f64::NAN);
            }
            columns[0].figures[upright.rows] = at;
            upright.at.push(table.at[row]);
            upright.rows += 1;
        }
        let place = *places.entry(tag.name.clone()).or_insert_with(|| {
            columns.push(Raw {
                name: tag.name.clone(),
                unit: tag.unit.clone(),
                figures: vec![f64::NAN; upright.rows],
                clock: false,
            });
            columns.len() - 1
        });
        columns[place].figures[upright.rows - 1] = table.columns[value].figures[row];
    }
    upright.columns = columns;
    upright
}
