//! Every page in German and Spanish beside the English one: what has no words of its own in a language is marked as English.

#![allow(clippy::too_many_lines, reason = "a story is told in one go")]
#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod common;
mod spoken;

use common::{Answer, FORM, Shop};
use spoken::{Run, runs};
use std::collections::BTreeSet;
use std::fmt::Write as _;
use uuid::Uuid;

/// Sends a form as a new entry.
fn say(shop: &Shop, path: &str, fields: &[(&str, &str)]) -> Answer {
    let entry = Uuid::now_v7().to_string();
    let mut body = format!("entry={entry}&job={entry}");
    for (name, value) in fields {
        let value = value.bytes().fold(String::new(), |mut coded, byte| {
            // Writing to a String cannot fail.
            let _ = write!(coded, "%{byte:02X}");
            coded
        });
        let _ = write!(body, "&{name}={value}");
    }
    let answer = shop.ask("POST", path, &[FORM], body.as_bytes());
    assert_eq!(answer.status, 303, "{path}: {}", answer.text());
    answer
}

fn page(shop: &Shop, path: &str, language: &str) -> String {
    let wanted = format!("Accept-Language: {language}");
    shop.ask("GET", path, &["Accept: text/html", &wanted], b"").text()
}

/// Words that only English has, of these three languages.
const ENGLISH: [&str; 27] = [
    "the", "and", "of", "with", "from", "that", "this", "what", "not", "is", "are", "for", "its", "which",
    "where", "when", "than", "been", "there", "does", "by", "it", "yet", "until", "or", "if", "to",
];
/// What people said in this test, and names.
const NAMES: [&str; 4] = ["grey estate", "halfsplit serve", "brown soot", "Ann Example"];

/// What is the same in another language, and what ports of hoses and wires are called.
const SAME: [&str; 2] = ["from", "to"];

/// What a page in `language` says in English without a mark.
fn unmarked(english: &str, other: &str, language: &str) -> Vec<String> {
    let said: BTreeSet<Run> = runs(english, "en").into_iter().collect();
    let mut left = Vec::new();
    for run in runs(other, language) {
        if SAME.contains(&run.0.as_str()) || run.0.ends_with(", original") {
            continue;
        }
        let text = NAMES
            .iter()
            .fold(run.0.clone(), |text, name| text.replace(name, ""));
        let words: Vec<&str> = text
            .split_whitespace()
            .filter(|word| !word.starts_with('`'))
            .map(|word| word.trim_matches(|letter: char| !letter.is_alphanumeric()))
            .filter(|word| !word.is_empty())
            .collect();
        let plain = words
            .iter()
            .filter(|word| word.chars().count() > 2 && word.chars().all(char::is_alphabetic));
        let same = said.contains(&run) && plain.count() > 1;
        if same
            || words
                .iter()
                .any(|word| ENGLISH.contains(&word.to_lowercase().as_str()))
        {
            left.push(run.0);
        }
    }
    left
}

/// What an entry says in one language it says in the other, or it is refused: a page is looked at in either.
fn looked_at(shop: &Shop, pages: &[&str]) {
    let mut left = Vec::new();
    for (path, language) in pages.iter().zip(["de", "es"].into_iter().cycle()) {
        let (english, other) = (page(shop, path, "en"), page(shop, path, language));
        let tag = format!("<html lang=\"{language}\"");
        assert!(other.contains(&tag), "{path}: {other}");
        let runs = unmarked(&english, &other, language);
        left.extend(runs.into_iter().map(|run| format!("{language} {path}: {run}")));
    }
    assert!(left.is_empty(), "English without a mark: {left:#?}");
}

#[test]
fn no_page_around_the_jobs_speaks_english_unmarked() {
    let shop = Shop::alone();
    looked_at(
        &shop,
        &[
            "/",
            "/?words=nothing",
            "/new",
            "/nothing",
            "/shop",
            "/devices",
            "/pair",
            "/circuits",
            "/circuits?words=nothing",
            "/circuits/new",
            "/circuits/vacuum-wastegate",
            "/circuits/starter-circuit",
            "/circuits/vacuum-variable-geometry",
            "/circuits/vacuum-wastegate/edit",
            "/what-if/vacuum-wastegate",
            "/what-if/starter-circuit?fault=motor/worn+brushes",
            "/practice",
            "/practice/018f0000-0000-7000-8000-000000000000",
            "/jobs/7",
        ],
    );
}

#[test]
fn no_page_of_a_job_speaks_english_unmarked() {
    let shop = Shop::alone();
    say(
        &shop,
        "/new",
        &[
            ("circuit", "vacuum-wastegate"),
            ("codes", "P0299"),
            ("vehicle", "grey estate"),
            ("complaint", "no power"),
            ("altitude", "440 m"),
            ("limit", "100"),
            ("invented", "true"),
        ],
    );
    say(
        &shop,
        "/shop",
        &[
            ("form", "charges"),
            ("currency", "EUR"),
            ("rate", "95"),
            ("tax", "19"),
        ],
    );
    let all = [
        "/jobs/1",
        "/jobs/1/checks",
        "/jobs/1/checks/tee:valve.source@idle",
        "/jobs/1/checks/look:source-line@off",
        "/jobs/1/parts/valve",
        "/jobs/1/joints/valve.source",
        "/jobs/1/what-if",
        "/jobs/1/plan",
        "/jobs/1/offer",
        "/jobs/1/repair",
        "/jobs/1/proof",
        "/jobs/1/close",
        "/jobs/1/paper",
        "/jobs/1/paper/job",
        "/jobs/1/paper/customer",
        "/jobs/1/checks/nothing",
        "/jobs/1/parts/nothing",
    ];
    looked_at(&shop, &all);
    let read = |check, sort, figure, unit| {
        let fields = [
            ("check", check),
            ("sort", sort),
            ("figure", figure),
            ("unit", unit),
        ];
        say(
            &shop,
            "/jobs/1/readings",
            &[&[("form", "reading")], &fields[..]].concat(),
        );
    };
    read("tee:valve.source@idle", "is", "9", "inHg");
    read("travel:actuator.rod@idle", "under", "2", "mm");
    looked_at(
        &shop,
        &[
            "/jobs/1",
            "/jobs/1/checks/deadhead:valve.source@idle",
            "/jobs/1/parts/source-line",
            "/jobs/1/offer",
            "/jobs/1/paper/job",
            "/jobs/1/paper/customer",
            "/jobs/1/paper/customer",
            "/jobs/1/paper/job",
        ],
    );
    say(
        &shop,
        "/jobs/1/steps",
        &[
            ("form", "cause"),
            ("of", "source-line/leaks"),
            ("why", "brown soot"),
        ],
    );
    looked_at(&shop, &["/jobs/1/proof"]);
    say(
        &shop,
        "/jobs/1/repair",
        &[
            ("form", "repair"),
            ("part", "source-line"),
            ("how", "renewed"),
            ("grade", "budget"),
            ("price", "22,50"),
            ("minutes", "25"),
            ("behind", "mended"),
            ("what", "brown soot"),
        ],
    );
    looked_at(&shop, &["/jobs/1", "/jobs/1/proof", "/jobs/1/close"]);
    say(
        &shop,
        "/jobs/1/proof",
        &[("form", "by-hand"), ("why", "brown soot")],
    );
    say(
        &shop,
        "/jobs/1/proof",
        &[("form", "road"), ("check", "brown soot"), ("verdict", "yes")],
    );
    looked_at(&shop, &["/jobs/1/proof", "/jobs/1/close"]);
    say(
        &shop,
        "/jobs/1/close",
        &[("form", "close"), ("ending", "unverified"), ("why", "brown soot")],
    );
    looked_at(&shop, &["/", "/jobs/1", "/jobs/1/close", "/jobs/1/repair"]);
    let papers = ["/jobs/1/paper/job", "/jobs/1/paper/customer"];
    looked_at(&shop, &[papers[0], papers[1], papers[1], papers[0]]);
}

#[test]
fn practice_speaks_the_language_from_the_first_look_to_the_end() {
    let shop = Shop::alone();
    for circuit in ["vacuum-wastegate", "starter-circuit"] {
        let answer = say(&shop, "/practice", &[("circuit", circuit), ("seed", "3")]);
        let place = answer.header("location").unwrap().to_owned();
        looked_at(&shop, &[&place, &format!("{place}?part=battery")]);
        let model = engine::load(circuit, engine::shipped_called(circuit).unwrap().text)
            .model
            .unwrap();
        let check = &model.checks()[0].id;
        looked_at(&shop, &[&format!("{place}?check={}", check.replace(' ', "+"))]);
        say(&shop, &place, &[("step", "0"), ("check", check)]);
        looked_at(&shop, &[&place, &place]);
        say(
            &shop,
            &place,
            &[("step", "1"), ("renew", "battery"), ("bench", "true")],
        );
        looked_at(&shop, &[&place, &place]);
        say(&shop, &place, &[("step", "2"), ("leave", "true")]);
        looked_at(&shop, &[&place, &place]);
    }
}

#[test]
fn an_instrument_is_said_in_the_language_of_the_page_and_is_the_same_in_every_other() {
    let shop = Shop::alone();
    let fields = "form=facts&people=Ann+Example&altitude=440&instruments=Unterdruckmanometer%3A+das+alte";
    let answer = shop.ask("POST", "/shop", &[FORM, "Accept-Language: de"], fields.as_bytes());
    assert_eq!(answer.status, 303, "{}", answer.text());
    assert!(page(&shop, "/shop", "de").contains("Unterdruckmanometer: das alte"));
    assert!(page(&shop, "/shop", "en").contains("vacuum gauge: das alte"));
}
