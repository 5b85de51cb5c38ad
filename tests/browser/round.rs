//! The round on paper and on a phone, and the page of several shops.

use crate::driver::Browser;
use crate::paper::pages;
use crate::{axe, examine};
use serde_json::json;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

fn run(folder: &Path, args: &[&str]) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    let output = command.current_dir(folder).args(args).output().unwrap();
    assert!(matches!(output.status.code(), Some(0 | 1)), "{output:?}");
}

/// The demo's round is two pages at most, and one readable column on a phone.
#[test]
fn the_round_fits_two_pages_and_a_phone() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    run(folder.path(), &["demo", "--write", "shop"]);
    for paper in ["a4", "letter"] {
        let name = format!("{paper}.html");
        let args = [
            "round",
            "shop",
            "--on",
            "2026-10-31",
            "--paper",
            paper,
            "--out",
            &name,
        ];
        run(folder.path(), &args);
        browser.open(&folder.path().join(&name));
        let wanted = json!({"printBackground": true, "preferCSSPageSize": true});
        let made = browser.tell("Page.printToPDF", &wanted);
        let pdf = crate::paper::bytes(made["data"].as_str().unwrap());
        assert!(pages(&pdf) <= 2, "{} pages of {paper}", pages(&pdf));
    }
    browser.show(390, false);
    browser.open(&folder.path().join("a4.html"));
    let seen = browser.run(
        "const e = document.documentElement, rows = [...document.querySelectorAll('.row')];
         const lefts = new Set(rows.map(r => Math.round(r.getBoundingClientRect().left)));
         return [e.scrollWidth - e.clientWidth, lefts.size, Math.min(...rows.map(r => r.querySelector('p').clientWidth)),
            [...document.querySelectorAll('body *')].filter(x => x.getBoundingClientRect().right > innerWidth + 1).length]",
    );
    assert_eq!(
        [&seen[0], &seen[1], &seen[3]],
        [&json!(0), &json!(1), &json!(0)],
        "{seen}"
    );
    assert!(
        seen[2].as_u64().unwrap() > 280,
        "a question is {} px wide",
        seen[2]
    );
}

/// The page of several shops fits each width, breaks no word of a head, and stands in nobody's way.
#[test]
fn several_shops_on_one_page() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    run(folder.path(), &["demo", "--write", "shop"]);
    run(folder.path(), &["new", "starter"]);
    let args = [
        "audit",
        "shop",
        "starter",
        "--on",
        "2026-10-31",
        "--page",
        "shops.html",
        "--quiet",
    ];
    run(folder.path(), &args);
    let file = folder.path().join("shops.html");
    for wide in [320, 390, 700, 1024, 1440] {
        browser.show(wide, false);
        browser.open(&file);
        let seen = browser.run(
            "const e = document.documentElement;
             const broken = [...document.querySelectorAll('thead th')].filter(th => {
                const range = document.createRange(), text = th.firstChild;
                return th.checkVisibility() && th.textContent.split(' ').some((word, at, all) => {
                    const from = all.slice(0, at).join(' ').length + (at > 0 ? 1 : 0);
                    range.setStart(text, from); range.setEnd(text, from + word.length);
                    return range.getClientRects().length > 1;
                });
             });
             return [e.scrollWidth - e.clientWidth, broken.map(th => th.textContent)]",
        );
        assert_eq!(seen, json!([0, []]), "at {wide}");
    }
    if let Some(axe) = axe() {
        examine(&browser, &axe, "the page of several shops");
    }
}
