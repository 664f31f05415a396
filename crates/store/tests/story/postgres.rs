//! A PostgreSQL of the tests' own, in a folder of its own, reached through a socket there.

#![allow(clippy::print_stdout, reason = "says what was left out")]

use super::Folder;
use std::path::{Path, PathBuf};
use std::process::Command;

pub(crate) struct Cluster {
    folder: Folder,
    programs: PathBuf,
}

impl Cluster {
    /// Starts one; `None`, with a word, where PostgreSQL is not installed.
    pub(crate) fn start(name: &str) -> Option<Self> {
        let Some(programs) = programs() else {
            println!("left out: PostgreSQL is not installed (Debian package `postgresql`)");
            return None;
        };
        let folder = Folder::new(name);
        let cluster = Self { folder, programs };
        if is_root() {
            let owned = Command::new("chown")
                .arg("postgres")
                .arg(&cluster.folder.0)
                .status()
                .unwrap();
            assert!(owned.success());
        }
        cluster.run(
            "initdb",
            &["--auth=trust", "--username=shop", "--encoding=UTF8", "--no-sync"],
        );
        cluster.go_on();
        Some(cluster)
    }

    /// Starts the server on what is there.
    pub(crate) fn go_on(&self) {
        let at = self.folder.0.display();
        let options = format!("-k {at} -c listen_addresses='' -c shared_buffers=16MB");
        let log = format!("{at}/log");
        self.run("pg_ctl", &["--wait", "-o", &options, "-l", &log, "start"]);
    }

    /// Stops it without any ceremony: as if it had crashed.
    pub(crate) fn crash(&self) {
        self.run("pg_ctl", &["--wait", "--mode=immediate", "stop"]);
    }

    /// Address of a new, empty database.
    pub(crate) fn database(&self, name: &str) -> String {
        let at = self.folder.0.to_str().unwrap();
        self.run("createdb", &["--host", at, "--username=shop", name]);
        format!("postgres://shop@/{name}?host={at}")
    }

    fn run(&self, program: &str, arguments: &[&str]) {
        let program_at = self.programs.join(program);
        let mut command = if is_root() {
            // A server refuses to run as root.
            let mut command = Command::new("runuser");
            command.args(["-u", "postgres", "--"]).arg(program_at);
            command
        } else {
            Command::new(program_at)
        };
        if program != "createdb" {
            command.arg("-D").arg(self.folder.0.join("data"));
        }
        command.args(arguments).current_dir(&self.folder.0);
        command
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null());
        let status = command.status().unwrap();
        assert!(status.success(), "{program}: {status}");
    }
}

impl Drop for Cluster {
    fn drop(&mut self) {
        if self.folder.0.join("data/postmaster.pid").exists() && !std::thread::panicking() {
            self.crash();
        } else if self.folder.0.join("data/postmaster.pid").exists() {
            let _ = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| self.crash()));
        }
    }
}

fn programs() -> Option<PathBuf> {
    let versions = std::fs::read_dir("/usr/lib/postgresql").ok()?;
    let mut folders: Vec<PathBuf> = versions.flatten().map(|entry| entry.path().join("bin")).collect();
    folders.sort();
    folders
        .into_iter()
        .rev()
        .find(|folder| Path::new(folder).join("initdb").exists())
}

fn is_root() -> bool {
    let id = Command::new("id").arg("-u").output();
    id.is_ok_and(|id| id.stdout.starts_with(b"0\n"))
}
