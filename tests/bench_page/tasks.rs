//! Each task from tap to row, in Chromium at the size of a phone, with the taps counted.

use super::driver::Browser;
use super::phone::{heading, phone, until};
use super::server::{Server, rows, shop};
use std::cell::Cell;
use tempfile::TempDir;

/// A finger that counts.
struct Finger<'b> {
    browser: &'b Browser,
    taps: Cell<u32>,
}

impl Finger<'_> {
    fn on(browser: &Browser) -> Finger<'_> {
        Finger {
            browser,
            taps: Cell::new(0),
        }
    }

    #[track_caller]
    fn tap(&self, selector: &str) {
        self.browser.tap(selector);
        self.taps.set(self.taps.get() + 1);
    }

    /// Goes to a page by its address, which is no tap.
    fn go(&self, server: &Server, path: &str) {
        self.browser.go(&format!("{}{path}", server.address));
    }

    /// Types into a field, which is no tap on a button.
    fn fill(&self, selector: &str, text: &str) {
        let script = format!(
            "const f = document.querySelector({selector:?}); f.value = {text:?}; f.dispatchEvent(new Event('change'))"
        );
        self.browser.run(&script);
    }
}

/// Waits for a row more, and gives the last one.
#[track_caller]
fn row_after(shop: &TempDir, before: usize) -> String {
    let start = std::time::Instant::now();
    while rows(shop).len() == before {
        assert!(start.elapsed().as_secs() < 60, "no row came");
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    rows(shop).last().unwrap().clone()
}

fn checks(shop: &TempDir) -> Vec<String> {
    let text = std::fs::read_to_string(shop.path().join("shop/checks.csv")).unwrap_or_default();
    text.lines()
        .filter(|line| !line.starts_with('#'))
        .skip(1)
        .map(str::to_string)
        .collect()
}

#[test]
fn two_soiled_rags_into_the_water_can_in_five_taps() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let shop = shop();
    let server = Server::start(&shop, &[]);
    phone(&browser, 390, false);
    let finger = Finger::on(&browser);
    finger.go(&server, "rags");
    heading(&browser, "Rags");
    let before = rows(&shop).len();
    finger.tap("form.choose label:nth-of-type(2)");
    finger.tap("form.choose button[value='V-1']");
    heading(&browser, "Log this?");
    finger.tap("main form.log button");
    let row = row_after(&shop, before);
    assert!(row.contains("soil,R-1,2 pcs,V-1"), "{row}");
    heading(&browser, "Rags");
    until(
        &browser,
        "the button",
        "document.querySelector('.card a[href*=\"what=soak\"][href*=\"2%20pcs\"], .card a[href*=\"what=soak\"]')",
    );
    finger.tap(".card a[href*='what=soak']");
    heading(&browser, "Log this?");
    finger.tap("main form.log button");
    let row = row_after(&shop, before + 1);
    assert!(row.contains("soak,R-1,"), "{row}");
    assert!(finger.taps.get() <= 5, "{} taps", finger.taps.get());
}

/// Six lines that are open at closing time, each settled from the list.
#[test]
fn closing_time_with_six_open_lines_in_twelve_taps() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let shop = shop();
    for container in ["V-1", "O-1"] {
        let soil = [
            "log", "soil", "R-1", "1", container, "--place", "bench", "--shop", "shop", "--anyway",
        ];
        assert!(run_if(&shop, &soil), "{soil:?}");
    }
    let server = Server::start(&shop, &[]);
    phone(&browser, 390, false);
    let finger = Finger::on(&browser);
    finger.go(&server, "closing");
    heading(&browser, "Closing");
    let open =
        || browser.run("return Number(document.querySelector('p.count strong').textContent)");
    let at_first = open().as_u64().unwrap();
    assert!(at_first >= 6, "{at_first} lines are open");
    for settled in 1..=6 {
        // Flat outdoors settles a rag for good; under water its can has to go out next.
        let choices = [
            (".card a[href*='what=spread']", true),
            (".card.open .answers form button", false),
            (".card .acts a.act", true),
        ];
        let there = |selector: &str| {
            browser.run(&format!(
                "return Boolean(document.querySelector({selector:?}))"
            )) == true
        };
        let (selector, is_shown_first) = choices.into_iter().find(|(it, _)| there(it)).unwrap();
        finger.tap(selector);
        if is_shown_first {
            heading(&browser, "Log this?");
            finger.tap("main form.log button");
        }
        heading(&browser, "Closing");
        let left = at_first - settled;
        until(
            &browser,
            "one line less",
            &format!("Number(document.querySelector('p.count strong')?.textContent) <= {left}"),
        );
    }
    assert!(finger.taps.get() <= 12, "{} taps", finger.taps.get());
}

fn run_if(shop: &TempDir, args: &[&str]) -> bool {
    let status = std::process::Command::new(super::server::PROGRAM)
        .current_dir(shop.path())
        .args(args)
        .output();
    status.is_ok_and(|output| output.status.success())
}

/// A tap an answer, photos along the way, all of it saved by one tap, and taken back by one.
#[test]
fn a_round_is_walked_by_taps() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let shop = shop();
    let mut server = Server::start(&shop, &[]);
    let port = server.port;
    phone(&browser, 390, false);
    let finger = Finger::on(&browser);
    let (before, answered) = (rows(&shop).len(), checks(&shop).len());
    finger.go(&server, "round");
    heading(&browser, "Round");
    finger.tap("main p a.act");
    let here = || {
        browser
            .run("return location.href")
            .as_str()
            .unwrap()
            .to_string()
    };
    let mut counted = 0;
    finger.taps.set(0);
    for answer in 1..=3 {
        until(
            &browser,
            "a question",
            "document.querySelector('.question')",
        );
        let page = here();
        let is_count = browser
            .run("return Boolean(document.querySelector('main form [name=container]'))")
            == true;
        counted += usize::from(is_count);
        finger.tap("main form[action='/round/answer'] button");
        until(
            &browser,
            "the next one",
            &format!("location.href !== {page:?} && document.querySelector('.question')"),
        );
        assert_eq!(finger.taps.get(), answer, "one tap an answer");
    }
    assert_eq!(
        (rows(&shop).len(), checks(&shop).len()),
        (before, answered),
        "nothing is saved yet"
    );
    // An answer with a photo, while the computer does not answer: it waits on the phone, with its photo.
    let question = browser.run(
        "return fetch('/round').then(r => r.text()).then(t => [...new DOMParser().parseFromString(t, 'text/html')
            .querySelectorAll('a[href^=\"/round/ask?check=\"]')].at(-1).getAttribute('href'))",
    );
    finger.go(&server, question.as_str().unwrap().trim_start_matches('/'));
    until(
        &browser,
        "the question",
        "document.querySelector('details.more summary')",
    );
    finger.tap("details.more summary");
    let jpeg: Vec<u8> = include_bytes!("photo.jpg").to_vec();
    browser.run(&format!(
        "const files = new DataTransfer();
         files.items.add(new File([new Uint8Array({jpeg:?})], 'photo.jpg', {{type: 'image/jpeg'}}));
         document.querySelector('[name=photo]').files = files.files;"
    ));
    server.stop();
    finger.tap("details.more .answers button");
    until(
        &browser,
        "the word",
        "document.querySelector('[role=status]')?.textContent.includes('on this device')",
    );
    let mut server = Server::start_on(&shop, port, &[]);
    browser.run("window.dispatchEvent(new Event('online'))");
    until(
        &browser,
        "an empty queue",
        "document.getElementById('waiting').textContent === ''",
    );
    let photos = || std::fs::read_dir(shop.path().join("shop/photos")).map_or(0, Iterator::count);
    assert_eq!(photos(), 1);
    // The round outlives the server.
    server.stop();
    let server = Server::start_on(&shop, port, &[]);
    finger.go(&server, "round");
    until(
        &browser,
        "four answers",
        "document.querySelector('.card.open h2')?.textContent.startsWith('4 answers')",
    );
    finger.tap("form[action='/round/save'] button");
    until(
        &browser,
        "the banner",
        "document.querySelector('.done')?.textContent.includes('The round is saved: 4 answers.')",
    );
    assert_eq!(rows(&shop).len(), before + counted);
    assert_eq!(checks(&shop).len(), answered + 4 - counted);
    // The demo breaks rules, so that the command ends with a code of its own.
    run_if(&shop, &["audit", "shop", "--binder", "binder"]);
    let binder = std::fs::read_to_string(shop.path().join("binder/binder.html")).unwrap();
    assert!(
        binder.contains("src=\"photos/"),
        "the photo is in the binder"
    );
    browser.open(&shop.path().join("binder/binder.html"));
    until(
        &browser,
        "the picture",
        "document.querySelector('img.photo')?.naturalWidth === 64 || document.querySelector('img.photo')?.naturalHeight === 64",
    );
    finger.go(&server, "round");
    finger.tap("form[action='/round/undo'] button");
    until(
        &browser,
        "the round again",
        "document.querySelector('.card.open h2')?.textContent.startsWith('4 answers')",
    );
    assert_eq!(checks(&shop).len(), answered);
}

/// A mixture, a count and a move: each is shown first, and one tap more logs it.
#[test]
fn other_tasks_reach_the_log() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let shop = shop();
    let server = Server::start(&shop, &[]);
    phone(&browser, 360, false);
    let finger = Finger::on(&browser);
    let log = |what: &str| {
        let before = rows(&shop).len();
        heading(&browser, "Log this?");
        finger.tap("main form.log button");
        let row = row_after(&shop, before);
        assert!(row.contains(what), "{what}: {row}");
        until(&browser, "the banner", "document.querySelector('.done')");
    };
    for (summary, fill, what) in [
        (
            "Counted or measured",
            Some(("[name=amount]", "10 fl oz")),
            ",count,A-1,10 fl oz",
        ),
        ("Moved", None, ",move,A-1,"),
        (
            "Discarded in part",
            Some(("[name=amount]", "1 fl oz")),
            ",discard,A-1,1 fl oz",
        ),
    ] {
        finger.go(&server, "container/A-1");
        heading(&browser, "A-1");
        browser.run(&format!(
            "const d = [...document.querySelectorAll('details')].find(d => d.querySelector('summary').textContent === {summary:?});
             d.open = true; d.id = 'this'; const s = d.querySelector('select'); if (s) s.selectedIndex = 1;"
        ));
        if let Some((field, text)) = fill {
            finger.fill(&format!("#this {field}"), text);
        }
        finger.tap("#this button[type=submit]");
        log(what);
    }
    finger.go(&server, "mix");
    heading(&browser, "Mix");
    finger.fill("[name=cut]", "2");
    finger.fill("[name=make]", "4 fl oz");
    browser.run(
        "const f = document.querySelector('[name=flake]'); f.selectedIndex = f.options.length - 1",
    );
    finger.tap("main form button");
    until(
        &browser,
        "the recipe",
        "document.querySelector('#answer')?.textContent.includes('Weigh')",
    );
    finger.go(&server, "plan");
    heading(&browser, "Plan");
    finger.fill("[name=product]", "denatured alcohol");
    finger.fill("[name=amount]", "8 fl oz");
    finger.fill("[name=minutes]", "45");
    finger.tap("main form button");
    until(&browser, "the figures", "document.querySelector('pre')");
}
