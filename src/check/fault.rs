//! What can be wrong with a rule, once it is known which kind of check it is.

use crate::text::faults;

faults! {
    /// A fault of a rule or of its cases.
    pub enum CheckFault {
        ClassLeftOut { class: String } = "class-left-out" => (
            format!("The class \"{class}\" is selected but has no value."),
            format!("Give it one, {class} = \"…\", or remove it from [where]."),
        ),
        Demand { kind: &'static str, needs: String } = "kind-demands" => (
            format!("A rule of the kind \"{kind}\" needs {needs}."),
            format!("`sandarac rules {kind}` lists what the kind uses."),
        ),
        KeyUnused { key: String, kind: &'static str, known: String } = "key-idle" => (
            format!("A rule of the kind \"{kind}\" does not use {key} here."),
            match known.as_str() {
                "" => format!("Remove it. `sandarac rules {kind}` explains the kind."),
                known => format!("Remove it, or use one of: {known}."),
            },
        ),
        QuestionUnknown { read: String, near: Option<String> } = "question-unknown" => (
            format!("The round has no question \"{read}\"."),
            match near {
                Some(near) => format!("Did you mean \"{near}\"?"),
                None => "A pack can add questions in its own checks.csv.".to_string(),
            },
        ),
        QuestionKept { read: String } = "question-kept" => (
            format!("\"{read}\" is a built-in question about rags. Rules that always apply read its answer."),
            "Give the question of the pack another name.",
        ),
        WordUnfit { key: &'static str, read: String, with: &'static str, known: String } = "word-unfit" of key => (
            format!("\"{read}\" does not go with {with}."),
            format!("Write one of: {known}."),
        ),
        CaseFails { case: String, expected: String, got: String } = "case-fails" => (
            format!("The case \"{case}\" expects {expected}, but has {got}."),
            "Correct the rule or the case.",
        ),
        CasesWithoutRule = "cases-without-rule" => (
            "The pack has no rule of its own with the name of this file.",
            "Give the file the name of its rule, or remove it.",
        ),
        CaseLacks { what: &'static str } = "case-lacks" => (
            format!("No case shows {what}."),
            "Add one to the cases of this rule.",
        ),
        NotAcceptable { rule: String } = "not-acceptable" => (
            format!("A finding of \"{rule}\" cannot be accepted."),
            "Put self-heating rags right instead. Remove this row.",
        ),
    }
}
