//! Pages to print: labels, the round on paper, the audit of any day.

use crate::bench::call::{Call, Reply};
use crate::bench::frame::page;
use crate::bench::problem::BenchProblem;
use crate::files::photo_of;
use crate::pack;
use crate::quantity::Day;
use crate::report::words::date;
use crate::report::{
    BinderPhoto, BinderSources, Copied, Format, LabelSize, LabelSources, Page, Paper, View,
    binder_page, code_svg, container_link, label_page, label_sheet, named, read_cautions,
    read_daybook, read_records, sheet, sheet_html,
};
use crate::text::{Files, Problems, clean};
use maud::{PreEscaped, html};

/// The page that lists them.
pub fn print(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let main = html! {
        p { "These pages open for printing. Print at 100 %." }
        div.acts {
            a.act href="/print/labels" { "Labels of all containers" }
            a.act href="/print/codes" { "Codes for the containers" }
            a.act href="/print/round" { "The round on paper" }
            a.act href="/print/audit" { "The audit of today" }
            a.act href="/print/binder" { "The inspector's binder" }
        }
        form.entry method="get" action="/print/audit" {
            label.field { span { "The audit of another day" } input type="date" name="on" required; }
            button type="submit" { "Open" }
        }
        p.faint { "Today is " (date(now.at.day())) ". A binder as a folder, with copies of the tables, is made on the computer: "
            code { "sandarac audit SHOP --binder FOLDER" } "." }
    };
    Ok(Reply::page(page(call, &now, "Print", &main)))
}

/// Labels of the containers named, or of all.
pub fn labels(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let names: Vec<String> = call
        .fields
        .iter()
        .filter(|(name, _)| name == "name")
        .map(|(_, text)| text.clone())
        .collect();
    let wanted = named(&now.shop.tables, &now.stock, &names);
    if let Some(refused) = wanted.refused.first() {
        return Err(BenchProblem::missing(clean(refused)));
    }
    let ghs = now.shop.ghs()?;
    let sources = LabelSources {
        tables: &now.shop.tables,
        stock: &now.stock,
        hazards: &now.hazards,
        reference: &now.shop.reference,
        ghs: &ghs,
    };
    let sheet = label_sheet(
        &sources,
        &wanted.wanted,
        &LabelSize::usual(paper(now.us())),
        paper(now.us()),
    );
    let sheet = sheet
        .ok_or_else(|| BenchProblem::unfit("There is nothing to label.", "Name a container."))?;
    Ok(Reply::printed(label_page(&sheet)))
}

fn paper(us: bool) -> Paper {
    if us { Paper::Letter } else { Paper::A4 }
}

/// A day that was asked for, or today.
fn day(call: &Call, today: Day) -> Result<Day, BenchProblem> {
    match call.text("on") {
        "" => Ok(today),
        text => Day::parse(text).map_err(|_| {
            BenchProblem::unfit(
                format!("\"{}\" is not a day.", clean(text)),
                "Write it as 2026-11-24.",
            )
        }),
    }
}

/// What is made of the audit of a day.
fn made(
    call: &Call,
    make: impl FnOnce(&View<'_>, &crate::audit::Audit<'_>) -> Result<String, BenchProblem>,
) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let on = day(call, now.at.day())?;
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let file = files.hold("data/cautions.toml", pack::CAUTIONS.as_bytes());
    let cautions = read_cautions(&files, file, &mut problems);
    let audit = now.shop.audit(on)?;
    let view = View::new(&audit, &cautions);
    make(&view, &audit).map(Reply::printed)
}

/// The audit page of a day.
pub fn audit(call: &Call) -> Result<Reply, BenchProblem> {
    made(call, |view, _| {
        let mut out = Vec::new();
        let failed = |_| BenchProblem::fault("The page could not be made.");
        Page.write(view, &mut out).map_err(failed)?;
        String::from_utf8(out).map_err(|_| BenchProblem::fault("The page could not be made."))
    })
}

/// The inspector's binder, for today or another day.
pub fn binder(call: &Call) -> Result<Reply, BenchProblem> {
    let folder = call.bench.folder();
    made(call, |view, audit| {
        let (mut files, mut problems) = (Files::default(), Problems::new());
        let file = files.hold("data/records.csv", pack::RECORDS.as_bytes());
        let records = read_records(&files, file, &mut problems);
        let opened = audit.shop;
        let on = audit.stock.on;
        let daybook = read_daybook(&opened.files, &opened.tables, on, &mut problems);
        opened.trusted(&problems)?;
        let tables = opened.table_files().iter();
        let copies = tables.filter_map(|(name, _)| {
            let bytes = opened.bytes(name).ok()?.len().try_into().ok()?;
            let name = (*name).to_string();
            Some(Copied { name, bytes })
        });
        let copies: Vec<Copied> = copies.collect();
        let ids = opened.tables.answers.iter().filter_map(|it| it.id.clone());
        let photos = ids.filter_map(|id| {
            let link = format!("/photo/{}", photo_of(folder, &id)?.0);
            Some(BinderPhoto { id, link })
        });
        let photos: Vec<BinderPhoto> = photos.collect();
        Ok(binder_page(&BinderSources {
            view,
            audit,
            daybook: daybook.as_ref(),
            records: &records,
            copies: &copies,
            photos: &photos,
        }))
    })
}

/// The round on paper.
pub fn round(call: &Call) -> Result<Reply, BenchProblem> {
    made(call, |view, audit| {
        let round = sheet(&audit.shop.tables, &audit.stock, view);
        Ok(sheet_html(&round, view, paper(view.us)))
    })
}

/// A code for each container, to stick on it: a phone's camera opens its page.
pub fn codes(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let Some(address) = &now.shop.tables.shop.bench.address else {
        return Err(BenchProblem::unfit(
            "Codes need an address that stays the same.",
            "Reserve an address for this computer in the router. Then record it, with your own address: sandarac log record bench \
             address https://192.168.1.20:8137",
        ));
    };
    let main = html! {
        p.screen { "Print this page and stick each code on its container. Scan it with the camera of a paired phone." }
        div.codes {
            @for row in &now.rows {
                @let link = container_link(Some(address), &row.container);
                figure {
                    @if let Some(picture) = link.and_then(|link| code_svg(&link)) { div.picture aria-hidden="true" { (PreEscaped(picture)) } }
                    figcaption { strong { bdi { (clean(&row.container)) } } br; bdi { (clean(&row.product)) } }
                }
            }
        }
    };
    Ok(Reply::page(page(call, &now, "Codes", &main)))
}
