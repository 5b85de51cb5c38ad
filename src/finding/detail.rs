//! What a check saw besides the two numbers it compared, as data. The words for it are made in the report.

use crate::quantity::{Day, Exact, Moment};
use crate::stock::RagState;

/// What a sentence about a finding needs to know.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Detail {
    /// The two numbers say it all.
    #[default]
    Numbers,
    /// Rags or pads as they are at the close of the day.
    Rags {
        how: RagsAre,
        pieces: Exact,
        /// The place or room.
        place: String,
        /// Since when, if that is known.
        since: Option<Moment>,
        /// Minutes since then.
        minutes: Option<i64>,
        /// Nights since then.
        nights: i64,
    },
    /// Self-heating rags that stayed loose or in the can overnight, though they are put away by now.
    PastNights {
        /// In the can, and not loose.
        in_can: bool,
        pieces: Exact,
        /// The place or room.
        place: String,
        nights: i64,
        /// When they were put away.
        until: Moment,
    },
    /// Soiled rags that a count did not find.
    RagsMissing {
        pieces: Exact,
        /// Where they were last.
        place: String,
        /// When the count did not find them.
        until: Moment,
    },
    /// Self-heating rags that were discarded before they were hard and dry.
    RagsDiscarded {
        pieces: Exact,
        place: String,
        /// When they were discarded.
        when: Moment,
    },
    /// Whether a container has a label.
    Label,
    /// Whether a cabinet or can is listed.
    Listing,
    /// Whether sprinklers protect a room.
    Sprinklers,
    /// The data sheet of this product.
    DataSheet(String),
    /// Whether a room or shop has a fixture of one of these kinds.
    Fixture(Vec<&'static str>),
    /// The last answer to a question of the round.
    Answered {
        question: String,
        /// The day of the answer.
        day: Day,
    },
    /// A question of the round without an answer that still counts.
    Unanswered {
        question: String,
        /// The day of the last answer, if there is one.
        last: Option<Day>,
    },
    /// When something that is repeated was last done.
    LastDone {
        /// The question of the round that records it.
        question: String,
        /// The day it was last done.
        day: Day,
    },
    /// The days since the first rag went into a can.
    CanFilled,
    /// Where a container is.
    Located(String),
    /// Containers that must not be together.
    Together {
        /// One side.
        these: Vec<String>,
        /// The other side.
        those: Vec<String>,
    },
    /// Containers of a kind of which only one is allowed.
    Several(Vec<String>),
    /// The nearest thing that a distance is measured to.
    DistanceTo(String),
    /// A thing in a room so small that the distance can be no more than what is shown.
    AtMostFrom(String),
    /// The fixture that a walk is measured to.
    WalkTo(String),
    /// The fixture that hangs nearer than it may.
    TooNear(String),
    /// A finish that failed its test.
    FailedTest { test: &'static str, day: Day },
    /// The maker's use-by date.
    UseBy(Day),
    /// The days of a shelf life.
    Shelf {
        /// To be tested from this day.
        test_from: Option<Day>,
        /// Good until this day.
        good_until: Option<Day>,
    },
    /// A count that did not agree with the book.
    Counted {
        /// The day of the count.
        day: Day,
        /// Less was there than the book says.
        is_short: bool,
    },
    /// The day on which a container was filled beyond its size.
    Filled(Day),
    /// The size of one container.
    Size,
    /// What one container holds.
    Content,
    /// What is stored together.
    Total,
    /// The airflow of an exhaust.
    Exhaust,
    /// A session of work and the air.
    Session {
        air: AirLimit,
        /// When the work began.
        when: Moment,
        /// The exhaust that would have kept it within the limit: value and unit.
        exhaust: Option<String>,
        /// The share of the amount used that would have kept it within the limit, in percent.
        share: Option<i64>,
    },
}

/// How a batch of rags or pads is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RagsAre {
    /// Loose, and with something on them that self-heats.
    LooseSelfHeating,
    /// Loose, with a solvent on them that does not self-heat.
    LooseSolvent,
    /// In a listed can.
    InCan,
    /// In a closed jar for pads.
    InJar,
    /// Flat outdoors, under water, or dry.
    Secured(RagState),
}

/// Which limit a session is held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AirLimit {
    /// A share of the lower explosive limit.
    Explosive,
    /// Legal limits for eight hours.
    Legal,
    /// Recommended limits for eight hours.
    Recommended,
    /// Limits for fifteen minutes.
    ShortTerm,
    /// The same for those limits alone that are law.
    LegalShortTerm,
}
