//! What a pack holds, once it is read.

use super::about::{PackAbout, SourceDocument};
use super::classes::Scheme;
use super::rule::Rule;
use std::collections::BTreeMap;

/// A pack that read cleanly.
#[derive(Clone, Debug)]
pub struct Pack {
    pub id: String,
    pub about: PackAbout,
    /// The documents it rests on.
    pub sources: BTreeMap<String, SourceDocument>,
    /// Its classes of liquids, if it has any.
    pub scheme: Option<Scheme>,
    /// Its rules, by id, with those that it adopts.
    pub rules: Vec<Rule>,
    /// Tables of questions that it adds to the round, in the columns of `data/checks.csv`: name and text of each. They are
    /// text, since a pack outlives the files that it was read from.
    pub questions: Vec<(String, Vec<u8>)>,
}
