//! The page in a browser: Debian's Chromium, headless, by its driver. Where there is no browser, no axe-core or no pdftotext,
//! what needs them is left out and says so; with SANDARAC_BROWSER=must, as `.ci/run` sets it, that is a fault.
//!
//! axe-core (a general-purpose checker of accessibility) is looked for in `target/axe/node_modules`, where `.ci/run` puts it,
//! or at the path in SANDARAC_AXE.
#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "browser/binder.rs"]
mod binder;
#[path = "browser/driver.rs"]
mod driver;
#[path = "browser/labels.rs"]
mod labels;
#[path = "golden/shops.rs"]
mod odd_shops;
#[path = "browser/paper.rs"]
mod paper;

use driver::{Browser, ENTER, TAB, left_out};
use odd_shops::{DAY, NAMES};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The demo's page and JSON, as they stand in the project; `tests/golden.rs` keeps them current.
fn demo(ending: &str) -> PathBuf {
    root().join(format!("reports/2026-10-31-audit.{ending}"))
}

fn json_of(path: &Path) -> Value {
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// Audits a shop; the path of its page.
fn page(folder: &Path, shop: &str) -> PathBuf {
    let output = Command::new(env!("CARGO_BIN_EXE_sandarac"))
        .current_dir(folder)
        .args(["audit", shop, "--on", DAY])
        .output()
        .unwrap();
    assert!(matches!(output.status.code(), Some(0 | 1)));
    folder.join(shop).join(format!("reports/{DAY}-audit.html"))
}

#[test]
fn it_opens_from_disk_and_asks_for_nothing() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    odd_shops::named(folder.path(), &NAMES);
    for file in [demo("html"), page(folder.path(), "named-shop")] {
        // Away from the browser's own first page, and what that asked for is heard out.
        browser.clear();
        browser.open(&file);
        asked_for_nothing(&browser);
        let title = browser.run("return document.title");
        assert_ne!(title, "run", "a name ran as a script");
        assert_eq!(browser.run("return document.scripts.length"), 0);
    }
}

/// A page that was just opened has said nothing, and asked for nothing but itself.
#[track_caller]
fn asked_for_nothing(browser: &Browser) {
    let said = browser.log("browser");
    assert!(said.is_empty(), "the console says {said:?}");
    let mut asked = Vec::new();
    for line in browser.log("performance") {
        let event: Value = serde_json::from_str(line["message"].as_str().unwrap()).unwrap();
        if event["message"]["method"] == "Network.requestWillBeSent" {
            let url = &event["message"]["params"]["request"]["url"];
            asked.push(url.as_str().unwrap().to_string());
        }
    }
    assert!(
        asked.len() == 1 && asked[0].starts_with("file://"),
        "it asked for {asked:?}"
    );
}

/// Names show as they were written, letter for letter.
#[test]
fn names_are_text() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    odd_shops::named(folder.path(), &NAMES);
    browser.open(&page(folder.path(), "named-shop"));
    let cells = "return [...document.querySelectorAll('tr[data-container] > th')].map(th => th.textContent)";
    let shown = browser.run(cells);
    let mut shown: Vec<&str> = shown
        .as_array()
        .unwrap()
        .iter()
        .filter_map(Value::as_str)
        .collect();
    let mut wanted: Vec<String> = NAMES.map(|name| name.replace('\n', " ")).to_vec();
    shown.sort_unstable();
    wanted.sort_unstable();
    assert_eq!(shown, wanted);
    let foreign =
        "return document.querySelectorAll('main script, main img, main iframe, main style').length";
    assert_eq!(browser.run(foreign), 0);
}

/// By the keyboard alone: past the head, and into the working of a finding.
#[test]
fn findings_unfold() {
    let Some(browser) = Browser::start() else {
        return;
    };
    browser.open(&demo("html"));
    browser.press(&[TAB]);
    let focused = "return document.activeElement.textContent";
    assert_eq!(browser.run(focused), "Skip to what to do first");
    browser.press(&[ENTER]);
    assert_eq!(browser.run("return location.hash"), "#first");
    let closed = "return document.querySelectorAll('details[open]').length";
    assert_eq!(browser.run(closed), 0, "nothing is unfolded at first");
    browser.run("document.querySelector('.finding details summary').focus()");
    browser.press(&[ENTER]);
    let open = "const d = document.querySelector('.finding details');
        return [d.open, d.querySelector('.rows').getBoundingClientRect().height > 5]";
    assert_eq!(browser.run(open), serde_json::json!([true, true]));
    // Every link, summary and table that scrolls can be reached, and shows that it is.
    let outlined = "return [...document.querySelectorAll('a, summary, [tabindex]')].every(e => e.tabIndex >= 0)";
    assert_eq!(browser.run(outlined), true);
}

/// Each picture says in words what it shows, or is an ornament beside words.
#[test]
fn every_picture_has_its_words() {
    let Some(browser) = Browser::start() else {
        return;
    };
    browser.open(&demo("html"));
    let script = "
        const words = svg => svg.getAttribute('aria-label') ||
            (svg.getAttribute('aria-labelledby') || '').split(' ').filter(Boolean)
                .map(id => document.getElementById(id).textContent).join(' ');
        const all = [...document.querySelectorAll('svg')];
        const dumb = all.filter(svg => svg.getAttribute('aria-hidden') !== 'true'
            && !(svg.getAttribute('role') === 'img' && words(svg).trim().length > 10));
        const shown = all.filter(svg => svg.getAttribute('role') === 'img');
        const kinds = ['bar', 'plan', 'course', 'time'].map(k => shown.filter(s => s.classList.contains(k)).length);
        return [dumb.map(svg => svg.outerHTML.slice(0, 200)), ...kinds, document.querySelectorAll('.small svg').length]";
    let told = browser.run(script);
    assert_eq!(told[0], serde_json::json!([]), "without words");
    for (at, least) in [(1, 20), (2, 2), (3, 1), (4, 10), (5, 10)] {
        assert!(told[at].as_u64().unwrap() >= least, "{told}");
    }
}

/// What stands in the page is what stands in the JSON.
#[test]
fn the_page_says_what_the_json_says() {
    let Some(browser) = Browser::start() else {
        return;
    };
    browser.open(&demo("html"));
    let json = json_of(&demo("json"));
    let text = |value: &Value| value.as_str().unwrap_or("").replace('`', "");
    let counts = browser.run(
        "return Object.fromEntries([...document.querySelectorAll('[data-count]')].map(e => [e.dataset.count, +e.textContent]))",
    );
    for word in [
        "breach",
        "cannot-judge",
        "near",
        "not-in-force",
        "about_nothing",
    ] {
        assert_eq!(counts[word], json["counts"][word], "{word}");
    }
    // What is met is told without the rules that are about nothing here.
    let number = |counts: &Value, word: &str| counts[word].as_u64().unwrap();
    assert_eq!(
        number(&counts, "meets") + number(&counts, "about_nothing"),
        number(&json["counts"], "meets")
    );
    let shown = browser.run(
        "const t = (e, c) => e.querySelector(c)?.textContent ?? '';
         return [...document.querySelectorAll('[data-finding]')].map(e => ({at: +e.dataset.finding,
            verdict: t(e, '.verdict').trim(), subject: t(e, '.subject'), observed: t(e, '.observed'), limit: t(e, '.limit'),
            margin: t(e, '.margin'), action: t(e, '.action'), rows: t(e, '.rows')}))",
    );
    let findings = json["findings"].as_array().unwrap();
    let mut seen = 0;
    for row in shown.as_array().unwrap() {
        let at = usize::try_from(row["at"].as_u64().unwrap()).unwrap();
        let finding = &findings[at];
        let verdict = text(&finding["verdict"]).replace('-', " ");
        assert_eq!(text(&row["verdict"]), verdict, "{row}");
        assert_eq!(
            text(&row["subject"]),
            text(&finding["subject"]["id"]),
            "{row}"
        );
        assert_eq!(
            text(&row["observed"]),
            text(&finding["observed_text"]),
            "{row}"
        );
        assert_eq!(text(&row["limit"]), text(&finding["limit_text"]), "{row}");
        assert_eq!(text(&row["margin"]), text(&finding["margin_text"]), "{row}");
        assert_eq!(
            text(&row["action"]),
            format!("Do {}", text(&finding["action"])),
            "{row}"
        );
        for place in finding["evidence"].as_array().unwrap() {
            assert!(
                text(&row["rows"]).contains(&text(place)),
                "{row} lacks {place}"
            );
        }
        seen += 1;
    }
    let open = findings
        .iter()
        .filter(|f| !matches!(f["verdict"].as_str(), Some("meets" | "not-in-force")));
    assert_eq!(seen, open.count());
    let rows = browser.run(
        "return [...document.querySelectorAll('tr[data-container]')].map(e =>
            [e.dataset.container, e.children[1].textContent, e.querySelector('.age').textContent])",
    );
    let stock = json["stock"].as_array().unwrap();
    assert_eq!(rows.as_array().unwrap().len(), stock.len());
    for (row, there) in rows.as_array().unwrap().iter().zip(stock) {
        let age = there["age_days"]
            .as_i64()
            .map_or("not known".into(), |days| days.to_string());
        assert_eq!(
            [text(&row[0]), text(&row[1]), text(&row[2])],
            [text(&there["container"]), text(&there["product"]), age]
        );
    }
}

/// At no width does the page itself scroll sideways: what is wide scrolls by itself.
#[test]
fn it_fits_a_telephone() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    odd_shops::long_names(folder.path());
    let long = page(folder.path(), "named-shop");
    for file in [demo("html"), long] {
        for wide in [320, 390, 768, 1280] {
            browser.show(wide, false);
            browser.open(&file);
            let over = browser.run(
                "document.querySelectorAll('details').forEach(d => d.open = true);
                 const e = document.documentElement; return e.scrollWidth - e.clientWidth",
            );
            assert_eq!(over, 0, "{} is too wide at {wide}", file.display());
        }
    }
}

/// Light and dark are two papers, and both are chosen by the reader's own setting.
#[test]
fn it_is_dark_in_the_dark() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let colours = "const s = getComputedStyle(document.body); return [s.backgroundColor, s.color]";
    let seen: Vec<Value> = [false, true]
        .into_iter()
        .map(|dark| {
            browser.show(1280, dark);
            browser.open(&demo("html"));
            browser.run(colours)
        })
        .collect();
    assert_ne!(seen[0], seen[1]);
}

fn axe() -> Option<String> {
    let path = std::env::var_os("SANDARAC_AXE").map_or_else(
        || root().join("target/axe/node_modules/axe-core/axe.min.js"),
        PathBuf::from,
    );
    let found = std::fs::read_to_string(&path).ok();
    if found.is_none() {
        left_out(&format!("axe-core is not at {}", path.display()));
    }
    found
}

/// axe-core finds nothing serious: in light and in dark, wide and narrow, with everything unfolded, whatever the shop.
#[test]
fn nothing_stands_in_a_readers_way() {
    let (Some(axe), Some(browser)) = (axe(), Browser::start()) else {
        return;
    };
    let folder = TempDir::new().unwrap();
    odd_shops::named(folder.path(), &NAMES);
    odd_shops::quiet(folder.path());
    let pages = [
        demo("html"),
        page(folder.path(), "named-shop"),
        page(folder.path(), "silent-shop"),
    ];
    for (at, file) in pages.iter().enumerate() {
        let sights = [(390, false), (1280, true), (1280, false)];
        // The demo shows every part; of the others one look is enough.
        for (wide, dark) in sights.into_iter().take(if at == 0 { 3 } else { 1 }) {
            browser.show(wide, dark);
            browser.open(file);
            browser.run("document.querySelectorAll('details').forEach(d => d.open = true)");
            examine(
                &browser,
                &axe,
                &format!("{} at {wide}, dark {dark}", file.display()),
            );
        }
    }
}

/// axe-core finds nothing at all in the page that is open.
#[track_caller]
fn examine(browser: &Browser, axe: &str, what: &str) {
    browser.run(axe);
    let found = browser.wait_for(
        "const done = arguments[arguments.length - 1];
         axe.run(document, {resultTypes: ['violations']}).then(r => done({
            rules: r.passes.length,
            bad: r.violations.filter(v => ['serious', 'critical'].includes(v.impact))
                .map(v => v.id + ': ' + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160)).join(' | ')),
            mild: r.violations.map(v => v.id)}))",
    );
    assert!(found["rules"].as_u64().unwrap() > 15, "{found}");
    assert_eq!(found["bad"], serde_json::json!([]), "{what}");
    assert_eq!(found["mild"], serde_json::json!([]), "{what}");
}
