//! Tables as spreadsheets save them: other separators, encodings, dates and decimals. They give the audit of the plain
//! tables, and what is written into them keeps their form.
#![allow(clippy::unwrap_used, clippy::panic)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_sandarac");
const TABLES: [&str; 9] = [
    "rooms",
    "inventory",
    "places",
    "fixtures",
    "products",
    "log",
    "checks",
    "accepted",
    "actions",
];

fn data(shop: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("data")
        .join(shop)
}

fn run(folder: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(PROGRAM);
    command.current_dir(folder).args(args).stdin(Stdio::null());
    command.env_remove("COLUMNS").output().unwrap()
}

fn said(output: &Output) -> (String, String) {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (text(&output.stdout), text(&output.stderr))
}

/// A copy of a built-in shop, each of its tables rewritten, with lines at the top of shop.toml.
fn rewritten(shop: &str, top: &str, rewrite: impl Fn(&str) -> Vec<u8>) -> TempDir {
    let folder = TempDir::new().unwrap();
    let toml = std::fs::read_to_string(data(shop).join("shop.toml")).unwrap();
    std::fs::write(folder.path().join("shop.toml"), format!("{top}{toml}")).unwrap();
    for table in TABLES {
        let name = format!("{table}.csv");
        if let Ok(text) = std::fs::read_to_string(data(shop).join(&name)) {
            std::fs::write(folder.path().join(name), rewrite(&text)).unwrap();
        }
    }
    folder
}

fn day_of(shop: &str) -> &'static str {
    if shop == "demo" {
        "2026-10-31"
    } else {
        "2026-11-24"
    }
}

/// The audit as JSON, without what only names rows.
fn audit(folder: &Path, on: &str) -> String {
    let output = run(
        folder,
        &["audit", ".", "--on", on, "--no-reports", "--json", "-"],
    );
    let (out, err) = said(&output);
    assert!(matches!(output.status.code(), Some(0 | 1)), "{err}");
    out
}

/// The rows of a table with another separator, each cell through a function.
fn cells(text: &str, separator: u8, quoted: bool, cell: impl Fn(&str) -> String) -> String {
    let mut reader = csv::ReaderBuilder::new();
    let mut reader = reader.has_headers(false).from_reader(text.as_bytes());
    let style = if quoted {
        csv::QuoteStyle::Always
    } else {
        csv::QuoteStyle::Necessary
    };
    let mut writer = csv::WriterBuilder::new();
    writer.delimiter(separator).quote_style(style);
    let mut writer = writer
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    for row in reader.records() {
        writer.write_record(row.unwrap().iter().map(&cell)).unwrap();
    }
    String::from_utf8(writer.into_inner().unwrap()).unwrap()
}

/// Digits of a pattern of `9` and other characters.
fn like(text: &str, pattern: &str) -> bool {
    text.len() == pattern.len()
        && text.bytes().zip(pattern.bytes()).all(|(byte, wanted)| {
            if wanted == b'9' {
                byte.is_ascii_digit()
            } else {
                byte == wanted
            }
        })
}

/// A date as a spreadsheet of a locale writes it.
fn dated(cell: &str, date: impl Fn(&str, &str, &str) -> String) -> Option<String> {
    let (day, clock) = match cell.split_once('T') {
        Some((day, clock)) if like(clock, "99:99") => (day, format!(" {clock}")),
        _ => (cell, String::new()),
    };
    if !like(day, "9999-99-99") {
        return None;
    }
    let date = date(&day[..4], &day[5..7], &day[8..]);
    Some(format!("{date}{clock}"))
}

fn german(cell: &str) -> String {
    let date = |year: &str, month: &str, day: &str| format!("{day}.{month}.{year}");
    dated(cell, date).unwrap_or_else(|| {
        // Only cells that begin with a number are amounts; a note with a number in it stays.
        let amount = cell
            .split(' ')
            .next()
            .is_some_and(|number| number.parse::<f64>().is_ok() && number.contains('.'));
        if amount {
            cell.replacen('.', ",", 1)
        } else {
            cell.to_string()
        }
    })
}

fn us(cell: &str) -> String {
    let bare = |part: &str| part.trim_start_matches('0').to_string();
    let date = |year: &str, month: &str, day: &str| format!("{}/{}/{year}", bare(month), bare(day));
    dated(cell, date).unwrap_or_else(|| cell.to_string())
}

fn utf16(text: &str, bytes: fn(u16) -> [u8; 2]) -> Vec<u8> {
    let text = format!("\u{feff}{text}");
    text.encode_utf16().flat_map(bytes).collect()
}

const GERMAN: &str = "dates = \"day-first\"\ndecimals = \"comma\"\n";
const US: &str = "dates = \"month-first\"\n";

#[test]
fn every_form_of_a_table_gives_the_same_audit() {
    let same = |cell: &str| cell.to_string();
    for shop in ["starter", "demo"] {
        let on = day_of(shop);
        let plain = rewritten(shop, "", |text| text.as_bytes().to_vec());
        let expected = audit(plain.path(), on);
        type Form<'f> = (&'f str, &'f str, &'f dyn Fn(&str) -> Vec<u8>);
        let forms: [Form<'_>; 7] = [
            ("semicolons", "", &|t| cells(t, b';', false, same).into()),
            ("tabs", "", &|t| cells(t, b'\t', false, same).into()),
            ("all quoted", "", &|t| cells(t, b',', true, same).into()),
            ("US dates", US, &|t| cells(t, b',', false, us).into()),
            ("German", GERMAN, &|t| cells(t, b';', false, german).into()),
            ("UTF-16", GERMAN, &|t| {
                utf16(&cells(t, b'\t', true, german), u16::to_le_bytes)
            }),
            ("UTF-16, high byte first", US, &|t| {
                utf16(&cells(t, b';', false, us), u16::to_be_bytes)
            }),
        ];
        for (form, top, rewrite) in forms {
            let folder = rewritten(shop, top, rewrite);
            // shop.toml is longer, and its lines are evidence of nothing.
            assert_eq!(audit(folder.path(), on), expected, "{shop}, {form}");
        }
    }
}

#[test]
fn without_the_setting_one_message_gives_the_lines() {
    let folder = rewritten("demo", "", |text| cells(text, b';', false, german).into());
    let output = run(
        folder.path(),
        &["audit", ".", "--on", "2026-10-31", "--no-reports"],
    );
    let (_, err) = said(&output);
    assert_eq!(output.status.code(), Some(2), "{err}");
    assert!(err.contains("1 problem."), "{err}");
    assert!(
        err.contains("dates are written day first, such as \""),
        "{err}"
    );
    let lines = "dates = \"day-first\" and decimals = \"comma\"";
    assert!(err.contains(lines), "{err}");
    // With the lines that it gives, the shop is read.
    let folder = rewritten("demo", GERMAN, |text| {
        cells(text, b';', false, german).into()
    });
    audit(folder.path(), "2026-10-31");
}

#[test]
fn an_entry_goes_into_a_german_table_in_its_form() {
    let folder = rewritten("demo", GERMAN, |text| {
        cells(text, b';', false, german).into()
    });
    let args = [
        "log",
        "use",
        "A-1",
        "0.5 fl oz",
        "--when",
        "2026-10-31T18:00",
        "--by",
        "owner",
    ];
    let output = run(folder.path(), &args);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output).1);
    let log = std::fs::read_to_string(folder.path().join("log.csv")).unwrap();
    let last = log.lines().last().unwrap();
    assert!(
        last.contains(";31.10.2026 18:00;use;A-1;0,5 fl oz;"),
        "{last}"
    );
    assert!(log.ends_with("\r\n") && log.lines().all(|line| line.contains(';')));
    audit(folder.path(), "2026-10-31");
    // Once more, and the same row is not lost.
    let output = run(folder.path(), &args);
    assert_eq!(
        (output.status.code(), said(&output).1),
        (Some(0), String::new())
    );
}

/// In a shop of decimal commas `1.000 mL` is one or a thousand. It is refused wherever it is typed, and no other number is misread.
#[test]
fn a_number_that_can_be_one_or_a_thousand_is_never_guessed() {
    let folder = rewritten("demo", GERMAN, |text| {
        cells(text, b';', false, german).into()
    });
    let tables = || {
        TABLES.map(|name| std::fs::read_to_string(folder.path().join(format!("{name}.csv"))).ok())
    };
    let before = tables();
    let run = |words: &str| run(folder.path(), &words.split('|').collect::<Vec<_>>());
    let when = "--when|2026-10-31T18:00";
    for words in [
        format!("log|use|A-1|1.000 mL|{when}"),
        format!("log|count|A-1|1.000 mL|{when}"),
        format!("log|receive|Z-1|1 L|--product|acetone|--capacity|1.000 mL|{when}"),
        format!("log|correct|200|--amount|1.000 mL|{when}"),
        "log|record|A-1|capacity|1.500 mL".to_string(),
        "log|record|mineral spirits|density|1.500 kg/L".to_string(),
        "mix|--cut|2|--make|1.000 mL|--on|2026-10-31".to_string(),
        "air|.|--on|2026-10-31|--room|finishing room|--product|denatured alcohol|--amount|1.000 mL|--minutes|10"
            .to_string(),
    ] {
        let output = run(&words);
        let (_, err) = said(&output);
        assert_eq!(output.status.code(), Some(2), "{words}: {err}");
        assert!(
            err.contains("may have a decimal point or a point between thousands."),
            "{words}: {err}"
        );
        assert_eq!(tables(), before, "{words}");
    }
    let last = || {
        let log = std::fs::read_to_string(folder.path().join("log.csv")).unwrap();
        let last = log.lines().last().unwrap().to_string();
        last.split(';').nth(4).unwrap().to_string()
    };
    for (typed, written) in [
        ("0,5 fl oz", "0,5 fl oz"),
        ("0.25 fl oz", "0,25 fl oz"),
        ("0,5", "0,5 fl oz"),
        ("1,125 mL", "1,125 mL"),
        ("1.000,5 mL", "1000,5 mL"),
        ("2", "2 fl oz"),
    ] {
        let output = run(&format!("log|use|J-2|{typed}|{when}|--dry-run"));
        let out = said(&output).0;
        if typed == "1.000,5 mL" {
            // More than is there, and named as it was meant.
            assert!(
                said(&output).1.contains("This takes 1.057 qt"),
                "{output:?}"
            );
            continue;
        }
        assert_eq!(output.status.code(), Some(0), "{typed}: {output:?}");
        assert!(out.contains(&format!("'{written}'")), "{typed}: {out}");
        run(&format!("log|use|J-2|{typed}|{when}"));
        assert_eq!(last(), written, "{typed}");
    }
    // What is shown can be typed again.
    let out = said(&run(&format!("log|use|M-1|a third|{when}|--dry-run"))).0;
    let shown = out
        .split_once("use M-1 '")
        .unwrap()
        .1
        .split_once('\'')
        .unwrap()
        .0;
    assert!(shown.contains(','), "{out}");
    let output = run(&format!("log|use|M-1|{shown}|{when}"));
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    assert_eq!(last(), shown);
}

#[test]
fn an_entry_goes_into_a_table_in_utf_16() {
    let rewrite = |text: &str| utf16(&cells(text, b'\t', false, us), u16::to_le_bytes);
    let folder = rewritten("demo", US, rewrite);
    let path = folder.path().join("log.csv");
    let before = std::fs::read(&path).unwrap();
    let args = [
        "log",
        "use",
        "A-1",
        "0.5 fl oz",
        "--when",
        "2026-10-31T18:00",
    ];
    let output = run(folder.path(), &args);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output).1);
    let after = std::fs::read(&path).unwrap();
    let units: Vec<u16> = after
        .chunks(2)
        .map(|pair| u16::from_le_bytes([pair[0], pair[1]]))
        .collect();
    let text = String::from_utf16(&units).unwrap();
    assert!(text.starts_with("\u{feff}entry\twhen"), "a table in UTF-16");
    let last = text.lines().last().unwrap();
    assert!(
        last.contains("\t10/31/2026 18:00\tuse\tA-1\t0.5 fl oz\t"),
        "{last}"
    );
    // The columns id and written may be new, so that all rows are; none of them has changed otherwise.
    assert!(after.len() > before.len());
    audit(folder.path(), "2026-10-31");
}

/// A comment that a spreadsheet wrote back: its cells parted at commas, its quotation marks doubled, and the row filled up.
#[test]
fn a_comment_that_a_spreadsheet_quoted_is_accepted() {
    let above = "\"# use: \"\"finishing\"\"\", spraying,\"\",,,,,,\r\n";
    let below = "\"# the \"\"last\"\" row\",,\r\n";
    let folder = rewritten("starter", "", |text| {
        let all = text.lines().map(|line| format!("{line}\r\n"));
        format!("{above}{}{below}", all.collect::<String>()).into()
    });
    let plain = rewritten("starter", "", |text| text.as_bytes().to_vec());
    let on = day_of("starter");
    let without_rows = |text: String| -> String {
        let evidence = |line: &&str| !line.contains(".csv:");
        text.lines().filter(evidence).collect::<Vec<_>>().join("\n")
    };
    let [with, without] = [folder, plain].map(|folder| without_rows(audit(folder.path(), on)));
    assert_eq!(with, without);
}

#[test]
fn a_name_with_a_hash_is_no_comment() {
    let folder = rewritten("starter", "", |text| {
        let row = |name| format!("\"{name}\",beeswax,,box,1 lb,cabinet,2026-11-02,1 lb,,,,yes\n");
        let more = text.contains("container,product");
        let rows = if more {
            row("#7") + &row("# 8")
        } else {
            String::new()
        };
        format!("{text}{rows}").into()
    });
    let output = run(folder.path(), &["stock", ".", "--on", "2026-11-24"]);
    let (out, err) = said(&output);
    assert!(out.contains("#7") && out.contains("# 8"), "{out}{err}");
}

/// Once products.csv names data sheets, every product without one and every missing file is a finding, and the page links to
/// those that are there.
#[test]
fn data_sheets_that_are_not_on_file_are_reported() {
    let folder = rewritten("starter", "", |text| {
        let sheet = |line: &str| match line.split(',').next() {
            Some("product") => format!("{line},sheet\n"),
            Some("oil varnish") => format!("{line},sheets/oil varnish.pdf\n"),
            _ => format!("{line}\n"),
        };
        match text.starts_with("product,") {
            true => text.lines().map(sheet).collect::<String>().into(),
            false => text.as_bytes().to_vec(),
        }
    });
    let full = || {
        let args = ["audit", ".", "--on", "2026-11-24", "--full"];
        said(&run(folder.path(), &args)).0
    };
    let page = || {
        let path = folder.path().join("reports/2026-11-24-audit.html");
        std::fs::read_to_string(path).unwrap()
    };
    let before = full();
    let missing = "The data sheet of oil varnish is missing: sheets/oil varnish.pdf is not in the shop folder.";
    let unknown =
        "Record the path of the data sheet of denatured alcohol in products.csv, column sheet.";
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat(&before).contains(missing), "{before}");
    assert!(flat(&before).contains(unknown), "{before}");
    assert!(!page().contains("href=\"../sheets/oil%20varnish.pdf\""));
    std::fs::create_dir(folder.path().join("sheets")).unwrap();
    std::fs::write(folder.path().join("sheets/oil varnish.pdf"), "%PDF").unwrap();
    let after = full();
    assert!(!flat(&after).contains(missing) && flat(&after).contains(unknown));
    assert!(page().contains("href=\"../sheets/oil%20varnish.pdf\""));
}

/// Names are found in any capitals, and written as the tables have them.
#[test]
fn names_may_be_typed_in_any_capitals() {
    let folder = rewritten("demo", "", |text| text.as_bytes().to_vec());
    let when = ["--when", "2026-10-31T18:00"];
    let log = |words: &[&str]| {
        let args = [&["log"], words, &when].concat();
        let output = run(folder.path(), &args);
        assert_eq!(output.status.code(), Some(0), "{}", said(&output).1);
        let log = std::fs::read_to_string(folder.path().join("log.csv")).unwrap();
        log.lines().last().unwrap().to_string()
    };
    let last = log(&["use", "a-1", "½ pt"]);
    assert!(last.contains(",use,A-1,½ pt,"), "{last}");
    let last = log(&["move", "a-3", "CABINET"]);
    assert!(last.contains(",move,A-3,,,cabinet,"), "{last}");
    let last = log(&["soil", "r-1", "two", "o-1", "--place", "Bench"]);
    assert!(last.contains(",soil,R-1,2 pcs,O-1,bench,"), "{last}");
    let why = |name: &str| {
        said(&run(
            folder.path(),
            &["stock", ".", "--why", name, "--on", "2026-10-31"],
        ))
        .0
    };
    assert_eq!(why("a-1"), why("A-1"));
    assert!(why("a-1").contains("½ pt"));
}

#[test]
fn the_built_in_products_are_listed() {
    let folder = TempDir::new().unwrap();
    let (out, err) = said(&run(folder.path(), &["stock", "--known", "Varnish"]));
    assert_eq!(err, "");
    assert!(
        out.lines()
            .any(|line| line.starts_with("oil varnish (oil-varnish)")),
        "{out}"
    );
    // A finisher's shelf.
    for name in [
        "beeswax",
        "epoxy",
        "gel stain",
        "garnet flakes",
        "wood bleach",
        "hide glue",
        "shellac sticks",
        "aerosol lacquer",
        "two-part finish",
        "waterborne finish",
        "water-based polyurethane",
        "conversion varnish",
        "teak oil",
        "paint stripper",
    ] {
        let output = run(folder.path(), &["stock", "--known", name]);
        assert_eq!(output.status.code(), Some(0), "{name}: {}", said(&output).1);
    }
    let near = said(&run(folder.path(), &["stock", "--known", "gel stian"])).1;
    assert!(near.contains("Did you mean \"gel stain\"?"), "{near}");
    let output = run(folder.path(), &["stock", "--known", "unobtainium"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        said(&output)
            .1
            .contains("No built-in product has \"unobtainium\" in its name.")
    );
}
