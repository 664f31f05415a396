//! The suspects, likeliest first, with a bar, a figure and a word.

use crate::case::Case;
use crate::page::Page;
use crate::words;

/// Writes the ranking.
pub(crate) fn ranking(case: &Case, page: &mut Page) {
    let ranking = desk::ranking(case);
    for line in &ranking.lines {
        let bar = words::bar(line.probability, case.screen.ascii);
        page.line(&format!(
            "  {bar}{}  {:<14}  {}",
            words::percent_column(line.probability),
            words::chance(line.probability),
            line.name
        ));
        for told in &line.told {
            page.aside(&" ".repeat(20), told);
        }
    }
    if ranking.others > 0 {
        page.aside(
            "  ",
            &format!(
                "{} others, together {}",
                ranking.others,
                words::percent(ranking.rest)
            ),
        );
    }
}
