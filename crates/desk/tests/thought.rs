//! What is believed of a job is thought once while nothing new is said of it, and anew as soon as something is.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use desk::show::Units;
use desk::{Desk, Held, Reading, ShopFacts, Thoughts};
use job::{Described, Event, Intake, Said};
use quantity::UnitSystem;
use std::sync::Arc;
use store::Location;
use uuid::Uuid;

struct Shop {
    folder: std::path::PathBuf,
    thoughts: Arc<Thoughts>,
}

impl Shop {
    fn new() -> Self {
        let folder = std::env::temp_dir().join(format!("thought-{}", Uuid::now_v7()));
        std::fs::create_dir_all(&folder).unwrap();
        Self {
            folder,
            thoughts: Arc::default(),
        }
    }

    fn desk(&self) -> Desk {
        let store = store::open(&Location::File(self.folder.join("shop.db"))).unwrap();
        Desk::beside(store, String::new(), String::new(), self.thoughts.clone())
    }
}

impl Drop for Shop {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

fn begun(desk: &mut Desk) -> Held {
    let shipped = engine::shipped_called("vacuum-wastegate").unwrap();
    let intake = Intake {
        circuit: Described {
            name: shipped.name.to_owned(),
            text: shipped.text.to_owned(),
        },
        ..Intake::default()
    };
    desk.begin(vec![Event::TakenIn { intake }]).unwrap()
}

fn read(desk: &mut Desk, held: &Held, inches: f64) -> Held {
    let (model, _) = desk::known(held).unwrap();
    let reading = Reading {
        check: "tee:valve.source@idle".to_owned(),
        said: Said::Value(format!("{inches} inHg")),
    };
    let noted = desk::note(held, &model, &ShopFacts::default(), &[reading], None, None).unwrap();
    desk.write(held, noted.events).unwrap()
}

#[test]
fn a_job_is_thought_once_for_all_desks_until_something_is_said() {
    let shop = Shop::new();
    let (mut one, mut other) = (shop.desk(), shop.desk());
    let held = begun(&mut one);
    let units = Units::default();
    let first = one.thought(&held, units).unwrap();
    let same = other.job(&held.number.to_string()).unwrap();
    assert!(Arc::ptr_eq(&first, &other.thought(&same, units).unwrap()));
    // Somebody who reads other units has a thought of their own, with the same probabilities.
    let metric = other.thought(&same, Units(UnitSystem::Metric)).unwrap();
    assert!(!Arc::ptr_eq(&first, &metric));
    assert_eq!(first.case().belief.parts(), metric.case().belief.parts());

    let after = read(&mut other, &held, 9.0);
    let second = one.thought(&after, units).unwrap();
    assert_ne!(first.case().belief.parts(), second.case().belief.parts());
    // What is kept is what is thought anew, to the last bit.
    let (model, _) = desk::known(&after).unwrap();
    let (case, _) = desk::Case::of(&after, &model, units).unwrap();
    assert_eq!(second.case().belief.parts(), case.belief.parts());
    let next = case.next(&engine::outlook(&case.belief));
    assert_eq!(second.next(), next);
    // What was taken back is thought anew too: the record has grown.
    let undone = one
        .write(&after, vec![desk::undo(&after, "misread").unwrap()])
        .unwrap();
    let third = one.thought(&undone, units).unwrap();
    assert_eq!(first.case().belief.parts(), third.case().belief.parts());
}

#[test]
fn many_who_look_at_once_think_once() {
    let shop = Shop::new();
    let held = begun(&mut shop.desk());
    let all: Vec<_> = std::thread::scope(|scope| {
        let lookers: Vec<_> = (0..4)
            .map(|_| scope.spawn(|| shop.thoughts.of(&held, Units::default()).unwrap()))
            .collect();
        lookers.into_iter().map(|looker| looker.join().unwrap()).collect()
    });
    assert!(all.windows(2).all(|pair| Arc::ptr_eq(&pair[0], &pair[1])));
}

/// The job's own description is broken: everybody hears so, and it is not kept as if it were known.
#[test]
fn what_cannot_be_thought_says_why_each_time() {
    let shop = Shop::new();
    let mut desk = shop.desk();
    let intake = Intake {
        circuit: Described {
            name: "broken".to_owned(),
            text: "[circuit".to_owned(),
        },
        ..Intake::default()
    };
    let held = desk.begin(vec![Event::TakenIn { intake }]).unwrap();
    for _ in 0..2 {
        assert!(desk.thought(&held, Units::default()).is_err());
    }
}
