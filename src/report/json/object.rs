//! JSON written as it is made: objects key by key and lists item by item, so that no second copy of a report is held.

use crate::quantity::{Amount, Dimension};
use crate::text::{has_steering, steers};
use crate::vapour::shown::{figures, figures_against};
use serde::ser::{Serialize, SerializeMap, Serializer};
use serde_json::ser::{Formatter, PrettyFormatter};
use std::io::{self, BufWriter, Write};

/// An object without keys, or the end of one that has some.
pub(super) struct Empty;

/// A key and its value after those that come before.
pub(super) struct Keyed<B, V> {
    before: B,
    key: &'static str,
    value: V,
}

/// An object whose first key is this one.
pub(super) fn object<V: Serialize>(key: &'static str, value: V) -> Keyed<Empty, V> {
    let before = Empty;
    Keyed { before, key, value }
}

impl<B, V> Keyed<B, V> {
    /// The same object with one more key.
    pub(super) fn and<N: Serialize>(self, key: &'static str, value: N) -> Keyed<Keyed<B, V>, N> {
        let before = self;
        Keyed { before, key, value }
    }
}

/// The keys of an object, the first one first.
pub(super) trait Keys {
    fn put<M: SerializeMap>(&self, map: &mut M) -> Result<(), M::Error>;
}

impl Keys for Empty {
    fn put<M: SerializeMap>(&self, _: &mut M) -> Result<(), M::Error> {
        Ok(())
    }
}

impl<B: Keys, V: Serialize> Keys for Keyed<B, V> {
    fn put<M: SerializeMap>(&self, map: &mut M) -> Result<(), M::Error> {
        self.before.put(map)?;
        map.serialize_entry(self.key, &self.value)
    }
}

impl<B: Keys, V: Serialize> Serialize for Keyed<B, V> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut map = to.serialize_map(None)?;
        self.put(&mut map)?;
        map.end()
    }
}

/// A list whose items are made one at a time, when they are written.
pub(super) struct JsonList<M>(M);

/// A list of what `items` goes through.
pub(super) fn list<I, M>(items: M) -> JsonList<M>
where
    M: Fn() -> I,
    I: Iterator<Item: Serialize>,
{
    JsonList(items)
}

impl<I: Iterator<Item: Serialize>, M: Fn() -> I> Serialize for JsonList<M> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_seq((self.0)())
    }
}

/// A number and its unit; the number is text, so that no digit is lost.
pub(super) fn value(number: String, unit: &'static str) -> impl Serialize {
    object("value", number).and("unit", unit)
}

/// An amount in base units.
pub(super) fn amount(amount: Amount) -> impl Serialize {
    value(amount.base().digits(), base_unit(amount.dimension()))
}

/// An estimate, with as many figures as it is good for.
pub(super) fn about(number: f64, unit: &'static str) -> impl Serialize {
    estimate(figures(number), unit)
}

/// An estimate with as many more figures as keep it on its side of the limit.
pub(super) fn about_against(number: f64, limit: f64, unit: &'static str) -> impl Serialize {
    estimate(figures_against(number, limit), unit)
}

/// A number that is an estimate, and says so.
pub(super) fn estimate(number: String, unit: &'static str) -> impl Serialize {
    object("value", number).and("unit", unit).and("about", true)
}

/// A day or a moment as text.
pub(super) fn text<T: ToString>(known: Option<T>) -> Option<String> {
    known.map(|known| known.to_string())
}

/// The unit in which every quantity of a dimension is given.
pub(super) fn base_unit(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Volume => "L",
        Dimension::Mass => "kg",
        Dimension::Length => "m",
        Dimension::Area => "m2",
        Dimension::Airflow => "m3/h",
        Dimension::AirChanges => "/h",
        Dimension::AirPerArea => "m3/h/m2",
        Dimension::Temperature => "F",
        Dimension::Density => "kg/L",
        Dimension::Share => "%",
        Dimension::Period => "day",
        Dimension::Pieces => "pcs",
        Dimension::Ppm => "ppm",
        Dimension::MassInAir => "mg/m3",
        Dimension::Pressure => "kPa",
        Dimension::MolarMass => "g/mol",
    }
}

/// Writes one object and a line break.
pub(super) fn write(value: &impl Serialize, out: &mut dyn Write) -> io::Result<()> {
    let mut out = BufWriter::with_capacity(1 << 16, out);
    value.serialize(&mut serde_json::Serializer::with_formatter(
        &mut out,
        Harmless(PrettyFormatter::new()),
    ))?;
    out.write_all(b"\n")?;
    out.flush()
}

/// One object as text, with a line break at its end.
pub(super) fn to_text(value: &impl Serialize) -> serde_json::Result<String> {
    let mut bytes = Vec::new();
    write(value, &mut bytes).map_err(serde_json::Error::io)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// Indented lines, with nothing in a text that would steer a terminal: JSON itself escapes only the first 32 characters.
struct Harmless(PrettyFormatter<'static>);

impl Formatter for Harmless {
    fn begin_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.0.begin_array(out)
    }

    fn end_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.0.end_array(out)
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        self.0.begin_array_value(out, first)
    }

    fn end_array_value<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.0.end_array_value(out)
    }

    fn begin_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.0.begin_object(out)
    }

    fn end_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.0.end_object(out)
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        self.0.begin_object_key(out, first)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.0.begin_object_value(out)
    }

    fn end_object_value<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.0.end_object_value(out)
    }

    fn write_string_fragment<W: ?Sized + Write>(
        &mut self,
        out: &mut W,
        text: &str,
    ) -> io::Result<()> {
        match has_steering(text) {
            true => out.write_all(escaped(text).as_bytes()),
            false => out.write_all(text.as_bytes()),
        }
    }
}

fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        if steers(c) {
            let mut units = [0; 2];
            let units = c.encode_utf16(&mut units).iter();
            out.extend(units.map(|unit| format!("\\u{unit:04x}")));
        } else {
            out.push(c);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{object, to_text};

    #[test]
    fn nothing_steers_a_terminal_and_everything_can_be_read_back() {
        let name = "a\u{202e}b\u{e0001}c\u{7f}\n\"é漆\"";
        let text = to_text(&object("name", name)).unwrap();
        assert_eq!(
            text,
            "{\n  \"name\": \"a\\u202eb\\udb40\\udc01c\\u007f\\n\\\"é漆\\\"\"\n}\n"
        );
        let read: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(read["name"], name);
    }
}
