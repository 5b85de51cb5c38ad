//! The command line: one file a command. Arguments come in, text and an exit code go out.
//!
//! Exit code: 0 done, and nothing is open; 1 done, and something is open; 2 not done: the files, the clock or the command
//! cannot be trusted, or the system refused; 3 written into the tables, but a later step failed.

mod ahead;
mod air;
mod args;
mod audit;
mod audit_many;
#[cfg(feature = "bench")]
mod bench;
mod binder;
mod calendar;
mod close;
mod completions;
mod demo;
mod earlier;
mod enter;
mod enter_ask;
mod labels;
mod log;
mod mix;
mod new;
mod open;
mod option_words;
mod output;
mod parse;
mod report_files;
mod round;
mod rules;
mod settings;
mod stock;
mod style;
#[cfg(feature = "workbook")]
mod workbook;
mod writing;

use crate::text::clean_lines;
use clap::Parser;
use std::ffi::OsString;
use std::fmt::Display;
use std::path::Path;
use std::process::ExitCode;

/// How a command ended well.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// Nothing to answer for.
    Well,
    /// Findings.
    Findings,
    /// What was found cannot be trusted, and that was said.
    Untrusted,
}

impl Ended {
    /// The same, unless it cannot be trusted.
    pub fn unless(self, untrusted: bool) -> Ended {
        if untrusted { Ended::Untrusted } else { self }
    }
}

/// Why a command could not do its work.
#[derive(Debug)]
pub enum Failure {
    /// A message for people.
    Said(String),
    /// Rows are in their tables, but a later step failed: a message for people.
    Later(String),
}

impl Failure {
    /// What is wrong, how to fix it, and what was not done because of it: whole sentences.
    pub fn refused(wrong: impl Display, fix: impl Display, undone: &str) -> Failure {
        Failure::Said(format!("{wrong}\n  {fix}\n\n{undone}"))
    }

    /// A file or folder that cannot be written.
    pub fn unwritten(path: &Path, why: impl Display, fix: impl Display) -> Failure {
        let wrong = format!("{} cannot be written: {why}.", path.display());
        Failure::refused(wrong, fix, "The command did not finish.")
    }

    /// The same failure, where rows were written before.
    pub fn after_writing(self) -> Failure {
        match self {
            Failure::Said(message) => {
                let wrong = message.lines().next().unwrap_or_default();
                Failure::Later(format!(
                    "{wrong}\n  Do not enter it again.\n\nEverything was written into the tables, but a later step failed."
                ))
            }
            Failure::Later(_) => self,
        }
    }

    /// Output that cannot be made or printed.
    pub fn unprinted(why: impl Display) -> Failure {
        Failure::refused(
            format!("The output cannot be written: {why}."),
            "Check that there is room where it goes.",
            "The output is not complete.",
        )
    }
}

impl From<std::io::Error> for Failure {
    fn from(fault: std::io::Error) -> Failure {
        Failure::unprinted(fault)
    }
}

/// Runs the program on the arguments of the process.
pub fn run() -> ExitCode {
    completions::answer_shell();
    let parsed = match args::Args::try_parse_from(with_joined_words(std::env::args_os())) {
        Ok(parsed) => parsed,
        Err(fault) => return misread(&fault),
    };
    let ended = match parsed.command {
        args::Command::Audit(args) => audit::run(&args),
        args::Command::Air(args) => air::run(&args),
        args::Command::Log(args) => log::run(&args),
        args::Command::Stock(args) => stock::run(&args),
        args::Command::Labels(args) => labels::run(&args),
        args::Command::Round(args) => round::run(&args),
        args::Command::Calendar(args) => calendar::run(&args),
        args::Command::Mix(args) => mix::run(&args),
        args::Command::Close(args) => close::run(&args),
        #[cfg(feature = "bench")]
        args::Command::Bench(args) => bench::run(&args),
        args::Command::Rules(args) => rules::run(&args),
        #[cfg(feature = "workbook")]
        args::Command::Workbook(args) => workbook::run(&args),
        args::Command::New(args) => new::run(&args),
        args::Command::Demo(args) => demo::run(&args),
        args::Command::Completions(args) => completions::completions(&args),
        args::Command::Man(args) => completions::man(&args),
    };
    match ended {
        Ok(Ended::Well) => ExitCode::SUCCESS,
        Ok(Ended::Findings) => ExitCode::from(1),
        Ok(Ended::Untrusted) => ExitCode::from(2),
        Err(Failure::Said(message)) => {
            style::complain(&message);
            ExitCode::from(2)
        }
        Err(Failure::Later(message)) => {
            style::complain(&message);
            ExitCode::from(3)
        }
    }
}

/// Words of the log that people type as two, and that are one for the program: `threw out` as `threw-out`.
const TWO_WORDS: [(&str, &str); 12] = [
    ("threw", "out"),
    ("throw", "out"),
    ("thrown", "out"),
    ("threw", "away"),
    ("throw", "away"),
    ("put", "away"),
    ("laid", "out"),
    ("hung", "up"),
    ("poured", "off"),
    ("brought", "in"),
    ("used", "up"),
    ("disposed", "of"),
];

/// The arguments, with such words behind `log` as one. `log` may be left out before a word that is only its own.
fn with_joined_words(arguments: impl Iterator<Item = OsString>) -> Vec<OsString> {
    let mut words: Vec<OsString> = arguments.collect();
    let all = definition();
    let log = all.find_subcommand("log");
    let is_entry = |word: &OsString| {
        let second = words
            .get(2)
            .map(|second| second.to_string_lossy().to_lowercase());
        let two = TWO_WORDS.iter().any(|(one, other)| {
            word.eq_ignore_ascii_case(one) && second.as_deref() == Some(*other)
        });
        let own = log.is_some_and(|log| log.find_subcommand(word).is_some());
        all.find_subcommand(word).is_none() && (own || two)
    };
    if words.get(1).is_some_and(is_entry) {
        words.insert(1, OsString::from("log"));
    }
    let is_log = words.get(1).is_some_and(|word| word == "log");
    let pair = words.get(2).zip(words.get(3)).filter(|_| is_log);
    let joined = TWO_WORDS.iter().find(|(first, second)| {
        pair.is_some_and(|(one, two)| {
            one.eq_ignore_ascii_case(first) && two.eq_ignore_ascii_case(second)
        })
    });
    if let Some((first, second)) = joined {
        words.splice(2..4, [OsString::from(format!("{first}-{second}"))]);
    }
    words
}

/// Help, version, or what is wrong with the arguments. A file's name that a shell put among them may hold anything.
fn misread(fault: &clap::Error) -> ExitCode {
    let told = fault.render().to_string();
    if told == clean_lines(&told) {
        let _ = fault.print();
    } else {
        style::complain(&told);
    }
    ExitCode::from(u8::try_from(fault.exit_code()).unwrap_or(2))
}

/// The command line's own definition, for tests and documentation.
pub fn definition() -> clap::Command {
    use clap::CommandFactory;
    args::Args::command()
}
