//! `sandarac completions` and `sandarac man`: words for the shell and the manual, from the same definitions.

use super::{Ended, Failure, definition, style};
use crate::text::nearest;
use clap::Args as ClapArgs;

/// The program, as it is called.
const NAME: &str = "sandarac";

/// `completions`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Example: sandarac completions bash")]
pub struct CompletionsArgs {
    /// The shell
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
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
    clap_complete::generate(args.shell, &mut definition(), NAME, &mut text);
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
