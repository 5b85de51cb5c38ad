//! Single questions on a terminal.

use crate::cli::Failure;
use crate::cli::open::WRITTEN;
use crate::text::clean;
use dialoguer::{Confirm, Select};

/// Picks one of a list by its position; nothing if the person gave up.
pub(super) fn pick(question: &str, labels: &[String]) -> Result<Option<usize>, Failure> {
    Select::new()
        .with_prompt(question)
        .items(labels)
        .default(0)
        .max_length(12)
        .interact_opt()
        .map_err(gone)
}

/// Does `oz` of a liquid mean fluid ounces in this shop?
pub(super) fn is_fluid(container: &str) -> Result<bool, Failure> {
    let question = format!(
        "{} is a liquid. Does oz of a liquid mean fluid ounces in this shop?",
        clean(container)
    );
    let answer = Confirm::new().with_prompt(question).interact_opt();
    answer.map_err(gone)?.ok_or_else(|| {
        let fix = "Write fl oz for a volume.";
        Failure::refused("It is not clear what oz means.", fix, WRITTEN)
    })
}

/// The terminal went away.
pub(super) fn gone(fault: dialoguer::Error) -> Failure {
    let dialoguer::Error::IO(fault) = fault;
    Failure::from(fault)
}
