//! How a label is laid out: letters as large as fit, sentences set whole or left for the card. Whole micrometers.

use super::content::Label;
use crate::report::wrap::width;

/// Between the edge of a label and its text, and between its parts.
pub(super) const PAD: i64 = 2500;
pub(super) const GAP: i64 = 1000;
/// Height of a line in hundredths of its font.
const PITCH: i64 = 115;
/// The name of the container, the product, the signal word and the large date.
const ID: i64 = 8000;
const NAME: i64 = 5000;
const SIGNAL: i64 = 5000;
/// From this size on a label has room for sentences, lines to write on and a square for a code.
const FULL: (i64, i64) = (90_000, 50_000);
/// The strip at the foot, with the date, the lines and the square.
pub(super) const FOOT: i64 = 13_500;
pub(super) const SQUARE: i64 = 12_000;
/// Fonts of the sentences, the largest first.
const FONTS: [i64; 3] = [3600, 3200, 2900];
/// On a label lower than this the last sentence font is a little smaller.
const LOW: i64 = 60_000;
const LOW_FONT: i64 = 2600;
/// The largest square for a pictogram, which stands on its corner.
const PICTOGRAM: i64 = 22_700;

/// A label laid out.
#[derive(Clone, Debug, Default)]
pub struct Laid {
    /// The id, shortened if it had to be, and its font.
    pub id: String,
    pub id_font: i64,
    /// The lines of the name, and their font.
    pub name: Vec<String>,
    pub name_font: i64,
    pub signal_font: i64,
    /// The font of the large date.
    pub until_font: i64,
    /// The font of the sentences.
    pub font: i64,
    /// The square of a pictogram, and how many are in a row.
    pub square: i64,
    pub across: i64,
    /// Sentences on the label, and those that go on the card.
    pub sentences: Vec<String>,
    pub card: Vec<String>,
    /// It has sentences, lines to write on and a square for a code.
    pub is_full: bool,
}

/// The width of a letter, in thousandths of the font's size.
fn letter(c: char) -> i64 {
    match c {
        'i' | 'j' | 'l' | '\'' | 'I' | 'J' => 300,
        ' ' | '.' | ',' | ':' | ';' | '/' | '|' => 345,
        'f' | 'r' | 't' | '-' | '(' | ')' | '[' | ']' | '!' => 415,
        'c' | 's' | 'z' | '?' => 560,
        'a' | 'e' | 'k' | 'o' | 'v' | 'x' | 'y' | 'F' | 'L' | 'P' | 'T' | 'Y' => 620,
        'b' | 'd' | 'g' | 'h' | 'n' | 'p' | 'q' | 'u' | '0'..='9' | 'E' | 'S' => 645,
        'A' | 'B' | 'C' | 'K' | 'R' | 'V' | 'X' | 'Z' => 710,
        'D' | 'G' | 'H' | 'N' | 'O' | 'Q' | 'U' => 795,
        'w' | '+' | '<' | '=' | '>' => 850,
        'm' | 'M' | 'W' | '%' | '@' => 1010,
        '†' | '×' | '…' => 1010,
        c if c.is_ascii() => 860,
        c => match width(c.encode_utf8(&mut [0; 4])) {
            0 => 300,
            1 => 950,
            _ => 1450,
        },
    }
}

/// How wide a text is.
pub(super) fn wide(text: &str, font: i64, bold: bool) -> i64 {
    let thousandths: i64 = text.chars().map(letter).sum();
    let plain = thousandths * font / 1000;
    if bold { plain * 118 / 100 } else { plain }
}

/// A text broken into lines no wider than `room`; a word that is wider is broken.
pub(super) fn broken(text: &str, room: i64, font: i64, bold: bool) -> Vec<String> {
    let mut lines = Vec::new();
    let (mut line, mut used) = (String::new(), 0);
    let space = wide(" ", font, bold);
    for word in text.split_whitespace() {
        let long = wide(word, font, bold);
        if used > 0 && used + space + long > room {
            lines.push(std::mem::take(&mut line));
            used = 0;
        }
        if used > 0 {
            line.push(' ');
            used += space;
        }
        if long <= room {
            line.push_str(word);
            used += long;
            continue;
        }
        for c in word.chars() {
            let one = wide(c.encode_utf8(&mut [0; 4]), font, bold);
            if used > 0 && used + one > room {
                lines.push(std::mem::take(&mut line));
                used = 0;
            }
            line.push(c);
            used += one;
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

fn pitch(font: i64) -> i64 {
    font * PITCH / 100
}

fn whole(count: usize) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX / 1_000_000)
}

/// The largest font up to `most` in which a text is on one line, but no less than `least`.
fn font_in(text: &str, room: i64, (most, least): (i64, i64)) -> i64 {
    let long = wide(text, most, true).max(1);
    (most * room.max(1) / long).clamp(least, most)
}

/// As much of a text as fits on one line, with a mark where some of it is missing.
fn shortened(text: &str, room: i64, font: i64) -> String {
    if wide(text, font, true) <= room {
        return text.to_string();
    }
    let room = room - wide("…", font, true);
    let lines = broken(text, room, font, true);
    format!("{}…", lines.first().map_or("", String::as_str))
}

/// A name in at most two lines: as large as fits, and shortened only where two small lines do not hold it.
fn name_in(name: &str, room: i64) -> (Vec<String>, i64) {
    for font in [NAME, 4400, 3800, 3200] {
        let lines = broken(name, room, font, true);
        if lines.len() <= 2 {
            return (lines, font);
        }
    }
    let mut lines = broken(name, room - wide("…", 3200, true), 3200, true);
    lines.truncate(2);
    if let Some(last) = lines.last_mut() {
        last.push('…');
    }
    (lines, 3200)
}

/// Lays a label out.
pub(super) fn lay(label: &Label, (across, high): (i64, i64)) -> Laid {
    let room = across - 2 * PAD;
    let is_full = across >= FULL.0 && high >= FULL.1;
    let id_font = font_in(&label.id, room * 2 / 5, (ID, 2600));
    let id = shortened(&label.id, room * 2 / 5, id_font);
    let (name, name_font) = name_in(&label.name, room - wide(&id, id_font, true) - 2 * GAP);
    // What is shortened on the label is in full on the card.
    let is_short = id != label.id || name.last().is_some_and(|line| line.ends_with('…'));
    let in_full = is_short.then(|| format!("In full: {}, {}.", label.id, label.name));
    let until_room = if is_full { room / 2 } else { room * 9 / 20 };
    let mut laid = Laid {
        id,
        id_font,
        name,
        name_font,
        signal_font: font_in(&label.signal, room * 9 / 20, (SIGNAL, 2300)),
        until_font: font_in(&label.until, until_room, (6000, 2300)),
        is_full,
        ..Laid::default()
    };
    if !is_full {
        laid.card = in_full
            .into_iter()
            .chain(label.sentences.iter().cloned())
            .collect();
        return laid;
    }
    let top = pitch(laid.id_font).max(pitch(laid.name_font) * whole(laid.name.len()));
    let middle = high - 2 * PAD - top - FOOT - 2 * GAP;
    (laid.square, laid.across) = pictograms(whole(label.pictograms.len()), (room * 9 / 20, middle));
    let beside = room - laid.square * laid.across - if laid.across > 0 { 2 * GAP } else { 0 };
    laid.signal_font = font_in(&label.signal, beside, (SIGNAL, 2300));
    let signal = if label.signal.is_empty() {
        0
    } else {
        pitch(laid.signal_font) + GAP / 2
    };
    let free = middle - signal;
    let fits = |font: i64, sentences: &[String]| {
        whole(broken(&sentences.join(" "), beside, font, false).len()) * pitch(font) <= free
    };
    let all = &label.sentences;
    let font = FONTS.into_iter().find(|font| fits(*font, all));
    let least = if high < LOW { LOW_FONT } else { 2900 };
    laid.font = font.unwrap_or(least);
    let count = (0..=all.len())
        .rev()
        .find(|count| fits(laid.font, all.get(..*count).unwrap_or(&[])));
    let (on_label, card) = all.split_at(count.unwrap_or(0));
    laid.sentences = on_label.to_vec();
    laid.card = in_full.into_iter().chain(card.iter().cloned()).collect();
    laid
}

/// The largest squares for so many pictograms in a space, in one row or two.
fn pictograms(count: i64, (across, high): (i64, i64)) -> (i64, i64) {
    if count == 0 {
        return (0, 0);
    }
    let in_rows = |rows: i64| {
        let columns = (count + rows - 1) / rows;
        ((across / columns).min(high / rows).min(PICTOGRAM), columns)
    };
    let (one, two) = (in_rows(1), in_rows(2));
    if one.0 >= two.0 { one } else { two }
}

/// The side of the pictogram that stands on its corner in a square.
pub(super) fn side(square: i64) -> i64 {
    square * 10000 / 14143 / 100 * 100
}
