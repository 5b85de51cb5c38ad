//! What a person reads is plain: it fits the screen, its sentences are short, and it uses the terms of the trade.
#![allow(clippy::float_arithmetic, clippy::unwrap_used, clippy::panic)]

use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

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
            first.contains("oily rag has been loose on the bench"),
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
    list.extend(rule_texts());
    list.extend(helps());
    let text = |name: &str| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
        (name.to_string(), std::fs::read_to_string(path).unwrap())
    };
    list.extend([
        text("README.md"),
        text("data/cautions.toml"),
        text("reports/2026-10-31-audit.md"),
    ]);
    list
}

/// A page without its marks and styles.
fn without_marks(page: &str) -> String {
    let body = page.split("</style>").last().unwrap_or_default();
    let mut out = String::new();
    for part in body.split('<') {
        out.push(' ');
        out.push_str(part.split_once('>').map_or(part, |(_, text)| text));
    }
    out
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

/// Terms that the writing guide replaces, in the sense in which it replaces them. Keys, ids, columns and words of the files
/// stand in quotation marks of code, and are taken out before.
const REPLACED: [&str; 44] = [
    "cannot judge",
    "cannot be judged",
    "unjudged",
    "nobody",
    "somebody",
    "not in force",
    "about nothing",
    "asked for",
    "keeping time",
    "heats itself",
    "heat itself",
    "heat themselves",
    "what is breathed",
    "what would burn",
    "that the fan moves",
    "is told",
    "are told",
    "passed over",
    "stands twice",
    "stands at",
    "stands in",
    "stands here",
    "stand in the",
    " mend",
    "past its day",
    "past its time",
    "from above",
    "puff",
    "given off",
    "gives off",
    "walk-round",
    "thrown out",
    "throw out",
    "unexplained",
    "what came",
    "in the eyes of",
    "over night",
    "looked at",
    "nought",
    // Spelling of the US.
    "vapour",
    "colour",
    "odour",
    "judgement",
    "programme",
];

/// The text without code, tables of columns and what it cites.
fn prose(text: &str) -> String {
    let mut out = String::new();
    for (at, part) in text.split('`').enumerate() {
        out.push_str(if at % 2 == 0 { part } else { "code" });
    }
    // A grade is a word of the files.
    let out = out.replace("grade judgement", "grade");
    let is_data = |line: &&str| {
        let start = line.trim_start();
        !(start.starts_with("name   =")
            || start.starts_with("when   =")
            || start.starts_with("source ="))
    };
    let lines: Vec<&str> = out.lines().filter(is_data).collect();
    lines.join("\n")
}

#[test]
fn no_text_uses_a_term_that_the_guide_replaces() {
    let mut found = Vec::new();
    for (name, text) in outputs() {
        // The name of a kind of check is a key.
        let text = text.replace("rags-thrown-out", "key");
        let flat = prose(&text)
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .to_lowercase();
        for term in REPLACED {
            if let Some(at) = flat.find(term) {
                let from = flat[..at]
                    .char_indices()
                    .rev()
                    .nth(40)
                    .map_or(0, |(at, _)| at);
                let to = flat[at..]
                    .char_indices()
                    .nth(50)
                    .map_or(flat.len(), |(end, _)| at + end);
                found.push(format!("{name}: {term}: …{}…", &flat[from..to]));
            }
        }
    }
    assert!(found.is_empty(), "\n{}", found.join("\n"));
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
            [words.fact, words.task]
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
