//! Any bytes as any table: the first byte says which.
#![no_main]

use libfuzzer_sys::fuzz_target;
use sandarac_fuzz::{FILES, through};

fuzz_target!(|bytes: &[u8]| {
    let Some((which, bytes)) = bytes.split_first() else {
        return;
    };
    let (name, _) = FILES[usize::from(*which) % (FILES.len() - 1)];
    through(name, bytes);
});
