//! A picture is taken in through the door, kept without anything but its pixels, and shown again.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod common;

use common::Shop;
use image::{DynamicImage, ImageFormat, Rgb, RgbImage};
use job::{Described, Event, Intake, JobId};
use std::io::Cursor;
use store::{Location, Store};
use uuid::Uuid;

const FORM: &str = "Content-Type: multipart/form-data; boundary=edge";

fn open() -> (Shop, JobId) {
    let shop = Shop::alone();
    let intake = Intake {
        circuit: Described {
            name: "vacuum-wastegate".to_owned(),
            text: "invented".to_owned(),
        },
        ..Intake::default()
    };
    let mut desk = desk::Desk::new(store(&shop), String::new(), String::new());
    let held = desk.begin(vec![Event::TakenIn { intake }]).unwrap();
    let job = held.job.id;
    (shop, job)
}

fn store(shop: &Shop) -> Box<dyn Store> {
    store::open(&Location::File(shop.folder.join("shop.db"))).unwrap()
}

/// A JPEG with a comment in it, as a phone leaves its notes.
fn photo() -> Vec<u8> {
    let picture = DynamicImage::ImageRgb8(RgbImage::from_pixel(40, 30, Rgb([90, 60, 30])));
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, ImageFormat::Jpeg).unwrap();
    let plain = bytes.into_inner();
    let comment = [&[0xff, 0xfe, 0, 14][..], b"SECRETPLACE1"].concat();
    [&plain[..2], &comment, &plain[2..]].concat()
}

fn form(photo: &[u8], entry: Uuid) -> Vec<u8> {
    let part = |name: &str| format!("--edge\r\nContent-Disposition: form-data; name=\"{name}\"");
    let before = format!(
        "{}\r\n\r\nsplit hose\r\n{}\r\n\r\n{entry}\r\n{}; filename=\"a.jpg\"\r\nContent-Type: image/jpeg\r\n\r\n",
        part("words"),
        part("entry"),
        part("photo"),
    );
    [before.as_bytes(), photo, b"\r\n--edge--\r\n"].concat()
}

fn kept(shop: &Shop, job: JobId) -> Vec<String> {
    let entries = store(shop).entries(job).unwrap();
    let hashes = entries.into_iter().filter_map(|entry| match entry.event {
        Event::Photo { hash, .. } => Some(hash),
        _ => None,
    });
    hashes.collect()
}

#[test]
fn a_picture_comes_back_without_what_the_phone_wrote_into_it() {
    let (shop, job) = open();
    let sent = form(&photo(), Uuid::now_v7());
    let answer = shop.ask("POST", "/jobs/1/photos", &[FORM], &sent);
    assert_eq!(
        (answer.status, answer.header("location")),
        (303, Some("/jobs/1")),
        "{}",
        answer.text()
    );
    let hashes = kept(&shop, job);
    let shown = shop.ask("GET", &format!("/photos/{}", hashes[0]), &[], b"");
    assert_eq!(
        (shown.status, shown.header("content-type")),
        (200, Some("image/jpeg"))
    );
    let secret = |bytes: &[u8]| bytes.windows(11).any(|window| window == b"SECRETPLACE");
    assert!(secret(&photo()) && !secret(&shown.body));
    assert_eq!(image::load_from_memory(&shown.body).unwrap().width(), 40);
}

#[test]
fn what_is_sent_again_counts_once() {
    let (shop, job) = open();
    let sent = form(&photo(), Uuid::now_v7());
    for _ in 0..3 {
        assert_eq!(shop.ask("POST", "/jobs/1/photos", &[FORM], &sent).status, 303);
    }
    assert_eq!(kept(&shop, job).len(), 1);
}

#[test]
fn what_is_no_picture_is_refused_and_not_kept() {
    let (shop, job) = open();
    let page = b"<script>alert(1)</script>";
    let refused = shop.ask("POST", "/jobs/1/photos", &[FORM], &form(page, Uuid::now_v7()));
    assert_eq!(refused.status, 422);
    assert!(refused.text().contains("JPEG, PNG or WebP is wanted"));
    assert_eq!(
        shop.ask("POST", "/jobs/1/photos", &[FORM], &form(b"", Uuid::now_v7()))
            .status,
        422
    );
    assert_eq!(
        shop.ask("POST", "/jobs/9/photos", &[FORM], &form(&photo(), Uuid::now_v7()))
            .status,
        404
    );
    assert!(kept(&shop, job).is_empty());
}
