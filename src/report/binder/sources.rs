//! What a binder is made of.

use super::retention::KeptRecord;
use crate::audit::Audit;
use crate::report::view::View;
use crate::stock::Daybook;

/// A table in the binder, copied as it was read.
pub struct Copied {
    /// Its name, as evidence names it.
    pub name: String,
    pub bytes: u64,
}

/// The photo of an answer.
pub struct BinderPhoto {
    /// The id of the answer.
    pub id: String,
    /// Where it lies, seen from the page.
    pub link: String,
}

/// All that the binder is made of.
pub struct BinderSources<'a> {
    /// What every report shows.
    pub view: &'a View<'a>,
    pub audit: &'a Audit<'a>,
    /// The entries of the last twelve months; none where the shop has no log.
    pub daybook: Option<&'a Daybook>,
    /// Which records are kept, and for how long.
    pub records: &'a [KeptRecord],
    /// The tables in the binder.
    pub copies: &'a [Copied],
    /// The photos of answers.
    pub photos: &'a [BinderPhoto],
}
