//! The frame of every page: its head, its styles, its foot.

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

/// A whole page.
pub(crate) fn page(title: &str, invented: bool, body: &Markup) -> String {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                h1 { (title) }
                @if invented { p { strong { "Invented example; no real vehicle or person." } } }
                (body)
                footer { "The maker's service information, local law and licensed practice come first." }
            }
        }
    }
    .into_string()
}

/// A heading, if it has words, with a list; nothing if the list is empty.
pub(crate) fn list(heading: &str, lines: &[impl AsRef<str>]) -> Markup {
    html! {
        @if !lines.is_empty() {
            @if !heading.is_empty() { h2 { (heading) } }
            ul { @for line in lines { li { (line.as_ref()) } } }
        }
    }
}

/// What can hurt, in a frame; nothing if nothing can.
pub(crate) fn cautions(lines: &[String]) -> Markup {
    html! { @for line in lines { p.caution { strong { "Caution: " } (line) } } }
}

/// A drawing, as it is.
pub(crate) fn drawing(svg: &str) -> Markup {
    html! { @if !svg.is_empty() { div.drawing { (PreEscaped(svg)) } } }
}
