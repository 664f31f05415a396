//! Somebody tries to get in from the shop's network and fails; a paired device gets in until it is revoked.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod common;

use bay::Bounds;
use common::{FORM, Shop, connected, said};
use std::io::Write;
use std::time::Duration;

const INSIDE: [&str; 5] = ["/", "/devices", "/jobs/1", "/photos/00", "/nothing"];

fn open() -> Shop {
    Shop::on_network(Bounds::default())
}

#[test]
fn without_a_token_nothing_but_the_way_to_one_is_shown() {
    let shop = open();
    for path in INSIDE {
        let answer = shop.ask_outside("GET", path, &[], b"");
        assert_eq!(answer.status, 401, "{path}");
        assert!(answer.text().contains("href=\"/pair\""), "{path}");
    }
    for path in ["/pair", "/pair?code=ABCD", "/assets/bay.css"] {
        assert_eq!(shop.ask_outside("GET", path, &[], b"").status, 200, "{path}");
    }
    // An address that only begins like an open one is not open.
    assert_eq!(shop.ask_outside("GET", "/pairs", &[], b"").status, 401);
    assert_eq!(shop.ask_outside("GET", "/assets", &[], b"").status, 401);
    assert_eq!(shop.ask_outside("GET", "//assets/bay.css", &[], b"").status, 401);
}

#[test]
fn a_wrong_token_is_none() {
    let shop = open();
    let cookie = shop.paired("phone");
    let (start, end) = cookie.split_at(cookie.len() - 1);
    let last = if end == "0" { "1" } else { "0" };
    for wrong in [
        format!("{start}{last}"),
        start.to_owned(),
        format!("{cookie}0"),
        "Cookie: __Host-halfsplit-device=".to_owned(),
        cookie.replace("__Host-", ""),
        "Authorization: Bearer 0".to_owned(),
        "Authorization: Basic Og==".to_owned(),
    ] {
        assert_eq!(
            shop.ask_outside("GET", "/", &[&wrong], b"").status,
            401,
            "{wrong}"
        );
    }
    assert_eq!(shop.ask_outside("GET", "/", &[&cookie], b"").status, 200);
    let bearer = cookie.replace("Cookie: __Host-halfsplit-device=", "Authorization: Bearer ");
    assert_eq!(shop.ask_outside("GET", "/", &[&bearer], b"").status, 200);
}

#[test]
fn a_device_is_out_as_soon_as_it_is_revoked() {
    let shop = open();
    let (phone, tablet) = (shop.paired("phone"), shop.paired("tablet"));
    let page = shop.ask_outside("GET", "/devices", &[&phone], b"").text();
    assert!(page.contains("phone") && page.contains("tablet"));
    // The last paired stands first.
    let revoke = page.split('"').find(|piece| piece.ends_with("/revoke")).unwrap();
    let origin = format!("Origin: https://{}", shop.network.unwrap());
    let answer = shop.ask_outside("POST", revoke, &[&phone, &origin], b"");
    assert_eq!(answer.status, 303, "{}", answer.text());
    assert_eq!(shop.ask_outside("GET", "/", &[&tablet], b"").status, 401);
    assert_eq!(shop.ask_outside("GET", "/", &[&phone], b"").status, 200);
    // Once is enough.
    assert_eq!(shop.ask_outside("POST", revoke, &[&phone], b"").status, 404);
}

#[test]
fn what_another_program_revoked_is_known_at_once() {
    let shop = open();
    let phone = shop.paired("phone");
    let second = Shop::opened(shop.folder.clone(), "127.0.0.1:0", Bounds::default());
    let page = second.ask("GET", "/devices", &[], b"").text();
    let revoke = page.split('"').find(|piece| piece.ends_with("/revoke")).unwrap();
    assert_eq!(second.ask("POST", revoke, &[], b"").status, 303);
    assert_eq!(shop.ask_outside("GET", "/", &[&phone], b"").status, 401);
    second.closed();
}

#[test]
fn a_device_stays_paired_and_the_certificate_the_same_when_the_shop_opens_again() {
    let shop = open();
    let phone = shop.paired("phone");
    let before = std::fs::read(shop.doors().join("certificate.pem")).unwrap();
    let folder = shop.closed();
    let again = Shop::opened(folder, "0.0.0.0:0", Bounds::default());
    assert_eq!(again.ask_outside("GET", "/", &[&phone], b"").status, 200);
    assert_eq!(
        std::fs::read(again.doors().join("certificate.pem")).unwrap(),
        before
    );
}

#[test]
fn a_code_pairs_one_device() {
    let shop = open();
    let code = shop.code();
    let send = || shop.ask_outside("POST", "/pair", &[FORM], format!("code={code}&name=a").as_bytes());
    assert_eq!(send().status, 303);
    let second = send();
    assert_eq!((second.status, second.header("set-cookie")), (403, None));
    assert!(second.text().contains("There is no such code any more."));
}

#[test]
fn an_old_code_pairs_none() {
    let shop = Shop::on_network(Bounds {
        code_life: Duration::ZERO,
        ..Bounds::default()
    });
    let body = format!("code={}&name=a", shop.code());
    let answer = shop.ask_outside("POST", "/pair", &[FORM], body.as_bytes());
    assert_eq!((answer.status, answer.header("set-cookie")), (403, None));
}

#[test]
fn who_guesses_waits() {
    let shop = open();
    let code = shop.code();
    let guess = |code: &str| shop.ask_outside("POST", "/pair", &[FORM], format!("code={code}").as_bytes());
    assert_eq!(guess("AAAAAAAA").status, 403);
    // Even the right code is not looked at now.
    let answer = guess(&code);
    assert_eq!((answer.status, answer.header("set-cookie")), (429, None));
    assert!(answer.header("retry-after").is_some());
}

#[test]
fn looking_at_the_link_does_not_use_it_up() {
    let shop = open();
    let link = shop.open.as_ref().unwrap().invite().unwrap().unwrap();
    let path = format!("/pair?code={}", link.code);
    assert!(link.link().ends_with(&path));
    for _ in 0..3 {
        assert!(
            shop.ask_outside("GET", &path, &[], b"")
                .text()
                .contains(&link.code)
        );
    }
    let body = format!("code={}&name=a", link.spoken().to_lowercase());
    assert_eq!(
        shop.ask_outside("POST", "/pair", &[FORM], body.as_bytes()).status,
        303
    );
}

#[test]
fn the_cookie_is_for_this_host_through_tls_and_for_no_script() {
    let shop = open();
    let body = format!("code={}&name=a", shop.code());
    let answer = shop.ask_outside("POST", "/pair", &[FORM], body.as_bytes());
    let cookie = answer.header("set-cookie").unwrap();
    for flag in ["; Secure", "; HttpOnly", "; SameSite=Strict", "; Path=/"] {
        assert!(cookie.contains(flag), "{cookie}");
    }
    assert!(cookie.starts_with("__Host-") && !cookie.contains("Domain"));
    let token = cookie.split(['=', ';']).nth(1).unwrap();
    assert_eq!(token.len(), 64, "256 bits");
    // Nothing on the disk holds it.
    for file in std::fs::read_dir(shop.doors()).unwrap() {
        let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
        assert!(!text.contains(token));
    }
}

#[test]
fn a_code_is_made_at_the_machine_only() {
    let shop = open();
    let phone = shop.paired("phone");
    assert_eq!(
        shop.ask_outside("POST", "/devices/code", &[&phone], b"").status,
        403
    );
    assert_eq!(shop.ask("POST", "/devices/code", &[], b"").status, 303);
    let page = shop.ask("GET", "/devices", &[], b"").text();
    assert!(page.contains("<svg class=\"scan\"") && page.contains("fingerprint"));
    // A code that is used at the machine itself by mistake stays good.
    let code = page
        .split("class=\"code\">")
        .nth(1)
        .unwrap()
        .split('<')
        .next()
        .unwrap();
    let body = format!("code={code}");
    assert_eq!(shop.ask("POST", "/pair", &[FORM], body.as_bytes()).status, 303);
    assert_eq!(
        shop.ask_outside("POST", "/pair", &[FORM], body.as_bytes()).status,
        303
    );
}

#[test]
fn plain_http_is_told_so_and_gets_nothing() {
    let shop = open();
    let to = shop.network.unwrap();
    let host = format!("Host: {to}");
    for path in ["/", "/pair", "/assets/bay.css"] {
        let answer = said(connected(to), &common::request(&host, "GET", path, &[], b""));
        assert_eq!(answer.status, 400, "{path}");
        assert!(answer.text().contains("https://"), "{path}");
        assert!(!answer.text().contains("<html"), "{path}");
    }
    // This machine's own door is not where others come in.
    let (here, outside) = (shop.here, shop.network.unwrap());
    assert!(here.ip().is_loopback() && here.port() != outside.port());
}

#[test]
fn nobody_but_the_owner_reads_the_key() {
    let shop = open();
    shop.paired("phone");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = |path: &std::path::Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode(&shop.doors()), 0o700);
        for name in ["key.pem", "certificate.pem", "devices.json"] {
            assert_eq!(mode(&shop.doors().join(name)), 0o600, "{name}");
        }
    }
}

#[test]
fn a_stranger_who_asks_all_the_time_is_slowed_down() {
    let shop = open();
    let phone = shop.paired("phone");
    let statuses: Vec<u16> = (0..60)
        .map(|_| shop.ask_outside("GET", "/assets/icon.svg", &[], b"").status)
        .collect();
    assert!(statuses[..20].iter().all(|status| *status == 200), "{statuses:?}");
    assert!(statuses.contains(&429), "{statuses:?}");
    // The shop's own devices do not suffer from it.
    assert_eq!(shop.ask_outside("GET", "/", &[&phone], b"").status, 200);
}

#[test]
fn another_name_is_refused_with_a_token_too() {
    let shop = open();
    let phone = shop.paired("phone");
    let ask = |host: &str| {
        let bytes = common::request(&format!("Host: {host}"), "GET", "/", &[&phone], b"");
        said(shop.tls(), &bytes).status
    };
    let port = shop.network.unwrap().port();
    assert_eq!(ask(&format!("bench.example:{port}")), 200);
    for wrong in [
        "bench.example",
        "evil.example",
        &format!("evil.example:{port}"),
        &format!("127.0.0.1:{}", port ^ 1),
    ] {
        assert_eq!(ask(wrong), 421, "{wrong}");
    }
}

#[test]
fn what_is_no_tls_after_its_first_byte_ends_too() {
    let shop = open();
    let mut stream = connected(shop.network.unwrap());
    stream.write_all(&[22, 3, 1, 0xff, 0xff]).unwrap();
    stream.write_all(&[0_u8; 4096]).unwrap();
    assert_eq!(said(stream, b"").status, 0);
    let phone = shop.paired("phone");
    assert_eq!(shop.ask_outside("GET", "/", &[&phone], b"").status, 200);
}
