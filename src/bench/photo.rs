//! A photo without anything but the picture: place, device, time, preview and whatever stands behind its end are left out. Of what
//! a camera notes only the orientation stays, or pictures would lie on their side.
//!
//! The parts of a JPEG are those of ITU-T T.81, annex B, its orientation is tag 274 of TIFF 6.0; the parts of a PNG are those of
//! the W3C recommendation PNG, third edition (from memory).

/// A picture whose sides are longer is none that a phone takes.
const LONGEST: u32 = 30_000;
const PNG_MARK: &[u8] = b"\x89PNG\r\n\x1a\n";
/// The parts of a PNG that make the picture.
const PNG_PARTS: [&[u8]; 8] = [
    b"IHDR", b"PLTE", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"IDAT", b"IEND",
];
/// Begins what a camera notes in a JPEG.
const NOTES: &[u8] = b"Exif\0\0";

/// A picture that shows what was seen, and tells nothing else.
pub struct Photo {
    /// How its name ends.
    pub ending: &'static str,
    pub bytes: Vec<u8>,
}

/// The picture in a file; `None` if it is no whole JPEG and no whole PNG.
pub fn photo(file: &[u8]) -> Option<Photo> {
    let (ending, bytes) = match file {
        [0xff, 0xd8, ..] => ("jpg", jpeg(file)?),
        _ if file.starts_with(PNG_MARK) => ("png", png(file)?),
        _ => return None,
    };
    Some(Photo { ending, bytes })
}

fn is_size(wide: u32, high: u32) -> bool {
    (1..=LONGEST).contains(&wide) && (1..=LONGEST).contains(&high)
}

fn short(bytes: &[u8], at: usize) -> Option<u16> {
    let pair = bytes.get(at..at.checked_add(2)?)?;
    Some(u16::from_be_bytes(pair.try_into().ok()?))
}

fn long(bytes: &[u8], at: usize) -> Option<u32> {
    let four = bytes.get(at..at.checked_add(4)?)?;
    Some(u32::from_be_bytes(four.try_into().ok()?))
}

fn png(file: &[u8]) -> Option<Vec<u8>> {
    let (mut out, mut at) = (PNG_MARK.to_vec(), PNG_MARK.len());
    let (mut is_first, mut has_picture) = (true, false);
    loop {
        let length = usize::try_from(long(file, at)?).ok()?;
        let part = file.get(at..at.checked_add(length)?.checked_add(12)?)?;
        let kind = part.get(4..8)?;
        if is_first && (kind != b"IHDR" || !is_size(long(part, 8)?, long(part, 12)?)) {
            return None;
        }
        is_first = false;
        has_picture |= kind == b"IDAT";
        if PNG_PARTS.contains(&kind) {
            out.extend(part);
        }
        at += part.len();
        if kind == b"IEND" {
            return has_picture.then_some(out);
        }
    }
}

fn jpeg(file: &[u8]) -> Option<Vec<u8>> {
    let (mut out, mut at) = (vec![0xff, 0xd8], 2);
    let (mut has_frame, mut has_scan) = (false, false);
    loop {
        // A marker may have filling before it.
        while file.get(at..at + 2)? == [0xff, 0xff] {
            at += 1;
        }
        let [0xff, marker] = *file.get(at..at + 2)? else {
            return None;
        };
        match marker {
            0xd9 if has_frame && has_scan => {
                out.extend([0xff, 0xd9]);
                return Some(out);
            }
            0xd9 => return None,
            0xd0..=0xd7 | 0x01 => {
                at += 2;
                continue;
            }
            _ => {}
        }
        let end = at + 2 + usize::from(short(file, at + 2)?);
        out.extend(kept(marker, file.get(at..end)?, has_frame)?);
        has_frame |= is_frame(marker);
        at = end;
        if marker == 0xda {
            has_scan = true;
            let rest = file.get(at..)?;
            let is_marker =
                |pair: &[u8]| matches!(pair, [0xff, next] if !matches!(next, 0 | 0xd0..=0xd7));
            let length = rest.windows(2).position(is_marker)?;
            out.extend(rest.get(..length)?);
            at += length;
        }
    }
}

fn is_frame(marker: u8) -> bool {
    matches!(marker, 0xc0..=0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf)
}

/// What stays of one part of a JPEG; `None` if it is torn, or the picture has no possible size.
fn kept(marker: u8, part: &[u8], has_frame: bool) -> Option<Vec<u8>> {
    let inner = part.get(4..)?;
    Some(match marker {
        // The frame: precision, height, width.
        _ if is_frame(marker) => {
            let (high, wide) = (short(inner, 1)?, short(inner, 3)?);
            is_size(wide.into(), high.into()).then(|| part.to_vec())?
        }
        // Tables, and the scan.
        0xc4 | 0xcc | 0xda..=0xdd => part.to_vec(),
        // Without its small preview.
        0xe0 if inner.starts_with(b"JFIF\0") => {
            [&[0xff, 0xe0, 0, 16], inner.get(..12)?, &[0, 0]].concat()
        }
        // It says how colors are mixed.
        0xee if inner.starts_with(b"Adobe") => part.to_vec(),
        0xe1 if !has_frame && inner.starts_with(NOTES) => {
            let turned = inner.get(NOTES.len()..).and_then(orientation);
            turned.into_iter().flat_map(turned_part).collect()
        }
        _ => Vec::new(),
    })
}

/// How a picture is turned, from the notes of a camera.
fn orientation(notes: &[u8]) -> Option<u8> {
    let is_little = notes.starts_with(b"II");
    let two = |at: usize| {
        let number = short(notes, at)?;
        Some(if is_little {
            number.swap_bytes()
        } else {
            number
        })
    };
    let first = long(notes, 4)?;
    let first = if is_little { first.swap_bytes() } else { first };
    let first = usize::try_from(first).ok()?;
    let count = usize::from(two(first)?);
    let places = (0..count).map(|number| first.saturating_add(2 + 12 * number));
    let found = places.take(200).find(|at| two(*at) == Some(0x0112))?;
    let turned = u8::try_from(two(found + 8)?).ok()?;
    (2..=8).contains(&turned).then_some(turned)
}

/// Notes that say how the picture is turned, and nothing else.
fn turned_part(turned: u8) -> Vec<u8> {
    let mut part = vec![0xff, 0xe1, 0, 34];
    part.extend(NOTES);
    part.extend(b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0");
    part.extend([turned, 0, 0, 0, 0, 0, 0]);
    part
}

#[cfg(test)]
#[path = "../../tests/units/photo.rs"]
mod tests;
