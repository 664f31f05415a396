//! The names and addresses by which this machine is called.

use std::collections::BTreeSet;
use std::net::{IpAddr, SocketAddr};

/// What a browser may call the machine by that listens at `address`: likeliest first, then what a person gave.
pub(crate) fn names_of(address: SocketAddr, given: &[String]) -> Vec<String> {
    let mut addresses = if address.ip().is_unspecified() {
        // Whatever the system does not tell can be given by name.
        let all = if_addrs::get_if_addrs().unwrap_or_default();
        all.iter()
            .map(if_addrs::Interface::ip)
            .filter(reachable)
            .collect()
    } else {
        vec![address.ip()]
    };
    addresses.sort_by_key(|address| (unlikeliness(*address), *address));
    addresses.dedup();
    let mut names: Vec<String> = addresses.iter().map(IpAddr::to_string).collect();
    names.extend(given.iter().map(|name| name.to_ascii_lowercase()));
    let host = gethostname::gethostname().to_string_lossy().to_ascii_lowercase();
    if is_name(&host) {
        names.push(host.clone());
        // What machines of a small network call each other by (RFC 6762).
        if !host.contains('.') {
            names.push(format!("{host}.local"));
        }
    }
    if address.ip().is_unspecified() {
        names.extend(["localhost".to_owned(), "127.0.0.1".to_owned()]);
    }
    let mut seen = BTreeSet::new();
    names.retain(|name| seen.insert(name.clone()));
    names
}

/// `Host` of each name at a port; the scheme's usual port is left out by browsers.
pub(crate) fn hosts<'a>(names: impl IntoIterator<Item = &'a str>, port: u16, usual: u16) -> BTreeSet<String> {
    let mut hosts = BTreeSet::new();
    for name in names {
        let name = match name.parse::<IpAddr>() {
            Ok(IpAddr::V6(six)) => format!("[{six}]"),
            _ => name.to_ascii_lowercase(),
        };
        hosts.insert(format!("{name}:{port}"));
        if port == usual {
            hosts.insert(name);
        }
    }
    hosts
}

/// Others can come in there; an address that needs the name of an interface beside it is none to type.
fn reachable(address: &IpAddr) -> bool {
    let link_local = match address {
        IpAddr::V4(four) => four.is_link_local(),
        IpAddr::V6(six) => six.is_unicast_link_local(),
    };
    !address.is_loopback() && !link_local
}

/// A phone in the shop is likeliest to reach a private address of the usual ranges (RFC 1918).
fn unlikeliness(address: IpAddr) -> u8 {
    match address {
        IpAddr::V4(four) if four.octets()[..2] == [192, 168] => 0,
        IpAddr::V4(four) if four.octets()[0] == 10 => 1,
        IpAddr::V4(four) if four.is_private() => 2,
        IpAddr::V4(_) => 3,
        IpAddr::V6(_) => 4,
    }
}

/// Letters, digits, hyphens and dots (RFC 1123, section 2.1).
fn is_name(text: &str) -> bool {
    let letters = text
        .bytes()
        .all(|c| c.is_ascii_alphanumeric() || c == b'-' || c == b'.');
    !text.is_empty() && letters
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_port_may_be_left_out() {
        let all = |port| {
            hosts(["Bench", "192.168.1.5", "fd00::1"], port, 443)
                .into_iter()
                .collect::<Vec<_>>()
        };
        assert_eq!(all(8443), ["192.168.1.5:8443", "[fd00::1]:8443", "bench:8443"]);
        assert!(all(443).contains(&"bench".to_owned()));
    }

    #[test]
    fn the_address_of_a_small_network_comes_first() {
        let key = |text: &str| text.parse().map_or(u8::MAX, unlikeliness);
        let sorted = ["192.168.1.5", "10.0.0.5", "172.17.0.1", "203.0.113.5", "fd00::1"].map(key);
        assert!(sorted.is_sorted());
    }
}
