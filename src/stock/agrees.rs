//! What a closed period handed on, held against the inventory: the two are halves of one book.

use super::carry::place_name;
use super::container_state::Stock;
use crate::quantity::{Amount, Day, Exact, to_keep};
use crate::record::{ForwardRow, Location, ShopTables};
use crate::text::{Code, Problem, Problems};

/// The inventory must say of a container what the closed books handed on: one that was saved over, or put back from before,
/// would tell another story without a word.
pub(super) fn agrees(
    stock: &Stock,
    tables: &ShopTables,
    row: &ForwardRow<'_>,
    problems: &mut Problems,
) {
    let Some((closed, _)) = stock.closed else {
        return;
    };
    let Some(at) = row.container else { return };
    let (Some(written), Some(contents)) = (tables.containers.get(at), stock.containers.get(at))
    else {
        return;
    };
    let day = |day: Option<Day>| day.map_or_else(|| "nothing".to_string(), |day| day.to_string());
    let amount = |held: Option<Amount>| {
        held.map_or_else(
            || "nothing".to_string(),
            |held| to_keep(held, tables.shop.us),
        )
    };
    let place = |location: Location| match place_name(tables, location) {
        name if name.is_empty() => "nothing".to_string(),
        name => name,
    };
    let location = (
        tables.location.get(at).copied().unwrap_or_default(),
        row.location.unwrap_or_default(),
    );
    let (column, here, handed, place) = if written.as_of != Some(closed) {
        ("as_of", day(written.as_of), day(Some(closed)), written.at)
    } else if contents.amount != row.held {
        (
            "amount",
            amount(contents.amount),
            amount(row.held),
            written.amount_at,
        )
    } else if location.0 != location.1 {
        (
            "place",
            place(location.0),
            place(location.1),
            written.place_at,
        )
    } else {
        return;
    };
    let code = Code::CarriedDiffers {
        container: written.id.clone(),
        column,
        here,
        handed,
    };
    problems.add(Problem::between(code, place, row.at));
}

/// The rags of a row, state by state, are all that it holds.
pub(super) fn rags_agree(stock: &Stock, tables: &ShopTables, problems: &mut Problems) {
    for (contents, written) in stock.containers.iter().zip(&tables.containers) {
        let carried = contents.is_cloth && written.as_of.is_some();
        let (Some(Amount::Pieces(held)), true) = (contents.amount, carried) else {
            continue;
        };
        let sum = contents.cloth.iter().fold(Exact::ZERO, |sum, batch| {
            sum.plus(batch.pieces).unwrap_or(sum)
        });
        if sum != held {
            let code = Code::CarriedRags {
                container: written.id.clone(),
                rags: sum.digits(),
                held: held.digits(),
            };
            let at = contents.touched.iter().flatten().next();
            problems.add(Problem::new(code, at.copied().unwrap_or(written.at)));
        }
    }
}
