//! The paper, the size of a label, and where each label lies on a sheet, in whole micrometres.

use crate::quantity::{Dimension, Exact, Length, Measure};
use Paper::{A4, Letter};

/// The strip on three sides that printers leave blank. It holds the cut marks.
pub(super) const MARGIN: i64 = 8_000;
/// The strip at the foot, with a word of caution and a rule to check the print by.
pub(super) const FOOT: i64 = 13_000;
/// The least label: a name, a signal word and a date that can be read at arm's length.
const LEAST: (i64, i64) = (76_000, 24_000);

/// A common sheet of labels that are cut already, by its dimensions. Eight to a sheet of A4 agree with a public table of
/// sheets; the others are from memory. Measure yours.
struct CutSheet {
    paper: Paper,
    label: (i64, i64),
    across: i64,
    down: i64,
    from: (i64, i64),
    step: (i64, i64),
}

const CUT_SHEETS: [CutSheet; 4] = [
    cut((Letter, 101_600, 84_667), (2, 3), (3_969, 12_700), 106_362),
    cut((Letter, 101_600, 50_800), (2, 5), (3_969, 12_700), 106_362),
    cut((A4, 99_100, 67_700), (2, 4), (4_650, 13_100), 101_600),
    cut((A4, 99_100, 38_100), (2, 7), (4_650, 15_150), 101_600),
];

/// A sheet by the paper and the size of its labels, their number across and down, the corner of the first label, and the step to
/// the next label across. Labels below each other touch.
const fn cut(
    (paper, width, height): (Paper, i64, i64),
    (across, down): (i64, i64),
    from: (i64, i64),
    step: i64,
) -> CutSheet {
    CutSheet {
        paper,
        label: (width, height),
        across,
        down,
        from,
        step: (step, height),
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 mm by 297 mm.
    A4,
    /// 8.5 in by 11 in.
    Letter,
}

impl Paper {
    pub fn word(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::Letter => "letter",
        }
    }

    /// Width and height, upright.
    fn upright(self) -> (i64, i64) {
        match self {
            Paper::A4 => (210_000, 297_000),
            Paper::Letter => (215_900, 279_400),
        }
    }
}

/// The size of a label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LabelSize {
    /// Width.
    pub width: i64,
    /// Height.
    pub height: i64,
    /// As the user writes it.
    pub shown: String,
}

/// Why a size cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SizeFault {
    /// It is not a width, an x and a height with a unit.
    Unread,
    /// Too small to be read.
    TooSmall,
    /// Finer than a micrometre.
    TooFine,
}

impl std::fmt::Display for SizeFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            SizeFault::Unread => "write width x height with a unit of length: 105x74mm, or 4x2in",
            SizeFault::TooSmall => {
                "a label must be at least 76 mm x 24 mm to be read at arm's length"
            }
            SizeFault::TooFine => "a size may have at most three decimals of a mm",
        })
    }
}

/// Micrometres of a length, if it is a whole number of them.
pub(super) fn micrometres(length: Length) -> Option<i64> {
    let exact = length.base().times(Exact::whole(1_000_000)).ok()?;
    exact.digits().parse().ok()
}

/// Micrometres as millimetres: `105`, `101.6`.
pub(super) fn mm(micrometres: i64) -> String {
    let (sign, size) = (if micrometres < 0 { "-" } else { "" }, micrometres.abs());
    let (whole, rest) = (size / 1000, size % 1000);
    if rest == 0 {
        return format!("{sign}{whole}");
    }
    let rest = format!("{rest:03}");
    format!("{sign}{whole}.{}", rest.trim_end_matches('0'))
}

impl LabelSize {
    /// Six to a sheet of letter paper, eight to one of A4: both are sold as sheets of labels.
    pub fn usual(paper: Paper) -> LabelSize {
        let (width, height, shown) = match paper {
            Paper::Letter => (101_600, 84_667, "4 x 3.33 in"),
            Paper::A4 => (99_100, 67_700, "99.1 x 67.7 mm"),
        };
        LabelSize {
            width,
            height,
            shown: shown.into(),
        }
    }

    /// Reads `90x50mm`, `90 x 50 mm`, `4x2 in`, `4 in x 50 mm`.
    pub fn parse(text: &str) -> Result<LabelSize, SizeFault> {
        let lower = text.to_lowercase().replace(['×', '*'], "x");
        let (width, height) = lower.split_once('x').ok_or(SizeFault::Unread)?;
        let (width, height) = (width.trim(), height.trim());
        let unit =
            height.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | '/' | ' '));
        let bare = width.ends_with(|c: char| c.is_ascii_digit() || c == '.');
        let width = if bare {
            format!("{width} {unit}")
        } else {
            width.to_string()
        };
        let read = |text: &str| {
            let measure =
                Measure::parse_as(text, Dimension::Length).map_err(|_| SizeFault::Unread)?;
            micrometres(measure.length()).ok_or(SizeFault::TooFine)
        };
        let (w, h) = (read(&width)?, read(height)?);
        if w < LEAST.0 || h < LEAST.1 {
            return Err(SizeFault::TooSmall);
        }
        Ok(LabelSize {
            width: w,
            height: h,
            shown: format!("{} x {} mm", mm(w), mm(h)),
        })
    }
}

impl CutSheet {
    /// To a tenth of a millimeter, so that `4x3 1/3 in` is known.
    fn is_of(&self, size: &LabelSize) -> bool {
        let (width, height) = self.label;
        (size.width - width).abs() <= 100 && (size.height - height).abs() <= 100
    }
}

/// Where labels lie on a sheet.
#[derive(Clone, Debug)]
pub struct Grid {
    /// The sheet, turned so that more labels fit.
    pub paper: (i64, i64),
    /// Columns.
    pub across: i64,
    /// Rows.
    pub down: i64,
    /// The corner of the first label.
    pub from: (i64, i64),
    /// From one label to the next.
    pub step: (i64, i64),
    /// The sheet is cut already.
    pub is_cut: bool,
}

impl Grid {
    /// As many labels as fit, in the middle of the sheet; `None` if not even one does.
    pub fn fitting(paper: Paper, size: &LabelSize) -> Option<Grid> {
        if let Some(sheet) = CUT_SHEETS
            .iter()
            .find(|sheet| sheet.paper == paper && sheet.is_of(size))
        {
            return Some(Grid {
                paper: paper.upright(),
                across: sheet.across,
                down: sheet.down,
                from: sheet.from,
                step: sheet.step,
                is_cut: true,
            });
        }
        let (short, long) = paper.upright();
        let turned = [(short, long), (long, short)];
        turned
            .into_iter()
            .map(|(width, height)| {
                let (free_x, free_y) = (width - 2 * MARGIN, height - MARGIN - FOOT);
                let (across, down) = (free_x / size.width, free_y / size.height);
                Grid {
                    paper: (width, height),
                    across,
                    down,
                    from: (
                        MARGIN + (free_x - across * size.width) / 2,
                        MARGIN + (free_y - down * size.height) / 2,
                    ),
                    step: (size.width, size.height),
                    is_cut: false,
                }
            })
            .rev()
            .max_by_key(|grid| grid.across * grid.down)
            .filter(|grid| grid.across > 0 && grid.down > 0)
    }

    /// Labels on a sheet.
    pub fn each(&self) -> usize {
        usize::try_from(self.across * self.down).unwrap_or(1)
    }

    /// The corner of a label by its number on the sheet.
    pub fn corner(&self, number: usize) -> (i64, i64) {
        let number = i64::try_from(number).unwrap_or(0);
        let (column, row) = (number % self.across, number / self.across);
        (
            self.from.0 + column * self.step.0,
            self.from.1 + row * self.step.1,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::{Grid, LabelSize, Paper, SizeFault, mm};

    #[test]
    fn sizes_are_exact() {
        let size = |text: &str| LabelSize::parse(text).map(|s| (s.width, s.height));
        assert_eq!(size("90x50mm"), Ok((90_000, 50_000)));
        assert_eq!(size("90 x 50 mm"), Ok((90_000, 50_000)));
        assert_eq!(size("4x2in"), Ok((101_600, 50_800)));
        assert_eq!(size("4x1 in"), Ok((101_600, 25_400)));
        assert_eq!(size("76x24mm"), Ok((76_000, 24_000)));
        assert_eq!(size("75x24mm"), Err(SizeFault::TooSmall));
        assert_eq!(size("76x23mm"), Err(SizeFault::TooSmall));
        assert_eq!(size("4in x 50mm"), Ok((101_600, 50_000)));
        assert_eq!(size("90x50"), Err(SizeFault::Unread));
        assert_eq!(size("90"), Err(SizeFault::Unread));
        assert_eq!(size("-90x50mm"), Err(SizeFault::TooSmall));
        assert_eq!(size("90x50 gal"), Err(SizeFault::Unread));
        assert_eq!(size("90.0001x50mm"), Err(SizeFault::TooFine));
        assert_eq!(mm(101_600), "101.6");
        assert_eq!(mm(66_675), "66.675");
    }

    #[test]
    fn as_many_as_fit_and_none_over_the_edge() {
        for (paper, text, each) in [
            (Paper::A4, "105x74mm", 4),
            (Paper::Letter, "105x74mm", 4),
            (Paper::A4, "90x50mm", 10),
            (Paper::A4, "76x24mm", 22),
        ] {
            let size = LabelSize::parse(text).unwrap();
            let grid = Grid::fitting(paper, &size).unwrap();
            assert_eq!(grid.each(), each, "{text}");
            for number in 0..grid.each() {
                let (x, y) = grid.corner(number);
                assert!(x >= super::MARGIN && y >= super::MARGIN);
                assert!(x + size.width <= grid.paper.0 - super::MARGIN);
                assert!(y + size.height <= grid.paper.1 - super::FOOT);
            }
        }
        for (paper, each) in [(Paper::Letter, 6), (Paper::A4, 8)] {
            let grid = Grid::fitting(paper, &LabelSize::usual(paper)).unwrap();
            assert!(grid.is_cut);
            assert_eq!(grid.each(), each);
        }
        assert!(Grid::fitting(Paper::A4, &LabelSize::parse("300x300mm").unwrap()).is_none());
    }
}
