//! Options that describe a container which is new.

use crate::cli::completions::{places, products};
use clap::Args;

/// A jar that the inventory does not know yet.
#[derive(Clone, Debug, Default, Args)]
pub struct NewContainer {
    /// A new container: its product
    #[arg(long, value_name = "PRODUCT", add = products())]
    pub product: Option<String>,
    /// A new container: glass, metal, safety-can, …
    #[arg(long, value_name = "VESSEL", requires = "product")]
    pub vessel: Option<String>,
    /// A new container: its size
    #[arg(long, value_name = "AMOUNT", requires = "product")]
    pub capacity: Option<String>,
    /// A new container: its place
    #[arg(long, value_name = "PLACE", requires = "product", add = places())]
    pub place: Option<String>,
    /// A new container: the maker's lot
    #[arg(long, value_name = "LOT", requires = "product")]
    pub lot: Option<String>,
    /// A new container: it has a label
    #[arg(long, requires = "product")]
    pub labelled: bool,
}
