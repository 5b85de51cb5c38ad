//! `sandarac demo`: the main job on a made-up shop that is built in, on a day of its own.

use super::args::DemoArgs;
use super::new::write_shop;
use super::{Ended, Failure, open, style};
use crate::audit::Shop;
use crate::pack::demo;
use crate::quantity::Day;
use crate::report::{View, terminal};

/// The day of the demo: the last Saturday of its four months of log.
pub const DEMO_DAY: &str = "2026-10-31";

/// Audits the demo, or writes it out. It has findings by design, and yet ends well.
pub fn run(args: &DemoArgs) -> Result<Ended, Failure> {
    if let Some(folder) = &args.write {
        write_shop(folder, &demo())?;
        style::print(&format!(
            "Wrote a made-up shop to {0}.\nNext: sandarac audit {0} --on {DEMO_DAY}\n",
            folder.display()
        ))
        .map_err(Failure::after_writing)?;
        return Ok(Ended::Well);
    }
    let shop = Shop::demo()?;
    let day = Day::parse(DEMO_DAY).map_err(|_| Failure::unprinted("the demo has no day"))?;
    let audit = shop.audit(day)?;
    let cautions = open::cautions()?;
    let view = View::new(&audit, &cautions);
    style::show(&terminal(&view, style::columns(), args.full, None))?;
    Ok(Ended::Well)
}
