//! What a closed period handed on, held against the inventory: the two are halves of one book.

use super::carry::place_name;
use super::holding::Stock;
use crate::quantity::{Amount, Day, Exact, to_keep};
use crate::record::{Book, ForwardRow, Stands};
use crate::text::{Code, Problem, Problems};

/// The inventory must say of a container what the closed books handed on: one that was saved over, or put back from before,
/// would tell another story without a word.
pub(super) fn agrees(stock: &Stock, book: &Book, row: &ForwardRow<'_>, problems: &mut Problems) {
    let Some((closed, _)) = stock.closed else {
        return;
    };
    let Some(at) = row.container else { return };
    let (Some(written), Some(holding)) = (book.containers.get(at), stock.holdings.get(at)) else {
        return;
    };
    let day = |day: Option<Day>| day.map_or_else(|| "nothing".to_string(), |day| day.to_string());
    let amount = |held: Option<Amount>| {
        held.map_or_else(|| "nothing".to_string(), |held| to_keep(held, book.shop.us))
    };
    let place = |stands: Stands| match place_name(book, stands) {
        name if name.is_empty() => "nothing".to_string(),
        name => name,
    };
    let stands = (
        book.stands.get(at).copied().unwrap_or_default(),
        row.stands.unwrap_or_default(),
    );
    let (column, here, handed, place) = if written.as_of != Some(closed) {
        ("as_of", day(written.as_of), day(Some(closed)), written.at)
    } else if holding.amount != row.held {
        (
            "amount",
            amount(holding.amount),
            amount(row.held),
            written.amount_at,
        )
    } else if stands.0 != stands.1 {
        ("place", place(stands.0), place(stands.1), written.place_at)
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
pub(super) fn rags_agree(stock: &Stock, book: &Book, problems: &mut Problems) {
    for (holding, written) in stock.holdings.iter().zip(&book.containers) {
        let carried = holding.is_cloth && written.as_of.is_some();
        let (Some(Amount::Pieces(held)), true) = (holding.amount, carried) else {
            continue;
        };
        let sum = holding.cloth.iter().fold(Exact::ZERO, |sum, parcel| {
            sum.plus(parcel.pieces).unwrap_or(sum)
        });
        if sum != held {
            let code = Code::CarriedRags {
                container: written.id.clone(),
                rags: sum.digits(),
                held: held.digits(),
            };
            let at = holding.touched.iter().flatten().next();
            problems.add(Problem::new(code, at.copied().unwrap_or(written.at)));
        }
    }
}
