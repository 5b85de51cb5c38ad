//! A shop as a workbook and back, with the real program: what is taken, what is asked, and what is refused where.
#![cfg(feature = "workbook")]
#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "workbook/book.rs"]
mod book;

use book::{Book, add, cell, change, open, sheet, text};
use calamine::{Data, Reader, open_workbook_auto};
use std::path::Path;
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_sandarac");

fn run(folder: &Path, args: &[&str]) -> (String, String, Option<i32>) {
    let mut command = Command::new(PROGRAM);
    command.current_dir(folder).args(args).stdin(Stdio::null());
    let Output {
        stdout,
        stderr,
        status,
    } = command.env_remove("COLUMNS").output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (text(stdout), text(stderr), status.code())
}

/// The demo in `shop`, and its workbook `shelf.xlsx` beside it.
fn demo() -> TempDir {
    let folder = TempDir::new().unwrap();
    let ok = |args: &[&str]| assert_eq!(run(folder.path(), args).2, Some(0));
    ok(&["demo", "--write", "shop"]);
    ok(&["workbook", "shop", "shelf.xlsx"]);
    folder
}

fn read(folder: &TempDir, file: &str) -> String {
    std::fs::read_to_string(folder.path().join("shop").join(file)).unwrap()
}

/// A date and time of the calendar as a spreadsheet keeps it.
fn moment(days: f64) -> Data {
    let kind = calamine::ExcelDateTimeType::DateTime;
    Data::DateTime(calamine::ExcelDateTime::new(days, kind, false))
}

fn take(folder: &TempDir, more: &[&str]) -> (String, String, Option<i32>) {
    let args = [&["workbook", "shop", "--take", "shelf.xlsx"], more].concat();
    run(folder.path(), &args)
}

fn tables(folder: &TempDir) -> Vec<String> {
    let names = [
        "rooms",
        "places",
        "fixtures",
        "products",
        "inventory",
        "log",
        "checks",
        "actions",
        "accepted",
    ];
    names
        .iter()
        .map(|name| read(folder, &format!("{name}.csv")))
        .collect()
}

#[test]
fn a_workbook_without_changes_changes_nothing() {
    let folder = demo();
    let before = tables(&folder);
    for rewritten in [false, true] {
        if rewritten {
            change(&folder, |_| {});
        }
        let (out, err, code) = take(&folder, &["--yes"]);
        assert_eq!((err.as_str(), code), ("", Some(0)));
        assert_eq!(out, "There are no changes to take. Nothing was written.\n");
        assert_eq!(tables(&folder), before);
    }
    // Without changes of its own it may be written over.
    assert_eq!(
        run(folder.path(), &["workbook", "shop", "shelf.xlsx"]).2,
        Some(0)
    );
}

#[test]
fn the_sheets_are_made_for_people() {
    let folder = demo();
    let book = open(&folder.path().join("shelf.xlsx"));
    let names: Vec<&str> = book.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(
        names,
        [
            "rooms",
            "places",
            "fixtures",
            "products",
            "inventory",
            "log",
            "checks",
            "actions",
            "accepted",
            "lists",
            "state"
        ]
    );
    let mut opened = open_workbook_auto(folder.path().join("shelf.xlsx")).unwrap();
    let hidden: Vec<String> = opened
        .sheets_metadata()
        .iter()
        .filter(|sheet| sheet.visible != calamine::SheetVisible::Visible)
        .map(|sheet| sheet.name.clone())
        .collect();
    assert_eq!(hidden, ["lists", "state"]);
    let inventory = opened.worksheet_range("inventory").unwrap();
    let since = inventory.get_value((1, 6)).unwrap();
    assert!(matches!(since, Data::DateTime(_)), "a real date: {since:?}");
    // The parts of the file that make lists, notes and the frozen head.
    let bytes = std::fs::read(folder.path().join("shelf.xlsx")).unwrap();
    let has = |part: &[u8]| bytes.windows(part.len()).any(|window| window == part);
    assert!(has(b"xl/comments1.xml"), "notes");
}

#[test]
fn changed_cells_and_new_rows_are_taken() {
    let folder = demo();
    let log = read(&folder, "log.csv");
    change(&folder, |book| {
        *cell(book, "inventory", "A-3", "vessel") = text("metal");
        *cell(book, "inventory", "A-3", "opened") = moment(46204.0);
        // Someone counted J-1, which has entries.
        *cell(book, "inventory", "J-1", "amount") = text("3 fl oz");
        add(
            book,
            "places",
            &[
                ("place", text("top shelf")),
                ("room", text("store-room")),
                ("kind", text("shelf")),
            ],
        );
        add(
            book,
            "inventory",
            &[
                ("container", text("W-7")),
                ("product", text("beeswax")),
                ("vessel", text("box")),
                ("place", text("top shelf")),
                ("since", moment(46326.0)),
                ("amount", text("1 lb")),
                ("labelled", Data::Bool(true)),
            ],
        );
        add(
            book,
            "log",
            &[
                ("when", moment(46326.5 + 1.0 / 48.0)),
                ("what", text("use")),
                ("container", text("A-1")),
                ("amount", text("2 fl oz")),
                ("minutes", Data::Float(30.0)),
            ],
        );
        add(
            book,
            "checks",
            &[
                ("when", moment(46326.0)),
                ("check", text("lids-closed")),
                ("answer", text("yes")),
            ],
        );
    });
    // Without --yes and a terminal, everything is shown and nothing is written.
    let before = tables(&folder);
    let (out, err, code) = take(&folder, &[]);
    assert_eq!(code, Some(2), "{err}");
    assert!(
        err.contains("7 changes would be written.") && err.contains("--yes"),
        "{err}"
    );
    for line in [
        "inventory.csv, A-3, vessel: \"glass\" becomes \"metal\"\n",
        "inventory.csv, A-3, opened: \"2026-06-23\" becomes \"2026-07-01\"\n",
        "places.csv: new row top shelf, store-room, shelf\n",
        "inventory.csv: new row W-7, beeswax, box, top shelf, 2026-10-31, 1 lb, yes\n",
        "log.csv: new row 2026-10-31T12:30, use, A-1, 2 fl oz, 30\n",
        "log.csv: count J-1 3 fl oz (inventory.csv keeps \"",
        "checks.csv: new row 2026-10-31T00:00, lids-closed, yes\n",
    ] {
        assert!(out.contains(line), "{line}{out}");
    }
    assert_eq!(tables(&folder), before);
    let (out, err, code) = take(&folder, &["--yes"]);
    assert_eq!((err.as_str(), code), ("", Some(0)), "{out}");
    assert!(out.contains("Wrote 7 changes"), "{out}");
    let inventory = read(&folder, "inventory.csv");
    assert!(
        inventory
            .contains("A-3,denatured alcohol,,metal,1/2 gal,bench,2026-07-01,16 fl oz,2026-07-01,")
    );
    assert!(
        inventory.contains("\nW-7,beeswax,,box,,top shelf,2026-10-31,1 lb,,,,yes,\n"),
        "{inventory}"
    );
    let j1 = |text: &str| {
        text.lines()
            .find(|line| line.starts_with("J-1,"))
            .unwrap()
            .to_string()
    };
    assert_eq!(j1(&inventory), j1(&before[4]), "the past stays");
    assert!(read(&folder, "places.csv").contains("\ntop shelf,store-room,shelf,"));
    let new = read(&folder, "log.csv");
    // Columns may be added to all rows; the entries are those that there were, and two more.
    let starts = |text: &str| {
        text.lines()
            .map(|line| line.split(',').take(5).collect::<Vec<_>>().join(","))
            .collect::<Vec<_>>()
    };
    let (old, new) = (starts(&log), starts(&new));
    assert_eq!(new[..old.len()], old[..]);
    assert_eq!(new[old.len()], "204,2026-10-31T12:30,use,A-1,2 fl oz");
    assert!(
        new[old.len() + 1].starts_with("205,")
            && new[old.len() + 1].ends_with(",count,J-1,3 fl oz")
    );
    // Taken again, nothing is written twice.
    let before = tables(&folder);
    let (out, err, code) = take(&folder, &["--yes"]);
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert!(out.contains("There are no changes to take."), "{out}");
    assert_eq!(tables(&folder), before);
}

#[test]
fn a_wrong_cell_is_refused_with_sheet_row_and_column() {
    type Case<'c> = (&'c dyn Fn(&mut Book), &'c str);
    let cases: [Case<'_>; 8] = [
        (
            &|book| *cell(book, "inventory", "A-3", "vessel") = text("glas"),
            "shelf.xlsx, sheet inventory, row 4 (A-3), column \"vessel\": \"glas\" is not a known word here.\n  Did you mean \"glass\"?",
        ),
        (
            &|book| *cell(book, "inventory", "A-3", "place") = text("bensh"),
            "shelf.xlsx, sheet inventory, row 4 (A-3), column \"place\": There is no place or room \"bensh\".",
        ),
        (
            &|book| *cell(book, "inventory", "A-3", "capacity") = text("2 jugs"),
            "shelf.xlsx, sheet inventory, row 4 (A-3), column \"capacity\": The unit \"jugs\"",
        ),
        (
            &|book| *cell(book, "inventory", "J-1", "amount") = text("3"),
            "shelf.xlsx, sheet inventory, row 11 (J-1), column \"amount\": \"3\" has no unit.",
        ),
        (
            &|book| *cell(book, "inventory", "J-1", "amount") = Data::Empty,
            "shelf.xlsx, sheet inventory, row 11 (J-1), column \"amount\": The amount was \"",
        ),
        (
            &|book| *cell(book, "log", "3", "amount") = text("9 fl oz"),
            "shelf.xlsx, sheet log, row 4 (3), column \"amount\": This was \"2 fl oz\" and is now \"9 fl oz\". Rows that are written stay as they are.\n  \
             Put back \"2 fl oz\", and correct the entry with `sandarac log correct`.",
        ),
        (
            &|book| sheet(book, "checks")[1][2] = text("no"),
            "shelf.xlsx, sheet checks, row 2 (2026-05-12T09:00), column \"answer\": This was \"yes\" and is now \"no\".",
        ),
        (
            &|book| {
                let row = sheet(book, "inventory")[3].clone();
                sheet(book, "inventory").push(row);
            },
            "The container \"A-3\" is a duplicate.",
        ),
    ];
    for (wrong, expected) in cases {
        let folder = demo();
        let before = tables(&folder);
        change(&folder, wrong);
        let (_, err, code) = take(&folder, &["--yes", "--delete"]);
        assert_eq!(code, Some(2), "{expected}");
        assert!(err.contains(expected), "{expected}\n{err}");
        assert!(err.contains("Nothing was written."), "{err}");
        assert_eq!(tables(&folder), before);
    }
}

#[test]
fn a_deleted_row_is_asked() {
    let folder = demo();
    let before = tables(&folder);
    change(&folder, |book| {
        sheet(book, "fixtures").retain(|row| row[0] != text("street door"));
        sheet(book, "log").retain(|row| row[0] != text("3"));
    });
    let (out, err, code) = take(&folder, &["--yes"]);
    assert_eq!(code, Some(2));
    assert!(
        err.contains("fixtures.csv: street door was deleted in the workbook. Delete it?"),
        "{err}"
    );
    assert!(
        out.contains("log.csv: 3 is not in the workbook. It stays"),
        "{out}"
    );
    assert_eq!(tables(&folder), before);
    let (out, err, code) = take(&folder, &["--yes", "--delete"]);
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert!(out.contains("fixtures.csv, street door: deleted"), "{out}");
    assert!(!read(&folder, "fixtures.csv").contains("street door,"));
    assert_eq!(read(&folder, "log.csv"), before[5]);
}

#[test]
fn what_both_sides_changed_is_asked_and_later_changes_of_the_shop_stay() {
    let folder = demo();
    change(&folder, |book| {
        *cell(book, "inventory", "A-3", "vessel") = text("metal");
        *cell(book, "inventory", "A-1", "note") = text("from the workbook");
    });
    let path = folder.path().join("shop/inventory.csv");
    let now = std::fs::read_to_string(&path).unwrap();
    let now = now.replace(
        "A-3,denatured alcohol,,glass,1/2 gal,bench",
        "A-3,denatured alcohol,,plastic,1/2 gal,cabinet",
    );
    std::fs::write(&path, &now).unwrap();
    let (_, err, code) = take(&folder, &["--yes"]);
    assert_eq!(code, Some(2));
    let asked = "inventory.csv, A-3, vessel: it was \"glass\". The shop now says \"plastic\", the workbook \"metal\". Take the workbook's?";
    assert!(err.contains(asked), "{err}");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), now);
    let (_, err, code) = take(&folder, &["--yes", "--prefer", "shop"]);
    assert_eq!((err.as_str(), code), ("", Some(0)));
    let kept = std::fs::read_to_string(&path).unwrap();
    assert!(
        kept.contains("A-3,denatured alcohol,,plastic,1/2 gal,cabinet,"),
        "{kept}"
    );
    assert!(kept.contains(",from the workbook\n"));
    let (_, err, code) = take(&folder, &["--yes", "--prefer", "workbook"]);
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert!(
        read(&folder, "inventory.csv").contains("A-3,denatured alcohol,,metal,1/2 gal,cabinet,")
    );
}

#[test]
fn a_workbook_with_changes_is_not_written_over() {
    let folder = demo();
    change(&folder, |book| {
        *cell(book, "inventory", "A-3", "vessel") = text("metal")
    });
    let (_, err, code) = run(folder.path(), &["workbook", "shop", "shelf.xlsx"]);
    assert_eq!(code, Some(2));
    assert!(
        err.contains("has changes that are not in the shop"),
        "{err}"
    );
    assert_eq!(take(&folder, &["--yes"]).2, Some(0));
    assert_eq!(
        run(folder.path(), &["workbook", "shop", "shelf.xlsx"]).2,
        Some(0)
    );
}

#[test]
fn what_is_no_workbook_of_ours_is_refused() {
    let folder = demo();
    change(&folder, |book| book.retain(|(name, _)| name != "state"));
    let (_, err, code) = take(&folder, &["--yes"]);
    assert_eq!(code, Some(2));
    assert!(err.contains("its hidden sheet \"state\" is gone"), "{err}");
    let folder = demo();
    change(&folder, |book| book.retain(|(name, _)| name != "places"));
    let (_, err, code) = take(&folder, &["--yes"]);
    assert_eq!(code, Some(2));
    assert!(err.contains("shelf.xlsx has no sheet \"places\"."), "{err}");
    std::fs::write(folder.path().join("shelf.xlsx"), "no zip").unwrap();
    let (_, err, code) = take(&folder, &["--yes"]);
    assert_eq!(code, Some(2));
    assert!(err.contains("shelf.xlsx cannot be read: "), "{err}");
}

#[test]
fn a_german_shop_keeps_the_form_of_its_tables() {
    let folder = demo();
    let path = |file: &str| folder.path().join("shop").join(file);
    let toml = std::fs::read_to_string(path("shop.toml")).unwrap();
    std::fs::write(
        path("shop.toml"),
        format!("dates = \"day-first\"\ndecimals = \"comma\"\n{toml}"),
    )
    .unwrap();
    // A number with three decimals must not be taken for a thousand on its way back.
    let places = "place;room;kind;rated;capacity;x;y\ncabinet;finishing room;cabinet;yes;113,5 L;3,05 m;5,2 m\n\
                  locker;finishing room;cabinet;yes;113,575 L;3,05 m;5,2 m\n";
    let all = std::fs::read_to_string(path("places.csv")).unwrap();
    let rest: Vec<String> = all
        .lines()
        .skip(2)
        .map(|line| line.split(',').take(3).collect::<Vec<_>>().join(";") + ";;;;")
        .collect();
    std::fs::write(path("places.csv"), format!("{places}{}\n", rest.join("\n"))).unwrap();
    std::fs::remove_file(folder.path().join("shelf.xlsx")).unwrap();
    assert_eq!(
        run(folder.path(), &["workbook", "shop", "shelf.xlsx"]).2,
        Some(0)
    );
    change(&folder, |book| {
        assert_eq!(
            *cell(book, "places", "cabinet", "capacity"),
            text("113.5 L")
        );
        *cell(book, "places", "cabinet", "capacity") = text("120,5 L");
    });
    let (_, err, code) = take(&folder, &["--yes"]);
    assert_eq!((err.as_str(), code), ("", Some(0)));
    // A new amount that can be one or a thousand is no count of either.
    let log = read(&folder, "log.csv");
    change(&folder, |book| {
        *cell(book, "inventory", "A-1", "amount") = text("1.000 mL");
    });
    let (_, err, code) = take(&folder, &["--yes"]);
    assert_eq!(code, Some(2));
    assert!(err.contains("point between thousands"), "{err}");
    assert_eq!(read(&folder, "log.csv"), log);
    assert!(
        read(&folder, "places.csv")
            .contains("\ncabinet;finishing room;cabinet;yes;120,5 L;3,05 m;5,2 m\nlocker;finishing room;cabinet;yes;113,575 L;")
    );
}

#[test]
fn a_new_shop_starts_with_a_workbook() {
    let folder = TempDir::new().unwrap();
    let (out, err, code) = run(folder.path(), &["new", "my-shop", "--workbook"]);
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert!(
        out.contains("sandarac workbook my-shop --take my-shop/workbook.xlsx"),
        "{out}"
    );
    let (out, err, code) = run(
        folder.path(),
        &["workbook", "my-shop", "--take", "my-shop/workbook.xlsx"],
    );
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert!(out.contains("There are no changes to take."));
    assert_eq!(
        run(
            folder.path(),
            &[
                "audit",
                "my-shop",
                "--no-reports",
                "--quiet",
                "--on",
                "2026-11-24"
            ]
        )
        .1,
        ""
    );
}

/// Five thousand rows out and back: the time counts where the program is built for use.
#[test]
fn five_thousand_rows_go_out_and_back() {
    let folder = demo();
    let path = folder.path().join("shop/products.csv");
    let mut products = std::fs::read_to_string(&path).unwrap();
    for number in 0..5000 {
        products.push_str(&format!("finish {number},oil-varnish,,104 F,,,,,yes,,,,\n"));
    }
    std::fs::write(&path, &products).unwrap();
    std::fs::remove_file(folder.path().join("shelf.xlsx")).unwrap();
    let start = std::time::Instant::now();
    let (_, err, code) = run(folder.path(), &["workbook", "shop", "shelf.xlsx"]);
    let mut taken = start.elapsed();
    assert_eq!((err.as_str(), code), ("", Some(0)));
    change(&folder, |book| {
        *cell(book, "products", "finish 4999", "flash_point") = text("105 F")
    });
    let start = std::time::Instant::now();
    let (_, err, code) = take(&folder, &["--yes"]);
    taken += start.elapsed();
    assert_eq!((err.as_str(), code), ("", Some(0)));
    let expected = products.replace(
        "finish 4999,oil-varnish,,104 F",
        "finish 4999,oil-varnish,,105 F",
    );
    assert_eq!(std::fs::read_to_string(&path).unwrap(), expected);
    if !cfg!(debug_assertions) {
        assert!(taken.as_secs_f64() < 2.0, "{taken:?}");
    }
}
