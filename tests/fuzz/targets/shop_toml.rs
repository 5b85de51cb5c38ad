//! Any bytes as shop.toml.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| sandarac_fuzz::through("shop.toml", bytes));
