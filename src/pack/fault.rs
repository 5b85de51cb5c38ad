//! What can be wrong with a TOML file: a rule pack, or shop.toml.

use crate::text::{Fault, Words, known_or_near};

/// A fault of a TOML file.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the words of each variant explain it")]
pub enum PackFault {
    TomlSyntax {
        why: String,
    },
    KeyUnknown {
        key: String,
        near: Option<String>,
        known: String,
    },
    KeyMissing {
        key: &'static str,
        of: String,
    },
    ValueWrong {
        key: String,
        wanted: String,
    },
    ClassGap {
        at: String,
    },
    ClassOverlap {
        at: String,
        first: String,
        second: String,
    },
    NoLimit,
    AdoptsItself {
        pack: String,
    },
}

impl Fault for PackFault {
    fn code(&self) -> &'static str {
        match self {
            PackFault::TomlSyntax { .. } => "toml-syntax",
            PackFault::KeyUnknown { .. } => "key-unknown",
            PackFault::KeyMissing { .. } => "key-missing",
            PackFault::ValueWrong { .. } => "value-wrong",
            PackFault::ClassGap { .. } => "class-gap",
            PackFault::ClassOverlap { .. } => "class-overlap",
            PackFault::NoLimit => "no-limit",
            PackFault::AdoptsItself { .. } => "adopts-itself",
        }
    }

    fn field(&self) -> Option<&str> {
        match self {
            PackFault::ValueWrong { key, .. } => Some(key),
            PackFault::TomlSyntax { .. }
            | PackFault::KeyUnknown { .. }
            | PackFault::KeyMissing { .. }
            | PackFault::ClassGap { .. }
            | PackFault::ClassOverlap { .. }
            | PackFault::NoLimit
            | PackFault::AdoptsItself { .. } => None,
        }
    }

    fn words(&self) -> Words {
        match self {
            PackFault::TomlSyntax { why } => Words::new(
                format!("This is not valid TOML: {why}."),
                "Correct it there. Text needs quotation marks, and each key may appear only once.",
            ),
            PackFault::KeyUnknown { key, near, known } => Words::new(
                format!("The key \"{key}\" is unknown here."),
                known_or_near(near.as_deref(), known),
            ),
            PackFault::KeyMissing { key, of } => Words::new(
                format!("The key \"{key}\" is missing from {of}."),
                format!("Add {key} = …"),
            ),
            PackFault::ValueWrong { wanted, .. } => {
                Words::new("The value has the wrong form.", format!("Write {wanted}."))
            }
            PackFault::ClassGap { at } => Words::new(
                format!("No class covers a liquid with a flash point of {at}."),
                "The classes must cover every temperature.",
            ),
            PackFault::ClassOverlap { at, first, second } => Words::new(
                format!("At a flash point of {at}, both \"{first}\" and \"{second}\" apply."),
                "Each temperature belongs to one class only.",
            ),
            PackFault::AdoptsItself { pack } => Words::new(
                format!("Adopting \"{pack}\" leads back to this pack."),
                "A pack adopts one other pack, built in or in a folder of its own. Name that one, or remove the line.",
            ),
            PackFault::NoLimit => Words::new(
                "The rule has no limit.",
                "Add [limit.YYYY-MM-DD] with its source, clause, read and seen.",
            ),
        }
    }
}
