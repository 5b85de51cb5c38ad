//! Killed at any moment: what was acknowledged is in the log, once; nothing is half there.

use super::server::{Server, rows, shop};
use std::collections::BTreeSet;
use std::sync::Mutex;
use std::time::{Duration, Instant};

const KILLS: u64 = 6;

#[test]
fn what_was_acknowledged_outlives_a_kill() {
    let shop = shop();
    let before = rows(&shop).len();
    let acknowledged = Mutex::new(BTreeSet::new());
    for kill in 0..KILLS {
        let mut server = Server::start(&shop, &[]);
        let port = server.port;
        std::thread::scope(|scope| {
            for phone in 0..2 {
                let acknowledged = &acknowledged;
                scope.spawn(move || {
                    for number in 0..1000 {
                        let id = format!("k{kill}p{phone}n{number:04}");
                        // On a busy machine an answer may come too late: a phone sends it again.
                        let status = loop {
                            match send(port, &id) {
                                Some(408 | 503) => {}
                                status => break status,
                            }
                        };
                        match status {
                            Some(303) => acknowledged.lock().unwrap().insert(id),
                            Some(status) => panic!("{id}: {status}"),
                            None => return,
                        };
                    }
                });
            }
            // Each time something was acknowledged before, and something is under way.
            let before = acknowledged.lock().unwrap().len();
            let start = Instant::now();
            while acknowledged.lock().unwrap().len() < before + 2 {
                assert!(
                    start.elapsed() < Duration::from_secs(120),
                    "nothing is written"
                );
                std::thread::sleep(Duration::from_millis(10));
            }
            std::thread::sleep(Duration::from_millis(kill * 130));
            server.kill();
        });
    }
    let acknowledged = acknowledged.into_inner().unwrap();
    assert!(
        !acknowledged.is_empty(),
        "nothing was written before any kill"
    );
    // The next to open the folder finishes what was cut short.
    let server = Server::start(&shop, &[]);
    assert_eq!(server.get("/").status, 200);
    let rows = rows(&shop);
    for id in &acknowledged {
        let end = format!(",{id}");
        assert_eq!(
            rows.iter().filter(|row| row.ends_with(&end)).count(),
            1,
            "{id}"
        );
    }
    let all: BTreeSet<&str> = rows
        .iter()
        .skip(before)
        .map(|row| row.rsplit(',').next().unwrap())
        .collect();
    assert_eq!(all.len(), rows.len() - before, "an entry is there twice");
    let unacknowledged = all.len() - acknowledged.len();
    assert!(
        unacknowledged <= usize::try_from(KILLS).unwrap() * 2,
        "{unacknowledged} were written and not acknowledged"
    );
}

/// The status of one entry; nothing where the server is gone.
fn send(port: u16, id: &str) -> Option<u16> {
    use std::io::{Read, Write};
    let form = format!("what=use&container=A-1&amount=0.001+fl+oz&id={id}");
    let mut stream = std::net::TcpStream::connect(("127.0.0.1", port)).ok()?;
    let head = format!(
        "POST /entry HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{form}",
        form.len()
    );
    stream.write_all(head.as_bytes()).ok()?;
    let mut text = String::new();
    stream.read_to_string(&mut text).ok()?;
    text.split(' ').nth(1)?.parse().ok()
}
