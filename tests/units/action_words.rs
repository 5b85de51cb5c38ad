//! The lists of the demo and of made-up shops, as sentences.

use super::{ActionLine, ActionList, Wording, action_list};
use crate::audit::Shop;
use crate::quantity::Day;

fn list_of(shop: &Shop, day: &str) -> ActionList {
    let audit = shop.audit(Day::parse(day).unwrap()).unwrap();
    action_list(&audit)
}

fn words(lines: &[ActionLine]) -> Vec<String> {
    lines.iter().map(ActionLine::words).collect()
}

const SETTINGS: &str =
    "name = \"Made up\"\nunits = \"us\"\npacks = [\"us-workplace\"]\nemployees = 1\n";

#[test]
fn the_demo_begins_with_its_rag() {
    let list = list_of(&Shop::demo().unwrap(), "2026-10-31");
    assert_eq!(
        list.headline,
        "1 oily rag has been wet and loose on the bench for 13 hours. One oily rag can start a fire."
    );
    assert_eq!(
        words(&list.now),
        [
            "Put the oily rag on the bench under water or lay it flat outdoors. Do this now. \
          1 oily rag has been wet and loose on the bench for 13 hours."
        ]
    );
    let label = list
        .today
        .iter()
        .find(|line| line.text.starts_with("Label"))
        .unwrap();
    assert_eq!(label.words(), "Label J-9 (shellac 1 lb cut, bleached).");
    assert_eq!(label.person.as_deref(), Some("assistant"));
    assert_eq!(label.deadline.as_deref(), Some("by 7 Nov"));
    assert!(
        label.law.contains("29 CFR 1910.1200(f)(6)"),
        "{}",
        label.law
    );
    // One rag is one thing, however many rules it breaks.
    let about_rag = |line: &&ActionLine| line.subjects.iter().any(|subject| subject.id == "R-1");
    let all = list.parts();
    let all = all.iter().flat_map(|(_, lines)| lines.iter());
    assert_eq!(all.filter(about_rag).count(), 1);
}

#[test]
fn every_finding_has_words_and_what_is_met_has_no_task() {
    let shop = Shop::demo().unwrap();
    let audit = shop.audit(Day::parse("2026-10-31").unwrap()).unwrap();
    let wording = Wording::of_audit(&audit);
    for finding in audit.findings() {
        let words = wording.finding(finding);
        assert!(words.fact.ends_with('.'), "{words:?}");
        assert_eq!(words.task.is_empty(), !finding.calls(), "{words:?}");
        assert!(!words.fact.contains(['`', '{']), "{words:?}");
    }
}

/// Two heaps of one batch are both named: a person who clears one must not stop there. Rags of unknown state count as oily.
#[test]
fn rags_in_two_places_are_one_task_that_names_both() {
    let inventory = "container,product,vessel,capacity,place,since,amount\n\
         O-1,boiled linseed oil,metal,1 qt,bench,2026-11-01,1 qt\n\
         R-1,cotton rag,rag,,bench,2026-11-01,4 pcs\n";
    let log = "entry,when,what,container,amount,into,place\n\
         1,2026-11-24T10:00,soil,R-1,1 pcs,O-1,bench\n\
         2,2026-11-24T11:00,soil,R-1,2 pcs,O-1,sink\n";
    let shop = Shop::from_texts(&[
        ("shop.toml", SETTINGS),
        ("rooms.csv", "room,use\nfinishing,finishing\n"),
        (
            "places.csv",
            "place,room,kind\nbench,finishing,bench\nsink,finishing,shelf\n",
        ),
        ("inventory.csv", inventory),
        ("log.csv", log),
    ])
    .unwrap();
    let list = list_of(&shop, "2026-11-24");
    assert_eq!(list.now.len(), 1);
    assert_eq!(
        list.now[0].text,
        "Put the 4 oily rags on the bench and on the sink under water or lay them flat outdoors. Do this now."
    );
}

/// Fifty cabinets that are too full are one line with the worst of them, found by number and not by name.
#[test]
fn equal_things_are_one_line_with_the_worst() {
    let mut places = "place,room,kind,rated\n".to_string();
    let mut inventory =
        "container,product,vessel,capacity,place,since,amount,labelled\n".to_string();
    for n in 1..=12 {
        places += &format!("cabinet {n},store,cabinet,yes\n");
        let gallons = if n == 9 { 598 } else { 130 };
        inventory += &format!(
            "D-{n},denatured alcohol,drum,600 gal,cabinet {n},2026-11-01,{gallons} gal,yes\n"
        );
    }
    let shop = Shop::from_texts(&[
        ("shop.toml", SETTINGS),
        ("rooms.csv", "room,use\nstore,store-room\n"),
        ("places.csv", &places),
        ("inventory.csv", &inventory),
    ])
    .unwrap();
    let list = list_of(&shop, "2026-11-24");
    let all = words(&list.today).join("\n");
    assert!(
        all.contains(
            "12 cabinets are over their limit. Worst: cabinet 9 with 598 gal (limit 60 gal)."
        ),
        "{all}"
    );
}

/// A metric shop reads liters and a 24-hour clock.
#[test]
fn a_metric_shop_reads_its_own_units() {
    let inventory = "container,product,vessel,capacity,place,since,amount,labelled\n\
         A-1,denatured alcohol,glass,2 L,shelf,2026-11-01,2 L,yes\n";
    let settings = SETTINGS.replace("\"us\"\n", "\"metric\"\n");
    let shop = Shop::from_texts(&[
        ("shop.toml", &settings),
        ("rooms.csv", "room,use\nfinishing,finishing\n"),
        ("places.csv", "place,room,kind\nshelf,finishing,shelf\n"),
        ("inventory.csv", inventory),
    ])
    .unwrap();
    let list = list_of(&shop, "2026-11-24");
    let size = list
        .today
        .iter()
        .find(|line| line.text.starts_with("Pour"))
        .unwrap();
    assert_eq!(
        size.words(),
        "Pour A-1 (denatured alcohol) into smaller containers or a safety can. A-1 is a 2 L glass container. \
         The limit is 0.946 L."
    );
}

/// A rag that went into the trash wet is as urgent as one on the bench, and its sentences say so.
#[test]
fn a_wet_rag_in_the_trash_is_taken_out_now() {
    let inventory = "container,product,vessel,capacity,place,since,amount\n\
         O-1,boiled linseed oil,metal,1 qt,bench,2026-11-01,1 qt\n\
         R-1,cotton rag,rag,,bench,2026-11-01,2 pcs\n";
    let log = "entry,when,what,container,amount,into\n\
         1,2026-11-24T10:00,soil,R-1,2 pcs,O-1\n\
         2,2026-11-24T16:30,discard,R-1,2 pcs,\n";
    let shop = Shop::from_texts(&[
        ("shop.toml", SETTINGS),
        ("rooms.csv", "room,use\nfinishing,finishing\n"),
        ("places.csv", "place,room,kind\nbench,finishing,bench\n"),
        ("inventory.csv", inventory),
        ("log.csv", log),
    ])
    .unwrap();
    let list = list_of(&shop, "2026-11-24");
    assert_eq!(
        words(&list.now),
        [
            "Take the 2 oily rags out of the trash now. Put them under water or lay them flat outdoors. \
          2 oily rags from the bench were discarded before drying, on 24 Nov, 4:30 pm."
        ]
    );
}

#[test]
fn an_exposure_names_its_room() {
    let shop = Shop::from_texts(&[
        ("shop.toml", SETTINGS),
        (
            "rooms.csv",
            "room,use,length,width,height,level,exhaust,mixing\n\
             one,finishing,3 m,3 m,2.5 m,ground,10 m3/h,1\ntwo,finishing,3 m,3 m,2.5 m,ground,10 m3/h,1\n",
        ),
        (
            "inventory.csv",
            "container,product,vessel,capacity,place,since,amount\n\
             A-1,toluene,metal,1 gal,one,2026-10-01,1 gal\nA-2,toluene,metal,1 gal,two,2026-10-01,1 gal\n",
        ),
        (
            "log.csv",
            "entry,when,what,container,amount,minutes\n\
             1,2026-11-20T09:00,use,A-1,2 fl oz,60\n2,2026-11-21T09:00,use,A-2,2 fl oz,60\n",
        ),
    ]);
    let list = list_of(&shop.unwrap(), "2026-11-24");
    let parts = list.parts();
    let told: Vec<String> = parts.iter().flat_map(|(_, lines)| words(lines)).collect();
    for part in [
        "used in the one on 20 Nov",
        "used in the two on 21 Nov",
        "the legal short-term limit (15 min)",
    ] {
        assert!(told.iter().any(|text| text.contains(part)), "{told:?}");
    }
}

/// Two things of a kind of which one is allowed are not one thing to be thrown away.
#[test]
fn a_second_portable_tank_is_moved_and_not_discarded() {
    let inventory = "container,product,vessel,capacity,place,since,amount\n\
         T-1,thinner,portable-tank,100 gal,floor,2026-11-01,30 gal\n\
         T-2,thinner,portable-tank,100 gal,floor,2026-11-01,30 gal\n";
    let shop = Shop::from_texts(&[
        ("shop.toml", SETTINGS),
        ("rooms.csv", "room,use\nfinishing,finishing\n"),
        ("places.csv", "place,room,kind\nfloor,finishing,floor\n"),
        (
            "products.csv",
            "product,kind,flash_point,boiling_point\nthinner,solvent,55 F,173 F\n",
        ),
        ("inventory.csv", inventory),
    ]);
    let list = list_of(&shop.unwrap(), "2026-11-24");
    let today = words(&list.today);
    let tanks: Vec<&String> = today.iter().filter(|line| line.contains("T-2")).collect();
    assert_eq!(
        tanks,
        [
            "Move the second tank into a store-room, or empty and remove it. T-1 and T-2 are here. Only one is allowed."
        ]
    );
}
