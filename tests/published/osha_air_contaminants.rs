//! 29 CFR 1910.1000(d)(1)(ii) and (d)(2)(ii), the printed examples. Seen: text, a copy of the rule.

use crate::planned::{planned, with_products};
use crate::prints;
use sandarac::vapour::history::History;
use sandarac::vapour::well_mixed::{Release, WellMixedRoom};

/// What is released all at once brings the air to a level; in a closed room it stays, so levels are built up from the
/// least: 50 for 4 h, 75 for 2 h, 150 for 2 h. The shift begins with the first.
#[test]
fn two_hours_at_150_two_at_75_four_at_50() {
    let room = WellMixedRoom::new(10.0, 0.0, 1.0).unwrap();
    let emission = |start, level| Release {
        start,
        minutes: 0.0,
        mass: 10.0 * level,
        drying: 0.0,
    };
    let history = History::new(
        &room,
        &[
            emission(0.0, 50.0),
            emission(240.0, 25.0),
            emission(360.0, 75.0),
        ],
    )
    .unwrap();
    prints(history.mean(0.0, 480.0), "81.25");
    let worst = history.worst_mean_ending(480.0, 0.0, 480.0);
    prints(worst.map(|worst| worst.level), "81.25");
}

/// 500 ppm of 1000, 45 of 200 and 40 of 200: acetone, methyl ethyl ketone and methanol have these limits, and the blend
/// gives off as many moles of each as the example has ppm.
#[test]
fn a_mixture_at_0_925_of_its_limit() {
    let shop = with_products(
        "blend,solvent,acetone 86.515 mass %; methyl ethyl ketone 9.667 mass %; methanol 3.818 mass %,0 F,\n",
    );
    let acetone = |litres| {
        let sessions = planned(&shop, "blend", litres);
        sessions.components(&sessions.list[0])[0].shift_ppm
    };
    let litres = 500.0 / acetone(1.0);
    let sessions = planned(&shop, "blend", litres);
    let session = &sessions.list[0];
    let parts: Vec<_> = sessions
        .components(session)
        .iter()
        .map(|part| {
            (
                part.shift_ppm.round(),
                part.limits_ppm.legal.unwrap().round(),
            )
        })
        .collect();
    assert_eq!(parts, [(500.0, 1000.0), (45.0, 200.0), (40.0, 200.0)]);
    prints(session.all.legal, "0.925");
}
