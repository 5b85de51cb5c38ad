//! `sandarac labels`: the page of the demo shop, what it refuses, and names that would steer a page.

use crate::{DEMO_DAY, NEW_DAY, files_in, golden, program, root, run, said, same_as, shops, text};
use std::path::{Path, PathBuf};

const PAGE: &str = "2026-10-31-labels.html";

/// The page for names of the demo shop, or for all.
fn page(folder: &Path, more: &[&str]) -> String {
    let all = [
        &["labels", "demo-shop", "--on", DEMO_DAY, "--html", "-"],
        more,
    ]
    .concat();
    said(folder, &all, 0)
}

/// The text of a page without its marks.
fn bare(page: &str) -> String {
    let (_, body) = page.split_once("<body>").unwrap();
    let mut text = String::new();
    for part in body.split('<') {
        let (_, after) = part.split_once('>').unwrap_or(("", part));
        text.push_str(after);
        text.push(' ');
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    words.join(" ").replace(" .", ".").replace(" ,", ",")
}

#[test]
fn the_committed_labels_are_current() {
    let folder = shops();
    let told = said(folder.path(), &["labels", "demo-shop", "--on", DEMO_DAY], 0);
    golden("labels.txt", &told);
    assert!(
        told.lines().all(|line| line.chars().count() <= 80),
        "{told}"
    );
    let reports = folder.path().join("demo-shop/reports");
    assert_eq!(
        files_in(&reports).into_iter().collect::<Vec<_>>(),
        [PAGE],
        "nothing half written"
    );
    let written = std::fs::read_to_string(reports.join(PAGE)).unwrap();
    same_as(&root().join("reports").join(PAGE), &written);
    assert!(
        page(folder.path(), &[]) == written,
        "a second run prints the same bytes"
    );
    let out = [
        "labels",
        "demo-shop",
        "--on",
        DEMO_DAY,
        "--out",
        "sheet.html",
    ];
    said(folder.path(), &out, 0);
    assert!(std::fs::read_to_string(folder.path().join("sheet.html")).unwrap() == written);
}

/// One file that asks nothing of anyone and runs nothing.
#[test]
fn the_page_stands_alone() {
    let page = page(shops().path(), &[]);
    for word in [
        "<script",
        " src=",
        "http:",
        "https:",
        "url(",
        "@import",
        "<link",
        "<iframe",
        "javascript:",
        " onload",
    ] {
        assert!(!page.contains(word), "{word}");
    }
    let links: Vec<&str> = page
        .split("href=\"")
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap())
        .collect();
    assert!(
        links.len() > 50 && links.iter().all(|link| link.starts_with("#ghs-")),
        "{links:?}"
    );
    // Each pictogram is reported in words too.
    let signs = page.matches("<svg role=\"img\" aria-label=\"").count();
    assert_eq!(signs, links.len());
}

/// The sheet and its labels in millimeters, and no label over the edge of its sheet or on another one.
#[test]
fn exact_millimetres() {
    let folder = shops();
    for (size, paper, sheet, label, margin) in [
        ("90x50mm", "a4", (210.0, 297.0), (90.0, 50.0), 8.0),
        ("105x74mm", "letter", (279.4, 215.9), (105.0, 74.0), 8.0),
        ("76 x 24 mm", "letter", (279.4, 215.9), (76.0, 24.0), 8.0),
        // Sheets that are cut already have the margins that they have.
        ("4x2in", "letter", (215.9, 279.4), (101.6, 50.8), 3.9),
        ("4x3.33in", "letter", (215.9, 279.4), (101.6, 84.582), 3.9),
        ("99.1x67.7mm", "a4", (210.0, 297.0), (99.1, 67.7), 3.9),
    ] {
        let page = page(folder.path(), &["--size", size, "--paper", paper]);
        let (width, height) = sheet;
        assert!(
            page.contains(&format!("@page{{size:{width}mm {height}mm;margin:0}}")),
            "{size}"
        );
        let wanted = format!(".label{{width:{}mm;height:{}mm;", label.0, label.1);
        assert!(page.contains(&wanted), "{size}: {wanted}");
        let mut corners: Vec<(f64, f64)> = Vec::new();
        for (number, sheet) in page.split("<section class=\"sheet\"").skip(1).enumerate() {
            for place in sheet.split("<article class=\"label").skip(1) {
                let number_of = |key: &str| -> f64 {
                    let (_, rest) = place.split_once(key).unwrap();
                    rest.split("mm").next().unwrap().parse().unwrap()
                };
                let (left, top) = (number_of("left:"), number_of("top:"));
                assert!(
                    left >= margin && left + label.0 <= width - margin + 1e-9,
                    "{size}: {left}"
                );
                assert!(
                    top >= margin && top + label.1 <= height - 12.0 + 1e-9,
                    "{size}: {top}"
                );
                let apart = |(x, y): &(f64, f64)| {
                    (x - left).abs() >= label.0 - 1e-6 || (y - top).abs() >= label.1 - 1e-6
                };
                if number == 0 {
                    assert!(corners.iter().all(apart), "{size}: {left} {top}");
                    corners.push((left, top));
                }
            }
        }
        assert!(corners.len() > 3, "{size}");
    }
    let usual = |paper: &str| page(folder.path(), &["--paper", paper]);
    let first = |page: &str| {
        let (_, sheet) = page.split_once("<section class=\"sheet\"").unwrap();
        let (sheet, _) = sheet.split_once("</section>").unwrap();
        sheet.matches("<article").count()
    };
    assert_eq!((first(&usual("letter")), first(&usual("a4"))), (6, 8));
}

/// Only those that are missing, or large signs.
#[test]
fn only_what_is_missing_and_large_signs() {
    let folder = shops();
    let missing = page(folder.path(), &["--missing"]);
    let (_, body) = missing.split_once("<body>").unwrap();
    assert_eq!(body.matches("<article class=\"label").count(), 1);
    assert!(body.contains("data-of=\"J-9\""));
    let none = ["labels", "demo-shop", "J-1", "--missing", "--on", DEMO_DAY];
    assert_eq!(
        said(folder.path(), &none, 0),
        "Every container is on record as labeled. No labels were made.\n"
    );
    let signs = page(folder.path(), &["--signs"]);
    for words in [
        "OILY RAGS HERE",
        "RAGS UNDER WATER",
        "FLAMMABLE: KEEP FIRE AWAY",
        "NO SMOKING, NO FLAME",
    ] {
        assert!(signs.contains(words), "{words}");
    }
}

/// Where the size is below the least for what a pack holds, it is named.
#[test]
fn sizes_below_the_least_are_named() {
    let folder = shops();
    let told = |names: &[&str], size: &str| {
        let args = [
            "labels",
            "demo-shop",
            "--on",
            DEMO_DAY,
            "--size",
            size,
            "--out",
            "out.html",
        ];
        said(folder.path(), &[&args[..2], names, &args[2..]].concat(), 0).replace("\n  ", " ")
    };
    let quart = told(&["J-1"], "90x50mm");
    let line = "- A label of 90 x 50 mm is below the 52 x 74 mm that the EU asks for on a pack of up to 3 L if possible: J-1 (1 qt).";
    assert!(quart.contains(line), "{quart}");
    assert!(!told(&["J-1"], "105x74mm").contains("A label of"));
    let gallon = told(&["A-1", "A-4"], "90x50mm");
    let line = "- A label of 90 x 50 mm is below the 74 x 105 mm that the EU asks for on a pack of up to 50 L: A-1 (1 gal), A-4 (1 gal).";
    assert!(gallon.contains(line), "{gallon}");
    assert!(
        gallon.contains("are below the 23 mm that the EU asks for on a pack of up to 50 L"),
        "{gallon}"
    );
    assert!(!told(&["A-1"], "105x74mm").contains("A label of"));
    assert!(
        told(&["M-1"], "90x50mm")
            .contains("Not every sentence fits, so the others are on a card: M-1.")
    );
}

/// What is on single labels of the demo.
#[test]
fn what_labels_say() {
    let folder = shops();
    let label = |name: &str| {
        let text = bare(&page(folder.path(), &[name]));
        text.split("50 mm when printed").next().unwrap().to_string()
    };
    for (name, words) in [
        (
            "J-1",
            &[
                "shellac 2 lb cut, bleached J-1 Flame: flammable",
                "DANGER Highly flammable liquid and vapor.",
                "Contains ethanol",
                "made 10 Apr 2026, lot BL-0398 ; use by (past) 11 Oct 2026",
                "opened tested (ok / no)",
            ][..],
        ),
        // The alcohol that was poured in holds methanol, which the product's own row leaves out.
        ("J-3", &["Causes damage to organs.", "ethanol, methanol"]),
        (
            "F-1",
            &[
                "No hazard class is on record",
                "Its dust can burn",
                "test from 1 Jul 2028",
            ],
        ),
        (
            "X-1",
            &[
                "HAZARDS UNKNOWN",
                "Hazards unknown: see the data sheet. Missing: wax stripper; whether and how easily it burns.",
                "Treat it as poison",
            ],
        ),
        (
            "V-1",
            &[
                "Missing: varnish solids.",
                "Rags wet with it can catch fire by themselves",
            ],
        ),
        (
            "S-2",
            &[
                "HAZARDOUS WASTE",
                "started on or before 1 Jul 2026",
                "Ignitable: the flash point is below 140 °F (60 °C).",
                "full on picked up",
            ],
        ),
        (
            "S-1",
            &[
                "Brush wash: spent solvent.",
                "it is hazardous waste. Mark it as such",
            ],
        ),
        ("J-5", &["failed its test on 3 Oct 2026 DISCARD"]),
        ("C-1", &["Never mix with ammonia: the gas can kill."]),
        ("H-1", &["Never mix with bleach: the gas can kill."]),
        ("pad jar", &["A pad that touches drying oil is an oily rag"]),
        (
            "rag can",
            &[
                "CAN CATCH FIRE BY ITSELF",
                "at the end of every working day",
                "empty EVERY DAY",
            ],
        ),
        ("water can", &["Water only pauses it"]),
    ] {
        let found = label(name);
        for word in words {
            assert!(
                found.contains(word),
                "{name} does not say `{word}`:\n{found}"
            );
        }
        // Codes, and amounts that are out of date tomorrow, are on no label.
        let code = |word: &str| {
            let number = word.strip_prefix(['H', 'P']).unwrap_or("");
            number.len() >= 3 && number.bytes().take(3).all(|b| b.is_ascii_digit())
        };
        assert!(!found.split_whitespace().any(code), "{name}: {found}");
        assert!(
            !found.contains("fl oz") && !found.contains(" gal"),
            "{name}: {found}"
        );
    }
    // Bleached shellac is no bleach.
    assert!(!label("J-1").contains("Never mix"));
    // The card has whole sentences only, and each sentence is on the label or on the card.
    let small = bare(&page(folder.path(), &["A-1", "--size", "76x24mm"]));
    for words in [
        "A-1",
        "DANGER",
        "use by 23 Jun 2027",
        "Highly flammable liquid and vapor.",
    ] {
        assert!(small.contains(words), "{words}: {small}");
    }
    // Rags and powders carry no label unless they are asked for; nothing that is empty does.
    let all = page(folder.path(), &[]);
    for name in ["R-1", "PD-1", "SW-1", "P-1"] {
        assert!(!all.contains(&format!("data-of=\"{name}\"")), "{name}");
    }
    assert!(all.contains("Never use a jar, bottle or cup that held food or drink"));
}

/// Each thing that is refused, in whole, and all of them at once.
#[test]
fn what_is_refused() {
    let folder = shops();
    let refuses = |args: &[&str]| {
        said(
            folder.path(),
            &[&["labels", "demo-shop", "--on", DEMO_DAY], args].concat(),
            2,
        )
    };
    assert_eq!(
        refuses(&["J-1", "MX-22", "pad jarr", "R-1", "bench"]),
        "There is no container, pad jar or rag can \"MX-22\".\n  `sandarac stock` lists the containers.\n\n\
         There is no container, pad jar or rag can \"pad jarr\".\n  Did you mean \"pad jar\"?\n\n\
         R-1 is a row of rags or pads, which carry no label.\n  Label the pad jar or the can they go into, by the name of \
         its place.\n\n\
         bench is neither a pad jar nor a can for oily rags. Other places carry no label.\n  Name the containers that are \
         stored there.\n"
    );
    assert_eq!(
        refuses(&["--size", "300x200mm"]),
        "No label of 300 x 200 mm fits on letter paper with its margins.\n  Choose a smaller size.\n\nNo labels were made.\n"
    );
    for (size, why) in [
        (
            "90x50",
            "write width x height with a unit of length: 105x74mm, or 4x2in",
        ),
        (
            "90x50 gal",
            "write width x height with a unit of length: 105x74mm, or 4x2in",
        ),
        (
            "40x40mm",
            "a label must be at least 76 mm x 24 mm to be read at arm's length",
        ),
        (
            "90.00001x50mm",
            "a size may have at most three decimals of a mm",
        ),
    ] {
        assert_eq!(
            refuses(&["--size", size]),
            format!(
                "error: invalid value '{size}' for '--size <WxH>': {why}\n\nFor more information, try '--help'.\n"
            )
        );
    }
    assert_eq!(
        refuses(&["J-1", "--out", "no-such-folder/sheet.html"]),
        "no-such-folder/sheet.html cannot be written: there is no folder no-such-folder.\n  Check that you may write there and \
         that the disk has room, or name a file with `--out`, or print it with `--html -`.\n\nThe command did not finish.\n"
    );
    assert!(
        !folder.path().join("demo-shop/reports").exists(),
        "nothing is made where something is refused"
    );
    hostile(folder.path());
    let before = said(
        folder.path(),
        &["labels", "hostile-shop", "--on", "2025-01-01"],
        2,
    );
    assert_eq!(
        before,
        "No container holds a liquid or flakes on 2025-01-01.\n  Name a container to label it empty.\n\nNo labels were made.\n"
    );
}

/// In the shop's own folder the first word is a name, too.
#[test]
fn from_within_the_shop() {
    let folder = shops();
    let shop = folder.path().join("demo-shop");
    let page = said(
        &shop,
        &["labels", "J-1", "pad jar", "--on", DEMO_DAY, "--html", "-"],
        0,
    );
    assert!(page.contains("data-of=\"J-1\"") && page.contains("data-of=\"pad jar\""));
    assert_eq!(page.matches("<article").count(), 2);
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let args = ["labels", "--on", DEMO_DAY, "--html", "-"];
    let child = program(&shop, &args)
        .stdout(writer)
        .stderr(std::process::Stdio::piped())
        .spawn();
    let output = child.unwrap().wait_with_output().unwrap();
    assert!(
        output.stderr.is_empty() && output.status.success(),
        "{}",
        text(&output.stderr)
    );
}

/// A shop whose names would steer a page, in four scripts.
fn hostile(folder: &Path) -> PathBuf {
    let shop = folder.join("hostile-shop");
    std::fs::create_dir(&shop).unwrap();
    let cell = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let place = cell("</style><img src=x onerror=alert(1)>");
    let room = cell("</title><script>alert(1)</script>");
    let mut rows = String::from("container,product,lot,vessel,capacity,place,since,amount\n");
    for (id, product, lot) in [
        (
            "<script>1</script>",
            "<script>alert(2)</script>",
            "'\"><svg/onload=alert(1)>",
        ),
        (
            "\u{5e9}\u{5dd}-1",
            "\u{5e9}\u{5dc}\u{5d5}\u{5dd} 2 lb cut",
            "\u{5dc}\u{5d5}\u{5d8}",
        ),
        ("\u{1f9f4}-1", "emoji \u{1f525}\u{1f525} & more", "&amp;"),
        ("J-1", "red", "\u{202e}-->\u{1b}[31m"),
        ("{}", "@page{size:1mm}", "*/"),
        (&"y".repeat(300), &"\u{6f22}\u{5b57}".repeat(90), ""),
    ] {
        rows += &format!(
            "{},{},{},glass,1 L,{place},2026-11-01,0.5 L\n",
            cell(id),
            cell(product),
            cell(lot)
        );
    }
    for (name, text) in [
        (
            "shop.toml",
            "name = \"<script>alert('x')</script> & \\\"Co\\\"\"\nunits = \"metric\"\npacks = [\"trade\"]\nask = \"<b>Kim</b>\"\n".to_string(),
        ),
        ("rooms.csv", format!("room,use\n{room},finishing\n")),
        ("places.csv", format!("place,room,kind\n{place},{room},bench\n")),
        ("inventory.csv", rows),
    ] {
        std::fs::write(shop.join(name), text).unwrap();
    }
    shop
}

#[test]
fn names_are_shown_as_names() {
    let folder = shops();
    hostile(folder.path());
    let args = ["labels", "hostile-shop", "--on", NEW_DAY, "--html", "-"];
    let page = said(folder.path(), &args, 0);
    for word in ["<script", "<img", "<svg/", "\u{202e}", "\u{1b}"] {
        assert!(!page.contains(word), "{word:?}");
    }
    assert_eq!(page.matches("</style>").count(), 1);
    assert_eq!(
        page.matches("</title>").count(),
        1 + page.matches("<svg role").count()
    );
    for word in [
        "&lt;script&gt;alert(2)&lt;/script&gt;",
        "\u{5e9}\u{5dc}\u{5d5}\u{5dd} 2 lb cut",
        "\u{1f525}\u{1f525} &amp; more",
        "&amp;amp;",
        "\u{fffd}--&gt;\u{fffd}[31m",
    ] {
        assert!(page.contains(word), "{word}");
    }
    // Too long for a label: shortened there, and in full on the card, whatever the size.
    let small = [&args[..], &["--size", "76x24mm"]].concat();
    for page in [page, said(folder.path(), &small, 0)] {
        assert!(page.contains(&"y".repeat(300)) && page.contains("y…"));
    }
}

/// The shop's own shelf life counts.
#[test]
fn the_users_own_figure_counts() {
    let folder = shops();
    let shop = folder.path().join("demo-shop");
    let products = std::fs::read_to_string(shop.join("products.csv")).unwrap();
    let usual = bare(&page(folder.path(), &["T-1"]));
    assert!(usual.contains("use by 3 Mar 2028"), "{usual}");
    let own = products.replacen(
        "tung oil,drying-oil,,552 F,,0.94 kg/L,,,yes,,,",
        "tung oil,drying-oil,,552 F,,0.94 kg/L,,,yes,,9 months,",
        1,
    );
    assert!(own != products);
    std::fs::write(shop.join("products.csv"), own).unwrap();
    let page = bare(&page(folder.path(), &["T-1"]));
    assert!(
        page.contains("3 Dec 2026") && !page.contains("3 Mar 2028"),
        "{page}"
    );
    let toml = std::fs::read_to_string(shop.join("shop.toml")).unwrap();
    let args = [
        "labels",
        "demo-shop",
        "T-1",
        "--on",
        DEMO_DAY,
        "--html",
        "-",
    ];
    std::fs::write(
        shop.join("shop.toml"),
        toml.replace("ask       = \"the", "ask = 5 # \"the"),
    )
    .unwrap();
    let told = text(&run(folder.path(), &args).stderr);
    assert_eq!(
        told,
        "shop.toml, line 7, key \"ask\": The value has the wrong form.\n  Write a text in quotation marks.\n\n\
         1 problem. Nothing was audited.\n"
    );
}

/// `4 Jul 2026` of `2026-07-04`.
fn day_words(day: &str) -> String {
    sandarac::report::words::date(sandarac::quantity::Day::parse(day).unwrap())
}

/// A waste can that was empty begins on the day of the first drop; a pad that saw drying oil is an oily rag.
#[test]
fn waste_by_the_log_and_pads_with_oil() {
    let folder = shops();
    let shop = folder.path().join("demo-shop");
    let inventory = std::fs::read_to_string(shop.join("inventory.csv")).unwrap();
    let empty = inventory.replace("2026-07-01,88 fl oz", "2026-07-01,0 fl oz");
    assert!(empty != inventory);
    std::fs::write(shop.join("inventory.csv"), empty).unwrap();
    let log = std::fs::read_to_string(shop.join("log.csv")).unwrap();
    let first = log
        .lines()
        .find(|line| line.contains(",S-2,") && line.contains("decant"))
        .unwrap();
    let day = first.split(',').nth(1).unwrap().split('T').next().unwrap();
    std::fs::write(
        shop.join("log.csv"),
        format!("{log}999,2026-10-31T13:00,soil,PD-1,1 pcs,T-1,pad jar,,owner,,\n"),
    )
    .unwrap();
    let waste = bare(&page(folder.path(), &["S-2"]));
    assert!(
        waste.contains(&format!("started {}", day_words(day))),
        "{day}: {waste}"
    );
    let jar = bare(&page(folder.path(), &["pad jar"]));
    assert!(jar.contains("A pad in here touched drying oil"), "{jar}");
}
