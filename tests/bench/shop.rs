//! A large, valid, made-up shop with ten years of log: the same bytes for the same number of entries, on every machine.
//!
//! Its generator of numbers is the Mersenne Twister, seeded by key, with the draws of a common scripting language, so that a
//! script of a few lines can make the same shop to time other programs on.

use chrono::{Duration, NaiveDate};
use rand_mt::Mt;
use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::Path;

/// Containers of the shop.
pub const CONTAINERS: usize = 2000;
const PRODUCTS: [&str; 5] = [
    "denatured alcohol",
    "mineral spirits",
    "VM&P naphtha",
    "tung oil varnish",
    "shellac 2 lb cut",
];
/// Units and their millilitres.
const UNITS: [(&str, f64); 5] = [
    ("fl oz", 29.5735295625),
    ("qt", 946.352946),
    ("pt", 473.176473),
    ("mL", 1.0),
    ("L", 1000.0),
];
const GALLON: f64 = 3785.411784;
/// Kinds of entry and how often of a hundred.
const KINDS: [(&str, f64); 5] = [
    ("use", 70.0),
    ("decant", 80.0),
    ("discard", 85.0),
    ("open", 90.0),
    ("move", 100.0),
];

/// Draws from the twister.
struct Chance(Mt);

impl Chance {
    /// A whole number below a limit, by drawing as many bits as it has until one fits.
    fn below(&mut self, limit: u32) -> u32 {
        let bits = 32 - limit.leading_zeros();
        loop {
            let drawn = self.0.next_u32() >> (32 - bits);
            if drawn < limit {
                return drawn;
            }
        }
    }

    /// From 0 up to 1, with 53 bits.
    fn share(&mut self) -> f64 {
        let (high, low) = (self.0.next_u32() >> 5, self.0.next_u32() >> 6);
        (f64::from(high) * 67_108_864.0 + f64::from(low)) / 9_007_199_254_740_992.0
    }

    fn kind(&mut self) -> &'static str {
        let at = self.share() * 100.0;
        let found = KINDS.iter().find(|(_, below)| at < *below);
        found.map_or("move", |(kind, _)| kind)
    }
}

/// Writes the shop into a folder that is there.
pub fn write(folder: &Path, entries: u64) -> std::io::Result<()> {
    write_one(folder, entries, CONTAINERS, 20_260_101)
}

/// Writes one of many shops: with fewer containers, and drawn from another key.
pub fn write_one(folder: &Path, entries: u64, containers: usize, key: u32) -> std::io::Result<()> {
    std::fs::write(
        folder.join("shop.toml"),
        "name = \"Large made-up shop\"\nunits = \"us\"\npacks = [\"us-workplace\", \"us-fire-code\"]\nemployees = 12\nbusiness = true\n",
    )?;
    std::fs::write(
        folder.join("rooms.csv"),
        "room,use,length,width,height,level,sprinklered,exhaust\nfinishing,finishing,60 ft,40 ft,12 ft,ground,yes,6000 cfm\n",
    )?;
    let mut places = BufWriter::new(File::create(folder.join("places.csv"))?);
    writeln!(places, "place,room,kind,rated,capacity")?;
    for cabinet in 1..=50 {
        writeln!(places, "cabinet {cabinet},finishing,cabinet,yes,60 gal")?;
    }
    places.flush()?;
    let mut inventory = BufWriter::new(File::create(folder.join("inventory.csv"))?);
    writeln!(
        inventory,
        "container,product,lot,vessel,capacity,place,since,amount,opened,made,best_before,labelled,note"
    )?;
    for at in 0..containers {
        let (product, lot, cabinet) = (PRODUCTS[at % 5], at % 97, at % 50 + 1);
        writeln!(
            inventory,
            "C-{at:05},{product},L-{lot},drum,60 gal,cabinet {cabinet},2016-01-01,55 gal,,,,yes,"
        )?;
    }
    inventory.flush()?;
    log(folder, entries, containers, key)
}

fn log(folder: &Path, entries: u64, containers: usize, key: u32) -> std::io::Result<()> {
    let mut chance = Chance(Mt::new_with_key([key]));
    let mut out = BufWriter::with_capacity(1 << 20, File::create(folder.join("log.csv"))?);
    writeln!(
        out,
        "entry,when,what,container,amount,into,place,minutes,by,note"
    )?;
    let start = NaiveDate::from_ymd_opt(2016, 1, 4)
        .and_then(|day| day.and_hms_opt(8, 0, 0))
        .unwrap();
    let step = 10.0 * 365.0 * 24.0 * 60.0 / entries as f64;
    let mut left = vec![55.0 * GALLON; containers];
    for n in 0..entries {
        let when = (start + Duration::minutes((step * n as f64) as i64)).format("%Y-%m-%dT%H:%M");
        let c = chance.below(containers as u32) as usize;
        let (unit, millilitres) = UNITS[chance.below(5) as usize];
        let number = f64::from(1 + chance.below(2000)) / 100.0;
        let (id, take) = (n + 1, number * millilitres);
        if left[c] < take + 1000.0 {
            writeln!(out, "{id},{when},receive,C-{c:05},20 gal,,,,made-up,")?;
            left[c] += 20.0 * GALLON;
            continue;
        }
        match chance.kind() {
            "use" => {
                let minutes = 5 + chance.below(116);
                writeln!(
                    out,
                    "{id},{when},use,C-{c:05},{number:?} {unit},,,{minutes},made-up,coat {}",
                    n % 90
                )?;
                left[c] -= take;
            }
            "decant" => {
                let to = (c + 5) % containers;
                writeln!(
                    out,
                    "{id},{when},decant,C-{c:05},{number:?} {unit},C-{to:05},,,made-up,"
                )?;
                left[c] -= take;
                left[to] += take;
            }
            "discard" => {
                writeln!(
                    out,
                    "{id},{when},discard,C-{c:05},{number:?} {unit},,,,made-up,settled"
                )?;
                left[c] -= take;
            }
            "open" => writeln!(out, "{id},{when},open,C-{c:05},,,,,made-up,")?,
            _ => writeln!(
                out,
                "{id},{when},move,C-{c:05},,,cabinet {},,made-up,",
                1 + chance.below(50)
            )?,
        }
    }
    out.flush()
}
