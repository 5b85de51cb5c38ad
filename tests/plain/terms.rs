//! Terms that the writing guide replaces, and where a text uses one.

/// Terms that the writing guide replaces, in the sense in which it replaces them. Keys, ids, columns and words of the files
/// stand in quotation marks of code, and are taken out before.
pub const REPLACED: &[&str] = &[
    "cannot judge",
    "cannot be judged",
    "unjudged",
    "nobody",
    "somebody",
    "not in force",
    "about nothing",
    "asked for",
    "keeping time",
    "heats itself",
    "heat itself",
    "heat themselves",
    "what is breathed",
    "what would burn",
    "that the fan moves",
    "is told",
    "are told",
    "passed over",
    "stands twice",
    "stands at",
    "stands in",
    "stands here",
    "stand in the",
    " mend",
    "past its day",
    "past its time",
    "from above",
    "puff",
    "given off",
    "gives off",
    "walk-round",
    "thrown out",
    "throw out",
    "unexplained",
    "what came",
    "in the eyes of",
    "over night",
    "looked at",
    "nought",
    "not known",
    "as far as is written",
    "that stands",
    "stands on",
    "is nobody",
    "tighter of the packs",
    "sum over",
    "bears a label",
    "bears one",
    "to be told",
    "nothing is told",
    "walk round",
    "lapsed",
    "falls due",
    "got here",
    "none is on it",
    "rests on it",
    // Spelling of the US.
    "vapour",
    "colour",
    "odour",
    "judgement",
    "programme",
    "grey",
    "litre",
    "metre ",
    "mould",
];

/// The text without code, tables of columns and what it cites.
pub fn prose(text: &str) -> String {
    let mut out = String::new();
    for (at, part) in text.split('`').enumerate() {
        out.push_str(if at % 2 == 0 { part } else { "code" });
    }
    // A grade is a word of the files.
    let out = out.replace("grade judgement", "grade");
    let is_data = |line: &&str| {
        let start = line.trim_start();
        !(start.starts_with("name   =")
            || start.starts_with("when   =")
            || start.starts_with("source ="))
    };
    let lines: Vec<&str> = out.lines().filter(is_data).collect();
    lines.join("\n")
}

/// A page without its marks and styles.
pub fn without_marks(page: &str) -> String {
    let body = page.split("</style>").last().unwrap_or_default();
    let mut out = String::new();
    for part in body.split('<') {
        out.push(' ');
        out.push_str(part.split_once('>').map_or(part, |(_, text)| text));
    }
    out
}

/// Each replaced term that a text uses, with the words around it.
pub fn replaced_in(name: &str, text: &str) -> Vec<String> {
    // Names of kinds of check and of rules are keys.
    let text = text.replace("rags-thrown-out", "key");
    let text = text.replace("vapour-below-a-quarter", "key");
    let words: Vec<String> = prose(&text)
        .split_whitespace()
        .map(str::to_lowercase)
        .collect();
    let flat = words.join(" ");
    let mut found = Vec::new();
    for term in REPLACED {
        if let Some((before, after)) = flat.split_once(term) {
            let before: String = before.chars().rev().take(40).collect();
            let before: String = before.chars().rev().collect();
            let after: String = after.chars().take(50).collect();
            found.push(format!("{name}: {term}: …{before}[{term}]{after}…"));
        }
    }
    found
}
