//! A shop moves from a file to a server and back.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod story;

use jiff::Timestamp;
use store::{Filter, Location, Pooled, Sqlite, Store, StoreError, move_all, open};
use story::postgres::Cluster;
use story::{Folder, closed, id, job_id, lesson, reading, taken_in, taught};

/// A shop with everything in it.
fn filled(at: &std::path::Path) -> Sqlite {
    let mut store = Sqlite::open(at).unwrap();
    for number in 1..=5 {
        let job = job_id(number);
        store
            .append(&[taken_in(job, "white van", "no power"), reading(job, 1)])
            .unwrap();
    }
    store.append(&[closed(job_id(2), 2)]).unwrap();
    assert_eq!(store.teach(&[taught(job_id(2), 3, "hose")]).unwrap(), 1);
    store.set("rate", Some("90")).unwrap();
    store.put_photo(b"abc", "image/png").unwrap();
    store.own_sums().unwrap();
    let mut sums = life::Sums::default();
    sums.add(&lesson("valve")).unwrap();
    let made = Timestamp::from_second(1_780_000_000).unwrap();
    store
        .pool(&Pooled {
            shop: id(9),
            made,
            sums,
        })
        .unwrap();
    store
}

fn all(store: &mut dyn Store) -> String {
    let mut out = Vec::new();
    store.export(&mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// There and back; `there` is empty.
fn story(there: &mut dyn Store, folder: &Folder) {
    let mut here = filled(&folder.0.join("here.db"));
    let before = all(&mut here);
    let moved = move_all(&mut here, there).unwrap();
    assert_eq!((moved.jobs, moved.added, moved.already), (5, 11, 0));
    assert_eq!(all(there), before);
    assert_eq!(all(&mut here), before, "nothing changed where it came from");
    assert_eq!(there.learnt(None).unwrap(), here.learnt(None).unwrap());
    assert_eq!(there.untaught(9).unwrap(), [], "no lesson must be made again");
    assert_eq!(there.photo(&store_hash()).unwrap().0, b"abc");
    // Run again it finds everything there.
    let again = move_all(&mut here, there).unwrap();
    assert_eq!(
        (again.added, again.already, &again.sha256),
        (0, 11, &moved.sha256)
    );
    // The shop goes on in the new place, and comes back to where half of it lies.
    there
        .append(&[
            reading(job_id(1), 7),
            taken_in(job_id(6), "blue pickup", "whistles"),
        ])
        .unwrap();
    there.set("rate", Some("95")).unwrap();
    let back = move_all(there, &mut here).unwrap();
    assert_eq!((back.jobs, back.added), (6, 2));
    assert_eq!(all(&mut here), all(there));
    // Now the old place knows more than the new one: moving that way would mix two shops' records.
    here.append(&[reading(job_id(3), 8)]).unwrap();
    let refused = move_all(there, &mut here).unwrap_err();
    assert!(
        matches!(refused, StoreError::OtherShop { number: 3, .. }),
        "{refused}"
    );
    assert!(refused.to_string().contains("nothing was written"), "{refused}");
}

/// SHA-256 of "abc": FIPS 180-4, published example.
fn store_hash() -> String {
    "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad".to_owned()
}

#[test]
fn from_a_file_to_another_and_back() {
    let folder = Folder::new("moving");
    let mut there = Sqlite::open(&folder.0.join("elsewhere/there.db")).unwrap();
    story(&mut there, &folder);
}

#[test]
fn from_a_file_to_a_server_and_back() {
    let Some(cluster) = Cluster::start("moving") else {
        return;
    };
    let folder = Folder::new("moving-here");
    story(
        &mut *open(&Location::parse(&cluster.database("shop"))).unwrap(),
        &folder,
    );
}

#[test]
fn two_shops_are_not_mixed() {
    let folder = Folder::new("mixed");
    let mut here = filled(&folder.0.join("here.db"));
    let mut other = Sqlite::open(&folder.0.join("other.db")).unwrap();
    other
        .append(&[taken_in(job_id(50), "red car", "does not start")])
        .unwrap();
    let before = all(&mut other);
    let refused = move_all(&mut here, &mut other).unwrap_err();
    assert!(
        matches!(refused, StoreError::OtherShop { number: 1, .. }),
        "{refused}"
    );
    assert_eq!(all(&mut other), before);
}

#[test]
fn a_server_that_goes_away_half_way_leaves_nothing_half_done() {
    let Some(cluster) = Cluster::start("half-way") else {
        return;
    };
    let folder = Folder::new("half-way-here");
    let mut here = filled(&folder.0.join("here.db"));
    let address = cluster.database("shop");
    let mut there = open(&Location::parse(&address)).unwrap();
    cluster.crash();
    let gone = move_all(&mut here, &mut *there).unwrap_err();
    assert!(matches!(gone, StoreError::ServerGone { .. }), "{gone}");
    cluster.go_on();
    assert_eq!(
        open(&Location::parse(&address))
            .unwrap()
            .count(&Filter::default())
            .unwrap(),
        0
    );
    // Part of it came across before: entries whose program was stopped.
    there
        .append(&[taken_in(job_id(1), "white van", "no power")])
        .unwrap();
    let moved = move_all(&mut here, &mut *there).unwrap();
    assert_eq!((moved.jobs, moved.added, moved.already), (5, 10, 1));
}
