//! What a server that crashes may do to a shop: interrupt it, and no more.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod story;

use store::{Added, Filter, Location, Server, Store, StoreError, open};
use story::postgres::Cluster;
use story::{job_id, reading, taken_in};

#[test]
fn a_crash_interrupts_and_loses_nothing() {
    let Some(cluster) = Cluster::start("crash") else {
        return;
    };
    let address = cluster.database("shop");
    let mut store = open(&Location::parse(&address)).unwrap();
    let job = job_id(1);
    store.append(&[taken_in(job, "van", "slow")]).unwrap();
    let mut kept = vec![taken_in(job, "van", "slow")];
    for turn in 1..30 {
        if turn % 10 == 0 {
            cluster.crash();
            let gone = store.append(&[reading(job, turn)]).unwrap_err();
            assert!(matches!(gone, StoreError::ServerGone { .. }), "{gone}");
            assert!(gone.to_string().contains("to do it again is safe"), "{gone}");
            let still = open(&Location::parse(&address)).unwrap_err();
            assert!(matches!(still, StoreError::NoServer { .. }), "{still}");
            cluster.go_on();
        }
        if turn % 10 == 5 {
            // The connection breaks unseen between two calls: made anew without a word.
            cluster.crash();
            cluster.go_on();
        }
        assert_eq!(store.append(&[reading(job, turn)]).unwrap(), [Added::New]);
        kept.push(reading(job, turn));
        assert_eq!(store.entries(job).unwrap(), kept);
    }
    assert_eq!(store.append(&kept).unwrap(), [Added::Already; 30]);
}

#[test]
fn writers_at_one_server_take_turns() {
    let Some(cluster) = Cluster::start("turns") else {
        return;
    };
    let address = cluster.database("shop");
    let writers: Vec<_> = (1..=4)
        .map(|number| {
            let address = address.clone();
            std::thread::spawn(move || {
                let mut store = Server::open(&address).unwrap();
                for turn in 0..10 {
                    let job = job_id(number * 10 + turn);
                    store
                        .append(&[taken_in(job, "van", "slow"), reading(job, 1)])
                        .unwrap();
                    // One job that all write to.
                    let shared = u64::try_from(number * 100 + turn).unwrap();
                    store
                        .append(&[taken_in(job_id(1), "van", "slow"), reading(job_id(1), shared)])
                        .unwrap();
                }
            })
        })
        .collect();
    for writer in writers {
        writer.join().unwrap();
    }
    let mut store = Server::open(&address).unwrap();
    let mut numbers: Vec<i64> = store
        .list(&Filter::default(), 100, None)
        .unwrap()
        .iter()
        .map(|row| row.number)
        .collect();
    numbers.sort_unstable();
    assert_eq!(numbers, (1..=41).collect::<Vec<_>>());
    assert_eq!(store.entries(job_id(1)).unwrap().len(), 41);
}
