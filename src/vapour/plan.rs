//! Work not yet done: one use in one room, the air it would need by the printed formulas, and all of it on the floor.
//!
//! The formulas take everything to evaporate evenly while the work lasts; the room itself is reckoned as for a session.

use super::conversion::{LITRES_PER_CUBIC_FOOT, LITRES_PER_GALLON, MolarVolume, ppm_from_mg};
use super::dilution::{
    air_for_fire, airflow_for_changes, airflow_for_fire, airflow_for_floor, airflow_for_health,
    layer_at_lel, le_chatelier, share_of_lel_if_all, us_airflow_for_health,
};
use super::given_off::{GivenOff, Vapour};
use super::own_alcohol::given_off_here;
use super::room_month::judge_room;
use super::session::{Emission, RoomAir, Session, Sessions};
use super::shown::{CUBIC_METRES_PER_CFM, figures, flow_shown, given};
use crate::quantity::Moment;
use crate::record::{Room, RoomId, ShopTables};

/// 70 °F in °C, at which the airflow formulas take the vapour.
const SEVENTY: f64 = 190.0 / 9.0;
/// Grams of water in a US pint, by the definition of SG.
const GRAMS_PER_PINT: f64 = LITRES_PER_GALLON / 8.0 * 1000.0;
/// Square metres in a square foot, exact.
const SQUARE_METRES_PER_FOOT: f64 = 0.3048 * 0.3048;
/// Least airflow by floor area, cfm.
const LEAST_CFM: f64 = 150.0;
/// Air changes an hour asked of an inside storage room.
const CHANGES: f64 = 6.0;

#[derive(Clone, Copy, Debug)]
pub struct Work<'a> {
    pub room: RoomId,
    pub product: &'a str,
    /// Litres used in all.
    pub litres: f64,
    /// Minutes of work.
    pub minutes: u32,
    /// m³/h the exhaust shall move, in place of what rooms.csv says.
    pub exhaust: Option<f64>,
    /// Everything evaporates as it is put on.
    pub at_once: bool,
}

/// The one session that the work would be, or what has to be known for it.
pub fn plan(tables: &ShopTables, work: &Work<'_>, began: Moment) -> Result<Sessions, String> {
    let mut off = given_off_here(tables, work.product)?;
    if let Some(why) = off.gap.take() {
        return Err(why);
    }
    if off.vapours.is_empty() {
        return Err(format!(
            "{} releases no vapor that counts here",
            work.product
        ));
    }
    if work.at_once {
        for vapour in &mut off.vapours {
            vapour.drying = 0.0;
        }
    }
    let room = &tables[work.room];
    let air = RoomAir::new(room).map(|air| RoomAir {
        exhaust: work.exhaust.or(air.exhaust),
        ..air
    });
    let mut session = Session::new(Some(work.room), air, began);
    session.worked = f64::from(work.minutes);
    session.litres.push((0, work.litres));
    session.emissions.push(Emission {
        start: 0.0,
        minutes: Some(work.minutes),
        litres: work.litres,
        product: 0,
        by: None,
        at: room.at,
    });
    let products = vec![(work.product.to_string(), off)];
    let (list, _) = judge_room(vec![session], air, &products);
    match list.first().and_then(|session| session.gap.clone()) {
        Some(why) => Err(why),
        None => Ok(Sessions {
            list,
            products,
            people: Vec::new(),
        }),
    }
}

/// An airflow that the work needs, and how it comes about.
#[derive(Clone, Debug)]
pub struct Need {
    /// A name that programs may lean on.
    pub name: &'static str,
    /// What it is for.
    pub what: &'static str,
    /// m³/h; `None` where the formula does not apply.
    pub flow: Option<f64>,
    /// The formula with its numbers, or why there is none.
    pub working: Vec<String>,
}

/// The airflows that the work needs.
pub fn needs(sessions: &Sessions, room: &Room, us: bool) -> Vec<Need> {
    let (Some(session), Some((_, off))) = (sessions.list.first(), sessions.products.first()) else {
        return Vec::new();
    };
    let litres: f64 = session.litres.iter().map(|(_, litres)| litres).sum();
    let each = Each {
        off,
        litres,
        minutes: session.worked,
        mixing: session.air.map_or(1.0, |air| air.mixing),
        us,
    };
    let mut list = vec![
        each.fire("fire-25", "25 % of the lower explosive limit", 0.25),
        each.fire("fire-10", "10 % of the lower explosive limit", 0.10),
        each.health(),
    ];
    if let Some(air) = session.air {
        list.push(changes(air.volume, us));
    }
    list.extend(floor_of(room).map(|area| floor(area, us)));
    list
}

/// The need that governs, and the share of it that the exhaust moves.
pub fn governs(needs: &[Need], exhaust: Option<f64>) -> Option<(&Need, Option<f64>)> {
    let most = needs
        .iter()
        .filter(|need| need.flow.is_some_and(|flow| flow > 0.0))
        .max_by(|a, b| a.flow.unwrap_or(0.0).total_cmp(&b.flow.unwrap_or(0.0)))?;
    let share = exhaust.and_then(|has| super::finite(has / most.flow?));
    Some((most, share))
}

/// All of the liquid on the floor, all of it vapour.
#[derive(Clone, Copy, Debug)]
pub struct Spilled {
    /// Lower explosive limit of the vapour, % by volume.
    pub lel: f64,
    /// Share of it in a room stirred through; `None` where there is more vapour than room.
    pub share: Option<f64>,
    /// Metres of a layer at the floor that is at just that limit.
    pub layer: Option<f64>,
    /// Metres to the ceiling.
    pub ceiling: f64,
}

/// What a spill of all the liquid does; `None` where that is unknown.
pub fn spilled(sessions: &Sessions, room: &Room) -> Option<Spilled> {
    let session = sessions.list.first()?;
    let (_, off) = sessions.products.first()?;
    let litres: f64 = session.litres.iter().map(|(_, litres)| litres).sum();
    let fire = Flammable::new(off)?;
    let volume = session.air?.volume;
    Some(Spilled {
        lel: fire.lel,
        share: share_of_lel_if_all(litres, fire.vapour, volume, fire.lel),
        layer: layer_at_lel(litres, fire.vapour, floor_of(room)?, fire.lel),
        ceiling: room.height?.base().estimate(),
    })
}

fn floor_of(room: &Room) -> Option<f64> {
    let area = room.length?.by(room.width?).ok()?;
    Some(area.base().estimate())
}

/// The flammable part of what a litre gives off.
struct Flammable {
    /// m³ of vapour per litre of product, at 70 °F.
    vapour: f64,
    /// % by volume, after Le Chatelier.
    lel: f64,
}

impl Flammable {
    fn new(off: &GivenOff) -> Option<Flammable> {
        let molar = MolarVolume::Ideal(SEVENTY).litres()?;
        let parts: Vec<(f64, f64)> = off
            .vapours
            .iter()
            .filter_map(|v| Some((v.milligrams / 1.0e6 * molar / v.molar, v.limits.lel?)))
            .collect();
        let lel = le_chatelier(&parts)?;
        let vapour = parts.iter().map(|(volume, _)| volume).sum();
        Some(Flammable { vapour, lel })
    }
}

/// What the formulas need of the work.
struct Each<'o> {
    off: &'o GivenOff,
    litres: f64,
    minutes: f64,
    mixing: f64,
    us: bool,
}

impl Each<'_> {
    fn fire(&self, name: &'static str, what: &'static str, share: f64) -> Need {
        let none = |working: &str| Need {
            name,
            what,
            flow: None,
            working: vec![working.to_string()],
        };
        let Some(fire) = Flammable::new(self.off) else {
            return none("nothing in it has a known lower explosive limit");
        };
        let rate = self.litres / self.minutes;
        let air = air_for_fire(fire.vapour, fire.lel, share);
        let Some((air, flow)) = air.and_then(|a| Some((a, airflow_for_fire(a, rate)?))) else {
            return none("outside the range of the formula");
        };
        let per = if self.us {
            1000.0 * LITRES_PER_GALLON / LITRES_PER_CUBIC_FOOT
        } else {
            1.0
        };
        let amount = if self.us {
            self.litres / LITRES_PER_GALLON
        } else {
            self.litres
        };
        let (vapour_unit, liquid) = if self.us { ("ft3", "gal") } else { ("m3", "L") };
        let (factor, lel, v) = (
            given(share.recip()),
            figures(fire.lel),
            figures(fire.vapour * per),
        );
        let working = vec![
            format!(
                "{factor} × (100 − LEL) × v / LEL = {factor} × (100 − {lel}) × {v} / {lel} = {} {vapour_unit} of air per {liquid}",
                figures(air * per)
            ),
            format!(
                "× {} {liquid} in {} min = {}",
                given(amount),
                given(self.minutes),
                flow_shown(flow, self.us)
            ),
            format!(
                "the formula has no K; with K = {} of this room it comes to {}",
                given(self.mixing),
                flow_shown(flow * self.mixing, self.us)
            ),
        ];
        Need {
            name,
            what,
            flow: Some(flow),
            working,
        }
    }

    /// The 403 formula for every part with a legal limit, added up: their effects are taken to add.
    fn health(&self) -> Need {
        let mut total = None;
        let mut steps = Vec::new();
        for vapour in &self.off.vapours {
            match self.health_of(vapour) {
                Some((flow, step)) => {
                    total = Some(total.unwrap_or(0.0) + flow);
                    steps.push(step);
                }
                None => steps.push(format!(
                    "{}: not counted, because it has no legal limit",
                    vapour.name
                )),
            }
        }
        if let Some(total) = total.filter(|_| steps.len() > 1) {
            steps.push(format!("together {}", flow_shown(total, self.us)));
        }
        Need {
            name: "health",
            what: "the legal limit, held steadily",
            flow: total,
            working: steps,
        }
    }

    fn health_of(&self, vapour: &Vapour) -> Option<(f64, String)> {
        let ppm = ppm_from_mg(vapour.limits.legal?, vapour.molar, MolarVolume::Printed25)?;
        let grams = self.litres * vapour.milligrams / 1000.0 / self.minutes;
        let (k, molar, limit) = (given(self.mixing), figures(vapour.molar), figures(ppm));
        if self.us {
            let pints = grams / GRAMS_PER_PINT;
            let cfm = us_airflow_for_health(1.0, pints, vapour.molar, ppm, self.mixing)?;
            let flow = cfm * CUBIC_METRES_PER_CFM;
            let step = format!(
                "{}: 403 × 10^6 × K × (SG × ER) / (M × C) = 403 × 10^6 × {k} × {} pt/min / ({molar} × {limit} ppm) = {}",
                vapour.name,
                figures(pints),
                flow_shown(flow, true)
            );
            return Some((flow, step));
        }
        let volume = MolarVolume::Ideal(SEVENTY);
        let flow = airflow_for_health(grams, vapour.molar, volume, ppm, self.mixing)?;
        let step = format!(
            "{}: 60 × K × G × Vm / (1000 × M × C) = 60 × {k} × {} g/min × {} / (1000 × {molar} × {limit} / 10^6) = {}",
            vapour.name,
            figures(grams),
            figures(volume.litres()?),
            flow_shown(flow, false)
        );
        Some((flow, step))
    }
}

fn changes(volume: f64, us: bool) -> Need {
    let flow = airflow_for_changes(CHANGES, volume);
    let (size, unit) = if us {
        (volume * 1000.0 / LITRES_PER_CUBIC_FOOT, "ft3")
    } else {
        (volume, "m3")
    };
    let by_minute = if us { " / 60 min" } else { "" };
    let shown = flow.map_or_else(String::new, |flow| flow_shown(flow, us));
    Need {
        name: "changes",
        what: "six air changes an hour",
        flow,
        working: vec![format!("6 × {} {unit}{by_minute} = {shown}", figures(size))],
    }
}

fn floor(area: f64, us: bool) -> Need {
    let least = LEAST_CFM * CUBIC_METRES_PER_CFM;
    let per_area = CUBIC_METRES_PER_CFM / SQUARE_METRES_PER_FOOT;
    let flow = airflow_for_floor(per_area, area, least);
    let shown = flow.map_or_else(String::new, |flow| flow_shown(flow, us));
    let working = if us {
        format!(
            "1 cfm × {} ft2, not less than 150 cfm = {shown}",
            figures(area / SQUARE_METRES_PER_FOOT)
        )
    } else {
        format!(
            "{} m3/h × {} m2, not less than {} m3/h = {shown}",
            figures(per_area),
            figures(area),
            figures(least)
        )
    };
    Need {
        name: "floor",
        what: "1 cfm for each ft2 of floor",
        flow,
        working: vec![working],
    }
}
