//! The air of one session in a few short sentences, for a small screen.

use super::air::{of_lel, sum};
use crate::vapour::session::Session;

/// What the session comes to. Every figure is an estimate; what is not known is said.
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
    let about = [
        (
            of_lel(session),
            "of the lower explosive limit at the peak (a quarter of it counts as hazardous)",
        ),
        (
            sum(session.legal),
            "times the legal limits over the worst eight hours",
        ),
        (
            sum(session.short),
            "times the short-term limits over the worst quarter of an hour",
        ),
        (
            sum(session.guide),
            "times the guide values over the worst eight hours",
        ),
    ];
    for (figure, what) in about {
        if let Some(figure) = figure {
            words.push(format!("About {figure} {what}."));
        }
    }
    if words.is_empty() {
        words.push("No limit is known for what was used, so the air is unknown.".into());
    }
    words
}
