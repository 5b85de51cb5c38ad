//! Arguments of `sandarac log`: one word for each kind of entry.

use super::help;
use super::moment::moment as typed;
use super::new_container::NewContainer;
use crate::cli::Failure;
use crate::cli::completions::{actions, containers, places, questions};
use crate::cli::open::WRITTEN;
use crate::quantity::Moment;
use crate::typing::{DayOrder, NOON};
use clap::{Args, Subcommand};
use std::path::PathBuf;

/// `log`.
#[derive(Debug, Args)]
#[command(after_help = help::LOG)]
pub struct LogArgs {
    /// What was done. Without it, the program asks
    #[command(subcommand)]
    pub what: Option<LogWhat>,
    /// What goes with every entry.
    #[command(flatten)]
    pub with: WithArgs,
}

/// What goes with every entry.
#[derive(Debug, Args)]
pub struct WithArgs {
    /// Shop folder. The default is this folder
    #[arg(long, short, global = true, value_name = "FOLDER")]
    pub shop: Option<PathBuf>,
    /// When, such as 5pm, 'yesterday 17:30' or 2026-11-03T10:00. The default is now
    #[arg(long, short = 't', global = true, value_name = "MOMENT")]
    pub when: Option<String>,
    /// Who did it. The default is the name in SANDARAC_BY
    #[arg(long, short, global = true, value_name = "NAME")]
    pub by: Option<String>,
    /// A note
    #[arg(long, short, global = true, value_name = "TEXT")]
    pub note: Option<String>,
    /// Check and show the entry, but do not write it
    #[arg(long, global = true)]
    pub dry_run: bool,
    /// Write it even if a rule is against it, because it has happened
    #[arg(long, global = true)]
    pub anyway: bool,
}

/// The words of the log.
#[derive(Debug, Subcommand)]
#[command(subcommand_value_name = "WORD", subcommand_help_heading = "Words")]
pub enum LogWhat {
    /// Used on the work
    #[command(aliases = ["used", "applied", "used-up"])]
    Use {
        /// From which container
        #[arg(add = containers())]
        container: String,
        /// How much, such as '6 fl oz'
        amount: String,
        /// Minutes of work, for the air of the room
        #[arg(long, short, value_name = "MINUTES")]
        minutes: Option<String>,
        /// Where, if not at the place of the container
        #[arg(long, short, value_name = "PLACE", add = places())]
        place: Option<String>,
    },
    /// Poured into another container to make a mixture
    #[command(aliases = ["mixed", "add", "added"])]
    Mix(PourArgs),
    /// Poured into another container of the same product
    #[command(aliases = ["decanted", "pour", "poured", "poured-off", "refill", "refilled", "fill", "filled"])]
    Decant(PourArgs),
    /// Bought or brought in
    #[command(aliases = ["received", "bought", "buy", "got", "brought-in", "delivered"])]
    Receive {
        /// Which container
        #[arg(add = containers())]
        container: String,
        /// How much
        amount: String,
        /// A new container.
        #[command(flatten)]
        new: NewContainer,
    },
    /// Moved to another place
    #[command(aliases = ["moved"])]
    Move {
        /// Which container
        #[arg(add = containers())]
        container: String,
        /// The new place
        #[arg(add = places())]
        place: String,
        /// Which of them: a place, clean, or the entry that soiled them, such as 'entry 57'
        #[arg(long, short, value_name = "PLACE", add = places())]
        from: Option<String>,
    },
    /// Opened for the first time
    #[command(aliases = ["opened"])]
    Open {
        /// Which container
        #[arg(add = containers())]
        container: String,
    },
    /// Tested: pass, retest or fail. For a glass test, minutes will do
    #[command(aliases = ["tested"])]
    Test {
        /// Which container
        #[arg(add = containers())]
        container: String,
        /// pass, retest or fail. Not needed for a glass test with minutes
        result: Option<String>,
        /// How many rags, if not all of them
        #[arg(long, value_name = "PIECES")]
        amount: Option<String>,
        /// Which test: glass, nail, water, solubility, residue, cure, look, can. For rags: dry
        #[arg(long, value_name = "TEST")]
        test: Option<String>,
        /// Minutes until a thin film on glass was dry
        #[arg(long, short, value_name = "MINUTES")]
        minutes: Option<String>,
        /// Which of them: a place, clean, or the entry that soiled them, such as 'entry 57'
        #[arg(long, short, value_name = "PLACE", add = places())]
        from: Option<String>,
    },
    /// Counted: this much is there
    #[command(aliases = ["counted", "measured", "measure", "weighed"])]
    Count {
        /// Which container
        #[arg(add = containers())]
        container: String,
        /// How much is there
        amount: String,
    },
    /// Discarded as waste
    #[command(aliases = ["discarded", "threw-out", "throw-out", "thrown-out", "threw-away", "throw-away", "disposed", "disposed-of", "tossed"])]
    Discard {
        /// Which container
        #[arg(add = containers())]
        container: String,
        /// How much. The default is all
        amount: Option<String>,
        /// Which of them: a place, clean, or the entry that soiled them, such as 'entry 57'
        #[arg(long, short, value_name = "PLACE", add = places())]
        from: Option<String>,
        /// Rags that leave the building as hazardous waste
        #[arg(long)]
        hazardous_waste: bool,
    },
    /// Rags or pads with finish on them
    #[command(aliases = ["soiled", "dirtied"])]
    Soil {
        /// Which rags
        #[arg(add = containers())]
        container: String,
        /// How many, such as '3 pcs'
        amount: String,
        /// With what. Unknown counts as a drying oil
        #[arg(add = containers())]
        with: Option<String>,
        /// Where they are
        #[arg(long, short, value_name = "PLACE", add = places())]
        place: Option<String>,
        /// Which wet ones were used again: a place, or the entry that soiled them, such as 'entry 57'
        #[arg(long, short, value_name = "PLACE", add = places())]
        from: Option<String>,
        /// Where they are put away at once: a rag can, a water can, or outdoors
        #[arg(long, value_name = "PLACE", add = places())]
        then: Option<String>,
    },
    /// Rags laid flat outdoors in one layer
    #[command(aliases = ["laid-out", "hung", "hung-up"])]
    Spread(PutArgs),
    /// Rags put under water in a lidded metal can
    #[command(aliases = ["soaked"])]
    Soak(PutArgs),
    /// Rags put into the oily-waste can
    #[command(aliases = ["binned"])]
    Bin(PutArgs),
    /// Rags put away: into the rag can, under water, or flat outdoors, as the place is
    #[command(aliases = ["put-away", "stowed"])]
    Put(PutArgs),
    /// A can emptied out of the building
    #[command(aliases = ["emptied"])]
    Empty {
        /// Which can
        #[arg(add = places())]
        place: String,
    },
    /// Correct an earlier entry, or take it back
    #[command(aliases = ["corrected", "fix"])]
    Correct {
        /// The number of the entry in log.csv
        entry: String,
        /// The right container
        #[arg(long, value_name = "CONTAINER", add = containers())]
        container: Option<String>,
        /// The right amount
        #[arg(long, value_name = "AMOUNT")]
        amount: Option<String>,
        /// The right place
        #[arg(long, short, value_name = "PLACE", add = places())]
        place: Option<String>,
        /// The right minutes
        #[arg(long, value_name = "MINUTES")]
        minutes: Option<String>,
        /// It never happened
        #[arg(long, conflicts_with_all = ["container", "amount", "place", "minutes", "from"])]
        void: bool,
        /// Which of them: a place, clean, or the entry that soiled them, such as 'entry 57'
        #[arg(long, short, value_name = "PLACE", add = places())]
        from: Option<String>,
    },
    /// Answer a question of the round. `log check all yes` answers those of closing time
    Check {
        /// The question, such as lids-closed, or all
        #[arg(add = questions())]
        question: String,
        /// yes, no or not present
        answer: String,
        /// What it is about: a room or a place
        #[arg(add = places())]
        about: Option<String>,
    },
    /// Write down what a person will fix
    #[command(aliases = ["promise"])]
    Action {
        /// What is to be done
        what: String,
        /// The rule whose finding it answers
        #[arg(long, value_name = "RULE")]
        rule: Option<String>,
        /// The thing that the finding is about
        #[arg(long, value_name = "NAME")]
        subject: Option<String>,
        /// Who does it. The default is the person who logs it
        #[arg(long, value_name = "NAME")]
        who: Option<String>,
        /// By which day, such as 3 Dec, friday or 2026-12-03
        #[arg(long, value_name = "DAY")]
        due: Option<String>,
    },
    /// Sign off an action that is done
    Done {
        /// Its name in actions.csv
        #[arg(add = actions())]
        action: String,
        /// It is open again
        #[arg(long)]
        reopen: bool,
    },
    /// Record a fact about a room, place, product, container, fixture or the shop, such as a flash point
    #[command(aliases = ["recorded", "set"])]
    #[command(
        after_help = help::RECORD
    )]
    Record {
        /// What it is about: a name of the tables, or shop, authority, limit, target or bench for shop.toml
        name: String,
        /// The column of the table and the value, such as flash_point '104 F'. Repeat them for more
        #[arg(required = true, num_args = 2.., value_names = ["COLUMN", "VALUE"])]
        facts: Vec<String>,
        /// The table, where the name can stand in several. A name that it lacks gets a new row
        #[arg(long, value_name = "TABLE")]
        table: Option<String>,
    },
    /// Take back the last action
    Undo {
        /// Which entry or question, if not the last
        entry: Option<String>,
    },
    /// Bring back rows that another program removed from log.csv or checks.csv
    Restore,
    /// Accept a finding until a day, or a table that was changed on purpose; --note says why
    #[command(
        after_help = help::ACCEPT
    )]
    Accept {
        /// The rule of the finding, or a table: log.csv or checks.csv
        #[arg(value_name = "RULE or TABLE")]
        what: String,
        /// What the finding is about
        subject: Option<String>,
        /// The last day on which the finding is accepted
        #[arg(long, value_name = "DAY", requires = "subject")]
        until: Option<String>,
        /// Do not accept the finding any longer
        #[arg(long, requires = "subject", conflicts_with = "until")]
        withdraw: bool,
    },
}

/// What is poured, and into which container.
#[derive(Debug, Args)]
pub struct PourArgs {
    /// From which container
    #[arg(add = containers())]
    pub container: String,
    /// How much
    pub amount: String,
    /// Into which container
    #[arg(add = containers())]
    pub into: String,
    /// A new jar.
    #[command(flatten)]
    pub new: NewContainer,
}

/// Rags, and where they are put.
#[derive(Debug, Args)]
pub struct PutArgs {
    /// Which rags
    #[arg(add = containers())]
    pub container: String,
    /// Where
    #[arg(add = places())]
    pub place: String,
    /// How many. The default is all wet rags
    pub amount: Option<String>,
    /// Which of them: a place, clean, or the entry that soiled them, such as 'entry 57'
    #[arg(long, short, value_name = "PLACE", add = places())]
    pub from: Option<String>,
}

impl WithArgs {
    /// The moment of `--when`, if it is given.
    pub fn moment(&self, now: Moment, order: DayOrder) -> Result<Option<Moment>, Failure> {
        let when = self.when.as_deref();
        when.map(|text| typed(text, now, order, NOON))
            .transpose()
            .map_err(|(wrong, fix)| Failure::refused(wrong, fix, WRITTEN))
    }

    /// Who did it.
    pub fn person(&self) -> String {
        let device = || std::env::var("SANDARAC_BY").unwrap_or_default();
        self.by.clone().unwrap_or_else(device)
    }

    /// The moment now: the only look at the clock of this command.
    pub fn now() -> Moment {
        Moment::now()
    }
}
