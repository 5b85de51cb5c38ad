//! Arguments, and the only clock.

use super::log::args::moment;
use super::parse::{day, period};
use crate::pack::Severity;
use crate::quantity::{Day, Moment, Period};
use crate::report::LabelSize;
use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Audits a furniture finishing room: solvents, shellac, air, rags.
#[derive(Debug, Parser)]
#[command(name = "sandarac", version, about, long_about = None, max_term_width = 100)]
#[command(
    after_help = "Start with `sandarac demo`, then `sandarac new my-shop`.\n\
    Exit code: 0 nothing open, 1 findings, 2 the files or the command cannot be trusted."
)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Audit a shop: findings with citations, written to its reports/ too
    Audit(AuditArgs),
    /// What each session of the month did to the air, or what a plan would do
    Air(AirArgs),
    /// Write down what was done: checked against the stock first, then kept for good
    Log(super::log::args::LogArgs),
    /// What is where, how old it is, and what was used by month
    Stock(StockArgs),
    /// A sheet of labels to print: jars, cans, waste, pad jar, rag can
    Labels(LabelsArgs),
    /// The round on paper: what should be where, the checks due, room to write
    Round(RoundArgs),
    /// What falls due, as an iCalendar file for your calendar
    Calendar(CalendarArgs),
    /// What to weigh and pour for a cut of shellac, and whether the shelf has it
    Mix(super::mix::args::MixArgs),
    /// Closing time: what is not accounted for, and what would settle it
    Close(super::close::CloseArgs),
    /// Serve the shop to a phone, a wall tablet or the office computer
    #[cfg(feature = "bench")]
    Bench(super::bench::BenchArgs),
    /// The rules a shop is held against, with what is in force
    Rules(RulesArgs),
    /// Write a shop folder to start from
    New(NewArgs),
    /// Audit the demo shop that is built in
    Demo(DemoArgs),
    /// Completions of the commands for your shell
    Completions(super::completions::CompletionsArgs),
    /// The manual page
    Man(super::completions::ManArgs),
}

/// The shop and the day.
#[derive(Debug, ClapArgs)]
pub struct ShopArgs {
    /// Shop folder; without it, this folder if it holds shop.toml
    pub shop: Option<PathBuf>,
    /// Day to look at, YYYY-MM-DD; without it, today
    #[arg(long, value_parser = day, value_name = "DAY")]
    pub on: Option<Day>,
    /// Only this pack (may be given again); `trade` always applies
    #[arg(long = "pack", value_name = "PACK")]
    pub packs: Vec<String>,
}

impl ShopArgs {
    /// The day asked for, or today: a look at the clock, as only this file takes.
    pub fn day(&self) -> Day {
        self.on.unwrap_or_else(Day::today)
    }
}

/// The weight from which an open finding makes the exit code 1.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum FailOn {
    /// Only what must be.
    Must,
    /// What should be, too.
    Should,
    /// Everything.
    Note,
}

impl FailOn {
    /// As a severity.
    pub fn severity(self) -> Severity {
        match self {
            FailOn::Must => Severity::Must,
            FailOn::Should => Severity::Should,
            FailOn::Note => Severity::Note,
        }
    }
}

/// `audit`.
#[derive(Debug, ClapArgs)]
#[command(
    after_help = "Example: sandarac audit my-shop --on 2026-11-24 --full\n\
    For an inspector: sandarac audit my-shop --binder my-shop/binder"
)]
pub struct AuditArgs {
    /// Which shop, which day.
    #[command(flatten)]
    pub shop: ShopArgs,
    /// More shop folders: all are audited side by side, with one summary
    #[arg(value_name = "SHOPS")]
    pub more: Vec<PathBuf>,
    /// Exit code 1 from this weight on
    #[arg(long, value_enum, default_value = "must", value_name = "WEIGHT")]
    pub fail_on: FailOn,
    /// Also write the JSON to this file; `-` prints it instead of the screen report
    #[arg(long, value_name = "FILE")]
    pub json: Option<PathBuf>,
    /// Show the working, the reason and the remedy of every open finding
    #[arg(long)]
    pub full: bool,
    /// Write nothing into reports/
    #[arg(long)]
    pub no_reports: bool,
    /// Also write the inspector's binder into this folder: one page to print, tab by tab, with copies of the tables
    #[arg(long, value_name = "FOLDER")]
    pub binder: Option<PathBuf>,
    /// Show no report on the screen: the exit code tells, and problems of the files are still told
    #[arg(long, short)]
    pub quiet: bool,
}

/// `air`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Example: sandarac air my-shop\n\
    A plan: sandarac air my-shop --room 'finishing room' --product 'denatured alcohol' --amount '8 fl oz' --minutes 45\n\
    Exit code: 1 if a session is over a legal sum of 1 or a quarter of the lower explosive limit, or cannot be judged.")]
pub struct AirArgs {
    /// Which shop, which day.
    #[command(flatten)]
    pub shop: ShopArgs,
    /// Show every session of the month, not only the forty worst
    #[arg(long, conflicts_with = "room")]
    pub month: bool,
    /// Work that is not done yet.
    #[command(flatten)]
    pub plan: PlanArgs,
    /// Print the rows for programs instead: `-`, the only place they go
    #[arg(long, value_name = "-", value_parser = ["-"])]
    pub json: Option<String>,
    /// Draw the worst session, or the plan, into this SVG file
    #[arg(long, value_name = "FILE.svg")]
    pub plot: Option<PathBuf>,
}

impl AirArgs {
    /// Is the JSON asked for?
    pub fn prints_json(&self) -> bool {
        self.json.is_some()
    }
}

/// A plan of `air`.
#[derive(Debug, ClapArgs)]
pub struct PlanArgs {
    /// Plan: the room
    #[arg(long, value_name = "ROOM", requires_all = ["product", "amount", "minutes"])]
    pub room: Option<String>,
    /// Plan: the product, as products.csv or the generic materials name it
    #[arg(long, value_name = "PRODUCT", requires = "room")]
    pub product: Option<String>,
    /// Plan: how much is used, such as '8 fl oz'
    #[arg(
        long,
        value_name = "AMOUNT",
        requires = "room",
        allow_hyphen_values = true
    )]
    pub amount: Option<String>,
    /// Plan: how long the work takes
    #[arg(
        long,
        value_name = "MINUTES",
        requires = "room",
        allow_hyphen_values = true
    )]
    pub minutes: Option<String>,
    /// Plan: an exhaust in place of the one in rooms.csv, such as '400 cfm'
    #[arg(
        long,
        value_name = "AIRFLOW",
        requires = "room",
        allow_hyphen_values = true
    )]
    pub exhaust: Option<String>,
    /// Plan: everything evaporates as it is put on
    #[arg(long, requires = "room")]
    pub at_once: bool,
}

/// `stock`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Example: sandarac stock my-shop --why J-1")]
pub struct StockArgs {
    /// Which shop, which day.
    #[command(flatten)]
    pub shop: ShopArgs,
    /// Every entry that made the amount of this container
    #[arg(long, value_name = "CONTAINER")]
    pub why: Option<String>,
    /// The books by product and month, with what no entry explains
    #[arg(long, group = "table", conflicts_with = "why")]
    pub reconcile: bool,
    /// What to use first of each product, by which rule
    #[arg(long, group = "table", conflicts_with = "why")]
    pub use_first: bool,
    /// What is past its time, or will be within a span such as 60d or '2 months'
    #[arg(long, value_name = "SPAN", value_parser = period, group = "table", conflicts_with = "why")]
    pub expiring: Option<Period>,
    /// How long each product lasts, and how much of it may be bought
    #[arg(long, group = "table", conflicts_with = "why")]
    pub running_low: bool,
}

/// A paper.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum PaperArg {
    /// 210 mm x 297 mm.
    A4,
    /// 8.5 in x 11 in.
    Letter,
}

impl PaperArg {
    /// As the report names it.
    pub fn paper(self) -> crate::report::Paper {
        match self {
            PaperArg::A4 => crate::report::Paper::A4,
            PaperArg::Letter => crate::report::Paper::Letter,
        }
    }
}

/// Reads a size given on the command line.
fn label_size(text: &str) -> Result<LabelSize, String> {
    LabelSize::parse(text).map_err(|fault| fault.to_string())
}

/// `labels`.
#[derive(Debug, ClapArgs)]
#[command(
    after_help = "Example: sandarac labels my-shop J-1 --size 90x50mm --paper a4\n\
    Without names, everything that holds a liquid or flakes, the pad jars and the cans for oily rags."
)]
pub struct LabelsArgs {
    /// Which shop, which day.
    #[command(flatten)]
    pub shop: ShopArgs,
    /// Containers, pad jars and rag cans to label
    #[arg(value_name = "NAME")]
    pub names: Vec<String>,
    /// Size of a label, width x height; without it, 105x74mm
    #[arg(long, value_parser = label_size, value_name = "WxH", allow_hyphen_values = true)]
    pub size: Option<LabelSize>,
    /// Paper; without it, letter for a shop in US units, else A4
    #[arg(long, value_enum, value_name = "PAPER")]
    pub paper: Option<PaperArg>,
    /// Write to this file instead of the shop's reports/
    #[arg(long, value_name = "FILE", conflicts_with = "html")]
    pub out: Option<PathBuf>,
    /// Print the page instead: `-`, the only place it goes
    #[arg(long, value_name = "-", value_parser = ["-"])]
    pub html: Option<String>,
}

/// `round`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Example: sandarac round my-shop --paper letter\n\
    Without --out and --csv it writes reports/DAY-round.html, to print, and reports/DAY-round.csv, to fill in.\n\
    Back in: sandarac round my-shop --enter my-shop/reports/2026-11-24-round.csv --when 2026-11-24T09:00\n\
    In `found` stands an amount, or `ok` for what is printed; in `answer` yes, no or not present. An empty row was not\n\
    looked at, and nothing is written of it. A number without a unit is read in the row's `unit`.")]
pub struct RoundArgs {
    /// Which shop, which day.
    #[command(flatten)]
    pub shop: ShopArgs,
    /// The paper it is printed on; without it, as the shop's units are: letter for us, a4 for metric
    #[arg(long, value_enum, value_name = "SIZE")]
    pub paper: Option<PaperArg>,
    /// Write the page to this file instead; `-` prints it
    #[arg(long, value_name = "FILE.html")]
    pub out: Option<PathBuf>,
    /// Write the table to this file instead; `-` prints it
    #[arg(long, value_name = "FILE.csv")]
    pub csv: Option<PathBuf>,
    /// Take a filled-in table back into log.csv and checks.csv, all of it or nothing; without a file, ask on the terminal
    #[arg(
        long,
        value_name = "FILE.csv",
        num_args = 0..=1,
        conflicts_with_all = ["paper", "out", "csv"]
    )]
    pub enter: Option<Option<PathBuf>>,
    /// With --enter: the moment of every row that gives none of its own: YYYY-MM-DDTHH:MM, or HH:MM of today
    #[arg(long, value_name = "MOMENT", value_parser = moment, requires = "enter")]
    pub when: Option<Moment>,
}

impl RoundArgs {
    /// The moment of a round that is asked on the terminal: the one given, or now, the only other look at the clock.
    pub fn moment(&self) -> Moment {
        self.when.unwrap_or_else(Moment::now)
    }
}

/// `calendar`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Example: sandarac calendar my-shop --out due.ics")]
pub struct CalendarArgs {
    /// Which shop, which day.
    #[command(flatten)]
    pub shop: ShopArgs,
    /// Write it to this file; `-` prints it
    #[arg(long, value_name = "FILE", default_value = "-")]
    pub out: PathBuf,
}

/// `rules`.
#[derive(Debug, ClapArgs)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "Examples:\n  sandarac rules my-shop                     every rule, with its limit on the day\n  \
                  sandarac rules my-shop cabinet-contents    one rule in full\n  \
                  sandarac rules --kinds                     the kinds of check that a rule can be\n  \
                  sandarac rules --packs                     the rule packs that are built in\n  \
                  sandarac rules new our-county              write a pack to start from\n  \
                  sandarac rules check ./our-county          check a pack of your own, with its worked cases\n\
                  A shop folder called check or new is written ./check or ./new."
)]
pub struct RulesArgs {
    /// Check or begin a pack of your own
    #[command(subcommand)]
    pub what: Option<RulesWhat>,
    /// Which shop, which day.
    #[command(flatten)]
    pub shop: ShopArgs,
    /// Explain this rule (`rule`, or `pack/rule`) or this kind of check
    pub name: Option<String>,
    /// List the kinds of check, with the keys and words that each one takes
    #[arg(long, exclusive = true)]
    pub kinds: bool,
    /// List the packs that are built in, with the documents they cite
    #[arg(long = "packs", exclusive = true)]
    pub built_in: bool,
}

/// What to do with a pack of your own.
#[derive(Debug, Subcommand)]
pub enum RulesWhat {
    /// Write a small pack to start from, with one rule, its cases and one question of the round
    #[command(after_help = "Example: sandarac rules new our-county")]
    New {
        /// Folder to make; it must not exist yet, or be empty
        folder: PathBuf,
    },
    /// Check a pack folder: citations, words, classes, worked cases
    #[command(
        after_help = "Example: sandarac rules new our-county && sandarac rules check our-county"
    )]
    Check {
        /// Folder of the pack
        folder: PathBuf,
    },
}

/// `new`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Example: sandarac new my-shop && sandarac audit my-shop")]
pub struct NewArgs {
    /// Folder to make; it must not hold a shop yet
    pub folder: PathBuf,
}

/// `demo`.
#[derive(Debug, ClapArgs)]
#[command(
    after_help = "Example: sandarac demo --write demo-shop && sandarac audit demo-shop --on 2026-10-31"
)]
pub struct DemoArgs {
    /// Show the working, the reason and the remedy of every open finding
    #[arg(long)]
    pub full: bool,
    /// Write the demo shop into this folder instead of auditing it
    #[arg(long, value_name = "FOLDER")]
    pub write: Option<PathBuf>,
}
