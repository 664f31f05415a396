//! A page as HTML that stands alone: styles in its head, no script, no outside address.

use crate::page::{Block, Face, Page, Words};
use maud::{DOCTYPE, Markup, PreEscaped, html};

const STYLE: &str = "\
:root{color-scheme:light dark}\
body{font:16px/1.45 sans-serif;max-width:60rem;margin:0 auto;padding:1rem;overflow-wrap:anywhere}\
h1{font-size:1.5rem;margin:0 0 .5rem}h2{font-size:1.15rem;margin:1.2rem 0 .3rem}p{margin:.3rem 0}\
ul{margin:.3rem 0;padding-left:1.3rem}table{border-collapse:collapse;width:100%}\
th,td{text-align:left;vertical-align:top;padding:.25rem .5rem .25rem 0;border-bottom:1px solid}\
.caution{border:2px solid;padding:.4rem .7rem;margin:.7rem 0}\
.drawing{background:#fff;color:#000;color-scheme:light;overflow-x:auto}.drawing svg{width:100%;min-width:42rem;height:auto}\
footer{margin-top:1.5rem;border-top:1px solid;padding-top:.4rem;font-size:.9rem}\
@media (max-width:30rem){thead{display:none}tr{display:block;border-bottom:1px solid;padding:.3rem 0}\
td{display:block;border:0;padding:0}}\
@page{margin:15mm}\
@media print{:root{color-scheme:light}.drawing svg{min-width:0}body{font-size:10.5pt;color:#000;background:#fff;max-width:none;padding:0}\
thead{display:table-header-group}tr{display:table-row}td{display:table-cell;border-bottom:1px solid;padding:.25rem .5rem .25rem 0}\
tr,.caution,.drawing{break-inside:avoid}h2{break-after:avoid}}";

impl Page {
    /// The blocks alone as HTML, for a frame that has its own head, title and styles.
    pub fn inside(&self) -> String {
        html! { @for block in &self.blocks { (self.written(block)) } }.into_string()
    }

    /// The page as HTML.
    pub fn html(&self) -> String {
        html! {
            (DOCTYPE)
            html lang=(self.standing.language) {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    title { (self.title) }
                    style { (PreEscaped(STYLE)) }
                }
                body {
                    h1 { (self.title) }
                    @if let Some(mark) = self.invented() { p { strong { (mark) } } }
                    @for block in &self.blocks { (self.written(block)) }
                    footer { (self.standing.foot) }
                }
            }
        }
        .into_string()
    }

    fn written(&self, block: &Block) -> Markup {
        html! {
            @match block {
                Block::Heading(text) => h2 { (text) },
                Block::Text(text) => p { (words(text)) },
                Block::List(lines) => ul { @for line in lines { li { (words(line)) } } },
                Block::Table { head, rows } => table {
                    thead { tr { @for name in head { th { (name) } } } }
                    tbody { @for row in rows { tr { @for cell in row { td { (words(cell)) } } } } }
                },
                Block::Caution(text) => p.caution { strong { (self.standing.caution) " " } (words(text)) },
                // Wider than a phone: keys move it too.
                Block::Drawing(svg) => div.drawing tabindex="0" { (PreEscaped(svg)) },
            }
        }
    }
}

fn words(words: &Words) -> Markup {
    html! { @for run in &words.0 { @match run.face {
        Face::Plain | Face::Own => (run.text),
        Face::Strong => strong { (run.text) },
        Face::Struck => s { (run.text) },
    } } }
}
