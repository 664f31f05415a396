//! Tables: columns as wide as their words need, the head again on every page.

use super::flow::{BASELINE, BOTTOM, Flow, HIGH, Ink, LEADING, MARGIN, Meaning, ROOM, count};
use super::type_set::Line;
use crate::page::Words;
use krilla::tagging::{TableHeaderScope, Tag, TagKind};

/// Type in tables.
const CELL: f32 = 9.0;
/// Between columns.
const GAP: f32 = 10.0;

impl Flow<'_> {
    pub(super) fn table(&mut self, head: &[String], rows: &[Vec<Words>]) {
        let heads: Vec<Words> = head.iter().map(Words::strong).collect();
        let widths = self.columns(&heads, rows);
        let head_lines = self.set(&heads, &widths);
        let head_high = high(&head_lines);
        let begins = self.beginning(head, rows);
        let mut parts = Vec::new();
        let first = self.leaf_row(
            heads.len(),
            |_| Tag::TH(TableHeaderScope::Column).into(),
            &mut parts,
        );
        self.room_for(begins);
        self.head(&head_lines, &widths, Some(&first));
        for row in rows {
            let lines = self.set(row, &widths);
            let leaves = self.leaf_row(row.len(), |_| Tag::TD.into(), &mut parts);
            // A row is not parted unless it is higher than a page.
            if self.y + high(&lines) > BOTTOM && high(&lines) + head_high <= HIGH {
                self.next_page();
                self.head(&head_lines, &widths, None);
            }
            self.y += 2.5;
            for number in 0..lines.iter().map(Vec::len).max().unwrap_or(0) {
                if self.y + CELL * LEADING > BOTTOM {
                    self.next_page();
                    self.head(&head_lines, &widths, None);
                    self.y += 2.5;
                }
                self.row_line(&lines, number, &widths, Some(&leaves));
                self.y += CELL * LEADING;
            }
            self.y += 2.5;
            self.put(
                None,
                Ink::Rule {
                    x: MARGIN,
                    y: self.y,
                    width: ROOM,
                },
            );
        }
        self.y += 4.0;
        self.meaning.push(Meaning {
            kind: Tag::Table.into(),
            parts,
            leaf: None,
        });
    }

    /// Every cell of a row in lines.
    fn set(&self, cells: &[Words], widths: &[f32]) -> Vec<Vec<Line>> {
        let cells = cells.iter().zip(widths);
        cells
            .map(|(cell, width)| self.fonts.lines(cell, width / CELL))
            .collect()
    }

    /// Height of a table's head with its first row; of its first lines if that row is higher than a page.
    pub(super) fn beginning(&self, head: &[String], rows: &[Vec<Words>]) -> f32 {
        let heads: Vec<Words> = head.iter().map(Words::strong).collect();
        let widths = self.columns(&heads, rows);
        let head_high = high(&self.set(&heads, &widths));
        let first = rows.first().map_or(0.0, |row| high(&self.set(row, &widths)));
        let whole = head_high + first;
        // With room for a heading above.
        if whole + 4.0 * CELL * LEADING <= HIGH {
            whole
        } else {
            head_high + 2.0 * CELL * LEADING
        }
    }

    /// A leaf for every cell of a row, which joins `rows`.
    fn leaf_row(
        &mut self,
        cells: usize,
        kind: impl Fn(usize) -> TagKind,
        rows: &mut Vec<Meaning>,
    ) -> Vec<usize> {
        let leaves: Vec<usize> = (0..cells).map(|_| self.leaf()).collect();
        let parts = leaves.iter().enumerate();
        let parts = parts.map(|(place, leaf)| Meaning {
            kind: kind(place),
            parts: Vec::new(),
            leaf: Some(*leaf),
        });
        rows.push(Meaning {
            kind: Tag::TR.into(),
            parts: parts.collect(),
            leaf: None,
        });
        leaves
    }

    /// The head of a table; where it is repeated it is ornament.
    fn head(&mut self, lines: &[Vec<Line>], widths: &[f32], leaves: Option<&[usize]>) {
        self.y += 2.5;
        for number in 0..lines.iter().map(Vec::len).max().unwrap_or(0) {
            self.row_line(lines, number, widths, leaves);
            self.y += CELL * LEADING;
        }
        self.y += 2.5;
        self.put(
            None,
            Ink::Rule {
                x: MARGIN,
                y: self.y,
                width: ROOM,
            },
        );
        self.put(
            None,
            Ink::Rule {
                x: MARGIN,
                y: self.y + 0.6,
                width: ROOM,
            },
        );
        self.y += 0.6;
    }

    /// Line `number` of every cell of a row.
    fn row_line(&mut self, cells: &[Vec<Line>], number: usize, widths: &[f32], leaves: Option<&[usize]>) {
        let (mut x, y) = (MARGIN, self.y + CELL * BASELINE);
        for (place, (cell, width)) in cells.iter().zip(widths).enumerate() {
            if let Some(line) = cell.get(number) {
                let leaf = leaves.and_then(|leaves| leaves.get(place)).copied();
                self.put(
                    leaf,
                    Ink::Words {
                        x,
                        y,
                        size: CELL,
                        line: line.clone(),
                    },
                );
            }
            x += width + GAP;
        }
    }

    /// Widths of columns: a column that wants no more than its share gets what it wants, the others share what is left.
    fn columns(&self, heads: &[Words], rows: &[Vec<Words>]) -> Vec<f32> {
        let all = || std::iter::once(heads).chain(rows.iter().map(Vec::as_slice));
        let widest = |place: usize| {
            let cells = all().filter_map(|row| row.get(place));
            cells.map(|cell| self.fonts.width(cell)).fold(0.0, f32::max)
        };
        // A little more, so that what was measured whole still fits word by word.
        let wanted: Vec<f32> = (0..heads.len()).map(|place| widest(place) * CELL + 0.5).collect();
        let mut room = ROOM - GAP * count(heads.len().saturating_sub(1));
        let spare = room - wanted.iter().sum::<f32>();
        if spare >= 0.0 {
            let share = spare / count(heads.len());
            return wanted.iter().map(|width| width + share).collect();
        }
        let mut greedy: Vec<usize> = (0..heads.len()).collect();
        loop {
            let share = room / count(greedy.len());
            let (content, others): (Vec<usize>, Vec<usize>) =
                greedy.into_iter().partition(|place| wanted[*place] <= share);
            room -= content.iter().map(|place| wanted[*place]).sum::<f32>();
            greedy = others;
            if content.is_empty() {
                return wanted.iter().map(|width| width.min(share)).collect();
            }
        }
    }
}

/// Height of a row.
fn high(cells: &[Vec<Line>]) -> f32 {
    count(cells.iter().map(Vec::len).max().unwrap_or(0)) * CELL * LEADING + 5.0
}
