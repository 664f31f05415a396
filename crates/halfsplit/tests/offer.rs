//! Offers through the command: what the shop charges, an offer given, priced and answered, at the prompt too. All jobs are invented.

#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use common::{Desk, Given, list, number, text};
use serde_json::Value;
use std::io::Write;
use std::process::Stdio;

/// A shop with a database of its own and one job, its rates set.
struct Shop(Desk);

impl Shop {
    fn new(name: &str) -> Self {
        let shop = Self::without_rates(name);
        shop.0.json(&[
            "shop",
            "--database",
            "shop.db",
            "--currency",
            "EUR",
            "--rate",
            "90",
            "--tax",
            "20",
        ]);
        shop
    }

    fn without_rates(name: &str) -> Self {
        let shop = Self(Desk::new(&format!("offer-{name}")));
        shop.json(&[
            "new",
            "--circuit",
            "vacuum-wastegate",
            "--code",
            "P0299",
            "--vehicle",
            "invented white van",
            "--complaint",
            "no power uphill",
        ]);
        shop
    }

    fn arguments<'a>(arguments: &[&'a str]) -> Vec<&'a str> {
        [&["job", "--database", "shop.db"], arguments].concat()
    }

    fn json(&self, arguments: &[&str]) -> Value {
        self.0.json(&Self::arguments(arguments))
    }

    fn run(&self, arguments: &[&str]) -> Given {
        self.0.run(&Self::arguments(arguments))
    }

    fn refused(&self, arguments: &[&str], code: i32, why: &str) {
        let told = self.0.refused(&Self::arguments(arguments), code);
        assert!(told.contains(why), "{arguments:?}: {told}");
    }

    /// The hose is found split and said to be the cause.
    fn proven(&self) {
        self.json(&["read", "1", "look:source-line@off = yes", "--minutes", "6"]);
        self.json(&[
            "prove-cause",
            "1",
            "source-line/leaks",
            "--by-hand",
            "split seen at the clamp",
        ]);
    }

    /// What is shown when these lines are typed at the prompt.
    fn talk(&self, lines: &str) -> String {
        let mut command = self.0.command(&Self::arguments(&["work", "1"]));
        let mut child = command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(lines.as_bytes()).unwrap();
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success());
        String::from_utf8(output.stdout).unwrap()
    }
}

#[test]
fn what_the_shop_charges_is_kept_with_its_jobs() {
    let desk = Desk::new("offer-charges");
    let shop = |arguments: &[&str]| desk.json(&[&["shop", "--database", "shop.db"], arguments].concat());
    assert_eq!(shop(&[])["rate_per_hour"], Value::Null);
    shop(&["--currency", "kr", "--rate", "87.5"]);
    let now = shop(&["--tax", "8.25"]);
    assert_eq!(
        (
            text(&now, "currency"),
            number(&now, "rate_per_hour"),
            number(&now, "tax_percent")
        ),
        ("kr", 87.5, 8.25)
    );
    assert_eq!(shop(&[]), now, "what is not given stays");
    for (wrong, told) in [
        (["--rate", "NaN"], "from 0 on"),
        (["--rate", "-5"], "from 0 on"),
        (["--rate", "1e9"], "an hour of work"),
        (["--tax", "190"], "the tax"),
        (["--currency", "12"], "no currency"),
    ] {
        let said = desk.refused(&[&["shop", "--database", "shop.db"], &wrong[..]].concat(), 2);
        assert!(said.contains(told), "{said}");
    }
    // One wrong figure leaves all as they were.
    desk.refused(
        &[
            "shop",
            "--database",
            "shop.db",
            "--currency",
            "EUR",
            "--tax",
            "190",
        ],
        2,
    );
    assert_eq!(shop(&[]), now);
    assert!(
        desk.run(&["shop", "--database", "shop.db"])
            .out
            .contains("87.50 kr an hour")
    );
}

#[test]
fn without_rates_there_is_no_offer_and_no_made_up_figure() {
    let shop = Shop::without_rates("no-rates");
    shop.refused(
        &["quote", "1"],
        1,
        "the currency, the rate and the tax of this shop are not set",
    );
    shop.0.json(&[
        "shop",
        "--database",
        "shop.db",
        "--currency",
        "EUR",
        "--rate",
        "90",
    ]);
    shop.refused(&["quote", "1"], 1, "the tax of this shop is not set");
}

#[test]
fn an_offer_is_given_and_accepted() {
    let shop = Shop::new("accepted");
    shop.proven();
    let draft = shop.json(&["quote", "1", "--draft"]);
    assert_eq!(
        (text(&draft, "stage"), &draft["given"]),
        ("proven", &Value::Bool(false))
    );
    let given = shop.json(&["quote", "1"]);
    assert_eq!(text(&given, "stage"), "quoted");
    assert_eq!(given["options"], draft["options"]);
    assert_eq!(given["going_on"], Value::Null);
    // Six minutes at 1.50 with 20 %.
    assert!((number(&given, "so_far") - 10.8).abs() < 1e-9);
    let choice = &list(&given, "choices")[0];
    assert_eq!(
        (
            number(choice, "cheapest_to_buy"),
            number(choice, "cheapest_over_life")
        ),
        (3.0, 1.0)
    );
    for option in list(&given, "options") {
        let sum = number(option, "parts") + number(option, "work") + number(option, "tax");
        assert!((sum - number(option, "total")).abs() < 1e-9, "{option}");
    }

    shop.refused(&["quote", "1", "--accept", "4"], 2, "the quote has 3 options");
    shop.refused(&["quote", "1", "--accept", "0"], 2, "no option's number");
    shop.refused(&["quote", "1", "--accept", "first"], 2, "numbered from 1");
    shop.refused(&["quote", "1", "--go-on"], 2, "the cause is proven");
    shop.refused(
        &["quote", "1", "--accept", "1", "--refuse"],
        2,
        "cannot be used with",
    );
    let agreed = shop.json(&["quote", "1", "--accept", "1", "by", "telephone"]);
    assert_eq!(
        (text(&agreed, "stage"), &agreed["accepted"]),
        ("agreed", &1.into())
    );
    let page = shop.run(&["report", "1", "--customer"]).out;
    assert!(page.contains("You agreed to option 1."), "{page}");
    let page = shop.run(&["report", "1"]).out;
    assert!(
        page.contains("The customer agreed to option 1: by telephone"),
        "{page}"
    );
    let shown = shop.run(&["show", "1"]).out;
    let shown = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(shown.contains("original part for 59.40 EUR: agreed"), "{shown}");

    // Whoever asks anew is told.
    let anew = shop.run(&["quote", "1"]);
    assert!(anew.err.contains("had agreed to option 1"), "{}", anew.err);
}

#[test]
fn an_offer_is_refused_once() {
    let shop = Shop::new("refused");
    shop.proven();
    shop.refused(&["quote", "1", "--refuse", "too dear"], 2, "no offer waits");
    shop.json(&["quote", "1"]);
    let refused = shop.json(&["quote", "1", "--refuse", "too", "dear"]);
    assert_eq!(
        (text(&refused, "stage"), &refused["accepted"]),
        ("proven", &Value::Null)
    );
    shop.refused(&["quote", "1", "--refuse"], 2, "no offer waits");
    shop.refused(&["quote", "1", "--accept", "1"], 2, "no offer waits");
    assert!(shop.run(&["show", "1"]).out.contains("declined, too dear"));
    // And made again, for another answer.
    shop.json(&["quote", "1"]);
    assert_eq!(
        text(&shop.json(&["quote", "1", "--accept", "2"]), "stage"),
        "agreed"
    );
}

#[test]
fn real_prices_stay_with_the_offer() {
    let shop = Shop::new("prices");
    shop.proven();
    let given = shop.json(&[
        "quote",
        "1",
        "--price",
        "source-line=budget:3.50",
        "--price",
        "source-line=original:19",
    ]);
    let price = |quote: &Value, grade: &str| {
        let options = list(quote, "options").clone();
        let option = options
            .into_iter()
            .find(|option| option["grade"] == *grade)
            .unwrap();
        (number(&option, "parts"), option["price_given"].as_bool().unwrap())
    };
    assert_eq!(price(&given, "budget"), (3.5, true));
    assert_eq!(
        price(&given, "equivalent"),
        (11.4, false),
        "0.6 of the real original"
    );
    let again = shop.json(&["quote", "1", "--price", "source-line=budget:4"]);
    assert_eq!(
        (price(&again, "budget"), price(&again, "original")),
        ((4.0, true), (19.0, true))
    );
    shop.refused(
        &["quote", "1", "--price", "sauce-line=budget:4"],
        2,
        "did you mean `source-line`?",
    );
    shop.refused(&["quote", "1", "--price", "source-line=cheap:4"], 2, "no grade");
    shop.refused(
        &["quote", "1", "--price", "source-line=budget:-4"],
        2,
        "from 0 on",
    );
    shop.refused(
        &["quote", "1", "--price", "source-line=budget:1e300"],
        2,
        "cannot cost",
    );
}

#[test]
fn the_same_offer_is_not_written_twice() {
    let shop = Shop::new("twice");
    shop.proven();
    shop.json(&["quote", "1"]);
    let lines = shop.run(&["export"]).out.lines().count();
    shop.json(&["quote", "1"]);
    assert_eq!(shop.run(&["export"]).out.lines().count(), lines);
}

#[test]
fn before_any_reading_the_offer_is_to_go_on() {
    let shop = Shop::new("unread");
    let given = shop.json(&["quote", "1"]);
    assert!(number(&given, "going_on") > 0.0);
    assert!(text(&given, "if_stopped").contains("nothing has been measured yet"));
    let told = shop.run(&["quote", "1"]).out;
    assert!(told.contains("Do not buy a part on this yet."), "{told}");
    assert!(told.contains("--go-on"), "{told}");
    let on = shop.json(&["quote", "1", "--go-on"]);
    assert_eq!(text(&on, "stage"), "checking");
    shop.refused(&["quote", "1", "--go-on"], 2, "no offer waits");
    let page = shop.run(&["report", "1", "--customer"]).out;
    assert!(page.contains("You agreed to go on measuring first."), "{page}");
}

#[test]
fn a_closed_job_and_a_proven_repair_are_offered_nothing() {
    let shop = Shop::new("closed");
    shop.proven();
    shop.json(&["repair", "1", "source-line"]);
    shop.json(&["prove", "1", "road test uphill = yes", "--good"]);
    shop.refused(&["quote", "1"], 2, "nothing to offer");
    shop.json(&["close", "1"]);
    shop.refused(&["quote", "1"], 2, "the job is closed");
    shop.refused(&["quote", "1", "--draft"], 2, "the job is closed");
    shop.refused(&["quote", "1", "--accept", "1"], 2, "the job is closed");
}

#[test]
fn what_goes_beyond_the_limit_is_said() {
    let desk = Desk::new("offer-limit");
    let shop = Shop(desk);
    shop.0.json(&[
        "shop",
        "--database",
        "shop.db",
        "--currency",
        "EUR",
        "--rate",
        "90",
        "--tax",
        "20",
    ]);
    shop.json(&[
        "new",
        "--circuit",
        "vacuum-wastegate",
        "--vehicle",
        "invented",
        "--limit",
        "68",
    ]);
    shop.proven();
    let told = shop.run(&["quote", "1"]).out;
    // 10.80 so far; 59.40, 53.64 and 50.04 to repair.
    assert!(
        told.contains("above the 68.00 EUR") && told.contains("at most: option 1."),
        "{told}"
    );
}

/// The coil is measured open and does not click: proven by what was measured, one price known.
#[test]
fn an_offer_in_words() {
    let shop = Shop::new("words");
    shop.json(&["read", "1", "ohms:valve@off > 2 Mohm", "--minutes", "6"]);
    shop.json(&["read", "1", "click:valve@key-on = no"]);
    shop.json(&["prove-cause", "1"]);
    insta::assert_snapshot!(shop.run(&["quote", "1", "--price", "valve=budget:19.90"]).out);
}

#[test]
fn nothing_of_an_offer_is_wider_than_the_terminal() {
    let shop = Shop::new("width");
    shop.json(&["quote", "1"]);
    let output = shop
        .0
        .command(&Shop::arguments(&["quote", "1"]))
        .env("COLUMNS", "60")
        .output()
        .unwrap();
    let out = String::from_utf8(output.stdout).unwrap();
    assert!(out.lines().all(|line| line.chars().count() <= 60), "{out}");
    assert!(out.contains("per 100,000 km"), "{out}");
}

#[test]
fn the_prompt_asks_for_an_answer_to_the_offer() {
    let shop = Shop::new("prompt");
    shop.proven();
    let shown = shop.talk("help\nprice source-line=budget:2\nbuy it\naccept 7\naccept 3 by telephone\n");
    assert!(shown.contains("the customer agrees to option K"), "{shown}");
    assert!(shown.contains("`buy it` is no answer"), "{shown}");
    assert!(shown.contains("the quote has 3 options"), "{shown}");
    let job = shop.json(&["show", "1"]);
    assert_eq!((text(&job, "stage"), &job["accepted"]), ("agreed", &3.into()));
    assert!((number(&job["quote"]["options"][2], "parts") - 2.0).abs() < 1e-9);
    assert_eq!(list(&job["quote"], "prices").len(), 1);
}

#[test]
fn the_prompt_goes_on_measuring_when_the_customer_wants_it() {
    let shop = Shop::new("prompt-on");
    shop.json(&["quote", "1"]);
    let shown = shop.talk("go on\nleave\n");
    assert!(
        shown.contains("Type done when it is read"),
        "the next check follows: {shown}"
    );
    assert_eq!(text(&shop.json(&["show", "1"]), "stage"), "checking");
    // At a check the offer can be looked at without giving it.
    let shown = shop.talk("done\nquote\nleave\n");
    assert!(shown.contains("Draft of an offer for job 1"), "{shown}");
    assert_eq!(text(&shop.json(&["show", "1"]), "stage"), "checking");
}

#[test]
fn without_rates_the_prompt_says_what_to_set_and_ends() {
    let shop = Shop::without_rates("prompt-rates");
    shop.proven();
    let shown = shop.talk("accept 1\n");
    assert!(shown.contains("halfsplit shop --currency EUR"), "{shown}");
    assert_eq!(text(&shop.json(&["show", "1"]), "stage"), "proven");
}
