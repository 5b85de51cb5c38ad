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
        kind: String,
        needs: String,
    },
    KeyUnused {
        key: String,
        kind: String,
    },
    CaseFails {
        case: String,
        expected: String,
        got: String,
    },
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
            CheckFault::CaseFails { .. } => "case-fails",
            CheckFault::CaseLacks { .. } => "case-lacks",
            CheckFault::NotAcceptable { .. } => "not-acceptable",
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
            CheckFault::KeyUnused { key, kind } => Words::new(
                format!("A rule of the kind \"{kind}\" does not use \"{key}\"."),
                format!("Remove it. `sandarac rules {kind}` lists what the kind uses."),
            ),
            CheckFault::CaseFails {
                case,
                expected,
                got,
            } => Words::new(
                format!("The case \"{case}\" expects {expected}, but has {got}."),
                "Correct the rule or the case.",
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
