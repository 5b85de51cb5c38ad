//! The words for each state of a rag: one table, to be checked by reading it. Every screen and report picks its words from here,
//! so that a state has the same name everywhere. No word calls a rag safe, and none suggests that a number of rags or of hours is.
//! Each text fits one rag and several.

use super::rag_states::RagState;

/// Where a rag with drying oil goes. Water in a lidded metal can and flat outdoors are what fire services advise; a can for oily
/// waste keeps a fire in, but what is in it overnight is still in the building. (Sources: `oily-rag-advice` in the pack `trade`,
/// and the daily emptying that 29 CFR 1910.107(g)(3) and the model fire code ask for.)
pub const PUT_AWAY: &str = "put it under water in a lidded metal can, or lay it flat outdoors in one layer, away from the building. \
                            Use a listed oily-waste can only if you empty it out of the building the same day.";

/// The words for a state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RagWords {
    /// The state itself, as it follows a number of rags.
    pub state: &'static str,
    /// What else is true of it, in a sentence; empty where that depends on what is on the rag.
    pub caution: &'static str,
    /// What a person who walks the round should find.
    pub should_be: &'static str,
    /// What to do at closing time.
    pub at_closing: &'static str,
}

impl RagState {
    /// The words for it.
    pub fn words(self) -> RagWords {
        let (state, caution, should_be, at_closing) = match self {
            RagState::Clean => ("clean", "", "each one unused", ""),
            RagState::Wet => (
                "wet and loose",
                "",
                "none may be here: put it under water in a lidded metal can or flat outdoors now",
                PUT_AWAY,
            ),
            RagState::Flat => (
                "flat outdoors",
                "Each one counts as wet until a logged test finds it hard and dry.",
                "in one layer, clear of the building",
                "Leave it in one layer, weighted, out of the sun. When it is hard and dry, log the test.",
            ),
            RagState::UnderWater => (
                "under water",
                "This is only a pause: out of the water each one can start to heat again.",
                "covered by water, with a tight lid",
                "Keep it covered with water and the lid on until it leaves the building.",
            ),
            RagState::InCan => (
                "in the oily-waste can",
                "The can must be emptied out of the building the same day.",
                "lid shut, and the can emptied out of the building today",
                "Take its contents out of the building today, and log it. Empty even a listed can every day.",
            ),
            RagState::InJar => (
                "in the pad jar",
                "The jar counts as a container of flammable liquid. Outside it, a pad with oil on it is an oily rag.",
                "lid tight; a pad with oil on it never dries in a heap",
                "Keep the jar closed and labeled. Put a used-up pad under water or flat outdoors, never in the trash.",
            ),
            RagState::Dry => (
                "hard and dry",
                "A test found each one so.",
                "each one hard throughout",
                "Take it out of the building, or put it under water until it is collected.",
            ),
        };
        RagWords {
            state,
            caution,
            should_be,
            at_closing,
        }
    }
}

impl RagWords {
    /// The state, and after it what else is true: "flat outdoors. Each one counts as wet until a logged test finds it hard and dry."
    pub fn with_caution(self) -> String {
        match self.caution {
            "" => self.state.to_string(),
            caution => format!("{}. {caution}", self.state),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::RagState;
    use std::collections::BTreeSet;

    const STATES: [RagState; 7] = [
        RagState::Clean,
        RagState::Wet,
        RagState::Flat,
        RagState::UnderWater,
        RagState::InCan,
        RagState::InJar,
        RagState::Dry,
    ];

    #[test]
    fn each_state_has_words_of_its_own_and_none_calls_a_rag_safe() {
        let names: BTreeSet<&str> = STATES.iter().map(|state| state.words().state).collect();
        assert_eq!(names.len(), STATES.len());
        for state in STATES {
            let words = state.words();
            let all = [
                words.state,
                words.caution,
                words.should_be,
                words.at_closing,
            ]
            .join(" ");
            for wrong in ["safe", "secure", "harmless"] {
                assert!(!all.contains(wrong), "{all}");
            }
        }
    }

    #[test]
    fn a_can_for_oily_waste_is_named_with_its_condition() {
        let wet = RagState::Wet.words().at_closing;
        assert!(wet.contains(
            "listed oily-waste can only if you empty it out of the building the same day"
        ));
        let can = RagState::InCan.words();
        assert!(
            can.caution
                .contains("emptied out of the building the same day")
        );
        assert!(can.should_be.contains("emptied out of the building today"));
    }
}
