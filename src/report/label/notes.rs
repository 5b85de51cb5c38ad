//! The notes that go with the sheets: what the labels are, what they leave to the data sheet, and what they rest on.

use super::view::{LabelSheet, LabelSources, Placed};
use crate::text::clean;
use crate::trade::Classed;
use std::collections::BTreeSet;

/// The notes, each a heading and its paragraphs.
pub(super) fn notes(sources: &LabelSources<'_>, placed: &[Placed]) -> Vec<(String, Vec<String>)> {
    let mut notes: Vec<(String, Vec<String>)> = WORDS
        .iter()
        .map(|(heading, paragraphs)| {
            let paragraphs = paragraphs.iter().map(|text| (*text).to_string());
            ((*heading).to_string(), paragraphs.collect())
        })
        .collect();
    let codes: Vec<String> = LabelSheet::by_code(placed)
        .into_iter()
        .filter_map(|code| sources.ghs.statement(code))
        .map(|statement| format!("{} {}", statement.code, statement.text))
        .collect();
    if !codes.is_empty() {
        notes.push(("Precautions that labels name by code".into(), codes));
    }
    let gaps: Vec<String> = placed
        .iter()
        .filter(|p| !p.label.gaps.is_empty())
        .map(|p| format!("{}: {}", p.label.id, clean(&p.label.gaps.join("; "))))
        .collect();
    if !gaps.is_empty() {
        notes.push((
            "What is not known: look in the data sheet, and write it into products.csv".into(),
            gaps,
        ));
    }
    let records = records(sources, placed);
    if !records.is_empty() {
        notes.push(("Classes on record, and who says so".into(), records));
    }
    notes
}

const WORDS: [(&str, &[&str]); 6] = [
    (
        "What these labels are",
        &[
            "A screening aid, made from what the shop wrote down. The maker's own label, the data sheet, the authority having \
             jurisdiction and a licensed practitioner come first. They are for what is mixed and decanted in the shop; they \
             do not replace a maker's label and are not for selling goods. Nothing here shows a container, a room or a pile \
             of oily rags to be safe.",
            "What is not known is said on the label. A label without a pictogram is not the label of a harmless thing.",
        ],
    ),
    (
        "Before you fill anything",
        &[
            "Never use a jar, bottle or cup that held food or drink, or looks as if it did: people drink from them. The \
             inventory cannot see that, so look at each vessel before its label goes on, and take an old label off whole.",
        ],
    ),
    (
        "Printing",
        &[
            "Print at 100 %, without fitting to the page, and hold a ruler to the line at the foot of each sheet. Cut from \
             mark to mark in the margin. Use a paper and ink that the solvent does not take off, or tape over them.",
        ],
    ),
    (
        "Hazards",
        &[
            "Classes follow the UN's harmonized system (GHS, 10th revised edition, ST/SG/AC.10/30/Rev.10, 2023), statements \
             are its annex 3. A statement marked † rests in part on general knowledge that was not held against the text: \
             hold it against the data sheet before you rely on it.",
            "The class of fire is that of the flash point: H224 below 23 C with boiling up to 35 C, H225 below 23 C, H226 \
             from 23 C to 60 C, H227 above 60 C to 93 C. H227 is the US and UN wording; the EU and Great Britain ask for none.",
            "Health follows from the parts, each at the most it can be. Where the UN offers two shares the lower is taken for \
             cancer, genes and reproduction; for harm to organs the EU's is taken, 10 %, where US rules, from memory, take \
             1 %. Viscosity is not in the tables, so 10 % of an aspiration hazard counts as if the liquid were thin.",
            "What was poured in besides counts undiluted, since the book keeps no shares of it.",
            "A skull stands in for the exclamation mark; corrosion does where that speaks for skin and eyes. Six precautions \
             are shown in full, the rest by code. Supplemental statements of single countries are not shown.",
        ],
    ),
    (
        "Waste and brush wash",
        &[
            "US rules for generators ask for the words Hazardous Waste, the hazards, and the day the first waste went in (40 CFR \
             262.16 for small generators; secondary). A very small generator may not be bound to them; states ask more. Ask \
             before you rely on it, and keep the date when you pour one waste into another: the older one counts.",
        ],
    ),
    (
        "Sizes",
        &[
            "The least sizes are those of Regulation (EC) 1272/2008, annex I, table 1.3, which the US rules do not share. The \
             heights of letters are those of Regulation (EU) 2024/2865, from 2028 on (secondary).",
        ],
    ),
];

fn records(sources: &LabelSources<'_>, placed: &[Placed]) -> Vec<String> {
    let names: BTreeSet<&str> = placed
        .iter()
        .flat_map(|p| p.label.substances.iter().map(String::as_str))
        .collect();
    names
        .into_iter()
        .filter_map(|name| Some((name, sources.ghs.substance(name)?)))
        .map(|(name, classes)| format!("{}: {}", clean(name), record(sources, classes)))
        .collect()
}

fn record(sources: &LabelSources<'_>, classes: &[Classed]) -> String {
    let mut words: Vec<String> = Vec::new();
    let mut from: Vec<(&str, &str)> = Vec::new();
    for classed in classes {
        let code = sources
            .ghs
            .class(&classed.class)
            .map(|class| class.code.clone());
        words.push(code.unwrap_or_else(|| "no class".into()));
        if !from.contains(&(classed.source.as_str(), classed.seen.word())) {
            from.push((&classed.source, classed.seen.word()));
        }
    }
    let from: Vec<String> = from
        .iter()
        .map(|(source, seen)| format!("{source} ({seen})"))
        .collect();
    let note = classes
        .first()
        .map(|c| c.note.as_str())
        .filter(|note| !note.is_empty());
    let note = note.map_or_else(String::new, |note| format!(". {note}"));
    format!("{}; {}{note}", words.join(" "), from.join("; "))
}
