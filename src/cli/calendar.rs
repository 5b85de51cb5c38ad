//! `sandarac calendar`: what falls due, for a calendar that reads iCalendar files.

use super::args::CalendarArgs;
use super::{Ended, Failure, ahead, open, style};
use crate::report::{DueCalendar, Format, write};
use std::path::Path;

/// Prints what falls due, or writes it to a file, whole or not at all.
pub fn run(args: &CalendarArgs) -> Result<Ended, Failure> {
    let folder = open::folder(args.shop.shop.as_deref())?;
    let shop = open::shop(&folder, &args.shop.packs)?;
    let audit = open::audit(&shop, args.shop.day())?;
    ahead::tell(args.shop.on.is_some(), &audit.stock, None);
    let cautions = open::cautions()?;
    let view = open::view(&audit, &cautions);
    let text = DueCalendar.text(&view)?;
    shop.steady()?;
    if args.out == Path::new("-") {
        style::print(&text)?;
        return Ok(Ended::Well);
    }
    write::whole(&args.out, text.as_bytes()).map_err(|fault| {
        let fix = "Name a file in a folder where you may write, or `-` to print it.";
        Failure::unwritten(&args.out, fault, fix)
    })?;
    style::print(&format!(
        "Wrote {} days to {}\n",
        view.dues.len(),
        args.out.display()
    ))?;
    Ok(Ended::Well)
}
