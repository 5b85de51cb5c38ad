//! The books of a month close to the last digit, whatever the log says, and a month ends with what stood there then.

use crate::few;
use crate::log::{inventory, log_of, minutes, shop_with, stock_of, taken_back, written};
use crate::shop::{ON, opened, replayed};
use proptest::prelude::{TestCaseError, prop_assert, prop_assert_eq, proptest};
use sandarac::quantity::{Amount, Exact, month_of};
use sandarac::record::ShopTables;
use sandarac::stock::{Reckoned, Stock, reckon, steady_losses};
use sandarac::text::Files;

/// What all vessels of a product hold, of one kind of amount.
fn held(tables: &ShopTables, stock: &Stock, product: &str, kind: Amount) -> Exact {
    let mine = tables.containers.iter().zip(&stock.containers);
    mine.filter(|(row, _)| row.product == product)
        .filter_map(|(_, contents)| contents.amount)
        .filter(|amount| amount.same_kind(kind))
        .fold(Exact::ZERO, |sum, amount| sum.plus(amount.base()).unwrap())
}

fn out(row: &Reckoned) -> Exact {
    let f = &row.flows;
    [f.mixed, f.poured, f.discarded]
        .into_iter()
        .fold(f.used, |sum, part| sum.plus(part).unwrap())
}

fn closes(row: &Reckoned) -> bool {
    let f = &row.flows;
    let received = [f.received, f.arrived, f.unexplained, f.untracked];
    let all = received
        .into_iter()
        .fold(row.start, |sum, part| sum.plus(part).unwrap());
    all.minus(out(row)).unwrap() == row.end
}

/// Each product's months hang together, close, and end with what a replay to the end of that month finds on the shelf.
fn months_hold(log: &str, ending: impl Fn(i32) -> String) -> Result<(), TestCaseError> {
    let (tables, stock) = stock_of(log, ON).map_err(TestCaseError::fail)?;
    let rows = reckon(&tables, &stock);
    for (at, row) in rows.iter().enumerate() {
        prop_assert!(row.closes && closes(row), "{log}\n{row:?}");
        let product = stock.product_name(row.product);
        let (_, then) = stock_of(log, &ending(row.flows.month)).map_err(TestCaseError::fail)?;
        let there = held(&tables, &then, product, row.flows.kind);
        prop_assert_eq!(
            row.end,
            there,
            "{} at the end of {}\n{}",
            product,
            month_of(row.flows.month),
            log
        );
        let next = rows.get(at + 1).filter(|next| {
            next.product == row.product && next.flows.kind.same_kind(row.flows.kind)
        });
        if let Some(next) = next {
            prop_assert!(next.flows.month > row.flows.month);
            prop_assert_eq!(next.start, row.end, "{}", log);
        } else {
            prop_assert_eq!(
                row.end,
                held(&tables, &stock, product, row.flows.kind),
                "{}",
                log
            );
        }
    }
    Ok(())
}

/// The last day of a month of this log, which ends by day 26 of each.
fn last_day(month: i32) -> String {
    format!("{}-28", month_of(month))
}

proptest! {
    #![proptest_config(few(120))]

    /// The identity of every product and month: receipts, uses, mixtures, pours between products and within one, and counts.
    #[test]
    fn every_month_closes(minutes in minutes()) {
        let (lines, _) = written(&minutes);
        months_hold(&log_of(&lines), last_day)?;
    }

    /// Corrections mend the books with the stock, in the month of the entry that they mend.
    #[test]
    fn corrected_months_close(minutes in minutes(), at in 0_usize..40, void in proptest::bool::ANY) {
        let (lines, _) = written(&minutes);
        let right = log_of(&lines);
        if lines.is_empty() {
            return Ok(());
        }
        let at = at % lines.len();
        let log = if void {
            // A slip that never was.
            taken_back(&format!("{right}slip,2026-01-02T00:00,use,A,3 mL,\n"), "slip")
        } else {
            let Some(unit) = lines[at].amount.split_once(' ').map(|(_, unit)| unit.to_string()) else { return Ok(()) };
            let mut wrong = lines.clone();
            wrong[at].amount = format!("1 {unit}");
            format!("{}mend,2026-11-01T10:00,correct,,{},e{at}\n", log_of(&wrong), lines[at].amount)
        };
        let (tables, stock) = stock_of(&log, ON).map_err(TestCaseError::fail)?;
        for row in reckon(&tables, &stock) {
            prop_assert!(row.closes && closes(&row), "{row:?}");
        }
        let (_, plain) = stock_of(&log_of(&lines), ON).map_err(TestCaseError::fail)?;
        prop_assert_eq!(format!("{:?}", stock.used), format!("{:?}", plain.used));
    }
}

fn of<'r>(
    tables: &ShopTables,
    stock: &Stock,
    rows: &'r [Reckoned],
    product: &str,
) -> Vec<&'r Reckoned> {
    assert!(tables.containers.iter().any(|c| c.product == product));
    rows.iter()
        .filter(|row| stock.product_name(row.product) == product)
        .collect()
}

fn digits(number: Exact) -> String {
    number.digits()
}

#[test]
fn rags_are_reckoned_by_the_piece() {
    let log = "entry,when,what,container,amount,into,place\n\
        1,2026-02-02T09:00,receive,R,10 pcs,,\n\
        2,2026-02-02T10:00,soil,R,5 pcs,,bench\n\
        3,2026-02-02T10:30,bin,R,4 pcs,,can\n\
        4,2026-02-02T17:00,empty,,,,can\n\
        5,2026-02-03T10:00,discard,R,1 pcs,,\n\
        6,2026-02-28T10:00,count,R,33 pcs,,\n";
    let (tables, stock) = stock_of(log, ON).unwrap();
    let rows = reckon(&tables, &stock);
    let rows = of(&tables, &stock, &rows, "cloth");
    let [row] = rows.as_slice() else {
        panic!("{rows:?}")
    };
    // 30 rags and the 40 pieces of T are one product.
    let f = &row.flows;
    let found = [row.start, f.received, f.discarded, f.unexplained, row.end].map(digits);
    assert_eq!(found, ["70", "10", "5", "-2", "73"]);
    assert!(row.closes && closes(row));
}

/// A container with an unknown amount is in no sum until it is counted. What went out of it is reported.
#[test]
fn what_is_not_known_is_in_no_sum() {
    let extra = "N,alcohol,metal,bench,2026-01-01,,\n";
    let log = "entry,when,what,container,amount,into\n\
        1,2026-02-02T09:00,use,N,100 mL,\n\
        2,2026-02-03T09:00,receive,N,30 mL,\n\
        3,2026-02-04T09:00,use,A,5 mL,\n\
        4,2026-04-04T09:00,count,N,200 mL,\n\
        5,2026-04-05T09:00,count,N,180 mL,\n";
    let mut files = Files::default();
    let shop = shop_with(format!("{}{extra}", inventory()), log.to_string());
    let tables = opened(&shop, false, &mut files).unwrap();
    let stock = replayed(&mut files, &tables, ON).unwrap();
    let rows = reckon(&tables, &stock);
    let rows = of(&tables, &stock, &rows, "alcohol");
    let [february, april] = rows.as_slice() else {
        panic!("{rows:?}")
    };
    assert_eq!(digits(february.flows.untracked), "0.07");
    assert_eq!(
        [february.start, february.end].map(digits),
        ["4.25", "4.245"]
    );
    assert_eq!([april.start, april.end].map(digits), ["4.445", "4.425"]);
    assert_eq!(digits(april.flows.unexplained), "-0.02");
    assert!(rows.iter().all(|row| row.closes && closes(row)));
}

/// Three short counts in a row are a steady loss. One that agrees, or finds more, ends the row.
#[test]
fn three_short_counts_are_a_steady_loss() {
    let log = |counts: &[u32]| {
        let rows: String = counts
            .iter()
            .enumerate()
            .map(|(at, ml)| format!("{at},2026-0{}-28T09:00,count,A,{ml} mL,\n", at + 1))
            .collect();
        format!("entry,when,what,container,amount,into\n{rows}")
    };
    let losses = |counts: &[u32]| {
        let (_, stock) = stock_of(&log(counts), ON).unwrap();
        let list = steady_losses(&stock);
        list.iter()
            .map(|loss| (loss.counts.len(), digits(loss.missing.base())))
            .collect::<Vec<_>>()
    };
    assert!(losses(&[3990, 3980]).is_empty());
    assert_eq!(losses(&[3990, 3980, 3950]), [(3, "0.05".to_string())]);
    assert!(losses(&[3990, 3980, 3980, 3950]).is_empty(), "one agreed");
    assert!(
        losses(&[3990, 3980, 3985, 3950]).is_empty(),
        "one found more"
    );
    assert_eq!(losses(&[4100, 3990, 3980, 3950]), [(3, "0.15".to_string())]);
}
