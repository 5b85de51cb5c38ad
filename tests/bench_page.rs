//! `sandarac bench` with the real program: over a socket, killed, with several writers, under false requests; and in a browser at
//! the size of a phone. Where there is no browser or no axe-core, what needs them is left out and says so.
#![cfg(feature = "bench")]
#![allow(clippy::unwrap_used, clippy::panic)]

#[allow(dead_code, reason = "the tests of the other pages use more of it")]
#[path = "browser/driver.rs"]
mod driver;
#[path = "bench_page/hostile.rs"]
mod hostile;
#[path = "bench_page/killed.rs"]
mod killed;
#[cfg(feature = "workbook")]
#[path = "bench_page/office.rs"]
mod office;
#[path = "bench_page/paired.rs"]
mod paired;
#[path = "bench_page/phone.rs"]
mod phone;
#[allow(dead_code, reason = "the load test uses more of it")]
#[path = "bench_page/server.rs"]
mod server;
#[path = "bench_page/tasks.rs"]
mod tasks;

use server::{Server, shop};

#[test]
fn it_says_where_it_is_and_stops_when_told() {
    let shop = shop();
    let mut server = Server::start(&shop, &[]);
    assert!(server.said.len() == 1, "{:?}", server.said);
    let page = server.get("/");
    assert_eq!(page.status, 200);
    assert!(page.body.contains("<h1>Now</h1>"), "{}", page.body);
    assert_eq!(server.stop(), Some(0));
}

#[test]
fn a_taken_port_and_a_broken_shop_are_said_before_any_address() {
    let shop_folder = shop();
    let first = Server::start(&shop_folder, &[]);
    let port = first.port.to_string();
    let (said, code) = server::refused(&shop_folder, &["--port", &port]);
    assert!(
        said.contains(&format!("Port {port} cannot be used")) && code == Some(2),
        "{said}"
    );
    drop(first);
    std::fs::write(shop_folder.path().join("shop/log.csv"), "nonsense\n").unwrap();
    let (said, code) = server::refused(&shop_folder, &["--port", "0"]);
    assert!(
        said.contains("log.csv") && said.contains("Nothing was served.") && code == Some(2),
        "{said}"
    );
}

/// Two phones and the command line at the same time: everything that was acknowledged is there once.
#[test]
fn several_writers_at_once() {
    let shop = shop();
    let server = Server::start(&shop, &[]);
    let before = server::rows(&shop);
    let each = 6;
    std::thread::scope(|scope| {
        for phone in 0..2 {
            let server = &server;
            scope.spawn(move || {
                for number in 0..each {
                    let send = || {
                        server.log_use(
                            &format!("phone{phone}x{number}"),
                            &format!("0.0{} fl oz", number + 1),
                        )
                    };
                    // On a busy machine an answer may come too late: a phone sends it again, and it is written once.
                    let mut answer = send();
                    while matches!(answer.status, 408 | 503) {
                        answer = send();
                    }
                    assert_eq!(answer.status, 303, "{}", answer.body);
                }
            });
        }
        let shop = &shop;
        scope.spawn(move || {
            for _ in 0..each {
                server::run(shop, &["log", "use", "A-1", "0.1 fl oz", "--shop", "shop"]);
            }
        });
    });
    let rows = server::rows(&shop);
    assert_eq!(rows.len(), before.len() + 3 * each);
    for phone in 0..2 {
        for number in 0..each {
            let id = format!(",phone{phone}x{number}");
            assert_eq!(
                rows.iter().filter(|row| row.ends_with(&id)).count(),
                1,
                "{id}"
            );
        }
    }
}
