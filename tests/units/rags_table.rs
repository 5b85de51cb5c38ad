//! The whole table of rags, entry by entry and state by state, against what the trade expects, written out by hand.

use super::apply::apply;
use super::container_state::TrialResult;
use super::made_up::tables;
use super::rag_batch::RagBatch;
use super::rag_states::RagState::{self, Clean, Dry, Flat, InCan, InJar, UnderWater, Wet};
use super::step::{Step, TestMade};
use super::stock_state::Stock;
use crate::quantity::{Amount, Exact, Moment};
use crate::record::{ContainerId, ShopTables, What};
use crate::text::Problems;
use std::collections::BTreeSet;

const INVENTORY: &str = "container,product,vessel,place,since,amount\nP,cloth,pad,bench,2026-01-01,9 pcs\n\
    R,cloth,rag,bench,2026-01-01,9 pcs\nV,oil,metal,bench,2026-01-01,1 L\n";
const PAD: usize = 0;
const RAG: usize = 1;
const VARNISH: usize = 2;

/// The order of the columns below.
const STATES: [RagState; 7] = [Clean, Wet, Flat, UnderWater, InCan, InJar, Dry];
/// One place for each column of the table.
const PLACES: [&str; 6] = ["bench", "yard", "line", "water", "can", "jar"];

/// Each line: the entry, where it puts the rag, what it does to a pad that is clean, wet, flat outdoors, under water, in the
/// can, in the jar, or dry, and why. `wet` is wet since this entry, and `wet=` wet since the first moment. `-` is not
/// taken, which is a problem; `same` is not touched, which is none; `!` and a code is any other problem.
const EXPECTED: &[(&str, &[&str], [&str; 7], &str)] = &[
    (
        "soil use",
        &["bench", "yard", "line", "water", "can"],
        ["wet", "wet=", "-", "-", "-", "wet", "wet"],
        "Finish makes a rag wet wherever it is wiped. A wet one can heat up since it was first soiled. What was put away is \
         not used again; a pad from the jar is.",
    ),
    (
        "soil use",
        &["jar"],
        ["jar", "jar", "-", "-", "-", "jar", "jar"],
        "A pad is charged and goes back into its jar.",
    ),
    (
        "spread",
        &["yard", "line"],
        ["flat"; 7],
        "Any rag can be laid flat outdoors, and dries from then on.",
    ),
    (
        "spread",
        &["bench", "water", "can", "jar"],
        ["wet", "wet=", "wet", "wet", "wet", "wet", "wet"],
        "Spread indoors it can still heat up, and a wet one does so since it was soiled.",
    ),
    (
        "soak",
        &["water"],
        ["water"; 7],
        "Under water nothing heats up.",
    ),
    (
        "soak",
        &["bench", "yard", "line", "can", "jar"],
        ["!not-a-place-for"; 7],
        "Only a can of water is full of water.",
    ),
    (
        "bin",
        &["can"],
        ["can", "can", "can", "can", "can=", "can", "can"],
        "A can for oily waste keeps the fire in, but only until it is emptied.",
    ),
    (
        "bin",
        &["bench", "yard", "line", "water", "jar"],
        ["!not-a-place-for"; 7],
        "Nothing else is a can for oily waste.",
    ),
    (
        "move",
        &["bench", "yard"],
        ["clean=", "wet=", "wet", "wet", "wet", "wet", "dry="],
        "What comes out of a can, out of water, out of the jar or in from outdoors is wet and loose. Clean and dry rags stay \
         what they are. A heap that is carried outdoors is still a heap.",
    ),
    (
        "move",
        &["line"],
        ["flat"; 7],
        "Hung on a line outdoors counts as spread.",
    ),
    (
        "move",
        &["water"],
        ["water"; 7],
        "Carried into water counts as soaked.",
    ),
    (
        "move",
        &["can"],
        ["can", "can", "can", "can", "can=", "can", "can"],
        "Carried into the can counts as binned.",
    ),
    (
        "move",
        &["jar"],
        ["jar"; 7],
        "A pad is kept moist in its jar.",
    ),
    (
        "discard",
        &PLACES,
        ["out"; 7],
        "What is thrown out leaves the shop. A rule reports those that could still heat up.",
    ),
    (
        "count",
        &PLACES,
        [
            "gone", "missing", "missing", "missing", "missing", "missing", "gone",
        ],
        "A missing soiled rag may smolder somewhere. A clean or dry one does no harm.",
    ),
    (
        "test",
        &PLACES,
        ["same", "same", "dry", "same", "same", "same", "same"],
        "Only what dried outdoors in one layer can be found hard and dry.",
    ),
    (
        "receive",
        &PLACES,
        ["added"; 7],
        "New rags are clean, and change none of the others.",
    ),
    (
        "empty",
        &["water", "can"],
        ["out all"; 7],
        "Whatever is in the can leaves the shop with it.",
    ),
    (
        "empty",
        &["bench", "yard", "line", "jar"],
        ["!not-a-place-for"; 7],
        "Only a can is emptied.",
    ),
    (
        "mix decant",
        &PLACES,
        ["!other-kind"; 7],
        "Rags cannot be poured.",
    ),
    (
        "open correct",
        &PLACES,
        ["same"; 7],
        "A pack of rags that is opened changes no rag. A correction is heard before entries are applied.",
    ),
];

/// In which order an entry takes rags that are there in every state, until there are too few.
const ORDERS: &[(&str, &str, &[RagState], &str)] = &[
    (
        "soil use",
        "bench",
        &[Clean, Dry, InJar, Wet],
        "A clean rag is taken before one that was used.",
    ),
    ("soil use", "jar", &[Clean, Dry, InJar, Wet], "The same."),
    (
        "spread",
        "yard",
        &[Dry, UnderWater, InCan, InJar, Wet, Clean, Flat],
        "The wet ones count as still loose, since the entry may mean others. Clean ones, and those that are flat already, are \
         not what it is about.",
    ),
    (
        "spread",
        "bench",
        &[InJar, InCan, UnderWater, Flat, Dry, Wet, Clean],
        "It secures none of them, and what becomes loose by it is the worse case.",
    ),
    (
        "soak",
        "water",
        &[Dry, InCan, InJar, Flat, Wet, Clean, UnderWater],
        "The same as outdoors.",
    ),
    (
        "bin",
        "can",
        &[Dry, UnderWater, InJar, Flat, Wet, Clean, InCan],
        "The same.",
    ),
    (
        "move",
        "can",
        &[Dry, UnderWater, InCan, InJar, Flat, Wet, Clean],
        "What is in another can can be moved into this one.",
    ),
    (
        "move",
        "bench",
        &[InJar, InCan, UnderWater, Flat, Wet, Dry, Clean],
        "What becomes loose by it is the worse case.",
    ),
    (
        "discard",
        "bench",
        &[Clean, Dry, UnderWater, InCan, InJar, Flat, Wet],
        "The wet ones are left to the last, so that they are not forgotten.",
    ),
    (
        "count",
        "bench",
        &[Clean, Dry, InJar, UnderWater, InCan, Flat, Wet],
        "A wet one is believed gone last.",
    ),
];

fn at(moment: &str) -> Moment {
    Moment::parse(moment).unwrap()
}

fn pieces(number: i64) -> Exact {
    Exact::whole(number)
}

/// A stock in which a row has one batch for each of these states, with two pieces each, at the place given.
fn stock_with(tables: &ShopTables, row: usize, states: &[RagState], place: &str) -> Stock {
    let mut stock = Stock::first(tables, at("2026-06-10T00:00"));
    for batch in &mut stock.containers {
        batch.cloth.clear();
    }
    let contents = &mut stock.containers[row];
    contents.amount = Some(Amount::Pieces(pieces(
        2 * i64::try_from(states.len()).unwrap(),
    )));
    let batch = |state: &RagState| RagBatch {
        state: *state,
        pieces: pieces(2),
        since: Some(at("2026-06-01T10:00")),
        location: tables.location(place).unwrap(),
        soiled_by: Vec::new(),
        soiled_by_unknown: false,
        soiled_in: None,
        at: tables.containers[row].at,
    };
    contents.cloth = states.iter().map(batch).collect();
    stock
}

/// An entry about so many pieces of a row, at a place.
fn step(tables: &ShopTables, what: What, row: usize, number: Option<i64>, place: &str) -> Step {
    let container = (what != What::Empty && what != What::Correct).then(|| ContainerId::at(row));
    let location = tables.location(place).unwrap();
    Step {
        when: at("2026-06-03T10:00"),
        what,
        container,
        amount: number.map(|number| Amount::Pieces(pieces(number))),
        target: (what == What::Soil).then(|| ContainerId::at(VARNISH)),
        place: location.place,
        room: location.room,
        minutes: None,
        by: None,
        test: (what == What::Test).then_some(TestMade::of_cloth(TrialResult::Pass)),
        from: None,
        soiling: (what == What::Soil).then_some(7),
        hazardous_waste: false,
        at: tables.containers[VARNISH].at,
    }
}

fn word(state: RagState) -> &'static str {
    match state {
        Clean => "clean",
        Wet => "wet",
        Flat => "flat",
        UnderWater => "water",
        InCan => "can",
        InJar => "jar",
        Dry => "dry",
    }
}

/// What an entry does to one of two pads in a state, in the words of the table above.
fn outcome(tables: &ShopTables, what: What, place: &str, state: RagState) -> (String, Stock) {
    // Everything lies somewhere else before, but what is emptied out is in the can.
    let before = match what {
        What::Empty => place,
        // A test is made where the rag lies.
        What::Test => place,
        _ => "shelf",
    };
    let mut stock = stock_with(tables, PAD, &[state], before);
    let number = (!matches!(what, What::Empty | What::Test)).then_some(1);
    let step = step(tables, what, PAD, number, place);
    let mut problems = Problems::new();
    apply(&mut stock, tables, &step, &mut problems);
    let found = super::made_up::codes(&problems);
    let contents = &stock.containers[PAD];
    let left = contents
        .cloth
        .iter()
        .filter(|batch| batch.location == tables.location(before).unwrap());
    let left: Exact = left
        .filter(|batch| batch.state == state)
        .fold(Exact::ZERO, |sum, batch| sum.plus(batch.pieces).unwrap());
    let new = contents.cloth.iter().find(|batch| batch.at == step.at);
    let told = match (found.first(), new) {
        (Some(&"rags-few"), _) => "-".to_string(),
        (Some(code), _) => format!("!{code}"),
        (None, Some(new)) if what == What::Receive => {
            assert_eq!((new.state, left), (Clean, pieces(2)));
            "added".into()
        }
        (None, Some(new)) => {
            let runs_on = new.since == Some(at("2026-06-01T10:00"));
            assert!(runs_on || new.since == Some(step.when));
            format!("{}{}", word(new.state), if runs_on { "=" } else { "" })
        }
        (None, None) if left == pieces(2) => "same".into(),
        (None, None) if what == What::Empty => "out all".into(),
        (None, None) if what == What::Count => {
            let missing = stock.nights.iter().any(|night| night.missing);
            if missing {
                "missing".into()
            } else {
                "gone".into()
            }
        }
        (None, None) => "out".into(),
    };
    // However it goes, each piece is in exactly one state, or out of the book.
    if found.is_empty() {
        let held = contents.amount.unwrap().base();
        let all = contents.cloth.iter();
        let all = all.fold(Exact::ZERO, |sum, batch| sum.plus(batch.pieces).unwrap());
        assert_eq!(all, held, "{what:?} {place} {state:?}");
    }
    (told, stock)
}

#[test]
fn the_whole_table_is_what_the_trade_expects() {
    let (_, tables) = tables(INVENTORY, "entry,when,what\n");
    let mut seen = BTreeSet::new();
    for (entries, places, expected, why) in EXPECTED {
        for entry in entries.split(' ') {
            let what = What::parse(entry).unwrap();
            for place in *places {
                assert!(
                    seen.insert((entry, *place)),
                    "{entry} at {place} stands twice"
                );
                for (state, expected) in STATES.into_iter().zip(expected) {
                    let (found, stock) = outcome(&tables, what, place, state);
                    assert_eq!(&found, expected, "{entry} at {place}, {state:?}: {why}");
                    // A wet rag that is wet no more lay loose for two nights until then, and one in a can lay in it.
                    let left_loose = matches!(state, Wet | InCan)
                        && !matches!(*expected, "wet=" | "can=" | "same" | "added")
                        && !expected.starts_with(['-', '!']);
                    let kept = left_loose || *expected == "missing";
                    assert_eq!(
                        stock.nights.len(),
                        usize::from(kept),
                        "{entry} at {place}, {state:?}"
                    );
                    assert_eq!(stock.year_nights.list.len(), usize::from(kept));
                    assert!(stock.nights.iter().all(|night| night.nights == 2));
                }
            }
        }
    }
    assert_eq!(
        seen.len(),
        What::WORDS.len() * PLACES.len(),
        "every entry at every place"
    );
}

#[test]
fn rags_are_taken_in_the_order_that_leaves_the_most_danger_open() {
    let (_, tables) = tables(INVENTORY, "entry,when,what\n");
    for (entries, place, order, why) in ORDERS {
        for entry in entries.split(' ') {
            let what = What::parse(entry).unwrap();
            // The first so many that are taken are all of the first so many states.
            for taken in 1..=STATES.len() {
                let mut stock = stock_with(&tables, PAD, &STATES, "shelf");
                let number = 2 * i64::try_from(taken).unwrap();
                let number = if what == What::Count {
                    14 - number
                } else {
                    number
                };
                let step = step(&tables, what, PAD, Some(number), place);
                let mut problems = Problems::new();
                apply(&mut stock, &tables, &step, &mut problems);
                let few = super::made_up::codes(&problems) == ["rags-few"];
                assert_eq!(few, taken > order.len(), "{entry}: {why}");
                if few {
                    continue;
                }
                let cloth = &stock.containers[PAD].cloth;
                let old = cloth.iter().filter(|batch| batch.at != step.at);
                let mut left: Vec<RagState> = old.map(|batch| batch.state).collect();
                let mut expected: Vec<RagState> = STATES
                    .into_iter()
                    .filter(|state| !order[..taken].contains(state))
                    .collect();
                left.sort();
                expected.sort();
                assert_eq!(left, expected, "{entry} of {taken}: {why}");
            }
        }
    }
}

#[test]
fn without_a_number_the_clean_ones_are_not_put_away() {
    let (_, tables) = tables(INVENTORY, "entry,when,what\n");
    for (what, place, clean) in [
        (What::Bin, "can", 2),
        (What::Soak, "water", 2),
        (What::Spread, "yard", 2),
        (What::Move, "can", 2),
    ] {
        let mut stock = stock_with(&tables, RAG, &STATES, "shelf");
        let step = step(&tables, what, RAG, None, place);
        let mut problems = Problems::new();
        apply(&mut stock, &tables, &step, &mut problems);
        assert!(problems.none(), "{problems:?}");
        let cloth = stock.containers[RAG].cloth.iter();
        let left: Exact = cloth
            .filter(|batch| batch.state == Clean)
            .fold(Exact::ZERO, |sum, batch| sum.plus(batch.pieces).unwrap());
        assert_eq!(left, pieces(clean), "{what:?}");
    }
}

#[test]
fn nights_in_a_can_are_not_lost_from_can_to_can() {
    let (_, tables) = tables(INVENTORY, "entry,when,what\n");
    for to in ["can", "can 2"] {
        let mut stock = stock_with(&tables, RAG, &[InCan], "can");
        let step = step(&tables, What::Bin, RAG, Some(2), to);
        apply(&mut stock, &tables, &step, &mut Problems::new());
        let [batch] = stock.containers[RAG].cloth.as_slice() else {
            panic!("one batch")
        };
        assert_eq!(batch.since, Some(at("2026-06-01T10:00")), "{to}");
        assert_eq!(batch.location, tables.location(to).unwrap());
    }
}

#[test]
fn only_a_pad_is_safe_in_the_jar_and_only_a_listed_line_is_outdoors() {
    let (_, tables) = tables(INVENTORY, "entry,when,what\n");
    for (row, place, expected) in [
        (PAD, "jar", InJar),
        (RAG, "jar", Wet),
        (RAG, "line", Flat),
        (RAG, "indoor line", Wet),
        (RAG, "yard", Wet),
    ] {
        let mut stock = stock_with(&tables, row, &[Wet], "bench");
        let step = step(&tables, What::Move, row, Some(2), place);
        apply(&mut stock, &tables, &step, &mut Problems::new());
        assert_eq!(stock.containers[row].cloth[0].state, expected, "{place}");
    }
}

#[test]
fn a_test_that_was_not_passed_dries_nothing() {
    let (_, tables) = tables(INVENTORY, "entry,when,what\n");
    for result in [TrialResult::Retest, TrialResult::Fail] {
        let mut stock = stock_with(&tables, RAG, &[Flat], "yard");
        let mut step = step(&tables, What::Test, RAG, None, "yard");
        step.test = Some(TestMade::of_cloth(result));
        apply(&mut stock, &tables, &step, &mut Problems::new());
        assert_eq!(stock.containers[RAG].cloth[0].state, Flat);
    }
}

/// What was clean before has unknown finish on it, unless the entry says what.
#[test]
fn what_is_on_a_rag_is_known_only_where_an_entry_says_it() {
    let (_, tables) = tables(INVENTORY, "entry,when,what\n");
    for (what, place, from, by, unknown) in [
        (What::Soil, "bench", Clean, 1, false),
        (What::Use, "bench", Clean, 0, true),
        (What::Use, "bench", Wet, 0, false),
        (What::Bin, "can", Clean, 0, true),
        (What::Bin, "can", Wet, 0, false),
        (What::Move, "bench", Clean, 0, false),
        (What::Test, "yard", Flat, 0, false),
    ] {
        let mut stock = stock_with(&tables, RAG, &[from], "yard");
        let step = step(&tables, what, RAG, Some(2), place);
        apply(&mut stock, &tables, &step, &mut Problems::new());
        let batch = &stock.containers[RAG].cloth[0];
        assert_eq!(
            (batch.soiled_by.len(), batch.soiled_by_unknown),
            (by, unknown),
            "{what:?}"
        );
    }
}
