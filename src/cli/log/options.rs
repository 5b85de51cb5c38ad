//! The options that were typed with an entry, as a shell takes them.

use super::args::WithArgs;

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
}

impl TypedOptions {
    /// As they were given.
    pub fn of(with: &WithArgs) -> TypedOptions {
        TypedOptions {
            when: with.when.clone(),
            by: with.by.clone(),
            note: with.note.clone(),
            shop: with.shop.as_ref().map(|shop| shop.display().to_string()),
            dry_run: with.dry_run,
        }
    }

    pub(super) fn words(&self) -> String {
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
            .map(|(option, value)| format!(" {option} {}", quoted(value)))
            .collect();
        if self.dry_run {
            text.push_str(" --dry-run");
        }
        text
    }
}

/// A word as a shell takes it.
pub fn quoted(word: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.' | '/' | ':');
    if !word.is_empty() && word.chars().all(plain) {
        word.to_string()
    } else {
        format!("'{}'", word.replace('\'', "'\\''"))
    }
}
