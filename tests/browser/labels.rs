//! Labels are as large as they say: measured in the page as it is printed, and the sheet with them.

#![allow(clippy::float_arithmetic, reason = "places on paper")]

use crate::driver::Browser;
use serde_json::{Value, json};
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

/// Pixels of CSS in a millimetre, by definition: 96 in an inch of 25.4 mm.
const PIXELS: f64 = 96.0 / 25.4;
/// How far a label may be off, in millimetres: less than a cut with a knife.
const OFF: f64 = 0.1;
/// Points of PDF in a millimetre.
const POINTS: f64 = 72.0 / 25.4;

fn run(folder: &Path, args: &[&str]) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    let output = command.current_dir(folder).args(args).output().unwrap();
    assert!(output.status.success(), "{output:?}");
}

/// The sizes of the pages of a PDF in points, by its own boxes.
fn boxes(pdf: &[u8]) -> Vec<[f64; 2]> {
    let text = String::from_utf8_lossy(pdf);
    let boxes = text.match_indices("/MediaBox [").map(|(at, word)| {
        let numbers = text[at + word.len()..].split(']').next().unwrap();
        let numbers: Vec<f64> = numbers
            .split_whitespace()
            .map(|n| n.parse().unwrap())
            .collect();
        [numbers[2] - numbers[0], numbers[3] - numbers[1]]
    });
    boxes.collect()
}

#[test]
fn labels_measure_their_millimetres() {
    let Some(browser) = Browser::start() else {
        return;
    };
    let folder = TempDir::new().unwrap();
    run(folder.path(), &["demo", "--write", "shop"]);
    browser.tell("Emulation.setEmulatedMedia", &json!({"media": "print"}));
    for (size, wide, high) in [("90x50mm", 90.0, 50.0), ("105x74mm", 105.0, 74.0)] {
        for (paper, across, down) in [("a4", 210.0, 297.0), ("letter", 215.9, 279.4)] {
            let out = format!("{size}-{paper}.html");
            run(
                folder.path(),
                &[
                    "labels",
                    "shop",
                    "--on",
                    "2026-10-31",
                    "--size",
                    size,
                    "--paper",
                    paper,
                    "--out",
                    &out,
                ],
            );
            browser.open(&folder.path().join(&out));
            let measured = browser.run(
                "const of = e => { const r = e.getBoundingClientRect(); return [r.width, r.height, r.left, r.top]; };
                 return [[...document.querySelectorAll('.label')].map(of), [...document.querySelectorAll('.sheet')].map(of),
                    [...document.querySelectorAll('.ruler')].map(of)]",
            );
            let rows = |at: usize| -> Vec<Vec<f64>> {
                serde_json::from_value(measured[at].clone()).unwrap()
            };
            let near = |pixels: f64, millimetres: f64| (pixels / PIXELS - millimetres).abs() <= OFF;
            let labels = rows(0);
            assert!(labels.len() > 30, "{} labels of {size}", labels.len());
            for label in &labels {
                assert!(
                    near(label[0], wide) && near(label[1], high),
                    "{size} on {paper}: {label:?}"
                );
            }
            // The sheet may lie on its side, if more labels fit on it so.
            let lies = rows(1)[0][0] > rows(1)[0][1];
            let (across, down) = if lies { (down, across) } else { (across, down) };
            for sheet in rows(1) {
                assert!(
                    near(sheet[0], across) && near(sheet[1], down),
                    "{paper}: {sheet:?}"
                );
            }
            for ruler in rows(2) {
                assert!(
                    near(ruler[0], 50.0),
                    "the ruler is {} mm",
                    ruler[0] / PIXELS
                );
            }
            // Nothing that a label says is cut off: what did not fit is on the card.
            let cut = browser.run(
                "return [...document.querySelectorAll('.label')].filter(e => {
                    const box = e.getBoundingClientRect();
                    return [...e.querySelectorAll('h2, p, svg, b')].some(x => {
                        const r = x.getBoundingClientRect();
                        return r.bottom > box.bottom + 1 || r.right > box.right + 1;
                    }) || [...e.querySelectorAll('.middle')].some(m => m.scrollHeight > m.clientHeight + 2);
                 }).map(e => e.dataset.of)",
            );
            assert_eq!(cut, json!([]), "{size} on {paper}");
            // Labels of one sheet stand edge to edge, and none beyond it.
            let first = &rows(1)[0];
            for label in labels.iter().filter(|label| label[3] < first[3] + first[1]) {
                let right = label[2] + label[0];
                assert!(
                    label[2] >= first[2] && right <= first[2] + first[0],
                    "{label:?} of {first:?}"
                );
            }
            let wanted = json!({"printBackground": true, "preferCSSPageSize": true});
            let made: Value = browser.tell("Page.printToPDF", &wanted);
            let pdf = crate::paper::bytes(made["data"].as_str().unwrap());
            let pages = boxes(&pdf);
            assert!(
                pages.len() > rows(1).len(),
                "sheets, and the notes behind them"
            );
            for page in &pages {
                let off = [page[0] / POINTS - across, page[1] / POINTS - down];
                assert!(
                    off.iter().all(|off| off.abs() < 0.5),
                    "{paper}: a page is {page:?} points"
                );
            }
        }
    }
}
