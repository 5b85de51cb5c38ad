//! What is known of every product of a stock, found by the id of the product.

use super::hazard::{Hazard, hazard};
use crate::record::{ContainerId, ProductId, ShopTables};
use crate::stock::Stock;
use std::ops::Index;

/// What is known of every product named in the inventory.
#[derive(Clone, Debug)]
pub struct Hazards(Vec<Hazard>);

impl Hazards {
    /// What is known of the product that the row of a container names.
    pub fn of_container(&self, stock: &Stock, container: ContainerId) -> &Hazard {
        &self[stock.product(container)]
    }

    /// All of them, in the order of the stock's products.
    pub fn all(&self) -> &[Hazard] {
        &self.0
    }
}

/// A product that is not in the stock is a mistake of the program, and no default may hide it.
impl Index<ProductId> for Hazards {
    type Output = Hazard;

    fn index(&self, product: ProductId) -> &Hazard {
        &self.0[product.index()]
    }
}

/// The hazards of every product named in the inventory; `products` are those of the stock.
pub fn hazards(tables: &ShopTables, products: &[String]) -> Hazards {
    Hazards(products.iter().map(|name| hazard(tables, name)).collect())
}
