//! UN GHS (Rev.10), chapters 3 and 4, the shares from which a mixture is classed, each under, at and over.
//!
//! Skin irritation: secondary (a public agency's sheet on the exclamation mark). Aspiration: text (Regulation (EC)
//! 1272/2008, annex I, 3.10.3.3.1.1, as published). Reproduction: the EU's 0.3 and 3 % text (annex I, table 3.7.2), the US
//! 0.1 % memory; the lower of the two is taken. Methanol's own limits: secondary (annex VI as transcribed in a public
//! classifier). Acute toxicity: UN document ST/SG/AC.10/C.4/2008/23, annex 2, worked examples (secondary, two
//! transcriptions). All others from memory, as `data/ghs/limits.csv` says row by row.

use crate::ghs_tables::ghs;
use sandarac::trade::{Ghs, Pictogram, Signal};
use sandarac::vapour::labelled::{Labelled, acute_estimate, by_makeup};
use sandarac::vapour::makeup::{Ingredient, Makeup};

fn made_of(parts: &[(&str, f64)]) -> Makeup {
    let ingredient = |(name, most): &(&str, f64)| Ingredient {
        name: (*name).to_string(),
        most: *most,
        on_record: true,
    };
    Makeup {
        ingredients: parts.iter().map(ingredient).collect(),
        ..Makeup::default()
    }
}

fn labelled<'g>(ghs: &'g Ghs, parts: &[(&str, f64)]) -> Labelled<'g> {
    by_makeup(ghs, &made_of(parts))
}

fn codes(ghs: &Ghs, parts: &[(&str, f64)]) -> Vec<String> {
    let labelled = labelled(ghs, parts);
    labelled
        .met
        .iter()
        .map(|met| met.class.code.clone())
        .collect()
}

/// Each share under its border does not bring the statement; at the border and over it, it does.
#[test]
fn every_border_under_at_and_over() {
    let ghs = ghs();
    for (substance, code, border) in [
        ("methanol", "H370", 1.0),
        ("toluene", "H361", 0.1),
        ("toluene", "H315", 10.0),
        ("toluene", "H304", 10.0),
        ("toluene", "H373", 1.0),
        ("toluene", "H336", 20.0),
        ("n-hexane", "H372", 1.0),
        ("n-hexane", "H411", 25.0),
        ("n-hexane", "H412", 2.5),
        ("dichloromethane", "H351", 0.1),
        ("ethanol", "H319", 10.0),
        ("n-butanol", "H318", 3.0),
        ("n-butanol", "H319", 1.0),
        ("n-butanol", "H335", 20.0),
        ("ammonia", "H315", 1.0),
        ("ammonia", "H319", 1.0),
        ("ammonia", "H318", 3.0),
        ("ammonia", "H314", 5.0),
        ("ammonia", "H335", 5.0),
        ("ammonia", "H400", 25.0),
        ("acetic acid", "H315", 10.0),
        ("acetic acid", "H319", 10.0),
        ("acetic acid", "H314", 25.0),
        ("tetrahydrofuran", "H319", 25.0),
        ("turpentine", "H317", 0.1),
        ("d-limonene", "H317", 1.0),
        ("turpentine", "H411", 25.0),
        ("turpentine", "H412", 2.5),
        ("n-heptane", "H410", 25.0),
        ("n-heptane", "H411", 2.5),
        ("n-heptane", "H412", 0.25),
    ] {
        let at = |share: f64| codes(&ghs, &[(substance, share)]).contains(&code.to_string());
        assert!(
            !at(border * 0.999),
            "{substance} brings {code} under {border} %"
        );
        assert!(
            at(border),
            "{substance} does not bring {code} at {border} %"
        );
        // A graver class may take its place further up.
        assert!(
            at(border * 1.001),
            "{substance} does not bring {code} over {border} %"
        );
    }
}

/// A substance's own limit stands in place of the general one. For harm to organs the EU's own limits of methanol (10 and 3 %)
/// are not taken over, since US law has none: 29 CFR 1910.1200 appendix A, table A.8.2, category 1 from 1 % (text).
#[test]
fn its_own_limit_comes_first() {
    let ghs = ghs();
    assert_eq!(codes(&ghs, &[("acetic acid", 9.0)]), [""; 0]);
    let organs = |share| {
        let codes = codes(&ghs, &[("methanol", share)]);
        codes.into_iter().find(|code| code.starts_with("H37"))
    };
    assert_eq!(organs(25.0).as_deref(), Some("H370"));
    assert_eq!(organs(5.0).as_deref(), Some("H370"));
    assert_eq!(organs(1.0).as_deref(), Some("H370"));
    assert_eq!(organs(0.9), None);
}

/// Irritants, narcotics and aspiration hazards add up; what harms by itself does not.
#[test]
fn what_adds_and_what_does_not() {
    let ghs = ghs();
    let has = |parts: &[(&str, f64)], code: &str| codes(&ghs, parts).contains(&code.to_string());
    assert!(!has(&[("ethanol", 5.0), ("acetone", 4.9)], "H319"));
    assert!(has(&[("ethanol", 5.0), ("acetone", 5.0)], "H319"));
    assert!(!has(&[("acetone", 10.0), ("ethyl acetate", 9.9)], "H336"));
    assert!(has(&[("acetone", 10.0), ("ethyl acetate", 10.0)], "H336"));
    assert!(has(&[("kerosene", 5.0), ("mineral spirits", 5.0)], "H304"));
    // Ten times what burns, and what irritates.
    assert!(has(&[("ammonia", 0.5), ("xylenes", 5.0)], "H315"));
    assert!(!has(&[("ammonia", 0.5), ("xylenes", 4.9)], "H315"));
    // Narcosis and irritation of the airways are summed apart.
    assert!(!has(&[("acetone", 15.0), ("xylenes", 15.0)], "H335"));
    assert!(!has(&[("acetone", 15.0), ("xylenes", 15.0)], "H336"));
    assert!(!has(
        &[("dichloromethane", 0.06), ("tetrahydrofuran", 0.06)],
        "H351"
    ));
    assert!(!has(&[("mineral spirits", 0.9), ("n-hexane", 0.9)], "H372"));
}

/// The example (d) of the UN document: oral 873 mg/kg, category 4; vapour 6.6 mg/L, category 3, with 11 % unknown.
#[test]
fn the_worked_examples_of_acute_toxicity() {
    let oral = acute_estimate(&[(26.0, 2737.0), (23.0, 4500.0), (40.0, 400.0)], 0.0);
    crate::prints(oral, "873");
    let vapour = acute_estimate(&[(26.0, 11.0), (23.0, 19.0), (40.0, 4.0)], 11.0);
    crate::prints(vapour, "6.6");
    // Example (c): 4 % of an ingredient with 1737 mg/kg comes to 43425 mg/kg.
    crate::prints(acute_estimate(&[(4.0, 1737.0)], 0.0), "43425");
    // Up to 10 % unknown shrinks nothing.
    assert_eq!(
        acute_estimate(&[(50.0, 100.0)], 10.0),
        acute_estimate(&[(50.0, 100.0)], 0.0)
    );
    assert_eq!(acute_estimate(&[], 0.0), None);
}

/// Methanol by the doses that stand for its categories (100 and 300 mg/kg, 3 mg/L; borders of table 3.1.1).
#[test]
fn acute_toxicity_under_at_and_over() {
    let ghs = ghs();
    for (code, share, is) in [
        ("H302", 4.999, false),
        ("H302", 5.0, true),
        ("H301", 33.3, false),
        ("H301", 33.34, true),
        ("H312", 14.9, false),
        ("H312", 15.0, true),
        ("H311", 29.9, false),
        ("H311", 30.0, true),
        ("H332", 14.9, false),
        ("H332", 15.0, true),
        ("H331", 29.9, false),
        ("H331", 30.0, true),
    ] {
        let found = codes(&ghs, &[("methanol", share)]).contains(&code.to_string());
        assert_eq!(found, is, "{code} at {share} %");
    }
}

/// Annex VI gives pure methanol H301 H311 H331 H370, and H225 by its flash point (secondary: a supplier's data sheet).
#[test]
fn pure_methanol() {
    assert_eq!(
        codes(&ghs(), &[("methanol", 100.0)]),
        ["H301", "H311", "H331", "H370"]
    );
}

/// UN GHS 1.4.10.5.3.1 and Regulation (EC) 1272/2008, article 26 (secondary, both): one signal word; the skull stands in
/// for the exclamation mark, corrosion for that of skin and eyes alone.
#[test]
fn precedence() {
    use Pictogram::{Corrosion, Environment, Exclamation, Health, Skull};
    let ghs = ghs();
    let shown = |parts: &[(&str, f64)]| {
        let labelled = labelled(&ghs, parts);
        (labelled.signal(), labelled.pictograms())
    };
    let danger = Some(Signal::Danger);
    assert_eq!(
        shown(&[("methanol", 60.0), ("acetone", 40.0)]),
        (danger, vec![Skull, Health])
    );
    assert_eq!(
        shown(&[("ammonia", 4.0), ("xylenes", 10.0)]),
        (danger, vec![Corrosion, Health])
    );
    assert_eq!(
        shown(&[("ammonia", 5.0)]),
        (danger, vec![Corrosion, Exclamation])
    );
    assert_eq!(
        shown(&[("1-propanol", 100.0)]),
        (danger, vec![Corrosion, Exclamation])
    );
    assert_eq!(
        shown(&[("ethanol", 76.7)]),
        (Some(Signal::Warning), vec![Exclamation])
    );
    assert_eq!(
        shown(&[("turpentine", 100.0)]),
        (danger, vec![Health, Exclamation, Environment])
    );
    assert_eq!(shown(&[("water", 100.0)]), (None, vec![]));
}

/// H410 makes H400 needless, and H314 does H318 (secondary, a page on precedence).
#[test]
fn graver_statements_stand_alone() {
    let ghs = ghs();
    let heptane = codes(&ghs, &[("n-heptane", 100.0)]);
    assert!(heptane.contains(&"H410".into()) && !heptane.contains(&"H400".into()));
    let ammonia = codes(&ghs, &[("ammonia", 10.0)]);
    assert!(ammonia.contains(&"H314".into()) && !ammonia.contains(&"H318".into()));
}

/// What nothing is on record of is never counted as harmless.
#[test]
fn what_is_not_known_is_said() {
    let ghs = ghs();
    assert_eq!(labelled(&ghs, &[]).gaps, ["what it is made of"]);
    let mut makeup = made_of(&[("ethanol", 50.0)]);
    makeup.gaps.push("`secret part`".into());
    let labelled = by_makeup(&ghs, &makeup);
    assert_eq!(labelled.gaps, ["`secret part`"]);
    assert_eq!(labelled.met.len(), 1);
}
