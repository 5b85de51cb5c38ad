//! `sandarac audit` over many shops: side by side, one summary, and one bad shop stops no other.
#![allow(clippy::unwrap_used, clippy::panic)]

use serde_json::Value;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

fn run(folder: &Path, args: &[&str]) -> (String, String, Option<i32>) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    let output = command
        .current_dir(folder)
        .args(args)
        .env_remove("COLUMNS")
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        text(output.stdout),
        text(output.stderr),
        output.status.code(),
    )
}

fn shops() -> TempDir {
    let folder = TempDir::new().unwrap();
    for name in ["north", "south"] {
        let (_, err, code) = run(folder.path(), &["demo", "--write", name]);
        assert_eq!((err.as_str(), code), ("", Some(0)));
    }
    let (_, err, _) = run(folder.path(), &["new", "school"]);
    assert_eq!(err, "");
    folder
}

#[test]
fn the_worst_comes_first_and_each_shop_gets_its_reports() {
    let folder = shops();
    let (out, err, code) = run(
        folder.path(),
        &["audit", "school", "north", "south", "--on", "2026-11-10"],
    );
    assert_eq!((err.as_str(), code), ("", Some(1)));
    assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
    assert!(
        out.contains("3 shops at the end of 10 Nov 2026: 2 over a limit"),
        "{out}"
    );
    let order: Vec<usize> = [" north", " south", " school"]
        .iter()
        .map(|name| out.find(name).unwrap())
        .collect();
    assert!(order.is_sorted(), "{out}");
    // What to do first is a whole sentence for each shop.
    assert!(out.contains("What to do first\n  north: "), "{out}");
    assert!(!out.contains('…'), "{out}");
    for name in ["north", "south", "school"] {
        let report = folder
            .path()
            .join(name)
            .join("reports/2026-11-10-audit.json");
        assert!(report.exists(), "{name}");
    }
}

/// The sums over all shops are those of the shops, taken one by one.
#[test]
fn the_totals_are_the_sums_of_the_shops() {
    let folder = shops();
    let totals = |args: &[&str]| {
        let mut all = vec!["audit"];
        all.extend(args);
        all.extend(["--on", "2026-11-10", "--no-reports", "--json", "-"]);
        let (out, _, _) = run(folder.path(), &all);
        serde_json::from_str::<Value>(&out).unwrap()
    };
    let one: Value = totals(&["north"]);
    let litres: f64 = one["stock"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|row| row["class"]["us-fire-code"] == "Class IB" && row["amount"]["unit"] == "L")
        .map(|row| {
            row["amount"]["value"]
                .as_str()
                .unwrap()
                .parse::<f64>()
                .unwrap()
        })
        .sum();
    let both = totals(&["north", "south"]);
    let sum = both["totals"]
        .as_array()
        .unwrap()
        .iter()
        .find(|row| row["class"] == "us-fire-code: Class IB")
        .unwrap();
    let sum: f64 = sum["value"].as_str().unwrap().parse().unwrap();
    assert!(
        (sum - 2.0 * litres).abs() < 1e-9 && litres > 0.0,
        "{sum} {litres}"
    );
    let common = both["common"].as_array().unwrap();
    assert!(!common.is_empty() && common.iter().all(|row| row["shops"] == 2));
}

/// Amounts with too many digits to be added up leave a total unknown, and never a lower one.
#[test]
fn a_total_that_cannot_be_added_up_is_unknown() {
    let folder = shops();
    let path = folder.path().join("north/inventory.csv");
    let rows = std::fs::read_to_string(&path).unwrap();
    let fine = "FINE-1,denatured alcohol,,metal,1 gal,cabinet,2026-07-01,0.000000000000001 fl oz,,,,yes,\n";
    std::fs::write(path, format!("{}\n{fine}", rows.trim_end())).unwrap();
    let args = [
        "audit",
        "north",
        "south",
        "--on",
        "2026-11-10",
        "--no-reports",
    ];
    let (out, _, _) = run(folder.path(), &[&args[..], &["--json", "-"]].concat());
    let found: Value = serde_json::from_str(&out).unwrap();
    let mut totals = found["totals"].as_array().unwrap().iter();
    let class = totals.find(|row| row["class"] == "us-fire-code: Class IB");
    assert!(class.unwrap()["value"].is_null());
    let (out, _, _) = run(folder.path(), &args);
    assert!(out.contains("Class IB: unknown"), "{out}");
}

#[test]
fn one_bad_shop_stops_no_other() {
    let folder = shops();
    std::fs::write(folder.path().join("north/rooms.csv"), "room\nx,y\n").unwrap();
    let (out, err, code) = run(
        folder.path(),
        &[
            "audit",
            "north",
            "nowhere",
            "south",
            "--on",
            "2026-11-10",
            "--no-reports",
        ],
    );
    assert_eq!(code, Some(2));
    assert_eq!(
        err,
        "2 shops could not be audited.\n  Audit one by itself to see all its problems.\n\n\
         Shops that were not audited are not in the totals.\n"
    );
    assert!(
        out.contains("3 shops at the end of 10 Nov 2026: 1 over a limit, 2 not"),
        "{out}"
    );
    assert!(
        out.contains("\nNot audited\n  north: rooms.csv, row 2 (x): This row has 2 cells, but")
            && out.contains("\n  nowhere: nowhere/shop.toml: The file is missing."),
        "{out}"
    );
}

/// A shop with a loose rag is first, whatever the others count; its counts are those of its own page.
#[test]
fn a_loose_rag_is_worse_than_many_findings() {
    let folder = TempDir::new().unwrap();
    let (_, err, _) = run(folder.path(), &["new", "rag"]);
    assert_eq!(err, "");
    let (_, err, _) = run(folder.path(), &["demo", "--write", "many"]);
    assert_eq!(err, "");
    // A row by the names of its columns, whatever their order is.
    let add = |path: &str, values: &[(&str, &str)]| {
        let path = folder.path().join(path);
        let text = std::fs::read_to_string(&path).unwrap();
        let first = values[0].0;
        let head = text
            .lines()
            .find(|line| line.starts_with(&format!("{first},")))
            .unwrap();
        let cells = head.split(',').map(|column| {
            let found = values.iter().find(|(name, _)| *name == column);
            found.map_or("", |(_, value)| *value)
        });
        let row = cells.collect::<Vec<_>>().join(",");
        std::fs::write(&path, format!("{text}{row}\n")).unwrap();
    };
    // The demo without its loose rag still has more findings than the new shop.
    let path = folder.path().join("many/log.csv");
    let log = std::fs::read_to_string(&path).unwrap();
    let secured = log.replacen("10:15,soil,R-1,3 pcs", "10:15,soil,R-1,2 pcs", 1);
    assert_ne!(secured, log);
    std::fs::write(&path, secured).unwrap();
    let since = ("since", "2026-11-02");
    let bench = ("place", "bench");
    add(
        "rag/inventory.csv",
        &[
            ("container", "OO-1"),
            ("product", "boiled linseed oil"),
            ("vessel", "metal"),
            ("capacity", "1 qt"),
            bench,
            since,
            ("amount", "1 qt"),
            ("labelled", "yes"),
        ],
    );
    add(
        "rag/inventory.csv",
        &[
            ("container", "RR-1"),
            ("product", "cotton rags"),
            ("vessel", "rag"),
            bench,
            since,
            ("amount", "5 pcs"),
        ],
    );
    add(
        "rag/log.csv",
        &[
            ("entry", "800"),
            ("when", "2026-11-10T10:00"),
            ("what", "soil"),
            ("container", "RR-1"),
            ("amount", "1 pcs"),
            ("into", "OO-1"),
        ],
    );
    let args = [
        "audit",
        "many",
        "rag",
        "--on",
        "2026-11-10",
        "--json",
        "-",
        "--page",
        "shops.html",
    ];
    let (out, err, _) = run(folder.path(), &args);
    let json: Value = serde_json::from_str(&out).unwrap_or_else(|_| panic!("{out}{err}"));
    let shops = json["shops"].as_array().unwrap();
    assert_eq!(shops[0]["folder"], "rag", "{out}");
    let breaches = |shop: &Value| shop["counts"]["breach"].as_u64().unwrap();
    assert!(breaches(&shops[1]) > breaches(&shops[0]), "{out}");
    let page = std::fs::read_to_string(folder.path().join("shops.html")).unwrap();
    assert!(page.find("data-shop=\"rag\"").unwrap() < page.find("data-shop=\"many\"").unwrap());
}

/// A shop of many rooms takes as long for each of them as a small one: the time does not grow with the square of their number. The
/// processor's time is compared, so that other programs do not count.
#[cfg(target_os = "linux")]
#[test]
fn many_rooms_take_no_longer_each() {
    let seconds = |rooms: usize| {
        let folder = TempDir::new().unwrap();
        let save = |name: &str, head: &str, row: &dyn Fn(usize) -> String| {
            let rows: String = (0..rooms).map(row).collect();
            std::fs::write(folder.path().join(name), format!("{head}\n{rows}")).unwrap();
        };
        let settings =
            "name = \"big\"\nunits = \"metric\"\npacks = [\"us-workplace\", \"us-fire-code\"]\n";
        std::fs::write(folder.path().join("shop.toml"), settings).unwrap();
        save(
            "rooms.csv",
            "room,use,length,width,height,level,exhaust",
            &|it| format!("r{it},finishing,5 m,4 m,3 m,ground,400 m3/h\n"),
        );
        save("places.csv", "place,room,kind,rated,x,y", &|it| {
            format!("p{it},r{it},cabinet,yes,1 m,1 m\n")
        });
        save(
            "inventory.csv",
            "container,product,vessel,capacity,place,since,amount",
            &|it| format!("c{it},acetone,metal,1 gal,p{it},2026-10-01,1 gal\n"),
        );
        save(
            "log.csv",
            "entry,when,what,container,amount,minutes,by",
            &|it| format!("{it},2026-10-05T09:00,use,c{it},10 mL,10,Ann\n"),
        );
        let script = "\"$@\" >/dev/null; times";
        let output = Command::new("sh")
            .args(["-c", script, "sh", env!("CARGO_BIN_EXE_sandarac"), "audit"])
            .arg(folder.path())
            .args(["--no-reports", "--quiet", "--on", "2026-10-31"])
            .output()
            .unwrap();
        let text = String::from_utf8(output.stdout).unwrap();
        let of_children = text.lines().nth(1).unwrap();
        let user = of_children.split_whitespace().next().unwrap();
        let (minutes, seconds) = user.trim_end_matches('s').split_once('m').unwrap();
        minutes.parse::<f64>().unwrap() * 60.0 + seconds.parse::<f64>().unwrap()
    };
    let (few, many) = (seconds(400), seconds(2400));
    // Six times as many rooms. The square would be 36 times.
    assert!(
        many < 14.0 * few,
        "400 rooms: {few} s, 2400 rooms: {many} s"
    );
}
