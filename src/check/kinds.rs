//! The closed list of kinds.

use super::kind::CheckKind;
use super::{
    air_at_least, answers_in_order, apart_at_least, count_agrees, dilution_at_least, due_within,
    each_at_most, exposure_at_most, flash_agrees, kept_within, must_have, never_together,
    not_in_place, product_agrees, rags_secured, rags_thrown_out, total_at_most, within_capacity,
    within_reach,
};
use crate::pack::Rule;

/// The kind of check of a rule, if there is such a kind.
pub fn kind_of(rule: &Rule) -> Option<&'static CheckKind> {
    let mut kinds = KINDS.iter().copied();
    kinds.find(|kind| kind.name.eq_ignore_ascii_case(&rule.check.value))
}

/// Every kind there is. Documentation, binding and tests derive from this list.
pub static KINDS: &[&CheckKind] = &[
    &total_at_most::KIND,
    &each_at_most::KIND,
    &air_at_least::KIND,
    &dilution_at_least::KIND,
    &exposure_at_most::KIND,
    &kept_within::KIND,
    &due_within::KIND,
    &must_have::KIND,
    &not_in_place::KIND,
    &never_together::KIND,
    &apart_at_least::KIND,
    &within_reach::KIND,
    &rags_secured::KIND,
    &rags_thrown_out::KIND,
    &count_agrees::KIND,
    &product_agrees::KIND,
    &within_capacity::KIND,
    &flash_agrees::KIND,
    &answers_in_order::KIND,
];
