//! Numbers as a shop of decimal commas types and reads them. A number that could be one or a thousand is never guessed.

use crate::text::{CellFault, CellForm, CellStyle, Fault, Locale, Words};

/// A number as it was typed, with a decimal point; or what is said where `1.000` can mean one or a thousand.
pub fn with_point(text: &str, locale: &Locale) -> Result<String, Words> {
    match locale.plain(text, CellForm::Number) {
        Ok(plain) => Ok(plain.unwrap_or_else(|| text.to_string())),
        Err(_) => Err(ambiguous(text).words()),
    }
}

/// The fault of a number that can mean one or a thousand.
pub fn ambiguous(text: &str) -> CellFault {
    CellFault::Ambiguous {
        read: text.to_string(),
    }
}

/// A number as the shop writes it, so that it can be typed again.
pub fn as_typed(text: &str, locale: &Locale) -> String {
    CellStyle::for_table(locale, std::iter::empty()).write(text, CellForm::Number)
}
