//! UN GHS (ST/SG/AC.10/30/Rev.10, 2023), table 2.6.1, and Regulation (EC) 1272/2008, annex I, tables 2.6.1 and 2.6.2:
//! the criteria of flammable liquids and their label elements. Categories 1 to 3: text (the regulation, as
//! published at reachlex.eu). Category 4 and H227: secondary (a university's page; a compliance service's page on 29 CFR
//! 1910.1200). Each border under, at and over; temperatures as printed, in C.

use crate::ghs_tables::ghs;
use crate::shop::temperature;
use sandarac::trade::{Ghs, Pictogram, Signal};
use sandarac::vapour::class::Flash;
use sandarac::vapour::labelled::fire_class;

fn code<'g>(ghs: &'g Ghs, flash: &str, boils: Option<&str>) -> Option<&'g str> {
    let flash = Flash::At(temperature(flash));
    fire_class(ghs, flash, boils.map(temperature)).map(|(class, _)| class.code.as_str())
}

#[test]
fn every_border_under_at_and_over() {
    let ghs = ghs();
    let high = Some("200 C");
    for (flash, boils, printed) in [
        ("-20 C", Some("34.9 C"), Some("H224")),
        ("22.9 C", Some("34.9 C"), Some("H224")),
        ("22.9 C", Some("35 C"), Some("H224")),
        ("22.9 C", Some("35.1 C"), Some("H225")),
        ("22.999 C", high, Some("H225")),
        ("23 C", Some("30 C"), Some("H226")),
        ("23 C", high, Some("H226")),
        ("23.001 C", high, Some("H226")),
        ("59.9 C", high, Some("H226")),
        ("60 C", high, Some("H226")),
        ("60.1 C", high, Some("H227")),
        ("92.9 C", high, Some("H227")),
        ("93 C", high, Some("H227")),
        ("93.1 C", high, None),
    ] {
        assert_eq!(code(&ghs, flash, boils), printed, "{flash}, {boils:?}");
    }
}

/// The same borders in the printed figures of 29 CFR 1910.1200, appendix B.6: 73.4 F, 95 F, 140 F, 199.4 F (secondary).
#[test]
fn the_borders_in_fahrenheit() {
    let ghs = ghs();
    for (flash, boils, printed) in [
        ("73.3 F", Some("95 F"), Some("H224")),
        ("73.3 F", Some("95.1 F"), Some("H225")),
        ("73.4 F", Some("300 F"), Some("H226")),
        ("140 F", Some("300 F"), Some("H226")),
        ("140.1 F", Some("300 F"), Some("H227")),
        ("199.4 F", Some("400 F"), Some("H227")),
        ("199.5 F", Some("400 F"), None),
    ] {
        assert_eq!(code(&ghs, flash, boils), printed, "{flash}");
    }
}

/// Where only the boiling point could tell, the graver one is taken and that is said; elsewhere it is not needed.
#[test]
fn without_a_boiling_point() {
    let ghs = ghs();
    let fire = |flash: &str| fire_class(&ghs, Flash::At(temperature(flash)), None).unwrap();
    let (class, why) = fire("10 C");
    assert_eq!(class.code, "H224");
    assert!(why.unwrap().contains("boiling point"));
    let (class, why) = fire("40 C");
    assert_eq!((class.code.as_str(), why), ("H226", None));
    assert!(fire_class(&ghs, Flash::Never, None).is_none());
    assert!(fire_class(&ghs, Flash::NotALiquid, None).is_none());
}

/// The statements are those of the tables, in US spelling.
#[test]
fn signal_word_pictogram_and_statement() {
    let ghs = ghs();
    for (class, code, signal, pictogram, text) in [
        (
            "flam-liq-1",
            "H224",
            Signal::Danger,
            Some(Pictogram::Flame),
            "Extremely flammable liquid and vapor",
        ),
        (
            "flam-liq-2",
            "H225",
            Signal::Danger,
            Some(Pictogram::Flame),
            "Highly flammable liquid and vapor",
        ),
        (
            "flam-liq-3",
            "H226",
            Signal::Warning,
            Some(Pictogram::Flame),
            "Flammable liquid and vapor",
        ),
        (
            "flam-liq-4",
            "H227",
            Signal::Warning,
            None,
            "Combustible liquid",
        ),
    ] {
        let found = ghs.class(class).unwrap();
        assert_eq!(found.code, code);
        assert_eq!(
            (found.signal, found.pictogram),
            (Some(signal), pictogram),
            "{class}"
        );
        assert_eq!(ghs.statement(code).unwrap().text, text);
    }
    let printed = "P210 P233 P240 P241 P242 P243 P280 P303+P361+P353 P370+P378 P403+P235 P501";
    for class in ["flam-liq-1", "flam-liq-2", "flam-liq-3"] {
        assert_eq!(
            ghs.class(class).unwrap().precautions.join(" "),
            printed,
            "table 2.6.2"
        );
    }
}
