//! In Chromium at the size of a phone.

use super::driver::{Browser, left_out};
use super::server::{Server, rows, shop};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// A phone with a finger.
pub fn phone(browser: &Browser, wide: u32, dark: bool) {
    browser.show(wide, dark);
    let size = json!({"width": wide, "height": 844, "deviceScaleFactor": 1, "mobile": true});
    browser.tell("Emulation.setDeviceMetricsOverride", &size);
    browser.tell(
        "Emulation.setTouchEmulationEnabled",
        &json!({"enabled": true, "maxTouchPoints": 1}),
    );
}

/// Waits until a script says yes.
#[track_caller]
pub fn until(browser: &Browser, what: &str, script: &str) {
    let start = Instant::now();
    while browser.run(&format!("return Boolean({script})")) != true {
        let page = || browser.run("return document.body.innerText");
        assert!(
            start.elapsed() < Duration::from_secs(60),
            "{what} never came: {}",
            page()
        );
        std::thread::sleep(Duration::from_millis(100));
    }
}

#[track_caller]
pub fn heading(browser: &Browser, words: &str) {
    until(
        browser,
        words,
        &format!("document.querySelector('h1')?.textContent === {words:?}"),
    );
}

#[test]
fn the_usual_entry_takes_three_taps() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let shop = shop();
    let server = Server::start(&shop, &[]);
    let before = rows(&shop).len();
    phone(&browser, 390, false);
    browser.go(&server.address);
    heading(&browser, "Now");
    browser.tap("main a.act[href='/container/V-1']");
    heading(&browser, "V-1");
    browser.tap("main a.act[href^='/entry?what=use']");
    heading(&browser, "Log this?");
    assert_eq!(rows(&shop).len(), before);
    browser.tap("main form.log button");
    until(&browser, "the banner", "document.querySelector('.done')");
    let rows = rows(&shop);
    assert_eq!(rows.len(), before + 1);
    assert!(
        rows.last().unwrap().contains("use,V-1,"),
        "{}",
        rows.last().unwrap()
    );
    let said = browser.log("browser");
    assert!(said.is_empty(), "the console says {said:?}");
}

#[test]
fn three_quick_taps_are_one_entry() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let shop = shop();
    let server = Server::start(&shop, &[]);
    let before = rows(&shop).len();
    browser.go(&format!(
        "{}entry?what=use&container=A-1&amount=1+fl+oz",
        server.address
    ));
    heading(&browser, "Log this?");
    browser.run(
        "const b = document.querySelector('form.log button'); b.click(); b.click(); b.click();",
    );
    until(&browser, "the banner", "document.querySelector('.done')");
    assert_eq!(rows(&shop).len(), before + 1);
}

/// Keeps entries while the server is gone, and sends each once when it is back.
#[test]
fn ten_entries_wait_for_the_server() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let shop = shop();
    let mut server = Server::start(&shop, &[]);
    let port = server.port;
    let before = rows(&shop).len();
    phone(&browser, 390, false);
    browser.go(&format!("{}work", server.address));
    heading(&browser, "Log");
    assert_eq!(server.stop(), Some(0));
    for number in 1..=10 {
        browser.run(&format!(
            "document.querySelectorAll('.problem').forEach(box => box.remove());
             const details = document.querySelector('details'); details.open = true;
             const form = details.querySelector('form');
             form.container.value = 'A-1'; form.amount.value = '0.{number:02} fl oz'; form.minutes.value = '5';
             form.requestSubmit();"
        ));
        until(
            &browser,
            "the offer to keep it",
            "document.querySelector('.problem button')",
        );
        browser.run("document.querySelector('.problem button').click()");
        until(
            &browser,
            "the count",
            &format!("document.getElementById('waiting').textContent.startsWith('{number} entr')"),
        );
    }
    let kept = browser.run("return document.querySelectorAll('#queue li').length");
    assert_eq!(kept, 10, "all are shown");
    assert_eq!(rows(&shop).len(), before);
    let server = Server::start_on(&shop, port, &[]);
    browser.run("window.dispatchEvent(new Event('online'))");
    until(
        &browser,
        "an empty queue",
        "document.getElementById('waiting').textContent === ''",
    );
    let rows = rows(&shop);
    assert_eq!(rows.len(), before + 10);
    for (row, number) in rows.iter().skip(before).zip(1..=10) {
        assert!(
            row.contains("use,A-1,") && row.contains(&format!("0.{number:02} fl oz")),
            "in order: {row}"
        );
    }
    drop(server);
}

/// What the server refuses stays in sight, with the reason, until a person settles it.
#[test]
fn a_refused_entry_stays_visible() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let shop = shop();
    let mut server = Server::start(&shop, &[]);
    let port = server.port;
    let before = rows(&shop).len();
    browser.go(&format!("{}work", server.address));
    heading(&browser, "Log");
    server.stop();
    browser.run(
        "const details = document.querySelector('details'); details.open = true; const form = details.querySelector('form');
         form.container.value = 'A-1'; form.amount.value = '900 gal'; form.requestSubmit();",
    );
    until(
        &browser,
        "the offer to keep it",
        "document.querySelector('.problem button')",
    );
    browser.run("document.querySelector('.problem button').click()");
    until(
        &browser,
        "the count",
        "document.getElementById('waiting').textContent.startsWith('1 entry waits')",
    );
    let server = Server::start_on(&shop, port, &[]);
    browser.go(&format!("{}work", server.address));
    until(
        &browser,
        "the reason",
        "document.querySelector('#queue')?.textContent.includes('This takes 900 gal out of A-1')",
    );
    assert_eq!(rows(&shop).len(), before);
    browser.go(&server.address);
    until(
        &browser,
        "the note on every page",
        "document.getElementById('waiting').textContent.includes('1 entry was refused')",
    );
    browser.go(&format!("{}work", server.address));
    until(
        &browser,
        "the buttons",
        "document.querySelectorAll('#queue button').length === 2",
    );
    browser.run("[...document.querySelectorAll('#queue button')].at(-1).click()");
    until(
        &browser,
        "an empty queue",
        "document.getElementById('queue').hidden",
    );
}

/// Without the script the same forms write the same rows.
#[test]
fn it_works_without_the_script() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let shop = shop();
    let server = Server::start(&shop, &[]);
    let before = rows(&shop).len();
    browser.tell(
        "Emulation.setScriptExecutionDisabled",
        &json!({"value": true}),
    );
    phone(&browser, 390, false);
    browser.go(&format!("{}rags", server.address));
    browser.tap("form.choose label:nth-of-type(2)");
    browser.tap("form.choose button[value='V-1']");
    browser.tap("main form.log button");
    let start = Instant::now();
    while rows(&shop).len() == before && start.elapsed() < Duration::from_secs(60) {
        std::thread::sleep(Duration::from_millis(100));
    }
    let rows = rows(&shop);
    assert_eq!(rows.len(), before + 1);
    assert!(
        rows.last().unwrap().contains("soil,R-1,2 pcs,V-1"),
        "{}",
        rows.last().unwrap()
    );
}

/// A person passes the warning of the browser after comparing the fingerprint.
#[test]
fn the_certificate_warning_can_be_passed() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let shop = shop();
    let server = Server::start(&shop, &["--lan", "--address", "127.0.0.1"]);
    browser.go(&format!("{}pair?c={}", server.address, server.code()));
    until(
        &browser,
        "the warning",
        "document.body.innerText.includes('ERR_CERT')",
    );
    let letters: Vec<String> = "thisisunsafe".chars().map(String::from).collect();
    let letters: Vec<&str> = letters.iter().map(String::as_str).collect();
    browser.press(&letters);
    heading(&browser, "Pair this device");
    browser.run("document.querySelector('[name=name]').value = 'phone'; document.querySelector('[name=person]').value = 'Bo'");
    browser.tap("main form button");
    heading(&browser, "Now");
    assert_eq!(
        browser.run("return document.cookie"),
        "",
        "no script reads the token"
    );
}

const PAGES: [&str; 26] = [
    "office",
    "entries?q=use&sort=container",
    "round/ask?container=A-1",
    "containers?q=al",
    "entries",
    "sheets",
    "print/codes",
    "mix",
    "mix?cut=2&make=1+pt&flake=dewaxed",
    "",
    "wall",
    "work",
    "rags",
    "closing",
    "more",
    "containers",
    "container/A-1",
    "container/R-1",
    "round",
    "stock",
    "due",
    "emergency",
    "plan?room=finishing+room&product=denatured+alcohol&amount=8+fl+oz&minutes=45",
    "print",
    "entry?what=use&container=A-1&amount=900+gal",
    "entry?what=soil&container=R-1&amount=2&into=V-1&place=bench",
];

/// No page scrolls sideways, and every button is large enough for a wet finger.
#[test]
fn pages_fit_a_phone_and_a_finger() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let shop = shop();
    let server = Server::start(&shop, &[]);
    for wide in [320, 360, 390] {
        phone(&browser, wide, false);
        for path in PAGES {
            browser.go(&format!("{}{path}", server.address));
            let seen = browser.run(
                "document.querySelectorAll('details').forEach(d => d.open = true);
                 const e = document.documentElement;
                 const small = [...document.querySelectorAll('button, a.act, nav a, summary, input:not([type=hidden]):not([type=radio]), select')]
                    .filter(b => b.getBoundingClientRect().height < 60).map(b => b.outerHTML.slice(0, 120));
                 const links = [...document.querySelectorAll('a')].filter(a => a.getBoundingClientRect().height < 24 && !a.classList.contains('skip'))
                    .map(a => a.outerHTML.slice(0, 120));
                 return [e.scrollWidth - e.clientWidth, small, links]",
            );
            assert_eq!(seen, json!([0, [], []]), "/{path} at {wide}");
        }
    }
}

fn axe() -> Option<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let path = std::env::var_os("SANDARAC_AXE").map_or_else(
        || root.join("target/axe/node_modules/axe-core/axe.min.js"),
        PathBuf::from,
    );
    let found = std::fs::read_to_string(&path).ok();
    if found.is_none() {
        left_out(&format!("axe-core is not at {}", path.display()));
    }
    found
}

/// axe-core finds nothing on any page, light or dark.
#[test]
fn nothing_stands_in_a_users_way() {
    let (Some(axe), Some(browser)) = (axe(), Browser::start()) else {
        return;
    };
    let shop = shop();
    let server = Server::start(&shop, &[]);
    for dark in [false, true] {
        phone(&browser, 390, dark);
        for path in PAGES {
            browser.go(&format!("{}{path}", server.address));
            browser.run("document.querySelectorAll('details').forEach(d => d.open = true)");
            browser.run(&axe);
            let found: Value = browser.wait_for(
                "const done = arguments[arguments.length - 1];
                 axe.run(document, {resultTypes: ['violations']}).then(r => done(
                    r.violations.map(v => v.id + ': ' + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160)).join(' | '))))",
            );
            assert_eq!(found, json!([]), "/{path}, dark {dark}");
        }
    }
}
