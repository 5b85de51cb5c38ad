//! Who is asking, and what they may do.

/// What a paired device may do; each role may do what those before it may.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Look, for one day.
    Guest,
    /// Look and log.
    Maker,
    /// Look, log, and pair or remove devices.
    Owner,
}

impl Role {
    /// The words of the command line and of the list of devices.
    pub const WORDS: [(&'static str, Role); 3] = [
        ("guest", Role::Guest),
        ("maker", Role::Maker),
        ("owner", Role::Owner),
    ];

    /// The word.
    pub fn word(self) -> &'static str {
        let found = Self::WORDS.iter().find(|(_, role)| *role == self);
        found.map_or("", |(word, _)| word)
    }

    /// The role that a word means.
    pub fn parse(word: &str) -> Option<Role> {
        let found = Self::WORDS.iter().find(|(known, _)| *known == word);
        found.map(|(_, role)| *role)
    }
}

/// The person behind a request.
#[derive(Clone, Debug)]
pub struct Caller {
    /// What they may do.
    pub role: Role,
    /// Who they are, as the log names them; empty if unknown.
    pub person: String,
}
