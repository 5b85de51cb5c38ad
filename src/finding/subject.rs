//! What a finding is about.

/// What a finding is about.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Subject {
    /// The sort of thing.
    pub kind: SubjectKind,
    pub id: String,
}

/// The sort of thing a finding is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SubjectKind {
    Rag,
    Container,
    Place,
    Room,
    Person,
    Check,
    Shop,
}

impl SubjectKind {
    /// The word of the JSON.
    pub fn word(self) -> &'static str {
        match self {
            SubjectKind::Rag => "rag",
            SubjectKind::Container => "container",
            SubjectKind::Place => "place",
            SubjectKind::Room => "room",
            SubjectKind::Person => "person",
            SubjectKind::Check => "check",
            SubjectKind::Shop => "shop",
        }
    }
}

impl Subject {
    pub fn new(kind: SubjectKind, id: impl Into<String>) -> Subject {
        Subject {
            kind,
            id: id.into(),
        }
    }
}
