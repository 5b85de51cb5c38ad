//! Sentences about rags: where they are, how long, and what to do with them. No word here calls a rag safe.

use super::Wording;
use super::name::{UNKNOWN_PLACE, join};
use super::when::{count, duration};
use crate::finding::{Detail, Finding, RagsAre};
use crate::quantity::when::short_moment;
use crate::quantity::{Exact, pieces_together};
use crate::record::Vessel;
use crate::stock::{RagBatch, RagState};
use crate::text::{capital, clean, the};

impl Wording<'_> {
    pub(super) fn rags(&self, finding: &Finding) -> String {
        if let Detail::PastNights {
            in_can,
            pieces,
            place,
            nights,
            until,
        } = &finding.detail
        {
            return format!(
                "{} stayed{} {} for {}, until {}.",
                count_of(*pieces, "oily rag"),
                if *in_can {
                    String::new()
                } else {
                    format!(" {}", RagState::Wet.words().state)
                },
                self.at_place(place),
                count(*nights, "night"),
                short_moment(*until, self.on, self.us())
            );
        }
        if let Detail::RagsMissing {
            pieces,
            place,
            until,
        } = &finding.detail
        {
            return format!(
                "{} from {} {} missing since the count of {}.",
                count_of(*pieces, "soiled rag"),
                the(place),
                number(*pieces).1,
                short_moment(*until, self.on, self.us())
            );
        }
        if let Detail::RagsDiscarded {
            pieces,
            place,
            when,
        } = &finding.detail
        {
            return format!(
                "{} from {} {} discarded before drying, on {}.",
                count_of(*pieces, "oily rag"),
                the(place),
                if *pieces == Exact::ONE { "was" } else { "were" },
                short_moment(*when, self.on, self.us())
            );
        }
        self.rags_now(&finding.detail)
    }

    fn rags_now(&self, detail: &Detail) -> String {
        let Detail::Rags {
            how,
            pieces,
            place,
            minutes,
            nights,
            ..
        } = detail
        else {
            return String::new();
        };
        let rags = count_of(*pieces, "rag");
        let (have, are) = number(*pieces);
        let (at, loose) = (self.at_place(place), RagState::Wet.words().state);
        match how {
            RagsAre::LooseSelfHeating => {
                let rags = count_of(*pieces, "oily rag");
                let age = minutes.map_or_else(
                    || "since an unknown time".to_string(),
                    |minutes| format!("for {}", duration(minutes)),
                );
                format!("{rags} {have} been {loose} {at} {age}.")
            }
            RagsAre::LooseSolvent => {
                format!("{rags} with solvent {are} {loose} {at}. The vapor burns.")
            }
            RagsAre::InCan if *nights > 0 => {
                format!("{rags} {have} been {at} for {}.", count(*nights, "night"))
            }
            RagsAre::InCan => format!("{rags} {are} {at}."),
            RagsAre::InJar => {
                let pads = count_of(*pieces, "oily pad");
                format!("{pads} {are} {at}. Outside the jar they are oily rags.")
            }
            RagsAre::Secured(state) => {
                let words = state.words();
                let text = format!("{rags} {are} {} {at}. {}", words.state, words.caution);
                text.trim_end().to_string()
            }
        }
    }

    /// A batch of rags or pads by its place: "On the bench: 2 rags, wet and loose, since 31 Oct, 5:30 pm."
    pub fn rags_at_place(&self, batch: &RagBatch, vessel: Option<Vessel>) -> String {
        let place = self.tables.location_name(batch.location);
        let at = self.at_place(place.as_deref().unwrap_or(UNKNOWN_PLACE));
        let pad = vessel == Some(Vessel::Pad);
        let since = batch.since.map_or_else(
            || "an unknown time".to_string(),
            |since| short_moment(since, self.on, self.us()),
        );
        let (pieces, state) = (
            count_of(batch.pieces, if pad { "pad" } else { "rag" }),
            batch.state.words().state,
        );
        clean(&format!(
            "{}: {pieces}, {state}, since {since}.",
            capital(&at)
        ))
    }

    /// Loose rags without their age at the end of the day, for a person who logs an entry before that.
    pub fn loose_now(&self, finding: &Finding) -> Option<String> {
        let Detail::Rags {
            how: RagsAre::LooseSelfHeating,
            pieces,
            place,
            ..
        } = &finding.detail
        else {
            return None;
        };
        let (rags, at) = (count_of(*pieces, "oily rag"), self.at_place(place));
        let loose = RagState::Wet.words().state;
        Some(format!("{rags} {} {loose} {at}.", number(*pieces).1))
    }

    /// Loose rags, those at one place in one sentence with the longest age; two places are named.
    pub(super) fn loose_rags(&self, findings: &[&Finding]) -> String {
        const MOST_PLACES: usize = 2;
        let mut places: Vec<(&str, Vec<&Finding>)> = Vec::new();
        for finding in findings {
            let Detail::Rags { place, .. } = &finding.detail else {
                continue;
            };
            match places.iter_mut().find(|(there, _)| there == place) {
                Some((_, list)) => list.push(finding),
                None => places.push((place, vec![finding])),
            }
        }
        let sentences = places.iter().take(MOST_PLACES).map(|(place, list)| {
            if let [only] = list.as_slice() {
                return self.fact(only);
            }
            let (mut total, mut oldest, mut is_known) = (Exact::ZERO, 0, true);
            for finding in list {
                if let Detail::Rags {
                    pieces, minutes, ..
                } = &finding.detail
                {
                    total = pieces_together([total, *pieces]);
                    oldest = oldest.max(minutes.unwrap_or(0));
                    is_known &= minutes.is_some();
                }
            }
            let age = match is_known {
                true => format!("for up to {}", duration(oldest)),
                false => "since an unknown time".to_string(),
            };
            let (rags, at) = (count_of(total, "oily rag"), self.at_place(place));
            let loose = RagState::Wet.words().state;
            format!("{rags} {} been {loose} {at} {age}.", number(total).0)
        });
        sentences.collect::<Vec<_>>().join(" ")
    }

    /// What to do with rags; those that are loose in several places make one task.
    pub(super) fn rag_task(&self, findings: &[&Finding]) -> String {
        let mut places: Vec<String> = Vec::new();
        let mut total = Exact::ZERO;
        for finding in findings {
            if let Detail::Rags {
                how: RagsAre::LooseSelfHeating,
                pieces,
                place,
                ..
            } = &finding.detail
            {
                let at = self.at_place(place);
                if !places.contains(&at) {
                    places.push(at);
                }
                total = pieces_together([total, *pieces]);
            }
        }
        if !places.is_empty() {
            let (it, rags) = (pronoun(total), the_rags(total, "oily"));
            return format!(
                "Put {rags} {} under water or lay {it} flat outdoors. Do this now.",
                join(&places)
            );
        }
        let Some(Detail::Rags {
            how, pieces, place, ..
        }) = findings.first().map(|finding| &finding.detail)
        else {
            return String::new();
        };
        match how {
            RagsAre::InCan => format!(
                "Empty {} and take the rags out of the building.",
                the(place)
            ),
            RagsAre::InJar => format!("Keep {} closed.", the(place)),
            RagsAre::LooseSelfHeating | RagsAre::LooseSolvent => format!(
                "Put {} {} into the listed can.",
                the_rags(*pieces, "wet"),
                self.at_place(place)
            ),
            RagsAre::Secured(state) => state.words().at_closing.into(),
        }
    }
}

/// "1 oily rag", "3 oily rags".
pub(super) fn count_of(pieces: Exact, thing: &str) -> String {
    if pieces == Exact::ONE {
        format!("1 {thing}")
    } else {
        format!("{} {thing}s", pieces.digits())
    }
}

fn number(pieces: Exact) -> (&'static str, &'static str) {
    if pieces == Exact::ONE {
        ("has", "is")
    } else {
        ("have", "are")
    }
}

pub(super) fn the_rags(pieces: Exact, how: &str) -> String {
    if pieces == Exact::ONE {
        format!("the {how} rag")
    } else {
        format!("the {}", count_of(pieces, &format!("{how} rag")))
    }
}

fn pronoun(pieces: Exact) -> &'static str {
    if pieces == Exact::ONE { "it" } else { "them" }
}
