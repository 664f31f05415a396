//! `halfsplit serve`: the bay screen, open until it is told to close.

use crate::failure::Failure;
use crate::page::Answer;
use clap::Args;
use std::net::SocketAddr;

/// How to open the shop.
#[derive(Debug, Args)]
pub(crate) struct Serve {
    /// The address to listen on; without it this machine's own, at a port that is free
    #[arg(long, value_name = "ADDR", value_parser = address)]
    pub(crate) listen: Option<SocketAddr>,
    /// Where the shop's jobs are, as for `halfsplit job`
    #[arg(long, value_name = "FILE|URL")]
    pub(crate) database: Option<String>,
    /// Opens no browser
    #[arg(long)]
    pub(crate) no_browser: bool,
}

/// The port of an address that names none: the bay's usual one.
const PORT: u16 = 8427;

/// An address with or without a port; `localhost` is this machine.
fn address(text: &str) -> Result<SocketAddr, String> {
    let numbers = text
        .strip_prefix("localhost")
        .map_or_else(|| text.to_owned(), |rest| format!("127.0.0.1{rest}"));
    let whole = numbers.parse::<SocketAddr>().ok();
    let bare = || numbers.parse().ok().map(|ip| SocketAddr::new(ip, PORT));
    whole.or_else(bare).ok_or_else(|| {
        "an address of this machine is wanted, for instance 127.0.0.1:8427 or [::1]:8427".to_owned()
    })
}

#[cfg(feature = "bay")]
pub(crate) use open::run;

#[cfg(not(feature = "bay"))]
pub(crate) fn run(_: &Serve) -> Result<Answer, Failure> {
    Err(Failure::could_not(
        "this build has no bay screen",
        Some("build it with the feature `bay`".to_owned()),
    ))
}

#[cfg(feature = "bay")]
mod open {
    use super::{Answer, Failure, Serve};
    use bay::{Asked, ServeError};
    use std::io::Write;
    use std::process::{Command, Stdio};
    use store::Location;

    /// Opens the shop, says where, and stays until it is told to close.
    pub(crate) fn run(serve: &Serve) -> Result<Answer, Failure> {
        let location = match &serve.database {
            Some(text) => Location::parse(text),
            None => Location::usual().map_err(|error| Failure::could_not(error, None))?,
        };
        let asked = Asked {
            location,
            listen: serve.listen,
        };
        let shop = bay::open(&asked).map_err(failed)?;
        let address = shop.address();
        say(&format!("The shop is open at {address}\nCtrl+C closes it.\n"));
        if !serve.no_browser {
            browse(&address);
        }
        shop.until_told().map_err(failed)?;
        Ok(Answer {
            out: "The shop is closed.\n".to_owned(),
            err: String::new(),
        })
    }

    /// Said at once: the command goes on. A terminal that is gone cannot be told anything.
    fn say(text: &str) {
        let mut out = anstream::stdout();
        let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    }

    /// Opens the person's browser where there is a screen; that it does not open is no failure, the address was said.
    fn browse(address: &str) {
        let (program, first): (&str, &[&str]) = if cfg!(windows) {
            ("rundll32", &["url.dll,FileProtocolHandler"])
        } else if cfg!(target_os = "macos") {
            ("open", &[])
        } else if ["DISPLAY", "WAYLAND_DISPLAY"]
            .iter()
            .any(|name| std::env::var_os(name).is_some())
        {
            ("xdg-open", &[])
        } else {
            return;
        };
        let mut command = Command::new(program);
        command.args(first).arg(address);
        let quiet = command
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        if let Ok(mut child) = quiet.spawn() {
            // It is waited for, so that no dead process stays behind.
            std::thread::spawn(move || child.wait());
        }
    }

    fn failed(error: ServeError) -> Failure {
        match &error {
            ServeError::Address { .. } => Failure::could_not(
                error,
                Some("another program may listen there: name another port with --listen".to_owned()),
            ),
            ServeError::NotLoopback { .. } => Failure::bad_input(error, None),
            ServeError::Store(_) | ServeError::System(_) => Failure::could_not(error, None),
        }
    }
}
