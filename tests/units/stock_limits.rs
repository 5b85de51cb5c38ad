//! Every limit of this layer at its border, and sums that cannot be kept exactly.

use super::log_rows::read_in_turn;
use super::made_up::{codes, stock};
use super::rag_batch::{MOST_NIGHTS, NIGHTS_TOLD_DAYS, UnsecuredNight, UnsecuredYear};
use super::{MONTHS_KEPT, Stock, TrialResult, steady_losses};
use crate::quantity::{Day, Moment};
use crate::text::Problems;

const HEAD: &str = "entry,when,what,container,amount,into,place,minutes,by,note\n";
const ON: &str = "2026-11-24";
const INVENTORY: &str = "container,product,vessel,place,since,amount,lot\nA,alcohol,metal,bench,2026-01-01,5 L,\n\
    B,alcohol,metal,bench,2026-01-01,9 L,\nC,alcohol,metal,bench,2026-01-01,2 L,\n\
    N,alcohol,metal,bench,2026-01-01,,\nJ,shellac,glass,bench,2026-01-01,0 L,\n\
    S,shellac,glass,bench,2026-01-01,1 L,\nF,flakes,bag,bench,2026-01-01,1 kg,\n\
    R,cloth,rag,bench,2026-01-01,30 pcs,\n";

/// The stock and the problems of rows, of which each is numbered.
fn found(inventory: &str, rows: &[String]) -> (Stock, Problems) {
    let numbered = rows
        .iter()
        .enumerate()
        .map(|(at, row)| format!("{at},{row}\n"));
    let log: String = std::iter::once(HEAD.to_string()).chain(numbered).collect();
    stock(inventory, &log, ON, read_in_turn)
}

fn sound(inventory: &str, rows: &[String]) -> Stock {
    let (stock, problems) = found(inventory, rows);
    assert!(problems.none(), "{problems:?}");
    stock
}

fn rows(list: &[&str]) -> Vec<String> {
    list.iter().map(|row| (*row).to_string()).collect()
}

/// The smallest amount that is read in fluid ounces; with some liters there are more digits than can be kept.
const FINE: &str = "0.000000000000001 fl oz";

#[track_caller]
fn is_too_fine(list: &[&str]) {
    let rows: Vec<String> = list.iter().map(|row| row.replace("FINE", FINE)).collect();
    let (before, _) = rows.split_at(rows.len() - 1);
    sound(INVENTORY, before);
    let (_, problems) = found(INVENTORY, &rows);
    assert_eq!(codes(&problems), ["too-fine"]);
}

#[test]
fn an_amount_that_cannot_be_kept_is_a_problem() {
    is_too_fine(&["2026-02-01T09:00,receive,B,FINE,,,,,"]);
    is_too_fine(&["2026-02-01T09:00,use,B,FINE,,,,,"]);
}

#[test]
fn a_sum_of_what_was_taken_that_cannot_be_kept_is_a_problem() {
    // What is left can be kept each time: about 1 L.
    is_too_fine(&[
        "2026-02-01T09:00,use,A,FINE,,,,,",
        "2026-03-01T09:00,use,A,4 L,,,,,",
        "2026-04-01T09:00,receive,A,4 L,,,,,",
        "2026-05-01T09:00,use,A,4 L,,,,,",
    ]);
}

#[test]
fn a_sum_of_what_counts_found_that_cannot_be_kept_is_a_problem() {
    is_too_fine(&[
        "2026-02-01T09:00,count,A,FINE,,,,,",
        "2026-03-01T09:00,receive,A,5 L,,,,,",
        "2026-04-01T09:00,count,A,0.000000000000002 fl oz,,,,,",
    ]);
}

#[test]
fn what_short_counts_miss_together_cannot_be_lost() {
    is_too_fine(&[
        "2026-02-01T09:00,count,C,7 L,,,,,",
        "2026-03-01T09:00,count,C,FINE,,,,,",
        "2026-04-01T09:00,receive,C,2 L,,,,,",
        "2026-05-01T09:00,count,C,0.000000000000002 fl oz,,,,,",
    ]);
}

#[test]
fn a_sum_of_a_month_that_cannot_be_kept_is_a_problem() {
    is_too_fine(&[
        "2026-02-01T09:00,use,A,FINE,,,,,",
        "2026-02-02T09:00,use,B,8 L,,,,,",
    ]);
    // Of containers with an unknown amount.
    is_too_fine(&[
        "2026-02-01T09:00,use,N,FINE,,,,,",
        "2026-02-02T09:00,receive,N,8 L,,,,,",
    ]);
}

#[test]
fn flakes_that_cannot_be_reckoned_as_liquid_are_a_problem() {
    is_too_fine(&["2026-02-01T09:00,mix,F,0.0000000000000001 oz,S,,,,"]);
}

/// Rags poured into a row of rags would be in its amount, but in no state.
#[test]
fn nothing_is_poured_into_a_row_of_rags() {
    let more = "box,cloth,box,bench,2026-01-01,50 pcs,\n";
    for what in ["decant", "mix"] {
        let row = format!("2026-02-01T09:00,{what},box,5 pcs,R,,,,");
        let (_, problems) = found(&format!("{INVENTORY}{more}"), &[row]);
        assert_eq!(codes(&problems), ["other-kind"]);
    }
}

#[test]
fn twelve_lots_are_remembered() {
    let bag = |at: usize| format!("F{at},flakes,bag,bench,2026-01-01,1 kg,L-{at}\n");
    let bags: String = (1..=13).map(bag).collect();
    let lots = |count: usize| {
        let mix = |at: usize| format!("2026-02-{at:02}T09:00,mix,F{at},1 g,J,,,,");
        let rows: Vec<String> = (1..=count).map(mix).collect();
        sound(&format!("{INVENTORY}{bags}"), &rows).containers[4]
            .lots
            .clone()
    };
    for (mixed, kept) in [(11, 11), (12, 12), (13, 12)] {
        let lots = lots(mixed);
        let expected: Vec<String> = (1..=kept).map(|at| format!("L-{at}")).collect();
        assert_eq!(lots, expected, "{mixed} lots");
    }
}

#[test]
fn twelve_short_counts_are_kept() {
    let missing = |counts: usize| {
        let row = |at: usize| format!("2026-02-{at:02}T09:00,count,A,{} mL,,,,,", 5000 - 10 * at);
        let rows: Vec<String> = (1..=counts).map(row).collect();
        let losses = steady_losses(&sound(INVENTORY, &rows));
        let loss = losses.first().unwrap();
        (loss.counts.len(), loss.missing.base().digits())
    };
    assert_eq!(missing(11), (11, "0.11".to_string()));
    assert_eq!(missing(12), (12, "0.12".to_string()));
    assert_eq!(
        missing(13),
        (12, "0.12".to_string()),
        "the first one is left out"
    );
}

/// Rags that lay loose for a night that ended on this day.
fn night(ended: &str) -> Vec<String> {
    let before = Day::parse(ended).unwrap().back(1);
    rows(&[
        &format!("{before}T18:00,soil,R,1 pcs,A,bench,,,"),
        &format!("{ended}T08:00,bin,R,1 pcs,,can,,,"),
    ])
}

#[test]
fn nights_of_the_last_month_count_for_the_rule_and_those_of_the_last_year_for_the_record() {
    let kept = |back: u32, close: &str| {
        let ended = Day::parse(close).unwrap().back(back).to_string();
        let rows: Vec<String> = night(&ended);
        let numbered = rows
            .iter()
            .enumerate()
            .map(|(at, row)| format!("{at},{row}\n"));
        let log: String = std::iter::once(HEAD.to_string()).chain(numbered).collect();
        let (stock, problems) = stock(INVENTORY, &log, close, read_in_turn);
        assert!(problems.none(), "{problems:?}");
        (stock.nights.len(), stock.year_nights.list.len())
    };
    // The night of the day itself ends after its close.
    assert_eq!(kept(30, "2027-06-01"), (1, 1));
    assert_eq!(kept(31, "2027-06-01"), (0, 1));
    assert_eq!(kept(365, "2027-06-01"), (0, 1));
    assert_eq!(kept(366, "2027-06-01"), (0, 0));
}

#[test]
fn so_many_nights_are_kept_for_the_record() {
    let stock = sound(INVENTORY, &night("2026-11-20"));
    let night: UnsecuredNight = stock.year_nights.list[0].clone();
    let mut year = UnsecuredYear::default();
    for number in 1..=MOST_NIGHTS + 1 {
        let nights = i64::try_from(number).unwrap();
        let night = UnsecuredNight {
            nights,
            ..night.clone()
        };
        year.keep(&night, stock.close);
        assert_eq!(year.list.len(), number.min(2000));
        assert_eq!(year.left_out, number.saturating_sub(2000));
    }
    assert_eq!(year.list[0].nights, 2, "the oldest is left out");
    assert_eq!(NIGHTS_TOLD_DAYS, 366);
}

#[test]
fn uses_of_thirty_days_are_kept_for_the_air() {
    let uses = |when: &str| {
        let row = format!("{when},use,A,1 mL,,,,,");
        sound(INVENTORY, &[row]).uses.len()
    };
    assert_eq!(uses("2026-10-25T00:00"), 1);
    assert_eq!(uses("2026-10-24T23:59"), 0);
}

#[test]
fn two_hundred_people_are_named() {
    let row = |at: usize| format!("2026-11-20T09:00,use,A,1 mL,,,,person {at},");
    let rows: Vec<String> = (1..=201).map(row).collect();
    let stock = sound(INVENTORY, &rows);
    assert_eq!(stock.people.len(), 200);
    let last = [199, 200].map(|at: usize| stock.uses[at].by);
    assert_eq!(last, [Some(199), None]);
}

#[test]
fn the_ends_of_twelve_months_are_kept() {
    // Entries in each of fourteen months, the last of them that of the day.
    let row = |at: i32| {
        let month = crate::quantity::month_of(Day::parse("2027-11-24").unwrap().month_key() - at);
        format!("{month}-10T09:00,use,A,1 mL,,,,,")
    };
    let rows: Vec<String> = (0..14).rev().map(row).collect();
    let numbered = rows
        .iter()
        .enumerate()
        .map(|(at, row)| format!("{at},{row}\n"));
    let log: String = std::iter::once(HEAD.to_string()).chain(numbered).collect();
    let (stock, problems) = stock(INVENTORY, &log, "2027-11-24", read_in_turn);
    assert!(problems.none(), "{problems:?}");
    let months: Vec<i32> = stock
        .month_ends
        .iter()
        .map(|end| stock.on.month_key() - end.month)
        .collect();
    assert_eq!(months, (1..=MONTHS_KEPT).rev().collect::<Vec<_>>());
}

#[test]
fn the_last_three_entries_of_a_container_are_kept() {
    let touched = |count: usize| {
        let row = |at: usize| format!("2026-02-{:02}T09:00,use,A,1 mL,,,,,", at + 1);
        let rows: Vec<String> = (0..count).map(row).collect();
        let contents = sound(INVENTORY, &rows).containers[0].clone();
        (
            contents.entries,
            contents.touched.iter().flatten().count(),
            contents.touched,
        )
    };
    assert_eq!((touched(2).0, touched(2).1), (2, 2));
    let (entries, kept, last) = touched(4);
    assert_eq!((entries, kept), (4, 3));
    assert!(last.is_sorted_by(|a, b| a > b), "the latest first");
}

#[test]
fn minutes_on_glass_decide_a_test() {
    let result = |minutes: u32| {
        let row = format!("2026-02-01T09:00,test,S,,,,{minutes},,");
        sound(INVENTORY, &[row]).containers[5].trial.unwrap().result
    };
    let found = [15, 16, 30, 31].map(result);
    let expected = [
        TrialResult::Pass,
        TrialResult::Retest,
        TrialResult::Retest,
        TrialResult::Fail,
    ];
    assert_eq!(found, expected);
}

#[test]
fn an_entry_of_the_close_is_ahead_of_it() {
    let ahead = |when: &str| sound(INVENTORY, &[format!("{when},use,A,1 mL,,,,,")]).ahead;
    assert_eq!(ahead("2026-11-24T23:59"), None);
    let close = Moment::close_of(Day::parse(ON).unwrap());
    assert_eq!(ahead("2026-11-25T00:00"), Some((1, close)));
}

/// A vessel without an amount counts as full for the limits. What it holds is on record only once an entry says something of it.
#[test]
fn what_only_counts_as_full_is_not_on_record() {
    let inventory = "container,product,vessel,capacity,place,since,amount\nA,alcohol,metal,1 L,bench,2026-01-01,\n";
    let recorded = |list: &[&str]| {
        let stock = sound(inventory, &rows(list));
        let contents = stock.containers.first().unwrap();
        assert!(contents.amount.is_some(), "it counts as full");
        contents.recorded().is_some()
    };
    assert!(!recorded(&[]));
    assert!(recorded(&["2026-11-01T09:00,count,A,250 mL,,,,,"]));
    assert!(recorded(&["2026-11-01T09:00,use,A,250 mL,,,,,"]));
}
