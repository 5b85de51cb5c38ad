//! What is written into `reports/`: whole or not at all, with nothing in it that runs.

use crate::{DEMO_DAY, NEW_DAY, files_in, list, report, said, shops, word};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// A shop whose names a spreadsheet would run.
fn hostile_shop(folder: &Path) -> PathBuf {
    let shop = folder.join("hostile-shop");
    std::fs::create_dir(&shop).unwrap();
    let tables = [
        (
            "shop.toml",
            "name = \"=1+1\"\nunits = \"us\"\npacks = [\"us-workplace\"]\nemployees = 1\nbusiness = true\n\
             [authority]\nname = \"\\u001b[31mred\"\n",
        ),
        (
            "rooms.csv",
            "room,use,length,width,height,level\n@room,finishing,20 ft,12 ft,9 ft,ground\n",
        ),
        (
            "places.csv",
            "place,room,kind\n+bench,@room,bench\n-can,@room,oily-waste-can\n",
        ),
        (
            "inventory.csv",
            "container,product,vessel,capacity,place,since,amount,labelled\n\
             =cmd|' /C calc'!A0,@spirit,glass,2 gal,+bench,2026-11-02,1 gal,no\n\
             +1,@spirit,glass,2 gal,+bench,2026-11-02,1 gal,no\n\
             -1,@spirit,glass,2 gal,+bench,2026-11-02,1 gal,no\n\
             \"@x, \"\"y\"\"z | <b> `\",@spirit,glass,2 gal,+bench,2026-11-02,1 gal,no\n\
             red,@spirit,glass,2 gal,+bench,2026-11-02,1 gal,no\n",
        ),
    ];
    for (name, text) in tables {
        std::fs::write(shop.join(name), text).unwrap();
    }
    shop
}

#[test]
fn the_csv_runs_nothing_and_leaves_nothing_out() {
    let folder = shops();
    hostile_shop(folder.path());
    for (shop, day) in [("demo-shop", DEMO_DAY), ("hostile-shop", NEW_DAY)] {
        said(folder.path(), &["audit", shop, "--on", day], 1);
        let reports = folder.path().join(shop).join("reports");
        let table = std::fs::read_to_string(reports.join(format!("{day}-audit.csv"))).unwrap();
        let object = std::fs::read_to_string(reports.join(format!("{day}-audit.json"))).unwrap();
        let found: Value = serde_json::from_str(&object).unwrap();
        let mut reader = csv::Reader::from_reader(table.as_bytes());
        let columns = reader.headers().unwrap().clone();
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(rows.len(), list(&found, "findings").len());
        for (row, finding) in rows.iter().zip(list(&found, "findings")) {
            assert_eq!(row.len(), columns.len());
            for cell in row {
                assert!(
                    !cell.starts_with(['=', '+', '-', '@', '\t', '\r']),
                    "{cell}"
                );
            }
            let rule = columns.iter().position(|name| name == "rule").unwrap();
            assert_eq!(&row[rule], word(finding, "rule"), "in the same order");
        }
    }
}

/// Names from a file cannot steer a terminal, break a table or open a tag.
#[test]
fn names_are_shown_as_names() {
    let folder = shops();
    hostile_shop(folder.path());
    let screen = said(
        folder.path(),
        &["audit", "hostile-shop", "--on", NEW_DAY, "--full"],
        1,
    );
    let stock = said(
        folder.path(),
        &["stock", "hostile-shop", "--on", NEW_DAY],
        0,
    );
    assert!(!screen.contains('\u{1b}') && !stock.contains('\u{1b}'));
    let path = folder
        .path()
        .join(format!("hostile-shop/reports/{NEW_DAY}-audit.md"));
    let page = std::fs::read_to_string(path).unwrap();
    assert!(!page.contains('\u{1b}') && !page.contains("<b>"), "{page}");
    let mut columns = None;
    for line in page.lines() {
        let bars = line.replace("\\|", "").matches('|').count();
        columns = match (line.starts_with('|'), columns) {
            (false, _) => None,
            (true, None) => Some(bars),
            (true, Some(wanted)) => {
                assert_eq!(bars, wanted, "{line}");
                Some(wanted)
            }
        };
    }
}

/// A run that fails leaves the reports that were there, and nothing half written.
#[test]
fn reports_are_whole_or_not_at_all() {
    let folder = shops();
    let shop = folder.path().join("demo-shop");
    let reports = shop.join("reports");
    let args = ["audit", "demo-shop", "--on", DEMO_DAY];
    said(folder.path(), &args, 1);
    let before = std::fs::read(reports.join(report("json"))).unwrap();
    let log = std::fs::read_to_string(shop.join("log.csv")).unwrap();
    std::fs::write(shop.join("log.csv"), log.replace("fl oz", "jars")).unwrap();
    said(folder.path(), &args, 2);
    assert!(std::fs::read(reports.join(report("json"))).unwrap() == before);
    assert_eq!(files_in(&reports).len(), 5);
    // A folder in the place of a report: that report cannot be written, and no other name is left behind.
    std::fs::write(shop.join("log.csv"), log).unwrap();
    std::fs::remove_file(reports.join(report("json"))).unwrap();
    std::fs::create_dir(reports.join(report("json"))).unwrap();
    let told = said(folder.path(), &args, 2);
    assert!(
        told.contains(".json cannot be written: ")
            && told.ends_with("\nThe command did not finish.\n"),
        "{told}"
    );
    let mut wanted: BTreeSet<String> = ["csv", "html", "json", "md"]
        .iter()
        .map(|ending| report(ending))
        .collect();
    wanted.insert("due.ics".to_string());
    assert_eq!(files_in(&reports), wanted);
}

/// Nothing is made in a folder that is no shop, or whose files cannot be trusted.
#[test]
fn nothing_is_written_before_the_shop_reads_cleanly() {
    let folder = shops();
    let shop = folder.path().join("my-shop");
    std::fs::write(shop.join("rooms.csv"), "room,use\nbench,kitchen\n").unwrap();
    said(
        folder.path(),
        &["audit", "my-shop", "--on", NEW_DAY, "--json", "out.json"],
        2,
    );
    assert!(!shop.join("reports").exists() && !folder.path().join("out.json").exists());
}

#[cfg(unix)]
#[test]
fn a_link_does_not_lead_reports_out_of_the_shop() {
    let folder = shops();
    let outside = folder.path().join("outside");
    std::fs::create_dir(&outside).unwrap();
    std::os::unix::fs::symlink(&outside, folder.path().join("my-shop/reports")).unwrap();
    let told = said(folder.path(), &["audit", "my-shop", "--on", NEW_DAY], 2);
    assert!(told.contains("leads out of the shop folder"), "{told}");
    assert!(files_in(&outside).is_empty());
}
