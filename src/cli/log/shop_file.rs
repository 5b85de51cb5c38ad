//! `sandarac log record` for what is in shop.toml: its keys, and its parts for the authority, limits, targets and the bench page.

use super::args::WithArgs;
use crate::audit::Shop;
use crate::cli::open::{self, WRITTEN};
use crate::cli::settings::{self, ShopPart};
use crate::cli::{Ended, Failure};
use crate::quantity::Day;
use crate::text::{clean, nearest};
use std::path::Path;

/// The name that means the whole shop.
const SHOP: &str = "shop";
/// Keys of shop.toml whose values are no texts.
const BARE: [&str; 2] = ["employees", "business"];
/// The key whose value is a list.
const LIST: &str = "packs";

/// The parts of shop.toml: as they are named, as the file writes them, and their keys. The first key of a part that comes
/// several times tells one from another.
const PARTS: [ShopPart; 4] = [
    ShopPart {
        name: "authority",
        header: "[authority]",
        keys: &["name", "asked", "says"],
        several: false,
    },
    ShopPart {
        name: "limit",
        header: "[[limit]]",
        keys: &["rule", "value", "by", "on"],
        several: true,
    },
    ShopPart {
        name: "target",
        header: "[[target]]",
        keys: &["product", "amount"],
        several: true,
    },
    ShopPart {
        name: "bench",
        header: "[bench]",
        keys: &["address", "closes"],
        several: false,
    },
];

/// Is this about shop.toml? A name of the tables that is called like a part of it is meant where its columns are given.
pub(super) fn is_meant(name: &str, pairs: &[(&str, &str)]) -> bool {
    let has = |part: &ShopPart| pairs.iter().any(|(key, _)| part.keys.contains(key));
    name.eq_ignore_ascii_case(SHOP) || part_named(name).is_some_and(has)
}

fn part_named(name: &str) -> Option<&'static ShopPart> {
    PARTS
        .iter()
        .find(|part| part.name.eq_ignore_ascii_case(name))
}

pub(super) fn record(
    folder: &Path,
    name: &str,
    pairs: &[(&str, &str)],
    with: &WithArgs,
    today: Day,
) -> Result<Ended, Failure> {
    let part = part_named(name);
    for (key, _) in pairs {
        is_key(key, part)?;
    }
    let written: Vec<(&str, String)> = pairs
        .iter()
        .map(|(key, value)| (*key, toml(key, value, part.is_some())))
        .collect();
    if let Some(part) = part
        && part.several
        && let Some(first) = part.keys.first()
        && !pairs.iter().any(|(key, _)| key == first)
    {
        return Err(Failure::refused(
            format!("The {first} of the {} is missing.", part.name),
            format!("For example: sandarac log record {}", example(part)),
            WRITTEN,
        ));
    }
    if !with.dry_run {
        write(folder, part, &written, today)?;
    }
    let did = if with.dry_run { "Would write" } else { "Wrote" };
    let at = part.map_or_else(String::new, |part| format!(" {}", part.header));
    let lines = written
        .iter()
        .map(|(key, value)| format!("{did} into shop.toml{at}: {key} = {}.\n", clean(value)));
    super::printed(&lines.collect::<String>(), with)
}

/// Writes all of it or nothing. A shop that could be audited can still be audited.
fn write(
    folder: &Path,
    part: Option<&ShopPart>,
    written: &[(&str, String)],
    today: Day,
) -> Result<(), Failure> {
    let before = settings::text(folder)?;
    let is_sound = || Shop::open(folder, &[])?.audit(today).map(|_| ());
    let was_sound = is_sound().is_ok();
    let set = || -> Result<(), Failure> {
        match part {
            Some(part) => settings::set_part(folder, part, written)?,
            None => {
                for (key, value) in written {
                    settings::set(folder, key, value)?;
                }
            }
        }
        if was_sound {
            is_sound().map_err(|not| open::failure(not, WRITTEN))?;
        }
        Ok(())
    };
    set().inspect_err(|_| settings::put_back(folder, &before))
}

fn is_key(key: &str, part: Option<&ShopPart>) -> Result<(), Failure> {
    let wrong = format!("\"{}\" is no key of shop.toml.", clean(key));
    let Some(part) = part else {
        let is_key = !key.is_empty() && key.bytes().all(|b| b.is_ascii_lowercase() || b == b'_');
        let fix = "For example: sandarac log record shop employees 2";
        return match is_key {
            true => Ok(()),
            false => Err(Failure::refused(wrong, fix, WRITTEN)),
        };
    };
    if part.keys.contains(&key) {
        return Ok(());
    }
    let fix = match nearest(key, part.keys.iter().copied()) {
        Some(near) => format!("Did you mean \"{near}\"?"),
        None => format!("For example: sandarac log record {}", example(part)),
    };
    Err(Failure::refused(wrong, fix, WRITTEN))
}

fn example(part: &ShopPart) -> &'static str {
    match part.name {
        "authority" => {
            "authority name 'Fire marshal' asked 2026-11-02 says 'the 2018 code applies'"
        }
        "limit" => {
            "limit rule us-fire-code/ten-gallons-outside-cabinets value '5 gal' by 'Fire marshal' on 2026-11-02"
        }
        "target" => "target product 'denatured alcohol' amount '1 gal'",
        _ => "bench closes 17:30",
    }
}

/// A value as TOML writes it.
fn toml(key: &str, value: &str, in_part: bool) -> String {
    let text = |value: &str| format!("\"{}\"", value.replace('\\', "\\\\").replace('"', "\\\""));
    if in_part {
        return text(value);
    }
    if key == LIST {
        let packs: Vec<String> = value.split(',').map(|pack| text(pack.trim())).collect();
        return format!("[{}]", packs.join(", "));
    }
    match value {
        "yes" | "true" if BARE.contains(&key) => "true".to_string(),
        "no" | "false" if BARE.contains(&key) => "false".to_string(),
        number if BARE.contains(&key) && number.parse::<u32>().is_ok() => number.to_string(),
        other => text(other),
    }
}
