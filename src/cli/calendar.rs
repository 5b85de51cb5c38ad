//! `sandarac calendar`: what is due, for a calendar that reads iCalendar files.

use super::args::CalendarArgs;
use super::output::{OutputKind, put};
use super::{Ended, Failure, ahead, open, style};
use crate::report::{DueCalendar, Format, View};
use std::path::Path;

/// Prints what is due, or writes it to a file, whole or not at all.
pub fn run(args: &CalendarArgs) -> Result<Ended, Failure> {
    let folder = open::folder(args.shop.shop.as_deref())?;
    let shop = open::shop_by(&folder, &args.shop.packs, args.shop.now())?;
    let audit = open::audit(&shop, args.shop.day())?;
    let is_ahead = ahead::tell(args.shop.on.is_some(), &shop, &audit.stock, None);
    let cautions = open::cautions()?;
    let view = View::new(&audit, &cautions);
    let text = DueCalendar.text(&view)?;
    shop.steady()?;
    if args.out == Path::new("-") {
        style::print(&text)?;
        return Ok(Ended::Well.unless(is_ahead));
    }
    let or = "Name a file in a folder where you may write, or `-` to print it.";
    put(&args.out, OutputKind::Calendar, or, |out| {
        out.write_all(text.as_bytes())
    })?;
    style::print(&format!(
        "Wrote {} days to {}\n",
        view.dues.len(),
        args.out.display()
    ))?;
    Ok(Ended::Well.unless(is_ahead))
}
