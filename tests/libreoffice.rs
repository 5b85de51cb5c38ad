//! Every table of the starter and the demo, opened and saved by LibreOffice in US, German and French locales, as each kind of
//! CSV and through the workbook: the audit stays the same. Where LibreOffice is not installed, these tests say so and end;
//! `SANDARAC_LIBREOFFICE=must` makes that a fault.
#![allow(clippy::unwrap_used, clippy::panic, clippy::print_stderr)]

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_sandarac");
const SHOPS: [(&str, &str); 2] = [("starter", "2026-11-24"), ("demo", "2026-10-31")];

/// A locale: its name, the number by which LibreOffice knows it, and the lines of shop.toml that its tables may need.
const LOCALES: [(&str, &str, &str); 3] = [
    ("en-US", "1033", "dates = \"month-first\"\n"),
    (
        "de-DE",
        "1031",
        "dates = \"day-first\"\ndecimals = \"comma\"\n",
    ),
    (
        "fr-FR",
        "1036",
        "dates = \"day-first\"\ndecimals = \"comma\"\n",
    ),
];

/// A kind of CSV: separator, encoding, and whether every cell is quoted, as options of LibreOffice's filter (from its own
/// help on filter options: separator, text mark, character set, first line, columns, language, quote all, detect numbers).
/// The character sets are numbers too: 76 is UTF-8, 65535 is UTF-16.
const KINDS: [(&str, &str, &str, &str); 5] = [
    ("commas", "44", "76", "false"),
    ("semicolons", "59", "76", "false"),
    ("tabs", "9", "76", "false"),
    ("UTF-16", "9", "65535", "false"),
    ("all quoted", "44", "76", "true"),
];

/// The program, if it is installed.
fn office() -> Option<&'static str> {
    let found = ["soffice", "libreoffice", "localc"]
        .into_iter()
        .find(|name| {
            let run = Command::new(name)
                .arg("--version")
                .stdin(Stdio::null())
                .output();
            run.is_ok_and(|output| output.status.success())
        });
    if found.is_none() {
        assert!(
            std::env::var_os("SANDARAC_LIBREOFFICE").is_none_or(|it| it != "must"),
            "LibreOffice is not installed"
        );
        eprintln!("LibreOffice is not installed: its tables were not tried");
    }
    found
}

/// Opens files and saves them into a folder in another form, in a locale such as de-DE.
fn convert(
    (office, locale): (&str, &str),
    home: &Path,
    (infilter, to): (&str, &str),
    files: &[PathBuf],
    into: &Path,
) {
    let profile = format!(
        "-env:UserInstallation=file://{}",
        home.join("profile").display()
    );
    let mut command = Command::new(office);
    command.env("LC_ALL", format!("{}.UTF-8", locale.replace('-', "_")));
    command.args([&profile, "--headless", "--convert-to", to, "--outdir"]);
    command.arg(into);
    if !infilter.is_empty() {
        command.arg(format!("--infilter={infilter}"));
    }
    let output = command.args(files).stdin(Stdio::null()).output().unwrap();
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{told}");
}

fn data(shop: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("data")
        .join(shop)
}

/// The tables of a built-in shop.
fn tables(shop: &str) -> Vec<PathBuf> {
    let list = std::fs::read_dir(data(shop)).unwrap();
    let paths = list.map(|entry| entry.unwrap().path());
    paths
        .filter(|path| path.extension().is_some_and(|end| end == "csv"))
        .collect()
}

fn run(folder: &Path, args: &[&str]) -> (String, String, Option<i32>) {
    let mut command = Command::new(PROGRAM);
    let output = command
        .current_dir(folder)
        .args(args)
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        text(output.stdout),
        text(output.stderr),
        output.status.code(),
    )
}

/// The audit, with the lines of the locale where it asks for them.
fn audit(folder: &Path, shop: &str, on: &str, lines: &str) -> String {
    let toml = std::fs::read_to_string(data(shop).join("shop.toml")).unwrap();
    let args = ["audit", ".", "--on", on, "--no-reports", "--json", "-"];
    std::fs::write(folder.join("shop.toml"), &toml).unwrap();
    let (out, err, code) = run(folder, &args);
    if code != Some(2) {
        return out;
    }
    assert!(err.contains("to the top of shop.toml"), "{err}");
    assert!(err.contains("1 problem."), "{err}");
    std::fs::write(folder.join("shop.toml"), format!("{lines}{toml}")).unwrap();
    let (out, err, code) = run(folder, &args);
    assert_ne!(code, Some(2), "{err}");
    out
}

#[test]
fn tables_that_were_opened_and_saved_give_the_same_audit() {
    let Some(office) = office() else { return };
    let home = TempDir::new().unwrap();
    for (shop, on) in SHOPS {
        let expected = {
            let folder = TempDir::new().unwrap();
            for table in tables(shop) {
                std::fs::copy(&table, folder.path().join(table.file_name().unwrap())).unwrap();
            }
            audit(folder.path(), shop, on, "")
        };
        for (locale, language, lines) in LOCALES {
            for (kind, separator, set, quoted) in KINDS {
                let folder = TempDir::new().unwrap();
                let opened =
                    format!("Text - txt - csv (StarCalc):44,34,76,1,,{language},false,true");
                let saved = format!(
                    "csv:Text - txt - csv (StarCalc):{separator},34,{set},1,,{language},{quoted},true,false"
                );
                convert(
                    (office, locale),
                    home.path(),
                    (&opened, &saved),
                    &tables(shop),
                    folder.path(),
                );
                let audit = audit(folder.path(), shop, on, lines);
                assert_eq!(audit, expected, "{shop}, {locale}, {kind}");
            }
        }
    }
}

/// A workbook that was opened and saved has no changes in any of the locales, and an .ods file is taken like an .xlsx.
#[cfg(feature = "workbook")]
#[test]
fn a_workbook_that_was_opened_and_saved_has_no_changes() {
    let Some(office) = office() else { return };
    let home = TempDir::new().unwrap();
    for (shop, _) in SHOPS {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("shop");
        std::fs::create_dir(&path).unwrap();
        for table in tables(shop) {
            std::fs::copy(&table, path.join(table.file_name().unwrap())).unwrap();
        }
        std::fs::copy(data(shop).join("shop.toml"), path.join("shop.toml")).unwrap();
        assert_eq!(
            run(folder.path(), &["workbook", "shop", "shelf.xlsx"]).2,
            Some(0)
        );
        for ((locale, ..), form) in LOCALES.iter().flat_map(|it| [(it, "xlsx"), (it, "ods")]) {
            let saved = folder.path().join(locale);
            convert(
                (office, locale),
                home.path(),
                ("", form),
                &[folder.path().join("shelf.xlsx")],
                &saved,
            );
            let taken = format!("{locale}/shelf.{form}");
            let (out, err, code) = run(
                folder.path(),
                &["workbook", "shop", "--take", &taken, "--yes"],
            );
            assert_eq!(
                (err.as_str(), code),
                ("", Some(0)),
                "{shop}, {locale}, {form}"
            );
            assert_eq!(
                out, "There are no changes to take. Nothing was written.\n",
                "{shop}, {locale}, {form}"
            );
        }
    }
}
