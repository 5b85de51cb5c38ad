//! The latest audit before the day that the shop's `reports/` hold. It never stops an audit: what cannot be read, or is of
//! another shop, is passed over and said.

use crate::quantity::Day;
use crate::report::{Looked, day_named, read_earlier};
use std::io::Read;
use std::path::Path;

/// More bytes than any audit writes.
const MOST: u64 = 1 << 28;
/// Files looked into before the search is given up.
const TRIES: usize = 24;

/// Looks for it.
pub fn look(shop: &Path, on: Day, name: &str) -> Looked {
    let mut looked = Looked::default();
    let folder = shop.join("reports");
    let Ok(list) = std::fs::read_dir(&folder) else {
        return looked;
    };
    let mut files: Vec<(Day, String)> = list
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter_map(|file| Some((day_named(&file)?, file)))
        .filter(|(day, _)| *day < on)
        .collect();
    files.sort();
    for (_, file) in files.into_iter().rev().take(TRIES) {
        let read = bytes(&folder.join(&file)).and_then(|bytes| read_earlier(&file, &bytes, name));
        match read {
            Ok(earlier) => {
                looked.earlier = Some(earlier);
                break;
            }
            Err(why) => looked.passed_over.push((file, why)),
        }
    }
    looked
}

fn bytes(path: &Path) -> Result<Vec<u8>, String> {
    let unread = |fault: std::io::Error| format!("it cannot be read: {fault}");
    // A pipe would be waited for without end.
    if !std::fs::metadata(path).map_err(unread)?.is_file() {
        return Err("it cannot be read: it is not a file".into());
    }
    let file = std::fs::File::open(path).map_err(unread)?;
    let mut bytes = Vec::new();
    let read = file.take(MOST).read_to_end(&mut bytes).map_err(unread)?;
    if u64::try_from(read).is_ok_and(|read| read == MOST) {
        return Err("it is too large to be an audit".into());
    }
    Ok(bytes)
}
