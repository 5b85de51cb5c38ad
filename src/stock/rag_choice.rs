//! Which of several batches an entry takes. Its row of rags and its words go in; batches come out in the order in which they are
//! taken, and whether the entry could have meant others. Where it could, the reading is the one that leaves the most danger open.

use super::rag_batch::{RagBatch, count_of, said_clean};
use super::rag_states::{RagChange, RagState, TakeOrder};
use crate::quantity::{Exact, TooFine};
use crate::record::{ContainerId, Location, RagSource, ShopTables};
use std::cmp::Reverse;

/// What an entry says of the rags that it takes.
#[derive(Clone, Copy)]
pub(super) struct RagsWanted<'c> {
    pub changes: &'c [RagChange],
    pub order: TakeOrder,
    /// How many; `None` are all that are meant.
    pub pieces: Option<Exact>,
    pub from: Option<RagSource<u32>>,
    /// Where they go; `None` is nowhere else.
    pub to: Option<Location>,
}

/// The rags that are taken.
pub(super) struct Taken<'c> {
    /// The batches, or parts of them.
    pub parts: Vec<(RagBatch, &'c RagChange)>,
    /// All that the entry could have meant, where that is more than one reading.
    pub could_be: Vec<RagBatch>,
}

/// Too few are there: so many.
pub(super) struct TooFew(pub Exact);

/// A batch that can be taken.
struct Candidate<'c> {
    at: usize,
    change: &'c RagChange,
    /// Only where the others are too few.
    last_resort: bool,
}

impl<'c> RagsWanted<'c> {
    /// Takes the rags out of their row; nothing is taken where there are too few.
    pub fn take(
        &self,
        tables: &ShopTables,
        batches: &mut Vec<RagBatch>,
    ) -> Result<Result<Taken<'c>, TooFew>, TooFine> {
        let mut candidates = self.candidates(tables, batches);
        let there = total(batches, &candidates)?;
        let first: Vec<RagBatch> = candidates
            .iter()
            .filter(|candidate| !candidate.last_resort)
            .filter_map(|candidate| batches.get(candidate.at).cloned())
            .collect();
        let primary = first
            .iter()
            .try_fold(Exact::ZERO, |sum, batch| sum.plus(batch.pieces))?;
        let mut unclear =
            self.is_unclear(&first)? && self.pieces.is_none_or(|wanted| wanted < primary);
        if self.pieces.is_none() {
            candidates.retain(|candidate| {
                let batch = batches.get(candidate.at);
                batch.is_some_and(|batch| self.is_meant(candidate, batch, primary))
            });
            if unclear && self.order != TakeOrder::LongestFirst {
                let meant = candidates.first().and_then(|c| batches.get(c.at)).cloned();
                candidates.retain(|candidate| {
                    let batch = batches.get(candidate.at);
                    batch.zip(meant.as_ref()).is_some_and(|(a, b)| alike(a, b))
                });
            }
        }
        let meant = total(batches, &candidates)?;
        let wanted = self.pieces.unwrap_or(meant);
        if wanted > there || meant.is_zero() {
            return Ok(Err(TooFew(there.min(meant))));
        }
        if unclear && self.order == TakeOrder::LongestFirst {
            candidates.clear();
        }
        unclear &= !first.is_empty();
        let parts = take_parts(batches, &candidates, wanted)?;
        batches.retain(|batch| !batch.pieces.is_zero());
        let mut could_be = if unclear { first } else { Vec::new() };
        if self.order == TakeOrder::UnusedFirst {
            could_be.retain(RagBatch::was_used);
        }
        Ok(Ok(Taken { parts, could_be }))
    }

    /// The batches that the entry can take, in the order in which it does.
    fn candidates(&self, tables: &ShopTables, batches: &[RagBatch]) -> Vec<Candidate<'c>> {
        let states = self.changes.iter().flat_map(|change| {
            let states = change.from.iter();
            states.map(move |state| (*state, change))
        });
        let mut list = Vec::new();
        for (state, change) in states {
            let fits = |batch: &RagBatch| batch.state == state && self.is_named(batch);
            for (at, batch) in batches.iter().enumerate().filter(|(_, batch)| fits(batch)) {
                list.push(Candidate {
                    at,
                    change,
                    last_resort: self.is_last_resort(batch, change),
                });
            }
        }
        let since = |batch: Option<&RagBatch>| batch.and_then(|batch| batch.since);
        match self.order {
            TakeOrder::AsListed => {}
            TakeOrder::UnusedFirst => {
                // Of wet ones, those without oil: if it is oil that they get now, there are more oily rags.
                list.sort_by_key(|candidate| {
                    let batch = batches.get(candidate.at);
                    let was_used = batch.is_some_and(RagBatch::was_used);
                    (
                        was_used,
                        was_used && batch.is_some_and(|it| danger(tables, it).1),
                    )
                });
            }
            TakeOrder::CarriedAsListed | TakeOrder::SoiledAsListed => {
                list.sort_by_key(|candidate| candidate.last_resort);
            }
            TakeOrder::SafestFirst | TakeOrder::SafestFirstOrClean | TakeOrder::AnySafestFirst => {
                list.sort_by_key(|candidate| {
                    let batch = batches.get(candidate.at);
                    let danger = batch.map(|batch| danger(tables, batch));
                    (candidate.last_resort, danger, Reverse(since(batch)))
                });
            }
            TakeOrder::LongestFirst => {
                let since = |candidate: &Candidate<'_>| since(batches.get(candidate.at));
                list.sort_by_key(|candidate| (since(candidate).is_none(), since(candidate)));
            }
        }
        list
    }

    pub fn is_named(&self, batch: &RagBatch) -> bool {
        match self.from {
            None => true,
            Some(RagSource::Clean) => batch.state == RagState::Clean,
            Some(RagSource::Soiled(entry)) => batch.soiled_in == Some(entry),
            Some(RagSource::Place(location)) => match location.place {
                Some(place) => batch.location.place == Some(place),
                None => batch.location.room == location.room,
            },
        }
    }

    fn is_last_resort(&self, batch: &RagBatch, change: &RagChange) -> bool {
        let clean = batch.state == RagState::Clean && self.from != Some(RagSource::Clean);
        // A rag that is spread already is not spread again, nor soaked or binned twice; but it can be moved elsewhere.
        let moves = self.order == TakeOrder::SafestFirstOrClean && self.to != Some(batch.location);
        let stays = change.to.state() == Some(batch.state) && !moves;
        let is_there = stays && self.to == Some(batch.location);
        match self.order {
            TakeOrder::CarriedAsListed | TakeOrder::SoiledAsListed => clean || is_there,
            TakeOrder::SafestFirst | TakeOrder::SafestFirstOrClean => clean || stays,
            TakeOrder::AsListed
            | TakeOrder::UnusedFirst
            | TakeOrder::AnySafestFirst
            | TakeOrder::LongestFirst => false,
        }
    }

    /// Could an entry that names no more than this have meant one batch or another?
    fn is_unclear(&self, first: &[RagBatch]) -> Result<bool, TooFine> {
        let named = self.from.is_some();
        let mut others = first.iter().skip(1);
        let differs = |other: &RagBatch| first.first().is_some_and(|one| !alike(one, other));
        let age_differs =
            |other: &RagBatch| first.first().is_some_and(|one| one.since != other.since);
        Ok(match self.order {
            TakeOrder::AsListed => false,
            // Where wet ones are named, those with one liquid on them or with another may be meant.
            TakeOrder::UnusedFirst => {
                let unused = count_of(first.iter().filter(|it| !it.was_used()))?;
                let mut used = first.iter().filter(|it| it.was_used());
                let one = used.next();
                let others = used.any(|other| one.is_some_and(|one| !alike(one, other)));
                named && others && self.pieces.is_some_and(|wanted| wanted > unused)
            }
            // Without a number, all are carried or spread.
            TakeOrder::CarriedAsListed | TakeOrder::SoiledAsListed => {
                self.pieces.is_some() && others.any(differs)
            }
            TakeOrder::SafestFirst | TakeOrder::SafestFirstOrClean | TakeOrder::AnySafestFirst => {
                others.any(differs)
            }
            TakeOrder::LongestFirst => {
                !named && others.any(|other| differs(other) || age_differs(other))
            }
        })
    }

    /// Does an entry without a number mean this batch?
    fn is_meant(&self, candidate: &Candidate<'_>, batch: &RagBatch, primary: Exact) -> bool {
        match self.order {
            TakeOrder::AsListed
            | TakeOrder::UnusedFirst
            | TakeOrder::CarriedAsListed
            | TakeOrder::AnySafestFirst
            | TakeOrder::LongestFirst => true,
            TakeOrder::SoiledAsListed => batch.state != RagState::Clean,
            TakeOrder::SafestFirst => !candidate.last_resort,
            TakeOrder::SafestFirstOrClean => !candidate.last_resort || primary.is_zero(),
        }
    }
}

/// The same in all that a person could tell them apart by, but for their age.
fn alike(a: &RagBatch, b: &RagBatch) -> bool {
    let on_it = |batch: &RagBatch| {
        let mut soiled_by = batch.soiled_by.clone();
        soiled_by.sort_unstable();
        (soiled_by, batch.soiled_by_unknown)
    };
    (a.state, a.location) == (b.state, b.location) && on_it(a) == on_it(b)
}

/// How dangerous a batch is to leave; what may self-heat comes last.
fn danger(tables: &ShopTables, batch: &RagBatch) -> (u8, bool) {
    let state = match batch.state {
        RagState::Clean => 0,
        RagState::Dry => 1,
        RagState::UnderWater => 2,
        RagState::InCan => 3,
        RagState::InJar => 4,
        RagState::Flat => 5,
        RagState::Wet => 6,
    };
    let harmless = |by: &ContainerId| said_clean(tables, &tables[*by]);
    let heats = batch.soiled_by_unknown || !batch.soiled_by.iter().all(harmless);
    (state, heats)
}

fn total(batches: &[RagBatch], candidates: &[Candidate<'_>]) -> Result<Exact, TooFine> {
    let pieces = candidates.iter().filter_map(|c| batches.get(c.at));
    pieces
        .map(|batch| batch.pieces)
        .try_fold(Exact::ZERO, Exact::plus)
}

fn take_parts<'c>(
    batches: &mut [RagBatch],
    candidates: &[Candidate<'c>],
    wanted: Exact,
) -> Result<Vec<(RagBatch, &'c RagChange)>, TooFine> {
    let (mut left, mut parts) = (wanted, Vec::new());
    for candidate in candidates {
        let Some(batch) = batches.get_mut(candidate.at) else {
            continue;
        };
        let pieces = left.min(batch.pieces);
        if pieces.is_zero() {
            continue;
        }
        left = left.minus(pieces)?;
        batch.pieces = batch.pieces.minus(pieces)?;
        let part = RagBatch {
            pieces,
            ..batch.clone()
        };
        parts.push((part, candidate.change));
    }
    Ok(parts)
}
