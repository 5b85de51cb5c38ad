//! The rules named under a table of the screen, each once and with a number.

use super::screen::Screen;

#[derive(Default)]
pub(super) struct Footnotes(Vec<String>);

impl Footnotes {
    /// The number of a rule, in brackets.
    pub(super) fn number(&mut self, rule: &str) -> String {
        let known = self.0.iter().position(|known| known == rule);
        let at = known.unwrap_or(self.0.len());
        if known.is_none() {
            self.0.push(rule.to_string());
        }
        format!("({})", at + 1)
    }

    pub(super) fn print(&self, screen: &mut Screen) {
        for (number, rule) in (1..).zip(&self.0) {
            screen.item(&format!("({number}) "), rule);
        }
    }
}
