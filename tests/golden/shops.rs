//! Odd shops: names that markup, spreadsheets and tables would trip over; names of 200 letters; hundreds of containers; none.
#![allow(dead_code, reason = "not every test needs every shop")]

use std::fmt::Write;
use std::path::{Path, PathBuf};

/// The day on which each is audited.
pub const DAY: &str = "2026-11-24";

/// Container names that are hard to carry: by what would trip over them.
pub const NAMES: [&str; 16] = [
    "<script>document.title='run'</script>",
    "</style><img src=x onerror=alert(1)>",
    "--> ]]> &amp; &lt;b&gt; &#60;",
    "\"double\", 'single' and `grave`",
    "one, two; three | four",
    "first line\nsecond line",
    "=HYPERLINK(\"x\")",
    "+1 jar",
    "-1 jar",
    "@jar",
    "\u{5e9}\u{5de}\u{5df} \u{5e4}\u{5e9}\u{5ea}\u{5df}",
    "\u{632}\u{64a}\u{62a} \u{627}\u{644}\u{643}\u{62a}\u{627}\u{646} 2",
    "\u{1f9d1}\u{200d}\u{1f3a8}\u{1fab5} \u{fe0f}jar",
    "\u{4e9c}\u{9ebb}\u{4ec1}\u{6cb9} cafe\u{301}",
    "# [a](b) *c* _d_ ~e~ $f$ \\g",
    "javascript:alert(1)//https://example.org",
];

/// A cell of a table, in quotation marks.
fn cell(text: &str) -> String {
    format!("\"{}\"", text.replace('"', "\"\""))
}

fn write(folder: &Path, files: &[(&str, &str)]) {
    std::fs::create_dir_all(folder).unwrap();
    for (name, text) in files {
        std::fs::write(folder.join(name), text).unwrap();
    }
}

fn shop_toml(name: &str, packs: &str) -> String {
    format!(
        "name = {name:?}\nunits = \"metric\"\npacks = [{packs}]\nemployees = 1\nbusiness = true\n"
    )
}

const BOTH: &str = "\"us-workplace\", \"us-fire-code\"";

/// Every one of these names is that of a container that breaks a rule, and of a place.
pub fn named(folder: &Path, names: &[&str]) -> PathBuf {
    let shop = folder.join("named-shop");
    let (mut places, mut rows) = (
        "place,room,kind,x,y\n".to_string(),
        "container,product,vessel,capacity,place,since,amount,labelled\n".to_string(),
    );
    for (at, name) in names.iter().enumerate() {
        let place = cell(&format!("p {name}"));
        writeln!(places, "{place},{},bench,{} m,1 m", cell(names[0]), at % 8).unwrap();
        writeln!(
            rows,
            "{},{},glass,8 L,{place},2026-11-02,4 L,no",
            cell(name),
            cell(&format!("denatured alcohol, {name}"))
        )
        .unwrap();
    }
    let room = cell(names[0]);
    write(
        &shop,
        &[
            ("shop.toml", &shop_toml(names[0], BOTH)),
            (
                "rooms.csv",
                &format!(
                    "room,use,length,width,height,level\n{room},finishing,8 m,5 m,3 m,ground\n"
                ),
            ),
            ("places.csv", &places),
            (
                "fixtures.csv",
                &format!("fixture,room,kind,rating,x,y\n{room},{room},heater,,7 m,4 m\n"),
            ),
            ("inventory.csv", &rows),
        ],
    );
    shop
}

/// Names of two hundred letters, with and without a space among them.
pub fn long_names(folder: &Path) -> PathBuf {
    let whole = "w".repeat(200);
    let spaced = "lacquered ".repeat(20);
    named(folder, &[spaced.trim(), &whole])
}

/// So many containers on a dozen shelves.
pub fn large(folder: &Path, containers: usize) -> PathBuf {
    let shop = folder.join("large-shop");
    let mut places = "place,room,kind,x,y\n".to_string();
    for shelf in 0..12 {
        writeln!(
            places,
            "shelf {shelf},hall,shelf,{} m,{} m",
            shelf % 4 * 3,
            shelf / 4
        )
        .unwrap();
    }
    let mut rows = "container,product,vessel,capacity,place,since,amount,labelled\n".to_string();
    let products = [
        "denatured alcohol",
        "tung oil",
        "mineral spirits",
        "something unknown",
    ];
    for at in 0..containers {
        writeln!(
            rows,
            "C-{at},{},glass,2 L,shelf {},2026-11-02,1 L,yes",
            products[at % products.len()],
            at % 12
        )
        .unwrap();
    }
    write(
        &shop,
        &[
            ("shop.toml", &shop_toml("large", BOTH)),
            (
                "rooms.csv",
                "room,use,length,width,height,level\nhall,finishing,12 m,9 m,3 m,ground\n",
            ),
            ("places.csv", &places),
            ("inventory.csv", &rows),
        ],
    );
    shop
}

/// A shop with much in a small room, whose evening session ends after midnight and clears until the next day.
pub fn late(folder: &Path) -> PathBuf {
    let shop = folder.join("late-shop");
    let mut places = "place,room,kind,x,y\n".to_string();
    let corners = [
        ("solvent cabinet by the door", "cabinet", 0.5, 0.5),
        ("long bench below the window", "bench", 2.0, 3.5),
        ("rag can beside the bench", "oily-waste-can", 2.6, 3.4),
        ("water can", "water-can", 3.0, 3.5),
        ("pad jar", "pad-jar", 2.2, 3.3),
        ("shelf of stains", "shelf", 3.8, 2.0),
        ("shelf of shellac", "shelf", 3.8, 2.4),
        ("south window", "window", 2.0, 4.0),
    ];
    for (name, kind, x, y) in corners {
        writeln!(places, "{name},spray corner,{kind},{x} m,{y} m").unwrap();
    }
    write(
        &shop,
        &[
            (
                "shop.toml",
                &shop_toml("late", BOTH).replace("metric", "us"),
            ),
            (
                "rooms.csv",
                "room,use,length,width,height,level\nspray corner,finishing,4 m,4 m,3 m,ground\n",
            ),
            ("places.csv", &places),
            (
                "fixtures.csv",
                "fixture,room,kind,rating,x,y\nextinguisher by the door,spray corner,extinguisher,2A:10B:C,0.2 m,1 m\n\
                 street door,spray corner,exit,,0 m,1.5 m\neyewash at the sink,spray corner,eyewash,,3.9 m,0.3 m\n\
                 breaker panel,spray corner,panel,,0 m,2 m\noil-filled heater,spray corner,heater,,1 m,0 m\n\
                 wall fan,spray corner,fan,,4 m,3 m\n",
            ),
            (
                "inventory.csv",
                "container,product,vessel,capacity,place,since,amount,labelled\n\
                 A-1,denatured alcohol,metal,4 L,long bench below the window,2026-11-02,4 L,yes\n\
                 L-1,lacquer thinner,metal,4 L,solvent cabinet by the door,2026-11-02,4 L,no\n",
            ),
            (
                "log.csv",
                "entry,when,what,container,amount,into,place,minutes,by,note\n\
                 1,2026-11-20T21:30,use,A-1,1 L,,,200,,\n",
            ),
        ],
    );
    shop
}

/// A shop in which no rule asks for anything: nothing in it, and the one question of its pack answered.
pub fn quiet(folder: &Path) -> PathBuf {
    let shop = folder.join("silent-shop");
    let trade =
        "name = \"silent\"\nunits = \"us\"\npacks = [\"trade\"]\nemployees = 0\nbusiness = false\n";
    write(
        &shop,
        &[
            ("shop.toml", trade),
            (
                "rooms.csv",
                "room,use,length,width,height\nstudy,other,4 m,3 m,3 m\n",
            ),
            (
                "inventory.csv",
                "container,product,vessel,capacity,place,since,amount\n",
            ),
            (
                "checks.csv",
                "when,check,where,answer\n2026-11-20T08:00,respirator-cartridges,,yes\n",
            ),
        ],
    );
    shop
}
