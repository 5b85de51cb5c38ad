//! `sandarac log`: one entry, checked against the replayed stock before it is written, and then kept for good.

pub mod args;
mod ask;
mod check;
pub mod draft;
mod lost;
mod moment;
mod refuse;
mod said;
pub mod together;
pub mod typed;
mod undo;

use super::{Ended, Failure, open, style, writing};
use crate::audit::Shop;
use crate::record::{INVENTORY, LOG, Vessel};
use crate::stock::Stock;
use crate::store::Clock;
use crate::typing::DayOrder;
use args::{LogArgs, LogWhat, WithArgs};
use draft::{Draft, TypedOptions};
pub(super) use said::told as brings;
use std::io::IsTerminal;
use together::Together;

/// Writes one entry, or says what stands in the way.
pub fn run(args: &LogArgs) -> Result<Ended, Failure> {
    let (folder, with) = (open::folder(args.with.shop.as_deref())?, &args.with);
    let now = WithArgs::now();
    match &args.what {
        Some(LogWhat::Restore) => return lost::restore(&folder, with),
        Some(LogWhat::Accept { table }) => return lost::accept(&folder, table, with, now),
        Some(LogWhat::Check {
            question,
            answer,
            about,
        }) => {
            let given = check::Answered {
                question,
                answer,
                about: about.as_deref(),
            };
            return check::run(&folder, &given, with, now);
        }
        Some(_) | None => {}
    }
    let asked = match &args.what {
        Some(_) => None,
        None if std::io::stdin().is_terminal() && std::io::stdout().is_terminal() => {
            let shop = open::shop(&folder, &[])?;
            let stock = open::stock(&shop, now.day())?;
            match ask::ask(&shop, &stock)? {
                Some(draft) => Some(draft),
                None => return Ok(Ended::Well),
            }
        }
        None => return Err(refuse::no_word()),
    };
    let tables = [&LOG, &INVENTORY];
    let store = writing::store(&folder, &tables, with.access(), writing::ANYWAY)?;
    let mut taken_back = String::new();
    let mut draft = match (&args.what, asked) {
        (_, Some(draft)) => draft,
        (Some(LogWhat::Undo { entry: None }), None) if store.borne.is_some() => {
            return Err(refuse::last_unknown());
        }
        (Some(LogWhat::Undo { entry }), None) => {
            let (draft, said) = undo::undo(&store.shop, entry.as_deref())?;
            taken_back = said;
            draft
        }
        (Some(what), None) => Draft::from_words(what).ok_or_else(refuse::no_word)?,
        (None, None) => return Err(refuse::no_word()),
    };
    draft.typed = TypedOptions::given(with);
    let when = with.moment(now, DayOrder::of_shop(&store.shop.tables.shop))?;
    let stock = store.shop.stock(now.day());
    let stock = stock.map_err(|not| open::failure(not, open::WRITTEN))?;
    if is_cloth(&store.shop, &draft) && !draft.is_in_pieces() {
        draft.count_pieces();
    }
    typed::understand(&mut draft, &store.shop, &stock)?;
    if is_cloth(&store.shop, &draft) && !draft.is_in_pieces() {
        draft.count_pieces();
    }
    let away = args.what.as_ref().and_then(LogWhat::put_away);
    let away = away.map(|to| typed::put_away(&draft, &store.shop, to));
    let drafts: Vec<Draft> = [Some(draft), away.transpose()?]
        .into_iter()
        .flatten()
        .collect();
    let mut text = together::write(
        &store,
        &drafts,
        &Together {
            when: when.unwrap_or(now),
            clock: Clock {
                now,
                by_clock: when.is_none(),
                anyway: with.anyway,
            },
            by: &with.person(),
            note: with.note.as_deref().unwrap_or_default(),
            dry_run: with.dry_run,
            or: writing::ANYWAY,
        },
    )?;
    text.push_str(&taken_back);
    match with.dry_run {
        true => style::print(&text)?,
        false => style::print(&text).map_err(Failure::after_writing)?,
    }
    Ok(writing::borne(&store, with.dry_run))
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
