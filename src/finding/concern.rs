//! What a finding is concerned with, for the parts of the program that pick findings by it.

/// What a finding is concerned with. The kind of check says so, so that no code compares names of kinds or rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Concern {
    /// The sum of what is stored together.
    StoredTotal,
    /// The size or the content of one container.
    OneContainer,
    /// More logged into a vessel than it holds.
    Overfilled,
    /// Two things that must not meet.
    Neighbors,
    /// A thing at a place where it must not be.
    WrongPlace,
    /// The age of a finish against its shelf life.
    ShelfLife,
    /// Rags in the trash that can still self-heat.
    ThrownOut,
    /// Anything else.
    Other,
}

impl Concern {
    /// Can a person at the bench avoid the breach by doing the same work another way?
    pub fn is_avoidable(self) -> bool {
        match self {
            Concern::OneContainer
            | Concern::Overfilled
            | Concern::Neighbors
            | Concern::WrongPlace
            | Concern::ThrownOut => true,
            Concern::StoredTotal | Concern::ShelfLife | Concern::Other => false,
        }
    }
}
