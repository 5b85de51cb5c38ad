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
#[path = "browser/round.rs"]
mod round;

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

/// The page of a new shop.
fn starter(folder: &Path) -> PathBuf {
    let new = Command::new(env!("CARGO_BIN_EXE_sandarac"))
        .current_dir(folder)
        .args(["new", "starter"])
        .output()
        .unwrap();
    assert!(new.status.success());
    page(folder, "starter")
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

/// By the keyboard alone: past the head, from a line to its finding, and into the working.
#[test]
fn findings_unfold() {
    let Some(browser) = Browser::start() else {
        return;
    };
    browser.open(&demo("html"));
    browser.press(&[TAB]);
    let focused = "return document.activeElement.textContent";
    assert_eq!(browser.run(focused), "Skip to what to do");
    browser.press(&[ENTER]);
    assert_eq!(browser.run("return location.hash"), "#list");
    let closed = "return document.querySelectorAll('details[open]').length";
    assert_eq!(browser.run(closed), 0, "nothing is unfolded at first");
    browser.run("document.querySelector('.todo .note a').focus()");
    browser.press(&[ENTER]);
    let shown = "return document.querySelector('.finding:target').checkVisibility()";
    assert_eq!(browser.run(shown), true, "a link unfolds what it leads to");
    browser.run("document.querySelector('.finding:target details summary').focus()");
    browser.press(&[ENTER]);
    let open = "const d = document.querySelector('.finding:target details');
        return [d.open, d.querySelector('.rows').getBoundingClientRect().height > 5]";
    assert_eq!(browser.run(open), serde_json::json!([true, true]));
    // Every link, summary and button can be reached, and shows that it is.
    let reached =
        "return [...document.querySelectorAll('a, summary, input')].every(e => e.tabIndex >= 0)";
    assert_eq!(browser.run(reached), true);
}

/// The filters hide lines and findings without a script, and "all" brings them back.
#[test]
fn filters_work_without_a_script() {
    let Some(browser) = Browser::start() else {
        return;
    };
    browser.open(&demo("html"));
    let seen = "document.querySelectorAll('details').forEach(d => d.open = true);
        return [...document.querySelectorAll('.item')].filter(e => e.checkVisibility()).length";
    let all = browser.run(seen).as_u64().unwrap();
    for (button, class) in [
        ("show-s-unknown", "s-unknown"),
        ("show-p0", "p0"),
        ("show-r0", "r0"),
    ] {
        browser.run(&format!("document.getElementById('{button}').click()"));
        let left = browser.run(seen).as_u64().unwrap();
        assert!(left > 0 && left < all, "{button}: {left} of {all}");
        let others = format!(
            "return [...document.querySelectorAll('.item:not(.{class})')].filter(e => e.checkVisibility()).length"
        );
        assert_eq!(browser.run(&others), 0, "{button}");
        browser.run(&format!(
            "document.getElementById('{button}').closest('fieldset').querySelector('input').click()"
        ));
        assert_eq!(browser.run(seen), all);
    }
}

/// The headline and the first thing to do are on the first screen, whatever the shop and the width.
#[test]
fn the_first_screen_says_what_to_do() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    odd_shops::large(folder.path(), 320);
    let pages = [
        demo("html"),
        page(folder.path(), "large-shop"),
        starter(folder.path()),
    ];
    for file in pages {
        for wide in [1440, 1024, 390] {
            browser.show(wide, false);
            browser.open(&file);
            let ends = browser.run(
                "return ['.headline', '.todo .action'].map(s => document.querySelector(s).getBoundingClientRect().bottom / innerHeight)",
            );
            for end in ends.as_array().unwrap() {
                assert!(
                    end.as_f64().unwrap() < 0.85,
                    "{ends} of {} at {wide}",
                    file.display()
                );
            }
        }
    }
}

/// With everything unfolded, 320 jars are at most fifteen screens of table.
#[test]
fn many_jars_stay_short() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    odd_shops::large(folder.path(), 320);
    let file = page(folder.path(), "large-shop");
    for wide in [1440, 390] {
        browser.show(wide, false);
        browser.open(&file);
        let screens = browser.run(
            "document.getElementById('stock').open = true;
             return document.querySelector('.stock').getBoundingClientRect().height / innerHeight",
        );
        assert!(screens.as_f64().unwrap() <= 15.0, "{screens} at {wide}");
    }
}

/// No text lies on another in the floor plans and charts, none is smaller than a phone shows legibly, and each thing of a
/// plan has its name.
#[test]
fn no_words_overlap_in_pictures() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    odd_shops::large(folder.path(), 40);
    odd_shops::late(folder.path());
    let pages = [
        demo("html"),
        starter(folder.path()),
        page(folder.path(), "late-shop"),
        page(folder.path(), "large-shop"),
    ];
    let sights = pages
        .iter()
        .enumerate()
        .flat_map(|(at, file)| [1440, 390].map(|wide| (at, file, wide)));
    for (at, file, wide) in sights {
        browser.show(wide, false);
        browser.open(file);
        let overlaps = browser.run(
            "document.querySelectorAll('details').forEach(d => d.open = true);
             const found = [];
             for (const svg of document.querySelectorAll('svg.plan, svg.plot')) {
                const all = [...svg.querySelectorAll('text')].map(t => [t.textContent, t.getBoundingClientRect()]);
                all.forEach(([a, p], at) => all.slice(at + 1).forEach(([b, q]) => {
                    const x = Math.min(p.right, q.right) - Math.max(p.left, q.left);
                    const y = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
                    // Lines of one name touch; a letter's box has air above and below it.
                    if (x > 1 && y > 4) found.push(a + ' / ' + b);
                }));
             }
             const shown = [...document.querySelectorAll('svg.plan text, svg.plot text')].filter(t => t.checkVisibility());
             const size = t => parseFloat(getComputedStyle(t).fontSize) * t.getScreenCTM().a;
             const captions = [...document.querySelectorAll('.floor figcaption')].filter(c => c.checkVisibility());
             const unnamed = captions.map(c => c.textContent).filter(t => t.includes('No room for the names'));
             const least = kind => Math.min(...shown.filter(t => t.closest(kind)).map(size));
             return [shown.length, found, [least('.plan'), least('.plot')], unnamed]",
        );
        assert!(overlaps[0].as_u64().unwrap() > 10, "{overlaps}");
        // Where things are crowded on purpose, a phone may list a name below its plan.
        let left_out = overlaps[3].as_array().unwrap().len();
        let most = usize::from(at > 1 && wide == 390);
        assert!(
            left_out <= most,
            "{overlaps} of {} at {wide}",
            file.display()
        );
        assert_eq!(
            overlaps[1],
            serde_json::json!([]),
            "{} at {wide}",
            file.display()
        );
        // A page without a session has no chart.
        for (least, wanted) in [(&overlaps[2][0], 10.0), (&overlaps[2][1], 11.0)] {
            assert!(
                least.as_f64().is_none_or(|least| least >= wanted),
                "letters of {least} px in {} at {wide}",
                file.display()
            );
        }
    }
}

/// Pictures of the demo, a new shop and a large one at each width, light and dark, and on both papers, into `target/shown`,
/// for a person to look at.
#[test]
fn pictures_to_look_at() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    odd_shops::large(folder.path(), 320);
    let shown = root().join("target/shown");
    std::fs::create_dir_all(&shown).unwrap();
    let save = |name: &str, bytes: &[u8]| std::fs::write(shown.join(name), bytes).unwrap();
    let pages = [
        ("demo", demo("html")),
        ("starter", starter(folder.path())),
        ("large", page(folder.path(), "large-shop")),
    ];
    for (name, file) in pages {
        for (wide, dark) in [(1440, false), (1024, false), (390, false), (1440, true)] {
            browser.show(wide, dark);
            browser.open(&file);
            let picture = browser.tell(
                "Page.captureScreenshot",
                &serde_json::json!({"format": "png", "captureBeyondViewport": true}),
            );
            let picture = paper::bytes(picture["data"].as_str().unwrap());
            assert!(picture.len() > 10_000, "{name} at {wide} is empty");
            let dark = if dark { "-dark" } else { "" };
            save(&format!("{name}-{wide}{dark}.png"), &picture);
        }
        for (paper, wide, high) in paper::SHEETS {
            let pdf = paper::printed(&browser, wide, high);
            assert_eq!(paper::pages(&pdf), 1, "{name} on {paper}");
            save(&format!("{name}-{paper}.pdf"), &pdf);
        }
    }
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
        const kinds = ['bar', 'plan', 'plot', 'time'].map(k => shown.filter(s => s.classList.contains(k)).length);
        return [dumb.map(svg => svg.outerHTML.slice(0, 200)), ...kinds, document.querySelectorAll('svg.spark').length]";
    let told = browser.run(script);
    assert_eq!(told[0], serde_json::json!([]), "without words");
    for (at, least) in [(1, 8), (2, 2), (3, 1), (4, 10), (5, 10)] {
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
    // What is met is reported without the rules that are about nothing here.
    let number = |counts: &Value, word: &str| counts[word].as_u64().unwrap();
    assert_eq!(
        number(&counts, "meets") + number(&counts, "about_nothing"),
        number(&json["counts"], "meets")
    );
    let shown = browser.run(
        "return [...document.querySelectorAll('[data-finding]')].map(e => ({at: +e.dataset.finding,
            verdict: e.querySelector('.verdict')?.className ?? '', fact: e.querySelector('.fact').textContent,
            // A missing fact is its own task, and is said once.
            action: (e.querySelector('.action') ?? e.querySelector('.fact')).textContent, rows: e.querySelector('.rows')?.textContent ?? ''}))",
    );
    let findings = json["findings"].as_array().unwrap();
    let mut seen = 0;
    for row in shown.as_array().unwrap() {
        let at = usize::try_from(row["at"].as_u64().unwrap()).unwrap();
        let finding = &findings[at];
        assert_eq!(
            text(&row["verdict"]),
            format!("verdict {}", text(&finding["verdict"])),
            "{row}"
        );
        assert!(
            text(&row["fact"]).len() > 10 && text(&row["action"]).len() > 10,
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
            [e.dataset.container, e.children[1].textContent])",
    );
    let pairs = |rows: &[Value], pair: &dyn Fn(&Value) -> [String; 2]| {
        let mut pairs: Vec<[String; 2]> = rows.iter().map(pair).collect();
        pairs.sort();
        pairs
    };
    let stock = json["stock"].as_array().unwrap();
    assert_eq!(
        pairs(rows.as_array().unwrap(), &|row| [
            text(&row[0]),
            text(&row[1])
        ]),
        pairs(stock, &|row| [
            text(&row["container"]),
            text(&row["product"])
        ])
    );
}

/// At no width is anything wider than the screen.
#[test]
fn it_fits_a_telephone() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    odd_shops::long_names(folder.path());
    let long = page(folder.path(), "named-shop");
    odd_shops::large(folder.path(), 320);
    let large = page(folder.path(), "large-shop");
    for file in [demo("html"), long, large, starter(folder.path())] {
        for wide in [320, 390, 700, 840, 1024, 1440] {
            browser.show(wide, false);
            browser.open(&file);
            let over = browser.run(
                "document.querySelectorAll('details').forEach(d => d.open = true);
                 const e = document.documentElement;
                 const out = [...document.querySelectorAll('main *')].filter(x => x.checkVisibility() && !x.closest('.unseen, .limits thead')
                    && x.getBoundingClientRect().right > innerWidth + 1).map(x => x.outerHTML.slice(0, 120));
                 return [e.scrollWidth - e.clientWidth, out.slice(0, 3)]",
            );
            assert_eq!(
                over,
                serde_json::json!([0, []]),
                "{} is too wide at {wide}",
                file.display()
            );
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
    odd_shops::large(folder.path(), 320);
    let pages = [
        demo("html"),
        starter(folder.path()),
        page(folder.path(), "large-shop"),
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
