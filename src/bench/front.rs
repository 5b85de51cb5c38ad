//! One port answers both: what begins like TLS is TLS; a plain request for a page is sent to the encrypted address, and anything else
//! gets an error that asks for https. So this port never sends a page of the shop unencrypted.

use super::hosts::HostRule;
use axum_server::accept::Accept;
use axum_server::tls_rustls::RustlsAcceptor;
use std::future::Future;
use std::io::{Error, ErrorKind, Result};
use std::pin::Pin;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpStream;
use tokio::time::timeout;

/// The first byte of TLS: a record of the handshake (RFC 8446, 5.1).
const HANDSHAKE: u8 = 0x16;
/// A plain request is read so far.
const MOST_BYTES: usize = 4096;

/// What stands before TLS.
#[derive(Clone)]
pub struct Front {
    tls: RustlsAcceptor,
    hosts: Arc<HostRule>,
    patience: Duration,
}

impl Front {
    /// Before this TLS, for these hosts. Whoever says nothing for so long is let go.
    pub fn new(tls: RustlsAcceptor, hosts: Arc<HostRule>, patience: Duration) -> Front {
        Front {
            tls,
            hosts,
            patience,
        }
    }
}

type Stream<S> = <RustlsAcceptor as Accept<TcpStream, S>>::Stream;
type Service<S> = <RustlsAcceptor as Accept<TcpStream, S>>::Service;

impl<S: Send + 'static> Accept<TcpStream, S> for Front {
    type Stream = Stream<S>;
    type Service = Service<S>;
    type Future = Pin<Box<dyn Future<Output = Result<(Stream<S>, Service<S>)>> + Send>>;

    fn accept(&self, stream: TcpStream, service: S) -> Self::Future {
        let front = self.clone();
        Box::pin(async move {
            let mut first = [0];
            let slow = |_| Error::from(ErrorKind::TimedOut);
            timeout(front.patience, stream.peek(&mut first))
                .await
                .map_err(slow)??;
            if first == [HANDSHAKE] {
                return front.tls.accept(stream, service).await;
            }
            let answered = timeout(front.patience, explain(&stream, &front.hosts)).await;
            answered.map_err(slow)??;
            Err(Error::other("it was not encrypted"))
        })
    }
}

/// Reads the head of a plain request, and says where the page is.
async fn explain(stream: &TcpStream, hosts: &HostRule) -> Result<()> {
    let mut head = Vec::new();
    while !head.windows(4).any(|end| end == b"\r\n\r\n") && head.len() < MOST_BYTES {
        stream.readable().await?;
        let mut part = [0; 1024];
        match stream.try_read(&mut part) {
            Ok(0) => break,
            Ok(length) => head.extend(part.iter().take(length)),
            Err(fault) if fault.kind() == ErrorKind::WouldBlock => {}
            Err(fault) => return Err(fault),
        }
    }
    let answer = answer(&String::from_utf8_lossy(&head), hosts);
    let mut rest = answer.as_bytes();
    while !rest.is_empty() {
        stream.writable().await?;
        match stream.try_write(rest) {
            Ok(length) => rest = rest.get(length..).unwrap_or_default(),
            Err(fault) if fault.kind() == ErrorKind::WouldBlock => {}
            Err(fault) => return Err(fault),
        }
    }
    Ok(())
}

/// The answer to a plain request: the encrypted address of a page, if the host is ours.
fn answer(head: &str, hosts: &HostRule) -> String {
    let mut lines = head.lines();
    let mut words = lines.next().unwrap_or_default().split(' ');
    let (method, path) = (words.next(), words.next().unwrap_or_default());
    let host = lines.find_map(|line| {
        let (name, value) = line.split_once(':')?;
        name.eq_ignore_ascii_case("host").then(|| value.trim())
    });
    let is_plain = path.starts_with('/') && path.chars().all(|c| c.is_ascii_graphic());
    let known = host.filter(|host| hosts.knows(host));
    let (status, place) = match (method, known) {
        (Some("GET" | "HEAD"), Some(host)) if is_plain => (
            "307 Temporary Redirect",
            format!("Location: https://{host}{path}\r\n"),
        ),
        _ => ("400 Bad Request", String::new()),
    };
    let words = "This server speaks only https. Use the address that begins with https.\n";
    format!(
        "HTTP/1.1 {status}\r\n{place}Content-Type: text/plain; charset=utf-8\r\nContent-Length: {}\r\n\
         Cache-Control: no-store\r\nX-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n{words}",
        words.len()
    )
}

#[cfg(test)]
mod tests {
    use super::answer;
    use crate::bench::hosts::HostRule;

    #[test]
    fn a_plain_request_is_sent_to_the_encrypted_address() {
        let hosts = HostRule::new(8137, vec!["bench.local".into()], true);
        let ask = |head: &str| answer(head, &hosts);
        for host in ["127.0.0.1:8137", "bench.local:8137"] {
            let told = ask(&format!("GET /pair?c=AB HTTP/1.1\r\nhost: {host}\r\n\r\n"));
            assert!(
                told.contains(&format!("\r\nLocation: https://{host}/pair?c=AB\r\n")),
                "{told}"
            );
        }
        for head in [
            "GET / HTTP/1.1\r\nHost: evil.example\r\n\r\n",
            "GET //evil.example\u{e9} HTTP/1.1\r\nHost: 127.0.0.1:8137\r\n\r\n",
            "POST /entry HTTP/1.1\r\nHost: 127.0.0.1:8137\r\n\r\n",
            "GET http://evil.example/ HTTP/1.1\r\nHost: 127.0.0.1:8137\r\n\r\n",
            "nonsense",
            "",
        ] {
            let told = ask(head);
            assert!(
                told.starts_with("HTTP/1.1 400 ") && !told.contains("Location"),
                "{head:?}: {told}"
            );
            assert!(told.contains("only https"));
        }
    }
}
