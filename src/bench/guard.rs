//! What every request passes before any page: the peer, the host, the origin, the time it may take; and the headers that every
//! answer leaves with, refusals too.

use super::call::{NO_STORE, Printed, Reply};
use super::problem::BenchProblem;
use super::state::Bench;
use axum::body::Body;
use axum::extract::{ConnectInfo, Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, HOST, ORIGIN, REFERRER_POLICY, RETRY_AFTER,
    X_CONTENT_TYPE_OPTIONS, X_FRAME_OPTIONS,
};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, Response, StatusCode};
use axum::middleware::Next;
use std::net::{IpAddr, Ipv6Addr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

/// The longest that an answer may take, reading of the request included.
pub const PATIENCE: Duration = Duration::from_secs(20);

/// Script and style come from this server; nothing else is fetched, framed or sent anywhere.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; \
                      form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
/// Pages to print bring their own style; they run and fetch nothing.
const PRINTED: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; form-action 'none'; base-uri 'none'; \
                       frame-ancestors 'none'";

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
            None => name.parse::<std::net::Ipv4Addr>().is_ok(),
        };
        let name = name.to_ascii_lowercase();
        address || name == "localhost" || self.names.contains(&name)
    }

    /// Does a request that may change something come from a page of ours?
    fn is_own(&self, headers: &HeaderMap) -> bool {
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

/// Lets a request through, or answers it here.
pub async fn guard(
    State(bench): State<Arc<Bench>>,
    request: Request,
    next: Next,
) -> Response<Body> {
    let plain = wants_lines(request.headers());
    let mut response = match refused(&bench, &request) {
        Some(problem) => refusal(&problem, plain),
        None => match tokio::time::timeout(PATIENCE, next.run(request)).await {
            Ok(response) => response,
            Err(_) => refusal(&slow(), plain),
        },
    };
    if response.status() == StatusCode::METHOD_NOT_ALLOWED
        && response.headers().get(CACHE_CONTROL).is_none()
    {
        response = refusal(&no_such_method(), plain);
    }
    dress(&mut response);
    response
}

/// Does the script ask?
pub fn wants_lines(headers: &HeaderMap) -> bool {
    let accept = headers.get("accept").and_then(|value| value.to_str().ok());
    accept.is_some_and(|accept| accept.starts_with("text/plain"))
}

fn refused(bench: &Bench, request: &Request) -> Option<BenchProblem> {
    let peer = request.extensions().get::<ConnectInfo<SocketAddr>>();
    if !peer.is_some_and(|ConnectInfo(peer)| is_private(peer.ip())) {
        return Some(BenchProblem::new(
            StatusCode::FORBIDDEN,
            "This page is only for the shop's own network.",
            "Connect the device to the shop's own network.",
        ));
    }
    let headers = request.headers();
    let host = headers.get(HOST).and_then(|host| host.to_str().ok());
    if !host.is_some_and(|host| bench.hosts().knows(host)) {
        return Some(BenchProblem::new(
            StatusCode::MISDIRECTED_REQUEST,
            "This address is not one of this server's.",
            "Use the address that the server printed when it started.",
        ));
    }
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    if !reads && !bench.hosts().is_own(headers) {
        return Some(BenchProblem::new(
            StatusCode::FORBIDDEN,
            "This form was not sent from a page of this server.",
            "Open the page again and send the form from there.",
        ));
    }
    None
}

fn slow() -> BenchProblem {
    BenchProblem::new(
        StatusCode::REQUEST_TIMEOUT,
        "The request took too long.",
        "Try again when the network is better.",
    )
}

fn no_such_method() -> BenchProblem {
    BenchProblem::new(
        StatusCode::METHOD_NOT_ALLOWED,
        "This address does not take such a request.",
        "Use the buttons of the page.",
    )
}

/// A refusal before any page knows the shop: nothing of the shop is in it.
pub fn refusal(problem: &BenchProblem, plain: bool) -> Response<Body> {
    let reply = match plain {
        true => Reply::lines(super::frame::problem_lines(problem)),
        false => Reply::page(super::frame::bare_problem(problem)),
    };
    Reply {
        status: problem.status,
        ..reply
    }
    .response()
}

/// The headers of every answer.
fn dress(response: &mut Response<Body>) {
    let printed = response.extensions().get::<Printed>().is_some();
    let busy = response.status() == StatusCode::SERVICE_UNAVAILABLE;
    let headers = response.headers_mut();
    let policy = if printed { PRINTED } else { POLICY };
    for (name, value) in [
        (CONTENT_SECURITY_POLICY, policy),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (X_FRAME_OPTIONS, "DENY"),
        (REFERRER_POLICY, "same-origin"),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("permissions-policy"),
            "camera=(self), microphone=(), geolocation=()",
        ),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    if headers.get(CACHE_CONTROL).is_none() {
        headers.insert(CACHE_CONTROL, HeaderValue::from_static(NO_STORE));
    }
    if busy {
        headers.insert(RETRY_AFTER, HeaderValue::from_static("5"));
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
