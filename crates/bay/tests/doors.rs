//! This machine's own door: what a request must show there, what every answer carries, and what is too much.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod common;

use bay::Bounds;
use common::{FORM, Shop, connected, said};
use job::{Described, Event, Intake, Vehicle};
use std::io::{Read, Write};
use std::time::{Duration, Instant};
use store::Location;

fn with_job(words: &str, complaint: &str) -> Shop {
    let shop = Shop::alone();
    let store = store::open(&Location::File(shop.folder.join("shop.db"))).unwrap();
    let intake = Intake {
        vehicle: Vehicle {
            words: words.to_owned(),
            odometer_km: None,
            engine_hours: None,
        },
        complaint: complaint.to_owned(),
        circuit: Described {
            name: "vacuum-wastegate".to_owned(),
            text: "invented".to_owned(),
        },
        ..Intake::default()
    };
    let mut desk = desk::Desk::new(store, String::new(), String::new());
    desk.begin(vec![Event::TakenIn { intake }]).unwrap();
    shop
}

#[test]
fn this_machine_comes_in_as_it_is() {
    let shop = with_job("white van", "no power uphill");
    let answer = shop.ask("GET", "/", &[], b"");
    assert_eq!((answer.status, answer.header("set-cookie")), (200, None));
    assert!(answer.text().contains("white van"));
    assert!(
        shop.ask("GET", "/?words=uphill", &[], b"")
            .text()
            .contains("white van")
    );
    assert!(
        !shop
            .ask("GET", "/?words=brakes", &[], b"")
            .text()
            .contains("white van")
    );
}

#[test]
fn only_names_of_this_machine_lead_in() {
    let shop = Shop::alone();
    let port = shop.here.port();
    let ask = |host: &str| shop.ask_as(host, "GET", "/", &[], b"").status;
    for name in ["localhost", "127.0.0.1", "[::1]", "LOCALHOST"] {
        assert_eq!(ask(&format!("Host: {name}:{port}")), 200, "{name}");
    }
    for name in [
        "evil.example",
        "127.0.0.1.evil.example",
        "localhost.",
        "0.0.0.0",
        "127.0.0.2",
    ] {
        assert_eq!(ask(&format!("Host: {name}:{port}")), 421, "{name}");
    }
    assert_eq!(ask("Host: localhost"), 421);
    assert_eq!(ask(&format!("Host: localhost:{port}\r\nHost: evil.example")), 421);
    assert_eq!(ask(""), 421);
    // The first line may name another host than the rest.
    let whole = shop.ask("GET", "http://evil.example/", &[], b"");
    assert_eq!(whole.status, 421);
}

#[test]
fn another_sites_page_writes_nothing() {
    let shop = Shop::alone();
    let post = |headers: &[&str]| shop.ask("POST", "/devices/code", headers, b"").status;
    for foreign in [
        "Origin: http://evil.example",
        "Origin: null",
        "Origin: http://127.0.0.1:1",
        "Sec-Fetch-Site: cross-site",
        "Sec-Fetch-Site: same-site",
    ] {
        assert_eq!(post(&[foreign]), 403, "{foreign}");
    }
    // Refused for another reason: no door is open to the network, so there is no code.
    let ours = format!("Origin: http://{}", shop.here);
    for own in [&[ours.as_str()][..], &["Sec-Fetch-Site: same-origin"], &[]] {
        assert_eq!(post(own), 409, "{own:?}");
    }
}

#[test]
fn every_answer_tells_the_browser_to_stay_strict() {
    let shop = with_job("van", "noise");
    let long = format!("/{}", "x".repeat(100_000));
    let answers = [
        shop.ask("GET", "/", &[], b""),
        shop.ask("GET", "/assets/bay.css", &[], b""),
        shop.ask("GET", "/nothing", &[], b""),
        shop.ask("GET", "/api/nothing", &[], b""),
        shop.ask("DELETE", "/", &[], b""),
        shop.ask("POST", "/pair", &["Content-Type: text/plain"], b"x"),
        shop.ask("GET", "/?words=%FF%00&words=", &[], b""),
        shop.ask("POST", "/devices/code", &["Origin: null"], b""),
        shop.ask_as("Host: evil.example", "GET", "/", &[], b""),
    ];
    for answer in &answers {
        let policy = answer
            .header("content-security-policy")
            .unwrap_or_else(|| panic!("{answer:?}"));
        for word in [
            "default-src 'none'",
            "frame-ancestors 'none'",
            "form-action 'self'",
            "base-uri 'none'",
        ] {
            assert!(policy.contains(word), "{policy}");
        }
        assert!(!policy.contains("unsafe"), "{policy}");
        assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
        assert!(answer.header("referrer-policy").is_some());
        assert!(answer.header("permissions-policy").is_some());
        assert!(answer.header("cache-control").is_some());
    }
    assert!(matches!(shop.ask("GET", &long, &[], b"").status, 414 | 431));
}

#[test]
fn a_page_holds_nothing_that_the_policy_forbids() {
    let shop = with_job("van", "noise");
    for path in ["/", "/devices", "/pair", "/nothing"] {
        let page = shop.ask("GET", path, &[], b"").text();
        let scripts = page.matches("<script").count();
        let from_assets = page.matches("<script type=\"module\" src=\"/assets/").count();
        assert_eq!(scripts, from_assets, "{path}");
        for word in [
            "<script>",
            "<style",
            " style=",
            " onclick=",
            "javascript:",
            "http://",
            "https://",
        ] {
            assert!(!page.contains(word), "{path}: {word}");
        }
        assert!(
            page.contains("<html lang=\"en\">") && page.contains("href=\"#main\""),
            "{path}"
        );
    }
}

#[test]
fn words_stay_words() {
    let evil = "<script>alert(1)</script><img src=x onerror=alert(1)>\"' &amp;";
    let shop = with_job(evil, evil);
    let page = shop.ask("GET", "/?words=%22%3E%3Cscript%3E", &[], b"").text();
    assert!(!page.contains("<script>"));
    let page = shop.ask("GET", "/", &[], b"").text();
    assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
    assert!(!page.contains("<script>") && !page.contains("<img src=x"));
}

#[test]
fn a_devices_name_stays_a_name() {
    let shop = Shop::on_network(Bounds::default());
    shop.paired("%3Cscript%3Ealert(1)%3C/script%3E%0A%0D%00");
    let page = shop.ask("GET", "/devices", &[], b"").text();
    assert!(page.contains("&lt;script&gt;") && !page.contains("<script>"));
}

#[test]
fn no_path_leads_out_of_the_assets() {
    let shop = Shop::alone();
    assert_eq!(shop.ask("GET", "/assets/bay.css", &[], b"").status, 200);
    for path in [
        "/assets/../Cargo.toml",
        "/assets/../../../../../../etc/passwd",
        "/assets/%2e%2e/Cargo.toml",
        "/assets/..%2fCargo.toml",
        "/assets/..%5cCargo.toml",
        "/assets//etc/passwd",
        "/assets/%2fetc%2fpasswd",
        "/assets/bay.css%00",
        "/assets/./bay.css/",
        "/assets/",
        "/photos/..%2f..%2fshop.db",
        "/photos/../shop.db",
    ] {
        let answer = shop.ask("GET", path, &[], b"");
        assert_eq!(answer.status, 404, "{path}");
        assert!(
            !answer.text().contains("[package]") && !answer.text().contains("root:"),
            "{path}"
        );
    }
}

#[test]
fn ten_megabytes_of_a_note_are_answered_clearly() {
    let shop = Shop::alone();
    let note = vec![b'x'; 10_000_000];
    let answer = shop.ask("POST", "/pair", &[FORM], &note);
    assert_eq!(answer.status, 413);
    assert!(
        answer.text().contains("10.0 megabytes, and 1 is the most"),
        "{}",
        answer.text()
    );
    let program = shop.ask("POST", "/pair", &[FORM, "Accept: application/json"], &note);
    assert_eq!(program.header("content-type"), Some("application/problem+json"));
    let photo = shop.ask(
        "POST",
        "/jobs/1/photos",
        &["Content-Type: multipart/form-data; boundary=x"],
        &vec![b'x'; 26_000_000],
    );
    assert_eq!(photo.status, 413);
}

#[test]
fn a_program_gets_problem_details() {
    let shop = Shop::alone();
    let answer = shop.ask("GET", "/api/jobs/77", &[], b"");
    assert_eq!(answer.header("content-type"), Some("application/problem+json"));
    // RFC 9457, section 3.1.
    let details: serde_json::Value = serde_json::from_slice(&answer.body).unwrap();
    assert_eq!(details["status"], 404);
    assert_eq!(details["title"], "Not Found");
    assert!(details["detail"].is_string());
}

#[test]
fn who_dawdles_is_shown_out() {
    let shop = Shop::opened(
        Shop::alone().closed(),
        "127.0.0.1:0",
        Bounds {
            head: Duration::from_millis(300),
            ..Bounds::default()
        },
    );
    let began = Instant::now();
    let mut silent = connected(shop.here);
    let mut slow = connected(shop.here);
    slow.write_all(b"GET / HTTP/1.1\r\nHost: ").unwrap();
    let mut kept = connected(shop.here);
    write!(
        kept,
        "GET /assets/icon.svg HTTP/1.1\r\nHost: {}\r\n\r\n",
        shop.here
    )
    .unwrap();
    for stream in [&mut silent, &mut slow, &mut kept] {
        let mut heard = Vec::new();
        // Ends because the shop closed it, not because we waited long enough.
        let _ = stream.read_to_end(&mut heard);
    }
    assert!(began.elapsed() < Duration::from_secs(15));
}

#[test]
fn one_address_has_so_many_connections_and_no_more() {
    let bounds = Bounds {
        of_one: 3,
        ..Bounds::default()
    };
    let shop = Shop::opened(Shop::alone().closed(), "127.0.0.1:0", bounds);
    let get = format!("GET /assets/icon.svg HTTP/1.1\r\nHost: {}\r\n\r\n", shop.here);
    let kept: Vec<_> = (0..3)
        .map(|_| {
            let mut stream = connected(shop.here);
            stream.write_all(get.as_bytes()).unwrap();
            assert!(stream.read(&mut [0; 64]).unwrap() > 0);
            stream
        })
        .collect();
    let mut fourth = connected(shop.here);
    let _ = fourth.write_all(get.as_bytes());
    assert!(fourth.read(&mut [0; 64]).unwrap_or(0) == 0);
    drop(kept);
    // A place that is left is free, as soon as the shop has noticed.
    let began = Instant::now();
    while shop.ask("GET", "/assets/icon.svg", &[], b"").status != 200 {
        assert!(began.elapsed() < Duration::from_secs(20));
    }
}

#[test]
fn closing_lets_nobody_in_and_ends() {
    let shop = Shop::alone();
    let (here, idle) = (shop.here, connected(shop.here));
    let began = Instant::now();
    shop.open.as_ref().unwrap().close().unwrap();
    assert!(began.elapsed() < Duration::from_secs(10));
    assert!(std::net::TcpStream::connect(here).is_err());
    drop(idle);
}

#[test]
fn rubbish_is_answered_or_ended_and_the_shop_stays_open() {
    let shop = Shop::alone();
    for rubbish in [
        &b"\0\0\0\0\r\n\r\n"[..],
        b"GET / HTTP/1.1\r\nHost: a\r\nContent-Length: -1\r\n\r\n",
        b"POST / HTTP/1.1\r\nTransfer-Encoding: chunked\r\nContent-Length: 4\r\n\r\nffffffffffffffff\r\n",
        b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
        b"GET /assets/%zz HTTP/1.1\r\nConnection: close\r\n\r\n",
    ] {
        let mut stream = connected(shop.here);
        stream.write_all(rubbish).unwrap();
        stream.shutdown(std::net::Shutdown::Write).unwrap();
        let answer = said(stream, b"");
        assert!(matches!(answer.status, 0 | 400..=499), "{answer:?}");
    }
    assert_eq!(shop.ask("GET", "/", &[], b"").status, 200);
}

#[test]
fn who_waits_for_changes_does_not_keep_the_shop_open() {
    let shop = with_job("van", "noise");
    let mut listener = connected(shop.here);
    write!(
        listener,
        "GET /jobs/1/changes HTTP/1.1\r\nHost: {}\r\n\r\n",
        shop.here
    )
    .unwrap();
    let mut head = [0; 64];
    assert!(listener.read(&mut head).unwrap() > 0 && head.starts_with(b"HTTP/1.1 200"));
    let began = Instant::now();
    shop.open.as_ref().unwrap().close().unwrap();
    // Much less than what a connection under way is given.
    assert!(began.elapsed() < Duration::from_secs(4));
}
