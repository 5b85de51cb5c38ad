//! The data that is built in: rule packs, the demo, shops and packs to start from, and tables of what the trade knows.

use include_dir::{Dir, include_dir};

static PACKS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/data/packs");
static DEMO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/data/demo");
static STARTER: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/data/starter");
static PACK_STARTER: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/data/pack-starter");

/// Properties of generic materials.
pub static MATERIALS: &str = include_str!("../../data/materials.csv");
/// Shelf lives.
pub static KEEPING: &str = include_str!("../../data/keeping.csv");
/// The questions of the round.
pub static CHECKS: &str = include_str!("../../data/checks.csv");
/// The questions of the round that rules answer.
pub static WORKED_OUT: &str = include_str!("../../data/worked-out.csv");
/// The cautions of a report.
pub static CAUTIONS: &str = include_str!("../../data/cautions.toml");
/// Which records are kept, and for how long.
pub static RECORDS: &str = include_str!("../../data/records.csv");
/// The tables of the harmonized system for labels, in the order in which they are read.
pub static GHS: [&str; 5] = [
    include_str!("../../data/ghs/classes.csv"),
    include_str!("../../data/ghs/statements.csv"),
    include_str!("../../data/ghs/limits.csv"),
    include_str!("../../data/ghs/substances.csv"),
    include_str!("../../data/ghs/sizes.csv"),
];

/// Path inside a folder, and text.
pub type EmbeddedFile = (&'static str, &'static str);

/// The files of every rule pack, without their worked cases: `us-workplace/pack.toml`.
pub fn built_in_packs() -> Vec<EmbeddedFile> {
    // What is only skipped must not be read: the cases are larger than the rules.
    files_in(&PACKS, |folder| !folder.path().ends_with("cases"))
}

pub fn demo() -> Vec<EmbeddedFile> {
    files_of(&DEMO)
}

/// The shop to start from.
pub fn starter() -> Vec<EmbeddedFile> {
    files_of(&STARTER)
}

/// The rule pack to start from.
pub fn pack_starter() -> Vec<EmbeddedFile> {
    files_of(&PACK_STARTER)
}

fn files_of(folder: &Dir<'static>) -> Vec<EmbeddedFile> {
    files_in(folder, |_| true)
}

/// All files below a folder and below those of its folders that are wanted, by path.
fn files_in(folder: &Dir<'static>, is_wanted: fn(&Dir<'static>) -> bool) -> Vec<EmbeddedFile> {
    let own = folder
        .files()
        .filter_map(|file| Some((file.path().to_str()?, file.contents_utf8()?)));
    let folders = folder.dirs().filter(|inner| is_wanted(inner));
    let below = folders.flat_map(|inner| files_in(inner, is_wanted));
    let mut files: Vec<EmbeddedFile> = own.chain(below).collect();
    files.sort_unstable();
    files
}

#[cfg(test)]
mod tests {
    use super::{PACKS, built_in_packs, demo, files_of, pack_starter, starter};
    use std::path::Path;

    /// A file that is new since the last build is not seen by the compiler: touch this file then.
    #[test]
    fn every_file_is_built_in_and_is_text() {
        fn count(folder: &Path) -> usize {
            let entries = std::fs::read_dir(folder).unwrap();
            let paths = entries.map(|entry| entry.unwrap().path());
            paths
                .map(|path| if path.is_dir() { count(&path) } else { 1 })
                .sum()
        }
        let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("data");
        let found = [
            ("packs", files_of(&PACKS)),
            ("demo", demo()),
            ("starter", starter()),
            ("pack-starter", pack_starter()),
        ];
        for (folder, files) in found {
            assert_eq!(
                files.len(),
                count(&data.join(folder)),
                "touch src/pack/embedded.rs: {folder}"
            );
        }
        assert!(
            built_in_packs()
                .iter()
                .any(|(path, _)| *path == "trade/pack.toml")
        );
    }
}
