//! Arguments of `sandarac log`: one word for each kind of entry.

use crate::quantity::{Day, Moment};
use clap::{Args, Subcommand};
use std::path::PathBuf;

/// `log`.
#[derive(Debug, Args)]
#[command(
    after_help = "Example: sandarac log use J-1 2floz --minutes 40 --shop my-shop\n\
    A new jar: log mix A-1 '1 pt' J-9 --product 'shellac 2 lb cut' --vessel glass --capacity '1 qt' --place cabinet\n\
    Rags: log soil R-1 '2 pcs' V-1; log bin R-1 'rag can'; log empty 'rag can'\n\
    Without a word it asks you. Exit code: 0 the entry is written, 2 it is rejected and nothing is written."
)]
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
    #[arg(long, global = true, value_name = "FOLDER")]
    pub shop: Option<PathBuf>,
    /// When: 2026-11-24T17:30, or 17:30 for today. The default is now
    #[arg(long, global = true, value_name = "MOMENT", value_parser = moment)]
    pub when: Option<Moment>,
    /// Who did it
    #[arg(long, global = true, value_name = "NAME")]
    pub by: Option<String>,
    /// A note
    #[arg(long, global = true, value_name = "TEXT")]
    pub note: Option<String>,
    /// Check and show the entry, but do not write it
    #[arg(long, global = true)]
    pub dry_run: bool,
    /// Write it even if a rule is against it, because it has happened
    #[arg(long, global = true)]
    pub anyway: bool,
}

/// A jar that the inventory does not know yet.
#[derive(Clone, Debug, Default, Args)]
pub struct NewArgs {
    /// A new container: its product
    #[arg(long, value_name = "PRODUCT")]
    pub product: Option<String>,
    /// A new container: glass, metal, safety-can, …
    #[arg(long, value_name = "VESSEL", requires = "product")]
    pub vessel: Option<String>,
    /// A new container: its size
    #[arg(long, value_name = "AMOUNT", requires = "product")]
    pub capacity: Option<String>,
    /// A new container: its place
    #[arg(long, value_name = "PLACE", requires = "product")]
    pub place: Option<String>,
    /// A new container: the maker's lot
    #[arg(long, value_name = "LOT", requires = "product")]
    pub lot: Option<String>,
    /// A new container: it has a label
    #[arg(long, requires = "product")]
    pub labelled: bool,
}

/// The words of the log.
#[derive(Debug, Subcommand)]
#[command(subcommand_value_name = "WORD", subcommand_help_heading = "Words")]
pub enum LogWhat {
    /// Used on the work
    Use {
        /// From which container
        container: String,
        /// How much, such as '6 fl oz'
        amount: String,
        /// Minutes of work, for the air of the room
        #[arg(long, value_name = "MINUTES")]
        minutes: Option<String>,
        /// Where, if not at the place of the container
        #[arg(long, value_name = "PLACE")]
        place: Option<String>,
    },
    /// Poured into another container to make a mixture
    Mix {
        /// From which container
        container: String,
        /// How much
        amount: String,
        /// Into which container
        into: String,
        /// A new jar.
        #[command(flatten)]
        new: NewArgs,
    },
    /// Poured into another container of the same product
    Decant {
        /// From which container
        container: String,
        /// How much
        amount: String,
        /// Into which container
        into: String,
        /// A new jar.
        #[command(flatten)]
        new: NewArgs,
    },
    /// Bought or brought in
    Receive {
        /// Which container
        container: String,
        /// How much
        amount: String,
        /// A new container.
        #[command(flatten)]
        new: NewArgs,
    },
    /// Moved to another place
    Move {
        /// Which container
        container: String,
        /// The new place
        place: String,
    },
    /// Opened for the first time
    Open {
        /// Which container
        container: String,
    },
    /// Tested: pass, retest or fail. For a glass test, minutes will do
    Test {
        /// Which container
        container: String,
        /// pass, retest or fail. Not needed for a glass test with minutes
        result: Option<String>,
        /// Which test: glass, nail, water, solubility, residue, cure, look, can. For rags: dry
        #[arg(long, value_name = "TEST")]
        test: Option<String>,
        /// Minutes until a thin film on glass was dry
        #[arg(long, value_name = "MINUTES")]
        minutes: Option<String>,
    },
    /// Counted: this much is there
    Count {
        /// Which container
        container: String,
        /// How much is there
        amount: String,
    },
    /// Discarded as waste
    Discard {
        /// Which container
        container: String,
        /// How much. The default is all
        amount: Option<String>,
    },
    /// Rags or pads with finish on them
    Soil {
        /// Which rags
        container: String,
        /// How many, such as '3 pcs'
        amount: String,
        /// With what. Unknown counts as a drying oil
        with: Option<String>,
        /// Where they are
        #[arg(long, value_name = "PLACE")]
        place: Option<String>,
    },
    /// Rags laid flat outdoors in one layer
    Spread {
        /// Which rags
        container: String,
        /// Where
        place: String,
        /// How many. The default is all wet rags
        amount: Option<String>,
    },
    /// Rags put under water in a lidded metal can
    Soak {
        /// Which rags
        container: String,
        /// Where
        place: String,
        /// How many. The default is all wet rags
        amount: Option<String>,
    },
    /// Rags put into the oily-waste can
    Bin {
        /// Which rags
        container: String,
        /// Which can
        place: String,
        /// How many. The default is all wet rags
        amount: Option<String>,
    },
    /// A can emptied out of the building
    Empty {
        /// Which can
        place: String,
    },
    /// Correct an earlier entry, or take it back
    Correct {
        /// The number of the entry in log.csv
        entry: String,
        /// The right container
        #[arg(long, value_name = "CONTAINER")]
        container: Option<String>,
        /// The right amount
        #[arg(long, value_name = "AMOUNT")]
        amount: Option<String>,
        /// The right place
        #[arg(long, value_name = "PLACE")]
        place: Option<String>,
        /// The right minutes
        #[arg(long, value_name = "MINUTES")]
        minutes: Option<String>,
        /// It never happened
        #[arg(long, conflicts_with_all = ["container", "amount", "place", "minutes"])]
        void: bool,
    },
    /// Take back the last entry
    Undo {
        /// Which entry, if not the last
        entry: Option<String>,
    },
}

impl WithArgs {
    /// The moment now: the only look at the clock of this command.
    pub fn now() -> Moment {
        Moment::now()
    }
}

/// Reads a moment given on the command line; a bare time is one of today.
pub fn moment(text: &str) -> Result<Moment, String> {
    let today = || format!("{}T{text}", Day::today());
    Moment::parse(text)
        .or_else(|_| Moment::parse(&today()))
        .map_err(|_| "write day and time: 2026-11-24T17:30, or only 17:30 for today".to_string())
}
