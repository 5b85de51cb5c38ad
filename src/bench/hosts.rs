//! Which hosts are ours, which forms come from our own pages, and which peers are of the shop's own network.

use axum::http::header::{HOST, ORIGIN};
use axum::http::{HeaderMap, HeaderName};
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr};

/// The hosts that are ours. Any address of a network is: a page of another site can only come here by a name.
pub struct HostRule {
    port: u16,
    names: Vec<String>,
    scheme: &'static str,
}

impl HostRule {
    /// This port, by address, as localhost, and by these names.
    pub fn new(port: u16, names: Vec<String>, encrypted: bool) -> HostRule {
        let scheme = if encrypted { "https" } else { "http" };
        HostRule {
            port,
            names,
            scheme,
        }
    }

    /// Is this host ours?
    pub fn knows(&self, host: &str) -> bool {
        let usual = if self.scheme == "https" {
            ":443"
        } else {
            ":80"
        };
        let port = format!(":{}", self.port);
        let name = host
            .strip_suffix(&port)
            .or_else(|| port.eq(usual).then_some(host));
        let Some(name) = name else { return false };
        let bare = name
            .strip_prefix('[')
            .and_then(|name| name.strip_suffix(']'));
        let address = match bare {
            Some(bare) => bare.parse::<Ipv6Addr>().is_ok(),
            None => name.parse::<Ipv4Addr>().is_ok(),
        };
        let name = name.to_ascii_lowercase();
        address || name == "localhost" || self.names.contains(&name)
    }

    /// Does a request that may change something come from a page of ours?
    pub fn is_own(&self, headers: &HeaderMap) -> bool {
        let text = |name: HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
        let fetched = text(HeaderName::from_static("sec-fetch-site"));
        if fetched.is_some_and(|site| site != "same-origin") {
            return false;
        }
        match (text(ORIGIN), text(HOST)) {
            (Some(origin), Some(host)) => origin == format!("{}://{host}", self.scheme),
            (None, _) => fetched.is_some(),
            (Some(_), None) => false,
        }
    }
}

/// Is the peer on this computer or on a network of one's own?
pub fn is_private(peer: IpAddr) -> bool {
    match peer {
        IpAddr::V4(peer) => peer.is_loopback() || peer.is_private() || peer.is_link_local(),
        IpAddr::V6(peer) => match peer.to_ipv4_mapped() {
            Some(peer) => is_private(IpAddr::V4(peer)),
            None => peer.is_loopback() || peer.is_unique_local() || peer.is_unicast_link_local(),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::{HostRule, is_private};
    use axum::http::{HeaderMap, HeaderValue};

    #[test]
    fn only_our_own_hosts_are_known() {
        let rule = HostRule::new(8137, vec!["bench.local".into()], true);
        for host in [
            "127.0.0.1:8137",
            "192.168.1.20:8137",
            "[::1]:8137",
            "localhost:8137",
            "Bench.local:8137",
        ] {
            assert!(rule.knows(host), "{host}");
        }
        for host in [
            "evil.example:8137",
            "127.0.0.1",
            "127.0.0.1:80",
            "localhost.evil.example:8137",
            "127.0.0.1.evil.example:8137",
            "",
            ":8137",
            "[127.0.0.1]:8137",
            "bench.local",
            "user@127.0.0.1:8137",
            "1.2.3:8137",
        ] {
            assert!(!rule.knows(host), "{host}");
        }
        assert!(HostRule::new(80, Vec::new(), false).knows("127.0.0.1"));
    }

    #[test]
    fn only_our_own_pages_may_send_forms() {
        let rule = HostRule::new(8137, Vec::new(), false);
        let host = "127.0.0.1:8137";
        for (origin, site, fine) in [
            (Some("http://127.0.0.1:8137"), Some("same-origin"), true),
            (Some("http://127.0.0.1:8137"), None, true),
            (None, Some("same-origin"), true),
            (None, None, false),
            (Some("null"), Some("same-origin"), false),
            (Some("https://127.0.0.1:8137"), None, false),
            (Some("http://127.0.0.1:8138"), None, false),
            (Some("http://evil.example"), None, false),
            (Some("http://127.0.0.1:8137"), Some("cross-site"), false),
            (Some("http://127.0.0.1:8137"), Some("same-site"), false),
            (None, Some("none"), false),
        ] {
            let mut headers = HeaderMap::new();
            headers.insert("host", HeaderValue::from_static(host));
            if let Some(origin) = origin {
                headers.insert("origin", HeaderValue::from_static(origin));
            }
            if let Some(site) = site {
                headers.insert("sec-fetch-site", HeaderValue::from_static(site));
            }
            assert_eq!(rule.is_own(&headers), fine, "{origin:?} {site:?}");
        }
    }

    #[test]
    fn peers_of_the_internet_stay_out() {
        for peer in [
            "127.0.0.1",
            "127.0.0.2",
            "192.168.1.7",
            "10.1.2.3",
            "172.16.0.1",
            "169.254.1.1",
            "::1",
            "fe80::1",
            "fd00::1",
            "::ffff:10.0.0.1",
        ] {
            assert!(is_private(peer.parse().unwrap()), "{peer}");
        }
        for peer in [
            "203.0.113.9",
            "8.8.8.8",
            "172.32.0.1",
            "2001:db8::1",
            "::ffff:8.8.8.8",
        ] {
            assert!(!is_private(peer.parse().unwrap()), "{peer}");
        }
    }
}
