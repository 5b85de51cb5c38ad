//! What is written about the program is true of it: the commands of README run, the examples of the help run, and the
//! tables name what there is.
#![allow(clippy::unwrap_used, clippy::panic)]

use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;

/// Examples of the help that do not run yet, and why. One that runs leaves this list.
const AWAITED: [(&str, &str); 1] = [(
    "sandarac stock my-shop --why J-12",
    "the shop that `new` writes has no J-12, but a J-1",
)];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn readme() -> String {
    std::fs::read_to_string(root().join("README.md")).unwrap()
}

/// The commands at the prompts of the console fences, without the prompt.
fn commands(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut inside = false;
    for line in text.lines() {
        if let Some(fence) = line.trim_start().strip_prefix("```") {
            inside = !inside && fence.trim() == "console";
        } else if inside && let Some(command) = line.trim_start().strip_prefix("$ ") {
            found.push(command.trim().to_string());
        }
    }
    found
}

/// The words of a command; a comment ends it.
fn words(command: &str) -> Vec<&str> {
    let bare = command.split(" #").next().unwrap_or(command);
    assert!(
        !bare.contains(['"', '\'', '|', '>', '$', '*']),
        "not run by a test: {command}"
    );
    bare.split_whitespace().collect()
}

fn run(folder: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    command.current_dir(folder).args(args).output().unwrap()
}

#[track_caller]
fn runs(folder: &Path, command: &str) {
    for part in command.split("&&") {
        let words = words(part);
        let ["sandarac", args @ ..] = words.as_slice() else {
            panic!("no command of ours: {part}");
        };
        let output = run(folder, args);
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(
            matches!(output.status.code(), Some(0 | 1)),
            "`{part}` ends with {:?}\n{told}",
            output.status.code()
        );
        assert!(told.is_empty(), "`{part}` complains: {told}");
    }
}

/// A folder from which the paths of the project can be named.
fn workplace() -> TempDir {
    let folder = TempDir::new().unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink(root().join("data"), folder.path().join("data")).unwrap();
    folder
}

#[test]
fn the_commands_of_the_readme_run() {
    let folder = workplace();
    let all = commands(&readme());
    let ours: Vec<&String> = all
        .iter()
        .filter(|command| command.starts_with("sandarac "))
        .collect();
    assert!(ours.len() >= 3, "README shows {ours:?}");
    for command in ours {
        runs(folder.path(), command);
    }
    // What cargo runs: the program's own arguments after `--`, and nothing that has to be set up before.
    for command in all
        .iter()
        .filter(|command| command.starts_with("cargo run"))
    {
        let (_, args) = command
            .split_once(" -- ")
            .unwrap_or_else(|| panic!("{command} runs nothing"));
        runs(folder.path(), &format!("sandarac {args}"));
    }
    for command in &all {
        let known = [
            "sandarac ",
            "cargo run ",
            "cargo test",
            "cargo install ",
            "cargo bench",
            "cd ",
            "git clone ",
        ];
        assert!(
            known.iter().any(|start| command.starts_with(start)),
            "who runs `{command}`?"
        );
    }
}

#[test]
fn two_commands_do_all_setting_up() {
    let all = commands(&readme());
    assert_eq!(
        all.first().map(String::as_str),
        Some("cargo run --release -- demo")
    );
    assert_eq!(all.get(1).map(String::as_str), Some("cargo test"));
}

/// The first cells of the table whose head begins with this word.
fn first_cells(text: &str, head: &str) -> BTreeSet<String> {
    let mut rows = text
        .lines()
        .skip_while(|line| !line.starts_with(&format!("| {head} |")));
    rows.next();
    let cells = rows
        .skip(1)
        .take_while(|line| line.starts_with('|'))
        .map(|row| {
            let cell = row.trim_matches('|').split('|').next().unwrap_or("");
            cell.trim().trim_matches('`').to_string()
        });
    cells.collect()
}

#[test]
fn the_readme_names_every_file_of_a_shop() {
    let wanted: BTreeSet<String> = [
        "shop.toml",
        "rooms.csv",
        "inventory.csv",
        "places.csv",
        "fixtures.csv",
        "products.csv",
        "log.csv",
        "checks.csv",
        "accepted.csv",
        "actions.csv",
    ]
    .map(str::to_string)
    .into();
    assert_eq!(first_cells(&readme(), "file"), wanted);
    let demo = std::fs::read_dir(root().join("data/demo")).unwrap();
    let shown: BTreeSet<String> = demo
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name != "README.txt")
        .collect();
    assert_eq!(shown, wanted, "the demo shows each of them");
}

/// Commands of the table, and commands that there are.
#[test]
fn the_readme_names_every_command() {
    let named: BTreeSet<String> = first_cells(&readme(), "command")
        .iter()
        .map(|cell| cell.split_whitespace().nth(1).unwrap_or("").to_string())
        .collect();
    let definition = sandarac::cli::definition();
    let known: BTreeSet<String> = definition
        .get_subcommands()
        .map(|c| c.get_name().to_string())
        .collect();
    assert_eq!(named, known);
}

/// Every flag that README shows is one of that command.
#[test]
fn the_readme_names_no_flag_that_is_not_there() {
    let definition = sandarac::cli::definition();
    let mut seen = 0;
    for row in readme()
        .lines()
        .filter(|line| line.starts_with("| `sandarac "))
    {
        let name = row.split_whitespace().nth(2).unwrap().trim_end_matches('`');
        let command = definition.get_subcommands().find(|c| c.get_name() == name);
        let command = command.unwrap_or_else(|| panic!("README has a command `{name}`"));
        let flags: BTreeSet<&str> = std::iter::once(command)
            .chain(command.get_subcommands())
            .flat_map(clap::Command::get_arguments)
            .filter_map(clap::Arg::get_long)
            .collect();
        for word in row
            .split(['`', ' '])
            .filter_map(|word| word.strip_prefix("--"))
        {
            assert!(flags.contains(word), "`sandarac {name}` has no --{word}");
            seen += 1;
        }
    }
    assert!(seen > 4, "only {seen} flags");
}

/// Every link of README to a file of the project leads to one.
#[test]
fn the_readme_links_to_what_is_there() {
    let text = readme();
    for (at, _) in text.match_indices("](") {
        let target = text[at + 2..].split(')').next().unwrap_or("");
        if !target.contains("://") && !target.starts_with('#') {
            assert!(root().join(target).exists(), "README links to {target}");
        }
    }
}

/// The `Example:` at the end of a command's help, each part of it.
fn examples(command: &clap::Command) -> Vec<String> {
    let mut found = Vec::new();
    if let Some(text) = command.get_after_help() {
        let text = text.to_string();
        found.extend(
            text.lines()
                .filter_map(|line| line.strip_prefix("Example: "))
                .map(str::to_string),
        );
    }
    for below in command.get_subcommands() {
        found.extend(examples(below));
    }
    found
}

#[test]
fn the_examples_of_the_help_run() {
    let definition = sandarac::cli::definition();
    let mut broken = Vec::new();
    for command in definition.get_subcommands() {
        let name = command.get_name();
        let list = examples(command);
        if list.is_empty() {
            broken.push(format!("`{name} --help` shows no example"));
        }
        for example in list {
            let folder = workplace();
            if !example.contains(" new ") {
                runs(folder.path(), "sandarac new my-shop");
            }
            for part in example.split("&&") {
                let words = words(part);
                let output = run(folder.path(), &words[1..]);
                let awaited = AWAITED.iter().any(|(name, _)| *name == part.trim());
                if matches!(output.status.code(), Some(0 | 1)) == awaited {
                    broken.push(format!(
                        "{part}: {}",
                        String::from_utf8_lossy(&output.stderr)
                    ));
                }
            }
        }
    }
    assert!(broken.is_empty(), "\n{}", broken.join("\n"));
}

#[test]
fn every_command_explains_itself() {
    let folder = workplace();
    let definition = sandarac::cli::definition();
    for command in definition.get_subcommands() {
        let output = run(folder.path(), &[command.get_name(), "--help"]);
        assert_eq!(output.status.code(), Some(0));
        assert!(output.stdout.len() > 100, "{}", command.get_name());
        for argument in command.get_arguments() {
            assert!(
                argument.get_help().is_some(),
                "{} {} says nothing",
                command.get_name(),
                argument.get_id()
            );
        }
    }
}
