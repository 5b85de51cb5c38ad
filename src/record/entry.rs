//! `log.csv`: the kinds of entry, and which columns each wants. A row is read without a copy of its text.

use super::fault::RecordFault;
use super::ids::{ContainerId, PlaceId, RoomId};
use super::minutes::read_minutes;
use super::named::{RagSource, find_container, find_location, rag_source};
use super::product::ProductKind;
use super::row::Fields;
use super::tables::{Location, ShopTables};
use crate::quantity::{Amount, Dimension, LastDay, Measure, MeasureFault, Moment};
use crate::text::{CellFault, Problem, Shape, Span};

/// The columns of the log.
pub static LOG: Shape = Shape {
    file: "log.csv",
    must: &["entry", "when", "what"],
    may: &[
        "container",
        "amount",
        "into",
        "place",
        "minutes",
        "by",
        "note",
        "written",
        "id",
        "from",
    ],
};

const CONTAINER: usize = 3;
const AMOUNT: usize = 4;
const INTO: usize = 5;
const PLACE: usize = 6;
const MINUTES: usize = 7;
const NOTE: usize = 9;
const FROM: usize = 12;

/// What `into` of a discard says of rags that leave the building as hazardous waste.
pub const HAZARDOUS_WASTE: &str = "hazardous-waste";

/// What was done. The order of the variants is the order within one moment: see [`What::rank`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the words say it")]
pub enum What {
    Receive,
    Open,
    Move,
    Mix,
    Decant,
    Use,
    Soil,
    Discard,
    Spread,
    Soak,
    Bin,
    Empty,
    Test,
    Count,
    Correct,
}

impl What {
    /// The words of the file.
    pub const WORDS: [(&'static str, What); 15] = [
        ("use", What::Use),
        ("decant", What::Decant),
        ("mix", What::Mix),
        ("receive", What::Receive),
        ("move", What::Move),
        ("open", What::Open),
        ("discard", What::Discard),
        ("soil", What::Soil),
        ("spread", What::Spread),
        ("soak", What::Soak),
        ("bin", What::Bin),
        ("empty", What::Empty),
        ("test", What::Test),
        ("count", What::Count),
        ("correct", What::Correct),
    ];

    /// The kind of entry that a word of the file means. A match is faster than a look through the list, and a test holds both
    /// together.
    pub fn parse(word: &str) -> Option<What> {
        Some(match word {
            "use" => What::Use,
            "decant" => What::Decant,
            "mix" => What::Mix,
            "receive" => What::Receive,
            "move" => What::Move,
            "open" => What::Open,
            "discard" => What::Discard,
            "soil" => What::Soil,
            "spread" => What::Spread,
            "soak" => What::Soak,
            "bin" => What::Bin,
            "empty" => What::Empty,
            "test" => What::Test,
            "count" => What::Count,
            "correct" => What::Correct,
            _ => return None,
        })
    }

    /// The word of the file.
    pub fn word(self) -> &'static str {
        Self::WORDS
            .iter()
            .find(|(_, what)| *what == self)
            .map_or("?", |(word, _)| word)
    }

    /// Can an entry of this kind say which of several batches of rags it takes?
    pub fn takes_from(self) -> bool {
        match self {
            What::Move
            | What::Soil
            | What::Discard
            | What::Spread
            | What::Soak
            | What::Bin
            | What::Test
            | What::Correct => true,
            What::Receive
            | What::Open
            | What::Mix
            | What::Decant
            | What::Use
            | What::Empty
            | What::Count => false,
        }
    }

    /// Its place among entries of the same minute: what comes in, then what is poured over, then all else as it is
    /// written, line by line (a can is emptied before or after a rag goes in); a test and a count after all of it.
    pub fn rank(self) -> u8 {
        match self {
            What::Receive => 0,
            What::Open => 1,
            What::Mix => 2,
            What::Decant => 3,
            What::Use
            | What::Move
            | What::Soil
            | What::Discard
            | What::Spread
            | What::Soak
            | What::Bin
            | What::Empty => 4,
            What::Test => 5,
            What::Count => 6,
            What::Correct => 7,
        }
    }

    /// Columns that an entry of this kind must fill.
    pub fn needs(self) -> &'static [usize] {
        match self {
            What::Receive | What::Use | What::Count | What::Soil => &[CONTAINER, AMOUNT],
            What::Mix | What::Decant => &[CONTAINER, AMOUNT, INTO],
            What::Move => &[CONTAINER, PLACE],
            What::Open | What::Test | What::Discard => &[CONTAINER],
            What::Spread | What::Soak | What::Bin => &[CONTAINER, PLACE],
            What::Empty => &[PLACE],
            What::Correct => &[INTO],
        }
    }
}

/// One entry, names resolved.
#[derive(Clone, Copy, Debug)]
pub struct Entry<'t> {
    /// Its own name.
    pub id: &'t str,
    /// When it happened.
    pub when: Moment,
    /// What was done.
    pub what: What,
    /// To which container.
    pub container: Option<ContainerId>,
    /// How much.
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

/// Reads one row of the log; `None` if it has problems, which are noted. Each cell is looked at once.
// Inlined, an entry becomes a step without being copied twice on the way, which is felt at a million of them.
#[inline(always)]
pub fn read_entry<'t>(
    fields: &mut Fields<'t, '_>,
    tables: &ShopTables,
    days: &mut LastDay,
) -> Option<Entry<'t>> {
    let before = fields.problems.count();
    let cells: [&'t str; 8] = fields.row.texts();
    let [id, when, what, container, amount, into, place, minutes] = cells;
    let when = days.moment(when).or_else(|| fields.moment(1));
    let what = What::parse(what).or_else(|| {
        fields.must(2)?;
        fields.word(2, &What::WORDS)
    });
    if id.is_empty() {
        fields.must(0);
    }
    let (Some(when), Some(what)) = (when, what) else {
        return None;
    };
    let is_empty = |column: &&usize| cells.get(**column).is_none_or(|text| text.is_empty());
    for column in what.needs().iter().filter(is_empty) {
        needs(fields, what, *column);
    }
    let pours_or_soils = matches!(what, What::Mix | What::Decant | What::Soil);
    let noted = matches!(what, What::Test | What::Correct);
    let container =
        filled(container).and_then(|name| find_container(fields, CONTAINER, name, tables));
    let row = container.map(|container| &tables[container]);
    let held = row.and_then(|row| row.amount.or(row.capacity));
    let amount = filled(amount).and_then(|text| read_amount(fields, text, held));
    if let (Some(Amount::Mass(_)), Some(container)) = (amount, container) {
        no_ounces_of_liquid(fields, container, tables);
    }
    let target = filled(into).filter(|_| pours_or_soils);
    let target = target.and_then(|name| find_container(fields, INTO, name, tables));
    let location = filled(place).and_then(|name| find_location(fields, PLACE, name, tables));
    let location = location.unwrap_or_default();
    let from = filled(fields.row.text(FROM)).and_then(|text| source(fields, what, text, tables));
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
        note: if noted { fields.row.text(NOTE) } else { "" },
        at: fields.row.span(),
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

fn read_amount(fields: &mut Fields<'_, '_>, text: &str, held: Option<Amount>) -> Option<Amount> {
    let parsed = Measure::parse(text);
    if let Ok(Some(amount)) = parsed.as_ref().map(Measure::amount) {
        return Some(amount);
    }
    // A bare number of sheets is no pint.
    let own = held
        .filter(|_| parsed == Err(MeasureFault::UnitMissing))
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

#[cfg(test)]
mod tests {
    use super::What;

    #[test]
    fn every_word_reads_back() {
        for (word, what) in What::WORDS {
            assert_eq!(What::parse(word), Some(what));
            assert_eq!(what.word(), word);
        }
    }
}
