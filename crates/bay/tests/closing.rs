//! A job from the door to its closing, through pages alone; and what goes wrong on the way.

#![allow(clippy::too_many_lines, reason = "a story is told in one go")]
#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod common;
mod told;

use common::{Answer, FORM, Shop};
use told::{form, look, say, send, taken, taken_in};
use uuid::Uuid;

/// What the record of a job counts.
fn entries(shop: &Shop) -> Vec<job::Entry> {
    let mut store = store::open(&store::Location::File(shop.folder.join("shop.db"))).unwrap();
    let job = store.find("1").unwrap();
    store.entries(job).unwrap()
}

fn proven_by_hand(shop: &Shop) {
    taken(&say(
        shop,
        "/jobs/1/steps",
        &[
            ("form", "cause"),
            ("of", "source-line/leaks"),
            ("why", "seen on the bench"),
        ],
    ));
}

fn repaired(shop: &Shop) {
    taken(&say(
        shop,
        "/jobs/1/repair",
        &[
            ("form", "repair"),
            ("part", "source-line"),
            ("how", "renewed"),
            ("grade", "budget"),
            ("price", "22,50"),
            ("minutes", "25"),
            ("behind", "mended"),
            ("what", "oil in the hose"),
        ],
    ));
}

#[test]
fn from_the_door_to_the_closing() {
    let shop = Shop::alone();
    taken(&send(
        &shop,
        "/shop",
        &[
            ("form", "facts"),
            ("people", "Ann\nBob"),
            ("altitude", "440"),
            ("instruments", "vacuum gauge: the old one"),
        ],
    ));
    assert!(
        look(&shop, "/new").contains("440 m"),
        "the shop's altitude is filled in"
    );
    taken_in(&shop, "invented van");
    let card = look(&shop, "/jobs/1/checks/tee:valve.source@idle");
    assert!(card.contains("the old one"), "the shop's own gauge is offered");
    taken(&say(
        &shop,
        "/jobs/1/readings",
        &[
            ("check", "tee:valve.source@idle"),
            ("sort", "is"),
            ("figure", "9"),
            ("unit", "inHg"),
        ],
    ));
    proven_by_hand(&shop);

    // No offer before the shop has said what it charges.
    let none = look(&shop, "/jobs/1/offer");
    assert!(none.contains("No offer can be made yet"), "{none}");
    taken(&send(
        &shop,
        "/shop",
        &[
            ("form", "charges"),
            ("currency", "EUR"),
            ("rate", "95"),
            ("tax", "19"),
        ],
    ));
    let draft = look(&shop, "/jobs/1/offer?anew=yes&price%2Fsource-line%2Fbudget=22.50");
    assert!(draft.contains("draft, not given"), "{draft}");
    assert!(draft.contains("22.50") && draft.contains("real price"), "{draft}");
    let turn = entries(&shop).len().to_string();
    let offered = [
        ("form", "offer"),
        ("turn", turn.as_str()),
        ("price/source-line/budget", "22.50"),
        ("words", "by telephone"),
    ];
    taken(&say(
        &shop,
        "/jobs/1/offer",
        &[&offered[..], &[("answer", "accept 1")]].concat(),
    ));
    // The same page, answered again after that: stale.
    let stale = say(
        &shop,
        "/jobs/1/offer",
        &[&offered[..], &[("answer", "refuse")]].concat(),
    );
    assert_eq!(stale.status, 422);
    assert!(
        stale.text().contains("since this offer was shown"),
        "{}",
        stale.text()
    );
    assert!(stale.text().contains("by telephone"), "what was typed stays");

    taken(&say(
        &shop,
        "/jobs/1/repair",
        &[
            ("form", "new-part"),
            ("part", "source-line"),
            ("check", "clicks on a fused lead"),
            ("read", "nothing"),
            ("verdict", "bad"),
        ],
    ));
    let bad = say(
        &shop,
        "/jobs/1/repair",
        &[("form", "repair"), ("part", "source-line")],
    );
    assert_eq!(bad.status, 422);
    assert!(bad.text().contains("is bad"), "{}", bad.text());
    taken(&say(
        &shop,
        "/jobs/1/repair",
        &[
            ("form", "new-part"),
            ("part", "source-line"),
            ("check", "another one clicks"),
            ("read", "clicks"),
            ("verdict", "good"),
        ],
    ));
    repaired(&shop);
    let unproven = say(
        &shop,
        "/jobs/1/close",
        &[("form", "close"), ("ending", "repaired")],
    );
    assert_eq!(unproven.status, 422);
    assert!(
        unproven.text().contains("The repair is not proven"),
        "{}",
        unproven.text()
    );

    let proof = look(&shop, "/jobs/1/proof");
    assert!(
        proof.contains("tee:valve.source@idle") && proof.contains("Before"),
        "{proof}"
    );
    taken(&say(
        &shop,
        "/jobs/1/proof",
        &[
            ("form", "proof tee:valve.source@idle"),
            ("check", "tee:valve.source@idle"),
            ("figure", "24"),
            ("unit", "inHg"),
        ],
    ));
    taken(&say(
        &shop,
        "/jobs/1/proof",
        &[
            ("form", "road"),
            ("check", "road test uphill"),
            ("verdict", "yes"),
        ],
    ));
    taken(&say(
        &shop,
        "/jobs/1/proof",
        &[("form", "by-hand"), ("why", "drove as new")],
    ));
    taken(&say(
        &shop,
        "/jobs/1/proof",
        &[
            ("form", "trip"),
            ("monitor", "yes"),
            ("fault", "no"),
            ("start", "20"),
            ("peak", "88"),
        ],
    ));
    assert!(look(&shop, "/jobs/1/proof").contains("40 CFR") || look(&shop, "/jobs/1/proof").contains("trip"));
    taken(&say(
        &shop,
        "/jobs/1/close",
        &[("form", "close"), ("ending", "repaired")],
    ));
    assert!(look(&shop, "/jobs/1/close").contains("repaired and proven"));

    let paper = look(&shop, "/jobs/1/paper/customer");
    assert!(
        paper.contains("Invented example") && paper.contains("invented van"),
        "{paper}"
    );
    assert!(
        !look(&shop, "/jobs/1/paper/job").contains("<style"),
        "the policy lets no style in"
    );
    assert_eq!(shop.ask("GET", "/jobs/1/paper/nothing", &[], b"").status, 404);
    taken(&say(
        &shop,
        "/jobs/1/close",
        &[("form", "reopen"), ("why", "no power again"), ("comeback", "yes")],
    ));
    // The same vehicle again: its other job is shown.
    taken_in(&shop, "invented van");
    assert!(look(&shop, "/jobs/2").contains("Other jobs with these words"));
}

#[test]
fn two_who_close_at_once_close_it_once() {
    let shop = Shop::alone();
    taken_in(&shop, "van");
    let mut answers: Vec<u16> = std::thread::scope(|scope| {
        let closing = || {
            say(
                &shop,
                "/jobs/1/close",
                &[("form", "close"), ("ending", "stopped"), ("why", "sold")],
            )
            .status
        };
        let both = [scope.spawn(closing), scope.spawn(closing)];
        both.map(|one| one.join().unwrap()).to_vec()
    });
    answers.sort_unstable();
    assert_eq!(answers, [303, 422], "one closes it, the other is told");
    let closings = entries(&shop)
        .iter()
        .filter(|entry| matches!(entry.event, job::Event::Closed { .. }))
        .count();
    assert_eq!(closings, 1);
}

#[test]
fn the_same_entry_counts_once_however_often_it_is_sent() {
    let shop = Shop::alone();
    taken_in(&shop, "van");
    let entry = Uuid::now_v7().to_string();
    let note = [
        ("entry", entry.as_str()),
        ("form", "note"),
        ("text", "it rattles"),
    ];
    taken(&send(&shop, "/jobs/1/steps", &note));
    taken(&send(&shop, "/jobs/1/steps", &note));
    let entry = Uuid::now_v7().to_string();
    let closing = [
        ("entry", entry.as_str()),
        ("form", "close"),
        ("ending", "stopped"),
        ("why", "sold"),
    ];
    taken(&send(&shop, "/jobs/1/close", &closing));
    // Closed already, but by this very entry: the sender is told that it is done.
    taken(&send(&shop, "/jobs/1/close", &closing));
    assert_eq!(entries(&shop).len(), 3);
}

#[test]
fn what_cannot_be_taken_is_said_and_stays_typed() {
    let shop = Shop::alone();
    taken_in(&shop, "van");
    proven_by_hand(&shop);
    let before = entries(&shop).len();
    let page = |answer: Answer, told: &str, kept: &str| {
        assert_eq!(answer.status, 422, "{}", answer.text());
        let text = answer.text();
        assert!(text.contains(told), "{told}: {text}");
        assert!(text.contains(kept), "{kept}: {text}");
    };
    let minutes = [
        ("form", "repair"),
        ("part", "source-line"),
        ("minutes", "-5"),
        ("what", "oil & dirt"),
    ];
    page(
        say(&shop, "/jobs/1/repair", &minutes),
        "cannot be the minutes",
        "oil &amp; dirt",
    );
    let behind = [
        ("form", "repair"),
        ("part", "source-line"),
        ("minutes", "12"),
        ("behind", "left"),
    ];
    page(
        say(&shop, "/jobs/1/repair", &behind),
        "what stood behind it",
        "value=\"12\"",
    );
    page(
        say(
            &shop,
            "/jobs/1/repair",
            &[("form", "repair"), ("part", "source-lin")],
        ),
        "no part",
        "Did you mean",
    );
    page(
        say(
            &shop,
            "/jobs/1/close",
            &[("form", "close"), ("ending", "gone"), ("why", "sold it")],
        ),
        "no way for a job to end",
        "sold it",
    );
    page(
        say(
            &shop,
            "/jobs/1/steps",
            &[("form", "rule-out"), ("of", "source-line"), ("why", "")],
        ),
        "how you know",
        "Rule it out",
    );
    page(
        say(
            &shop,
            "/new",
            &[
                ("circuit", "vacuum-wastegate"),
                ("odometer", "-3"),
                ("complaint", "slow"),
            ],
        ),
        "the distance driven",
        "slow",
    );
    page(
        send(
            &shop,
            "/shop",
            &[
                ("form", "charges"),
                ("currency", "EUR"),
                ("rate", "-1"),
                ("tax", "19"),
            ],
        ),
        "the price of an hour",
        "value=\"-1\"",
    );
    page(
        send(
            &shop,
            "/shop",
            &[
                ("form", "facts"),
                ("people", "Ann"),
                ("altitude", "90 km"),
                ("instruments", ""),
            ],
        ),
        "no road leads there",
        "90 km",
    );
    assert_eq!(entries(&shop).len(), before, "nothing was written");
}

#[test]
fn names_are_words_and_nothing_else() {
    let shop = Shop::alone();
    taken_in(&shop, "<script>alert(1)</script>");
    taken(&send(
        &shop,
        "/shop",
        &[("form", "facts"), ("people", "<b>Ann</b>")],
    ));
    for path in [
        "/",
        "/jobs/1",
        "/jobs/1/close",
        "/jobs/1/paper/job",
        "/jobs/1/paper/customer",
        "/shop",
    ] {
        let page = look(&shop, path);
        assert!(
            !page.contains("<script>alert") && !page.contains("<b>Ann"),
            "{path}: {page}"
        );
    }
}

#[test]
fn a_device_keeps_its_name_and_units() {
    let shop = Shop::alone();
    taken_in(&shop, "van");
    let answer = send(&shop, "/shop/me", &[("who", "Änn; x=1"), ("units", "metric")]);
    taken(&answer);
    let cookies: Vec<&str> = answer
        .head
        .lines()
        .filter_map(|line| line.strip_prefix("set-cookie: "))
        .filter_map(|line| line.split(';').next())
        .collect();
    assert_eq!(cookies.len(), 2, "{}", answer.head);
    let cookie = format!("Cookie: {}", cookies.join("; "));
    let card = shop.ask("GET", "/jobs/1/checks/tee:valve.source@idle", &[&cookie], b"");
    assert!(card.text().contains("kPa</option>"), "{}", card.text());
    let note = form(&[("form", "note"), ("text", "it rattles")]);
    taken(&shop.ask("POST", "/jobs/1/steps", &[FORM, &cookie], note.as_bytes()));
    assert_eq!(entries(&shop).last().unwrap().who, "Änn; x=1");
}

#[test]
fn what_is_too_large_or_unknown_is_refused() {
    let shop = Shop::alone();
    taken_in(&shop, "van");
    let note = format!("form=note&text={}", "a".repeat(10_000_000));
    let large = shop.ask("POST", "/jobs/1/steps", &[FORM], note.as_bytes());
    assert!([0, 413].contains(&large.status), "{}", large.status);
    assert_eq!(entries(&shop).len(), 1);
    for place in [
        "",
        "/offer",
        "/repair",
        "/proof",
        "/close",
        "/paper",
        "/paper/job",
    ] {
        let path = format!("/jobs/77{place}");
        assert_eq!(shop.ask("GET", &path, &[], b"").status, 404, "{path}");
    }
    assert_eq!(say(&shop, "/jobs/77/close", &[("form", "close")]).status, 404);
}
