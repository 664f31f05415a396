//! The shop opens, is asked for its first page, and closes when it is told to.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]
#![cfg(unix)]

mod common;

use common::Desk;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::process::{Child, Command, Stdio};

/// Opens the shop and reads where it is.
fn opened(desk: &Desk, more: &[&str]) -> (Child, BufReader<std::process::ChildStdout>, String) {
    let arguments = [&["serve", "--no-browser", "--database", "shop.db"], more].concat();
    let mut command = desk.command(&arguments);
    let mut child = command
        .stdout(Stdio::piped())
        .stdin(Stdio::null())
        .spawn()
        .unwrap();
    let mut out = BufReader::new(child.stdout.take().unwrap());
    let mut line = String::new();
    out.read_line(&mut line).unwrap();
    let address = line.split("http://").nth(1).unwrap().trim().trim_end_matches('/');
    (child, out, address.to_owned())
}

fn first_page(address: &str) -> String {
    let mut stream = TcpStream::connect(address).unwrap();
    write!(
        stream,
        "GET / HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n"
    )
    .unwrap();
    let mut page = String::new();
    stream.read_to_string(&mut page).unwrap();
    page
}

fn told(child: &Child, signal: &str) {
    let id = child.id().to_string();
    assert!(
        Command::new("kill")
            .args([signal, &id])
            .status()
            .unwrap()
            .success()
    );
}

#[test]
fn the_shop_shows_the_jobs_of_the_command_line_and_closes_when_told() {
    let desk = Desk::new("serve-open");
    let words = [
        "job",
        "new",
        "--code",
        "P0299",
        "--circuit",
        "vacuum-wastegate",
        "--database",
        "shop.db",
    ];
    let given = desk.run(&[&words[..], &["--vehicle", "white van, invented"]].concat());
    assert_eq!(given.code, 0, "{}", given.err);
    for signal in ["-INT", "-TERM"] {
        let (mut child, mut out, address) = opened(&desk, &["--listen", "127.0.0.1:0"]);
        let page = first_page(&address);
        assert!(
            page.starts_with("HTTP/1.1 200") && page.contains("white van, invented"),
            "{page}"
        );
        told(&child, signal);
        let mut rest = String::new();
        out.read_to_string(&mut rest).unwrap();
        assert!(rest.ends_with("The shop is closed.\n"), "{rest}");
        assert_eq!(child.wait().unwrap().code(), Some(0));
    }
}

#[test]
fn the_network_is_told_how_to_come_in() {
    let desk = Desk::new("serve-network");
    let (mut child, mut out, address) = opened(&desk, &["--listen", "0.0.0.0:0", "--name", "bench.example"]);
    assert!(first_page(&address).starts_with("HTTP/1.1 200"));
    // The network's door is told after this machine's own; only then is the shop told to close.
    let mut said = String::new();
    while !said.contains("SHA-256 fingerprint") {
        assert!(out.read_line(&mut said).unwrap() > 0, "{said}");
    }
    told(&child, "-TERM");
    out.read_to_string(&mut said).unwrap();
    for words in [
        "https://bench.example:",
        "/pair there and type ",
        "SHA-256 fingerprint",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    assert!(!said.contains("http://"), "no other address without TLS: {said}");
    assert_eq!(child.wait().unwrap().code(), Some(0));
}

#[test]
fn an_address_that_is_taken_or_none_is_refused() {
    let desk = Desk::new("serve-taken");
    let taken = TcpListener::bind("127.0.0.1:0").unwrap();
    let address = taken.local_addr().unwrap().to_string();
    let serve = ["serve", "--no-browser", "--database", "shop.db", "--listen"];
    let err = desk.refused(&[&serve[..], &[address.as_str()]].concat(), 1);
    assert!(
        err.contains(&address) && err.contains("name another port"),
        "{err}"
    );
    let err = desk.refused(&[&serve[..], &["the-bench"]].concat(), 2);
    assert!(err.contains("0.0.0.0:8443"), "{err}");
    let err = desk.refused(&["serve", "--no-browser", "--name", "the bench"], 2);
    assert!(err.contains("bench.shop.example"), "{err}");
}

#[test]
fn two_shops_find_a_port_each() {
    let desk = Desk::new("serve-two");
    let (mut first, _out, here) = opened(&desk, &[]);
    let (mut second, _other, there) = opened(&desk, &[]);
    assert_ne!(here, there);
    for child in [&mut first, &mut second] {
        told(child, "-TERM");
        assert_eq!(child.wait().unwrap().code(), Some(0));
    }
}
