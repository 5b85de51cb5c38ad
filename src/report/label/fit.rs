//! Text in a space of fixed size, in whole micrometres. Nothing is cut: what does not fit goes on to the next label.
//!
//! Letters are counted a little wider than the widest of the common plain fonts, so that a page printed with another
//! font still has room. A letter's height x is taken as 0.52 of the size of its font.

use super::super::wrap::width;
use super::content::{LabelLine, LabelPart};
use std::collections::VecDeque;

/// Paragraphs stand this far apart.
pub(super) const GAP: i64 = 350;
/// What stands beside the pictograms begins this far from them.
pub(super) const BESIDE: i64 = 1500;
/// The lines of a paragraph stand this many hundredths of the font apart (the standard of 2024 asks for 120).
pub(super) const PITCH: i64 = 120;
/// The font of the heading, in hundredths of the font of the text.
pub(super) const HEADING: i64 = 135;
/// The space between the label's edge and its text.
pub(super) const PAD: i64 = 2500;

/// The size of a font whose letter x has this height.
pub(super) fn font_for(letter: i64) -> i64 {
    (letter * 100 + 51) / 52
}

/// The height of one line.
pub(super) fn pitch(font: i64) -> i64 {
    font * PITCH / 100
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

/// The height of a paragraph with the gap after it.
pub(super) fn tall(line: &LabelLine, room: i64, font: i64) -> i64 {
    let font = font * line.kind.scale() / 100;
    let text = line.measured(font);
    let bold = line.kind.bold();
    let lines =
        i64::try_from(broken(&text, room, font, bold).len()).unwrap_or(i64::MAX / 1_000_000);
    lines * pitch(font) + GAP
}

/// One label as it is laid out.
#[derive(Clone, Debug, Default)]
pub struct LaidPage {
    /// What stands beside the pictograms.
    pub beside: Vec<LabelLine>,
    /// What stands below, over the whole width.
    pub below: Vec<LabelLine>,
}

/// A label laid out: one page, or more where its text asks for it.
#[derive(Clone, Debug)]
pub struct Laid {
    /// The heading, shortened if it had to be.
    pub heading: String,
    /// The font of the text.
    pub font: i64,
    /// The side of a pictogram.
    pub side: i64,
    /// Pictograms to a row.
    pub per_row: i64,
    pub pages: Vec<LaidPage>,
    /// Some of it stands over the edge: only where a label is smaller than any size that can be asked for.
    pub over: bool,
}

/// The square that a pictogram standing on its corner takes: its side by the root of two.
pub(super) fn square(side: i64) -> i64 {
    (side * 14143 + 9999) / 10000
}

/// The side of the largest pictogram in a square of this size, to a tenth of a millimetre.
pub(super) fn largest_in(room: i64) -> i64 {
    room * 10000 / 14143 / 100 * 100
}

/// The same lines in less space: those of one kind run on in one paragraph.
fn run_on(lines: VecDeque<LabelLine>) -> VecDeque<LabelLine> {
    let mut list: VecDeque<LabelLine> = VecDeque::new();
    for line in lines {
        match list.back_mut().filter(|last| last.kind == line.kind) {
            Some(last) if matches!(line.kind, LabelPart::Hazard | LabelPart::Caution) => {
                let mark = if last.memory { " †" } else { "" };
                last.text = format!("{}{mark} {}", last.text, line.text);
                last.memory = line.memory;
            }
            Some(last) if line.kind == LabelPart::Fact && last.lead.is_some() => {
                last.text = format!("{}. {}", last.text, line.whole());
            }
            _ => list.push_back(line),
        }
    }
    list
}

/// What is to be laid out.
pub(super) struct Text<'l> {
    pub heading: &'l str,
    pub lines: &'l [LabelLine],
    pub pictograms: i64,
}

/// Lays a text out on labels of a size, with letters and pictograms as large as one label holds; if none holds it, the
/// smallest of both, on as many labels as it takes.
pub(super) fn lay(text: &Text<'_>, size: (i64, i64), fonts: &[i64], sides: &[i64]) -> Laid {
    let mut best: Option<Laid> = None;
    for close in [false, true] {
        for side in sides {
            for font in fonts {
                let laid = attempt(text, size, *font, *side, close);
                if laid.pages.len() == 1 && !laid.over {
                    return laid;
                }
                let labels = |laid: &Laid| (laid.over, laid.pages.len());
                if best
                    .as_ref()
                    .is_none_or(|best| labels(&laid) < labels(best))
                {
                    best = Some(laid);
                }
            }
        }
    }
    best.unwrap_or_else(|| attempt(text, size, font_for(1200), 10_000, true))
}

fn attempt(
    text: &Text<'_>,
    (width, height): (i64, i64),
    font: i64,
    side: i64,
    close: bool,
) -> Laid {
    let room = width - 2 * PAD;
    let (heading, rest) = heading(text.heading, room, font);
    let top = pitch(font * HEADING / 100) + GAP;
    let mut left: VecDeque<LabelLine> = rest.into_iter().collect();
    left.extend(text.lines.iter().cloned());
    let mut pages = Vec::new();
    let (band, per_row, beside) = band(text.pictograms, side, room);
    let mut page = LaidPage::default();
    if text.pictograms > 0 {
        page.beside = take(&mut left, beside, band, font, false);
    }
    if close {
        left = run_on(left);
    }
    let full = height - 2 * PAD - top;
    page.below = take(&mut left, room, full - band, font, true);
    pages.push(page);
    let mut over = band > full;
    while !left.is_empty() {
        let mut below = take(&mut left, room, full, font, true);
        if below.is_empty() {
            // Not even one line fits: all is set, and stands over the edge where it can be seen.
            over = true;
            below = left.drain(..).collect();
        }
        pages.push(LaidPage {
            beside: Vec::new(),
            below,
        });
    }
    Laid {
        heading,
        font,
        side,
        per_row,
        pages,
        over,
    }
}

/// The height that the pictograms take, how many stand in a row, and the width left beside them.
fn band(count: i64, side: i64, room: i64) -> (i64, i64, i64) {
    if count == 0 {
        return (0, 1, 0);
    }
    let square = square(side);
    let per_row = (room / square).clamp(1, count);
    let rows = (count + per_row - 1) / per_row;
    let beside = if rows == 1 {
        room - per_row * square - BESIDE
    } else {
        0
    };
    (rows * square + GAP, per_row, beside)
}

/// The heading in one line; where it is too long it is shortened, and stands in full as the first line of the text.
fn heading(text: &str, room: i64, font: i64) -> (String, Option<LabelLine>) {
    let font = font * HEADING / 100;
    // Room for `(2 of 9)` on labels that go on.
    let room = room - wide(" (2 of 99)", font, true);
    if wide(text, font, true) <= room {
        return (text.to_string(), None);
    }
    let mut short = String::new();
    for c in text.chars() {
        if wide(&short, font, true)
            + wide(c.encode_utf8(&mut [0; 4]), font, true)
            + wide("…", font, true)
            > room
        {
            break;
        }
        short.push(c);
    }
    short.push('…');
    (short, Some(LabelLine::fact("In full", text.to_string())))
}

/// Takes as many paragraphs as fit; one that does not fit as a whole is broken between its lines, if that is asked.
fn take(
    left: &mut VecDeque<LabelLine>,
    room: i64,
    height: i64,
    font: i64,
    breaks: bool,
) -> Vec<LabelLine> {
    const NARROWEST: i64 = 24_000;
    let mut taken = Vec::new();
    let mut free = height;
    if room < NARROWEST {
        return taken;
    }
    while let Some(line) = left.pop_front() {
        let needs = tall(&line, room, font);
        if needs <= free {
            free -= needs;
            taken.push(line);
            continue;
        }
        let own = font * line.kind.scale() / 100;
        let fits = usize::try_from((free - GAP) / pitch(own)).unwrap_or(0);
        // At the head of a label one line may stand alone; elsewhere two keep together.
        let enough = fits >= 2 || taken.is_empty() && fits == 1;
        match split(&line, room, own, fits).filter(|_| breaks && enough) {
            Some((first, rest)) => {
                taken.push(first);
                left.push_front(rest);
            }
            None => left.push_front(line),
        }
        break;
    }
    taken
}

/// The first lines of a paragraph, and the rest; `None` where nothing would stand before the break, or after it.
fn split(line: &LabelLine, room: i64, font: i64, fits: usize) -> Option<(LabelLine, LabelLine)> {
    if fits == 0 {
        return None;
    }
    let unmarked = LabelLine {
        memory: false,
        ..line.clone()
    };
    let room = room - line.wider(font) - wide(" …", font, true);
    let lines = broken(&unmarked.whole(), room, font, line.kind.bold());
    let (first, rest) = (lines.get(..fits)?.join(" "), lines.get(fits..)?.join(" "));
    let lead = line.lead.as_ref().map(|lead| format!("{lead}: "));
    let first = match &lead {
        Some(lead) => first.strip_prefix(lead.as_str())?.to_string(),
        None => first,
    };
    let piece = |lead: Option<String>, text: String, memory| LabelLine {
        kind: line.kind,
        lead,
        text,
        memory,
    };
    (!rest.is_empty()).then(|| {
        (
            piece(line.lead.clone(), format!("{first} …"), false),
            piece(None, format!("… {rest}"), line.memory),
        )
    })
}

impl LabelLine {
    /// By how much a lead in bold is wider than it would be plain.
    fn wider(&self, font: i64) -> i64 {
        let lead = self.lead.as_deref().unwrap_or("");
        wide(lead, font, true) - wide(lead, font, false)
    }

    /// Its text as it is measured: what a lead in bold is wider by stands there as narrow letters.
    fn measured(&self, font: i64) -> String {
        let narrow = self.wider(font) / wide("i", font, false).max(1) + 1;
        match &self.lead {
            Some(_) => {
                let filler = "i".repeat(usize::try_from(narrow).unwrap_or(0));
                format!("{filler}{}", self.whole())
            }
            None => self.whole(),
        }
    }
}

impl LabelPart {
    /// The size of its letters, in hundredths of the others.
    pub(super) fn scale(self) -> i64 {
        if matches!(self, LabelPart::Signal | LabelPart::Band) {
            125
        } else {
            100
        }
    }

    /// Is it set in bold?
    pub(super) fn bold(self) -> bool {
        matches!(
            self,
            LabelPart::Signal | LabelPart::Band | LabelPart::Hazard
        )
    }
}
