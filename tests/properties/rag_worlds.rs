//! Random entries about rags against an independent model: all that the entries could have meant. The most dangerous of these
//! readings has so many rags wet and loose; the program leaves at least as many open, or says that an entry is not clear.

use crate::few;
use crate::log::shop_with;
use crate::shop::{opened, replayed};
use proptest::collection::vec;
use proptest::prelude::{Just, Strategy, TestCaseError, prop_assert, prop_oneof, proptest};
use proptest::sample::select;
use sandarac::stock::{RagBatch, RagState, Stock};
use sandarac::text::Files;
use std::collections::BTreeSet;

const CLEAN_RAGS: u32 = 6;
const INVENTORY: &str = "container,product,vessel,place,since,amount\nT,oil,metal,bench,2026-01-01,4 L\n\
    R,cloth,rag,bench,2026-01-01,6 pcs\n";
const HEAD: &str = "entry,when,what,container,amount,into,place,note,from\n";
/// More readings than these are not followed.
const MOST_WORLDS: usize = 3_000;

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Is {
    Clean,
    Wet,
    Flat,
    UnderWater,
    InCan,
    Dry,
}

/// One rag: what it is, where, and which entry soiled it.
type Rag = (Is, &'static str, usize);
/// All rags, in order, so that the same worlds are one.
type World = Vec<Rag>;

#[derive(Clone, Debug)]
struct Done {
    what: &'static str,
    /// `None`: the cell is empty.
    pieces: Option<usize>,
    place: &'static str,
    from: From,
}

#[derive(Clone, Debug)]
enum From {
    Unsaid,
    Clean,
    Place(&'static str),
    /// The entry that soiled it, counted back.
    Entry(usize),
}

fn done() -> impl Strategy<Value = Done> {
    let what = select(vec![
        "soil", "soil", "soil", "bin", "bin", "soak", "spread", "move", "move", "discard", "test",
        "empty",
    ]);
    let pieces = prop_oneof![3 => (1_usize..4).prop_map(Some), 1 => Just(None)];
    let place = || select(vec!["bench", "yard", "can", "water"]);
    let from = prop_oneof![
        4 => Just(From::Unsaid),
        1 => Just(From::Clean),
        2 => place().prop_map(From::Place),
        1 => (0_usize..3).prop_map(From::Entry),
    ];
    (what, pieces, place(), from).prop_map(|(what, pieces, place, from)| {
        let place = match (what, place) {
            ("bin" | "empty", _) => "can",
            ("soak", _) => "water",
            ("spread", "can" | "water") => "yard",
            (_, place) => place,
        };
        let is_test_or_soil = matches!(what, "test" | "soil" | "empty");
        Done {
            what,
            pieces: if what == "soil" {
                pieces.or(Some(1))
            } else {
                pieces
            },
            place,
            from: if is_test_or_soil && what != "test" {
                From::Unsaid
            } else {
                from
            },
        }
    })
}

fn line(nth: usize, done: &Done) -> String {
    let when = format!("2026-03-{:02}T09:00", 1 + nth);
    let amount = done.pieces.map_or_else(String::new, |n| format!("{n} pcs"));
    let from = match done.from {
        From::Unsaid => String::new(),
        From::Clean => "clean".into(),
        From::Place(place) => place.into(),
        From::Entry(back) => format!("entry {}", nth.saturating_sub(back + 1)),
    };
    let (container, amount) = match done.what {
        "empty" => ("", String::new()),
        _ => ("R", amount),
    };
    let place = if matches!(done.what, "discard" | "test") {
        ""
    } else {
        done.place
    };
    let into = if done.what == "soil" { "T" } else { "" };
    let note = if done.what == "test" { "pass" } else { "" };
    let what = done.what;
    format!("{nth},{when},{what},{container},{amount},{into},{place},{note},{from}\n")
}

/// What becomes of a rag that an entry takes; `None` if it leaves the shop.
fn fate(rag: Rag, done: &Done, nth: usize) -> Option<Rag> {
    let (is, place, soiled) = rag;
    let to = match (done.what, done.place) {
        ("discard", _) => return None,
        ("test", _) => return Some((Is::Dry, place, 0)),
        ("soil", _) => {
            return Some((
                Is::Wet,
                done.place,
                if soiled == 0 { nth + 1 } else { soiled },
            ));
        }
        (_, "can") => Is::InCan,
        (_, "water") => Is::UnderWater,
        ("spread", "yard") => Is::Flat,
        ("spread", _) => Is::Wet,
        // What is carried about is loose, unless it cannot heat itself.
        (_, _) if matches!(is, Is::Clean | Is::Dry) => is,
        (_, _) => Is::Wet,
    };
    Some((to, done.place, soiled))
}

/// May an entry of this kind have meant this rag?
fn could_mean(rag: Rag, done: &Done, nth: usize) -> bool {
    let (is, place, soiled) = rag;
    let is_named = match done.from {
        From::Unsaid => true,
        From::Clean => is == Is::Clean,
        From::Place(from) => place == from,
        From::Entry(back) => soiled == nth.saturating_sub(back + 1) + 1,
    };
    let kind = match done.what {
        "test" => is == Is::Flat,
        "soil" => matches!(is, Is::Clean | Is::Dry),
        // A clean rag that is spread out indoors is none to speak of.
        "spread" if done.place == "bench" => is != Is::Clean,
        _ => true,
    };
    is_named && kind
}

/// Clean rags are put away only where the others are too few, and so are those that are there already.
fn last(rag: Rag, done: &Done) -> bool {
    let puts_away = matches!(done.what, "bin" | "soak" | "spread")
        || done.what == "move" && matches!(done.place, "can" | "water");
    let is_there = fate(rag, done, 0).is_some_and(|new| (new.0, new.1) == (rag.0, rag.1));
    let clean = rag.0 == Is::Clean && !matches!(done.from, From::Clean);
    (puts_away || done.what == "move") && (clean || is_there)
}

/// All worlds in which so many of these rags were taken.
fn choose(world: &World, may: &[usize], count: usize, each: &mut impl FnMut(&[usize])) {
    fn go(
        world: &World,
        may: &[usize],
        count: usize,
        taken: &mut Vec<usize>,
        each: &mut impl FnMut(&[usize]),
    ) {
        if count == 0 {
            each(taken);
            return;
        }
        let mut before: Option<Rag> = None;
        for (at, rag) in may.iter().enumerate() {
            // One of equal rags stands for all.
            if before == Some(world[*rag]) {
                continue;
            }
            before = Some(world[*rag]);
            taken.push(*rag);
            go(world, &may[at + 1..], count - 1, taken, each);
            taken.pop();
        }
    }
    go(world, may, count, &mut Vec::new(), each);
}

fn after(world: &World, taken: &[usize], done: &Done, nth: usize) -> World {
    let mut new: World = world
        .iter()
        .enumerate()
        .filter_map(|(at, rag)| match taken.contains(&at) {
            true => fate(*rag, done, nth),
            false => Some(*rag),
        })
        .collect();
    new.sort_unstable();
    new
}

/// The worlds after an entry.
fn step(worlds: &BTreeSet<World>, done: &Done, nth: usize) -> BTreeSet<World> {
    let mut all = BTreeSet::new();
    for world in worlds {
        if done.what == "empty" {
            all.insert(world.iter().copied().filter(|rag| rag.1 != "can").collect());
            continue;
        }
        let may = |wanted: bool| -> Vec<usize> {
            let rags = world.iter().enumerate();
            let fits =
                rags.filter(|(_, rag)| could_mean(**rag, done, nth) && last(**rag, done) == wanted);
            fits.map(|(at, _)| at).collect()
        };
        let (first, others) = (may(false), may(true));
        let mut keep = |taken: &[usize]| {
            all.insert(after(world, taken, done, nth));
        };
        match done.pieces {
            Some(count) if count <= first.len() => choose(world, &first, count, &mut keep),
            // Who names the entry that soiled them means rags that are not there already.
            Some(_) if matches!(done.from, From::Entry(_)) => {}
            Some(count) => choose(world, &others, count - first.len(), &mut |more| {
                keep(&[&first, more].concat());
            }),
            None if first.is_empty() => {}
            // All, or all of one kind at one place: at least those.
            None => {
                keep(&first);
                // Without a number, the whole row is carried or spread.
                if done.what == "move" || done.what == "spread" && done.place == "bench" {
                    continue;
                }
                let groups: BTreeSet<(Is, &str)> = first
                    .iter()
                    .map(|at| (world[*at].0, world[*at].1))
                    .collect();
                for group in groups {
                    let those = first
                        .iter()
                        .copied()
                        .filter(|at| (world[*at].0, world[*at].1) == group);
                    keep(&those.collect::<Vec<usize>>());
                }
            }
        }
    }
    all
}

fn wet(world: &World) -> usize {
    world.iter().filter(|rag| rag.0 == Is::Wet).count()
}

fn stock_of(log: &str) -> Result<Stock, String> {
    stock_with(INVENTORY, log)
}

fn stock_with(inventory: &str, log: &str) -> Result<Stock, String> {
    let mut files = Files::default();
    let shop = shop_with(inventory.to_string(), format!("{HEAD}{log}"));
    let tables = opened(&shop, false, &mut files)?;
    replayed(&mut files, &tables, "2026-03-20")
}

fn left_wet(stock: &Stock) -> usize {
    count(stock, &[RagState::Wet])
}

fn unused(stock: &Stock) -> usize {
    count(stock, &[RagState::Clean, RagState::Dry])
}

/// Rags that are wet although no entry soiled them.
fn never_soiled(stock: &Stock) -> usize {
    let unknown = |batch: &&RagBatch| batch.state == RagState::Wet && batch.soiled_in.is_none();
    pieces(
        stock
            .containers
            .last()
            .unwrap()
            .cloth
            .iter()
            .filter(unknown),
    )
}

fn count(stock: &Stock, states: &[RagState]) -> usize {
    let rags = stock.containers.last().unwrap().cloth.iter();
    pieces(rags.filter(|batch| states.contains(&batch.state)))
}

fn pieces<'b>(those: impl Iterator<Item = &'b RagBatch>) -> usize {
    those
        .map(|batch| batch.pieces.digits().parse::<usize>().unwrap())
        .sum()
}

proptest! {
    #![proptest_config(few(300))]

    /// No reading of the entries leaves more rags wet and loose than the program does.
    #[test]
    fn the_most_dangerous_reading_counts(entries in vec(done(), 1..9)) {
        let clean: World = (0..CLEAN_RAGS).map(|_| (Is::Clean, "bench", 0)).collect();
        let (mut worlds, mut log) = (BTreeSet::from([clean]), String::new());
        for (nth, done) in entries.iter().enumerate() {
            let longer = format!("{log}{}", line(nth, done));
            let Ok(stock) = stock_of(&longer) else { continue };
            if done.what == "soil" {
                // Each rag that is soiled is one more, for no entry here says that a wet one was used again. Only what is wet because
                // nothing is known of it may be one of them.
                let (before, pieces) = (stock_of(&log).unwrap(), done.pieces.unwrap());
                let harmless = unused(&before);
                let more = pieces.saturating_sub(harmless + never_soiled(&before));
                prop_assert!(
                    left_wet(&stock) == left_wet(&before) + pieces.min(harmless) + more,
                    "{pieces} were soiled\n{longer}"
                );
                let is_unclear = stock.unclear.len() > before.unclear.len();
                prop_assert!(is_unclear == (more > 0), "{longer}");
                // The rags of the model are those of the inventory.
                if pieces > harmless {
                    break;
                }
            }
            let new = step(&worlds, done, nth);
            // The program may carry out what the model finds impossible; then it has nothing to say.
            if new.is_empty() || new.len() > MOST_WORLDS {
                break;
            }
            (worlds, log) = (new, longer);
            let worst = worlds.iter().map(wet).max().unwrap_or(0);
            let left = left_wet(&stock);
            prop_assert!(
                left >= worst || !stock.unclear.is_empty() || !stock.wet_discards.is_empty(),
                "{left} left wet, {worst} may be; {} unclear\n{log}{:?}", stock.unclear.len(),
                worlds.iter().max_by_key(|world| wet(world))
            );
        }
    }

    /// One more oily rag, soiled at any time, leaves at least as many wet and loose.
    #[test]
    fn one_more_oily_rag_is_never_fewer(entries in vec(done(), 1..9), at in 0_usize..9, place in select(vec!["bench", "yard"])) {
        // Clean ones never run out.
        let many = INVENTORY.replace("6 pcs", "60 pcs");
        let mut lines: Vec<String> = Vec::new();
        for (nth, done) in entries.iter().enumerate() {
            let line = line(nth, done);
            if stock_with(&many, &format!("{}{line}", lines.concat())).is_ok() {
                lines.push(line);
            }
        }
        let before = stock_with(&many, &lines.concat()).map_err(TestCaseError::fail)?;
        // Clean rags that are put away count as soiled with something unknown: with one rag more, the soiled one is meant.
        let rags = &before.containers.last().unwrap().cloth;
        if rags.iter().any(|batch| batch.soiled_by_unknown) {
            return Ok(());
        }
        let at = at % (lines.len() + 1);
        let day = 1 + at.min(lines.len());
        let more = format!("more,2026-03-{day:02}T08:30,soil,R,1 pcs,T,{place},,\n");
        lines.insert(at, more);
        // All clean ones may have been put away or thrown out.
        let Ok(after) = stock_with(&many, &lines.concat()) else { return Ok(()) };
        // What is not clear is read with care, and may be clear with one rag more.
        let is_said = !after.unclear.is_empty() || !before.unclear.is_empty();
        prop_assert!(is_said || left_wet(&after) >= left_wet(&before), "{}", lines.concat());
    }
}
