//! Rags: none dries by itself, none is lost, and what is unknown counts as wet.

use crate::few;
use crate::log::stock_of;
use crate::shop::{base, everything};
use proptest::collection::vec;
use proptest::prelude::{Strategy, TestCaseError, prop_assert, prop_assert_eq, proptest};
use proptest::sample::select;
use sandarac::quantity::Exact;
use sandarac::stock::{RagState, Stock};

/// A day's doing with rags: what, pieces, place.
pub(crate) fn rag_entry() -> impl Strategy<Value = (&'static str, u32, &'static str)> {
    let what = select(vec![
        "soil", "soil", "soil", "bin", "soak", "spread", "move", "discard", "count", "receive",
        "use", "test", "open", "empty",
    ]);
    (
        what,
        0_u32..8,
        select(vec!["bench", "can", "water", "yard"]),
    )
}

pub(crate) fn rag_line(
    nth: usize,
    (what, pieces, place): (&'static str, u32, &'static str),
) -> String {
    let when = format!("2026-03-{:02}T09:00", 1 + nth);
    let place = match what {
        "bin" => "can",
        "soak" => "water",
        "test" | "count" | "receive" | "open" | "discard" => "",
        "empty" if place == "water" => "water",
        "empty" => "can",
        _ => place,
    };
    let container = if what == "empty" { "" } else { "R" };
    let amount = if matches!(what, "empty" | "test" | "open") {
        String::new()
    } else {
        format!("{pieces} pcs")
    };
    let (into, note) = match what {
        "soil" => ("T", ""),
        "test" => ("", "pass"),
        _ => ("", ""),
    };
    format!("{nth},{when},{what},{container},{amount},{into},{place},{note}\n")
}

fn pieces(stock: &Stock, states: &[RagState]) -> Exact {
    let rags = stock.containers.last().unwrap();
    let those = rags
        .cloth
        .iter()
        .filter(|batch| states.contains(&batch.state));
    those.fold(Exact::ZERO, |sum, batch| sum.plus(batch.pieces).unwrap())
}

const EVERY: [RagState; 6] = [
    RagState::Clean,
    RagState::Wet,
    RagState::Flat,
    RagState::UnderWater,
    RagState::InCan,
    RagState::Dry,
];

proptest! {
    #![proptest_config(few(80))]

    /// Wet rags grow fewer only by an entry that puts rags away, throws them out or counts them; time alone changes
    /// nothing; and every piece is in exactly one state.
    #[test]
    fn no_rag_dries_by_itself(entries in vec(rag_entry(), 1..9)) {
        let head = "entry,when,what,container,amount,into,place,note\n";
        let (mut log, mut wet) = (head.to_string(), Exact::ZERO);
        for (nth, entry) in entries.into_iter().enumerate() {
            let longer = format!("{log}{}", rag_line(nth, entry));
            let day = format!("2026-03-{:02}", 1 + nth);
            // What cannot be (too few rags) is refused, and left out.
            let Ok((_, stock)) = stock_of(&longer, &day) else { continue };
            log = longer;
            let now = pieces(&stock, &[RagState::Wet]);
            let may = matches!(entry.0, "bin" | "soak" | "spread" | "move" | "discard" | "count" | "empty");
            prop_assert!(now >= wet || may, "{}", log);
            wet = now;
            let held = stock.containers.last().unwrap().amount.unwrap().base();
            prop_assert_eq!(pieces(&stock, &EVERY).digits(), held.digits(), "{}", log);
            let (_, later) = stock_of(&log, "2026-12-31").map_err(TestCaseError::fail)?;
            prop_assert_eq!(&later.containers.last().unwrap().cloth, &stock.containers.last().unwrap().cloth);
        }
    }
}

/// The screen report of a shop with one row of rags and a log, held against the trade's rules.
fn report(rags: &str, log: &str) -> String {
    let mut shop = base();
    shop.retain(|(name, _)| name != "accepted.csv");
    for (name, bytes) in &mut shop {
        match name.as_str() {
            "inventory.csv" => {
                let text = format!(
                    "container,product,vessel,capacity,place,since,amount\n\
                     V-1,oil varnish,metal,1 qt,cabinet,2026-11-02,1 qt\n{rags}\n"
                );
                *bytes = text.into_bytes();
            }
            "log.csv" => {
                *bytes = format!("entry,when,what,container,amount,into,place\n{log}").into_bytes()
            }
            _ => {}
        }
    }
    everything(&shop).unwrap_or_else(|told| told)
}

/// Told as wet rags, or refused: anything but silence.
#[track_caller]
fn is_flagged(report: &str) {
    let breach = report.contains("oily rag") && report.contains(" loose ");
    assert!(
        breach || report.ends_with("Nothing was audited.\n"),
        "nothing is said of R-1"
    );
}

#[test]
fn rags_of_which_nothing_is_known_are_flagged() {
    is_flagged(&report("R-1,oil varnish,rag,,bench,2026-11-02,3 pcs", ""));
}

#[test]
fn rags_without_a_number_are_flagged() {
    is_flagged(&report("R-1,oil varnish,rag,,bench,2026-11-02,", ""));
}

#[test]
fn rags_by_weight_are_flagged_or_refused() {
    is_flagged(&report("R-1,oil varnish,rag,,bench,2026-11-02,1 lb", ""));
}

#[test]
fn rags_first_counted_in_the_log_are_flagged() {
    is_flagged(&report(
        "R-1,oil varnish,rag,,bench,2026-11-02,",
        "1,2026-11-03T09:00,count,R-1,5 pcs,,\n",
    ));
}

#[test]
fn rags_moved_out_of_the_can_are_loose_again() {
    is_flagged(&report(
        "R-1,cotton rags,rag,,bench,2026-11-02,20 pcs",
        "1,2026-11-24T09:00,soil,R-1,2 pcs,V-1,bench\n2,2026-11-24T09:10,bin,R-1,2 pcs,,rag can\n\
         3,2026-11-24T09:20,move,R-1,2 pcs,,bench\n",
    ));
}
