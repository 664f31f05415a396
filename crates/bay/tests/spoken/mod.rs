//! What a page says: its runs of text and its names, outside of what is marked as another language, quoted or code.

/// Words that stand together.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Run(pub(crate) String);

/// Elements without an end.
const VOID: [&str; 7] = ["meta", "link", "input", "br", "hr", "img", "source"];
/// Elements whose text is a program's or a person's.
const NOT_SAID: [&str; 8] = [
    "script", "style", "code", "q", "pre", "textarea", "datalist", "time",
];
/// Attributes that are read aloud or shown.
const NAMES: [&str; 6] = ["aria-label", "placeholder", "alt", "title", "label", "data-took"];

/// The runs of `page` that are in `language`.
pub(crate) fn runs(page: &str, language: &str) -> Vec<Run> {
    let mut runs = Vec::new();
    // Elements that are open: their names, and whether what is in them counts.
    let mut open: Vec<(String, bool)> = Vec::new();
    let mut rest = page;
    while let Some((text, after)) = rest.split_once('<') {
        if open.last().is_none_or(|(_, counts)| *counts) {
            push(&mut runs, text);
        }
        let (tag, behind) = after.split_once('>').unwrap_or((after, ""));
        rest = behind;
        if tag.starts_with('!') {
            continue;
        }
        if let Some(name) = tag.strip_prefix('/') {
            while let Some((last, _)) = open.pop() {
                if last == name {
                    break;
                }
            }
            continue;
        }
        let name = tag.split([' ', '\n', '/']).next().unwrap_or_default();
        let counts = open.last().is_none_or(|(_, counts)| *counts);
        let own = attribute(tag, "lang").is_none_or(|lang| lang == language);
        let counts = counts && own && !NOT_SAID.contains(&name);
        if counts {
            for said in NAMES.iter().filter_map(|name| attribute(tag, name)) {
                push(&mut runs, said);
            }
        }
        if !tag.ends_with('/') && !VOID.contains(&name) {
            open.push((name.to_owned(), counts));
        }
    }
    runs
}

fn attribute<'t>(tag: &'t str, name: &str) -> Option<&'t str> {
    let (_, after) = tag.split_once(&format!(" {name}=\""))?;
    after.split_once('"').map(|(value, _)| value)
}

fn push(runs: &mut Vec<Run>, text: &str) {
    let text = text
        .replace("&quot;", "\"")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&");
    let words: Vec<&str> = text.split_whitespace().collect();
    if words.iter().any(|word| word.chars().any(char::is_alphabetic)) {
        runs.push(Run(words.join(" ")));
    }
}
