//! A recording is taken in through the door, counted once, and looked at in windows.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod common;

use common::{Answer, Shop};
use drive::made::{Journey, Response, as_table, drive};
use job::{Described, Event, Intake};
use quantity::{Pressure, Temperature};
use serde_json::Value;
use store::Location;

const FORM: &str = "Content-Type: multipart/form-data; boundary=edge";

fn open() -> Shop {
    let shop = Shop::alone();
    let intake = Intake {
        circuit: Described {
            name: "vacuum-wastegate".to_owned(),
            text: "invented".to_owned(),
        },
        invented: true,
        ..Intake::default()
    };
    let store = store::open(&Location::File(shop.folder.join("shop.db"))).unwrap();
    let mut desk = desk::Desk::new(store, String::new(), String::new());
    desk.begin(vec![Event::TakenIn { intake }]).unwrap();
    shop
}

fn made(seed: u32) -> String {
    as_table(&drive(&Journey {
        response: Response::default(),
        barometer: Pressure::from_si(98_000.0),
        outside: Temperature::from_celsius(15.0),
        seed,
        words: "invented van".to_owned(),
    }))
}

fn given(shop: &Shop, text: &str, name: &str) -> Answer {
    let part = |name: &str| format!("--edge\r\nContent-Disposition: form-data; name=\"{name}\"");
    let body = format!(
        "{}\r\n\r\nuphill <fast>\r\n{}; filename=\"{name}\"\r\nContent-Type: text/csv\r\n\r\n{text}\r\n--edge--\r\n",
        part("words"),
        part("recording"),
    );
    shop.ask("POST", "/jobs/1/drives", &[FORM], body.as_bytes())
}

/// Addresses of the drives in the list.
fn listed(shop: &Shop) -> Vec<String> {
    let page = shop.ask("GET", "/jobs/1/drives", &[], b"").text();
    let found = page.split("href=\"/jobs/1/drives/").skip(1);
    found
        .map(|rest| rest.split('"').next().unwrap().to_owned())
        .filter(|hash| !hash.contains('?'))
        .collect()
}

fn window(shop: &Shop, hash: &str, query: &str) -> Value {
    let answer = shop.ask("GET", &format!("/jobs/1/drives/{hash}/window{query}"), &[], b"");
    assert_eq!(answer.status, 200, "{}", answer.text());
    serde_json::from_slice(&answer.body).unwrap()
}

fn steps(opened: &Value, name: &str) -> Vec<[f64; 3]> {
    let panes = opened["panes"].as_array().unwrap();
    let own = panes.iter().find(|pane| pane["name"] == name).unwrap();
    serde_json::from_value(own["steps"].clone()).unwrap()
}

#[test]
fn a_recording_is_taken_in_once_and_shown_as_simulated() {
    let shop = open();
    let text = made(1);
    for name in ["a.csv", "b.csv"] {
        let answer = given(&shop, &text, name);
        assert_eq!(
            (answer.status, answer.header("location")),
            (303, Some("/jobs/1/drives")),
            "{}",
            answer.text()
        );
    }
    assert_eq!(listed(&shop).len(), 1);
    let page = shop
        .ask("GET", &format!("/jobs/1/drives/{}", listed(&shop)[0]), &[], b"")
        .text();
    assert!(page.contains("Simulated: made up, not driven."));
    assert!(page.contains("intake manifold pressure, kPa"));
    let list = shop.ask("GET", "/jobs/1/drives", &[], b"").text();
    assert!(list.contains("uphill &lt;fast&gt;") && !list.contains("<fast>"));
}

#[test]
fn a_window_has_as_many_steps_as_asked_and_loses_no_spike() {
    let shop = open();
    given(&shop, &made(1), "a.csv");
    let hash = &listed(&shop)[0];
    let coarse = window(&shop, hash, "?from=0&to=1190&steps=60");
    let fine = window(&shop, hash, "?from=0&to=60&steps=1600");
    let (all, near) = (steps(&coarse, "vehicle speed"), steps(&fine, "vehicle speed"));
    assert!(all.len() <= 61, "{}", all.len());
    assert!(near.len() > 500 && near.iter().all(|[at, ..]| *at <= 60.0));
    // The cycle's top speed lasts ten seconds of twenty minutes, and the cranking dip little more than one.
    assert!(all.iter().any(|[_, _, most]| (*most - 120.0).abs() < 1e-9));
    assert!(
        steps(&coarse, "module voltage")
            .iter()
            .any(|[_, least, _]| *least < 10.6)
    );
    // What lies outside the drive is answered with what is there.
    for query in [
        "?from=-50&to=1e9",
        "?from=90&to=10",
        "?from=NaN&to=5",
        "?from=5000&to=6000",
    ] {
        let opened = window(&shop, hash, query);
        let (from, to) = (opened["from"].as_f64().unwrap(), opened["to"].as_f64().unwrap());
        assert!(from >= 0.0 && to > from && to < 1200.0, "{query}: {from} {to}");
    }
}

#[test]
fn two_drives_stand_beside_each_other() {
    let shop = open();
    given(&shop, &made(1), "before.csv");
    given(&shop, &made(2), "after.csv");
    let all = listed(&shop);
    let page = shop
        .ask(
            "GET",
            &format!("/jobs/1/drives/{}?beside={}", all[0], all[1]),
            &[],
            b"",
        )
        .text();
    assert!(page.contains("before.csv") && page.contains("after.csv"));
    assert_eq!(page.matches("<g transform").count(), 2);
}

#[test]
fn what_is_no_recording_or_not_there_is_said() {
    let shop = open();
    let refused = given(&shop, "Dear customer, your van is ready.", "letter.txt");
    assert_eq!(refused.status, 422, "{}", refused.text());
    assert!(refused.text().contains("no recording that can be used"));
    assert_eq!(given(&shop, "", "empty.csv").status, 422);
    assert!(listed(&shop).is_empty());
    for address in [
        "/jobs/1/drives/abc",
        "/jobs/1/drives/abc/window",
        "/jobs/9/drives",
    ] {
        assert_eq!(shop.ask("GET", address, &[], b"").status, 404, "{address}");
    }
}

#[test]
fn columns_are_confirmed_once_and_the_next_recording_is_read_so() {
    let shop = open();
    let rows = |from: u32| -> String {
        let rows = (from..from + 200)
            .map(|row| format!("{row},{},{}\n", 800 + row % 5, 14.0 + f64::from(row % 3) * 0.1));
        "time,channel 7,battery V\n".to_owned() + &rows.collect::<String>()
    };
    assert_eq!(given(&shop, &rows(0), "first.csv").status, 303);
    let place = format!("/jobs/1/drives/{}/columns", listed(&shop)[0]);
    let page = shop.ask("GET", &place, &[], b"").text();
    assert!(
        page.contains("not confirmed yet") && page.contains("% sure"),
        "{page}"
    );
    let form = "Content-Type: application/x-www-form-urlencoded";
    let wrong = b"do=confirm&column-0=time,+s&column-1=engine+speed,+furlong&column-2=";
    let answer = shop.ask("POST", &place, &[form], wrong);
    assert_eq!(answer.status, 422, "{}", answer.text());
    assert!(
        answer.text().contains("`engine speed, furlong` is no signal"),
        "{}",
        answer.text()
    );
    let right = b"do=confirm&column-0=time,+s&column-1=engine+speed,+rpm&column-2=module+voltage,+V";
    let answer = shop.ask("POST", &place, &[form], right);
    assert_eq!(
        (answer.status, answer.header("location")),
        (303, Some(place.as_str())),
        "{}",
        answer.text()
    );
    let page = shop.ask("GET", &place, &[], b"").text();
    assert!(page.contains("by first.csv: every recording"), "{page}");

    assert_eq!(given(&shop, &rows(1000), "second.csv").status, 303);
    let second = listed(&shop)
        .into_iter()
        .find(|hash| !place.contains(hash.as_str()))
        .unwrap();
    let speed = steps(&window(&shop, &second, ""), "engine speed");
    assert!((speed[0][1] - 800.0).abs() < 5.0, "{speed:?}");

    let answer = shop.ask("POST", &place, &[form], b"do=forget");
    assert_eq!(answer.status, 303);
    let page = shop.ask("GET", &place, &[], b"").text();
    assert!(page.contains("not confirmed yet"), "{page}");
}
