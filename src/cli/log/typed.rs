//! A draft as it was typed becomes one as the tables take it: names, amounts and the moment. What could mean several things is
//! asked on a terminal, and refused elsewhere.

use super::draft::Draft;
use super::prompt::{is_fluid, pick};
use crate::audit::Shop;
use crate::cli::Failure;
use crate::cli::open::WRITTEN;
use crate::quantity::Measure;
use crate::record::{PlaceKind, What};
use crate::stock::Stock;
use crate::store::{ENTRY_BEFORE, LogRowText, each_entry};
use crate::text::{Locale, clean, nearest, shell_word};
use crate::typing::{
    AmountTyped, HeldAmount, NameChoice, NameFound, container, near_product, place, product,
    typed_amount, typed_minutes, with_point,
};
use std::io::IsTerminal;

/// So many choices are listed.
const MOST_CHOICES: usize = 12;

/// What understanding a draft brought.
#[derive(Default)]
pub(super) struct Understood {
    /// What a person should know of it.
    pub said: String,
    /// Whether oz of a liquid means fluid ounces in this shop, if it was asked.
    pub fluid: Option<bool>,
}

/// Puts names, the amount and the minutes of a draft as the tables write them.
pub(super) fn understand(
    draft: &mut Draft,
    shop: &Shop,
    stock: &Stock,
) -> Result<Understood, Failure> {
    names(draft, shop, stock)?;
    let said = minutes(draft, shop) + &unknown_product(draft, shop);
    let fluid = match draft.amount.is_empty() {
        true => None,
        false => amount(draft, shop, stock)?,
    };
    Ok(Understood { said, fluid })
}

/// Puts decimal points into numbers as they were typed.
pub(super) fn decimals(draft: &mut Draft, locale: &Locale) -> Result<(), Failure> {
    let capacity = draft.new.as_mut().and_then(|new| new.capacity.as_mut());
    for text in [Some(&mut draft.amount), capacity].into_iter().flatten() {
        *text = plain_number(text, locale)?;
    }
    Ok(())
}

/// A number as it was typed, with a decimal point.
pub(super) fn plain_number(text: &str, locale: &Locale) -> Result<String, Failure> {
    with_point(text, locale).map_err(|words| Failure::refused(words.wrong, words.fix, WRITTEN))
}

fn names(draft: &mut Draft, shop: &Shop, stock: &Stock) -> Result<(), Failure> {
    let tables = &shop.tables;
    let is_new = draft.new.is_some();
    let fills_new = is_new && draft.what == What::Receive;
    if let Some(new) = &mut draft.new {
        if let Some(name) = &mut new.product
            && let Some(known) = product(tables, name)
        {
            *name = known;
        }
        if let Some(name) = &mut new.place {
            chosen(place(tables, name, &[]), name, "place")?;
        }
    }
    if !draft.container.is_empty() && !fills_new {
        let found = container(tables, stock, &draft.container);
        chosen(found, &mut draft.container, "container")?;
    }
    let names_container = matches!(draft.what, What::Mix | What::Decant | What::Soil);
    if names_container && !draft.into.is_empty() && !is_new {
        chosen(
            container(tables, stock, &draft.into),
            &mut draft.into,
            "container",
        )?;
    }
    if !draft.place.is_empty() {
        let found = place(tables, &draft.place, kinds(draft.what));
        chosen(found, &mut draft.place, "place")?;
    }
    result_is_clear(draft)?;
    let by_entry = draft.from.to_lowercase().starts_with("entry ");
    if !draft.from.is_empty() && !by_entry && draft.from != "clean" {
        chosen(place(tables, &draft.from, &[]), &mut draft.from, "place")?;
    }
    Ok(())
}

/// What is said of a new container whose product neither the shop nor the built-in list has.
fn unknown_product(draft: &Draft, shop: &Shop) -> String {
    let new = draft.new.as_ref().and_then(|new| new.product.as_ref());
    let Some(name) = new.filter(|name| product(&shop.tables, name).is_none()) else {
        return String::new();
    };
    // A cut of shellac is known by its words.
    if shop.tables.kind_of(name).is_some() {
        return String::new();
    }
    let jar = shell_word(draft.new_container());
    let fix = match near_product(&shop.tables, name) {
        Some(near) => format!(
            "If {} is meant: sandarac log record {jar} product {}",
            clean(&near),
            shell_word(&near)
        ),
        None => format!(
            "Say what it is: sandarac log record {} kind KIND",
            shell_word(name)
        ),
    };
    format!(
        "{} is neither in products.csv nor built in.\n  {fix}\n",
        clean(name)
    )
}

/// The minutes as a number. A use without them gets the usual ones of its product, and that is said.
fn minutes(draft: &mut Draft, shop: &Shop) -> String {
    if let Some(minutes) = typed_minutes(&draft.minutes) {
        draft.minutes = minutes.to_string();
    }
    if draft.what != What::Use || !draft.minutes.is_empty() {
        return String::new();
    }
    let Some((product, minutes)) = usual_minutes(draft, shop) else {
        return String::new();
    };
    draft.minutes = minutes.to_string();
    format!(
        "{minutes} minutes are usual for {} (products.csv). If it took longer or less, give --minutes.\n",
        clean(&product)
    )
}

/// The product that is used, and the minutes that products.csv says a use of it mostly takes.
pub(super) fn usual_minutes(draft: &Draft, shop: &Shop) -> Option<(String, u32)> {
    let at = shop.tables.container(&draft.container)?;
    let row = &shop.tables[at];
    let product = shop.tables.product(&row.product)?;
    Some((product.id.clone(), product.minutes?))
}

/// What a container holds, or a new one when it is full.
pub(super) fn held(draft: &Draft, shop: &Shop, stock: &Stock) -> HeldAmount {
    let new = draft.new.as_ref().filter(|_| draft.what == What::Receive);
    let new = new.and_then(|new| Measure::parse(new.capacity.as_deref()?).ok()?.amount());
    let at = shop.tables.container(&draft.container);
    let row = at.map(|at| &shop.tables[at]);
    HeldAmount {
        held: super::held(shop, stock, &draft.container),
        capacity: new.or(row.and_then(|row| row.capacity)),
    }
}

/// The container of an entry; nothing if no entry has that name.
fn container_of(shop: &Shop, entry: &str) -> String {
    let mut container = String::new();
    each_entry(shop, |row| {
        let row = LogRowText::read(row);
        if row.entry == entry {
            container = row.container.to_string();
        }
    });
    container
}

fn amount(draft: &mut Draft, shop: &Shop, stock: &Stock) -> Result<Option<bool>, Failure> {
    let tables = &shop.tables;
    let mut meant = draft.clone();
    if draft.what == What::Correct && draft.container.is_empty() {
        meant.container = container_of(shop, &draft.into);
    }
    let of = held(&meant, shop, stock).of_entry(draft.what, &draft.amount);
    let us = tables.shop.us;
    match typed_amount(&draft.amount, of, us, tables.shop.fluid_ounces) {
        AmountTyped::Cell(cell) => draft.amount = cell,
        AmountTyped::AsTyped => {}
        AmountTyped::HeldUnknown => {
            return Err(Failure::refused(
                format!("How much {} holds is unknown.", clean(&draft.container)),
                "Write an amount, or count what is there first.",
                WRITTEN,
            ));
        }
        AmountTyped::Ounces(cell) if asks() => {
            let fluid = is_fluid(&draft.container)?;
            if fluid {
                draft.amount = cell;
            }
            return Ok(Some(fluid));
        }
        AmountTyped::Ounces(cell) => {
            let mut fluid = draft.clone();
            fluid.amount = cell;
            return Err(Failure::refused(
                format!("\"{}\" can be a weight or a volume.", clean(&draft.amount)),
                format!(
                    "{} is a liquid. Write fl oz: {}. Or say once what oz of a liquid means here: sandarac log record shop \
                     ounces fluid, which adds ounces = \"fluid\" to shop.toml.",
                    clean(&draft.container),
                    fluid.whole_command()
                ),
                WRITTEN,
            ));
        }
    }
    Ok(None)
}

/// The result of a test is one of three words. A misspelled one must not be taken for a remark, since the minutes might then
/// make a pass of a fail.
fn result_is_clear(draft: &Draft) -> Result<(), Failure> {
    const RESULTS: [&str; 4] = ["pass", "passed", "retest", "fail"];
    let word = draft.says.split(|c: char| !c.is_alphanumeric()).next();
    let word = word.unwrap_or_default().to_lowercase();
    let is_known = RESULTS.contains(&word.as_str())
        || ["fail", "retest"]
            .iter()
            .any(|known| word.starts_with(known));
    if draft.what != What::Test || draft.says.is_empty() || is_known {
        return Ok(());
    }
    let fix = match nearest(&word, ["passed", "pass", "retest", "fail"]) {
        Some(near) => {
            let mut meant = draft.clone();
            meant.says = near.trim_end_matches("ed").to_string();
            format!("Did you mean \"{}\"? {}", meant.says, meant.whole_command())
        }
        None => "Write pass, retest or fail.".to_string(),
    };
    Err(Failure::refused(
        format!("\"{}\" is not the result of a test.", clean(&draft.says)),
        fix,
        WRITTEN,
    ))
}

/// Where rags are put away, and as what entry.
pub(super) fn way_of_putting(shop: &Shop, to: &str) -> Result<(What, String), Failure> {
    let mut to = to.to_string();
    let ways = [
        PlaceKind::OilyWasteCan,
        PlaceKind::WaterCan,
        PlaceKind::Outdoors,
        PlaceKind::DryingLine,
        PlaceKind::PadJar,
    ];
    chosen(place(&shop.tables, &to, &ways), &mut to, "place")?;
    let at = shop.tables.place(&to).map(|at| &shop.tables[at]);
    let what = match at.map(|place| place.kind) {
        Some(PlaceKind::OilyWasteCan) => What::Bin,
        Some(PlaceKind::WaterCan) => What::Soak,
        Some(PlaceKind::Outdoors | PlaceKind::DryingLine) => What::Spread,
        Some(_) | None => What::Move,
    };
    Ok((what, to))
}

/// The entry that puts rags away where another has just soiled them.
pub(super) fn put_away(soiled: &Draft, shop: &Shop, to: &str) -> Result<Draft, Failure> {
    let (what, to) = way_of_putting(shop, to)?;
    Ok(Draft {
        container: soiled.container.clone(),
        amount: soiled.amount.clone(),
        place: to,
        from: ENTRY_BEFORE.to_string(),
        ..Draft::new(what)
    })
}

/// The kinds of place at which an entry can happen; none means any.
fn kinds(what: What) -> &'static [PlaceKind] {
    match what {
        What::Bin => &[PlaceKind::OilyWasteCan],
        What::Soak => &[PlaceKind::WaterCan],
        What::Empty => &[PlaceKind::OilyWasteCan, PlaceKind::WaterCan],
        What::Receive
        | What::Open
        | What::Move
        | What::Mix
        | What::Decant
        | What::Use
        | What::Soil
        | What::Discard
        | What::Spread
        | What::Test
        | What::Count
        | What::Correct => &[],
    }
}

/// Puts what was found in place of what was typed. What is unknown stays, for its reader to report.
pub(super) fn chosen(found: NameFound, typed: &mut String, kind: &str) -> Result<(), Failure> {
    match found {
        NameFound::One(name) => *typed = name,
        NameFound::Unknown => {}
        NameFound::Several(choices) => {
            let labels: Vec<String> = choices.iter().map(label).collect();
            if asks()
                && let Some(at) = pick(&format!("Which {kind} is {}?", clean(typed)), &labels)?
            {
                if let Some(choice) = choices.get(at) {
                    typed.clone_from(&choice.name);
                }
                return Ok(());
            }
            let shown = labels.iter().take(MOST_CHOICES).enumerate();
            let mut list: Vec<String> = shown
                .map(|(at, label)| format!("  {}. {label}", at + 1))
                .collect();
            if labels.len() > MOST_CHOICES {
                list.push(format!("  and {} more", labels.len() - MOST_CHOICES));
            }
            return Err(Failure::refused(
                format!(
                    "\"{}\" can be more than one {kind}:\n{}",
                    clean(typed),
                    list.join("\n")
                ),
                "Type more of the name.",
                WRITTEN,
            ));
        }
    }
    Ok(())
}

/// Is there a person to ask?
pub(super) fn asks() -> bool {
    std::io::stdin().is_terminal() && std::io::stdout().is_terminal()
}

fn label(choice: &NameChoice) -> String {
    format!("{}: {}", clean(&choice.name), clean(&choice.about))
}
