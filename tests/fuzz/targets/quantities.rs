//! Any text as a quantity, a density, a day, a moment, a list of parts.
#![no_main]

use libfuzzer_sys::fuzz_target;
use sandarac::quantity::{Day, Density, Exact, LastDay, Measure, Moment, natural};
use sandarac::record::parse_parts;

fuzz_target!(|text: &str| {
    if let Ok(measure) = Measure::parse(text) {
        // What was written reads back as the same; a fraction may have more decimals than anyone may write.
        if !text.contains('/') {
            assert_eq!(Measure::parse(&measure.text()), Ok(measure), "{text:?}");
        }
        if let Some(amount) = measure.amount() {
            let _ = (natural(amount, true), natural(amount, false));
        }
        let _ = (measure.span(), measure.share(), measure.written.estimate());
        let _ = (
            measure.house.plus(measure.written),
            measure.house.times(measure.written),
        );
    }
    if let Ok(number) = Exact::parse(text) {
        assert_eq!(Exact::parse(&number.digits()), Ok(number), "{text:?}");
    }
    let moment = Moment::parse(text);
    assert_eq!(LastDay::default().moment(text), moment.ok(), "{text:?}");
    if let Ok(moment) = moment {
        assert_eq!(moment.to_string(), text);
    }
    if let Ok(day) = Day::parse(text) {
        assert_eq!(day.to_string(), text);
    }
    let _ = (Density::parse(text), parse_parts(text));
});
