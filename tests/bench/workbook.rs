//! `cargo bench --bench workbook`: a shop with five thousand containers written as a workbook and taken back, as a ratio to the
//! same cells written and read by the libraries alone. `cargo bench --bench workbook -- 500` takes fewer containers.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::as_conversions,
    clippy::float_arithmetic,
    dead_code,
    reason = "a benchmark for people; the modules are shared"
)]

mod measure;

use calamine::{Data, Reader, open_workbook_auto};
use measure::{bench, median, ratio, run, shown, ten_runs, time};
use std::path::Path;
use std::time::SystemTime;

const ROWS: u64 = 5_000;
const OUT: [&str; 3] = ["workbook", "shop", "shelf.xlsx"];
const BACK: [&str; 5] = ["workbook", "shop", "--take", "shelf.xlsx", "--yes"];

fn main() {
    if measure::has_read() {
        return;
    }
    let initial = SystemTime::now();
    let (mut criterion, wanted) = measure::asked();
    let rows = wanted.unwrap_or(ROWS).max(2);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path();
    run(path, &["new", "shop"]);
    write_inventory(path, rows);
    let out = || {
        let _ = std::fs::remove_file(path.join("shelf.xlsx"));
        run(path, &OUT);
    };
    out();
    let cells = read_bare(&path.join("shelf.xlsx"));
    let bare = path.join("bare.xlsx");
    let name = format!("workbook {rows}");
    let mut group = criterion.benchmark_group(&name);
    ten_runs(&mut group, time(out));
    bench(&mut group, "libraries alone", || {
        write_bare(&cells, &bare);
        read_bare(&bare);
    });
    bench(&mut group, "out", out);
    bench(&mut group, "back", || run(path, &BACK));
    group.finish();
    criterion.final_summary();
    let [plain, out, back] =
        ["libraries alone", "out", "back"].map(|it| median(&name, it, initial));
    let both = out.zip(back).map(|(out, back)| out + back);
    println!(
        "{rows} containers; medians, milliseconds\nout {}, back {}, both {}; libraries alone, both ways, {}; ratio {}",
        shown(out, 0),
        shown(back, 0),
        shown(both, 0),
        shown(plain, 0),
        ratio(both, plain)
    );
}

fn write_inventory(folder: &Path, rows: u64) {
    let mut text = String::from("container,product,vessel,capacity,place,since,amount,labelled\n");
    for row in 0..rows {
        text.push_str(&format!(
            "C-{row:04},denatured alcohol,metal,1 gal,cabinet,2026-11-02,1 qt,yes\n"
        ));
    }
    let shop = folder.join("shop");
    std::fs::write(shop.join("inventory.csv"), text).unwrap();
    std::fs::write(shop.join("log.csv"), "entry,when,what\n").unwrap();
}

/// All cells of all sheets.
fn read_bare(path: &Path) -> Vec<Vec<Vec<Data>>> {
    let mut book = open_workbook_auto(path).unwrap();
    let names = book.sheet_names();
    let sheet = |name: String| {
        let range = book.worksheet_range(&name).unwrap();
        range.rows().map(<[Data]>::to_vec).collect()
    };
    names.into_iter().map(sheet).collect()
}

fn write_bare(sheets: &[Vec<Vec<Data>>], path: &Path) {
    let mut book = rust_xlsxwriter::Workbook::new();
    for rows in sheets {
        let sheet = book.add_worksheet();
        for (row, cells) in (0..).zip(rows) {
            for (column, cell) in (0..).zip(cells) {
                let text = cell.to_string();
                if !text.is_empty() {
                    sheet.write_string(row, column, &text).unwrap();
                }
            }
        }
    }
    book.save(path).unwrap();
}
