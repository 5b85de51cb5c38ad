//! A mixture that was mixed, as entries of the log and the row of its new jar.

use super::args::MixArgs;
use crate::audit::Shop;
use crate::cli::log::args::WithArgs;
use crate::cli::log::draft::Draft;
use crate::cli::log::new_container::NewContainer;
use crate::cli::log::refuse::usual_size;
use crate::cli::log::together::Together;
use crate::cli::log::write_all;
use crate::cli::open::WRITTEN;
use crate::cli::{Failure, writing};
use crate::record::{INVENTORY, LOG, What};
use crate::report::MixView;
use crate::store::{Access, Clock, LogSummary};
use crate::text::{Locale, shell_word};
use std::path::Path;

/// Writes it, all or nothing, and says what was written.
pub(super) fn written(
    folder: Option<&Path>,
    args: &MixArgs,
    drafts: &[Draft],
) -> Result<String, Failure> {
    let folder = folder.ok_or_else(no_shop)?;
    let store = writing::store(folder, &[&LOG, &INVENTORY], Access::Write, "")?;
    write_all::write(&store, drafts, &with(args))
}

/// Refuses a time at which nothing can be mixed: a clock that is wrong finds flakes too old that are not.
pub(super) fn may_be_now(args: &MixArgs, shop: &Shop) -> Result<(), Failure> {
    let with = with(args);
    let allowed = with.clock.allows(with.when, "", &LogSummary::read(shop));
    allowed.map_err(|not| writing::failure(not, ""))
}

/// When and by whom.
fn with(args: &MixArgs) -> Together<'_> {
    let now = WithArgs::now();
    Together {
        when: args.when.unwrap_or(now),
        clock: Clock {
            now,
            by_clock: args.when.is_none(),
            anyway: false,
        },
        by: args.by.as_deref().unwrap_or_default(),
        note: "",
        dry_run: false,
        or: "",
    }
}

/// The commands that would write it, entry by entry.
pub(super) fn commands(view: &MixView<'_>, args: &MixArgs, locale: Locale) -> Vec<String> {
    let mut drafts = drafts(view, "JAR", Some(new_jar(view, args)));
    for draft in &mut drafts {
        draft.typed.locale = locale;
    }
    let shop = args.shop.as_ref().map_or_else(String::new, |shop| {
        format!(" --shop {}", shell_word(&shop.display().to_string()))
    });
    let commands = drafts.iter().map(Draft::command);
    commands.map(|command| command + &shop).collect()
}

fn no_shop() -> Failure {
    Failure::refused(
        "There is no shop to log it in.",
        "Name its folder with `--shop FOLDER`.",
        WRITTEN,
    )
}

/// The row of a jar that is not there yet; what is not said is left for the user to fill in.
fn new_jar(view: &MixView<'_>, args: &MixArgs) -> NewContainer {
    let or =
        |given: &Option<String>, else_: &str| Some(given.clone().unwrap_or_else(|| else_.into()));
    NewContainer {
        product: Some(view.product.clone()),
        vessel: Some(args.vessel.clone()),
        capacity: or(&args.capacity, "SIZE"),
        place: or(&args.place, "PLACE"),
        lot: None,
        labelled: false,
    }
}

/// The entries as the log takes them; the first one brings the new jar with it.
fn drafts(view: &MixView<'_>, jar: &str, new: Option<NewContainer>) -> Vec<Draft> {
    let mut new = new;
    let pours = view.pours(jar).into_iter();
    pours
        .map(|pour| Draft {
            container: pour.container,
            amount: pour.amount,
            into: pour.into,
            new: new.take(),
            ..Draft::new(What::Mix)
        })
        .collect()
}

/// The entries that are written; all that is not settled is in the way.
pub(super) fn settled(
    view: &MixView<'_>,
    args: &MixArgs,
    jar: &str,
    opened: &Shop,
) -> Result<Vec<Draft>, Failure> {
    let refuse = |what: String, help: &str| Err(Failure::refused(what, help, WRITTEN));
    if view.shop.is_none() {
        return Err(no_shop());
    }
    let tables = &opened.tables;
    let there = tables.container(jar).map(|at| &tables[at]);
    let new = match there {
        Some(row) if row.product != view.product => {
            return refuse(
                format!(
                    "{jar} is a jar of {}, not of {}.",
                    row.product, view.product
                ),
                "Name a jar of the same, or a name that no container has yet.",
            );
        }
        Some(_) => None,
        None if !matches!(
            args.vessel.as_str(),
            "glass" | "plastic" | "approved-plastic"
        ) =>
        {
            return refuse(
                format!(
                    "Shellac does not go into {}: bare metal stains it.",
                    args.vessel
                ),
                "Write `--vessel glass`, `plastic` or `approved-plastic`.",
            );
        }
        None if args.capacity.is_none() || args.place.is_none() => {
            return refuse(
                format!("{jar} is new, and its size or its place is missing."),
                &format!(
                    "Add `--capacity '{}' --place cabinet`, with your own size and place.",
                    usual_size(tables.shop.us)
                ),
            );
        }
        None => Some(new_jar(view, args)),
    };
    let drafts = drafts(view, jar, new);
    if drafts.is_empty() {
        return refuse(
            "The shelf does not hold enough, or the flakes are not named.".into(),
            "Run it without `--log` to see what is missing. Name the flakes with `--flake`.",
        );
    }
    Ok(drafts)
}
