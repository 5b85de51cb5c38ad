//! `sandarac air`: what every session of the month did to the air, or what a plan would do.

use super::args::{AirArgs, PlanArgs};
use super::open;
use super::output::{OutputKind, put};
use super::{Ended, Failure, ahead, style};
use crate::audit::Shop;
use crate::quantity::{Amount, Day, Dimension, Exact, Measure, MeasureFault, Moment, NumberFault};
use crate::report::{AirView, PlanView, air_json, air_month, air_plan, air_svg};
use crate::text::{CellFault, FileId, Files, Problem, Problems, Span, nearest, show_all_and};
use crate::vapour::month::sessions;
use crate::vapour::plan::{Work, needs, plan, spilled};

/// The longest work that is planned: a day.
const MOST_MINUTES: u32 = 24 * 60;
/// What an amount and an airflow must be.
const MORE_THAN_NOTHING: &str = "an amount above zero";
const UNDONE: &str = "Nothing was planned.";

/// Shows the month, or a plan.
pub fn run(args: &AirArgs) -> Result<Ended, Failure> {
    let folder = open::folder(args.shop.shop.as_deref())?;
    let opened = open::shop(&folder, &args.shop.packs)?;
    let on = args.shop.day();
    match args.plan.asked() {
        Some(asked) => planned(args, &opened, &asked, on),
        None => month(args, &opened, on),
    }
}

fn month(args: &AirArgs, opened: &Shop, on: Day) -> Result<Ended, Failure> {
    let stock = open::stock(opened, on)?;
    let is_ahead = ahead::tell(args.shop.on.is_some(), &stock, None);
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

fn planned(args: &AirArgs, opened: &Shop, asked: &Asked<'_>, on: Day) -> Result<Ended, Failure> {
    let tables = &opened.tables;
    let work = read(asked, args.plan.at_once, tables)?;
    let sessions = plan(tables, &work, Moment::start_of(on)).map_err(|why| unplanned(&why))?;
    let room = tables
        .rooms
        .get(work.room)
        .ok_or_else(|| unplanned("there is no such room"))?;
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

/// The words of a plan, all there.
pub(super) struct Asked<'a> {
    pub room: &'a str,
    pub product: &'a str,
    pub amount: &'a str,
    pub minutes: &'a str,
    pub exhaust: Option<&'a str>,
}

impl PlanArgs {
    /// The plan, if one is asked for; the arguments go together.
    fn asked(&self) -> Option<Asked<'_>> {
        Some(Asked {
            room: self.room.as_deref()?,
            product: self.product.as_deref()?,
            amount: self.amount.as_deref()?,
            minutes: self.minutes.as_deref()?,
            exhaust: self.exhaust.as_deref(),
        })
    }
}

/// Reads the words of a plan; everything that is wrong is told at once.
fn read<'a>(
    asked: &Asked<'a>,
    at_once: bool,
    tables: &crate::record::ShopTables,
) -> Result<Work<'a>, Failure> {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let line = files.hold("command line", Vec::new());
    let room = known_room(asked.room, tables, line, &mut problems);
    known_product(asked.product, tables, line, &mut problems);
    let amount = measure(
        "--amount",
        asked.amount,
        Dimension::Volume,
        line,
        &mut problems,
    );
    let minutes = minutes(asked.minutes, line, &mut problems);
    let exhaust = asked
        .exhaust
        .and_then(|text| measure("--exhaust", text, Dimension::Airflow, line, &mut problems));
    let litres = amount.as_ref().and_then(Measure::amount).and_then(positive);
    if amount.is_some() && litres.is_none() {
        refused(
            "--amount",
            asked.amount,
            MORE_THAN_NOTHING.into(),
            line,
            &mut problems,
        );
    }
    match (room, litres, minutes) {
        (Some(room), Some(litres), Some(minutes)) if problems.none() => Ok(Work {
            room,
            product: asked.product,
            litres,
            minutes,
            exhaust: exhaust.map(|measure| measure.base.estimate()),
            at_once,
        }),
        _ => Err(Failure::Said(show_all_and(&problems, &files, UNDONE))),
    }
}

fn positive(amount: Amount) -> Option<f64> {
    let base = amount.base();
    (base > Exact::ZERO).then(|| base.estimate())
}

fn known_room(
    name: &str,
    tables: &crate::record::ShopTables,
    line: FileId,
    problems: &mut Problems,
) -> Option<usize> {
    let room = tables.room(name);
    if room.is_none() {
        let near = nearest(name, tables.rooms.iter().map(|room| room.id.as_str()));
        unknown("room", name, near, line, problems);
    }
    room
}

/// A product is known if products.csv describes it, or the generic materials.
pub(super) fn known_product(
    name: &str,
    tables: &crate::record::ShopTables,
    line: FileId,
    problems: &mut Problems,
) {
    if tables.product(name).is_some() || tables.materials.find(name).is_some() {
        return;
    }
    let own = tables.products.iter().map(|product| product.id.as_str());
    let mut generic: Vec<&str> = tables.materials.names().collect();
    generic.sort_unstable();
    let near = nearest(name, own.chain(generic));
    unknown("product", name, near, line, problems);
}

pub(super) fn unknown(
    kind: &'static str,
    name: &str,
    near: Option<&str>,
    line: FileId,
    problems: &mut Problems,
) {
    let code = CellFault::NameUnknown {
        kind,
        read: name.to_string(),
        near: near.map(str::to_string),
    };
    problems.add(Problem::new(code, Span::whole(line)));
}

pub(super) fn measure(
    flag: &str,
    text: &str,
    wanted: Dimension,
    line: FileId,
    problems: &mut Problems,
) -> Option<Measure> {
    let fault = match Measure::parse_as(text, wanted) {
        Ok(measure) => return Some(measure),
        Err(fault) => fault,
    };
    if fault == MeasureFault::Number(NumberFault::Negative) {
        refused(flag, text, MORE_THAN_NOTHING.into(), line, problems);
        return None;
    }
    let code = CellFault::Quantity {
        column: flag.into(),
        read: text.into(),
        fault,
        wanted: vec![wanted],
    };
    problems.add(Problem::new(code, Span::whole(line)));
    None
}

fn refused(flag: &str, text: &str, wanted: String, line: FileId, problems: &mut Problems) {
    let code = CellFault::Unfit {
        column: flag.into(),
        read: text.into(),
        wanted,
    };
    problems.add(Problem::new(code, Span::whole(line)));
}

fn minutes(text: &str, line: FileId, problems: &mut Problems) -> Option<u32> {
    let read = text.trim().parse::<u32>().ok();
    let fits = read.filter(|minutes| (1..=MOST_MINUTES).contains(minutes));
    if fits.is_none() {
        let wanted = format!("the whole minutes of work, from 1 to {MOST_MINUTES}");
        refused("--minutes", text, wanted, line, problems);
    }
    fits
}
