//! Arguments, and the only clock.

use super::log::moment_args::moment;
use super::option_words::{FailOn, PaperArg, label_size};
use super::parse::{day, period};
use crate::quantity::{Day, Moment, Period};
use crate::report::LabelSize;
use clap::{Args as ClapArgs, Parser, Subcommand};
use std::path::PathBuf;

/// Checks a furniture finishing room for danger: solvents, shellac, air and oily rags.
#[derive(Debug, Parser)]
#[command(name = "sandarac", version, about, long_about = None, max_term_width = 100)]
#[command(
    after_help = "Start with `sandarac demo`, then `sandarac new my-shop`.\n\
    Exit code: 0 nothing is open. 1 there are findings. 2 not done: the files, the clock or the command have a problem.\n\
    3 saved, but a later step failed."
)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check a shop against its rules. Print what to do, and write the reports
    Audit(AuditArgs),
    /// Show how each work session affected the air, or plan one
    Air(AirArgs),
    /// Record what was done. Each entry is checked against the stock first
    Log(super::log::args::LogArgs),
    /// List what is stored where, how old it is, and the use per month
    Stock(StockArgs),
    /// Make a sheet of labels for jars, cans, waste, pad jars and rag cans
    Labels(LabelsArgs),
    /// Make the round: a sheet to print with the checks that are due
    Round(RoundArgs),
    /// Write a calendar file with everything that is due
    Calendar(CalendarArgs),
    /// Work out what to weigh and pour for a cut of shellac
    Mix(super::mix::args::MixArgs),
    /// List what to do before you leave: rags, lids, bench and fan
    Close(super::close::CloseArgs),
    /// Open the shop on a phone, a wall tablet or the office computer
    #[cfg(feature = "bench")]
    Bench(super::bench::BenchArgs),
    /// List the rules that apply to a shop, and explain them
    Rules(RulesArgs),
    /// Write all tables as one workbook for a spreadsheet, and take its changes back
    #[cfg(feature = "workbook")]
    Workbook(super::workbook::WorkbookArgs),
    /// Make a shop folder to start from
    New(NewArgs),
    /// Audit the built-in demo shop
    Demo(DemoArgs),
    /// Print tab completions for your shell
    Completions(super::completions::CompletionsArgs),
    /// Print the manual page
    Man(super::completions::ManArgs),
}

/// The shop and the day.
#[derive(Debug, ClapArgs)]
pub struct ShopArgs {
    /// Shop folder. The default is this folder
    pub shop: Option<PathBuf>,
    /// Day to look at, such as 2026-11-24. The default is today
    #[arg(long, value_parser = day, value_name = "DAY")]
    pub on: Option<Day>,
    /// Use only this rule pack. Repeat it for more. `trade` always applies
    #[arg(long = "pack", value_name = "PACK")]
    pub packs: Vec<String>,
}

impl ShopArgs {
    /// The day asked for, or today: a look at the clock, as only this file takes.
    pub fn day(&self) -> Day {
        self.on.unwrap_or_else(Day::today)
    }

    /// The moment of the clock, unless a day was asked for.
    pub fn now(&self) -> Option<Moment> {
        self.on.is_none().then(Moment::now)
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
    /// More shop folders. All are audited, with one summary
    #[arg(value_name = "SHOPS")]
    pub more: Vec<PathBuf>,
    /// The least weight of a finding that makes the exit code 1
    #[arg(long, value_enum, default_value = "must", value_name = "WEIGHT")]
    pub fail_on: FailOn,
    /// Also write the JSON to this file. `-` prints it in place of the report
    #[arg(long, value_name = "FILE")]
    pub json: Option<PathBuf>,
    /// Show everything: each finding with its math, reason and source; the page prints unfolded
    #[arg(long)]
    pub full: bool,
    /// With several shops: also write one page about all of them to this file
    #[arg(long, value_name = "FILE", requires = "more")]
    pub page: Option<PathBuf>,
    /// Do not write to reports/
    #[arg(long)]
    pub no_reports: bool,
    /// Also write the binder for the inspector into this folder, with copies of the tables
    #[arg(long, value_name = "FOLDER")]
    pub binder: Option<PathBuf>,
    /// Print no report. Problems of the files are still printed
    #[arg(long, short)]
    pub quiet: bool,
}

impl AuditArgs {
    /// Is nothing but the exit code asked for?
    pub fn reports_nothing(&self) -> bool {
        self.quiet && self.no_reports && self.json.is_none() && self.binder.is_none()
    }
}

/// `air`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Example: sandarac air my-shop\n\
    A plan: sandarac air my-shop --room 'finishing room' --product 'denatured alcohol' --amount '8 fl oz' --minutes 45\n\
    Exit code: 1 if a session, or a person's eight hours over several rooms, is over a confirmed limit, or a session is unknown.")]
pub struct AirArgs {
    /// Which shop, which day.
    #[command(flatten)]
    pub shop: ShopArgs,
    /// Show all sessions of the month, not only the worst forty
    #[arg(long, conflicts_with = "room")]
    pub month: bool,
    /// Work that is not done yet.
    #[command(flatten)]
    pub plan: PlanArgs,
    /// Print the rows as JSON. The only value is `-`
    #[arg(long, value_name = "-", value_parser = ["-"])]
    pub json: Option<String>,
    /// Draw the worst session, or the plan, as an SVG file
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
    /// Plan: the product
    #[arg(long, value_name = "PRODUCT", requires = "room")]
    pub product: Option<String>,
    /// Plan: the amount, such as '8 fl oz'
    #[arg(
        long,
        value_name = "AMOUNT",
        requires = "room",
        allow_hyphen_values = true
    )]
    pub amount: Option<String>,
    /// Plan: the minutes of work
    #[arg(
        long,
        value_name = "MINUTES",
        requires = "room",
        allow_hyphen_values = true
    )]
    pub minutes: Option<String>,
    /// Plan: another exhaust than in rooms.csv, such as '400 cfm'
    #[arg(
        long,
        value_name = "AIRFLOW",
        requires = "room",
        allow_hyphen_values = true
    )]
    pub exhaust: Option<String>,
    /// Plan: everything evaporates at once
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
    /// List the entries behind the amount in this container
    #[arg(long, value_name = "CONTAINER", add = super::completions::containers())]
    pub why: Option<String>,
    /// List the built-in products with this word in their names. It needs no shop
    #[arg(long, value_name = "WORD", exclusive = true)]
    pub known: Option<String>,
    /// Show book amounts by product and month, with count differences
    #[arg(long, group = "table", conflicts_with = "why")]
    pub reconcile: bool,
    /// Show what to use first of each product
    #[arg(long, group = "table", conflicts_with = "why")]
    pub use_first: bool,
    /// Show what has expired or will expire within 60d or '2 months'
    #[arg(long, value_name = "SPAN", value_parser = period, group = "table", conflicts_with = "why")]
    pub expiring: Option<Period>,
    /// Show how long each product will last, and how much you may buy
    #[arg(long, group = "table", conflicts_with = "why")]
    pub running_low: bool,
}

/// `labels`.
#[derive(Debug, ClapArgs)]
#[command(
    after_help = "Example: sandarac labels my-shop J-1 --size 90x50mm --paper a4\n\
    Without names, it makes a label for every liquid, all flakes, the pad jars and the rag cans.\n\
    Four sizes are laid out for sheets of cut labels: 4x3.33in and 4x2in on letter, 99.1x67.7mm and 99.1x38.1mm on A4.\n\
    Their margins are from memory, so print one page on plain paper and hold it against your sheet."
)]
pub struct LabelsArgs {
    /// Which shop, which day.
    #[command(flatten)]
    pub shop: ShopArgs,
    /// Names of containers, pad jars and rag cans
    #[arg(value_name = "NAME", add = super::completions::containers())]
    pub names: Vec<String>,
    /// Only containers that are not on record as labeled
    #[arg(long, conflicts_with = "signs")]
    pub missing: bool,
    /// Large signs instead: rag can, water can, cabinet, no smoking
    #[arg(long, conflicts_with = "names")]
    pub signs: bool,
    /// Size of a label, from 76x24mm. The default is 4x3.33in, on A4 99.1x67.7mm
    #[arg(long, value_parser = label_size, value_name = "WxH", allow_hyphen_values = true)]
    pub size: Option<LabelSize>,
    /// Paper. The default is letter for a US shop, else A4
    #[arg(long, value_enum, value_name = "PAPER")]
    pub paper: Option<PaperArg>,
    /// Write to this file, not to reports/
    #[arg(long, value_name = "FILE", conflicts_with = "html")]
    pub out: Option<PathBuf>,
    /// Print the page. The only value is `-`
    #[arg(long, value_name = "-", value_parser = ["-"])]
    pub html: Option<String>,
}

/// `round`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Example: sandarac round my-shop --paper letter\n\
    This writes reports/DAY-round.html to print, and reports/DAY-round.csv to fill in.\n\
    To enter it: sandarac round my-shop --enter my-shop/reports/2026-11-24-round.csv --when 2026-11-24T09:00\n\
    In `found`, write an amount, or `ok` if it is as printed. In `answer`, write yes, no or not present.\n\
    An empty row is skipped. A number without a unit has the `unit` of its row.")]
pub struct RoundArgs {
    /// Which shop, which day.
    #[command(flatten)]
    pub shop: ShopArgs,
    /// Paper. The default is letter for a US shop, else A4
    #[arg(long, value_enum, value_name = "SIZE")]
    pub paper: Option<PaperArg>,
    /// Write the page to this file. `-` prints it
    #[arg(long, value_name = "FILE.html")]
    pub out: Option<PathBuf>,
    /// Write the table to this file. `-` prints it
    #[arg(long, value_name = "FILE.csv")]
    pub csv: Option<PathBuf>,
    /// Enter a filled-in table, all of it or nothing. With no file, it asks you
    #[arg(
        long,
        value_name = "FILE.csv",
        num_args = 0..=1,
        conflicts_with_all = ["paper", "out", "csv"]
    )]
    pub enter: Option<Option<PathBuf>>,
    /// With --enter: the time for each row without one, such as 2026-11-24T09:00
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
    /// Write it to this file. `-` prints it
    #[arg(long, value_name = "FILE", default_value = "-")]
    pub out: PathBuf,
}

/// `rules`.
#[derive(Debug, ClapArgs)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "Examples:\n  sandarac rules my-shop                     all rules with their limits\n  \
                  sandarac rules my-shop cabinet-contents    one rule in full\n  \
                  sandarac rules --kinds                     the kinds of check\n  \
                  sandarac rules --packs                     the built-in rule packs\n  \
                  sandarac rules new our-county              make a rule pack to start from\n  \
                  sandarac rules check ./our-county          check your own pack and its cases\n\
                  If your shop folder is called check or new, write ./check or ./new."
)]
pub struct RulesArgs {
    /// Check or start your own pack
    #[command(subcommand)]
    pub what: Option<RulesWhat>,
    /// Which shop, which day.
    #[command(flatten)]
    pub shop: ShopArgs,
    /// Explain this rule or kind of check
    pub name: Option<String>,
    /// List the kinds of check, with their keys and words
    #[arg(long, exclusive = true)]
    pub kinds: bool,
    /// List the built-in packs and their sources
    #[arg(long = "packs", exclusive = true)]
    pub built_in: bool,
}

/// What to do with a pack of your own.
#[derive(Debug, Subcommand)]
pub enum RulesWhat {
    /// Make a small pack with one rule, its cases and one question
    #[command(after_help = "Example: sandarac rules new our-county")]
    New {
        /// Folder to make. It must be new or empty
        folder: PathBuf,
    },
    /// Check a pack: its sources, words, classes and cases
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
    /// Folder to make. It must not hold a shop
    pub folder: PathBuf,
    /// Also write all tables as one workbook, workbook.xlsx, to fill in with a spreadsheet
    #[cfg(feature = "workbook")]
    #[arg(long)]
    pub workbook: bool,
}

/// `demo`.
#[derive(Debug, ClapArgs)]
#[command(
    after_help = "Example: sandarac demo --write demo-shop && sandarac audit demo-shop --on 2026-10-31"
)]
pub struct DemoArgs {
    /// Show everything: each finding with its math, reason and source
    #[arg(long)]
    pub full: bool,
    /// Write the demo shop into this folder
    #[arg(long, value_name = "FOLDER")]
    pub write: Option<PathBuf>,
}
