//! Statements that several reports make in the same words.

/// Said where nothing is to be done.
pub(super) const NOTHING_OPEN: &str =
    "Nothing that your rules require is open. This does not show that a rag or a room is safe.";
/// Said where there is no open finding.
pub(super) const NO_FINDING: &str = "No finding needs action. This covers only the rules in use and what was recorded. It does not show that a rag or a room is \
     safe.";
/// What every report says at its head.
pub(super) const SCREENING: &str = "This is a screening aid, not a certificate. Your local authority, the data sheet of each product and a licensed \
     professional come first. Nothing here shows that a room or a pile of oily rags is safe.";
