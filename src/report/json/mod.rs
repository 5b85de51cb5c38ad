//! JSON: numbers as text, stable keys, format 1. Quantities are in base units, exact: L, kg, m, m3/h, F, day, pcs, %.

mod air;
mod audit;
mod closing;
mod many;
mod mix;
mod object;

pub use air::air_json;
pub use audit::Json;
pub use closing::closing_json;
pub use many::many_json;
pub use mix::mix_json;
