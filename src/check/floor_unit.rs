//! A limit for each square foot of floor: the option `floor`, and the limit that it makes for a room.

use super::options::{KeyNeed, OptionKey};
use super::reader::{RuleReader, RuleRefused};
use crate::fact::{Evidence, Facts, Known, Working};
use crate::pack::PackFault;
use crate::quantity::unit::for_shop;
use crate::quantity::{Dimension, Exact, Measure, TooFine, in_unit};
use crate::record::Room;

/// What kinds that read it list among their options.
pub(super) const FOR_EACH: OptionKey = OptionKey::text(
    "floor",
    "an area such as \"1 ft2\", with per = \"room\": the limit is for each so much of the floor of the room",
    KeyNeed::Optional,
);

/// The area of floor that a limit is for.
pub(super) struct FloorUnit(Measure);

impl FloorUnit {
    /// Reads the option, if the rule has it. What a local authority allows is a total, and counts as it is.
    pub(super) fn read(rule: &mut RuleReader<'_, '_>) -> Result<Option<FloorUnit>, RuleRefused> {
        let Some(told) = rule.text("floor") else {
            return Ok(None);
        };
        match Measure::parse_as(&told.value, Dimension::Area) {
            Ok(area) if area.base > Exact::ZERO => {
                Ok((!rule.is_local()).then_some(FloorUnit(area)))
            }
            Ok(_) | Err(_) => {
                let fault = PackFault::ValueWrong {
                    key: "floor".into(),
                    wanted: "an area of more than zero as text, such as \"1 ft2\"".into(),
                };
                Err(rule.refuse(fault, told.at))
            }
        }
    }

    /// The limit for all the floor of a room, or what has to be known of the room.
    pub(super) fn limit_of_room(
        &self,
        facts: &Facts<'_>,
        room: &str,
        limit: &Measure,
        working: &mut Working,
    ) -> Known<Measure> {
        let Some(room) = facts.tables.room(room).map(|room| &facts.tables[room]) else {
            let why = "Record which room each container is in. The room of one is unknown.";
            return Known::gap(why, Vec::new());
        };
        let Some(floor) = floor_of(room) else {
            let why = format!(
                "Record the length and width of the room {} in rooms.csv. Its floor is unknown.",
                room.id
            );
            return Known::gap(why, vec![room.at]);
        };
        let whole = self.pieces(floor);
        let whole = whole.and_then(|pieces| Ok((pieces, limit.base.times(pieces)?)));
        let Ok((pieces, base)) = whole else {
            return Known::too_fine(vec![room.at]);
        };
        working.say(format!(
            "{} for each {}, {} of them in the floor of `{}`: {}",
            limit.text(),
            self.0.text(),
            pieces.digits(),
            room.id,
            in_unit(base, for_shop(limit.unit, working.us()))
        ));
        let whole = Measure { base, ..*limit };
        Known::yes(whole, Evidence::at(room.at))
    }

    /// How many of the area are in a floor, rounded down to six decimals. Digit by digit, since numbers here know no division.
    fn pieces(&self, floor: Exact) -> Result<Exact, TooFine> {
        let mut pieces = Exact::ZERO;
        for place in 0..13 {
            let step = match u32::try_from(place).map_err(|_| TooFine)? {
                left @ 0..=6 => Exact::whole(10_i64.pow(6 - left)),
                right => Exact::constant(1, right - 6),
            };
            for _ in 0..10 {
                let more = pieces.plus(step)?;
                if more.times(self.0.base)? > floor {
                    break;
                }
                pieces = more;
            }
        }
        Ok(pieces)
    }
}

/// Square metres of floor, if both measures of the room are known.
fn floor_of(room: &Room) -> Option<Exact> {
    let floor = room.length?.by(room.width?).ok()?;
    Some(floor.base())
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests")]
mod tests {
    use super::FloorUnit;
    use crate::quantity::{Dimension, Measure};

    fn pieces(of: &str, floor: &str) -> String {
        let read = |text| Measure::parse_as(text, Dimension::Area).unwrap();
        let pieces = FloorUnit(read(of)).pieces(read(floor).base).unwrap();
        pieces.slim().digits()
    }

    #[test]
    fn a_floor_is_counted_in_whole_and_parts() {
        assert_eq!(pieces("1 ft2", "240 ft2"), "240");
        assert_eq!(pieces("1 ft2", "0.5 ft2"), "0.5");
        assert_eq!(pieces("10 ft2", "155 ft2"), "15.5");
        assert_eq!(
            pieces("1 ft2", "1 m2"),
            "10.76391",
            "1 / 0.09290304, rounded down"
        );
    }
}
