//! Completions and manual pages have every command and every flag, since they come from the same definitions.

use crate::said;
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
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let text = said(folder.path(), &["completions", shell], 0);
        assert!(text.len() > 2000, "{shell}");
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
    assert_eq!(
        crate::run(folder.path(), &["completions", "cmd"])
            .status
            .code(),
        Some(2)
    );
}

/// Where there is a bash, it takes the script and completes with it.
#[test]
fn bash_completes() {
    let folder = TempDir::new().unwrap();
    let script = said(folder.path(), &["completions", "bash"], 0);
    std::fs::write(folder.path().join("words"), script).unwrap();
    let ask = "source ./words; COMP_WORDS=(sandarac calen); COMP_CWORD=1; \
               _sandarac sandarac calen sandarac; echo \"${COMPREPLY[*]}\"";
    let mut bash = Command::new("bash");
    let Ok(output) = bash
        .current_dir(folder.path())
        .args(["--norc", "-c", ask])
        .output()
    else {
        return;
    };
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(
        String::from_utf8_lossy(&output.stdout),
        "calendar\n",
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
