//! One row of `log.csv` as an entry, read without a copy of its text.

use super::fault::RecordFault;
use super::ids::{ContainerId, PlaceId, RoomId};
use super::minutes::read_minutes;
use super::named::{RagSource, find_container, find_location, rag_source};
use super::plain_cells::PlainCells;
use super::product::ProductKind;
use super::row::Fields;
use super::tables::{Location, ShopTables};
use super::what::{AMOUNT, CONTAINER, FROM, ID, INTO, LOG, MINUTES, NOTE, PLACE, WHAT, WHEN, What};
use crate::quantity::{Amount, Dimension, Measure, MeasureFault, Moment};
use crate::text::{CellFault, Problem, Span};

/// What `into` of a discard says of rags that leave the building as hazardous waste.
pub const HAZARDOUS_WASTE: &str = "hazardous-waste";

/// One entry, names resolved.
#[derive(Clone, Copy, Debug)]
pub struct Entry<'t> {
    pub id: &'t str,
    pub when: Moment,
    pub what: What,
    /// To which container.
    pub container: Option<ContainerId>,
    pub amount: Option<Amount>,
    /// The column `into`: another container, which test, what soiled a rag, or which entry is corrected.
    pub into: &'t str,
    /// The column `into` as a container.
    pub target: Option<ContainerId>,
    /// At which place.
    pub place: Option<PlaceId>,
    /// In which room.
    pub room: Option<RoomId>,
    /// For how long.
    pub minutes: Option<u32>,
    /// From where, of rags.
    pub from: Option<RagSource<&'t str>>,
    /// Rags that are discarded leave the building as hazardous waste.
    pub hazardous_waste: bool,
    /// The remark, of a test or a correction only: it says how the test went, or that an entry is void.
    pub note: &'t str,
    /// Where the row is.
    pub at: Span,
}

impl Entry<'_> {
    /// Where it was done, if that is said.
    pub fn location(&self) -> Option<Location> {
        Location::named(self.place, self.room)
    }
}

/// Reads one row of the log, of which the plain cells are read already; `None` if it has problems, which are noted.
// Inlined, an entry becomes a step without being copied twice on the way, which is felt at a million of them.
#[inline(always)]
pub fn read_entry<'t>(
    fields: &mut Fields<'t, '_>,
    tables: &ShopTables,
    plain: &PlainCells,
) -> Option<Entry<'t>> {
    let before = fields.problems.count();
    let row = fields.row;
    let [id, amount, into, place, minutes] =
        [ID, AMOUNT, INTO, PLACE, MINUTES].map(|column| row.text(column));
    let when = plain.when.or_else(|| fields.moment(WHEN));
    let what = plain.what.or_else(|| {
        fields.must(WHAT)?;
        fields.word(WHAT, &What::WORDS)
    });
    if id.is_empty() {
        fields.must(ID);
    }
    let (Some(when), Some(what)) = (when, what) else {
        return None;
    };
    let container = match plain.container {
        Some(_) => "",
        None => row.text(CONTAINER),
    };
    let is_empty = |column: &&usize| match **column {
        CONTAINER => plain.container.is_none() && container.is_empty(),
        AMOUNT => amount.is_empty(),
        INTO => into.is_empty(),
        PLACE => place.is_empty(),
        other => row.text(other).is_empty(),
    };
    for column in what.needs().iter().filter(is_empty) {
        needs(fields, what, *column);
    }
    let pours_or_soils = matches!(what, What::Mix | What::Decant | What::Soil);
    let noted = matches!(what, What::Test | What::Correct);
    let unknown = filled(container);
    let found = || unknown.and_then(|name| find_container(fields, CONTAINER, name, tables));
    let container = plain.container.or_else(found);
    let inventory = container.map(|container| &tables[container]);
    let held = inventory.and_then(|row| row.amount.or(row.capacity));
    let other = || read_amount(fields, filled(amount)?, held);
    let amount = plain.amount.or_else(other);
    if let (Some(Amount::Mass(_)), Some(container)) = (amount, container) {
        no_ounces_of_liquid(fields, container, tables);
    }
    let target = filled(into).filter(|_| pours_or_soils);
    let target = target.and_then(|name| find_container(fields, INTO, name, tables));
    let location = filled(place).and_then(|name| find_location(fields, PLACE, name, tables));
    let location = location.unwrap_or_default();
    let from = filled(row.text(FROM)).and_then(|text| source(fields, what, text, tables));
    let hazardous_waste = what == What::Discard && !into.is_empty();
    if hazardous_waste {
        check_waste(fields, into);
    }
    let entry = Entry {
        id,
        when,
        what,
        container,
        amount,
        into,
        target,
        place: location.place,
        room: location.room,
        minutes: filled(minutes).and_then(|text| read_minutes(fields, MINUTES, text)),
        from,
        hazardous_waste,
        note: if noted { row.text(NOTE) } else { "" },
        at: row.span(),
    };
    (fields.problems.count() == before).then_some(entry)
}

fn filled(cell: &str) -> Option<&str> {
    (!cell.is_empty()).then_some(cell)
}

fn needs(fields: &mut Fields<'_, '_>, what: What, column: usize) {
    let fault = RecordFault::EntryNeeds {
        what: what.word(),
        column: LOG.name(column),
    };
    let at = fields.span(column);
    fields.problems.add(Problem::new(fault, at));
}

/// An amount that is not plain: without a unit, or faulty.
fn read_amount(fields: &mut Fields<'_, '_>, text: &str, held: Option<Amount>) -> Option<Amount> {
    // A bare number of sheets is no pint.
    let own = held
        .filter(|_| Measure::parse(text) == Err(MeasureFault::UnitMissing))
        .map(|held| [held.dimension()]);
    let all = [Dimension::Volume, Dimension::Mass, Dimension::Pieces];
    let wanted = own.as_ref().map_or(&all[..], |own| &own[..]);
    fields.measure(AMOUNT, wanted)?.amount()
}

/// What is said of ounces of weight where a liquid is meant.
pub(super) fn ounces_of_liquid(column: &str, read: &str, product: &str) -> CellFault {
    let number = read.trim_end_matches(|c: char| !c.is_ascii_digit());
    CellFault::Unfit {
        column: column.into(),
        read: read.into(),
        wanted: format!("{number} fl oz: {product} is a liquid, and oz is a weight"),
    }
}

/// An amount in ounces of weight of a liquid is a slip for fluid ounces, and would be refused later, when some is poured.
fn no_ounces_of_liquid(fields: &mut Fields<'_, '_>, container: ContainerId, tables: &ShopTables) {
    let text = fields.row.text(AMOUNT);
    let ounces = Measure::parse(text).is_ok_and(|measure| measure.unit.symbol == "oz");
    let kind = tables.kind(container);
    if ounces && kind.is_some_and(ProductKind::is_liquid) {
        let product = &tables[container].product;
        let fault = ounces_of_liquid("amount", text, product);
        fields
            .problems
            .add(Problem::new(fault, fields.span(AMOUNT)));
    }
}

/// Which rags the column `from` means, in an entry that can say it.
fn source<'t>(
    fields: &mut Fields<'t, '_>,
    what: What,
    text: &'t str,
    tables: &ShopTables,
) -> Option<RagSource<&'t str>> {
    if what.takes_from() {
        return rag_source(fields, FROM, text, tables);
    }
    let fault = RecordFault::FromUnused { what: what.word() };
    fields.problems.add(Problem::new(fault, fields.span(FROM)));
    None
}

/// The only thing that `into` can say of a discard.
fn check_waste(fields: &mut Fields<'_, '_>, into: &str) {
    if into.eq_ignore_ascii_case(HAZARDOUS_WASTE) {
        return;
    }
    let fault = CellFault::Unfit {
        column: "into".into(),
        read: into.into(),
        wanted: format!("nothing, or {HAZARDOUS_WASTE} for rags taken away as hazardous waste"),
    };
    fields.problems.add(Problem::new(fault, fields.span(INTO)));
}
