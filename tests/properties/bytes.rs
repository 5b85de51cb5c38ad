//! Any bytes in any file of a shop or a pack: problems or an audit, never a panic. `tests/fuzz` looks for longer.

use crate::few;
use crate::shop::{base, everything};
use proptest::collection::vec;
use proptest::prelude::{Strategy, any, prop_assert, prop_oneof, proptest};
use proptest::sample::{Index, select};
use sandarac::check::bind;
use sandarac::pack::{Document, load_held, read_cases};
use sandarac::text::{Files, Problems, show_all, steers};

/// What is done to the bytes of one file.
#[derive(Clone, Debug)]
enum Harm {
    Replace(Vec<u8>),
    Insert(Index, Vec<u8>),
    Cut(Index, Index),
    Twice(Index, Index),
    Cell(Index, String),
}

fn harm() -> impl Strategy<Value = Harm> {
    let sharp = select(vec![
        "\"",
        ",",
        "\n",
        "\r",
        "\r\n",
        "\0",
        "\u{feff}",
        "#",
        "-",
        "=",
        "1/0",
        "1/3",
        "99999999",
        "999999999 gal",
        "-1 qt",
        "2026-02-30",
        "0 gal",
        "0.0000000000000000001 tbsp",
        "\u{202e}",
        "漆",
        "[[limit]]\n",
        "use",
        "correct",
        "R-1",
        "V-1",
        "none",
        "-500 F",
        "100 %",
        "0 ft",
        "0.00001 in",
        "yes",
        "2199-12-31",
        "1900-01-01",
        ";",
        "\u{1b}[2J",
        "\u{9b}2J",
        "\u{2067}",
        "\u{a0}",
        "\u{200b}",
        "“",
        "\t",
        "sep=;",
        "45962",
        "45962.73",
        "11/2/26",
        "2-Nov-26",
        "2026-11-03 09:00:00",
        "########",
        "1.00E+03",
        "1E+99",
        "007",
        "=1+1",
        "Cabinet",
        "[",
        "{",
        "a.b.c.",
        "\"\"\"",
        "value = \"1/3 qt\"",
        "class = [\"slow\"]",
        "\\u202e",
    ]);
    let bytes = prop_oneof![
        vec(any::<u8>(), 0..40),
        sharp.clone().prop_map(|word| word.as_bytes().to_vec())
    ];
    prop_oneof![
        1 => vec(any::<u8>(), 0..200).prop_map(Harm::Replace),
        4 => (any::<Index>(), bytes).prop_map(|(at, bytes)| Harm::Insert(at, bytes)),
        2 => (any::<Index>(), any::<Index>()).prop_map(|(a, b)| Harm::Cut(a, b)),
        2 => (any::<Index>(), any::<Index>()).prop_map(|(a, b)| Harm::Twice(a, b)),
        4 => (any::<Index>(), sharp.prop_map(str::to_string)).prop_map(|(at, word)| Harm::Cell(at, word)),
    ]
}

fn harmed(bytes: &[u8], harm: &Harm) -> Vec<u8> {
    let range = |a: &Index, b: &Index| {
        let (a, b) = (a.index(bytes.len() + 1), b.index(bytes.len() + 1));
        a.min(b)..a.max(b)
    };
    match harm {
        Harm::Replace(new) => new.clone(),
        Harm::Insert(at, new) => {
            let at = at.index(bytes.len() + 1);
            [&bytes[..at], new, &bytes[at..]].concat()
        }
        Harm::Cut(a, b) => {
            let gone = range(a, b);
            [&bytes[..gone.start], &bytes[gone.end..]].concat()
        }
        Harm::Twice(a, b) => {
            let again = range(a, b);
            [
                &bytes[..again.end],
                &bytes[again.clone()],
                &bytes[again.end..],
            ]
            .concat()
        }
        Harm::Cell(at, word) => {
            let mut cells: Vec<&[u8]> = bytes
                .split_inclusive(|b| matches!(b, b',' | b'\n'))
                .collect();
            if cells.is_empty() {
                return word.as_bytes().to_vec();
            }
            let at = at.index(cells.len());
            let end = cells[at]
                .iter()
                .rev()
                .take_while(|b| matches!(b, b',' | b'\n'))
                .count();
            let new = [word.as_bytes(), &cells[at][cells[at].len() - end..]].concat();
            cells[at] = &new;
            cells.concat()
        }
    }
}

proptest! {
    #![proptest_config(few(200))]

    /// Whatever stands in the files of a shop: a message that says how many problems there are, or an audit.
    #[test]
    fn any_bytes_give_problems_or_an_audit(harms in vec((any::<Index>(), harm()), 1..4)) {
        let mut shop = base();
        for (file, harm) in &harms {
            let at = file.index(shop.len());
            shop[at].1 = harmed(&shop[at].1, harm);
        }
        match everything(&shop) {
            Ok(report) => prop_assert!(!steering(&report), "steers a terminal"),
            Err(told) => {
                prop_assert!(told.ends_with("Nothing was audited.\n"), "{}", told);
                prop_assert!(!steering(&told), "{:?}", told);
            }
        }
    }

    /// Whatever stands in the files of a pack: problems, or rules that are bound.
    #[test]
    fn any_bytes_in_a_pack_give_problems_or_rules(harms in vec((any::<Index>(), harm()), 1..4)) {
        let (mut files, mut problems) = (Files::default(), Problems::new());
        let mut texts = pack_files();
        for (file, harm) in &harms {
            let at = file.index(texts.len());
            texts[at].1 = harmed(&texts[at].1, harm);
        }
        let parts: Vec<_> = texts
            .into_iter()
            .map(|(path, bytes)| (path.clone(), files.hold(path, bytes)))
            .collect();
        let pack = load_held("pack", &parts, &mut files, &mut problems);
        for rule in pack.iter().flat_map(|pack| &pack.rules) {
            bind(rule, pack.as_ref().unwrap(), &mut problems);
        }
        if let Some((_, cases)) = parts.iter().find(|(path, _)| path.starts_with("cases/"))
            && let Some(document) = Document::parse(&files, *cases, &mut problems)
        {
            read_cases(&document, &mut problems);
        }
        prop_assert!(pack.is_some() || !problems.none(), "neither a pack nor a problem");
        if !problems.none() {
            let told = show_all(&problems, &files);
            prop_assert!(told.contains(" problem") && !steering(&told), "{:?}", told);
        }
    }
}

fn steering(text: &str) -> bool {
    text.contains(|c| c != '\n' && steers(c))
}

/// The files of the small pack of the problems.
fn pack_files() -> Vec<(String, Vec<u8>)> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/problems/base/pack");
    let names = [
        "pack.toml",
        "sources.toml",
        "classes.toml",
        "rules/jar-size.toml",
        "cases/jar-size.toml",
    ];
    names
        .map(|name| (name.to_string(), std::fs::read(folder.join(name)).unwrap()))
        .into()
}

fn with(name: &str, bytes: &[u8]) -> Result<String, String> {
    let mut shop = base();
    for (there, text) in &mut shop {
        if there == name {
            *text = bytes.to_vec();
        }
    }
    everything(&shop)
}

/// Half a letter at the end of one cell and half at the start of the next are no letter.
#[test]
fn a_letter_does_not_reach_over_a_comma() {
    let table = b"container,product,vessel,capacity,place,since,amount,lot,note\n\
        A-1,denatured alcohol,metal,1 gal,cabinet,2026-11-02,1 gal,caf\xc3,\xa9\n\
        A-2,denatured alcohol,glass,1 qt,bench,2026-11-02,8 fl oz,,\n\
        V-1,oil varnish,metal,1 qt,cabinet,2026-11-02,1 qt,,\n\
        R-1,cotton rags,rag,,bench,2026-11-02,20 pcs,,\n";
    let told = with("inventory.csv", table).unwrap_err();
    assert!(
        told.contains(": These bytes are not UTF-8 text.\n"),
        "{told}"
    );
}

/// A comment may say what it likes.
#[test]
fn a_comment_may_hold_an_inch_mark() {
    let table = b"# boards of 3/4\" lie here\nroom,use,length,width,height,level\n\
        finishing,finishing,20 ft,12 ft,9 ft,ground\n";
    let told = with("rooms.csv", table);
    assert!(told.is_ok(), "{told:?}");
}
