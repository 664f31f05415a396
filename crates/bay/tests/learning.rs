//! An apprentice at the bay screen: what a fault does, practice on hidden faults, the library. Over HTTP, as a browser asks.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test says what it expected by failing"
)]

mod asked;
mod common;

use asked::{Bay, sent_to};

#[test]
fn a_leak_that_grows_takes_vacuum_from_the_gauges_and_the_drawing_says_so() {
    let bay = Bay::new();
    let fault = leak();
    let (status, page) = bay.page(&format!("/what-if/vacuum-wastegate?fault={fault}&severity=100"));
    assert_eq!(status, 200);
    assert!(page.contains("data-moved"), "the page shows it without a script");
    assert!(
        !page.contains("<style") && !page.contains(" style="),
        "the policy forbids it"
    );

    let ask = |severity: &str| {
        let (status, answer) = bay.json(&format!(
            "/what-if/vacuum-wastegate/solve?fault={fault}&severity={severity}"
        ));
        assert_eq!(status, 200);
        answer
    };
    let (little, much) = (ask("0"), ask("100"));
    let fallen = |answer: &serde_json::Value| -> f64 {
        let gauges = answer["gauges"].as_array().unwrap();
        let tees = gauges
            .iter()
            .filter(|gauge| gauge["check"].as_str().unwrap().starts_with("tee:"));
        tees.map(|gauge| gauge["was"].as_f64().unwrap() - gauge["at"].as_f64().unwrap())
            .fold(0.0, f64::max)
    };
    assert!(
        fallen(&much) > fallen(&little),
        "{} {}",
        fallen(&much),
        fallen(&little)
    );
    assert_ne!(little["svg"], much["svg"]);
    assert_ne!(little["severities"], much["severities"]);
}

/// A leak of the shipped vacuum circuit, as it stands in an address.
fn leak() -> String {
    let shipped = engine::shipped_called("vacuum-wastegate").unwrap();
    let model = engine::load(shipped.name, shipped.text).model.unwrap();
    let circuit = model.circuit();
    let faults = circuit.faults().into_iter().map(|(fault, _)| fault);
    let mut leaks = faults.filter(|fault| {
        let spec = circuit.fault_spec(*fault);
        spec.name.contains("leak") && spec.severity.is_some()
    });
    let leak = leaks.next().unwrap();
    circuit.fault_name(leak).replace('/', "%2F").replace(' ', "+")
}

#[test]
fn what_cannot_be_set_is_said_with_what_can() {
    let bay = Bay::new();
    let fault = leak();
    let check = |query: &str, status: u16, says: &str| {
        let (found, answer) = bay.json(&format!("/what-if/{query}"));
        assert_eq!(found, status, "{query}: {answer}");
        assert!(answer["detail"].as_str().unwrap().contains(says), "{answer}");
        assert!(answer["hint"].is_string(), "{answer}");
    };
    let circuit = "vacuum-wastegate/solve?";
    check(
        &format!("{circuit}fault=nothing%2Fsuch"),
        422,
        "no fault `nothing/such`",
    );
    check(&format!("{circuit}fault={fault}&severity=101"), 422, "0 to 100");
    check(&format!("{circuit}fault={fault}&severity=-1"), 422, "0 to 100");
    check(&format!("{circuit}fault={fault}&severity=NaN"), 422, "0 to 100");
    check(&format!("{circuit}fault={fault}&other={fault}"), 422, "the same");
    check(
        &format!("{circuit}condition=flying"),
        422,
        "no condition `flying`",
    );
    check(&format!("{circuit}altitude=9000"), 422, "0 to 4000 m");
    check("no-such-circuit/solve", 404, "no circuit `no-such-circuit`");
    check("..%2F..%2Fetc%2Fpasswd/solve", 404, "no circuit");
}

#[test]
fn every_place_of_the_slider_is_solved() {
    let bay = Bay::new();
    let fault = leak();
    for severity in (0..=100).step_by(5) {
        let path = format!("/what-if/vacuum-wastegate/solve?fault={fault}&severity={severity}");
        assert_eq!(bay.json(&path).0, 200, "{severity}");
    }
}

#[test]
fn the_library_is_found_by_code_complaint_and_part() {
    let bay = Bay::new();
    let (status, all) = bay.page("/circuits");
    assert_eq!(status, 200);
    for shipped in engine::shipped() {
        assert!(all.contains(&format!("/circuits/{}\"", shipped.name)));
        let (status, page) = bay.page(&format!("/circuits/{}", shipped.name));
        assert_eq!(status, 200);
        assert!(page.contains("<svg") && page.contains("Where the figures come from"));
    }
    let (_, cranks) = bay.page("/circuits?words=CRANK+battery");
    assert!(
        cranks.contains("/circuits/starter-circuit\"") && !cranks.contains("/circuits/vacuum-wastegate\"")
    );
    assert!(
        bay.page("/circuits?words=no+such")
            .1
            .contains("No circuit has all of these words")
    );
    assert_eq!(bay.page("/circuits/no-such").0, 404);
}

#[test]
fn what_is_hidden_stands_in_no_answer_before_the_end() {
    let bay = Bay::new();
    let seed = 7;
    let shipped = engine::shipped_called("vacuum-wastegate").unwrap();
    let model = engine::load(shipped.name, shipped.text).model.unwrap();
    let world = engine::practice::World::new(&model, seed);
    let cause = world.job(seed).cause().to_vec();
    let told = desk::hidden(model.circuit(), &cause);
    let mut secrets = vec![told.clone()];
    for (fault, _) in &cause {
        secrets.push(model.circuit().fault_name(*fault));
        secrets.push(model.circuit().fault_spec(*fault).what.to_owned());
    }

    let begin = format!("circuit={}&seed={seed}", shipped.name);
    let (status, head, _) = bay.ask("POST", "/practice", &begin, "text/html");
    assert_eq!(status, 303);
    let at = sent_to(&head);
    let quiet = |path: &str| {
        let (status, head, body) = bay.ask("GET", path, "", "text/html");
        assert_eq!(status, 200, "{path}: {body}");
        for secret in &secrets {
            assert!(
                !head.contains(secret) && !body.contains(secret),
                "{path} tells {secret}"
            );
        }
        body
    };
    quiet(&at);
    for part in &model.circuit().parts {
        quiet(&format!("{at}?part={}", part.id));
    }
    let tee = model
        .checks()
        .iter()
        .position(|check| check.id.starts_with("tee:"))
        .unwrap();
    let id = &model.checks()[tee].id;
    quiet(&format!("{at}?check={id}"));
    let step = |step: usize, what: &str| {
        bay.ask("POST", &at, &format!("step={step}&{what}"), "text/html")
            .0
    };
    assert_eq!(step(0, &format!("check={id}")), 303);
    // The same again, as a browser sends it that got no answer: it counts once.
    assert_eq!(step(0, &format!("check={id}")), 303);
    let page = quiet(&at);
    assert!(page.contains("class=\"needle\""), "a gauge shows it");
    assert_eq!(done(&page), 1);
    assert_eq!(step(1, "check=no-such"), 422);
    assert_eq!(step(1, "renew=no-such"), 422);
    assert_eq!(step(1, "beyond=true"), 303);
    quiet(&at);

    assert_eq!(step(2, "leave=true"), 303);
    let (_, end) = bay.page(&at);
    assert!(end.contains(&desk_words(&told)), "{told}");
    assert!(end.contains("the plan") && end.contains("order of habit"));
    // After the end nothing is added.
    assert_eq!(step(2, &format!("check={id}")), 303);
    assert_eq!(done(&bay.page(&at).1), 2);
}

/// Steps that a page says were done.
fn done(page: &str) -> usize {
    let list = page.split("class=\"done\"").nth(1).unwrap();
    list.split("</ol>").next().unwrap().matches("<li>").count()
}

/// Words as a page writes them.
fn desk_words(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

#[test]
fn practice_that_nobody_holds_is_said_and_a_seed_is_a_number() {
    let bay = Bay::new();
    assert_eq!(bay.page("/practice").0, 200);
    assert_eq!(bay.page("/practice/018f0000-0000-7000-8000-000000000000").0, 404);
    assert_eq!(bay.page("/practice/nonsense").0, 400);
    let refused = |body: &str| bay.ask("POST", "/practice", body, "text/html").0;
    assert_eq!(refused("circuit=&seed=many"), 422);
    assert_eq!(refused("circuit=no-such&seed=1"), 404);
}

#[test]
fn whoever_renews_every_part_and_looks_beyond_comes_to_the_end() {
    let bay = Bay::new();
    let (_, head, _) = bay.ask("POST", "/practice", "circuit=starter-circuit&seed=3", "text/html");
    let at = sent_to(&head);
    let shipped = engine::shipped_called("starter-circuit").unwrap();
    let model = engine::load(shipped.name, shipped.text).model.unwrap();
    let beyond = std::iter::once("beyond=true".to_owned());
    let parts = model
        .circuit()
        .parts
        .iter()
        .map(|part| format!("renew={}", part.id));
    for (number, what) in beyond.chain(parts).enumerate() {
        assert_eq!(
            bay.ask("POST", &at, &format!("step={number}&{what}"), "text/html")
                .0,
            303
        );
        if bay.page(&at).1.contains("What was hidden") {
            return;
        }
    }
    panic!("every part is new and the complaint is still there");
}
