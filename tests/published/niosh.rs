//! NIOSH, Pocket Guide p. 311 and IDLH documentation 108883, toluene; OSHA chemical sampling data. Seen: text.
//! The 375 and 750 mg/m³ printed beside 100 and 200 ppm are legacy limits, rounded in their day, and no arithmetic.

use crate::planned::{planned, with_products};
use crate::{near, prints};
use sandarac::vapour::conversion::{MolarVolume, mg_from_ppm};

#[test]
fn a_tenth_of_the_explosive_limit_of_toluene() {
    let shop = with_products("");
    let mut sessions = planned(&shop, "toluene", 1.0);
    sessions.products[0].1.vapours[0].limits.lel = Some(1.1);
    let [toluene] = sessions.components(&sessions.list[0]).try_into().unwrap();
    prints(toluene.limits_ppm.lel.map(|all| all * 0.1), "1100");
}

#[test]
fn toluene_in_mg() {
    let mg = |ppm| mg_from_ppm(ppm, 92.1, MolarVolume::Printed25);
    prints(mg(1.0), "3.77");
    prints(mg(50.0), "188");
    near(mg(100.0), 375.0, 0.006);
    near(mg(200.0), 750.0, 0.006);
}
