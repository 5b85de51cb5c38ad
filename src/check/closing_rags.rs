//! Closing time: every soiled rag and pad, and the cans for oily waste.

use super::closing_list::{Account, ClosingLine, ClosingTopic, Evening, command};
use crate::fact::is_self_heating;
use crate::quantity::when::date;
use crate::quantity::{Amount, Exact, Moment, pieces_together};
use crate::record::{ContainerId, Location, PlaceId, PlaceKind, What};
use crate::stock::{RagBatch, RagState, UnsecuredNight, WetDiscard};
use crate::text::{Span, the};

/// A soiled rag that a count misses is asked after for so many days, as the audit does.
const MISSED_DAYS: i64 = 31;

/// Fires are on record up to three days after rags were discarded (fire-investigation consultancies, second-hand); the audit
/// reports them for a month.
const THROWN_OUT_DAYS: i64 = 3;

pub(super) fn rags(evening: &Evening<'_>) -> Vec<ClosingLine> {
    let mut lines = Vec::new();
    for (container, row) in ContainerId::each(&evening.tables.containers) {
        let known = row.since.is_none_or(|since| since <= evening.stock.on);
        if !known || !row.vessel.is_some_and(|vessel| vessel.is_cloth()) {
            continue;
        }
        let contents = &evening.stock[container];
        if contents.amount.is_none() {
            lines.push(uncounted(evening, container));
        }
        for batch in &contents.cloth {
            lines.extend(batch_line(evening, container, batch));
        }
    }
    let missed = |night: &&UnsecuredNight| {
        night.missing && evening.at.nights_since(night.until) <= MISSED_DAYS
    };
    for night in evening.stock.nights.iter().filter(missed) {
        lines.push(missing(evening, night));
    }
    let discards = evening.stock.wet_discards.iter();
    lines.extend(discards.filter_map(|discard| thrown_out(evening, discard)));
    lines
}

fn id<'e>(evening: &'e Evening<'_>, container: ContainerId) -> &'e str {
    &evening.tables[container].id
}

/// `1 rag`, `2 pads`.
fn pieces(evening: &Evening<'_>, container: ContainerId, count: Exact) -> String {
    let pad = evening.tables[container].vessel == Some(crate::record::Vessel::Pad);
    let word = if pad { "pad" } else { "rag" };
    let many = if count == Exact::ONE { "" } else { "s" };
    format!("{} {word}{many}", count.digits())
}

/// Rags of unknown number.
fn uncounted(evening: &Evening<'_>, container: ContainerId) -> ClosingLine {
    let place = evening.named(evening.stock[container].location);
    ClosingLine {
        standing: Account::Open,
        about: ClosingTopic::OilyRag,
        subject: id(evening, container).to_string(),
        observed: format!(
            "The number of rags at {} is unknown, and so is what is on them.",
            the(&place)
        ),
        action: "Count them. Treat each one as wet with drying oil until you know better.".into(),
        commands: Vec::new(),
        place,
        amount: None,
        since: None,
        evidence: vec![evening.tables[container].at],
    }
}

/// What is on the rags, in words.
fn soiled_with(evening: &Evening<'_>, batch: &RagBatch) -> String {
    let mut names: Vec<String> = batch
        .soiled_by
        .iter()
        .map(|soiler| &evening.tables[*soiler])
        .map(|row| format!("{} of {}", row.product, row.id))
        .collect();
    if batch.soiled_by_unknown {
        names.push("an unknown liquid (counted as a drying oil)".into());
    }
    names.join(" and ")
}

fn batch_line(
    evening: &Evening<'_>,
    container: ContainerId,
    batch: &RagBatch,
) -> Option<ClosingLine> {
    let (heats, evidence) = is_self_heating(evening.stock, evening.hazards, container, batch);
    let (standing, state, mut action) = how_kept(batch.state, heats, &soiled_with(evening, batch))?;
    let place = evening.named(batch.location);
    let since = evening.since(batch.since);
    let count = pieces(evening, container, batch.pieces);
    let commands = match batch.state {
        RagState::Wet => put_away(evening, container, batch),
        RagState::Flat => vec![test_passed(evening, container, batch)],
        RagState::Clean
        | RagState::InCan
        | RagState::UnderWater
        | RagState::InJar
        | RagState::Dry => Vec::new(),
    };
    if batch.state == RagState::Wet && commands.is_empty() {
        action.push_str(
            " places.csv has no water can, no place outdoors and no listed oily-waste can. Put it under water anyway, and add that place \
             to places.csv.",
        );
    }
    Some(ClosingLine {
        standing,
        about: if heats {
            ClosingTopic::OilyRag
        } else {
            ClosingTopic::Rag
        },
        subject: id(evening, container).to_string(),
        observed: format!("{count} at {} {since}, {state}", the(&place)),
        place,
        amount: Some(Amount::Pieces(batch.pieces)),
        since: batch.since,
        action,
        commands,
        evidence: evidence.places,
    })
}

/// How a batch is kept: whether it may stay so overnight, in which words, and what to do. `on` is what is on it. Clean rags need
/// nothing, and what is in the can is a matter of the can.
fn how_kept(state: RagState, heats: bool, on: &str) -> Option<(Account, String, String)> {
    let words = state.words();
    let (is, caution, todo) = (words.state, words.caution, words.at_closing.to_string());
    Some(match state {
        RagState::Clean | RagState::InCan => return None,
        RagState::Wet if heats => (
            Account::Open,
            format!("{is} with {on}. It can set itself on fire, and one is enough."),
            format!("Do this now: {todo}"),
        ),
        RagState::Wet => (
            Account::Open,
            format!("{is} with {on}. It is not self-heating, but its vapor burns."),
            "Hang it outdoors until the solvent is gone, or put it into the listed oily-waste can. If any drying oil is on it, it is \
             an oily rag."
                .into(),
        ),
        RagState::InJar if heats => (Account::Warned, format!("{is} with {on}. {caution}"), todo),
        RagState::Flat | RagState::UnderWater | RagState::InJar | RagState::Dry => {
            (Account::Accounted, words.with_caution(), todo)
        }
    })
}

fn test_passed(evening: &Evening<'_>, container: ContainerId, batch: &RagBatch) -> String {
    let from = evening
        .stock
        .source_word(evening.tables, (container, batch), What::Test);
    let mut words = vec!["test", id(evening, container), "pass"];
    words.extend(from.iter().flat_map(|from| ["--from", from]));
    command(&words)
}

/// The ways this shop has to put wet rags away, those that need nothing more first.
fn put_away(evening: &Evening<'_>, container: ContainerId, batch: &RagBatch) -> Vec<String> {
    let count = format!("{} pcs", batch.pieces.digits());
    let name = id(evening, container);
    let first = |fits: &dyn Fn(&crate::record::Place) -> bool| {
        let place = evening.tables.places.iter().find(|place| fits(place));
        place.map(|place| place.id.as_str())
    };
    let rags = (container, batch);
    let from = evening.stock.source_word(evening.tables, rags, What::Bin);
    let way = |what: &str, place: &str| {
        let mut words = vec![what, name, place, &count];
        words.extend(from.iter().flat_map(|from| ["--from", from]));
        command(&words)
    };
    let mut ways = Vec::new();
    if let Some(water) = first(&|place| place.kind == PlaceKind::WaterCan) {
        ways.push(way("soak", water));
    }
    let outdoors = |place: &crate::record::Place| match place.kind {
        PlaceKind::Outdoors => true,
        PlaceKind::DryingLine => place.listed == Some(true),
        _ => false,
    };
    if let Some(outdoors) = first(&outdoors) {
        ways.push(way("spread", outdoors));
    }
    let can = |place: &crate::record::Place| {
        place.kind == PlaceKind::OilyWasteCan && place.listed == Some(true)
    };
    if let Some(can) = first(&can) {
        let bin = way("bin", can);
        ways.push(format!("{bin} && {}", command(&["empty", can])));
    }
    ways
}

/// Soiled rags that a count found gone.
fn missing(evening: &Evening<'_>, night: &UnsecuredNight) -> ClosingLine {
    let place = evening.named(night.batch.location);
    let count = pieces(evening, night.container, night.batch.pieces);
    ClosingLine {
        standing: Account::Open,
        about: ClosingTopic::OilyRag,
        subject: id(evening, night.container).to_string(),
        observed: format!(
            "{count} from {} missing since the count of {}. No entry says where to.",
            the(&place),
            evening.when(night.until)
        ),
        action: format!(
            "Find it. Look in every trash can and pocket. Then log what happened to it, with --when and a time before {}.",
            night.until
        ),
        commands: Vec::new(),
        place,
        amount: Some(Amount::Pieces(night.batch.pieces)),
        since: Some(night.until),
        evidence: vec![night.batch.at],
    }
}

/// Rags that went into the trash before they were dry, while they are likely to catch fire there.
fn thrown_out(evening: &Evening<'_>, discard: &WetDiscard) -> Option<ClosingLine> {
    let (stock, batch) = (evening.stock, &discard.batch);
    let (heats, evidence) = is_self_heating(stock, evening.hazards, discard.container, batch);
    if !heats || evening.at.nights_since(discard.when) > THROWN_OUT_DAYS {
        return None;
    }
    let count = pieces(evening, discard.container, batch.pieces);
    Some(ClosingLine {
        standing: Account::Open,
        about: ClosingTopic::OilyRag,
        subject: id(evening, discard.container).to_string(),
        observed: format!(
            "{count} discarded on {} before they were hard and dry. They can set a trash can on fire.",
            evening.when(discard.when)
        ),
        action: "Find them and take them out of the trash now. Put them under water in a lidded metal can, or lay them flat \
                 outdoors. Then take the discard back with `log undo` and log where they are."
            .into(),
        commands: Vec::new(),
        place: evening.named(batch.location),
        amount: Some(Amount::Pieces(batch.pieces)),
        since: Some(discard.when),
        evidence: [evidence.places, vec![discard.at]].concat(),
    })
}

/// Each can for oily waste: what is in it, and when it was last emptied.
pub(super) fn cans(evening: &Evening<'_>) -> Vec<ClosingLine> {
    let places = PlaceId::each(&evening.tables.places);
    let cans = places.filter(|(_, place)| place.kind == PlaceKind::OilyWasteCan);
    cans.map(|(id, place)| can(evening, id, place)).collect()
}

fn can(evening: &Evening<'_>, id: PlaceId, place: &crate::record::Place) -> ClosingLine {
    let batches = evening.stock.containers.iter().flat_map(|h| &h.cloth);
    let in_it: Vec<&RagBatch> = batches
        .filter(|batch| batch.location.place == Some(id) && batch.state == RagState::InCan)
        .collect();
    let count = pieces_together(in_it.iter().map(|batch| batch.pieces));
    // One batch without a time may be the oldest.
    let times: Option<Vec<Moment>> = in_it.iter().map(|batch| batch.since).collect();
    let since = times.and_then(|times| times.into_iter().min());
    let emptied = evening.stock.emptied(id);
    let mut evidence = vec![place.at];
    evidence.extend(in_it.iter().map(|batch| batch.at));
    evidence.extend(emptied.map(|(_, at)| at));
    let (standing, mut observed) = if !count.is_zero() {
        (Account::Open, filled(evening, count, since, emptied))
    } else if let Some((when, _)) = emptied {
        let words = format!("Emptied {}. Nothing went in since.", on(evening, when));
        (Account::Accounted, words)
    } else if looked_in(evening, &place.id) {
        let words = "Found empty on today's round. Nothing went in by the log.".into();
        (Account::Accounted, words)
    } else {
        let words = "No entry for it is on record, so whether it is empty is unknown.";
        (Account::Open, words.to_string())
    };
    if standing == Account::Open && place.listed != Some(true) {
        observed.push_str(" places.csv does not say that it is a listed can.");
    }
    ClosingLine {
        standing,
        about: ClosingTopic::Can,
        subject: place.id.clone(),
        place: evening.named(Location {
            place: None,
            room: place.room,
        }),
        amount: Some(Amount::Pieces(count)),
        since,
        observed,
        action: RagState::InCan.words().at_closing.into(),
        commands: if standing == Account::Open {
            vec![command(&["empty", &place.id])]
        } else {
            Vec::new()
        },
        evidence,
    }
}

/// A can with rags in it, in words.
fn filled(
    evening: &Evening<'_>,
    count: Exact,
    since: Option<Moment>,
    emptied: Option<(Moment, Span)>,
) -> String {
    let last = emptied.map_or_else(
        || "never logged as emptied".into(),
        |(when, _)| format!("last emptied {}", on(evening, when)),
    );
    let overnight = since.is_none_or(|since| evening.at.nights_since(since) > 0);
    format!(
        "{} pcs in it {}, {last}{}.",
        count.digits(),
        evening.since(since),
        if overnight {
            ". They were in it overnight"
        } else {
            ""
        }
    )
}

fn on(evening: &Evening<'_>, when: Moment) -> String {
    if when.day() == evening.at.day() {
        format!("today at {}", evening.clock(when))
    } else {
        format!("on {}", date(when.day()))
    }
}

/// Did today's round find it empty?
fn looked_in(evening: &Evening<'_>, can: &str) -> bool {
    super::closing_round::answered(evening, "rag-can-empty", can)
        .is_some_and(|answer| answer.answer == Some(true))
}
