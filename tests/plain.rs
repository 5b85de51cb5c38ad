//! What a person reads is plain: it fits the screen, its sentences are short, and it uses the terms of the trade.
#![allow(clippy::float_arithmetic, clippy::unwrap_used, clippy::panic)]

#[path = "plain/terms.rs"]
mod terms;

use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;
use terms::{prose, replaced_in, without_marks};

const DEMO_DAY: &str = "2026-10-31";

fn run(folder: &Path, args: &[&str]) -> String {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    command.current_dir(folder).args(args).env_remove("COLUMNS");
    let output = command.output().unwrap();
    assert!(matches!(output.status.code(), Some(0 | 1)), "{args:?}");
    String::from_utf8(output.stdout).unwrap()
}

fn demo() -> TempDir {
    let folder = TempDir::new().unwrap();
    run(folder.path(), &["demo", "--write", "shop"]);
    folder
}

#[test]
fn the_report_of_the_demo_fits_one_screen_and_begins_with_the_rag() {
    let folder = demo();
    let full_reports = ["audit", "shop", "--on", DEMO_DAY];
    for args in [&["demo"][..], &full_reports] {
        let screen = run(folder.path(), args);
        // The next command is typed in the line below.
        assert!(screen.lines().count() <= 23, "{screen}");
        assert!(
            screen.lines().all(|line| line.chars().count() <= 80),
            "{screen}"
        );
        let first: String = screen.lines().take(3).collect();
        assert!(
            first.contains("oily rag has been wet and loose on the bench"),
            "{screen}"
        );
        for part in [
            "Now ",
            "Today ",
            "This week ",
            "Find out ",
            "more: --full",
            "screening aid",
        ] {
            assert!(screen.contains(part), "{part}: {screen}");
        }
    }
    assert!(run(folder.path(), &full_reports).contains("the reports in shop/reports."));
}

/// The shop and the commands whose outputs are read for their words.
fn outputs() -> Vec<(String, String)> {
    let folder = demo();
    let at = folder.path();
    let on = ["--on", DEMO_DAY];
    let mut list = vec![
        ("demo".to_string(), run(at, &["demo"])),
        (
            "close".to_string(),
            run(at, &["close", "shop", "--at", "2026-10-31T18:00"]),
        ),
        (
            "mix".to_string(),
            run(
                at,
                &[
                    "mix", "--shop", "shop", "--cut", "2", "--make", "12floz", "--flake",
                    "dewaxed", "--on", DEMO_DAY,
                ],
            ),
        ),
        ("kinds".to_string(), run(at, &["rules", "--kinds"])),
    ];
    for options in [
        &[][..],
        &["--use-first"],
        &["--running-low"],
        &["--reconcile"],
        &["--expiring", "60d"],
    ] {
        let args = [&["stock", "shop"], &on[..], options].concat();
        list.push((format!("stock {options:?}"), run(at, &args)));
    }
    let air = [&["air", "shop"], &on[..]].concat();
    list.push(("air".to_string(), run(at, &air)));
    let full = [&["audit", "shop", "--full", "--no-reports"], &on[..]].concat();
    list.push(("audit --full".to_string(), run(at, &full)));
    for (name, args) in [
        ("round", &["round", "shop", "--out", "-"][..]),
        ("labels", &["labels", "shop", "--html", "-"]),
    ] {
        let page = run(at, &[args, &on[..]].concat());
        list.push((name.to_string(), without_marks(&page)));
    }
    list.extend(papers(at, &on));
    list.extend(rule_texts());
    list.extend(helps());
    list.extend(messages());
    let text = |name: &str| {
        (
            name.to_string(),
            std::fs::read_to_string(source(name)).unwrap(),
        )
    };
    list.extend([
        text("README.md"),
        text("data/cautions.toml"),
        text("reports/2026-10-31-audit.md"),
    ]);
    list
}

fn source(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// The page, the binder, the page of several shops, the calendar, and what the JSON says in words.
fn papers(at: &Path, on: &[&str]) -> Vec<(String, String)> {
    run(at, &["new", "second"]);
    run(
        at,
        &[&["audit", "shop", "--binder", "binder", "--quiet"], on].concat(),
    );
    run(
        at,
        &[
            &["audit", "shop", "second", "--page", "shops.html", "--quiet"],
            on,
        ]
        .concat(),
    );
    let read = |name: &str| std::fs::read_to_string(at.join(name)).unwrap();
    let mut list: Vec<(String, String)> = [
        "shop/reports/2026-10-31-audit.html",
        "binder/binder.html",
        "shops.html",
    ]
    .iter()
    .map(|name| (name.to_string(), without_marks(&read(name))))
    .collect();
    let calendar = run(at, &[&["calendar", "shop"], on].concat());
    list.push(("calendar".into(), calendar.replace("\r\n ", "")));
    let close = ["close", "shop", "--at", "2026-10-31T18:00", "--json", "-"];
    let mix = ["mix", "--cut", "2", "--make", "12floz", "--json", "-"];
    let air = [&["air", "shop", "--json", "-"], on].concat();
    for (name, json) in [
        ("audit.json", read("binder/audit.json")),
        ("close.json", run(at, &close)),
        ("mix.json", run(at, &mix)),
        ("air.json", run(at, &air)),
    ] {
        let json: serde_json::Value = serde_json::from_str(&json).unwrap();
        // A word alone is a value of the schema, and a name of a question is an id.
        let said = strings(&json).into_iter().filter(|text| text.contains(' '));
        list.push((name.into(), said.collect::<Vec<_>>().join("\n")));
    }
    list
}

/// The messages of all problems, and the refusals of `log`; what they quote is the user's.
fn messages() -> Vec<(String, String)> {
    let quoted_out = |text: &str| text.split('"').step_by(2).collect::<Vec<_>>().join("x");
    let mut list = Vec::new();
    for case in std::fs::read_dir(source("tests/problems")).unwrap() {
        let path = case.unwrap().path();
        if let Ok(text) = std::fs::read_to_string(path.join("expected.txt")) {
            list.push((path.display().to_string(), quoted_out(&text)));
        }
    }
    assert!(list.len() > 150, "{}", list.len());
    let log = std::fs::read_to_string(source("tests/log.rs")).unwrap();
    let shown = log
        .split("str![[r#")
        .skip(1)
        .filter_map(|rest| rest.split_once("]]"));
    let said: Vec<String> = shown
        .map(|(text, _)| quoted_out(text.trim_matches(['"', '#'])))
        .collect();
    assert!(said.len() > 20, "{}", said.len());
    list.push(("tests/log.rs".into(), said.join("\n")));
    list
}

/// What the rules of the built-in packs say to a reader.
fn rule_texts() -> Vec<(String, String)> {
    let packs = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/packs");
    let mut list = Vec::new();
    for pack in std::fs::read_dir(packs).unwrap() {
        for rule in std::fs::read_dir(pack.unwrap().path().join("rules")).unwrap() {
            let path = rule.unwrap().path();
            let text = std::fs::read_to_string(&path).unwrap();
            let keys = ["title", "why", "action", "note"];
            let said = text.lines().filter_map(|line| {
                let (key, words) = line.split_once('=')?;
                keys.contains(&key.trim()).then_some(words)
            });
            list.push((
                path.display().to_string(),
                said.collect::<Vec<_>>().join("\n"),
            ));
        }
    }
    assert!(list.len() > 100, "{}", list.len());
    list
}

/// The help of every command and of every word of `log`, as it is printed.
fn helps() -> Vec<(String, String)> {
    fn of(command: &clap::Command, path: &str, list: &mut Vec<(String, String)>) {
        let mut own = command.clone();
        list.push((path.to_string(), own.render_help().to_string()));
        for below in command.get_subcommands() {
            of(below, &format!("{path} {}", below.get_name()), list);
        }
    }
    let mut list = Vec::new();
    of(&sandarac::cli::definition(), "sandarac", &mut list);
    list
}

#[test]
fn no_text_uses_a_term_that_the_guide_replaces() {
    let all = outputs();
    let found: Vec<String> = all
        .iter()
        .flat_map(|(name, text)| replaced_in(name, text))
        .collect();
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

/// Sentences of a finding give dates as people say them; data fields keep theirs.
#[test]
fn findings_say_dates_as_people_do() {
    let json = std::fs::read_to_string(source("reports/2026-10-31-audit.json")).unwrap();
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let mut count = 0;
    for finding in json["findings"].as_array().unwrap() {
        for key in [
            "observed_text",
            "limit_text",
            "margin_text",
            "said",
            "working",
            "action",
        ] {
            for text in strings(&finding[key]) {
                count += 1;
                assert!(!has_iso_date(&text), "{key}: {text}");
            }
        }
    }
    assert!(count > 1000, "{count}");
}

fn has_iso_date(text: &str) -> bool {
    let shape = |word: &str| {
        let digits = word
            .bytes()
            .map(|b| if b.is_ascii_digit() { b'0' } else { b });
        digits.take(10).eq(*b"0000-00-00")
    };
    text.split(|c: char| !(c.is_ascii_alphanumeric() || c == '-'))
        .any(shape)
}

/// All texts in a value.
fn strings(value: &serde_json::Value) -> Vec<String> {
    match value {
        serde_json::Value::String(text) => vec![text.clone()],
        serde_json::Value::Array(list) => list.iter().flat_map(strings).collect(),
        serde_json::Value::Object(map) => map.values().flat_map(strings).collect(),
        serde_json::Value::Null | serde_json::Value::Bool(_) | serde_json::Value::Number(_) => {
            Vec::new()
        }
    }
}

/// Syllables of a word, by its groups of vowels: a silent `e` at the end, and that of most words in `-es` and `-ed`, is none.
fn syllables(word: &str) -> usize {
    let word = word.to_lowercase();
    let vowel = |c: char| "aeiouy".contains(c);
    let (mut groups, mut before) = (0_usize, false);
    for c in word.chars() {
        groups += usize::from(vowel(c) && !before);
        before = vowel(c);
    }
    let ends = |list: &[&str]| list.iter().any(|end| word.ends_with(end));
    let silent = word.ends_with('e') && !word.ends_with("le")
        || word.ends_with("es") && !ends(&["ses", "xes", "zes", "ches", "shes", "ces", "ges"])
        || word.ends_with("ed") && !ends(&["ted", "ded"]);
    if groups > 1 && silent {
        groups -= 1;
    }
    groups.max(1)
}

/// The words of a text, and its sentences: each ends with a point, question mark or exclamation mark, or with its paragraph.
fn counted(text: &str) -> (Vec<&str>, usize) {
    let is_word = |word: &&str| word.chars().any(char::is_alphanumeric);
    let words: Vec<&str> = text.split_whitespace().filter(is_word).collect();
    let mut sentences = 0;
    for paragraph in text.split("\n\n") {
        let mut open = false;
        for word in paragraph.split_whitespace() {
            open = true;
            if word
                .trim_end_matches(['"', ')', '*'])
                .ends_with(['.', '?', '!'])
            {
                sentences += 1;
                open = false;
            }
        }
        sentences += usize::from(open);
    }
    (words, sentences)
}

/// Reading ease: 206.835 − 1.015 × words a sentence − 84.6 × syllables a word (R. Flesch, "A new readability yardstick",
/// Journal of Applied Psychology 32, 1948, 221–233; the formula is from memory). Sixty is plain English.
fn reading_ease(text: &str) -> f64 {
    let (words, sentences) = counted(text);
    let letters = |word: &&str| syllables(word.trim_matches(|c: char| !c.is_alphabetic()));
    let syllables: usize = words.iter().map(letters).sum();
    let number = |count: usize| f64::from(u32::try_from(count).unwrap());
    206.835
        - 1.015 * number(words.len()) / number(sentences)
        - 84.6 * number(syllables) / number(words.len())
}

/// The paragraphs and list items of Markdown, without code, tables and headings; a word in code counts as one word.
fn paragraphs(markdown: &str) -> String {
    let mut out = String::new();
    let mut fenced = false;
    for line in prose(&markdown.replace("```", "\u{0}"))
        .replace('\u{0}', "```")
        .lines()
    {
        if line.starts_with("```") {
            fenced = !fenced;
            continue;
        }
        let starts_item = line.starts_with("* ")
            || line
                .split_once(". ")
                .is_some_and(|(n, _)| n.parse::<u8>().is_ok());
        let is_prose = !fenced && !line.starts_with(['|', '#', '<']);
        if starts_item || !is_prose {
            out.push('\n');
        }
        if is_prose {
            out.push('\n');
            out.push_str(line.trim_start_matches("* "));
        }
    }
    out
}

#[test]
fn the_formula_gives_what_it_is_known_to_give() {
    // One sentence of six words of one syllable: 206.835 − 6.09 − 84.6.
    assert!((reading_ease("The cat sat on the mat.") - 116.145).abs() < 0.001);
    for (word, wanted) in [
        ("rag", 1),
        ("finish", 2),
        ("solvents", 2),
        ("closed", 1),
        ("table", 2),
        ("inventory", 4),
        ("loose", 1),
    ] {
        assert_eq!(syllables(word), wanted, "{word}");
    }
}

#[test]
fn the_readme_and_the_help_read_easily() {
    let readme =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let (before, _) = readme.split_once("\n# Reference").unwrap();
    let count = before.split_whitespace().count();
    assert!(count < 1000, "{count} words before the reference");
    for (name, text) in [
        ("README", readme.as_str()),
        ("before the reference", before),
    ] {
        let ease = reading_ease(&paragraphs(text));
        assert!(ease >= 60.0, "{name}: {ease}");
    }
    let all: Vec<String> = helps().iter().map(|(_, text)| help_prose(text)).collect();
    let ease = reading_ease(&all.join("\n\n"));
    assert!(ease >= 60.0, "help: {ease}");
}

/// What a help says in words: the text behind each option and command, each its own sentence, without examples.
fn help_prose(help: &str) -> String {
    let mut out = String::new();
    for line in help.lines() {
        let text = match line.trim_start() {
            option
                if option.starts_with('-')
                    || option.starts_with('<')
                    || option.starts_with('[') =>
            {
                option.split_once("  ").map_or("", |(_, text)| text)
            }
            command if line.starts_with("  ") && !line.starts_with("    ") => {
                command.split_once("  ").map_or(command, |(_, text)| text)
            }
            text => text,
        };
        let text = text.split(" [").next().unwrap_or("").trim();
        if !(text.is_empty()
            || text.contains("sandarac")
            || text.ends_with(':')
            || text.starts_with("log "))
        {
            out.push_str(text);
            out.push_str("\n\n");
        }
    }
    prose(&out)
}

/// Findings, tasks and errors are short: at most 30 words a sentence, and at most 20 on average.
#[test]
fn sentences_are_short() {
    let shop = sandarac::audit::Shop::demo().unwrap();
    let audit = shop
        .audit(sandarac::quantity::Day::parse(DEMO_DAY).unwrap())
        .unwrap();
    let wording = sandarac::report::words::Wording::of_audit(&audit);
    let mut texts: Vec<String> = Vec::new();
    for finding in audit.findings() {
        let words = wording.finding(finding);
        texts.extend(
            [
                words.fact,
                words.task,
                finding.action.to_string(),
                finding.rule.why.to_string(),
            ]
            .into_iter()
            .filter(|text| !text.is_empty()),
        );
    }
    let list = sandarac::report::words::action_list(&audit);
    texts.push(list.headline.clone());
    for (_, lines) in list.parts() {
        texts.extend(lines.iter().map(|line| line.words()));
    }
    let problems = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/problems");
    for case in std::fs::read_dir(problems).unwrap() {
        let Ok(text) = std::fs::read_to_string(case.unwrap().path().join("expected.txt")) else {
            continue;
        };
        // What is quoted of a cell has any length.
        let outside: Vec<&str> = text.split('"').step_by(2).collect();
        texts.extend(outside.join("x").lines().map(str::to_string));
    }
    let (mut all, mut count) = (0, 0);
    for text in &texts {
        for sentence in text
            .split_inclusive(['.', '?', '!'])
            .filter(|s| s.contains(' '))
        {
            let words = sentence.split_whitespace().count();
            let is_list = sentence.contains("Known: ") || sentence.matches(',').count() > 5;
            assert!(words <= 30 || is_list, "{words} words: {sentence}");
            (all, count) = (all + words, count + 1);
        }
    }
    assert!(
        count > 200 && all <= 20 * count,
        "{all} words in {count} sentences"
    );
}
