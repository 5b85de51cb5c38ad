//! False and greedy requests, on loopback addresses: 127.0.0.2 stands for the network.

use super::server::{Server, rows, shop};
use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

/// What no stranger may see.
const OF_THE_SHOP: [&str; 3] = ["Restorer", "denatured", "A-1"];

#[test]
fn a_stranger_on_the_network_sees_nothing() {
    let shop = shop();
    let server = Server::start(&shop, &["--lan", "--http", "--address", "127.0.0.1"]);
    let before = rows(&shop);
    for path in [
        "/",
        "/wall",
        "/work",
        "/stock",
        "/rags",
        "/container/A-1",
        "/print/audit",
        "/entry?what=use",
        "/devices",
        "/more",
        "/emergency",
    ] {
        for to in ["127.0.0.1", "127.0.0.2"] {
            let head = format!("GET {path} HTTP/1.1\r\nHost: {to}:{}\r\n", server.port);
            let answer = server.ask(to, &head, "");
            assert_eq!(answer.status, 401, "{to}{path}: {}", answer.body);
            for word in OF_THE_SHOP {
                assert!(!answer.body.contains(word), "{path} shows {word}");
            }
        }
    }
    let answer = server.log_use("aaaaaaaa", "1 fl oz");
    assert_eq!(answer.status, 401);
    for path in [
        "/..%2f..%2fetc%2fpasswd",
        "/../../etc/passwd",
        "/.sandarac/bench/key.pem",
        "/shop.toml",
        "/container/..%2f..",
        "/%00",
        "/log.csv",
    ] {
        let answer = server.get(path);
        assert!(
            matches!(answer.status, 400 | 401 | 404),
            "{path}: {answer:?}"
        );
        assert!(!answer.body.contains("root:"), "{path}");
    }
    assert_eq!(rows(&shop), before);
    assert!(
        !server
            .said
            .iter()
            .any(|line| line.contains("encrypted with a certificate")),
        "{:?}",
        server.said
    );
    assert!(
        server
            .said
            .iter()
            .any(|line| line.contains("not encrypted")),
        "{:?}",
        server.said
    );
}

#[test]
fn without_lan_nothing_listens_on_the_network() {
    let shop = shop();
    let server = Server::start(&shop, &[]);
    assert!(TcpStream::connect(("127.0.0.2", server.port)).is_err());
}

#[test]
fn forged_hosts_and_origins_are_refused() {
    let shop = shop();
    let server = Server::start(&shop, &[]);
    let port = server.port;
    let before = rows(&shop);
    for host in [
        "evil.example",
        &format!("evil.example:{port}"),
        "127.0.0.1",
        &format!("localhost.evil.example:{port}"),
    ] {
        let answer = server.ask(
            "127.0.0.1",
            &format!("GET / HTTP/1.1\r\nHost: {host}\r\n"),
            "",
        );
        assert_eq!(answer.status, 421, "{host}");
        assert!(!answer.body.contains("Restorer"));
    }
    let form = "what=use&container=A-1&amount=1+fl+oz&id=aaaaaaaa";
    for more in [
        "Origin: http://evil.example\r\n",
        "Origin: null\r\n",
        "",
        "Origin: http://127.0.0.1:1\r\n",
        "Sec-Fetch-Site: cross-site\r\n",
        "Referer: http://evil.example/\r\n",
    ] {
        let head = format!(
            "POST /entry HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Type: application/x-www-form-urlencoded\r\n{more}\
             Content-Length: {}\r\n",
            form.len()
        );
        assert_eq!(server.ask("127.0.0.1", &head, form).status, 403, "{more}");
    }
    assert_eq!(rows(&shop), before);
}

#[test]
fn large_and_malformed_requests_do_no_harm() {
    let shop = shop();
    let server = Server::start(&shop, &[]);
    let big = server.post(
        "/entry",
        &format!("what=use&note={}", "x".repeat(10_000_000)),
    );
    assert!(matches!(big.status, 413 | 0), "{}", big.status);
    let many: String = (0..200).map(|n| format!("X-{n}: y\r\n")).collect();
    let head = format!(
        "GET / HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n{many}",
        server.port
    );
    assert_eq!(server.ask("127.0.0.1", &head, "").status, 431);
    for line in ["GET / HTTP/9.9", "NONSENSE", "GET  HTTP/1.1", "\u{0}\u{1}"] {
        let answer = server.ask("127.0.0.1", &format!("{line}\r\n"), "");
        assert!(
            matches!(answer.status, 0 | 400 | 505),
            "{line}: {}",
            answer.status
        );
    }
    assert_eq!(server.get("/").status, 200, "it still serves");
}

/// A connection that sends nothing, or half a header, or a body that never ends, is closed in good time.
#[test]
fn slow_clients_are_disconnected() {
    let shop = shop();
    let server = Server::start(&shop, &[]);
    let body = format!(
        "POST /entry HTTP/1.1\r\nHost: 127.0.0.1:{0}\r\nOrigin: http://127.0.0.1:{0}\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 100\r\n\r\nwhat=",
        server.port
    );
    let begins = ["", "GET / HTTP/1.1\r\nHo", &body];
    let start = Instant::now();
    let mut streams: Vec<TcpStream> = begins
        .iter()
        .map(|begin| {
            let mut stream = TcpStream::connect(("127.0.0.1", server.port)).unwrap();
            stream
                .set_read_timeout(Some(Duration::from_secs(60)))
                .unwrap();
            stream.write_all(begin.as_bytes()).unwrap();
            stream
        })
        .collect();
    for (stream, begin) in streams.iter_mut().zip(begins) {
        let mut bytes = Vec::new();
        assert!(
            stream.read_to_end(&mut bytes).is_ok(),
            "{begin:?} was still open after a minute"
        );
    }
    assert!(
        start.elapsed() < Duration::from_secs(45),
        "{:?}",
        start.elapsed()
    );
    assert_eq!(server.get("/alive").status, 200);
}

/// Bodies of ten megabytes to every route, also to those that take a photo: none is taken, and the server goes on.
#[test]
fn ten_megabytes_are_too_much_everywhere() {
    let shop = shop();
    let server = Server::start(&shop, &[]);
    let before = rows(&shop);
    let big = vec![b'x'; 10 << 20];
    for path in [
        "/entry",
        "/answer",
        "/undo",
        "/round/answer",
        "/round/save",
        "/office/workbook",
        "/pair",
    ] {
        let answer = server.send_file(path, &[("id", "aaaaaaaa")], &big);
        assert!(matches!(answer.status, 413 | 0), "{path}: {answer:?}");
    }
    assert_eq!(server.get("/").status, 200);
    assert_eq!(rows(&shop), before);
    assert!(!shop.path().join("shop/photos").exists());
}

/// Nobody gets in by ten thousand codes, and the right one is of no use after five wrong ones.
#[test]
fn ten_thousand_wrong_codes() {
    let shop = shop();
    let server = Server::start(&shop, &["--lan", "--http", "--address", "127.0.0.1"]);
    let port = server.port;
    let form = |code: &str| format!("code={code}&name=x&person=");
    let head = |body: &str| {
        format!(
            "POST /pair HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            body.len()
        )
    };
    // On one connection, answers unread until the end of each hundred: as fast as a guesser can.
    for hundred in 0..100 {
        let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
        stream
            .set_read_timeout(Some(Duration::from_secs(60)))
            .unwrap();
        let mut text = String::new();
        for number in 0..100 {
            text.push_str(&head(&form(&format!("W{hundred:03}X{number:03}"))));
        }
        let last = text.rfind("Content-Length").unwrap();
        text.insert_str(last, "Connection: close\r\n");
        stream.write_all(text.as_bytes()).unwrap();
        let mut answers = String::new();
        stream.read_to_string(&mut answers).unwrap();
        assert_eq!(answers.matches("HTTP/1.1 403").count(), 100, "{hundred}");
    }
    let late = server.post("/pair", &form(&server.code()));
    assert_eq!(late.status, 403, "{}", late.body);
    assert!(!shop.path().join("shop/.sandarac/bench/devices").exists());
}
