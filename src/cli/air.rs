//! `sandarac air`: what every session of the month did to the air, or what a plan would do.

use super::args::{AirArgs, PlanArgs};
use super::open;
use super::output::{OutputKind, put};
use super::{Ended, Failure, ahead, style};
use crate::audit::Shop;
use crate::quantity::{Day, Moment};
use crate::report::{
    AirView, PlanView, WorkRequest, air_json, air_month, air_plan, air_svg, work_asked,
};
use crate::vapour::month::sessions;
use crate::vapour::plan::{needs, plan, spilled};

const UNDONE: &str = "Nothing was planned.";

/// Shows the month, or a plan.
pub fn run(args: &AirArgs) -> Result<Ended, Failure> {
    let folder = open::folder(args.shop.shop.as_deref())?;
    let opened = open::shop_by(&folder, &args.shop.packs, args.shop.now())?;
    let on = args.shop.day();
    match args.plan.asked() {
        Some(asked) => planned(args, &opened, &asked, on),
        None => month(args, &opened, on),
    }
}

fn month(args: &AirArgs, opened: &Shop, on: Day) -> Result<Ended, Failure> {
    let stock = open::stock(opened, on)?;
    let is_ahead = ahead::tell(args.shop.on.is_some(), opened, &stock, None);
    let sessions = sessions(&opened.tables, &stock);
    let air = AirView::new(&opened.tables, &sessions, on);
    let print = match args.prints_json() {
        true => air_json(&air, None).map_err(Failure::unprinted)?,
        false => air_month(&air, style::columns(), args.month),
    };
    draw(args, &air, false)?;
    style::print(&print)?;
    Ok(ended(&air).unless(is_ahead))
}

fn planned(
    args: &AirArgs,
    opened: &Shop,
    asked: &WorkRequest<'_>,
    on: Day,
) -> Result<Ended, Failure> {
    let tables = &opened.tables;
    let work =
        work_asked(asked, args.plan.at_once, tables).map_err(|why| open::refusal(why, UNDONE))?;
    let sessions = plan(tables, &work, Moment::start_of(on)).map_err(|why| unplanned(&why))?;
    let room = &tables[work.room];
    let view = PlanView {
        needs: needs(&sessions, room, tables.shop.us),
        spilled: spilled(&sessions, room),
        at_once: work.at_once,
        exhaust_given: work.exhaust.is_some(),
    };
    let air = AirView::new(tables, &sessions, on);
    let print = match args.prints_json() {
        true => air_json(&air, Some(&view)).map_err(Failure::unprinted)?,
        false => air_plan(&air, &view, style::columns()),
    };
    draw(args, &air, true)?;
    style::print(&print)?;
    Ok(ended(&air))
}

/// A gap in what is known: the clause after its semicolon says how to close it.
fn unplanned(why: &str) -> Failure {
    let (wrong, fix) = why
        .split_once("; ")
        .unwrap_or((why, "name another product or room"));
    let mut fix = format!("{fix}.");
    if let Some(first) = fix.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    let wrong = format!("The work cannot be planned: {wrong}.");
    Failure::refused(wrong, fix, UNDONE)
}

fn ended(air: &AirView<'_>) -> Ended {
    if air.calls() {
        Ended::Findings
    } else {
        Ended::Well
    }
}

/// Writes the plot where one was asked for.
fn draw(args: &AirArgs, air: &AirView<'_>, planned: bool) -> Result<(), Failure> {
    let Some(path) = &args.plot else {
        return Ok(());
    };
    let Some(text) = air_svg(air, planned) else {
        return Err(Failure::refused(
            "No session can be plotted, because none used a product whose vapor is known.",
            "Give made_of in products.csv for the products that were used.",
            "Nothing was plotted.",
        ));
    };
    let or = "Name a file in a folder that exists.";
    put(path, OutputKind::Plot, or, |out| {
        out.write_all(text.as_bytes())
    })
}

impl PlanArgs {
    /// The plan, if one is asked for; the arguments go together.
    fn asked(&self) -> Option<WorkRequest<'_>> {
        Some(WorkRequest {
            room: self.room.as_deref()?,
            product: self.product.as_deref()?,
            amount: self.amount.as_deref()?,
            minutes: self.minutes.as_deref()?,
            exhaust: self.exhaust.as_deref(),
        })
    }
}
