//! The page without a browser: one whole file that asks for nothing, whatever the shop. `tests/browser.rs` opens it in one.
#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "golden/shops.rs"]
mod odd_shops;
#[path = "golden/sound.rs"]
mod sound;

use odd_shops::{DAY, NAMES};
use sound::values;
use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

/// The page of a shop.
fn page(folder: &Path, shop: &str) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_sandarac"))
        .current_dir(folder)
        .args(["audit", shop, "--on", DAY])
        .output()
        .unwrap();
    assert!(
        matches!(output.status.code(), Some(0 | 1)),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let path = folder.join(shop).join(format!("reports/{DAY}-audit.html"));
    std::fs::read_to_string(path).unwrap()
}

/// What the page says, whatever the shop.
const SAID: [&str; 4] = [
    "a screening aid, not a certificate",
    "Nothing here shows that a room or a pile of oily rags is safe",
    "id=\"cautions\"",
    "id=\"sources\"",
];

#[track_caller]
fn is_sound(page: &str) {
    sound::is_sound(page, &SAID);
}

/// `31 Oct 2026` as `2026-10-31`.
fn iso(day: &str) -> String {
    const MONTHS: &str = "JanFebMarAprMayJunJulAugSepOctNovDec";
    let parts: Vec<&str> = day.split(' ').collect();
    let month = MONTHS.find(parts[1]).unwrap() / 3 + 1;
    format!("{}-{month:02}-{:0>2}", parts[2], parts[0])
}

#[test]
fn whatever_the_shop() {
    let folder = TempDir::new().unwrap();
    let folder = folder.path();
    odd_shops::named(folder, &NAMES);
    is_sound(&page(folder, "named-shop"));
    std::fs::remove_dir_all(folder.join("named-shop")).unwrap();
    odd_shops::long_names(folder);
    is_sound(&page(folder, "named-shop"));
    odd_shops::quiet(folder);
    is_sound(&page(folder, "silent-shop"));
}

/// Where nothing is open the page says so, and says what that does not mean.
#[test]
fn with_nothing_to_find() {
    let folder = TempDir::new().unwrap();
    odd_shops::quiet(folder.path());
    let page = page(folder.path(), "silent-shop");
    for words in [
        "Nothing that your rules require is open. This does not show that a rag or a room is safe.",
        "Nothing is on record on this day.",
        "No product here has a shelf life",
        "The log of the last month has no session with vapor",
    ] {
        assert!(page.contains(words), "{words}");
    }
}

/// With hundreds of containers every finding is there and has its place, and the file stays of a size to be opened.
#[test]
fn with_hundreds_of_containers() {
    let folder = TempDir::new().unwrap();
    odd_shops::large(folder.path(), 600);
    let page = page(folder.path(), "large-shop");
    is_sound(&page);
    assert_eq!(values(&page, "data-container").len(), 600);
    let json = folder
        .path()
        .join(format!("large-shop/reports/{DAY}-audit.json"));
    let json: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(json).unwrap()).unwrap();
    let open = json["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|finding| {
            matches!(
                finding["verdict"].as_str(),
                Some("breach" | "near" | "cannot-judge")
            )
        });
    let open = open.count();
    assert!(open > 300, "{open}");
    assert_eq!(values(&page, "data-finding").len(), open);
    assert!(page.len() < 4_000_000, "{} bytes", page.len());
}

/// A finding about rags has no bar, and no picture sums up rags: no number of them is nearer to safe.
#[test]
fn no_picture_of_rags() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let page = std::fs::read_to_string(root.join("reports/2026-10-31-audit.html")).unwrap();
    let between = |from: &str, to: &str| {
        let (_, part) = page.split_once(from).unwrap();
        part.split_once(to).unwrap().0.to_string()
    };
    let rags = between("id=\"topic-rags\"", "id=\"topic-storage\"");
    assert!(rags.contains("no number of hours") && !rags.contains("class=\"bar\""));
    let limits = between("id=\"limits-title\"", "</table>");
    assert!(
        limits.contains("class=\"bar\"") && !limits.contains("R-1"),
        "{limits}"
    );
    let year = between("id=\"year\"", "id=\"cautions\"");
    assert!(
        !year.contains("cotton rags") && !year.contains("cheesecloth") && year.contains("tung oil")
    );
    let row = between("data-container=\"R-1\"", "</tr>");
    let cells: Vec<&str> = row.split("class=\"number\"").skip(1).collect();
    assert!(
        cells.len() > 2 && cells.iter().all(|cell| cell.contains("\"></td>")),
        "{row}"
    );
}

/// Product, month, held and used, from the table of the year.
fn year(page: &str) -> Vec<[String; 4]> {
    let (_, table) = page.split_once("Every month in numbers").unwrap();
    let (table, _) = table.split_once("</table>").unwrap();
    let cell = |text: &str| -> String {
        let mut inside = false;
        let shown = text.chars().filter(|c| {
            inside = (inside || *c == '<') && *c != '>';
            !inside && *c != '>'
        });
        shown.collect::<String>().trim().to_string()
    };
    let rows = table.split("<tr>").skip(2);
    rows.map(|row| {
        let cells: Vec<String> = row
            .split("</t")
            .map(|part| part.rsplit_once(['h', 'd']).map_or(part, |_| part))
            .map(|part| cell(&format!("<{part}")))
            .filter(|text| !text.is_empty())
            .collect();
        cells.try_into().unwrap_or_else(|cells| panic!("{cells:?}"))
    })
    .collect()
}

/// What was held when a month ended is what an audit on its last day finds there.
#[test]
fn the_year_agrees_with_an_audit_of_each_month() {
    let folder = TempDir::new().unwrap();
    let audit = |on: &str| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
        let args = ["audit", "demo-shop", "--on", on];
        command
            .current_dir(folder.path())
            .args(args)
            .output()
            .unwrap();
        let path = folder
            .path()
            .join(format!("demo-shop/reports/{on}-audit.html"));
        year(&std::fs::read_to_string(path).unwrap())
    };
    let mut demo = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    let args = ["demo", "--write", "demo-shop"];
    demo.current_dir(folder.path()).args(args).output().unwrap();
    // A product of which there is nothing yet is not in the earlier page at all.
    let something = |row: &[String; 4]| !(row[2].starts_with("0 ") && row[3].starts_with("0 "));
    let of = |rows: &[[String; 4]], month: &str| -> BTreeSet<[String; 4]> {
        let rows = rows.iter().filter(|row| row[1] == month && something(row));
        rows.cloned().collect()
    };
    let all = audit("2026-10-31");
    for day in ["2026-07-31", "2026-08-31", "2026-09-30"] {
        let month = &day[..7];
        let then = of(&audit(day), month);
        assert!(then.len() > 15, "{then:?}");
        assert_eq!(of(&all, month), then, "{month}");
    }
}

/// The page names the days of the calendar, in their order: what is past first, and nothing later than three months.
#[test]
fn what_falls_due_is_that_of_the_calendar() {
    let folder = TempDir::new().unwrap();
    let program = |args: &[&str]| {
        let output = Command::new(env!("CARGO_BIN_EXE_sandarac"))
            .current_dir(folder.path())
            .args(args)
            .output()
            .unwrap();
        String::from_utf8(output.stdout).unwrap()
    };
    program(&["demo", "--write", "shop"]);
    let calendar = program(&["calendar", "shop", "--on", "2026-10-31"]);
    let calendar = calendar.replace("\r\n ", "");
    // The calendar puts what is past on the day asked, and says since when in words.
    let mut wanted: Vec<String> = calendar
        .split("BEGIN:VEVENT")
        .skip(1)
        .map(|event| {
            let value = |key: &str| {
                let line = event.lines().find_map(|line| line.strip_prefix(key));
                line.unwrap_or_default().to_string()
            };
            let was = value("SUMMARY:");
            let was = was
                .split_once("(was due ")
                .map(|(_, day)| iso(day.split_once(')').unwrap().0));
            let day = value("DTSTART;VALUE=DATE:");
            was.unwrap_or_else(|| format!("{}-{}-{}", &day[..4], &day[4..6], &day[6..]))
        })
        .filter(|day| day.as_str() <= "2027-01-31")
        .collect();
    wanted.sort();
    program(&["audit", "shop", "--on", "2026-10-31"]);
    let path = folder.path().join("shop/reports/2026-10-31-audit.html");
    let page = std::fs::read_to_string(path).unwrap();
    let (_, part) = page.split_once("id=\"due\"").unwrap();
    let (part, _) = part.split_once("</details>").unwrap();
    let shown = values(part, "datetime");
    assert!(shown.len() > 10, "{shown:?}");
    assert_eq!(shown, wanted);
    assert_eq!(
        part.matches(">overdue<").count(),
        wanted
            .iter()
            .filter(|day| day.as_str() < "2026-10-31")
            .count()
    );
}

/// A wet rag is the first line whatever else is wrong, and the headline says so.
#[test]
fn a_wet_rag_comes_first() {
    let folder = TempDir::new().unwrap();
    let shop = odd_shops::large(folder.path(), 320);
    let inventory = std::fs::read_to_string(shop.join("inventory.csv")).unwrap();
    let more = "ZZ-9,cotton rags,rag,,shelf 11,2026-11-02,9 pcs,\n";
    std::fs::write(shop.join("inventory.csv"), inventory + more).unwrap();
    let log = "entry,when,what,container,amount,into\n1,2026-11-24T09:00,soil,ZZ-9,1 pcs,C-1\n";
    std::fs::write(shop.join("log.csv"), log).unwrap();
    let page = page(folder.path(), "large-shop");
    let (_, headline) = page.split_once("class=\"headline\"").unwrap();
    assert!(headline[..200].contains("rag"), "{}", &headline[..200]);
    let (_, first) = page.split_once("data-line=\"1\"").unwrap();
    let (first, _) = first.split_once("</li>").unwrap();
    assert!(
        first.contains("rag") && first.contains("shelf 11"),
        "{first}"
    );
}

/// How many findings are in each state is the same in every report.
#[test]
fn counts_agree_everywhere() {
    let folder = TempDir::new().unwrap();
    let program = |args: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
        let output = command
            .current_dir(folder.path())
            .args(args)
            .output()
            .unwrap();
        String::from_utf8(output.stdout).unwrap()
    };
    program(&["demo", "--write", "shop"]);
    program(&["new", "other"]);
    program(&[
        "audit",
        "shop",
        "other",
        "--on",
        "2026-10-31",
        "--page",
        "shops.html",
        "--quiet",
    ]);
    let screen = program(&["audit", "shop", "--on", "2026-10-31", "--binder", "binder"]);
    let read = |path: &str| std::fs::read_to_string(folder.path().join(path)).unwrap();
    let json: serde_json::Value =
        serde_json::from_str(&read("shop/reports/2026-10-31-audit.json")).unwrap();
    let csv = read("shop/reports/2026-10-31-audit.csv");
    let csv: Vec<&str> = csv.lines().collect();
    let shown = |page: &str, word: &str| -> usize {
        let (_, rest) = page.split_once(&format!("data-count=\"{word}\">")).unwrap();
        rest.split('<').next().unwrap().parse().unwrap()
    };
    let (page, binder) = (
        read("shop/reports/2026-10-31-audit.html"),
        read("binder/binder.html"),
    );
    let shops = read("shops.html");
    let (_, row) = shops.split_once("data-shop=\"shop\"").unwrap();
    let mut sum = 0;
    for word in ["breach", "cannot-judge", "near", "meets", "not-in-force"] {
        let all = usize::try_from(json["counts"][word].as_u64().unwrap()).unwrap();
        let rows = csv
            .iter()
            .filter(|line| line.starts_with(&format!("{word},")));
        assert_eq!(rows.count(), all, "{word} in the CSV");
        // For people, a rule that does not apply is not within its limit.
        let apart = match word {
            "meets" => usize::try_from(json["counts"]["about_nothing"].as_u64().unwrap()).unwrap(),
            _ => 0,
        };
        assert_eq!(shown(&page, word), all - apart, "{word} on the page");
        assert_eq!(shown(&binder, word), all - apart, "{word} in the binder");
        if word != "not-in-force" {
            assert_eq!(
                shown(row, word),
                all - apart,
                "{word} on the page of all shops"
            );
        }
        sum += all;
    }
    assert_eq!(sum, json["findings"].as_array().unwrap().len());
    for (word, words) in [("breach", "over the limit"), ("cannot-judge", "unknown")] {
        let said = format!("{} {words}", json["counts"][word]);
        assert!(
            screen.contains(&said),
            "no `{said}` on the screen: {screen}"
        );
    }
}
