//! `sandarac rules`: what a shop is held against, one rule or kind of check in full, and packs of the user's own.

mod check;
mod explain;
mod list;
mod new;

use super::args::{RulesArgs, RulesWhat};
use super::{Ended, Failure, open, style};
use crate::audit::Shop;
use std::path::Path;

/// Lists, explains, checks, or writes a pack to start from.
pub fn run(args: &RulesArgs) -> Result<Ended, Failure> {
    match &args.what {
        Some(RulesWhat::Check { folder }) => return check::run(folder),
        Some(RulesWhat::New { folder }) => return new::run(folder),
        None => {}
    }
    let text = if args.kinds {
        explain::kinds(&Shop::empty()?.reference.round.questions, style::columns())
    } else if args.built_in {
        list::built_in(style::columns())
    } else {
        of_a_shop(args)?
    };
    style::print(&text)?;
    Ok(Ended::Well)
}

/// The rules of a shop, or one of them. A single word that is no folder is a rule or kind of what is built in.
fn of_a_shop(args: &RulesArgs) -> Result<String, Failure> {
    let columns = style::columns();
    match (args.shop.shop.as_deref(), args.name.as_deref()) {
        (Some(word), None) if !is_folder(word) => {
            let word = word.to_string_lossy();
            explain::named(&Shop::empty()?, &word, args.shop.day(), columns)
        }
        (given, name) => {
            let folder = open::folder(given)?;
            let shop = open::shop(&folder, &args.shop.packs)?;
            match name {
                Some(name) => explain::named(&shop, name, args.shop.day(), columns),
                None => Ok(list::rules(&shop, args.shop.day(), columns)),
            }
        }
    }
}

/// Is it meant as a folder: is there one, or is it written as a path?
fn is_folder(word: &Path) -> bool {
    word.is_dir() || word.components().count() != 1 && !is_rule(word)
}

/// `us-fire-code/cabinet-contents`: a pack that is built in, and a rule.
fn is_rule(word: &Path) -> bool {
    let word = word.to_string_lossy();
    let pack = word.split('/').next().unwrap_or_default();
    crate::pack::built_in_names().contains(&pack)
}
