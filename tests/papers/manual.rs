//! Completions and manual pages have every command and every flag, since they come from the same definitions.

use crate::said;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

fn commands() -> Vec<clap::Command> {
    let definition = sandarac::cli::definition();
    definition.get_subcommands().cloned().collect()
}

fn flags(command: &clap::Command) -> Vec<String> {
    let longs = command.get_arguments().filter_map(clap::Arg::get_long);
    longs.map(str::to_string).collect()
}

#[test]
fn every_shell_completes_every_command() {
    let folder = TempDir::new().unwrap();
    for shell in ["powershell", "elvish"] {
        let text = said(folder.path(), &["completions", shell], 0);
        for command in commands() {
            assert!(
                text.contains(command.get_name()),
                "{shell}: {}",
                command.get_name()
            );
            for flag in flags(&command) {
                assert!(
                    text.contains(&flag),
                    "{shell}: {} --{flag}",
                    command.get_name()
                );
            }
        }
    }
    for shell in ["bash", "zsh", "fish"] {
        let text = said(folder.path(), &["completions", shell], 0);
        assert!(text.contains("SANDARAC_COMPLETE"), "{shell}: {text}");
        let all = asked(folder.path(), shell, &[""]);
        for command in commands() {
            let name = command.get_name();
            assert!(all.iter().any(|it| it == name), "{shell}: {name}");
            let flags_of = asked(folder.path(), shell, &[name, "--"]);
            for flag in flags(&command) {
                let flag = format!("--{flag}");
                assert!(flags_of.contains(&flag), "{shell}: {name} {flag}");
            }
        }
    }
    assert_eq!(
        crate::run(folder.path(), &["completions", "cmd"])
            .status
            .code(),
        Some(2)
    );
}

/// What the program answers a shell that completes the last of these words.
fn asked(folder: &Path, shell: &str, words: &[&str]) -> Vec<String> {
    let output = Command::new(env!("CARGO_BIN_EXE_sandarac"))
        .current_dir(folder)
        .env("SANDARAC_COMPLETE", shell)
        .env("_CLAP_COMPLETE_INDEX", words.len().to_string())
        .env("_CLAP_IFS", "\n")
        .args(["--", "sandarac"])
        .args(words)
        .output()
        .unwrap();
    assert!(output.status.success(), "{output:?}");
    let text = String::from_utf8(output.stdout).unwrap();
    // Zsh and fish get a remark with each word.
    let bare = |line: &str| {
        let word = line.split(['\t', ':']).next().unwrap_or_default();
        word.to_string()
    };
    text.lines().map(bare).collect()
}

#[test]
fn shells_complete_the_names_of_the_shop() {
    let folder = crate::demo();
    let folder = folder.path();
    for shell in ["bash", "zsh", "fish"] {
        let asked = |words: &[&str]| asked(folder, shell, words);
        let jars = asked(&["log", "--shop", "shop", "use", "j-"]);
        assert!(jars.contains(&"J-1".to_string()), "{shell}: {jars:?}");
        assert!(!jars.contains(&"A-1".to_string()), "{shell}: {jars:?}");
        let cans = asked(&["log", "bin", "--shop=shop", "R-1", "rag"]);
        let cans: std::collections::BTreeSet<String> = cans.into_iter().collect();
        assert_eq!(Vec::from_iter(cans), ["rag-can", "rag-shelf"], "{shell}");
        let products = asked(&[
            "log",
            "--shop",
            "shop",
            "receive",
            "Z-1",
            "1qt",
            "--product",
            "dan",
        ]);
        assert!(
            products.contains(&"Danish-oil".to_string()),
            "{shell}: {products:?}"
        );
        let questions = asked(&["log", "--shop", "shop", "check", "lids"]);
        assert_eq!(questions, ["lids-closed"], "{shell}");
        let why = asked(&["stock", "shop", "--why", "V"]);
        assert_eq!(why, ["V-1", "V-2"], "{shell}");
    }
    // Where there is no shop, there are no names, and no complaint.
    assert!(asked(Path::new("/"), "bash", &["log", "use", "J"]).is_empty());
}

/// Where there is a bash, it takes the script and completes with it, in the way it does while a person types.
#[test]
fn bash_completes() {
    let folder = crate::demo();
    let script = said(folder.path(), &["completions", "bash"], 0);
    std::fs::write(folder.path().join("words"), script).unwrap();
    let program = Path::new(env!("CARGO_BIN_EXE_sandarac"));
    let path = format!(
        "{}:{}",
        program.parent().unwrap().display(),
        std::env::var("PATH").unwrap()
    );
    let ask = "source ./words; type() { COMP_WORDS=(\"$@\"); COMP_CWORD=$(($# - 1)); COMP_TYPE=9; \
               _clap_complete_sandarac sandarac \"${@: -1}\" x; echo \"${COMPREPLY[*]}\"; }; \
               type sandarac calen; type sandarac log --shop shop empty wa";
    let mut bash = Command::new("bash");
    let Ok(output) = bash
        .current_dir(folder.path())
        .env("PATH", path)
        .args(["--norc", "-c", ask])
        .output()
    else {
        return;
    };
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(
        String::from_utf8_lossy(&output.stdout),
        "calendar\nwater-can\n",
        "{told}"
    );
}

#[test]
fn the_manual_has_every_command() {
    let folder = TempDir::new().unwrap();
    let page = said(folder.path(), &["man"], 0);
    for command in commands() {
        let name = command.get_name();
        assert!(page.contains(&format!("sandarac\\-{name}(1)")), "{name}");
        let own = said(folder.path(), &["man", name], 0);
        assert!(own.contains(&format!(".TH sandarac-{name} 1")), "{own}");
        for flag in flags(&command) {
            let shown = format!("\\-\\-{}", flag.replace('-', "\\-"));
            assert!(own.contains(&shown), "{name}: {shown}");
        }
    }
    let told = said(folder.path(), &["man", "calender"], 2);
    assert_eq!(
        told,
        "There is no command \"calender\".\n  Did you mean \"calendar\"?\n\nNothing was printed.\n"
    );
}
