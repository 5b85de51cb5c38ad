//! The names of the entries that soiled rags, each with its position, so that a batch can be named without a copy of text.

use std::collections::BTreeMap;

/// The names, in the order in which they were first met.
#[derive(Clone, Debug, Default)]
pub(super) struct SoilingNames {
    names: Vec<String>,
    positions: BTreeMap<String, u32>,
}

impl SoilingNames {
    /// The position of a name, which is added when it is new.
    pub fn position(&mut self, name: &str) -> u32 {
        if let Some(position) = self.positions.get(name) {
            return *position;
        }
        let position = u32::try_from(self.names.len()).unwrap_or(u32::MAX);
        self.names.push(name.to_string());
        self.positions.insert(name.to_string(), position);
        position
    }

    /// The name at a position.
    pub fn name(&self, position: u32) -> Option<&str> {
        let at = usize::try_from(position).ok()?;
        self.names.get(at).map(String::as_str)
    }
}
