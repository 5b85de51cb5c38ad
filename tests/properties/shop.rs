//! A shop held in memory, through everything that the program does with one.

use sandarac::audit::{NotAudited, Shop};
use sandarac::pack::{CAUTIONS, Document, MATERIALS, load_built_in};
use sandarac::quantity::Day;
use sandarac::record::{Materials, ShopTables, read_materials, read_shop, read_tables};
use sandarac::report::{
    Csv, FORMATS, Format, Json, Markdown, View, read_cautions, stock_table, terminal,
};
use sandarac::stock::{Stock, replay};
use sandarac::text::{Files, Problems, show_all};

pub(crate) const ON: &str = "2026-11-24";

pub(crate) fn base() -> Vec<(String, Vec<u8>)> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/problems/base/shop");
    let mut files: Vec<(String, Vec<u8>)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| {
            (
                path.file_name().unwrap().to_string_lossy().into_owned(),
                std::fs::read(&path).unwrap(),
            )
        })
        .collect();
    files.sort();
    files
}

/// The tables of a shop put together; `generic` says whether with the built-in materials, which take a while to read.
pub(crate) fn opened(
    shop: &[(String, Vec<u8>)],
    generic: bool,
    files: &mut Files,
) -> Result<ShopTables, String> {
    let mut problems = Problems::new();
    let named: Vec<_> = shop
        .iter()
        .map(|(name, bytes)| (name.as_str(), files.hold(name.clone(), bytes.clone())))
        .collect();
    let find = |wanted: &str| {
        named
            .iter()
            .find(|(name, _)| *name == wanted)
            .map(|(_, file)| *file)
    };
    let materials = if generic {
        let file = files.hold("data/materials.csv", MATERIALS.as_bytes());
        read_materials(files, file, &mut problems)
    } else {
        Materials::default()
    };
    let read = find("shop.toml")
        .and_then(|file| Document::parse(files, file, &mut problems))
        .and_then(|document| read_shop(&document, &mut problems));
    let tables = read.map(|read| read_tables(files, read, materials, find, &mut problems));
    if problems.none() {
        Ok(tables.unwrap())
    } else {
        Err(show_all(&problems, files))
    }
}

pub(crate) fn replayed(files: &mut Files, tables: &ShopTables, on: &str) -> Result<Stock, String> {
    let mut problems = Problems::new();
    let stock = replay(files, tables, Day::parse(on).unwrap(), &mut problems);
    if problems.none() {
        Ok(stock)
    } else {
        Err(show_all(&problems, files))
    }
}

/// Everything that `audit` does, in every format; what people read of it, or the problems as text.
pub(crate) fn everything(shop: &[(String, Vec<u8>)]) -> Result<String, String> {
    let texts: Vec<(&str, &[u8])> = shop
        .iter()
        .map(|(n, b)| (n.as_str(), b.as_slice()))
        .collect();
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let packs = ["us-workplace", "trade"]
        .into_iter()
        .filter_map(|id| load_built_in(id, &mut files, &mut problems))
        .collect();
    let cautions = files.hold("data/cautions.toml", CAUTIONS.as_bytes());
    let cautions = read_cautions(&files, cautions, &mut problems);
    assert!(problems.none());
    let told = |not| match not {
        NotAudited::Problems(problems) => problems.text("Nothing was audited."),
        other => format!("{other:?}"),
    };
    let shop = Shop::from_texts_with(&texts, packs).map_err(told)?;
    let audit = shop.audit(Day::parse(ON).unwrap()).map_err(told)?;
    let view = View::new(&audit, &cautions);
    for format in FORMATS {
        assert!(!format.text(&view).unwrap().is_empty());
    }
    let object = Json.text(&view).unwrap();
    serde_json::from_str::<serde_json::Value>(&object).unwrap();
    // The mark at the head of the CSV says UTF-8 to a spreadsheet.
    let table = Csv.text(&view).unwrap();
    Ok([
        Markdown.text(&view).unwrap(),
        table.trim_start_matches('\u{feff}').to_string(),
        terminal(&view, 80, true, None),
        stock_table(&view, 80),
    ]
    .concat())
}
