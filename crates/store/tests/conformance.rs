//! What every store must do, whatever it is made of.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod story;

use job::{Job, Stage};
use store::{
    Added, Filter, Imported, LARGEST_PHOTO, Location, Pooled, Pooling, Sqlite, Store, StoreError, Taught,
    copy, open,
};
use story::postgres::Cluster;
use story::{Folder, closed, entry, job_id, lesson, reading, reopened, taken_in, taught};

/// Runs a story on an empty store of every sort.
fn on_sqlite(name: &str, story: fn(&mut dyn Store)) {
    let folder = Folder::new(name);
    story(&mut Sqlite::open(&folder.0.join("shop.db")).unwrap());
}

/// A name and what is told.
type Story = (&'static str, fn(&mut dyn Store));

const STORIES: &[Story] = &[
    ("once", once_story),
    ("refused", refused_story),
    ("found", found_story),
    ("list", list_story),
    ("order", order_story),
    ("lesson", lesson_story),
    ("pooled", pooled_story),
    ("settings", settings_story),
    ("photos", photos_story),
    ("export", export_story),
    ("changed", changed_story),
    ("waits", waits_story),
    ("after", after_story),
];

#[test]
fn a_server_passes_every_story() {
    let Some(cluster) = Cluster::start("stories") else {
        return;
    };
    for (name, story) in STORIES {
        println!("{name}");
        story(&mut *open(&Location::parse(&cluster.database(name))).unwrap());
    }
}

fn three_jobs(store: &mut dyn Store) {
    for (number, words, complaint) in [
        (1, "white van with a ladder", "no power uphill"),
        (2, "Blue pickup", "whistles; NO power"),
        (3, "white pickup", "does not start"),
    ] {
        let job = job_id(number);
        store.append(&[taken_in(job, words, complaint)]).unwrap();
        store
            .append(&[reading(job, 10 + u64::try_from(number).unwrap())])
            .unwrap();
    }
}

fn numbers(store: &mut dyn Store, stage: Option<Stage>, words: &str) -> Vec<i64> {
    let filter = Filter {
        stage,
        words: words.to_owned(),
    };
    let rows = store.list(&filter, 10, None).unwrap();
    assert_eq!(store.count(&filter).unwrap(), rows.len() as u64, "{words}");
    rows.iter().map(|row| row.number).collect()
}

#[test]
fn an_entry_counts_once() {
    on_sqlite("once", once_story);
}

fn once_story(store: &mut dyn Store) {
    let job = job_id(1);
    let both = [taken_in(job, "van", "slow"), reading(job, 1)];
    assert_eq!(store.append(&both).unwrap(), [Added::New, Added::New]);
    let again = [both[1].clone(), both[0].clone(), reading(job, 2), reading(job, 2)];
    assert_eq!(
        store.append(&again).unwrap(),
        [Added::Already, Added::Already, Added::New, Added::Already]
    );
    assert_eq!(
        store.entries(job).unwrap(),
        [both[0].clone(), both[1].clone(), reading(job, 2)]
    );
}

#[test]
fn what_follows_from_an_older_state_is_not_kept() {
    on_sqlite("after", after_story);
}

fn after_story(store: &mut dyn Store) {
    let job = job_id(1);
    store.append(&[taken_in(job, "van", "slow")]).unwrap();
    let mut after = |known, turn| store.append_after(job, known, &[reading(job, turn)]).unwrap();
    assert_eq!(after(1, 1), Some(vec![Added::New]));
    assert_eq!(after(1, 2), None, "somebody wrote since");
    assert_eq!(
        after(1, 1),
        Some(vec![Added::Already]),
        "the same again is the same"
    );
    assert_eq!(after(2, 2), Some(vec![Added::New]));
    assert_eq!(store.entries(job).unwrap().len(), 3);
}

#[test]
fn a_taken_name_and_a_newer_entry_are_refused_with_the_whole_call() {
    on_sqlite("refused", refused_story);
}

fn refused_story(store: &mut dyn Store) {
    let job = job_id(1);
    store
        .append(&[taken_in(job, "van", "slow"), reading(job, 1)])
        .unwrap();
    let mut other = reading(job, 1);
    other.who.push('B');
    let refused = store.append(&[reading(job, 2), other]).unwrap_err();
    assert!(matches!(refused, StoreError::Differs { .. }), "{refused}");
    let mut newer = reading(job, 3);
    newer.format = 99;
    let refused = store.append(&[reading(job, 2), newer]).unwrap_err();
    assert!(
        refused.to_string().contains("newer version of halfsplit"),
        "{refused}"
    );
    assert_eq!(store.entries(job).unwrap().len(), 2);
    assert_eq!(store.row(job).unwrap().unwrap().changed, reading(job, 1).at);
}

#[test]
fn jobs_are_numbered_and_found() {
    on_sqlite("found", found_story);
}

fn found_story(store: &mut dyn Store) {
    three_jobs(store);
    assert_eq!(store.find("2").unwrap(), job_id(2));
    assert_eq!(store.find(&job_id(3).to_string()[..7]).unwrap(), job_id(3));
    for (what, part) in [
        ("4", "no job"),
        ("0000", "several"),
        ("van", "no job"),
        ("", "no job"),
    ] {
        let error = store.find(what).unwrap_err().to_string();
        assert!(error.contains(part), "{what}: {error}");
    }
    let row = store.row(job_id(2)).unwrap().unwrap();
    assert_eq!(
        (
            row.number,
            row.stage,
            row.words.as_str(),
            row.complaint.as_str(),
            row.circuit.as_str()
        ),
        (
            2,
            Stage::Checking,
            "Blue pickup",
            "whistles; NO power",
            "vacuum-wastegate"
        )
    );
}

#[test]
fn a_list_is_filtered_and_goes_on_where_it_stopped() {
    on_sqlite("list", list_story);
}

fn list_story(store: &mut dyn Store) {
    three_jobs(store);
    store.append(&[closed(job_id(1), 50)]).unwrap();
    assert_eq!(numbers(store, None, ""), [1, 3, 2]);
    assert_eq!(numbers(store, None, "PICKUP"), [3, 2]);
    assert_eq!(numbers(store, None, "power no"), [1, 2]);
    assert_eq!(numbers(store, None, "pick"), [0; 0]);
    assert_eq!(numbers(store, Some(Stage::Closed), ""), [1]);
    assert_eq!(numbers(store, Some(Stage::Checking), "power"), [2]);
    let mut seen = Vec::new();
    let mut before = None;
    while let Some(row) = store.list(&Filter::default(), 1, before).unwrap().pop() {
        before = Some(row.place());
        seen.push(row.number);
    }
    assert_eq!(seen, [1, 3, 2]);
}

#[test]
fn the_row_is_what_the_entries_say_in_whatever_order_they_came() {
    on_sqlite("order", order_story);
}

fn order_story(store: &mut dyn Store) {
    let job = job_id(7);
    let all = [
        taken_in(job, "van", "slow"),
        reading(job, 1),
        closed(job, 2),
        reopened(job, 3),
        reading(job, 4),
    ];
    for entry in all.iter().rev() {
        store.append(std::slice::from_ref(entry)).unwrap();
    }
    let state = Job::fold(&all).unwrap();
    let row = store.row(job).unwrap().unwrap();
    assert_eq!(
        (row.stage, row.opened, row.changed),
        (state.stage, state.opened, state.changed)
    );
    assert_eq!(store.entries(job).unwrap(), all);
}

#[test]
fn a_lesson_lasts_until_the_job_is_reopened() {
    on_sqlite("lesson", lesson_story);
}

fn lesson_story(store: &mut dyn Store) {
    let job = job_id(1);
    store.append(&[taken_in(job, "van", "slow")]).unwrap();
    assert_eq!(store.teach(&[taught(job, 1, "hose")]).unwrap(), 0, "it is open");
    assert_eq!(store.untaught(9).unwrap(), []);
    store.append(&[closed(job, 1)]).unwrap();
    assert_eq!(store.untaught(9).unwrap(), [job]);
    assert_eq!(
        store.teach(&[taught(job, 1, "hose")]).unwrap(),
        0,
        "more is known by now"
    );
    assert_eq!(store.teach(&[taught(job, 2, "hose")]).unwrap(), 1);
    assert_eq!(store.untaught(9).unwrap(), []);
    // A job teaches once, however often it is closed.
    assert_eq!(
        store
            .teach(&[taught(job, 2, "valve"), taught(job, 2, "valve")])
            .unwrap(),
        2
    );
    let told = |store: &mut dyn Store| {
        let mut all = Vec::new();
        store
            .lessons(&mut |job, lesson| all.push((job, lesson.clone())))
            .unwrap();
        all
    };
    assert_eq!(told(store), [(job, lesson("valve"))]);
    let sums = store.learnt(None).unwrap();
    assert_eq!(sums.circuits["vacuum-wastegate"].jobs, 1);
    assert_eq!(sums.circuits["vacuum-wastegate"].causes["valve/stuck"], 1);
    assert_eq!(sums, store.relearn().unwrap());
    assert_eq!(
        store.learnt(Some(job)).unwrap(),
        life::Sums::default(),
        "without its own lesson"
    );
    store.append(&[reopened(job, 2)]).unwrap();
    assert_eq!(told(store), []);
    assert_eq!(store.learnt(None).unwrap(), life::Sums::default());
    store.append(&[closed(job, 3)]).unwrap();
    assert_eq!(
        store.untaught(9).unwrap(),
        [job],
        "closed again, it teaches again"
    );
    let nothing = Taught {
        job,
        seen: 4,
        lesson: None,
    };
    assert_eq!(store.teach(&[nothing]).unwrap(), 1);
    assert_eq!(
        (store.untaught(9).unwrap(), told(store)),
        (Vec::new(), Vec::new())
    );
    let mut odd = lesson("hose");
    odd.parts[0].distance_km = Some(-1.0);
    let refused = store.teach(&[Taught {
        job,
        seen: 4,
        lesson: Some(odd),
    }]);
    assert!(matches!(refused.unwrap_err(), StoreError::Lesson { .. }));
}

#[test]
fn shops_add_their_sums_up() {
    on_sqlite("pooled", pooled_story);
}

fn pooled_story(store: &mut dyn Store) {
    let other = |made: i64, jobs: usize| Pooled {
        shop: story::id(7),
        made: jiff::Timestamp::from_second(1_780_000_000 + made).unwrap(),
        sums: {
            let mut sums = life::Sums::default();
            (0..jobs).for_each(|_| sums.add(&lesson("hose")).unwrap());
            sums
        },
    };
    let jobs = |store: &mut dyn Store| store.learnt(None).unwrap().jobs();
    assert_eq!(store.pool(&other(0, 5)).unwrap(), Pooling::New);
    assert_eq!(store.pool(&other(0, 5)).unwrap(), Pooling::Already);
    assert_eq!(jobs(store), 5, "added twice, counted once");
    assert_eq!(store.pool(&other(60, 7)).unwrap(), Pooling::Newer);
    assert_eq!(store.pool(&other(0, 5)).unwrap(), Pooling::Older);
    assert_eq!(jobs(store), 7, "the newer ones hold the older ones");
    assert_eq!(store.pooled().unwrap(), [other(60, 7)]);
    let own = store.own_sums().unwrap();
    assert_eq!(own.sums.jobs(), 0, "what others found is not this shop's to tell");
    assert_eq!(own.shop, store.own_sums().unwrap().shop);
    assert!(matches!(store.pool(&own).unwrap_err(), StoreError::OwnSums));
    assert!(store.leave_out(story::id(7)).unwrap() && !store.leave_out(story::id(7)).unwrap());
    assert_eq!(jobs(store), 0);
}

#[test]
fn settings_are_kept_and_forgotten() {
    on_sqlite("settings", settings_story);
}

fn settings_story(store: &mut dyn Store) {
    store.set("rate", Some("90")).unwrap();
    store.set("rate", Some("95")).unwrap();
    store.set("name", Some("Invented Garage")).unwrap();
    store.set_all(&[("name", None), ("tax", Some("19"))]).unwrap();
    store.set("tax", None).unwrap();
    assert_eq!(store.settings().unwrap(), [("rate".to_owned(), "95".to_owned())]);
}

#[test]
fn pictures_are_named_by_what_is_in_them() {
    on_sqlite("photos", photos_story);
}

fn photos_story(store: &mut dyn Store) {
    // SHA-256 of "abc": FIPS 180-4, published example.
    let hash = store.put_photo(b"abc", "image/png").unwrap();
    assert_eq!(
        hash,
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
    assert_eq!(store.put_photo(b"abc", "image/png").unwrap(), hash);
    assert_eq!(
        store.photo(&hash).unwrap(),
        (b"abc".to_vec(), "image/png".to_owned())
    );
    for name in ["../shop.db", &"0".repeat(64)] {
        assert!(matches!(
            store.photo(name).unwrap_err(),
            StoreError::NoSuchPhoto { .. }
        ));
    }
    let large = vec![0; LARGEST_PHOTO + 1];
    assert!(matches!(
        store.put_photo(&large, "image/png").unwrap_err(),
        StoreError::TooLarge { .. }
    ));
}

fn full(store: &mut dyn Store) -> Vec<u8> {
    three_jobs(store);
    store.append(&[closed(job_id(1), 50)]).unwrap();
    let entries = store.entries(job_id(1)).unwrap().len() as u64;
    assert_eq!(store.teach(&[taught(job_id(1), entries, "hose")]).unwrap(), 1);
    store.set("rate", Some("90")).unwrap();
    store.put_photo(b"abc", "image/png").unwrap();
    let mut out = Vec::new();
    store.export(&mut out).unwrap();
    out
}

#[test]
fn an_export_brings_everything_and_twice_is_once() {
    on_sqlite("export", export_story);
}

fn export_story(store: &mut dyn Store) {
    let out = full(store);
    let folder = Folder::new("export-other");
    let mut other = Sqlite::open(&folder.0.join("other.db")).unwrap();
    let lines = std::str::from_utf8(&out).unwrap().lines().count() as u64;
    let imported = |added, already| Imported {
        added,
        already,
        lines,
    };
    assert_eq!(copy(store, &mut other).unwrap(), imported(7, 0));
    assert_eq!(other.import(&mut out.as_slice()).unwrap(), imported(0, 7));
    let mut again = Vec::new();
    other.export(&mut again).unwrap();
    assert_eq!(String::from_utf8(again).unwrap(), String::from_utf8(out).unwrap());
}

#[test]
fn a_changed_export_says_which_line_and_brings_nothing() {
    on_sqlite("changed", changed_story);
}

fn changed_story(store: &mut dyn Store) {
    let out = String::from_utf8(full(store)).unwrap();
    let lines: Vec<&str> = out.lines().collect();
    let last = lines.len();
    let without = |gone: usize| {
        let mut kept = lines.clone();
        kept.remove(gone);
        kept.join("\n") + "\n"
    };
    let cases = [
        (without(last - 1), last, "cut off"),
        (out[..out.len() - 30].to_owned(), last, "cut off"),
        (without(3), last - 1, "missing or were added"),
        (out.replace("uphill", "uphull"), last, "checksum"),
        (
            out.replacen("\"format\":1", "\"format\":2", 1),
            1,
            "newer version of halfsplit",
        ),
        (
            out.replacen("{\"entry\":{\"format\":1", "{\"entry\":{\"format\":7", 1),
            2,
            "newer version of halfsplit",
        ),
        (out.replacen("\"turn\"", "\"tune\"", 1), 2, "turn"),
        (format!("{out}{out}"), last + 1, "end of the file"),
        (without(0), 1, "not an export"),
        (String::new(), 1, "cut off"),
    ];
    for (text, line, part) in cases {
        let folder = Folder::new("changed-other");
        let mut other = Sqlite::open(&folder.0.join("other.db")).unwrap();
        let error = other.import(&mut text.as_bytes()).unwrap_err().to_string();
        assert!(
            error.starts_with(&format!("line {line}: ")) && error.contains(part),
            "{part}: {error}"
        );
        assert_eq!(other.count(&Filter::default()).unwrap(), 0);
        assert!(other.entries(job_id(1)).unwrap().is_empty());
    }
}

#[test]
fn what_comes_before_the_taking_in_waits_for_it() {
    on_sqlite("waits", waits_story);
}

fn waits_story(store: &mut dyn Store) {
    let job = job_id(1);
    let note = entry(job, 5, job::Event::Note { text: "x".to_owned() });
    store.append(&[note]).unwrap();
    assert_eq!(store.row(job).unwrap(), None);
    store
        .append(&[taken_in(job_id(2), "b", "b"), taken_in(job, "a\0", "a")])
        .unwrap();
    assert_eq!(store.row(job).unwrap().unwrap().number, 2);
}
