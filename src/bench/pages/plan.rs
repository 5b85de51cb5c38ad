//! What a planned session would do to the air of a room.

use crate::bench::call::{Call, Reply};
use crate::bench::frame::page;
use crate::bench::problem::BenchProblem;
use crate::bench::state::BenchNow;
use crate::quantity::Moment;
use crate::report::{AirView, PlanView, WorkRequest, air_plan, work_asked};
use crate::text::clean;
use crate::vapour::plan::{needs, plan as planned, spilled};
use maud::{Markup, html};

/// Columns of the figures: what a phone shows without scrolling.
const COLUMNS: usize = 76;

/// The page: the form, and the answer where it is filled in.
pub fn plan(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let answer = match call.text("product").is_empty() {
        true => html! {},
        false => match figures(call, &now) {
            Ok(text) => {
                html! { div.wide role="region" aria-label="Figures of the plan" tabindex="0" { pre { (text) } } }
            }
            Err(problem) => crate::bench::frame::problem_words(&problem),
        },
    };
    let tables = &now.shop.tables;
    let mut products: Vec<&str> = now.rows.iter().map(|row| row.product.as_str()).collect();
    products.sort_unstable();
    products.dedup();
    let main = html! {
        p { "What would this work do to the air? Nothing is logged." }
        form.entry method="get" action="/plan" {
            label.field { span { "Room" } select name="room" {
                @for room in &tables.rooms { option value=(room.id) selected[room.id == call.text("room")] { (clean(&room.id)) } }
            } }
            label.field { span { "Product" } input name="product" list="products" value=(clean(call.text("product"))) autocomplete="off" required; }
            datalist #products { @for product in products { option value=(product) {} } }
            label.field { span { "Amount, such as 8 fl oz" } input name="amount" value=(clean(call.text("amount"))) autocomplete="off" required; }
            label.field { span { "Minutes of work" } input name="minutes" inputmode="numeric" value=(clean(call.text("minutes"))) autocomplete="off" required; }
            button type="submit" { "Work it out" }
        }
        (answer)
    };
    Ok(Reply::page(page(call, &now, "Plan", &main)))
}

fn figures(call: &Call, now: &BenchNow) -> Result<Markup, BenchProblem> {
    let tables = &now.shop.tables;
    let asked = WorkRequest {
        room: call.text("room"),
        product: call.text("product"),
        amount: call.text("amount"),
        minutes: call.text("minutes"),
        exhaust: None,
    };
    let work = work_asked(&asked, false, tables)?;
    let sessions = planned(tables, &work, Moment::start_of(now.at.day())).map_err(|why| {
        BenchProblem::unfit(
            format!("The work cannot be planned: {why}."),
            "Name another product or room, or add what is missing to the tables.",
        )
    })?;
    let row = &tables[work.room];
    let view = PlanView {
        needs: needs(&sessions, row, tables.shop.us),
        spilled: spilled(&sessions, row),
        at_once: false,
        exhaust_given: false,
    };
    let air = AirView::new(tables, &sessions, now.at.day());
    Ok(html! { (air_plan(&air, &view, COLUMNS)) })
}
