//! Why a shop could not be audited, in words.

use crate::audit::NotAudited;
use crate::text::{ShownProblems, Words, clean};

/// Why something was not done.
pub enum Refusal {
    /// The files have problems, each with its place.
    Problems(ShownProblems),
    /// Anything else.
    Words(Words),
}

/// Why there is no audit.
pub fn not_audited(not: NotAudited) -> Refusal {
    Refusal::Words(match not {
        NotAudited::Problems(problems) => return Refusal::Problems(problems),
        NotAudited::NoEntry { folder, why } => Words::new(
            format!("The folder {} cannot be opened: {why}.", folder.display()),
            "Ask the owner of the folder for permission.",
        ),
        NotAudited::Changed(path) => Words::new(
            format!(
                "Another program changed {} while it was read.",
                path.display()
            ),
            "Let that program finish, or save and close the file there. Then try again.",
        ),
        NotAudited::Unfinished { why: Some(why) } => Words::new(
            format!(
                "An entry was cut short while it was written, and it cannot be finished. {}",
                why.wrong
            ),
            why.fix,
        ),
        NotAudited::Unfinished { why: None } => Words::new(
            "An entry was cut short while it was written, so the log may be half changed.",
            "Run `sandarac stock`, which finishes it or takes it back. Then look again.",
        ),
        NotAudited::NoSuchPack { name, known } => Words::new(
            format!("The shop has no rule pack \"{}\".", clean(&name)),
            format!("Known: {}.", known.join(", ")),
        ),
    })
}
