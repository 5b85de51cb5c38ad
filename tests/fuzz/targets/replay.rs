//! Rows of a log under a right header: replayed, audited, reported.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let mut log = b"entry,when,what,container,amount,into,place,minutes,by,note\n".to_vec();
    log.extend_from_slice(bytes);
    sandarac_fuzz::through_log(&log);
});
