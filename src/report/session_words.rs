//! The air of one session in a few short sentences, for a small screen.

use super::air::of_lel;
use crate::vapour::percent;
use crate::vapour::session::Session;
use crate::vapour::shown::figures_against;

/// All of a limit, in per cent.
const WHOLE: f64 = 100.0;

/// What the session comes to. Every figure is an estimate; what is unknown is said.
pub fn session_words(session: &Session) -> Vec<String> {
    if let Some(gap) = &session.gap {
        return vec![format!("The air of this session is unknown: {gap}.")];
    }
    let mut words = Vec::new();
    if session.minutes_missing {
        words.push(
            "Some minutes of work are not recorded, so the figures take the worst case.".into(),
        );
    }
    words.extend(of_lel(session).map(|share| {
        format!("{share} of the lower explosive limit at the peak; from 25 % on it is hazardous.")
    }));
    let sums = [
        (
            session.all.legal,
            "of the legal limits over the worst eight hours.",
        ),
        (
            session.all.short_legal,
            "of the legal short-term limits over the worst 15 minutes.",
        ),
        (
            session.all.short,
            "of the short-term limits over the worst 15 minutes.",
        ),
        (
            session.all.guide,
            "of the guide values over the worst eight hours.",
        ),
    ];
    for (sum, what) in sums {
        words.extend(sum.map(|sum| format!("{} % {what}", figures_against(percent(sum), WHOLE))));
    }
    if words.is_empty() {
        words.push("No limit is known for what was used, so the air is unknown.".into());
    }
    words
}
