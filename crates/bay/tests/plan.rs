//! The plan of a job on a page and on paper.

mod common;
mod told;

use common::Shop;
use told::{look, say, taken, taken_in};

#[test]
fn a_plan_is_a_tree_of_checks_and_repairs_with_cautions_before_the_step() {
    let shop = Shop::alone();
    taken_in(&shop, "grey van");
    let page = look(&shop, "/jobs/1/plan");
    let first = page.find("tee:valve.source@idle").expect("the first check");
    assert!(page[first..].contains("Cures in"), "{page}");
    assert!(page[first..].contains("class=\"caution\""), "{page}");
    assert!(page[first..].contains("<details open>"), "{page}");
    assert!(
        page.contains("href=\"/jobs/1/checks/tee:valve.source@idle\""),
        "{page}"
    );
    assert!(!page.contains("style="), "{page}");
}

#[test]
fn a_reading_moves_the_plan() {
    let shop = Shop::alone();
    taken_in(&shop, "grey van");
    let before = look(&shop, "/jobs/1/plan");
    let cautions = [("form", "caution"), ("of", "deadhead:pump.inlet@idle")];
    taken(&say(&shop, "/jobs/1/steps", &cautions));
    taken(&say(
        &shop,
        "/jobs/1/readings",
        &[
            ("check", "deadhead:pump.inlet@idle"),
            ("sort", "is"),
            ("figure", "3"),
            ("unit", "inHg"),
        ],
    ));
    let after = look(&shop, "/jobs/1/plan");
    assert_ne!(before, after);
    let first = after.find(", then prove it").expect("a repair");
    assert!(
        after[..first].ends_with("Renew the vacuum pump (pump)"),
        "{after}"
    );
}

#[test]
fn the_test_card_comes_as_pdf() {
    let shop = Shop::alone();
    taken_in(&shop, "grey van");
    let answer = shop.ask("GET", "/jobs/1/paper/card.pdf", &[], b"");
    if cfg!(feature = "pdf") {
        assert_eq!(answer.status, 200, "{}", answer.text());
        assert!(answer.body.starts_with(b"%PDF-"), "{} bytes", answer.body.len());
    } else {
        assert_eq!(answer.status, 422);
        assert!(answer.text().contains("rint the page"), "{}", answer.text());
    }
    assert!(look(&shop, "/jobs/1/paper").contains("/jobs/1/paper/card.pdf"));
}
