//! Which rags an entry takes where several batches could be meant, in whole logs.

use super::log_rows::read_in_turn;
use super::made_up::{codes, stock};
use super::rag_states::RagState::{self, Clean, Dry, Flat, InCan, UnderWater, Wet};
use super::stock_state::Stock;
use crate::quantity::Moment;
use crate::record::ContainerId;

const INVENTORY: &str = "container,product,vessel,place,since,amount\n\
    R,cloth,rag,bench,2026-01-01,9 pcs\nV,oil,metal,bench,2026-01-01,1 L\nA,alcohol,metal,bench,2026-01-01,1 L\n";
const HEAD: &str = "entry,when,what,container,amount,into,place,from,note\n";

/// The stock on 2 June at noon, and the codes of problems.
fn after(log: &str) -> (Stock, Vec<&'static str>) {
    let (stock, problems) = stock(
        INVENTORY,
        &format!("{HEAD}{log}"),
        "2026-06-02",
        read_in_turn,
    );
    let codes = codes(&problems);
    (stock, codes)
}

/// Each state with how many rags are in it, clean ones left out, and how many entries are unclear.
fn found(log: &str) -> (Vec<(RagState, String, Option<Moment>)>, usize) {
    let (stock, codes) = after(log);
    assert_eq!(codes, Vec::<&str>::new(), "{log}");
    let soiled = stock.containers[0].cloth.iter();
    let soiled = soiled.filter(|batch| batch.state != Clean);
    let mut list: Vec<_> = soiled
        .map(|batch| (batch.state, batch.pieces.digits(), batch.since))
        .collect();
    list.sort();
    (list, stock.unclear.len())
}

fn at(moment: &str) -> Option<Moment> {
    Some(Moment::parse(&format!("2026-06-{moment}")).unwrap())
}

const TWO_WET_THREE_FLAT: &str = "1,2026-06-01T08:00,soil,R,3 pcs,V,bench,,\n\
    2,2026-06-01T08:10,spread,R,3 pcs,,yard,,\n3,2026-06-01T10:00,soil,R,2 pcs,V,bench,,\n";

/// Meant for the dry rags in the yard, it must not clear the wet one on the bench.
#[test]
fn binning_dry_rags_leaves_the_wet_one() {
    let log = "1,2026-06-01T08:00,soil,R,3 pcs,V,bench,,\n2,2026-06-01T08:10,spread,R,3 pcs,,yard,,\n\
        3,2026-06-02T08:00,test,R,,,,yard,pass\n4,2026-06-02T09:00,soil,R,1 pcs,V,bench,,\n\
        5,2026-06-02T10:00,bin,R,3 pcs,,can,";
    let wet = (Wet, "1".to_string(), at("02T09:00"));
    let binned = (InCan, "3".to_string(), at("02T10:00"));
    assert_eq!(
        found(&format!("{log},\n")),
        (vec![wet.clone(), binned.clone()], 1)
    );
    assert_eq!(found(&format!("{log}yard,\n")), (vec![wet, binned], 0));
}

#[test]
fn an_entry_that_names_the_place_takes_from_there() {
    let bin =
        |from: &str| format!("{TWO_WET_THREE_FLAT}4,2026-06-01T11:00,bin,R,2 pcs,,can,{from},\n");
    let flat = |left: &str| (Flat, left.to_string(), at("01T08:10"));
    let binned = (InCan, "2".to_string(), at("01T11:00"));
    let wet = (Wet, "2".to_string(), at("01T10:00"));
    for from in ["bench", "entry 3", "Entry 3"] {
        assert_eq!(
            found(&bin(from)),
            (vec![flat("3"), binned.clone()], 0),
            "{from}"
        );
    }
    for from in ["yard", "entry 1"] {
        assert_eq!(
            found(&bin(from)),
            (vec![wet.clone(), flat("1"), binned.clone()], 0),
            "{from}"
        );
    }
    // Without it, the wet ones count as still there.
    assert_eq!(found(&bin("")), (vec![wet, flat("1"), binned], 1));
}

/// Without a number, a bin takes one group and not all that lies anywhere.
#[test]
fn binning_without_a_number_does_not_take_rags_from_several_places() {
    let log = format!("{TWO_WET_THREE_FLAT}4,2026-06-01T11:00,bin,R,,,can,,\n");
    let wet = (Wet, "2".to_string(), at("01T10:00"));
    let binned = (InCan, "3".to_string(), at("01T11:00"));
    assert_eq!(found(&log), (vec![wet, binned], 1));
}

/// Where all of them are taken, there is nothing to choose.
#[test]
fn taking_all_of_them_is_clear() {
    let log = format!("{TWO_WET_THREE_FLAT}4,2026-06-01T11:00,bin,R,5 pcs,,can,,\n");
    assert_eq!(
        found(&log),
        (
            vec![
                (InCan, "2".to_string(), at("01T11:00")),
                (InCan, "3".to_string(), at("01T11:00")),
            ],
            0
        )
            .clone()
    );
}

/// Two soilings are two batches, each with its own clock, wherever they lie.
#[test]
fn each_soiling_has_its_own_clock() {
    let log =
        "1,2026-06-01T08:00,soil,R,1 pcs,V,bench,,\n2,2026-06-02T06:00,soil,R,1 pcs,V,bench,,\n";
    let both = vec![
        (Wet, "1".to_string(), at("01T08:00")),
        (Wet, "1".to_string(), at("02T06:00")),
    ];
    assert_eq!(found(log), (both, 0));
    // One of them is put away: the one that has lain longer counts as still there.
    let one = format!("{log}3,2026-06-02T07:00,soak,R,1 pcs,,water,,\n");
    let left = vec![
        (Wet, "1".to_string(), at("01T08:00")),
        (UnderWater, "1".to_string(), at("02T07:00")),
    ];
    assert_eq!(found(&one), (left, 0));
}

/// What is on them differs: the oily one counts as still there.
#[test]
fn the_one_that_can_heat_itself_is_left() {
    let log = "1,2026-06-01T08:00,soil,R,1 pcs,V,bench,,\n2,2026-06-01T09:00,soil,R,1 pcs,A,bench,,\n\
        3,2026-06-01T10:00,bin,R,1 pcs,,can,bench,\n";
    let (stock, _) = after(log);
    let wet: Vec<_> = stock.containers[0]
        .cloth
        .iter()
        .filter(|batch| batch.state == Wet)
        .collect();
    assert_eq!(wet[0].soiled_by, [ContainerId::at(1)]);
    assert_eq!(stock.unclear.len(), 1);
}

#[test]
fn a_heap_carried_outdoors_is_not_spread() {
    let log =
        "1,2026-06-01T08:00,soil,R,2 pcs,V,bench,,\n2,2026-06-01T09:00,move,R,2 pcs,,yard,,\n";
    assert_eq!(
        found(log),
        (vec![(Wet, "2".to_string(), at("01T08:00"))], 0)
    );
}

/// Clean rags that are discarded are not the wet ones.
#[test]
fn throwing_out_clean_rags_leaves_the_wet_ones() {
    let log = "1,2026-06-01T08:00,soil,R,2 pcs,V,bench,,\n2,2026-06-01T09:00,discard,R,5 pcs,,,";
    let wet = vec![(Wet, "2".to_string(), at("01T08:00"))];
    assert_eq!(found(&format!("{log},\n")), (wet.clone(), 1));
    assert_eq!(found(&format!("{log}clean,\n")), (wet, 0));
}

#[test]
fn a_test_dries_only_what_was_tested() {
    let two = "1,2026-06-01T08:00,soil,R,2 pcs,V,bench,,\n2,2026-06-01T08:10,spread,R,2 pcs,,yard,,\n\
        3,2026-06-01T09:00,soil,R,2 pcs,V,bench,,\n4,2026-06-01T09:10,spread,R,2 pcs,,line,,\n";
    let test = |amount: &str, place: &str, from: &str| {
        format!("{two}5,2026-06-02T08:00,test,R,{amount},dry,{place},{from},pass\n")
    };
    let flat = |pieces: &str, since| (Flat, pieces.to_string(), at(since));
    let dry = |pieces: &str| (Dry, pieces.to_string(), at("02T08:00"));
    // Not said which: none is dry.
    let none = vec![flat("2", "01T08:10"), flat("2", "01T09:10")];
    assert_eq!(found(&test("", "", "")), (none.clone(), 1));
    assert_eq!(found(&test("1 pcs", "", "")), (none, 1));
    for (place, from) in [("yard", ""), ("", "yard"), ("", "entry 1")] {
        let one = vec![flat("2", "01T09:10"), dry("2")];
        assert_eq!(found(&test("", place, from)), (one, 0), "{place} {from}");
    }
    let part = vec![flat("1", "01T08:10"), flat("2", "01T09:10"), dry("1")];
    assert_eq!(found(&test("1 pcs", "", "yard")), (part, 0));
    let all = vec![dry("2"), dry("2")];
    assert_eq!(found(&test("4 pcs", "", "")), (all, 0));
}

#[test]
fn an_entry_from_where_nothing_lies_is_a_problem() {
    for from in ["water", "entry 9", "clean"] {
        let log = format!(
            "1,2026-06-01T08:00,soil,R,9 pcs,V,bench,,\n2,2026-06-01T09:00,bin,R,1 pcs,,can,{from},\n"
        );
        assert_eq!(after(&log).1, ["rags-few"], "{from}");
    }
}

#[test]
fn a_correction_can_say_which_rags_were_meant() {
    let log = format!(
        "{TWO_WET_THREE_FLAT}4,2026-06-01T11:00,bin,R,2 pcs,,can,,\n5,2026-06-01T12:00,correct,,,4,,bench,\n"
    );
    let binned = (InCan, "2".to_string(), at("01T11:00"));
    assert_eq!(
        found(&log),
        (vec![(Flat, "3".to_string(), at("01T08:10")), binned], 0)
    );
}

/// Wherever they were before, in the trash they can still burn until they were found hard and dry.
#[test]
fn rags_thrown_out_wet_are_kept() {
    for (put, from, into, kept) in [
        ("", "", "", true),
        ("2,2026-06-01T08:10,spread,R,2 pcs,,yard,,\n", "", "", true),
        ("2,2026-06-01T08:10,soak,R,2 pcs,,water,,\n", "", "", true),
        ("2,2026-06-01T08:10,bin,R,2 pcs,,can,,\n", "", "", true),
        ("", "", "hazardous-waste", false),
        (
            "2,2026-06-01T08:10,spread,R,2 pcs,,yard,,\n3,2026-06-02T08:00,test,R,,,,yard,pass\n",
            "",
            "",
            false,
        ),
    ] {
        let from = if from.is_empty() && put.is_empty() {
            "bench"
        } else {
            from
        };
        let from = if from == "bench" { "entry 1" } else { from };
        let from = if from.is_empty() { "entry 1" } else { from };
        let from = if put.contains("test") { "yard" } else { from };
        let log = format!(
            "1,2026-06-01T08:00,soil,R,2 pcs,V,bench,,\n{put}4,2026-06-02T09:00,discard,R,2 pcs,{into},,{from},\n"
        );
        let (stock, codes) = after(&log);
        assert_eq!(codes, Vec::<&str>::new(), "{log}");
        assert_eq!(stock.wet_discards.len(), usize::from(kept), "{log}");
    }
}

#[test]
fn nights_in_the_can_are_kept_when_it_is_emptied() {
    let log = "1,2026-06-01T08:00,soil,R,2 pcs,V,bench,,\n2,2026-06-01T08:10,bin,R,2 pcs,,can,,\n\
        3,2026-06-02T10:00,empty,,,,can,,\n";
    let (stock, _) = after(log);
    let nights: Vec<_> = stock
        .nights
        .iter()
        .map(|night| (night.batch.state, night.nights))
        .collect();
    assert_eq!(nights, [(InCan, 1)]);
}

/// A clean rag that is put away with wet ones is meant only where the wet ones are too few.
#[test]
fn clean_rags_are_not_put_away_before_wet_ones() {
    let log = "1,2026-06-01T08:00,soil,R,2 pcs,V,bench,,\n2,2026-06-01T09:00,bin,R,3 pcs,,can,,\n";
    assert_eq!(
        found(log),
        (
            vec![
                (InCan, "1".to_string(), at("01T09:00")),
                (InCan, "2".to_string(), at("01T09:00")),
            ],
            0
        )
    );
}

/// Where some of several batches are carried to, the others are not: which lie where is not clear then.
#[test]
fn carrying_some_of_several_batches_is_not_clear() {
    let log = |from: &str| {
        format!(
            "1,2026-06-01T08:00,soil,R,1 pcs,V,bench,,\n2,2026-06-01T08:30,bin,R,1 pcs,,can,,\n\
             3,2026-06-01T09:00,soil,R,1 pcs,V,yard,,\n4,2026-06-01T10:00,move,R,1 pcs,,bench,{from},\n"
        )
    };
    let wet = |since: &str| (Wet, "1".to_string(), at(since));
    let loose = vec![wet("01T09:00"), wet("01T10:00")];
    assert_eq!(found(&log("")), (loose.clone(), 1));
    assert_eq!(found(&log("can")), (loose, 0));
}

/// A rag beyond the unused ones is a wet one used again or one of no record. The second burns beside the first, so it counts.
#[test]
fn soiling_more_rags_than_are_unused_leaves_more_of_them_wet() {
    let log =
        "1,2026-06-01T08:00,soil,R,8 pcs,V,bench,,\n2,2026-06-01T10:00,soil,R,3 pcs,V,bench,,\n";
    let first = (Wet, "8".to_string(), at("01T08:00"));
    let second = |pieces: &str| (Wet, pieces.to_string(), at("01T10:00"));
    assert_eq!(found(log), (vec![second("3"), first.clone()], 1));
    let held = |log: &str| after(log).0.containers[0].amount.unwrap().base().digits();
    assert_eq!(held(log), "11");
    // Binning nine of them leaves two.
    let bin = format!("{log}3,2026-06-01T11:00,bin,R,9 pcs,,can,,\n");
    let wet: Vec<String> = found(&bin)
        .0
        .into_iter()
        .filter(|rag| rag.0 == Wet)
        .map(|rag| rag.1)
        .collect();
    assert_eq!(wet, ["2"]);
    // An entry that names the wet ones says all there is to say.
    let again = "1,2026-06-01T08:00,soil,R,8 pcs,V,bench,,\n2,2026-06-01T10:00,soil,R,1 pcs,V,bench,,\n\
        3,2026-06-01T10:00,soil,R,2 pcs,V,bench,entry 1,\n";
    assert_eq!(found(again), (vec![second("1"), first], 0));
    assert_eq!(held(again), "9");
    // More than all rags of the row is a problem, as before.
    let many =
        "1,2026-06-01T08:00,soil,R,8 pcs,V,bench,,\n2,2026-06-01T10:00,soil,R,10 pcs,V,bench,,\n";
    assert_eq!(after(many).1, ["rags-few"]);
}

/// The first liquid on a rag stays on it, whatever it is used for afterward.
#[test]
fn a_wet_rag_used_again_keeps_what_is_on_it() {
    let log = "1,2026-06-01T08:00,soil,R,9 pcs,V,bench,,\n2,2026-06-01T10:00,soil,R,1 pcs,A,bench,bench,\n";
    let (stock, codes) = after(log);
    assert_eq!(codes, Vec::<&str>::new());
    let cloth = &stock.containers[0].cloth;
    let soiled: Vec<(String, Vec<ContainerId>)> = cloth
        .iter()
        .map(|batch| (batch.pieces.digits(), batch.soiled_by.clone()))
        .collect();
    let [oil, alcohol] = [1, 2].map(ContainerId::at);
    assert_eq!(
        soiled,
        [
            ("8".to_string(), vec![oil]),
            ("1".to_string(), vec![oil, alcohol])
        ]
    );
}

/// One of the wet rags is used again, with oil: it may be one that had only alcohol on it, and then one more is oily.
#[test]
fn which_wet_rag_was_used_again_is_not_clear() {
    let again = |pieces: u32, by: &str, from: &str| {
        format!(
            "1,2026-06-01T08:00,soil,R,5 pcs,V,bench,,\n2,2026-06-01T09:00,soil,R,4 pcs,A,bench,,\n\
             3,2026-06-01T10:00,soil,R,{pieces} pcs,{by},bench,{from},\n"
        )
    };
    let oil = ContainerId::at(1);
    let oily = |log: &str| {
        let (stock, codes) = after(log);
        assert_eq!(codes, Vec::<&str>::new(), "{log}");
        let cloth = stock.containers[0].cloth.iter();
        let oily = cloth.filter(|batch| batch.soiled_by.contains(&oil));
        let count: u32 = oily
            .map(|batch| batch.pieces.digits().parse::<u32>().unwrap())
            .sum();
        (count, stock.unclear.len())
    };
    assert_eq!(oily(&again(1, "V", "bench")), (6, 1));
    assert_eq!(oily(&again(2, "V", "bench")), (7, 1));
    assert_eq!(oily(&again(9, "V", "bench")), (9, 0));
    assert_eq!(oily(&again(1, "V", "entry 1")), (5, 0));
    assert_eq!(oily(&again(1, "V", "entry 2")), (6, 0));
    // Not named at all, it counts as one more rag.
    assert_eq!(oily(&again(1, "V", "")), (6, 1));
}

/// Used rags that come in are no clean ones.
#[test]
fn used_rags_that_are_received_are_wet() {
    let inventory =
        "container,product,vessel,place,since,amount\nR,spent,rag,bench,2026-01-01,0 pcs\n";
    let log = format!("{HEAD}1,2026-06-01T08:00,receive,R,3 pcs,,,,\n");
    let (stock, problems) = stock(inventory, &log, "2026-06-02", read_in_turn);
    assert!(problems.none(), "{problems:?}");
    let batch = &stock.containers[0].cloth[0];
    assert_eq!((batch.state, batch.soiled_by_unknown), (Wet, true));
}

/// A row of rags of which nothing is known counts as wet from the start. Soiling some of them makes no others.
#[test]
fn rags_of_unknown_history_are_soiled_as_they_are() {
    let inventory = "container,product,vessel,place,since,amount\nR,towels,rag,bench,2026-01-01,9 pcs\n\
        V,oil,metal,bench,2026-01-01,1 L\n";
    let log = format!(
        "{HEAD}1,2026-06-01T08:00,soil,R,2 pcs,V,bench,,\n2,2026-06-01T09:00,soil,R,8 pcs,V,bench,,\n"
    );
    let (stock, problems) = stock(inventory, &log, "2026-06-02", read_in_turn);
    assert!(problems.none(), "{problems:?}");
    let wet: i64 = stock.containers[0]
        .cloth
        .iter()
        .map(|batch| batch.pieces.digits().parse::<i64>().unwrap())
        .sum();
    // Seven of the second eight are of the row, and one is more.
    assert_eq!((wet, stock.unclear.len()), (10, 1));
}

/// Oil takes days to dry: a test on the day on which the rags were spread dries none, and is reported.
#[test]
fn a_rag_is_not_found_dry_on_the_day_it_was_spread() {
    let log = |test: &str| {
        format!(
            "1,2026-06-01T08:00,soil,R,2 pcs,V,bench,,\n2,2026-06-01T08:10,spread,R,2 pcs,,yard,,\n\
             3,{test},test,R,,,,yard,pass\n"
        )
    };
    let flat = (Flat, "2".to_string(), at("01T08:10"));
    assert_eq!(found(&log("2026-06-01T23:59")), (vec![flat], 1));
    let dry = (Dry, "2".to_string(), at("02T08:00"));
    assert_eq!(found(&log("2026-06-02T08:00")), (vec![dry], 0));
    // Discarded all the same, it went into the trash wet.
    let thrown = format!(
        "{}4,2026-06-01T23:59,discard,R,2 pcs,,,yard,\n",
        log("2026-06-01T20:00")
    );
    assert_eq!(after(&thrown).0.wet_discards.len(), 1);
}
