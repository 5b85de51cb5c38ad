//! `sandarac log`: one entry, checked against the replayed stock before it is written, and then kept for good.

mod accept;
mod action;
pub mod args;
mod ask;
mod check;
pub mod draft;
mod edit;
mod help;
mod lost;
mod moment;
pub mod moment_args;
pub mod new_container;
mod new_jar;
mod prompt;
mod record;
pub mod refuse;
mod repair;
mod said;
mod shop_file;
pub(super) mod taken;
pub mod together;
pub mod typed;
mod undo;
pub(super) mod write_all;

use super::{Ended, Failure, open, settings, style, writing};
use crate::audit::Shop;
use crate::quantity::Moment;
use crate::record::{CHECKS, INVENTORY, LOG, Vessel};
use crate::stock::Stock;
use crate::store::{Access, Clock, Store};
use crate::text::Shape;
use crate::typing::DayOrder;
use args::{LogArgs, LogWhat, WithArgs};
use draft::{Draft, TypedOptions};
pub(super) use said::told as brings;
use std::path::Path;
use together::Together;
use typed::Understood;

/// Writes one entry, or says what is in the way.
pub fn run(args: &LogArgs) -> Result<Ended, Failure> {
    let (folder, with) = (open::folder(args.with.shop.as_deref())?, &args.with);
    let now = WithArgs::now();
    match &args.what {
        Some(LogWhat::Restore) => lost::restore(&folder, with),
        Some(LogWhat::Accept(accepted)) => match &accepted.subject {
            None => lost::accept(&folder, &accepted.what, with, now),
            Some(subject) => accept::run(&folder, (subject, accepted), with, now),
        },
        Some(LogWhat::Check(given)) => check::run(&folder, given, with, now),
        Some(LogWhat::Action(promised)) => action::promise(&folder, promised, with, now),
        Some(LogWhat::Done(done)) if done.reopen => {
            action::reopen(&folder, &done.action, with, now)
        }
        Some(LogWhat::Done(done)) => action::done(&folder, &done.action, with, now),
        Some(LogWhat::Record(fact)) => record::run(&folder, fact, with, now),
        Some(what) => enter(&folder, &Entered::Words(what), with, now),
        None if typed::asks() => asked(&folder, with, now),
        None => Err(refuse::no_word()),
    }
}

/// Where an entry comes from.
enum Entered<'a> {
    /// The words of the command line.
    Words(&'a LogWhat),
    /// Answers to questions.
    Answers(&'a Draft),
}

/// Asks for an entry. Where it is refused, the other answers stay, and one can be changed.
fn asked(folder: &Path, with: &WithArgs, now: Moment) -> Result<Ended, Failure> {
    let mut shop = open::shop(folder, &[])?;
    // Other programs may write while a person thinks.
    shop.let_writers_in();
    let stock = open::stock(&shop, now.day())?;
    let mut draft = ask::ask(&shop, &stock)?;
    if draft.is_none() {
        style::print("Nothing was written.\n")?;
        return Ok(Ended::Untrusted);
    }
    while let Some(answers) = draft {
        match enter(folder, &Entered::Answers(&answers), with, now) {
            Err(Failure::Said(message)) => style::complain(&message),
            ended => return ended,
        }
        draft = ask::again(&shop, &stock, answers)?;
        if draft.is_none() {
            return Ok(Ended::Untrusted);
        }
    }
    Ok(Ended::Well)
}

impl WithArgs {
    /// What the command may do.
    pub fn access(&self) -> Access {
        match (self.dry_run, self.anyway) {
            (true, true) => Access::LookAnyway,
            (true, false) => Access::Look,
            (false, true) => Access::WriteAnyway,
            (false, false) => Access::Write,
        }
    }
}

/// Writes an entry, with what belongs to it.
fn enter(
    folder: &Path,
    entered: &Entered<'_>,
    with: &WithArgs,
    now: Moment,
) -> Result<Ended, Failure> {
    let tables: &[&'static Shape] = match entered {
        Entered::Words(LogWhat::Undo { .. }) => &[&LOG, &INVENTORY, &CHECKS],
        Entered::Words(_) | Entered::Answers(_) => &[&LOG, &INVENTORY],
    };
    let store = writing::store(folder, tables, with.access(), writing::ANYWAY)?;
    let when = with.moment(now, DayOrder::of_shop(&store.shop.tables.shop))?;
    let person = with.person();
    let together = Together {
        when: when.unwrap_or(now),
        clock: Clock {
            now,
            by_clock: when.is_none(),
            anyway: with.anyway,
        },
        by: &person,
        note: with.note.as_deref().unwrap_or_default(),
        dry_run: with.dry_run,
        or: writing::ANYWAY,
    };
    if let (Entered::Words(LogWhat::Undo { entry: None }), true) = (entered, store.borne.is_some())
    {
        return Err(refuse::last_unknown());
    }
    let (draft, taken_back) = match entered {
        Entered::Answers(draft) => ((*draft).clone(), String::new()),
        Entered::Words(LogWhat::Undo { entry }) => match undo::undo(&store.shop, entry.as_deref())?
        {
            undo::Undo::Entry(draft, said) => (*draft, said),
            undo::Undo::Together(back) => {
                printed(&undo::write(&store, &back, &together)?, with)?;
                return Ok(writing::borne(&store, with.dry_run));
            }
        },
        Entered::Words(what) => (
            Draft::from_words(what).ok_or_else(refuse::no_word)?,
            String::new(),
        ),
    };
    let (drafts, understood) = understood(&store, draft, entered, with)?;
    let mut text = write_all::write(&store, &drafts, &together)?;
    if let (Some(fluid), false) = (understood.fluid, with.dry_run) {
        settings::keep_ounces(folder, fluid).map_err(Failure::after_writing)?;
        text.push_str("shop.toml now says what oz of a liquid means.\n");
    }
    text.push_str(&understood.said);
    text.push_str(&taken_back);
    printed(&text, with)?;
    Ok(writing::borne(&store, with.dry_run))
}

/// A draft as the tables take it, the entry that puts its rags away, and what a person should know of them.
fn understood(
    store: &Store,
    mut draft: Draft,
    entered: &Entered<'_>,
    with: &WithArgs,
) -> Result<(Vec<Draft>, Understood), Failure> {
    let locale = store.shop.tables.shop.locale;
    draft.typed = TypedOptions {
        locale,
        ..TypedOptions::given(with)
    };
    typed::decimals(&mut draft, &locale)?;
    let stock = store.shop.stock(WithArgs::now().day());
    let stock = stock.map_err(|not| open::failure(not, open::WRITTEN))?;
    if let Entered::Words(LogWhat::Put(rags)) = entered
        && is_cloth_named(&store.shop, &stock, &draft)?
    {
        (draft.what, draft.place) = typed::way_of_putting(&store.shop, &rags.place)?;
    }
    let understood = settle(&mut draft, &store.shop, &stock)?;
    let away = match entered {
        Entered::Words(LogWhat::Soil(soiled)) => soiled.then.as_deref(),
        Entered::Words(_) | Entered::Answers(_) => None,
    };
    draft.then = away.unwrap_or_default().to_string();
    let away = away.map(|to| typed::put_away(&draft, &store.shop, to));
    let drafts = [Some(draft), away.transpose()?];
    Ok((drafts.into_iter().flatten().collect(), understood))
}

/// Says what was written, or would be.
fn printed(text: &str, with: &WithArgs) -> Result<Ended, Failure> {
    match with.dry_run {
        true => style::print(text)?,
        false => style::print(text).map_err(Failure::after_writing)?,
    }
    Ok(Ended::Well)
}

/// Is what is put away a row of rags? Jars are moved.
fn is_cloth_named(opened: &Shop, stock: &Stock, draft: &Draft) -> Result<bool, Failure> {
    let mut named = draft.clone();
    let found = crate::typing::container(&opened.tables, stock, &draft.container);
    typed::chosen(found, &mut named.container, "container")?;
    Ok(is_cloth(opened, &named))
}

/// Puts a draft in the words of the tables.
fn settle(draft: &mut Draft, shop: &Shop, stock: &Stock) -> Result<Understood, Failure> {
    if is_cloth(shop, draft) && !draft.is_in_pieces() {
        draft.count_pieces();
    }
    let understood = typed::understand(draft, shop, stock)?;
    if is_cloth(shop, draft) && !draft.is_in_pieces() {
        draft.count_pieces();
    }
    Ok(understood)
}

fn is_cloth(opened: &Shop, draft: &Draft) -> bool {
    let known = opened
        .tables
        .container(&draft.container)
        .map(|at| &opened.tables[at])
        .and_then(|row| row.vessel);
    let new = draft.new.as_ref().and_then(|new| new.vessel.as_deref());
    known.is_some_and(Vessel::is_cloth) || matches!(new, Some("rag" | "pad"))
}

/// What is there of a container, for those who ask.
pub(super) fn held(opened: &Shop, stock: &Stock, name: &str) -> Option<crate::quantity::Amount> {
    let at = opened.tables.container(name)?;
    stock[at].amount
}
