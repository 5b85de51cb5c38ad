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
        NameBuiltIn { name: &'static str } = "name-built-in" => (
            format!("\"{name}\" is the name of a built-in rule pack."),
            "Rename the folder. Its rules would be taken for those of the built-in pack.",
        ),
        NotRead { wanted: &'static str } = "not-read" => (
            "This file would not be read.",
            *wanted,
        ),
        RuleAdopted { pack: String } = "rule-adopted" => (
            format!("The adopted pack \"{pack}\" has a rule of this name."),
            "Leave out `check` to change the limit of that rule, or give this file another name.",
        ),
        ChangesNothing { near: Option<String> } = "changes-nothing" => (
            "The file has no `check`, and no adopted rule has its name.",
            match near {
                Some(near) => format!("Did you mean rules/{near}.toml?"),
                None => "Add `check` for a rule of its own, or give the file the name of the adopted rule that it changes.".to_string(),
            },
        ),
        ClassesLack { classes: String, pack: String } = "classes-lack" => (
            format!("Rules of the adopted pack \"{pack}\" name classes that are missing here: {classes}."),
            "Add them, or remove classes.toml to inherit the classes of that pack.",
        ),
        ClassTwice { class: String } = "class-twice" => (
            format!("The class \"{class}\" is a duplicate."),
            "Give one of them another name.",
        ),
        AdoptsItself { pack: String } = "adopts-itself" => (
            format!("Adopting \"{pack}\" leads back to this pack."),
            "A pack adopts one other pack, built in or in a folder of its own. Name that one, or remove the line.",
        ),
    }
}
