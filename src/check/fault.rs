//! What can be wrong with a rule, once it is known which kind of check it is.

use crate::text::{Fault, Words};

/// A fault of a rule or of its cases.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the words of each variant explain it")]
pub enum CheckFault {
    ClassLeftOut {
        class: String,
    },
    Demand {
        kind: &'static str,
        needs: String,
    },
    KeyUnused {
        key: String,
        kind: &'static str,
        known: String,
    },
    QuestionUnknown {
        read: String,
        near: Option<String>,
    },
    WordUnfit {
        key: &'static str,
        read: String,
        with: &'static str,
        known: String,
    },
    CaseFails {
        case: String,
        expected: String,
        got: String,
    },
    CasesWithoutRule,
    CaseLacks {
        what: &'static str,
    },
    NotAcceptable {
        rule: String,
    },
}

impl Fault for CheckFault {
    fn code(&self) -> &'static str {
        match self {
            CheckFault::ClassLeftOut { .. } => "class-left-out",
            CheckFault::Demand { .. } => "kind-demands",
            CheckFault::KeyUnused { .. } => "key-idle",
            CheckFault::QuestionUnknown { .. } => "question-unknown",
            CheckFault::WordUnfit { .. } => "word-unfit",
            CheckFault::CaseFails { .. } => "case-fails",
            CheckFault::CasesWithoutRule => "cases-without-rule",
            CheckFault::CaseLacks { .. } => "case-lacks",
            CheckFault::NotAcceptable { .. } => "not-acceptable",
        }
    }

    fn field(&self) -> Option<&str> {
        match self {
            CheckFault::WordUnfit { key, .. } => Some(key),
            CheckFault::ClassLeftOut { .. }
            | CheckFault::Demand { .. }
            | CheckFault::KeyUnused { .. }
            | CheckFault::QuestionUnknown { .. }
            | CheckFault::CaseFails { .. }
            | CheckFault::CasesWithoutRule
            | CheckFault::CaseLacks { .. }
            | CheckFault::NotAcceptable { .. } => None,
        }
    }

    fn words(&self) -> Words {
        match self {
            CheckFault::ClassLeftOut { class } => Words::new(
                format!("The class \"{class}\" is selected but has no value."),
                format!("Give it one, {class} = \"…\", or remove it from [where]."),
            ),
            CheckFault::Demand { kind, needs } => Words::new(
                format!("A rule of the kind \"{kind}\" needs {needs}."),
                format!("`sandarac rules {kind}` lists what the kind uses."),
            ),
            CheckFault::KeyUnused { key, kind, known } => Words::new(
                format!("A rule of the kind \"{kind}\" does not use {key} here."),
                match known.as_str() {
                    "" => format!("Remove it. `sandarac rules {kind}` explains the kind."),
                    known => format!("Remove it, or use one of: {known}."),
                },
            ),
            CheckFault::QuestionUnknown { read, near } => Words::new(
                format!("The round has no question \"{read}\"."),
                match near {
                    Some(near) => format!("Did you mean \"{near}\"?"),
                    None => "A pack can add questions in its own checks.csv.".to_string(),
                },
            ),
            CheckFault::WordUnfit {
                read, with, known, ..
            } => Words::new(
                format!("\"{read}\" does not go with {with}."),
                format!("Write one of: {known}."),
            ),
            CheckFault::CaseFails {
                case,
                expected,
                got,
            } => Words::new(
                format!("The case \"{case}\" expects {expected}, but has {got}."),
                "Correct the rule or the case.",
            ),
            CheckFault::CasesWithoutRule => Words::new(
                "The pack has no rule of its own with the name of this file.",
                "Give the file the name of its rule, or remove it.",
            ),
            CheckFault::CaseLacks { what } => Words::new(
                format!("No case shows {what}."),
                "Add one to the cases of this rule.",
            ),
            CheckFault::NotAcceptable { rule } => Words::new(
                format!("A finding of \"{rule}\" cannot be accepted."),
                "Put self-heating rags right instead. Remove this row.",
            ),
        }
    }
}
