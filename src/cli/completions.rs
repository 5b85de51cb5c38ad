//! `sandarac completions` and `sandarac man`: words for the shell and the manual, from the same definitions. Shells that can ask
//! the program while a person types get the names of the shop, too.

use super::{Ended, Failure, definition, style};
use crate::audit::Shop;
use crate::text::nearest;
use clap::Args as ClapArgs;
use clap_complete::Shell;
use clap_complete::engine::{ArgValueCompleter, CompletionCandidate};
use clap_complete::env::{Bash, CompleteEnv, EnvCompleter, Fish, Zsh};
use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

/// The program, as it is called.
const NAME: &str = "sandarac";

/// The variable by which a shell asks for completions.
const ASKED: &str = "SANDARAC_COMPLETE";

/// Answers a shell that asks for completions, and ends the program then.
pub fn answer_shell() {
    CompleteEnv::with_factory(definition).var(ASKED).complete();
}

/// The names of containers.
pub fn containers() -> ArgValueCompleter {
    names(|shop| {
        shop.tables
            .containers
            .iter()
            .map(|it| (it.id.clone(), it.product.clone()))
            .collect()
    })
}

/// The names of places and rooms.
pub fn places() -> ArgValueCompleter {
    names(|shop| {
        let places = shop.tables.places.iter();
        let places = places.map(|it| (it.id.clone(), it.kind.word().to_string()));
        let rooms = shop.tables.rooms.iter();
        let rooms = rooms.map(|it| (it.id.clone(), "room".to_string()));
        places.chain(rooms).collect()
    })
}

/// The products of the shop, then those that are built in.
pub fn products() -> ArgValueCompleter {
    names(|shop| {
        let held = shop.tables.containers.iter().map(|it| &it.product);
        let described = shop.tables.products.iter().map(|it| &it.id);
        let built_in = shop.tables.materials.all().iter().map(|it| &it.name);
        let all: BTreeSet<&String> = held.chain(described).chain(built_in).collect();
        all.into_iter()
            .map(|it| (it.clone(), String::new()))
            .collect()
    })
}

/// The questions of the round.
pub fn questions() -> ArgValueCompleter {
    names(|shop| {
        let questions = shop.reference.round.questions.iter();
        questions
            .map(|it| (it.check.clone(), it.question.clone()))
            .collect()
    })
}

pub fn actions() -> ArgValueCompleter {
    names(|shop| {
        let open = shop.tables.actions.iter().filter(|it| it.closed.is_none());
        open.map(|it| (it.id.clone(), it.what.clone())).collect()
    })
}

/// Names with words about each, of the shop that the command line means.
fn names(of: fn(&Shop) -> Vec<(String, String)>) -> ArgValueCompleter {
    ArgValueCompleter::new(move |typed: &OsStr| {
        let typed = typed.to_string_lossy().to_lowercase();
        let shop = Shop::open_tables(&meant_folder(std::env::args().skip(1)));
        let names = shop.map_or_else(|_| Vec::new(), |shop| of(&shop));
        let words = names
            .into_iter()
            .map(|(name, about)| (one_word(&name), about));
        let fitting = words.filter(|(word, _)| word.to_lowercase().starts_with(&typed));
        let candidate = |(word, about): (String, String)| {
            let about = (!about.is_empty()).then(|| about.into());
            CompletionCandidate::new(word).help(about)
        };
        fitting.map(candidate).collect::<Vec<_>>()
    })
}

/// A name as one word of a shell, with nothing to quote: it is understood like that, too.
fn one_word(name: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    let words = name
        .split(|c: char| !plain(c))
        .filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("-")
}

/// The shop folder among the words of a command line, or this folder.
fn meant_folder(words: impl Iterator<Item = String>) -> PathBuf {
    let is_shop = |path: &PathBuf| path.join("shop.toml").is_file();
    let path = |word: String| {
        let bare = word.strip_prefix("--shop=").map(str::to_string);
        PathBuf::from(bare.unwrap_or(word))
    };
    let named = words.map(path).find(is_shop);
    named.unwrap_or_else(|| Path::new(".").to_path_buf())
}

/// `completions`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Example: sandarac completions bash")]
pub struct CompletionsArgs {
    #[arg(value_enum)]
    /// The shell
    pub shell: Shell,
}

/// `man`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Example: sandarac man audit\n\
    Without a command it prints the page of the program. To read it: `sandarac man | man -l -`.")]
pub struct ManArgs {
    /// Command to show
    pub command: Option<String>,
}

/// Prints the completions of a shell.
pub fn completions(args: &CompletionsArgs) -> Result<Ended, Failure> {
    let mut text = Vec::new();
    let asks: Option<&dyn EnvCompleter> = match args.shell {
        Shell::Bash => Some(&Bash),
        Shell::Zsh => Some(&Zsh),
        Shell::Fish => Some(&Fish),
        _ => None,
    };
    match asks {
        Some(shell) => shell.write_registration(ASKED, NAME, NAME, NAME, &mut text)?,
        None => clap_complete::generate(args.shell, &mut definition(), NAME, &mut text),
    }
    style::print(&String::from_utf8_lossy(&text))?;
    Ok(Ended::Well)
}

/// Prints the manual page of the program, or of one command.
pub fn man(args: &ManArgs) -> Result<Ended, Failure> {
    let mut all = definition();
    // Only a built definition has the names that a page of its own bears.
    all.build();
    let page = match &args.command {
        None => all,
        Some(wanted) => match all.find_subcommand(wanted) {
            Some(command) => command.clone(),
            None => return Err(unknown(&all, wanted)),
        },
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(page).render(&mut text)?;
    style::print(&String::from_utf8_lossy(&text))?;
    Ok(Ended::Well)
}

fn unknown(all: &clap::Command, wanted: &str) -> Failure {
    let names: Vec<&str> = all.get_subcommands().map(clap::Command::get_name).collect();
    let fix = match nearest(wanted, names.iter().copied()) {
        Some(near) => format!("Did you mean \"{near}\"?"),
        None => format!("Known: {}.", names.join(", ")),
    };
    Failure::refused(
        format!("There is no command \"{wanted}\"."),
        fix,
        "Nothing was printed.",
    )
}
