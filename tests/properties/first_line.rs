//! A loose rag is the first line of what to do, whatever else is wrong in the shop.

use crate::few;
use proptest::collection::vec;
use proptest::prelude::{Strategy, any, prop_assert, prop_assert_eq, prop_assume, proptest};
use proptest::sample::select;
use sandarac::audit::Shop;
use sandarac::finding::Verdict;
use sandarac::quantity::Day;
use sandarac::report::words::action_list;
use std::fmt::Write;

const PLACES: [&str; 5] = ["bench", "cabinet", "window", "floor", "rag can"];

/// A container that is likely to break something: size, amount, label, place, age.
#[derive(Clone, Debug)]
struct Jar {
    product: &'static str,
    vessel: &'static str,
    gallons: u32,
    labelled: &'static str,
    place: &'static str,
    made: &'static str,
}

fn jar() -> impl Strategy<Value = Jar> {
    let product = select(vec![
        "denatured alcohol",
        "turpentine",
        "mineral spirits",
        "household ammonia",
        "bleach",
        "shellac 2 lb cut",
        "something unknown",
    ]);
    let vessel = select(vec!["glass", "plastic", "metal", "drum"]);
    let rest = (
        1_u32..120,
        select(vec!["yes", "no", ""]),
        select(PLACES[..4].to_vec()),
        select(vec!["2010-01-01", "2026-10-01", ""]),
    );
    (product, vessel, rest).prop_map(|(product, vessel, (gallons, labelled, place, made))| Jar {
        product,
        vessel,
        gallons,
        labelled,
        place,
        made,
    })
}

/// Questions of the round that are answered with a no.
fn refused() -> impl Strategy<Value = Vec<&'static str>> {
    vec(
        select(vec![
            "rag-can",
            "rag-can-empty",
            "rag-can-lid",
            "extinguisher-look",
            "exits-clear",
            "cords",
            "heaters",
            "lids-closed",
            "drain-clear",
            "eyewash-flush",
            "incompatibles-apart",
        ]),
        0..8,
    )
}

proptest! {
    #![proptest_config(few(48))]

    #[test]
    fn a_loose_rag_is_the_first_line(
        jars in vec(jar(), 0..40),
        refused in refused(),
        at in select(PLACES[..4].to_vec()),
        id in select(vec!["A-0", "R-1", "ZZ-99"]),
        us in any::<bool>(),
    ) {
        let units = if us { "us" } else { "metric" };
        let toml = format!(
            "name = \"Test\"\nunits = \"{units}\"\npacks = [\"us-workplace\", \"us-fire-code\"]\nemployees = 3\nbusiness = true\n"
        );
        let rooms = "room,use,length,width,height,level\nfinishing,finishing,20 ft,16 ft,9 ft,basement\n";
        let places = "place,room,kind,x,y\nbench,finishing,bench,2 ft,2 ft\ncabinet,finishing,cabinet,4 ft,2 ft\n\
            window,finishing,window,20 ft,8 ft\nfloor,finishing,floor,9 ft,9 ft\nrag can,finishing,oily-waste-can,3 ft,2 ft\n";
        let fixtures = "fixture,room,kind,x,y\nstove,finishing,flame,3 ft,3 ft\ndoor,finishing,exit,0 ft,8 ft\n\
            hook,finishing,extinguisher,1 ft,8 ft\nsink,finishing,eyewash,1 ft,1 ft\n";
        let mut inventory = "container,product,vessel,capacity,place,since,amount,made,labelled\n".to_string();
        for (nth, jar) in jars.iter().enumerate() {
            let Jar { product, vessel, gallons, labelled, place, made } = jar;
            writeln!(
                inventory,
                "J-{nth},{product},{vessel},{gallons} gal,{place},2026-11-02,{gallons} gal,{made},{labelled}"
            ).unwrap();
        }
        writeln!(inventory, "V-1,boiled linseed oil,metal,1 qt,bench,2026-11-02,1 qt,,yes").unwrap();
        writeln!(inventory, "{id},cotton rags,rag,,{at},2026-11-02,9 pcs,,").unwrap();
        let log = format!("entry,when,what,container,amount,into\n1,2026-11-24T09:00,soil,{id},1 pcs,V-1\n");
        let mut checks = "when,check,where,answer\n".to_string();
        for check in &refused {
            writeln!(checks, "2026-11-23T09:00,{check},,no").unwrap();
        }
        let texts = [
            ("shop.toml", toml.as_str()),
            ("rooms.csv", rooms),
            ("places.csv", places),
            ("fixtures.csv", fixtures),
            ("inventory.csv", inventory.as_str()),
            ("log.csv", log.as_str()),
            ("checks.csv", checks.as_str()),
        ];
        let shop = Shop::from_texts(&texts);
        prop_assert!(shop.is_ok(), "{:?}", shop.err());
        let shop = shop.unwrap();
        let audit = shop.audit(Day::parse("2026-11-24").unwrap());
        prop_assert!(audit.is_ok());
        let audit = audit.unwrap();
        let list = action_list(&audit);
        let first = list.parts().into_iter().flat_map(|(_, lines)| lines).next();
        prop_assert!(first.is_some());
        let first = first.unwrap();
        prop_assert!(list.headline.contains("oily rag"), "{}", list.headline);
        prop_assert!(list.now.first() == Some(first), "{}", first.text);
        prop_assert!(first.text.contains("oily rag"), "{}", first.text);
        prop_assert_eq!(&first.subjects[0].id, id);
        // The other things that are wrong are in the list, too.
        prop_assume!(jars.len() > 3);
        let breaches = audit.findings().iter().filter(|f| f.verdict == Verdict::Breach);
        prop_assert!(breaches.count() > 1);
    }
}
