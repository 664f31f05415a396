//! A PostgreSQL of the tests' own, in a folder of its own, reached through a socket there.

#![allow(clippy::print_stdout, reason = "says what was left out")]

use super::Folder;
use std::path::{Path, PathBuf};
use std::process::Command;

pub(crate) struct Cluster {
    folder: Folder,
    programs: PathBuf,
    /// How it is reached.
    listens: String,
}

impl Cluster {
    /// Starts one; `None`, with a word, where PostgreSQL is not installed.
    pub(crate) fn start(name: &str) -> Option<Self> {
        let cluster = Self::made(name)?;
        cluster.go_on();
        Some(cluster)
    }

    /// Starts one that takes nobody over the network who speaks in the clear; and its port.
    pub(crate) fn start_encrypted(name: &str, certificate: &str, key: &str) -> Option<(Self, u16)> {
        let mut cluster = Self::made(name)?;
        let at = cluster.folder.0.clone();
        let put = |name: &str, text: &str| {
            let file = at.join(name);
            std::fs::write(&file, text).unwrap();
            #[cfg(unix)]
            std::fs::set_permissions(&file, std::os::unix::fs::PermissionsExt::from_mode(0o600)).unwrap();
            if is_root() {
                let owned = Command::new("chown").arg("postgres").arg(&file).status().unwrap();
                assert!(owned.success());
            }
            file.display().to_string()
        };
        let (certificate, key) = (put("server.pem", certificate), put("server.key", key));
        put(
            "data/pg_hba.conf",
            "local all all trust\nhostssl all all 127.0.0.1/32 trust\nhostssl all all ::1/128 trust\n",
        );
        // A port that was free a moment ago.
        let port = std::net::TcpListener::bind("127.0.0.1:0")
            .unwrap()
            .local_addr()
            .unwrap()
            .port();
        cluster.listens = format!(
            "-c listen_addresses=localhost -p {port} -c ssl=on -c ssl_cert_file={certificate} -c ssl_key_file={key}"
        );
        cluster.go_on();
        Some((cluster, port))
    }

    /// One that does not run yet.
    fn made(name: &str) -> Option<Self> {
        let Some(programs) = programs() else {
            println!("left out: PostgreSQL is not installed (Debian package `postgresql`)");
            return None;
        };
        let folder = Folder::new(name);
        let listens = "-c listen_addresses=''".to_owned();
        let cluster = Self {
            folder,
            programs,
            listens,
        };
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
        Some(cluster)
    }

    /// Starts the server on what is there.
    pub(crate) fn go_on(&self) {
        let at = self.folder.0.display();
        let options = format!("-k {at} {} -c shared_buffers=16MB", self.listens);
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
        // Over the socket, which has the port in its name.
        let port = self
            .listens
            .split_once("-p ")
            .map_or("5432", |(_, rest)| rest.split(' ').next().unwrap());
        self.run(
            "createdb",
            &["--host", at, "--port", port, "--username=shop", name],
        );
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
