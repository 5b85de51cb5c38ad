//! Conversion of exposure values for gases (single sheet, scribd 180203915) and CCOHS OSH Answers on mg/m³ and ppm.
//! Seen: text. The toluene of 20 ppm: safety-exam study notes, author not established; seen: secondary.

use crate::{near, prints};
use sandarac::vapour::conversion::{MolarVolume, mg_from_ppm};

#[test]
fn carbon_dioxide_limit() {
    near(
        mg_from_ppm(5000.0, 44.0, MolarVolume::Printed25),
        9000.0,
        0.0005,
    );
}

#[test]
fn molar_volumes() {
    prints(Some(22.4 * 298.15 / 273.15), "24.45");
    near(MolarVolume::Ideal(25.0).litres(), 24.45, 0.001);
    near(
        MolarVolume::Ideal(25.0).litres(),
        24.465_403_697_038_123,
        1.0e-9,
    );
    near(MolarVolume::Ideal(20.0).litres(), 24.06, 0.001);
}

#[test]
fn toluene_of_20_ppm() {
    prints(mg_from_ppm(20.0, 92.0, MolarVolume::Printed25), "75.3");
}
