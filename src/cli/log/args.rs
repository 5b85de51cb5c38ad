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
    Use(UseArgs),
    /// Poured into another container to make a mixture
    #[command(aliases = ["mixed", "add", "added"])]
    Mix(PourArgs),
    /// Poured into another container of the same product
    #[command(aliases = ["decanted", "pour", "poured", "poured-off", "refill", "refilled", "fill", "filled"])]
    Decant(PourArgs),
    /// Bought or brought in
    #[command(aliases = ["received", "bought", "buy", "got", "brought-in", "delivered"])]
    Receive(ReceiveArgs),
    /// Moved to another place
    #[command(aliases = ["moved"])]
    Move(MoveArgs),
    /// Opened for the first time
    #[command(aliases = ["opened"])]
    Open {
        /// Which container
        #[arg(add = containers())]
        container: String,
    },
    /// Tested: pass, retest or fail. For a glass test, minutes will do
    #[command(aliases = ["tested"])]
    Test(TestArgs),
    /// Counted: this much is there
    #[command(aliases = ["counted", "measured", "measure", "weighed"])]
    Count(CountArgs),
    /// Discarded as waste
    #[command(aliases = ["discarded", "threw-out", "throw-out", "thrown-out", "threw-away", "throw-away", "disposed", "disposed-of", "tossed"])]
    Discard(DiscardArgs),
    /// Rags or pads with finish on them
    #[command(aliases = ["soiled", "dirtied"])]
    Soil(SoilArgs),
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
    Correct(CorrectArgs),
    /// Answer a question of the round. `log check all yes` answers those of closing time
    Check(CheckArgs),
    /// Write down what a person will fix
    #[command(aliases = ["promise"])]
    Action(ActionArgs),
    /// Sign off an action that is done
    Done(DoneArgs),
    /// Record a fact about a room, place, product, container, fixture or the shop, such as a flash point
    #[command(aliases = ["recorded", "set"])]
    #[command(
        after_help = help::RECORD
    )]
    Record(RecordArgs),
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
    Accept(AcceptArgs),
}

/// A use.
#[derive(Debug, Args)]
pub struct UseArgs {
    /// From which container
    #[arg(add = containers())]
    pub container: String,
    /// How much, such as '6 fl oz'
    pub amount: String,
    /// Minutes of work, for the air of the room
    #[arg(long, short, value_name = "MINUTES")]
    pub minutes: Option<String>,
    /// Where, if not at the place of the container
    #[arg(long, short, value_name = "PLACE", add = places())]
    pub place: Option<String>,
}

/// What was brought in.
#[derive(Debug, Args)]
pub struct ReceiveArgs {
    /// Which container
    #[arg(add = containers())]
    pub container: String,
    /// How much
    pub amount: String,
    /// A new container.
    #[command(flatten)]
    pub new: NewContainer,
}

/// What was moved.
#[derive(Debug, Args)]
pub struct MoveArgs {
    /// Which container
    #[arg(add = containers())]
    pub container: String,
    /// The new place
    #[arg(add = places())]
    pub place: String,
    /// Which of them: a place, clean, or the entry that soiled them, such as 'entry 57'
    #[arg(long, short, value_name = "PLACE", add = places())]
    pub from: Option<String>,
}

/// A test.
#[derive(Debug, Args)]
pub struct TestArgs {
    /// Which container
    #[arg(add = containers())]
    pub container: String,
    /// pass, retest or fail. Not needed for a glass test with minutes
    pub result: Option<String>,
    /// How many rags, if not all of them
    #[arg(long, value_name = "PIECES")]
    pub amount: Option<String>,
    /// Which test: glass, nail, water, solubility, residue, cure, look, can. For rags: dry
    #[arg(long, value_name = "TEST")]
    pub test: Option<String>,
    /// Minutes until a thin film on glass was dry
    #[arg(long, short, value_name = "MINUTES")]
    pub minutes: Option<String>,
    /// Which of them: a place, clean, or the entry that soiled them, such as 'entry 57'
    #[arg(long, short, value_name = "PLACE", add = places())]
    pub from: Option<String>,
}

/// What was counted.
#[derive(Debug, Args)]
pub struct CountArgs {
    /// Which container
    #[arg(add = containers())]
    pub container: String,
    /// How much is there
    pub amount: String,
}

/// What was discarded.
#[derive(Debug, Args)]
pub struct DiscardArgs {
    /// Which container
    #[arg(add = containers())]
    pub container: String,
    /// How much. The default is all
    pub amount: Option<String>,
    /// Which of them: a place, clean, or the entry that soiled them, such as 'entry 57'
    #[arg(long, short, value_name = "PLACE", add = places())]
    pub from: Option<String>,
    /// Rags that leave the building as hazardous waste
    #[arg(long)]
    pub hazardous_waste: bool,
}

/// Rags that finish got on.
#[derive(Debug, Args)]
pub struct SoilArgs {
    /// Which rags
    #[arg(add = containers())]
    pub container: String,
    /// How many, such as '3 pcs'
    pub amount: String,
    /// With what. Unknown counts as a drying oil
    #[arg(add = containers())]
    pub with: Option<String>,
    /// Where they are
    #[arg(long, short, value_name = "PLACE", add = places())]
    pub place: Option<String>,
    /// Which wet ones were used again: a place, or the entry that soiled them, such as 'entry 57'
    #[arg(long, short, value_name = "PLACE", add = places())]
    pub from: Option<String>,
    /// Where they are put away at once: a rag can, a water can, or outdoors
    #[arg(long, value_name = "PLACE", add = places())]
    pub then: Option<String>,
}

/// An entry, and what is right.
#[derive(Debug, Args)]
pub struct CorrectArgs {
    /// The number of the entry in log.csv
    pub entry: String,
    /// The right container
    #[arg(long, value_name = "CONTAINER", add = containers())]
    pub container: Option<String>,
    /// The right amount
    #[arg(long, value_name = "AMOUNT")]
    pub amount: Option<String>,
    /// The right place
    #[arg(long, short, value_name = "PLACE", add = places())]
    pub place: Option<String>,
    /// The right minutes
    #[arg(long, value_name = "MINUTES")]
    pub minutes: Option<String>,
    /// It never happened
    #[arg(long, conflicts_with_all = ["container", "amount", "place", "minutes", "from"])]
    pub void: bool,
    /// Which of them: a place, clean, or the entry that soiled them, such as 'entry 57'
    #[arg(long, short, value_name = "PLACE", add = places())]
    pub from: Option<String>,
}

/// A question, and its answer.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// The question, such as lids-closed, or all
    #[arg(add = questions())]
    pub question: String,
    /// yes, no or not present
    pub answer: String,
    /// What it is about: a room or a place
    #[arg(add = places())]
    pub about: Option<String>,
}

/// What a person will fix.
#[derive(Debug, Args)]
pub struct ActionArgs {
    /// What is to be done
    pub what: String,
    /// The rule whose finding it answers
    #[arg(long, value_name = "RULE")]
    pub rule: Option<String>,
    /// The thing that the finding is about
    #[arg(long, value_name = "NAME")]
    pub subject: Option<String>,
    /// Who does it. The default is the person who logs it
    #[arg(long, value_name = "NAME")]
    pub who: Option<String>,
    /// By which day, such as 3 Dec, friday or 2026-12-03
    #[arg(long, value_name = "DAY")]
    pub due: Option<String>,
}

/// An action that is done, or open again.
#[derive(Debug, Args)]
pub struct DoneArgs {
    /// Its name in actions.csv
    #[arg(add = actions())]
    pub action: String,
    /// It is open again
    #[arg(long)]
    pub reopen: bool,
}

/// A fact, and where it belongs.
#[derive(Debug, Args)]
pub struct RecordArgs {
    /// What it is about: a name of the tables, or shop, authority, limit, target or bench for shop.toml
    pub name: String,
    /// The column of the table and the value, such as flash_point '104 F'. Repeat them for more
    #[arg(required = true, num_args = 2.., value_names = ["COLUMN", "VALUE"])]
    pub facts: Vec<String>,
    /// The table, where the name can stand in several. A name that it lacks gets a new row
    #[arg(long, value_name = "TABLE")]
    pub table: Option<String>,
}

/// A finding or a table that is accepted.
#[derive(Debug, Args)]
pub struct AcceptArgs {
    /// The rule of the finding, or a table: log.csv or checks.csv
    #[arg(value_name = "RULE or TABLE")]
    pub what: String,
    /// What the finding is about
    pub subject: Option<String>,
    /// The last day on which the finding is accepted
    #[arg(long, value_name = "DAY", requires = "subject")]
    pub until: Option<String>,
    /// Do not accept the finding any longer
    #[arg(long, requires = "subject", conflicts_with = "until")]
    pub withdraw: bool,
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
