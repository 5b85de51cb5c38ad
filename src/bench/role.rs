//! Who is asking, and what they may do.

use crate::text::words;

words! {
    /// What a paired device may do; each role may do what those before it may.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
    pub enum Role {
        /// Look, for one day.
        Guest = "guest",
        /// Look and log.
        Maker = "maker",
        /// Look, log, and pair or remove devices.
        Owner = "owner",
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
