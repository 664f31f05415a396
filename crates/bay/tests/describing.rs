//! A circuit described at the bay screen: findings while one types, copies in the shop's folder, a new one from a form.
#![allow(clippy::unwrap_used, reason = "a test says what it expected by failing")]

mod asked;
mod common;

use asked::{Bay, inside, sent_to};
use std::fmt::Write as _;

/// As a form sends it.
fn encoded(text: &str) -> String {
    text.bytes().fold(String::new(), |mut sent, byte| {
        if byte.is_ascii_alphanumeric() {
            sent.push(char::from(byte));
        } else {
            let _ = write!(sent, "%{byte:02X}");
        }
        sent
    })
}

fn shipped() -> &'static str {
    engine::shipped_called("vacuum-wastegate").unwrap().text
}

impl Bay {
    fn look(&self, text: &str) -> (u16, serde_json::Value) {
        let body = format!("name=ours&text={}", encoded(text));
        let (status, _, body) = self.ask("POST", "/circuits/look", &body, "application/json");
        (status, inside(&body))
    }

    fn keep(&self, name: &str, text: &str, before: &str) -> (u16, String, String) {
        let body = format!("name={}&before={before}&text={}", encoded(name), encoded(text));
        self.ask("POST", "/circuits", &body, "text/html")
    }
}

#[test]
fn a_slip_of_the_pen_is_underlined_where_it_stands() {
    let bay = Bay::new();
    let (status, sound) = bay.look(shipped());
    assert_eq!((status, sound["findings"].as_array().unwrap().len()), (200, 0));
    assert!(sound["svg"].as_str().unwrap().starts_with("<svg"));

    // A letter outside the basic plane before it counts as two, as a browser counts.
    let broken = format!(
        "# \u{1F527}\r\n{}",
        shipped().replace("kind = \"fuse\"", "kind = \"fuze\"")
    );
    let (status, answer) = bay.look(&broken);
    assert_eq!(status, 200);
    let finding = &answer["findings"][0];
    assert_eq!(finding["error"], true);
    assert!(finding["hint"].as_str().unwrap().contains("fuse"), "{finding}");
    let units: Vec<u16> = broken.replace("\r\n", "\n").encode_utf16().collect();
    let place = |key: &str| usize::try_from(finding[key].as_u64().unwrap()).unwrap();
    let culprit = String::from_utf16(&units[place("from")..place("to")]).unwrap();
    assert!(culprit.contains("fuze"), "{culprit}");
    assert!(answer["svg"].is_null() && !answer["note"].as_str().unwrap().is_empty());
}

#[test]
fn whatever_is_typed_there_is_an_answer() {
    let bay = Bay::new();
    for text in ["", "[", "\u{0}", "[part]\n", "= = =", "[circuit]\ntitle = 3\n"] {
        let (status, answer) = bay.look(text);
        assert_eq!(status, 200, "{text:?}");
        assert!(!answer["findings"].as_array().unwrap().is_empty(), "{text:?}");
    }
    let mut half = String::new();
    for letter in shipped().chars().take(400) {
        half.push(letter);
    }
    assert_eq!(bay.look(&half).0, 200);
    // Five hundred parts: wires in a row between the battery's posts.
    let mut many = String::from(
        "[circuit]\ntitle = \"Many\"\n[part.battery]\nkind = \"battery\"\n[condition.rest]\npower = true\n",
    );
    for part in 0..499 {
        let from = if part == 0 {
            "battery.positive".to_owned()
        } else {
            format!("w{}.to", part - 1)
        };
        let _ = write!(many, "[part.w{part}]\nkind = \"wire\"\nfrom = \"{from}\"\n");
        if part == 498 {
            many.push_str("to = \"battery.negative\"\n");
        }
    }
    let (status, answer) = bay.look(&many);
    assert_eq!(status, 200);
    assert!(
        answer["svg"].is_null(),
        "no drawing of so many parts while one types"
    );
    assert!(answer["findings"].as_array().unwrap().len() <= 100);
    // More than a description can be.
    assert_eq!(bay.look(&"# x\n".repeat(80_000)).0, 413);
}

/// Composed kinds lie in a folder of their own; what is wrong in one is told with its file and line.
#[test]
fn kinds_that_several_circuits_share_lie_in_the_shops_folder() {
    let bay = Bay::new();
    let kinds = bay.folder().join("circuits/kinds");
    std::fs::create_dir_all(&kinds).unwrap();
    let unit = include_str!("../../../docs/kinds/vacuum-unit.toml");
    std::fs::write(kinds.join("vacuum-unit.toml"), unit).unwrap();
    let circuit = include_str!("../../../docs/two-stages.toml");
    assert_eq!(bay.keep("two-stages", circuit, "").0, 303);
    let (status, page) = bay.page("/circuits/two-stages");
    assert!(status == 200 && page.contains("low.actuator"), "{page}");
    assert_eq!(bay.page("/what-if/two-stages").0, 200);
    // Editing shows the text as it was written, not what it includes.
    let (_, page) = bay.page("/circuits/two-stages/edit");
    assert!(
        page.contains("include = [") && !page.contains("[kind.vacuum-unit"),
        "{page}"
    );
    let (status, head, page) = bay.ask("POST", "/new", "circuit=two-stages&vehicle=truck", "text/html");
    assert_eq!(status, 303, "{page}");
    std::fs::write(kinds.join("vacuum-unit.toml"), unit.replace("45 mm", "45 V")).unwrap();
    assert!(
        bay.page("/circuits/two-stages/edit")
            .1
            .contains("in kinds/vacuum-unit.toml, line 25")
    );
    std::fs::remove_dir_all(&kinds).unwrap();
    // The job keeps what it began with.
    let (status, page) = bay.page(&sent_to(&head));
    assert!(status == 200 && page.contains("low.actuator"), "{page}");
    assert!(
        bay.page("/circuits/two-stages/edit")
            .1
            .contains("there is no such file in the folder")
    );
}

#[test]
fn a_copy_is_kept_in_the_shops_folder_and_worked_with_like_a_shipped_one() {
    let bay = Bay::new();
    let (status, page) = bay.page("/circuits/vacuum-wastegate/edit");
    assert_eq!(status, 200);
    assert!(page.contains("our-vacuum-wastegate"));
    let ours = shipped().replacen("title = \"", "title = \"Our truck: ", 1);
    let (status, head, _) = bay.keep("our-truck", &ours, "");
    assert_eq!((status, sent_to(&head).as_str()), (303, "/circuits/our-truck"));
    assert_eq!(
        std::fs::read_to_string(bay.folder().join("circuits/our-truck.toml")).unwrap(),
        ours
    );
    // Sent twice: kept once, and no quarrel.
    assert_eq!(bay.keep("our-truck", &ours, "").0, 303);
    assert!(bay.page("/circuits/our-truck").1.contains("Our truck"));
    assert!(
        bay.page("/circuits?words=our+truck")
            .1
            .contains("/circuits/our-truck\"")
    );
    assert_eq!(bay.page("/what-if/our-truck").0, 200);
    assert_eq!(
        bay.ask("POST", "/practice", "circuit=our-truck&seed=2", "text/html")
            .0,
        303
    );

    // A vehicle is taken in on it; its job keeps the text as it was.
    assert!(
        bay.page("/new?circuit=our-truck")
            .1
            .contains("value=\"our-truck\" selected")
    );
    let (status, head, page) = bay.ask("POST", "/new", "circuit=our-truck&vehicle=truck", "text/html");
    assert_eq!(status, 303, "{page}");
    let job = sent_to(&head);
    assert!(bay.page(&job).1.contains("Our truck"));
    assert_eq!(bay.page(&format!("{job}/what-if")).0, 200);
    assert_eq!(bay.json(&format!("{job}/what-if/solve")).0, 200);

    // Somebody else's change in between is not written over, and what was typed is not lost.
    let (status, _, page) = bay.keep("our-truck", &ours.replace("Our truck", "Their truck"), "0");
    assert_eq!(status, 409);
    assert!(page.contains("Their truck") && page.contains("another name"));
    let (_, edit) = bay.page("/circuits/our-truck/edit");
    let mark = edit
        .split("name=\"before\" value=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    assert_eq!(
        bay.keep("our-truck", &ours.replace("Our truck", "Their truck"), mark)
            .0,
        303
    );
    // Errors may be kept too; they open where they can be mended.
    assert_eq!(bay.keep("half-done", "[circuit]\n", "").0, 303);
    let (status, head, _) = bay.ask("GET", "/circuits/half-done", "", "text/html");
    assert_eq!(
        (status, sent_to(&head).as_str()),
        (303, "/circuits/half-done/edit")
    );
    assert!(bay.page("/circuits").1.contains("half-done"));
    assert_eq!(bay.page("/what-if/half-done").0, 422);
}

#[test]
fn no_name_leads_out_of_the_folder_or_onto_a_shipped_circuit() {
    let bay = Bay::new();
    for name in [
        "../out",
        "a/b",
        "..",
        "",
        "C:x",
        "vacuum-wastegate",
        "new",
        "nul",
        "Größe",
    ] {
        let (status, _, page) = bay.keep(name, shipped(), "");
        assert_eq!(status, 422, "{name}");
        assert!(
            page.contains("class=\"problem\"") && page.contains("[circuit]"),
            "{name}"
        );
    }
    assert!(!bay.folder().join("out.toml").exists() && !bay.folder().join("circuits").exists());
    for path in [
        "/circuits/..%2Fshop",
        "/circuits/..%2F..%2Fetc%2Fpasswd",
        "/circuits/%00",
        "/circuits/..%2Fshop/edit",
    ] {
        assert_eq!(bay.page(path).0, 404, "{path}");
    }
}

#[test]
fn a_new_circuit_begins_as_a_form_and_goes_on_as_text() {
    let bay = Bay::new();
    assert!(bay.page("/circuits/new").1.contains("solenoid"));
    let body = format!(
        "name=lamp&title={}&codes=P0001&symptoms={}&part0=battery&kind0=battery&part1=lamp&kind1=lamp&joined1={}",
        encoded("A \"lamp\"\n[part.x]"),
        encoded("stays dark\nflickers"),
        encoded("plus = battery.positive, minus = battery.negative")
    );
    let (status, _, page) = bay.ask("POST", "/circuits/new", &body, "text/html");
    assert_eq!(status, 200);
    assert!(
        page.contains("[part.lamp]") && page.contains("kind = &quot;lamp&quot;"),
        "{page}"
    );
    assert!(page.contains("stays dark") && !page.contains("\n[part.x]"));
}
