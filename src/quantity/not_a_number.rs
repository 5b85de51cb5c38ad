//! What keeps a text from being a number.

/// Most significant digits that a written number may have: with these, no unit conversion and no product of a real
/// room ever needs more than the 28 digits there are.
pub const MOST_DIGITS: usize = 8;

/// Why a text is not a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NumberFault {
    /// Nothing there.
    Empty,
    /// `1,5`: a comma where a point belongs.
    DecimalComma,
    /// `1,000`: a comma between thousands.
    ThousandsComma,
    /// More than [`MOST_DIGITS`] significant digits.
    TooManyDigits,
    /// `-2` where only zero and more make sense.
    Negative,
    /// `1/3`: a fraction whose decimals never end.
    Endless,
    /// `11/2`: a fraction of more than a whole, which may as well be meant as `1 1/2`.
    Improper,
    /// `0.5 pcs`: a part of something that is counted.
    NotWhole,
    /// A temperature that nothing in a shop can have.
    NoTemperature,
    /// Anything else.
    NotANumber,
}

pub(super) fn too_long(text: &str) -> NumberFault {
    let shape = text.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    if shape {
        NumberFault::TooManyDigits
    } else {
        comma_or_other(text)
    }
}

fn comma_or_other(text: &str) -> NumberFault {
    if text.contains(',') {
        comma(text)
    } else {
        NumberFault::NotANumber
    }
}

pub(super) fn comma(text: &str) -> NumberFault {
    let sane = text
        .bytes()
        .all(|b| b.is_ascii_digit() || b == b',' || b == b'.');
    if !sane {
        return NumberFault::NotANumber;
    }
    let groups: Vec<&str> = text.split(',').collect();
    let thousands = groups.len() > 2
        || text.contains('.')
        || (groups.len() == 2 && groups[1].len() == 3 && groups[0] != "0" && !groups[0].is_empty());
    if thousands {
        NumberFault::ThousandsComma
    } else {
        NumberFault::DecimalComma
    }
}
