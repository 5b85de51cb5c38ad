//! The command that would write an entry, with every option that was typed, to be pasted into a shell.

use super::Draft;
use crate::cli::log::args::WithArgs;
use crate::record::What;
use crate::text::{Locale, shell_word};
use crate::typing::as_typed;

/// The options of an entry as they were typed, so that a repaired command keeps them.
#[derive(Clone, Debug, Default)]
pub struct TypedOptions {
    /// `--when`.
    pub when: Option<String>,
    /// `--by`.
    pub by: Option<String>,
    /// `--note`.
    pub note: Option<String>,
    /// `--shop`.
    pub shop: Option<String>,
    /// `--dry-run`.
    pub dry_run: bool,
    /// How the shop writes decimals.
    pub locale: Locale,
}

impl TypedOptions {
    /// As they were given.
    pub fn given(with: &WithArgs) -> TypedOptions {
        TypedOptions {
            when: with.when.clone(),
            by: with.by.clone(),
            note: with.note.clone(),
            shop: with.shop.as_ref().map(|shop| shop.display().to_string()),
            dry_run: with.dry_run,
            locale: Locale::default(),
        }
    }

    /// As they are typed behind a command.
    pub fn words(&self) -> String {
        let options = [
            ("--when", &self.when),
            ("--by", &self.by),
            ("--note", &self.note),
            ("--shop", &self.shop),
        ];
        let given = options
            .iter()
            .filter_map(|(option, value)| Some((option, value.as_ref()?)));
        let mut text: String = given
            .map(|(option, value)| format!(" {option} {}", shell_word(value)))
            .collect();
        if self.dry_run {
            text.push_str(" --dry-run");
        }
        text
    }
}

impl Draft {
    /// The command with every option that was typed, to be pasted.
    pub fn whole_command(&self) -> String {
        format!("{}{}", self.command(), self.typed.words())
    }

    /// The command that would write this entry, as a help line shows it.
    pub fn command(&self) -> String {
        let number = |text: &str| as_typed(text, &self.typed.locale);
        let amount = number(&self.amount);
        let words: Vec<&str> = match self.what {
            What::Discard => vec![&self.container, &amount],
            What::Use | What::Receive | What::Count | What::Soil | What::Mix | What::Decant => {
                vec![&self.container, &amount, &self.into]
            }
            What::Move | What::Spread | What::Soak | What::Bin => {
                vec![&self.container, &self.place, &amount]
            }
            What::Open => vec![&self.container],
            What::Test => vec![&self.container, &self.says],
            What::Empty => vec![&self.place],
            What::Correct => vec![&self.into],
        };
        let mut text = format!("sandarac log {}", self.what.word());
        for word in words.into_iter().filter(|word| !word.is_empty()) {
            text.push(' ');
            text.push_str(&shell_word(word));
        }
        // The other entries have these as words, or not at all.
        let of = |kinds: &[What], value: &String| match kinds.contains(&self.what) {
            true => value.clone(),
            false => String::new(),
        };
        let options = [
            ("--test", of(&[What::Test], &self.into)),
            ("--container", of(&[What::Correct], &self.container)),
            ("--amount", of(&[What::Correct, What::Test], &amount)),
            (
                "--place",
                of(&[What::Use, What::Soil, What::Correct], &self.place),
            ),
            ("--minutes", self.minutes.clone()),
            ("--from", self.from.clone()),
            ("--then", self.then.clone()),
        ];
        for (option, value) in options.into_iter().filter(|(_, value)| !value.is_empty()) {
            text.push_str(&format!(" {option} {}", shell_word(&value)));
        }
        if self.what == What::Discard && !self.into.is_empty() {
            text.push_str(" --hazardous-waste");
        }
        if self.what == What::Correct && self.says == "void" {
            text.push_str(" --void");
        }
        if let Some(new) = &self.new {
            let capacity = new.capacity.as_deref().map(number);
            let options = [
                ("--product", &new.product),
                ("--vessel", &new.vessel),
                ("--capacity", &capacity),
                ("--place", &new.place),
                ("--lot", &new.lot),
            ];
            for (option, value) in options {
                if let Some(value) = value {
                    text.push_str(&format!(" {option} {}", shell_word(value)));
                }
            }
            if new.labelled {
                text.push_str(" --labelled");
            }
        }
        text
    }
}
