//! Arguments of `sandarac mix`.

use crate::cli::log::moment_args::moment;
use crate::cli::parse::day;
use crate::quantity::{Day, Moment};
use crate::report::MixRequest;
use clap::Args;
use std::path::PathBuf;

/// `mix`.
#[derive(Debug, Args)]
#[command(
    after_help = "Example: sandarac mix --cut 2 --make 1qt --flake dewaxed\n\
    To thin a cut: sandarac mix --shop my-shop --from J-1 --to-cut 1 --make '8 fl oz'\n\
    Without a shop: sandarac mix --from '3 lb' --to-cut 1 --make '1 pt'\n\
    Exit code: 1 if the shelf does not hold enough."
)]
#[command(group(clap::ArgGroup::new("start").required(true).args(["cut", "from"])))]
pub struct MixArgs {
    /// Cut to mix, in pounds of flakes per gallon of alcohol: '2', '1 1/2'
    #[arg(
        long,
        value_name = "CUT",
        requires = "make",
        conflicts_with = "to_cut",
        allow_hyphen_values = true
    )]
    pub cut: Option<String>,
    /// Thick cut to thin: a jar of the shop, or a cut such as '3 lb'
    #[arg(
        long,
        value_name = "JAR",
        requires = "to_cut",
        allow_hyphen_values = true
    )]
    pub from: Option<String>,
    /// Cut to thin it to
    #[arg(
        long,
        value_name = "CUT",
        requires = "from",
        allow_hyphen_values = true
    )]
    pub to_cut: Option<String>,
    /// How much to make, such as '1 qt'. The default is the whole jar
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    pub make: Option<String>,
    /// Flakes: bleached, dewaxed, waxy, or a product
    #[arg(long, value_name = "KIND", conflicts_with = "from")]
    pub flake: Option<String>,
    /// Alcohol: a product
    #[arg(long, value_name = "PRODUCT", default_value = "denatured alcohol")]
    pub alcohol: String,
    /// Shop folder. The default is this folder, or no shop
    #[arg(long, value_name = "FOLDER")]
    pub shop: Option<PathBuf>,
    /// Day of mixing. The default is today
    #[arg(long, value_parser = day, value_name = "DAY", conflicts_with = "log")]
    pub on: Option<Day>,
    /// Log it, into this jar (new or old)
    #[arg(long, value_name = "JAR", conflicts_with = "json")]
    pub log: Option<String>,
    /// With --log: when, such as 17:30. The default is now
    #[arg(long, value_name = "MOMENT", value_parser = moment, requires = "log")]
    pub when: Option<Moment>,
    /// With --log: who did it
    #[arg(long, value_name = "NAME", requires = "log")]
    pub by: Option<String>,
    /// A new jar: glass or plastic
    #[arg(long, value_name = "VESSEL", default_value = "glass")]
    pub vessel: String,
    /// A new jar: its size
    #[arg(long, value_name = "AMOUNT", requires = "log")]
    pub capacity: Option<String>,
    /// A new jar: its place
    #[arg(long, value_name = "PLACE", requires = "log")]
    pub place: Option<String>,
    /// Print it as JSON. The only value is `-`
    #[arg(long, value_name = "-", value_parser = ["-"])]
    pub json: Option<String>,
}

impl MixArgs {
    /// What is to be worked out.
    pub fn request(&self) -> MixRequest<'_> {
        MixRequest {
            cut: self.cut.as_deref(),
            from: self.from.as_deref(),
            to_cut: self.to_cut.as_deref(),
            make: self.make.as_deref(),
            flake: self.flake.as_deref(),
            alcohol: &self.alcohol,
        }
    }

    /// The day asked for, or that of the moment, or today.
    pub fn day(&self) -> Day {
        match self.when {
            Some(when) => when.day(),
            None => self.on.unwrap_or_else(Day::today),
        }
    }
}
