//! `sandarac log`: one entry, checked against the replayed stock before it is written, and then kept for good.

pub mod args;
mod ask;
pub mod draft;
mod refuse;
mod said;
pub mod together;

use super::{Ended, Failure, open, style, writing};
use crate::audit::Shop;
use crate::record::{INVENTORY, LOG, Vessel};
use crate::stock::Stock;
use crate::store::{Access, Clock};
use args::{LogArgs, LogWhat, WithArgs};
use draft::{Draft, TypedOptions};
pub(super) use said::told as brings;
use std::io::IsTerminal;
use together::Together;

/// Writes one entry, or says what stands in the way.
pub fn run(args: &LogArgs) -> Result<Ended, Failure> {
    let (folder, with) = (open::folder(args.with.shop.as_deref())?, &args.with);
    let now = WithArgs::now();
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
    let access = match (with.dry_run, with.anyway) {
        (true, _) => Access::Look,
        (false, true) => Access::WriteAnyway,
        (false, false) => Access::Write,
    };
    let store = writing::store(&folder, &[&LOG, &INVENTORY], access, writing::ANYWAY)?;
    let mut draft = match (&args.what, asked) {
        (_, Some(draft)) => draft,
        (Some(LogWhat::Undo { entry }), None) => refuse::undo(&store.shop, entry.as_deref())?,
        (Some(what), None) => Draft::of(what).ok_or_else(refuse::no_word)?,
        (None, None) => return Err(refuse::no_word()),
    };
    draft.typed = TypedOptions::of(with);
    if is_cloth(&store.shop, &draft) && !draft.is_in_pieces() {
        draft.count_pieces();
    }
    let text = together::write(
        &store,
        &[draft],
        &Together {
            when: with.when.unwrap_or(now),
            clock: Clock {
                now,
                by_clock: with.when.is_none(),
                anyway: with.anyway,
            },
            by: with.by.as_deref().unwrap_or_default(),
            note: with.note.as_deref().unwrap_or_default(),
            dry_run: with.dry_run,
            or: writing::ANYWAY,
        },
    )?;
    style::print(&text)?;
    Ok(Ended::Well)
}

fn is_cloth(opened: &Shop, draft: &Draft) -> bool {
    let known = opened
        .tables
        .container(&draft.container)
        .and_then(|at| opened.tables.containers.get(at))
        .and_then(|row| row.vessel);
    let new = draft.new.as_ref().and_then(|new| new.vessel.as_deref());
    known.is_some_and(Vessel::is_cloth) || matches!(new, Some("rag" | "pad"))
}

/// What is there of a container, for those who ask.
pub(super) fn held(opened: &Shop, stock: &Stock, name: &str) -> Option<crate::quantity::Amount> {
    let at = opened.tables.container(name)?;
    stock.containers.get(at)?.amount
}
