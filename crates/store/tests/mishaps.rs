//! What must hold when things go wrong: a killed program, a full disk, a file that is not what it should be.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod story;

use job::{EntryId, Job};
use proptest::prelude::*;
use rusqlite::Connection;
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use store::{Filter, Sqlite, Store, StoreError};
use story::{Folder, closed, job_id, reading, reopened, taken_in};

const FILE: &str = "STORE_TEST_FILE";
const JOB: &str = "STORE_TEST_JOB";
const MOST: &str = "STORE_TEST_MOST";

/// Not a test by itself: the program that the other tests start, kill and starve. It appends events to one job and prints the
/// name of each that was acknowledged, or the error that stopped it.
#[test]
fn writer() {
    let Ok(file) = std::env::var(FILE) else { return };
    let job = job_id(std::env::var(JOB).unwrap().parse().unwrap());
    let most: u64 = std::env::var(MOST).unwrap().parse().unwrap();
    let append = || -> Result<(), StoreError> {
        let mut store = Sqlite::open(Path::new(&file))?;
        for turn in 0..most {
            let entry = if turn == 0 {
                taken_in(job, "van", "slow")
            } else {
                reading(job, turn)
            };
            store.append(std::slice::from_ref(&entry))?;
            say(&format!("kept {}", entry.id));
        }
        Ok(())
    };
    if let Err(error) = append() {
        say(&format!("failed {error}"));
    }
}

fn say(line: &str) {
    let mut out = std::io::stdout().lock();
    writeln!(out, "\n{line}").unwrap();
    out.flush().unwrap();
}

/// The command that runs [`writer`].
fn start(program: &Path, as_nobody: bool, file: &Path, job: u64, most: u64) -> Command {
    let mut command = if as_nobody {
        let mut command = Command::new("runuser");
        command.args(["-u", "nobody", "--"]).arg(program);
        command
    } else {
        Command::new(program)
    };
    command.args(["--exact", "writer", "--nocapture"]);
    command
        .env(FILE, file)
        .env(JOB, job.to_string())
        .env(MOST, most.to_string());
    command.stdout(Stdio::piped()).stderr(Stdio::null());
    command
}

fn this_program() -> PathBuf {
    std::env::current_exe().unwrap()
}

/// What [`writer`] kept, and the error that stopped it.
fn heard(lines: impl Iterator<Item = String>) -> (Vec<EntryId>, Option<String>) {
    let (mut kept, mut failed) = (Vec::new(), None);
    for line in lines {
        if let Some(id) = line.strip_prefix("kept ") {
            kept.extend(id.parse::<EntryId>());
        } else if let Some(why) = line.strip_prefix("failed ") {
            failed = Some(why.to_owned());
        }
    }
    (kept, failed)
}

fn whole(file: &Path) -> String {
    let connection = Connection::open(file).unwrap();
    connection
        .query_row("PRAGMA integrity_check", [], |row| row.get(0))
        .unwrap()
}

#[test]
fn what_was_acknowledged_survives_two_hundred_kills() {
    let folder = Folder::new("kill");
    let file = folder.0.join("shop.db");
    let mut chance: u64 = 0x9E37_79B9_7F4A_7C15;
    let mut acknowledged = 0;
    for round in 1..=200 {
        // Marsaglia's xorshift64: any scatter will do.
        chance ^= chance << 13;
        chance ^= chance >> 7;
        chance ^= chance << 17;
        let mut child = start(&this_program(), false, &file, round, 1000).spawn().unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap())
            .lines()
            .map_while(Result::ok);
        let enough = usize::try_from(chance % 12).unwrap();
        let mut said: Vec<String> = Vec::new();
        while said.iter().filter(|line| line.starts_with("kept")).count() < enough {
            said.push(lines.next().unwrap());
        }
        for _ in 0..(chance >> 32) % 400_000 {
            std::hint::spin_loop();
        }
        child.kill().unwrap();
        child.wait().unwrap();
        said.extend(lines);
        let (kept, failed) = heard(said.into_iter());
        assert_eq!(failed, None, "round {round}");
        let there: BTreeSet<EntryId> = Sqlite::open(&file)
            .unwrap()
            .entries(job_id(u128::from(round)))
            .unwrap()
            .iter()
            .map(|entry| entry.id)
            .collect();
        for id in &kept {
            assert!(
                there.contains(id),
                "round {round}: {id} was acknowledged and is gone"
            );
        }
        // At most the one entry whose acknowledgement was not heard any more.
        assert!(there.len() <= kept.len() + 1, "round {round}");
        acknowledged += kept.len();
        if round % 20 == 0 {
            assert_eq!(whole(&file), "ok", "round {round}");
        }
    }
    assert!(acknowledged > 800, "{acknowledged}");
    rows_are_folds(&file);
}

/// Every row says what its entries say.
fn rows_are_folds(file: &Path) {
    let mut store = Sqlite::open(file).unwrap();
    for row in store.list(&Filter::default(), 1000, None).unwrap() {
        let state = Job::fold(&store.entries(row.id).unwrap()).unwrap();
        assert_eq!(
            (row.stage, row.changed),
            (state.stage, state.changed),
            "{}",
            row.number
        );
    }
}

fn is_root() -> bool {
    let id = Command::new("id").arg("-u").output();
    id.is_ok_and(|id| id.stdout.starts_with(b"0\n"))
}

/// Runs the writer as a user for whom rights count.
fn without_rights(folder: &Folder, file: &Path) -> Option<String> {
    let program = folder.0.join("writer");
    std::fs::copy(this_program(), &program).unwrap();
    let output = start(&program, is_root(), file, 1, 3).output().unwrap();
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let (kept, failed) = heard(text.lines().map(str::to_owned));
    assert_eq!(kept, []);
    failed
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written_is_named() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Folder::new("rights");
    let closed_to_all = folder.0.join("shop");
    std::fs::create_dir(&closed_to_all).unwrap();
    let file = closed_to_all.join("shop.db");
    Sqlite::open(&file).unwrap();
    std::fs::set_permissions(&closed_to_all, PermissionsExt::from_mode(0o555)).unwrap();
    std::fs::set_permissions(&file, PermissionsExt::from_mode(0o444)).unwrap();
    let old = without_rights(&folder, &file);
    let new = without_rights(&folder, &closed_to_all.join("new.db"));
    let deeper = without_rights(&folder, &closed_to_all.join("more").join("new.db"));
    std::fs::set_permissions(&closed_to_all, PermissionsExt::from_mode(0o755)).unwrap();
    for said in [old, new, deeper] {
        let said = said.unwrap();
        assert!(
            said.contains("HALFSPLIT_DATABASE") && said.contains("rights") || said.contains("right to write"),
            "{said}"
        );
        assert!(said.contains(closed_to_all.to_str().unwrap()), "{said}");
    }
}

#[test]
fn a_full_disk_is_said_and_loses_nothing() {
    let folder = Folder::new("full");
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=400k", "tmpfs"])
        .arg(&folder.0)
        .output()
        .is_ok_and(|output| output.status.success());
    if !mounted {
        println!(
            "left out: no small file system could be mounted here; the same is tried on a limited file in `sqlite`"
        );
        return;
    }
    let file = folder.0.join("shop.db");
    let output = start(&this_program(), false, &file, 1, 100_000).output().unwrap();
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let (kept, failed) = heard(text.lines().map(str::to_owned));
    let there = Sqlite::open(&file).and_then(|mut store| store.entries(job_id(1)));
    let check = whole(&file);
    Command::new("umount").arg(&folder.0).output().unwrap();
    let failed = failed.unwrap();
    assert!(failed.contains("the disk is full"), "{failed}");
    let there: Vec<EntryId> = there.unwrap().iter().map(|entry| entry.id).collect();
    assert_eq!(there, kept);
    assert!(!kept.is_empty());
    assert_eq!(check, "ok");
}

#[test]
fn a_file_that_is_no_database_is_left_alone() {
    let folder = Folder::new("garbage");
    let file = folder.0.join("shop.db");
    let garbage = b"Dear customer, ".repeat(1000);
    std::fs::write(&file, &garbage).unwrap();
    let error = Sqlite::open(&file).unwrap_err();
    assert!(matches!(error, StoreError::NotADatabase { .. }), "{error}");
    assert_eq!(std::fs::read(&file).unwrap(), garbage);
}

#[test]
fn a_damaged_file_is_told_from_a_sound_one() {
    let folder = Folder::new("damaged");
    let file = folder.0.join("shop.db");
    let mut store = Sqlite::open(&file).unwrap();
    for number in 1..200 {
        store.append(&[taken_in(job_id(number), "van", "slow")]).unwrap();
    }
    drop(store);
    let bytes = std::fs::read(&file).unwrap();
    let look = || -> Result<(), StoreError> {
        let mut store = Sqlite::open(&file)?;
        store.export(&mut std::io::sink())?;
        store.append(&[taken_in(job_id(900), "van", "slow")])?;
        Ok(())
    };
    std::fs::write(&file, &bytes[..bytes.len() / 2]).unwrap();
    let error = look().unwrap_err();
    assert!(matches!(error, StoreError::Damaged { .. }), "{error}");
    assert!(error.to_string().contains("Make a copy"), "{error}");
    let mut holes = bytes.clone();
    holes[4096..].fill(0xA5);
    std::fs::write(&file, &holes).unwrap();
    let error = look().unwrap_err();
    assert!(matches!(error, StoreError::Damaged { .. }), "{error}");
}

#[test]
fn a_strangers_and_a_newer_database_are_left_alone() {
    let folder = Folder::new("foreign");
    let file = folder.0.join("other.db");
    Connection::open(&file)
        .unwrap()
        .execute_batch("CREATE TABLE a (b)")
        .unwrap();
    let error = Sqlite::open(&file).unwrap_err();
    assert!(matches!(error, StoreError::Foreign { .. }), "{error}");
    let file = folder.0.join("shop.db");
    Sqlite::open(&file).unwrap();
    Connection::open(&file)
        .unwrap()
        .pragma_update(None, "user_version", 99)
        .unwrap();
    let error = Sqlite::open(&file).unwrap_err();
    assert!(
        matches!(error, StoreError::NewerDatabase { found: 99, .. }),
        "{error}"
    );
}

#[test]
fn a_changed_picture_is_noticed() {
    let folder = Folder::new("picture");
    let file = folder.0.join("shop.db");
    let mut store = Sqlite::open(&file).unwrap();
    let hash = store.put_photo(b"abc", "image/png").unwrap();
    let picture = folder.0.join("shop.db-photos").join(&hash);
    std::fs::write(&picture, b"abd").unwrap();
    let error = store.photo(&hash).unwrap_err();
    assert!(matches!(error, StoreError::DamagedPhoto { .. }), "{error}");
    // Put again, it is whole again.
    store.put_photo(b"abc", "image/png").unwrap();
    assert_eq!(store.photo(&hash).unwrap().0, b"abc");
}

#[test]
fn two_writers_take_turns() {
    let folder = Folder::new("two");
    let file = folder.0.join("shop.db");
    let writers: Vec<_> = (1..=2)
        .map(|job| start(&this_program(), false, &file, job, 40).spawn().unwrap())
        .collect();
    for writer in writers {
        let text = String::from_utf8(writer.wait_with_output().unwrap().stdout).unwrap();
        let (kept, failed) = heard(text.lines().map(str::to_owned));
        assert_eq!((kept.len(), failed), (40, None));
    }
    rows_are_folds(&file);
    let rows = Sqlite::open(&file)
        .unwrap()
        .list(&Filter::default(), 9, None)
        .unwrap();
    let numbers: BTreeSet<i64> = rows.iter().map(|row| row.number).collect();
    assert_eq!(numbers, BTreeSet::from([1, 2]));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
    #[test]
    fn any_order_and_any_parting_give_the_same_row(
        order in Just((0..8u64).collect::<Vec<_>>()).prop_shuffle(),
        at_once in 1..4usize,
    ) {
        let job = job_id(5);
        let make = |turn| match turn {
            0 => taken_in(job, "van", "slow"),
            4 => closed(job, 4),
            6 => reopened(job, 6),
            turn => reading(job, turn),
        };
        let folder = Folder::new("any");
        let mut store = Sqlite::open(&folder.0.join("shop.db")).unwrap();
        let entries: Vec<_> = order.iter().map(|&turn| make(turn)).collect();
        for part in entries.chunks(at_once) {
            store.append(part).unwrap();
        }
        let sorted: Vec<_> = (0..8).map(make).collect();
        let state = Job::fold(&sorted).unwrap();
        let row = store.row(job).unwrap().unwrap();
        prop_assert_eq!((row.stage, row.opened, row.changed), (state.stage, state.opened, state.changed));
        prop_assert_eq!(store.entries(job).unwrap(), sorted);
    }
}
