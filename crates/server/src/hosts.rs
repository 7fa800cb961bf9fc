//! The names by which this server may be addressed.

use std::net::{Ipv4Addr, Ipv6Addr, SocketAddr};

/// Endings of names that exist only in local networks (RFC 6762, RFC 8375, and the reserved
/// `internal`; `lan` is common practice, no source).
const LOCAL_ENDINGS: &[&str] = &[".local", ".home.arpa", ".internal", ".lan"];

/// Names by which this server may be addressed; a page elsewhere that points a name of its own at
/// this computer is so refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hosts {
    names: Vec<String>,
    on_network: bool,
}

impl Hosts {
    /// Names for a listening address.
    ///
    /// On this computer only its own names are taken; on a network also any number address, names
    /// without a dot and names of local networks. `further` names are taken in either case.
    pub fn new(listening: SocketAddr, further: &[String]) -> Self {
        let mut names = vec!["localhost".to_owned(), "127.0.0.1".to_owned(), "[::1]".to_owned()];
        names.push(match listening {
            SocketAddr::V4(address) => address.ip().to_string(),
            SocketAddr::V6(address) => format!("[{}]", address.ip()),
        });
        names.extend_from_slice(further);
        Self { names, on_network: !listening.ip().is_loopback() }
    }

    /// Whether a request for this host (with or without a port) is for us.
    pub fn take(&self, host: &str) -> bool {
        let name = without_port(host).to_ascii_lowercase();
        self.names.iter().any(|n| n.eq_ignore_ascii_case(&name))
            || self.on_network && is_local(&name)
    }
}

fn is_local(name: &str) -> bool {
    let number = |inner: &str| inner.parse::<Ipv6Addr>().is_ok();
    name.parse::<Ipv4Addr>().is_ok()
        || name.strip_prefix('[').and_then(|n| n.strip_suffix(']')).is_some_and(number)
        || !name.is_empty() && !name.contains(['.', ':'])
        || LOCAL_ENDINGS.iter().any(|ending| name.ends_with(ending))
}

/// `[::1]:8080` and `localhost:8080` without their ports.
fn without_port(host: &str) -> &str {
    match host.rsplit_once(':') {
        Some((name, port)) if port.bytes().all(|b| b.is_ascii_digit()) => name,
        _ => host,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ports_are_cut_off() {
        assert_eq!(without_port("localhost:8080"), "localhost");
        assert_eq!(without_port("[::1]:8080"), "[::1]");
        assert_eq!(without_port("127.0.0.1"), "127.0.0.1");
    }

    #[test]
    fn on_this_computer_only_its_own_names_are_taken() {
        let hosts = Hosts::new(([127, 0, 0, 1], 80).into(), &["bench.example".to_owned()]);
        for host in ["localhost", "LOCALHOST:80", "127.0.0.1:8270", "[::1]:1", "bench.example:9"] {
            assert!(hosts.take(host), "{host}");
        }
        for host in
            ["", ":80", "example.com", "localhost.example.com", "192.168.1.5", "bench", "::1"]
        {
            assert!(!hosts.take(host), "{host}");
        }
    }

    #[test]
    fn on_a_network_names_are_taken_that_no_stranger_can_own() {
        let hosts = Hosts::new(([0, 0, 0, 0], 80).into(), &[]);
        for host in ["192.168.1.5:8270", "[fe80::1]:80", "bench", "bench.local:1", "pc.home.arpa"] {
            assert!(hosts.take(host), "{host}");
        }
        for host in ["", "example.com", "local.example.com:80", "1.2.3.4.example.com"] {
            assert!(!hosts.take(host), "{host}");
        }
    }
}
