//! The page on paper: A4 and Letter.

use crate::demo;
use crate::driver::{Browser, left_out};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::io::Write;
use std::process::{Command, Stdio};

/// Sheets: their name, width and height in inches.
pub const SHEETS: [(&str, f64, f64); 2] = [("A4", 8.27, 11.69), ("Letter", 8.5, 11.0)];
/// How many sheets the whole page of the demo may take.
const MOST: usize = 12;

/// The bytes of a text in base 64.
pub fn bytes(text: &str) -> Vec<u8> {
    let value = |c: u8| match c {
        b'A'..=b'Z' => c - b'A',
        b'a'..=b'z' => c - b'a' + 26,
        b'0'..=b'9' => c - b'0' + 52,
        b'+' => 62,
        _ => 63,
    };
    let digits: Vec<u8> = text.bytes().filter(|c| *c != b'=').map(value).collect();
    let mut out = Vec::with_capacity(digits.len() * 3 / 4);
    for four in digits.chunks(4) {
        let all = four.iter().enumerate().fold(0_u32, |sum, (at, digit)| {
            sum | u32::from(*digit) << (18 - 6 * at)
        });
        out.extend(&all.to_be_bytes()[1..four.len()]);
    }
    out
}

pub fn printed(browser: &Browser, wide: f64, high: f64) -> Vec<u8> {
    let wanted = json!({"paperWidth": wide, "paperHeight": high, "printBackground": true, "preferCSSPageSize": false});
    let made = browser.tell("Page.printToPDF", &wanted);
    bytes(made["data"].as_str().unwrap())
}

/// Pages of a PDF, by its own page objects.
pub fn pages(pdf: &[u8]) -> usize {
    let text = String::from_utf8_lossy(pdf);
    text.match_indices("/Type /Page")
        .filter(|(at, word)| !text[at + word.len()..].starts_with('s'))
        .count()
}

/// The text of each page; `None`, and said so, without pdftotext.
pub fn texts(pdf: &[u8]) -> Option<Vec<String>> {
    let child = Command::new("pdftotext")
        .args(["-layout", "-", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn();
    let Ok(mut child) = child else {
        left_out("pdftotext is not installed");
        return None;
    };
    let mut stdin = child.stdin.take().unwrap();
    let pdf = pdf.to_vec();
    let writer = std::thread::spawn(move || stdin.write_all(&pdf));
    let output = child.wait_with_output().unwrap();
    writer.join().unwrap().unwrap();
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    Some(
        text.trim_end_matches('\u{c}')
            .split('\u{c}')
            .map(str::to_string)
            .collect(),
    )
}

/// How far down the page the last word above the foot of each page is, as a share of the room between head and foot; `None`,
/// and said so, without pdftotext.
#[allow(clippy::float_arithmetic, reason = "places on paper")]
pub fn lowest(pdf: &[u8]) -> Option<Vec<f64>> {
    const RIM: f64 = 45.0;
    let folder = tempfile::TempDir::new().unwrap();
    let path = folder.path().join("printed.pdf");
    std::fs::write(&path, pdf).unwrap();
    let Ok(output) = Command::new("pdftotext")
        .arg("-bbox")
        .arg(&path)
        .arg("-")
        .output()
    else {
        left_out("pdftotext is not installed");
        return None;
    };
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let value = |tag: &str, name: &str| -> f64 {
        let (_, rest) = tag.split_once(&format!("{name}=\"")).unwrap();
        rest.split('"').next().unwrap().parse().unwrap()
    };
    let pages = text.split("<page ").skip(1).map(|page| {
        let high = value(page, "height");
        let words = page.split("<word ").skip(1).map(|word| value(word, "yMax"));
        let last = words.filter(|end| *end < high - RIM).fold(0.0, f64::max);
        (last - RIM) / (high - 2.0 * RIM)
    });
    Some(pages.collect())
}

/// Letters only: how a text is spaced on paper does not matter.
pub fn bare(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).collect()
}

/// The page of the demo that prints unfolded.
fn full_page(folder: &std::path::Path) -> std::path::PathBuf {
    let run = |args: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
        command.current_dir(folder).args(args).output().unwrap();
    };
    run(&["demo", "--write", "shop"]);
    run(&["audit", "shop", "--on", "2026-10-31", "--full", "--quiet"]);
    folder.join("shop/reports/2026-10-31-audit.html")
}

/// The sheet of the demo is one page, with the first thing to do and lines for emergency numbers; nothing folded is printed.
#[test]
fn the_sheet_is_one_page() {
    let Some(browser) = Browser::start() else {
        return;
    };
    browser.open(&demo("html"));
    for (name, wide, high) in SHEETS {
        let pdf = printed(&browser, wide, high);
        assert_eq!(pages(&pdf), 1, "{name}");
        let Some(texts) = texts(&pdf) else { return };
        let all = bare(&texts.join(" "));
        for words in [
            "One oily rag can start a fire",
            "How close to the limits",
            "Nothing here shows that a room or a pile of oily rags is safe",
            "Poison control",
        ] {
            assert!(all.contains(&bare(words)), "{words}");
        }
        assert!(!all.contains(&bare("Working and rows")));
    }
}

/// The whole page is printed unfolded, and no page of it ends with a heading.
#[test]
fn the_whole_page_prints_unfolded() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = tempfile::TempDir::new().unwrap();
    browser.open(&full_page(folder.path()));
    let headings =
        browser.run("return [...document.querySelectorAll('h2, h3, h4')].map(h => h.textContent)");
    let headings: BTreeSet<String> = headings
        .as_array()
        .unwrap()
        .iter()
        .filter_map(Value::as_str)
        .map(bare)
        .collect();
    let folded = browser.run("return document.querySelector('.finding .fact').textContent");
    for (name, wide, high) in SHEETS {
        let pdf = printed(&browser, wide, high);
        let count = pages(&pdf);
        assert!((2..=MOST).contains(&count), "{count} pages of {name}");
        let Some(texts) = texts(&pdf) else { return };
        assert!(bare(&texts.join(" ")).contains(&bare(folded.as_str().unwrap())));
        for (at, text) in texts.iter().enumerate() {
            let lines: Vec<&str> = text
                .lines()
                .map(str::trim)
                .filter(|line| !line.is_empty())
                .collect();
            let foot = lines.last().unwrap_or(&"");
            assert!(
                foot.ends_with("a screening aid, not a certificate"),
                "{foot}"
            );
            let last = lines
                .get(lines.len().saturating_sub(2))
                .map_or(String::new(), |line| bare(line));
            assert!(
                !headings.contains(&last),
                "page {} of {name} ends with the heading {last:?}",
                at + 1
            );
        }
    }
}

/// No row, finding or picture is cut by the end of a page, and no heading stands alone at one.
#[test]
fn nothing_is_cut_by_the_end_of_a_page() {
    let Some(browser) = Browser::start() else {
        return;
    };
    browser.tell("Emulation.setEmulatedMedia", &json!({"media": "print"}));
    browser.open(&demo("html"));
    let script = "
        const off = (list, key, word) => [...document.querySelectorAll(list)]
            .filter(e => getComputedStyle(e)[key] !== word).map(e => e.outerHTML.slice(0, 80));
        return [off('main tr, li.finding, figure', 'breakInside', 'avoid'), off('main h2, main h3, main h4', 'breakAfter', 'avoid'),
            off('.cards thead', 'display', 'table-header-group'), off('.filters, .skip', 'display', 'none')]";
    assert_eq!(browser.run(script), json!([[], [], [], []]));
}
