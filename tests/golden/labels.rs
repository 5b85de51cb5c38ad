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

/// One file that asks nothing of anybody and runs nothing.
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
    // Each pictogram is told in words too.
    let signs = page.matches("<svg role=\"img\" aria-label=\"").count();
    assert_eq!(signs, links.len());
}

/// The sheet and its labels in millimetres, and no label over the edge of its sheet.
#[test]
fn exact_millimetres() {
    let folder = shops();
    for (size, paper, sheet, label) in [
        ("90x50mm", "a4", (210.0, 297.0), (90.0, 50.0)),
        ("4x2in", "letter", (279.4, 215.9), (101.6, 50.8)),
        ("105x74mm", "letter", (279.4, 215.9), (105.0, 74.0)),
        ("2 5/8 x 2 in", "a4", (297.0, 210.0), (66.675, 50.8)),
        ("50 x 38 mm", "letter", (279.4, 215.9), (50.0, 38.0)),
    ] {
        let page = page(folder.path(), &["--size", size, "--paper", paper]);
        let (width, height) = sheet;
        assert!(
            page.contains(&format!("@page{{size:{width}mm {height}mm;margin:0}}")),
            "{size}"
        );
        let wanted = format!(".label{{width:{}mm;height:{}mm;", label.0, label.1);
        assert!(page.contains(&wanted), "{size}: {wanted}");
        let mut labels = 0;
        for place in page.split("<article class=\"label\" style=\"").skip(1) {
            let number = |key: &str| -> f64 {
                let (_, rest) = place.split_once(key).unwrap();
                rest.split("mm").next().unwrap().parse().unwrap()
            };
            let (left, top) = (number("left:"), number("top:"));
            assert!(
                left >= 8.0 && left + label.0 <= width - 8.0 + 1e-9,
                "{size}: {left}"
            );
            assert!(
                top >= 8.0 && top + label.1 <= height - 13.0 + 1e-9,
                "{size}: {top}"
            );
            labels += 1;
        }
        assert!(labels > 40, "{size}");
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
    let line = "- A label of 90 x 50 mm is below the 52 x 74 mm of a pack of up to 3 L, which is asked for if possible: J-1 (1 qt).";
    assert!(quart.contains(line), "{quart}");
    assert!(!told(&["J-1"], "74x52mm").contains("A label of"));
    assert!(
        !told(&["J-1"], "52x74mm").contains("A label of"),
        "either way up"
    );
    let gallon = told(&["A-1", "A-4"], "90x50mm");
    let line = "- A label of 90 x 50 mm is below the 74 x 105 mm of a pack of up to 50 L: A-1 (1 gal), A-4 (1 gal).";
    assert!(gallon.contains(line), "{gallon}");
    assert!(
        gallon.contains("are below the 23 mm of a pack of up to 50 L"),
        "{gallon}"
    );
    assert!(!told(&["A-1"], "105x74mm").contains("A label of"));
    assert!(told(&["M-1"], "90x50mm").contains("The text goes on over "));
}

/// What stands on single labels of the demo.
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
                "2 lb cut: 2 lb of flakes to 1 US gallon of alcohol",
                "bleached, lot BL-0398",
                "ethanol 76.7 mass %",
                "made 2026-04-10",
                "2026-10-11, PAST (after a passed test; keeping times, shellac-bleached-thin, grade M)",
                "glass on 2026-07-11: pass, dry in 9 min",
                "DANGER",
                "H225 Highly flammable liquid and vapour.",
                "H319",
                "10 fl oz of 1 qt on 2026-10-31; place: cabinet, finishing room",
                "the restorer, at the polishing bench",
                "Never in a food or drink container.",
            ][..],
        ),
        // The alcohol that was poured in holds methanol, which the product's own row leaves out.
        (
            "J-3",
            &[
                "poured in: denatured alcohol",
                "H370 Causes damage to organs.",
                "ethanol, methanol",
            ],
        ),
        (
            "F-1",
            &[
                "No hazard class is on record",
                "Its dust can burn",
                "test from 2028-07-01",
            ],
        ),
        (
            "X-1",
            &[
                "HAZARDS NOT KNOWN",
                "Hazards not known: see data sheet. Missing: wax stripper; whether and how easily it burns.",
                "Made of: not known: see data sheet",
                "treat it as poison",
            ],
        ),
        (
            "V-1",
            &[
                "Missing: varnish solids.",
                "Rags, pads and paper wet with it heat themselves",
            ],
        ),
        (
            "S-2",
            &[
                "HAZARDOUS WASTE",
                "Start date: 2026-07-01 or earlier: it held some when the inventory began",
                "Contents: mineral spirits 50 vol %; denatured alcohol 50 vol %",
                "ignitable: flash point below 60 C",
            ],
        ),
        (
            "S-1",
            &[
                "BRUSH WASH, spent solvent",
                "Once it is of no more use it is hazardous waste",
            ],
        ),
        (
            "pad jar",
            &[
                "2 polishing pad, used (PD-1)",
                "No drying oil is on record here. A pad that sees it becomes an oily rag",
            ],
        ),
        (
            "rag can",
            &[
                "OILY WASTE: HEATS ITSELF, CAN CATCH FIRE",
                "at the end of every working day",
                "Last emptied: 2026-10-31T12:10",
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
            "a label needs room for a heading and five pictograms of 10 mm: 50 mm x 38 mm, or 76 mm x 24 mm, is the \
          least",
        ),
        (
            "90.00001x50mm",
            "a size is taken to the micrometre: give no more than three decimals of a mm",
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
    for word in ["<script", "<img", "<svg/", "<b>Kim", "\u{202e}", "\u{1b}"] {
        assert!(!page.contains(word), "{word:?}");
    }
    assert_eq!(page.matches("</style>").count(), 1);
    assert_eq!(
        page.matches("</title>").count(),
        1 + page.matches("<svg role").count()
    );
    for word in [
        "&lt;script&gt;alert(2)&lt;/script&gt;",
        "&lt;b&gt;Kim&lt;/b&gt;",
        "\u{5e9}\u{5dc}\u{5d5}\u{5dd} 2 lb cut",
        "\u{1f525}\u{1f525} &amp; more",
        "&amp;amp;",
        "\u{fffd}--&gt;\u{fffd}[31m",
    ] {
        assert!(page.contains(word), "{word}");
    }
    // Too long for a heading: shortened there, and in full below.
    assert!(page.contains(&"y".repeat(300)) && page.contains("y…"));
    // A narrow label shows all of it too, over as many labels as it takes.
    let small = [&args[..], &["--size", "50x38mm"]].concat();
    let small = said(folder.path(), &small, 0);
    let letters = |page: &str| bare(page).matches('y').count();
    assert!(letters(&small) >= 300);
}

/// The shop's own keeping time is named as such; an unwritten one says so.
#[test]
fn the_users_own_figure_is_named() {
    let folder = shops();
    let shop = folder.path().join("demo-shop");
    let products = std::fs::read_to_string(shop.join("products.csv")).unwrap();
    let own = products.replacen(
        "tung oil,drying-oil,,552 F,,0.94 kg/L,,,yes,,,",
        "tung oil,drying-oil,,552 F,,0.94 kg/L,,,yes,,9 months,",
        1,
    );
    assert!(own != products);
    std::fs::write(shop.join("products.csv"), own).unwrap();
    let page = bare(&page(folder.path(), &["T-1"]));
    assert!(
        page.contains("your own figure, keeps_opened in products.csv"),
        "{page}"
    );
    let toml = std::fs::read_to_string(shop.join("shop.toml")).unwrap();
    let mute: String = toml
        .lines()
        .filter(|line| !line.starts_with("ask"))
        .map(|line| format!("{line}\n"))
        .collect();
    std::fs::write(shop.join("shop.toml"), mute).unwrap();
    let args = [
        "labels",
        "demo-shop",
        "T-1",
        "--on",
        DEMO_DAY,
        "--html",
        "-",
    ];
    assert!(
        bare(&said(folder.path(), &args, 0)).contains("Ask: not known: give `ask` in shop.toml")
    );
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
        waste.contains(&format!("Start date: {day}")),
        "{day}: {waste}"
    );
    let jar = bare(&page(folder.path(), &["pad jar"]));
    assert!(
        jar.contains("A pad here saw drying oil") && jar.contains("tung oil"),
        "{jar}"
    );
}
