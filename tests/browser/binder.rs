//! The inspector's binder in a browser and on paper: tabs begin on new sheets, and sheets are numbered within their tab.

use crate::driver::Browser;
use crate::odd_shops::{self, DAY, NAMES};
use crate::paper::{SHEETS, bare, lowest, pages, printed, texts};
use crate::{asked_for_nothing, axe, examine};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

/// Tabs of a binder, and what is behind them.
const TABS: [&str; 11] = ["1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "C"];

fn run(folder: &Path, args: &[&str]) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    let output = command.current_dir(folder).args(args).output().unwrap();
    assert!(matches!(output.status.code(), Some(0 | 1)), "{output:?}");
}

/// The binder of a shop; its page.
fn bound(folder: &Path, shop: &str, on: &str) -> PathBuf {
    let binder = format!("{shop}-binder");
    run(
        folder,
        &["audit", shop, "--on", on, "--binder", &binder, "--quiet"],
    );
    folder.join(binder).join("binder.html")
}

/// The demo, a month after an earlier audit.
fn demo(folder: &Path) -> PathBuf {
    run(folder, &["demo", "--write", "shop"]);
    run(folder, &["audit", "shop", "--on", "2026-09-30", "--quiet"]);
    bound(folder, "shop", "2026-10-31")
}

#[test]
fn it_opens_from_disk_without_faults() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    let folder = folder.path();
    odd_shops::named(folder, &NAMES);
    odd_shops::quiet(folder);
    let binders = [
        demo(folder),
        bound(folder, "named-shop", DAY),
        bound(folder, "silent-shop", DAY),
    ];
    let axe = axe();
    for file in &binders {
        browser.clear();
        browser.open(file);
        asked_for_nothing(&browser);
        assert_ne!(
            browser.run("return document.title"),
            "run",
            "a name ran as a script"
        );
        let scripts = "return document.scripts.length + document.querySelectorAll('main img, main iframe, main style').length";
        assert_eq!(browser.run(scripts), 0);
        for wide in [320, 390, 768, 1280] {
            browser.show(wide, false);
            browser.open(file);
            let over = browser
                .run("const e = document.documentElement; return e.scrollWidth - e.clientWidth");
            assert_eq!(over, 0, "{} is too wide at {wide}", file.display());
        }
        // Dark or light, it is a paper.
        browser.show(1280, true);
        browser.open(file);
        let colours =
            "const s = getComputedStyle(document.body); return [s.backgroundColor, s.color]";
        assert_eq!(
            browser.run(colours),
            json!(["rgb(255, 255, 255)", "rgb(29, 25, 20)"])
        );
        for (wide, dark) in [(390, false), (1280, true)] {
            let Some(axe) = &axe else { break };
            browser.show(wide, dark);
            browser.open(file);
            examine(&browser, axe, &format!("{} at {wide}", file.display()));
        }
    }
}

/// Every link of the index leads to its tab, by the keyboard too.
#[test]
fn the_index_leads_to_every_tab() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    browser.open(&demo(folder.path()));
    let script = "return [...document.querySelectorAll('.index a')].map(a => {
        a.focus(); a.click();
        const tab = document.querySelector(':target');
        return [a.tabIndex, tab.querySelector('.tab-number').textContent, Math.abs(tab.getBoundingClientRect().top) < 900];
    })";
    let wanted: Vec<Value> = TABS.iter().map(|tab| json!([0, tab, true])).collect();
    assert_eq!(browser.run(script), json!(wanted));
}

/// On paper: the cover alone, then each tab from a new sheet, numbered `3-1`, `3-2`; its title at the head of each of its
/// sheets; no heading alone at the end of one.
#[test]
fn sheets_are_numbered_within_their_tab() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    browser.open(&demo(folder.path()));
    let listed =
        "return [...document.querySelectorAll('h2, h3, h4, caption')].map(h => h.textContent)";
    let headings = browser.run(listed);
    let headings: Vec<String> = headings
        .as_array()
        .unwrap()
        .iter()
        .filter_map(Value::as_str)
        .map(bare)
        .collect();
    let titles = browser
        .run("return [...document.querySelectorAll('section.tab h2')].map(h => h.textContent)");
    let titles: Vec<&str> = titles
        .as_array()
        .unwrap()
        .iter()
        .filter_map(Value::as_str)
        .collect();
    for (name, wide, high) in SHEETS {
        let pdf = printed(&browser, wide, high);
        let Some(texts) = texts(&pdf) else { return };
        assert_eq!(texts.len(), pages(&pdf));
        let mut seen: Vec<(usize, usize)> = Vec::new();
        for (at, text) in texts.iter().enumerate() {
            let lines: Vec<&str> = text
                .lines()
                .map(str::trim)
                .filter(|line| !line.is_empty())
                .collect();
            let foot = lines.last().unwrap();
            let label = foot
                .strip_prefix("A screening aid, not a certificate")
                .unwrap_or_else(|| panic!("{name} {at}: {foot}"));
            let last = bare(lines[lines.len() - 2]);
            assert!(
                !headings.contains(&last),
                "{name} {label} ends with the heading {last:?}"
            );
            if at == 0 {
                assert_eq!(label.trim(), "i", "the cover of {name}");
                assert!(
                    text.contains("Index") && text.contains("from 10-1"),
                    "the index is on the cover of {name}"
                );
                continue;
            }
            // The floor plan goes with the cover.
            if seen.is_empty() && !label.contains('-') {
                assert!(
                    ["ii", "iii"].contains(&label.trim()),
                    "{name} {at}: {label}"
                );
                continue;
            }
            let (tab, sheet) = label.trim().split_once('-').unwrap();
            let tab = TABS.iter().position(|own| *own == tab).unwrap();
            let sheet: usize = sheet.parse().unwrap();
            match seen.last() {
                Some((before, last)) if *before == tab => {
                    assert_eq!(sheet, last + 1, "{name} {label}")
                }
                before => {
                    assert_eq!(
                        tab,
                        before.map_or(0, |(before, _)| before + 1),
                        "{name} {label}"
                    );
                    assert_eq!(sheet, 1, "{name} {label}");
                    let first = bare(lines[1]);
                    assert_eq!(
                        first,
                        bare(titles[tab]),
                        "{name} {label} begins with its title"
                    );
                }
            }
            assert!(
                bare(lines[0]).starts_with(&bare(titles[tab])),
                "{name} {label} says whose sheet it is: {}",
                lines[0]
            );
            seen.push((tab, sheet));
        }
        let tabs: Vec<usize> = seen
            .iter()
            .filter(|(_, sheet)| *sheet == 1)
            .map(|(tab, _)| *tab)
            .collect();
        assert_eq!(tabs, (0..TABS.len()).collect::<Vec<_>>());
        assert!(
            (25..=75).contains(&texts.len()),
            "{} sheets of {name}",
            texts.len()
        );
    }
}

/// The page that a reference to a finding names is the page it is printed on.
#[test]
fn references_name_the_page() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    odd_shops::named(folder.path(), &NAMES);
    odd_shops::large(folder.path(), 60);
    let binders = [
        demo(folder.path()),
        bound(folder.path(), "named-shop", DAY),
        bound(folder.path(), "large-shop", DAY),
    ];
    for file in &binders {
        browser.open(file);
        let named = browser.run(
            "return [...document.querySelectorAll('.no:has(a[href^=\"#f\"])')].map(td =>
                td.textContent.match(/No\\. (\\d+), page (\\S+)/).slice(1, 3))",
        );
        let named: Vec<[String; 2]> = serde_json::from_value(named).unwrap();
        assert!(named.len() > 15, "{}", named.len());
        for (name, wide, high) in SHEETS {
            let pdf = printed(&browser, wide, high);
            let Some(texts) = texts(&pdf) else { return };
            for [number, page] in &named {
                let there = texts.iter().filter(|text| {
                    let foot = text.lines().rfind(|line| !line.trim().is_empty());
                    foot.is_some_and(|foot| foot.split_whitespace().next_back() == Some(page))
                });
                let found = there
                    .flat_map(|text| text.split("No. ").skip(1))
                    .any(|rest| rest.split_whitespace().next() == Some(number));
                assert!(
                    found,
                    "No. {number} is not on page {page} of {name}, {}",
                    file.display()
                );
            }
        }
    }
}

/// The least of a page that is written on.
const LEAST: f64 = 0.25;

/// No page of the demo's binder, of a new shop's, or of one with hardly a record is three quarters empty.
#[test]
fn no_page_is_nearly_empty() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    run(folder.path(), &["new", "starter"]);
    odd_shops::late(folder.path());
    for file in [
        demo(folder.path()),
        bound(folder.path(), "starter", DAY),
        bound(folder.path(), "late-shop", DAY),
    ] {
        browser.open(&file);
        for (name, wide, high) in SHEETS {
            let pdf = printed(&browser, wide, high);
            let Some(lowest) = lowest(&pdf) else { return };
            for (at, lowest) in lowest.iter().enumerate() {
                assert!(
                    *lowest > LEAST,
                    "page {} of {name} of {} ends at {lowest}",
                    at + 1,
                    file.display()
                );
            }
        }
    }
}

/// No row is cut by the end of a sheet, heads of tables come again, and what only a screen needs is left out.
#[test]
fn nothing_is_cut_by_the_end_of_a_sheet() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    browser.tell("Emulation.setEmulatedMedia", &json!({"media": "print"}));
    browser.open(&demo(folder.path()));
    let script = "
        const off = (list, key, word) => [...document.querySelectorAll(list)]
            .filter(e => getComputedStyle(e)[key] !== word).map(e => e.outerHTML.slice(0, 80));
        return [off('tr', 'breakInside', 'avoid'), off('h2, h3, h4', 'breakAfter', 'avoid'),
            off('section.tab', 'breakBefore', 'page'), off('thead', 'display', 'table-header-group'),
            off('.skip, .back', 'display', 'none'),
            [...document.querySelectorAll('table')].filter(t => !t.tHead || [...t.tHead.querySelectorAll('th')].some(h => h.scope !== 'col')).length]";
    assert_eq!(browser.run(script), json!([[], [], [], [], [], 0]));
}
