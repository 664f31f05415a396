//! `halfsplit serve`: the bay screen, open until it is told to close.

use crate::failure::Failure;
use crate::page::Answer;
use clap::Args;
use std::net::SocketAddr;

/// How to open the shop.
#[derive(Debug, Args)]
pub(crate) struct Serve {
    /// The address to listen on; without it this machine's own, at a port that is free. One that others reach has TLS, and lets paired devices in only
    #[arg(long, value_name = "ADDR", value_parser = address)]
    pub(crate) listen: Option<SocketAddr>,
    /// Another name by which the shop's network calls this machine. May be given again
    #[arg(long = "name", value_name = "NAME", value_parser = name)]
    pub(crate) names: Vec<String>,
    /// Where the shop's jobs are, as for `halfsplit job`
    #[arg(long, value_name = "FILE|URL")]
    pub(crate) database: Option<String>,
    /// Opens no browser
    #[arg(long)]
    pub(crate) no_browser: bool,
}

/// The port of an address that names none: this machine's own, and one that others reach.
const PORTS: (u16, u16) = (8427, 8443);

/// An address with or without a port; `localhost` is this machine.
fn address(text: &str) -> Result<SocketAddr, String> {
    let numbers = text
        .strip_prefix("localhost")
        .map_or_else(|| text.to_owned(), |rest| format!("127.0.0.1{rest}"));
    let whole = numbers.parse::<SocketAddr>().ok();
    let bare = || {
        let ip: std::net::IpAddr = numbers.parse().ok()?;
        let port = if ip.is_loopback() { PORTS.0 } else { PORTS.1 };
        Some(SocketAddr::new(ip, port))
    };
    whole.or_else(bare).ok_or_else(|| {
        "an address of this machine is wanted, for instance 127.0.0.1:8427, or 0.0.0.0:8443 for the shop's network".to_owned()
    })
}

/// A name as the network knows it (RFC 1123, section 2.1).
fn name(text: &str) -> Result<String, String> {
    let letters = text
        .bytes()
        .all(|c| c.is_ascii_alphanumeric() || c == b'-' || c == b'.');
    if letters && !text.is_empty() {
        Ok(text.to_owned())
    } else {
        Err(
            "a name of letters, digits, hyphens and dots is wanted, for instance bench.shop.example"
                .to_owned(),
        )
    }
}

#[cfg(feature = "bay")]
pub(crate) use open::run;

#[cfg(not(feature = "bay"))]
pub(crate) fn run(_: &Serve, _: crate::page::Screen) -> Result<Answer, Failure> {
    Err(Failure::could_not(
        "this build has no bay screen",
        Some("build it with the feature `bay`".to_owned()),
    ))
}

#[cfg(feature = "bay")]
mod open {
    use super::{Answer, Failure, Serve};
    use crate::page::Screen;
    use bay::{Asked, Bounds, Invitation, Open, ServeError};
    use std::fmt::Write as _;
    use std::io::{IsTerminal, Write as _};
    use std::process::{Command, Stdio};
    use std::sync::Arc;
    use store::Location;

    /// Opens the shop, says where, and stays until it is told to close.
    pub(crate) fn run(serve: &Serve, screen: Screen) -> Result<Answer, Failure> {
        let location = match &serve.database {
            Some(text) => Location::parse(text),
            None => Location::usual().map_err(|error| Failure::could_not(error, None))?,
        };
        let asked = Asked {
            location,
            listen: serve.listen,
            names: serve.names.clone(),
            bounds: Bounds::default(),
        };
        let shop = Arc::new(bay::open(&asked).map_err(failed)?);
        say(&format!("The shop is open on this machine: {}\n", shop.address()));
        if let Some(invitation) = shop.invite().map_err(failed)? {
            say(&told(&invitation, screen, true));
            again(&shop, screen);
        }
        say("Ctrl+C closes it.\n");
        if !serve.no_browser {
            browse(&shop.address());
        }
        shop.until_told().map_err(failed)?;
        Ok(Answer {
            out: "The shop is closed.\n".to_owned(),
            err: String::new(),
        })
    }

    /// What a person with a phone needs to come in.
    fn told(invitation: &Invitation, screen: Screen, first: bool) -> String {
        let mut text = String::new();
        if first {
            let _ = writeln!(text, "and on its network, for paired phones and tablets:");
            for address in &invitation.addresses {
                let _ = writeln!(text, "  {address}");
            }
        }
        let lines = invitation.lines();
        let width = lines.first().map_or(0, |line| line.chars().count());
        // Without colours or room a camera could not read it.
        if std::io::stdout().is_terminal() && !screen.ascii && width <= screen.width {
            for line in lines {
                let _ = writeln!(text, "\x1b[38;2;0;0;0;48;2;255;255;255m{line}\x1b[0m");
            }
        }
        let _ = writeln!(
            text,
            "To pair one, within ten minutes: scan this, or open {}pair there and type {}\n\
             It will warn that nobody vouches for the shop's certificate. Compare its SHA-256 fingerprint, then go on:\n  {}",
            invitation.addresses.first().map_or("", String::as_str),
            invitation.spoken(),
            invitation.fingerprint,
        );
        text
    }

    /// Enter in the terminal makes another code.
    fn again(shop: &Arc<Open>, screen: Screen) {
        if !std::io::stdin().is_terminal() {
            return;
        }
        say("Enter makes another code. ");
        let shop = Arc::downgrade(shop);
        std::thread::spawn(move || {
            for line in std::io::stdin().lines() {
                let (Ok(_), Some(shop)) = (line, shop.upgrade()) else {
                    return;
                };
                if let Ok(Some(invitation)) = shop.invite() {
                    say(&told(&invitation, screen, false));
                }
            }
        });
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
        let hint = matches!(error, ServeError::Address { .. })
            .then(|| "another program may listen there: name another port with --listen".to_owned());
        Failure::could_not(error, hint)
    }
}
