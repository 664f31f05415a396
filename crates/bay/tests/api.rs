//! The shop for programs, asked over HTTP: what pages do, programs do, and neither does what the other must not.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod common;

use common::{Answer, Shop};
use serde_json::{Value, json};

const JSON: &str = "Content-Type: application/json";

/// A program at the shop's own machine.
struct Program(Shop);

impl Program {
    fn new() -> Self {
        Self(Shop::alone())
    }

    fn ask(&self, method: &str, path: &str, body: &Value) -> Answer {
        let origin = format!("Origin: http://{}", self.0.here);
        let body = if body.is_null() {
            Vec::new()
        } else {
            body.to_string().into_bytes()
        };
        self.0.ask(method, path, &[JSON, &origin], &body)
    }

    /// What must be answered with `status`; its JSON.
    fn must(&self, status: u16, method: &str, path: &str, body: &Value) -> Value {
        let answer = self.ask(method, path, body);
        assert_eq!(answer.status, status, "{method} {path}: {}", answer.text());
        let kind = answer.header("content-type").unwrap_or_default();
        assert_eq!(
            kind == "application/problem+json",
            status >= 400,
            "{method} {path}: {kind}"
        );
        told(&answer)
    }

    fn get(&self, path: &str) -> Value {
        self.must(200, "GET", path, &Value::Null)
    }

    /// A job on the vacuum circuit, with its source hose found pulled off.
    fn job(&self) {
        let job = json!({"circuit": "vacuum-wastegate", "vehicle": "invented van", "codes": ["P0299"], "invented": true});
        self.must(201, "POST", "/api/jobs", &job);
    }
}

/// A long answer may come in pieces: its JSON stands between the first and the last bracket.
fn told(answer: &Answer) -> Value {
    let body = answer.text();
    let Some(first) = body.find(['{', '[']) else {
        return Value::Null;
    };
    let last = body.rfind(['}', ']']).unwrap();
    serde_json::from_str(&body[first..=last]).unwrap()
}

#[test]
fn the_shop_is_set_whole_or_not_at_all() {
    let program = Program::new();
    let new = json!({"currency": "EUR", "rate_per_hour": 95, "tax_percent": 19, "people": ["Ann", " Ben "], "altitude": "440",
        "instruments": [{"sort": "vacuum gauge", "name": "red one", "accuracy": "class 1.6"}]});
    let kept = program.must(200, "PATCH", "/api/shop", &new);
    assert_eq!(kept["people"], json!(["Ann", "Ben"]));
    assert_eq!(
        (&kept["altitude"], &kept["rate_per_hour"]),
        (&json!("440 m"), &json!(95.0))
    );
    assert_eq!(kept["instruments"][0]["accuracy"], "class 1.6");
    for wrong in [
        json!({"rate_per_hour": 80, "altitude": "on the moon"}),
        json!({"tax_percent": 190, "people": []}),
        json!({"currency": "USD", "instruments": [{"sort": "voltmeter", "name": "x", "accuracy": "class 1.6"}]}),
        json!({"currency": "USD", "instruments": [{"sort": "wand", "name": "x"}]}),
        json!({"colour": "red"}),
        json!({"rate_per_hour": "95"}),
    ] {
        let problem = program.must(422, "PATCH", "/api/shop", &wrong);
        assert_eq!(problem["status"], 422, "{wrong}");
        assert_eq!(program.get("/api/shop"), kept, "{wrong}");
    }
    // The page shows what the program set.
    let page = program.0.ask("GET", "/shop", &[], b"").text();
    assert!(page.contains("vacuum gauge: red one = class 1.6"), "{page}");
}

#[test]
fn a_reading_is_as_right_as_the_shops_instrument() {
    let program = Program::new();
    program.job();
    let own = json!({"instruments": [{"sort": "vacuum gauge", "name": "red one", "accuracy": "class 4"}]});
    program.must(200, "PATCH", "/api/shop", &own);
    let reading = json!({"check": "tee:valve.source@idle", "value": "18 inHg", "instrument": "RED one"});
    let state = program.must(200, "POST", "/api/jobs/1/readings", &reading);
    assert_eq!(
        (
            &state["readings"][0]["instrument"],
            &state["readings"][0]["accuracy"]
        ),
        (&json!("red one"), &json!("class 4"))
    );
    let card = program.get("/api/jobs/1/checks/tee:valve.source@idle");
    assert_eq!(card["own_instruments"], json!(["red one"]));
    assert!(
        card["expected"].as_array().unwrap().len() > 1 && card["unit"] == "Pa",
        "{card}"
    );
    let page = program
        .0
        .ask("GET", "/jobs/1/checks/tee:valve.source@idle", &[], b"")
        .text();
    assert!(
        page.contains("<select id=\"own\" name=\"own\">") && page.contains("red one, class 4"),
        "{page}"
    );
}

#[test]
fn from_the_belief_to_the_offer_and_its_answer() {
    let program = Program::new();
    program.job();
    let problem = program.must(409, "GET", "/api/jobs/1/offer", &Value::Null);
    assert!(
        problem["detail"]
            .as_str()
            .unwrap()
            .contains("no offer can be made yet")
    );
    let charges = json!({"currency": "EUR", "rate_per_hour": 95, "tax_percent": 19});
    program.must(200, "PATCH", "/api/shop", &charges);
    program.must(
        200,
        "POST",
        "/api/jobs/1/readings",
        &json!({"check": "tee:valve.source@idle", "value": "9 inHg"}),
    );
    let belief = program.get("/api/jobs/1/belief");
    let sum: f64 = belief["suspects"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| s["probability"].as_f64().unwrap())
        .sum();
    let rest = belief["nothing_wrong"].as_f64().unwrap() + belief["not_listed"].as_f64().unwrap();
    assert!((sum + rest - 1.0).abs() < 1e-9);
    assert_eq!(belief["readings"][0]["check"], "tee:valve.source@idle");
    assert!(belief["next"][0]["cautions"].is_array() && belief["standing"].is_string());
    let part = program.get("/api/jobs/1/parts/valve");
    assert_eq!(part["probability"], belief["parts"]["valve"]);
    let joint = program.get("/api/jobs/1/joints/valve.source");
    let there = joint["checks"].as_array().unwrap();
    assert!(
        there
            .iter()
            .any(|check| check["check"] == "deadhead:valve.source@idle")
    );
    assert!(
        there
            .iter()
            .all(|check| check["cost"].is_number() && check["expected"].as_array().unwrap().len() > 1)
    );
    program.must(404, "GET", "/api/jobs/1/joints/valve.sauce", &json!(null));

    let offer = program.get("/api/jobs/1/offer");
    assert_eq!(
        (&offer["state"], offer["options"].as_array().unwrap().is_empty()),
        (&json!("draft"), false)
    );
    // Two who answer the same offer: the second one hears that something was written meanwhile.
    let answer = json!({"turn": offer["turn"], "answer": "accept", "option": 1, "words": "by telephone"});
    assert_eq!(
        program.must(200, "POST", "/api/jobs/1/offer", &answer)["stage"],
        "agreed"
    );
    program.must(422, "POST", "/api/jobs/1/offer", &answer);
    let agreed = program.get("/api/jobs/1/offer");
    assert_eq!(
        (&agreed["state"], &agreed["agreed"]),
        (&json!("agreed"), &json!(1))
    );
    for wrong in [
        json!({"turn": agreed["turn"], "answer": "accept"}),
        json!({"turn": agreed["turn"], "answer": "accept", "option": 99}),
        json!({"turn": agreed["turn"], "answer": "refuse", "option": 1}),
        json!({"turn": agreed["turn"], "answer": "perhaps"}),
    ] {
        program.must(422, "POST", "/api/jobs/1/offer", &wrong);
    }
    let priced = program.get("/api/jobs/1/offer?anew=true&prices=valve=budget:22.50");
    assert_eq!(
        priced["prices"],
        json!([{"part": "valve", "grade": "budget", "price": 22.5}])
    );
    program.must(422, "GET", "/api/jobs/1/offer?prices=valve", &Value::Null);
}

#[test]
fn circuits_are_looked_at_kept_copied_and_taken_away() {
    let program = Program::new();
    let looked = program.must(
        200,
        "POST",
        "/api/circuits/look",
        &json!({"text": "[circuit]\ntitel = \"x\"\n"}),
    );
    assert_eq!(
        (&looked["usable"], &looked["findings"][0]["error"]),
        (&json!(false), &json!(true))
    );
    assert!(looked["findings"][0]["line"].as_u64().unwrap() >= 1);
    let copied = program.must(
        201,
        "POST",
        "/api/circuits/vacuum-wastegate/copy",
        &json!({"to": "our-wastegate"}),
    );
    assert_eq!((&copied["own"], &copied["usable"]), (&json!(true), &json!(true)));
    let text = copied["text"].as_str().unwrap();
    let drawn = program.must(
        200,
        "POST",
        "/api/circuits/look",
        &json!({"text": text, "drawing": true}),
    );
    assert!(
        drawn["svg"].as_str().unwrap().starts_with("<svg") && !drawn["checks"].as_array().unwrap().is_empty()
    );

    let changed = format!("{text}\n# ours\n");
    let stale = json!({"text": changed, "before": "0"});
    program.must(409, "PUT", "/api/circuits/our-wastegate", &stale);
    let kept = program.must(
        200,
        "PUT",
        "/api/circuits/our-wastegate",
        &json!({"text": changed, "before": copied["mark"]}),
    );
    assert_ne!(kept["mark"], copied["mark"]);
    let names: Vec<Value> = program
        .get("/api/circuits")
        .as_array()
        .unwrap()
        .iter()
        .map(|c| c["name"].clone())
        .collect();
    assert!(names.contains(&json!("our-wastegate")) && names.contains(&json!("vacuum-wastegate")));

    let old = format!(
        "/api/circuits/our-wastegate?before={}",
        copied["mark"].as_str().unwrap()
    );
    program.must(409, "DELETE", &old, &Value::Null);
    let now = format!(
        "/api/circuits/our-wastegate?before={}",
        kept["mark"].as_str().unwrap()
    );
    assert_eq!(program.ask("DELETE", &now, &Value::Null).status, 204);
    program.must(404, "DELETE", &now, &Value::Null);
    program.must(409, "DELETE", "/api/circuits/vacuum-wastegate", &Value::Null);
    program.must(
        422,
        "PUT",
        "/api/circuits/vacuum-wastegate",
        &json!({"text": "x"}),
    );
    for name in ["..%2Fshop", "a.toml", "CON", "%2e%2e"] {
        let answer = program.ask("PUT", &format!("/api/circuits/{name}"), &json!({"text": "x"}));
        assert!([404, 422].contains(&answer.status), "{name}: {}", answer.status);
    }
    assert!(!program.0.folder.join("shop.toml").exists());
}

#[test]
fn what_if_and_practice() {
    let program = Program::new();
    let sound = program.get("/api/circuits/vacuum-wastegate/what-if");
    assert!(sound["faults"].as_array().unwrap().is_empty() && sound["svg"].is_null());
    for gauge in sound["gauges"].as_array().unwrap() {
        assert_eq!(gauge["sound"], gauge["faulty"], "{gauge}");
    }
    let fault = program.get("/api/circuits/vacuum-wastegate/what-if?fault=source-line/blocked&severity=80&drawing=true&healthy=true");
    assert!(fault["svg"].as_str().unwrap().starts_with("<svg"));
    let gauges = fault["gauges"].as_array().unwrap();
    assert!(
        gauges.iter().any(|gauge| gauge["sound"] != gauge["faulty"])
            && gauges.iter().all(|g| g["healthy"].is_array())
    );
    for wrong in [
        "fault=nothing/here",
        "severity=101&fault=source-line/blocked",
        "severity=much",
        "condition=upside-down",
    ] {
        let answer = program.ask(
            "GET",
            &format!("/api/circuits/vacuum-wastegate/what-if?{wrong}"),
            &Value::Null,
        );
        assert!([400, 422].contains(&answer.status), "{wrong}: {}", answer.status);
    }
    program.job();
    assert_eq!(program.get("/api/jobs/1/what-if")["circuit"], "vacuum-wastegate");

    let id = "00000000-0000-4000-8000-0000000000a1";
    let new = json!({"id": id, "circuit": "vacuum-wastegate", "seed": 7});
    let begun = program.must(201, "POST", "/api/practice", &new);
    assert_eq!((&begun["seed"], &begun["hidden"]), (&json!(7), &Value::Null));
    let at = format!("/api/practice/{id}");
    let step = json!({"step": 0, "check": "tee:valve.source@idle"});
    let one = program.must(200, "POST", &format!("{at}/steps"), &step);
    assert_eq!(one["steps"].as_array().unwrap().len(), 1);
    // Sent twice it counts once; and beginning again under the same name changes nothing.
    assert_eq!(program.must(200, "POST", &format!("{at}/steps"), &step), one);
    assert_eq!(program.must(201, "POST", "/api/practice", &new), one);
    program.must(422, "POST", &format!("{at}/steps"), &json!({"step": 1}));
    program.must(
        422,
        "POST",
        &format!("{at}/steps"),
        &json!({"step": 1, "check": "tee:nowhere@idle"}),
    );
    program.must(409, "GET", &format!("{at}/ending"), &Value::Null);
    let left = program.must(
        200,
        "POST",
        &format!("{at}/steps"),
        &json!({"step": 1, "leave": true}),
    );
    assert!(left["over"] == true && left["hidden"].is_string());
    program.must(
        404,
        "GET",
        "/api/practice/00000000-0000-4000-8000-0000000000a2",
        &Value::Null,
    );
    program.must(400, "GET", "/api/practice/none", &Value::Null);
}

#[test]
fn sheets_and_devices() {
    let program = Program::new();
    program.job();
    let sheets = program.get("/api/jobs/1/sheets");
    let html = sheets[0]["html"].as_str().unwrap();
    assert_eq!(program.0.ask("GET", html, &[], b"").status, 200);
    assert!(
        sheets[0]["pdf"].is_null() || sheets[0]["pdf"].as_str().unwrap().rsplit('.').next() == Some("pdf")
    );
    let plan = program.get("/api/jobs/1/plan");
    assert!(
        plan["expected_cost"].as_f64() >= plan["lower_bound"].as_f64() && plan["steps"].is_object(),
        "{plan}"
    );
    assert_eq!(program.get("/api/jobs/1/proof")["watch"], Value::Null);
    assert_eq!(program.get("/api/devices"), json!([]));
    program.must(409, "POST", "/api/devices/code", &Value::Null);
    program.must(
        404,
        "DELETE",
        "/api/devices/00000000-0000-4000-8000-000000000001",
        &Value::Null,
    );
    program.must(400, "DELETE", "/api/devices/none", &Value::Null);
}

/// Every write of the document, with something in its braces.
fn writes(document: &Value) -> Vec<(String, String)> {
    let mut writes = Vec::new();
    for (path, methods) in document["paths"].as_object().unwrap() {
        let path = path
            .replace("{number}", "1")
            .replace("{name}", "vacuum-wastegate")
            .replace("{id}", "00000000-0000-4000-8000-000000000001");
        for method in methods.as_object().unwrap().keys() {
            if method != "get" {
                writes.push((method.to_uppercase(), path.clone()));
            }
        }
    }
    writes
}

#[test]
fn no_page_of_another_site_writes_and_nothing_too_large_is_read() {
    let program = Program::new();
    program.job();
    let writes = writes(&program.get("/api/openapi.json"));
    assert!(writes.len() >= 14, "{writes:?}");
    for (method, path) in &writes {
        for from in ["Origin: https://elsewhere.example", "Sec-Fetch-Site: cross-site"] {
            let answer = program.0.ask(method, path, &[JSON, from], b"{}");
            assert_eq!(answer.status, 403, "{method} {path} {from}");
            assert_eq!(answer.header("content-type"), Some("application/problem+json"));
        }
        if method == "DELETE" || path.ends_with("/code") {
            continue;
        }
        let pictures = path.ends_with("/photos");
        let most = if pictures { 25_000_000 } else { 1_000_000 };
        let kind = if pictures {
            "Content-Type: image/jpeg"
        } else {
            JSON
        };
        let answer = program.0.ask(method, path, &[kind], &vec![b' '; most + 1]);
        assert_eq!(answer.status, 413, "{method} {path}");
    }
    assert_eq!(
        program.get("/api/jobs/1/record").as_array().unwrap().len(),
        2,
        "nothing was written"
    );
}

/// From the shop's network everything but the way in is behind a paired device, and a device makes no code for others.
#[test]
fn programs_from_the_network_are_paired_devices() {
    let shop = Shop::on_network(bay::Bounds::default());
    let document = told(&shop.ask("GET", "/api/openapi.json", &[], b""));
    let paths: Vec<String> = document["paths"]
        .as_object()
        .unwrap()
        .keys()
        .map(|path| path.replace(['{', '}'], "0"))
        .collect();
    for path in paths.iter().map(String::as_str).take(12) {
        assert_eq!(shop.ask_outside("GET", path, &[], b"").status, 401, "{path}");
    }
    let cookie = shop.paired("phone");
    let devices = told(&shop.ask_outside("GET", "/api/devices", &[&cookie], b""));
    assert_eq!(devices[0]["name"], "phone");
    assert!(devices[0].get("token").is_none(), "{devices}");
    assert_eq!(
        shop.ask_outside("POST", "/api/devices/code", &[&cookie], b"")
            .status,
        403
    );
    let code = told(&shop.ask("POST", "/api/devices/code", &[], b""));
    assert!(code["code"].is_string() && code["fingerprint"].is_string());
    let gone = format!("/api/devices/{}", devices[0]["id"].as_str().unwrap());
    assert_eq!(shop.ask("DELETE", &gone, &[], b"").status, 204);
    assert_eq!(
        shop.ask_outside("GET", "/api/devices", &[&cookie], b"").status,
        401
    );
}

#[test]
fn a_picture_sent_by_a_program_is_made_anew() {
    let program = Program::new();
    program.job();
    let picture =
        image::DynamicImage::ImageRgb8(image::RgbImage::from_pixel(40, 30, image::Rgb([90, 60, 30])));
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut bytes, image::ImageFormat::Png).unwrap();
    let bytes = bytes.into_inner();
    let address = "/api/jobs/1/photos?words=oil%20on%20the%20hose&entry=00000000-0000-4000-8000-0000000000b1";
    for _ in 0..2 {
        let answer = program
            .0
            .ask("POST", address, &["Content-Type: image/png"], &bytes);
        assert_eq!(answer.status, 201, "{}", answer.text());
    }
    let photos = program.get("/api/jobs/1/photos");
    assert_eq!(photos.as_array().unwrap().len(), 1, "sent twice it counts once");
    assert_eq!(
        (&photos[0]["media"], &photos[0]["words"]),
        (&json!("image/jpeg"), &json!("oil on the hose"))
    );
    let shown = program
        .0
        .ask("GET", photos[0]["address"].as_str().unwrap(), &[], b"");
    assert_eq!(
        (shown.status, shown.header("content-type")),
        (200, Some("image/jpeg"))
    );
    let send = |kind: &str, body: &[u8]| program.0.ask("POST", "/api/jobs/1/photos", &[kind], body).status;
    assert_eq!(send("Content-Type: application/octet-stream", b"no picture"), 422);
    assert_eq!(send("Content-Type: image/png", b""), 422);
    assert_eq!(send(JSON, b"{}"), 415);
}
