//! The tables that more than one format shows: stock, packs, sessions. A column added here appears in each of them.

use super::air::{clear_by, of_lel, says, short_term, sum};
use super::columns::Medium::{self, Binder, Markdown, Page, Screen};
use super::columns::{Column, ColumnContent, Listing, column, number};
use super::groups::class_of;
use super::shelf::StockRow;
use super::view::{PackView, View};
use crate::quantity::natural;
use crate::text::Span;
use crate::vapour::session::{Against, Session};
use crate::vapour::shown::passes_a_limit;
use std::collections::HashSet;

/// Entries named of one session.
pub(super) const FEW: usize = 6;

const ALL: &[Medium] = &[Screen, Markdown, Page, Binder];
/// Where there is room for more than on a screen.
const WIDE: &[Medium] = &[Markdown, Page, Binder];

/// Every container.
pub(super) const STOCK: Listing<StockRow> = Listing {
    title: "Every container",
    intro: "",
    empty: "Nothing is on record on this day.",
    class: "stock",
    columns: &[
        CONTAINER,
        PRODUCT,
        column("Product", &[Binder], product_and_lot),
        PLACE,
        HOLDS,
        column("Holds", &[Binder], holds_at_first).class("number holds"),
        SIZE,
        AGE,
        column("tested", &[Screen], |row: &StockRow, _| {
            ColumnContent::Words(row.tested_words())
        }),
        column("Class", &[Markdown], class_by_pack),
        column("Class", &[Page, Binder], |row, _| {
            ColumnContent::Words(class_of(row))
        }),
        LABELLED,
        ROWS,
    ],
    container: Some(|row| &row.container),
};

/// Containers of waste.
pub(super) const WASTE: Listing<StockRow> = Listing {
    title: "Waste in the shop",
    intro: "",
    empty: "No container of waste is on record on this day. Spent solvent counts only if its product has the kind waste.",
    class: "",
    columns: &[
        CONTAINER,
        column("Product", &[Binder], product_and_lot),
        PLACE,
        column("Holds", &[Binder], holds_at_first).class("number holds"),
        SIZE,
        AGE,
        LABELLED,
        ROWS,
    ],
    container: None,
};

const CONTAINER: Column<StockRow> = column("Container", ALL, |row: &StockRow, _| {
    ColumnContent::Name(&row.container)
})
.short("container");

const PRODUCT: Column<StockRow> =
    column("Product", &[Screen, Markdown, Page], |row: &StockRow, _| {
        ColumnContent::Name(&row.product)
    })
    .short("product");

const PLACE: Column<StockRow> = column("Where", ALL, |row: &StockRow, _| {
    match row.place_or_room() {
        "" => ColumnContent::Unknown,
        place => ColumnContent::Name(place),
    }
})
.short("where");

const HOLDS: Column<StockRow> = column(
    "Holds",
    &[Screen, Markdown, Page],
    |row: &StockRow, view| ColumnContent::Words(row.holds(view.us)),
)
.short("holds")
.class("number holds");

const SIZE: Column<StockRow> = column("Size", &[Page, Binder], |row: &StockRow, view| {
    match row.cloth {
        Some(_) => ColumnContent::Words(String::new()),
        None => ColumnContent::known(row.capacity.map(|size| natural(size, view.us))),
    }
})
.class("number");

const AGE: Column<StockRow> = column("Age, days", ALL, |row: &StockRow, _| {
    ColumnContent::known(row.age_days)
})
.short("days")
.class("number age");

const LABELLED: Column<StockRow> =
    column("Labelled", &[Binder], |row: &StockRow, _| match row.cloth {
        Some(_) => ColumnContent::Words(String::new()),
        None => ColumnContent::known(row.labelled.map(|yes| if yes { "yes" } else { "no" })),
    });

const ROWS: Column<StockRow> = column(
    "Rows: inventory, then last entries",
    &[Binder],
    |row: &StockRow, _| ColumnContent::Rows(row.rows.clone(), None),
)
.class("rows");

fn product_and_lot<'r>(row: &'r StockRow, _: &'r View<'_>) -> ColumnContent<'r> {
    ColumnContent::Marked(&row.product, ", lot ", row.lot.as_deref())
}

/// Where rags are, state by state, is reported in a part of their own, and no number of them here.
fn holds_at_first<'r>(row: &'r StockRow, view: &'r View<'_>) -> ColumnContent<'r> {
    let holds = match row.cloth {
        Some(_) => "see tab 2".to_string(),
        None => row.amount_text(view.us),
    };
    let full = if row.counted_full {
        "; was counted as full before"
    } else {
        ""
    };
    ColumnContent::Words(format!("{holds}{full}"))
}

fn class_by_pack<'r>(row: &'r StockRow, _: &'r View<'_>) -> ColumnContent<'r> {
    let classes = row.class.iter();
    let classes: Vec<String> = classes
        .map(|(pack, class)| format!("{pack}: {class}"))
        .collect();
    ColumnContent::Words(match row.cloth {
        Some(_) => "rags and pads".into(),
        None => classes.join("; "),
    })
}

/// The packs that a shop is held against.
pub(super) const PACKS: Listing<PackView> = Listing {
    title: "Packs",
    intro: "",
    empty: "No pack is in use.",
    class: "",
    columns: &[
        column("Pack", WIDE, |pack, _| {
            ColumnContent::Titled(&pack.id, &pack.title)
        }),
        column("Where", WIDE, |pack, _| {
            ColumnContent::Name(&pack.jurisdiction)
        }),
        column("Binds", WIDE, |pack, _| ColumnContent::Name(&pack.binds)),
        number("Rules", WIDE, |pack: &PackView, _| {
            ColumnContent::Words(pack.rules.to_string())
        }),
    ],
    container: None,
};

/// Sessions with vapor.
pub(super) const SESSIONS: Listing<Session> = Listing {
    title: "Sessions of the last month, worst first",
    intro: "All figures are estimates for well-mixed air. The air at the bench and at your face is worse, and vapor also runs along \
            the floor. A quarter of the lower explosive limit (LEL) counts as hazardous. Other figures are shares of the limits, \
            added up over all substances.",
    empty: "The log of the last month has no session with vapor. Sessions that were not logged are not shown.",
    class: "",
    columns: &[
        column("Start", WIDE, |session, _| {
            ColumnContent::Moment(session.initial)
        }),
        column("Result", WIDE, |session: &Session, view| {
            ColumnContent::Words(match &session.gap {
                Some(gap) if passes_a_limit(session) => {
                    format!("{}; the rest is unknown: {gap}", says(&view.air, session))
                }
                Some(gap) => format!("unknown: {gap}"),
                None => says(&view.air, session),
            })
        })
        .class("prose"),
        column("Room", WIDE, |session, view| {
            let room = view.air.room(session);
            room.map_or(ColumnContent::Unknown, |room| ColumnContent::Name(&room.id))
        }),
        column("Used", WIDE, |session: &Session, view| {
            ColumnContent::Words(view.air.used(session))
        })
        .class("prose"),
        number("Peak of the LEL", WIDE, |it, _| {
            ColumnContent::known(of_lel(it))
        }),
        number("Legal limits (8 h)", WIDE, |it, _| {
            ColumnContent::known(sum(it.told(Against::Legal)))
        }),
        number("Guide values (8 h)", WIDE, |it, _| {
            ColumnContent::known(sum(it.told(Against::Guide)))
        }),
        number("Short-term limits (15 min)", WIDE, |it, _| {
            ColumnContent::Words(short_term(it))
        }),
        number("Clear by", WIDE, |it, view| {
            known_figure(it, clear_by(it, view.us))
        }),
        column("By", &[Binder], |session: &Session, _| {
            match session.by.as_slice() {
                [] => ColumnContent::Words("not recorded".into()),
                by => ColumnContent::Names(by.to_vec()),
            }
        }),
        column("Rows", &[Binder], entries).class("rows"),
    ],
    container: None,
};

/// A figure of a session. A session with a gap has none.
fn known_figure(session: &Session, figure: Option<String>) -> ColumnContent<'static> {
    ColumnContent::known(figure.filter(|_| session.gap.is_none()))
}

fn entries<'r>(session: &'r Session, _: &'r View<'_>) -> ColumnContent<'r> {
    let places = || session.emissions.iter().map(|emission| emission.at);
    let all: HashSet<Span> = places().collect();
    ColumnContent::Rows(places().take(FEW).collect(), Some(all.len()))
}
