//! What can be wrong with a TOML file: a rule pack, or shop.toml.

use crate::text::{faults, known_or_near};

faults! {
    /// A fault of a TOML file.
    pub enum PackFault {
        TomlSyntax { why: String } = "toml-syntax" => (
            format!("This is not valid TOML: {why}."),
            "Correct it there. Text needs quotation marks, and each key may appear only once.",
        ),
        KeyUnknown { key: String, near: Option<String>, known: String } = "key-unknown" => (
            format!("The key \"{key}\" is unknown here."),
            known_or_near(near.as_deref(), known),
        ),
        KeyMissing { key: &'static str, of: String } = "key-missing" => (
            format!("The key \"{key}\" is missing from {of}."),
            format!("Add {key} = …"),
        ),
        ValueWrong { key: String, wanted: String } = "value-wrong" of key => (
            "The value has the wrong form.",
            format!("Write {wanted}."),
        ),
        ClassGap { at: String } = "class-gap" => (
            format!("No class covers a liquid with a flash point of {at}."),
            "The classes must cover every temperature.",
        ),
        ClassOverlap { at: String, first: String, second: String } = "class-overlap" => (
            format!("At a flash point of {at}, both \"{first}\" and \"{second}\" apply."),
            "Each temperature belongs to one class only.",
        ),
        NoLimit = "no-limit" => (
            "The rule has no limit.",
            "Add [limit.YYYY-MM-DD] with its source, clause, read and seen.",
        ),
        AdoptsItself { pack: String } = "adopts-itself" => (
            format!("Adopting \"{pack}\" leads back to this pack."),
            "A pack adopts one other pack, built in or in a folder of its own. Name that one, or remove the line.",
        ),
    }
}
