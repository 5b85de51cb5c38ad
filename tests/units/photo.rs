//! Pictures as phones make them, with all that they tell besides the picture. Both files are made up: a drawing of 64 by 48 points
//! with a place, a device, a time, a comment between scans and more behind the end.

use super::photo;

const JPEG: &[u8] = include_bytes!("../bench_page/photo.jpg");
const PNG: &[u8] = include_bytes!("../bench_page/photo.png");
/// What tells of the device or the place.
const TELLING: [&[u8]; 5] = [
    b"Pocket 9",
    b"Made-up",
    b"51 28 38",
    b"2026:10:31",
    b"made-up",
];

fn has(bytes: &[u8], part: &[u8]) -> bool {
    bytes.windows(part.len()).any(|window| window == part)
}

#[test]
fn place_and_device_are_left_out_and_the_picture_stays() {
    for (file, ending) in [(JPEG, "jpg"), (PNG, "png")] {
        assert!(has(file, b"Pocket 9"), "the test needs something to remove");
        let made = photo(file).unwrap();
        assert_eq!(made.ending, ending);
        for part in TELLING {
            assert!(!has(&made.bytes, part), "{}", String::from_utf8_lossy(part));
        }
        assert!(made.bytes.len() > file.len() / 3, "there is a picture");
        let again = photo(&made.bytes).unwrap();
        assert_eq!(again.bytes, made.bytes, "nothing is left to remove");
    }
}

#[test]
fn it_stays_the_right_way_up() {
    let made = photo(JPEG).unwrap().bytes;
    // Tag 274, a short, once: 6.
    assert!(has(&made, b"\x01\x12\0\x03\0\0\0\x01\0\x06\0\0"));
}

#[test]
fn every_scan_stays() {
    let scans = |bytes: &[u8]| {
        bytes
            .windows(2)
            .filter(|pair| *pair == [0xff, 0xda])
            .count()
    };
    assert!(scans(JPEG) > 1);
    assert_eq!(scans(&photo(JPEG).unwrap().bytes), scans(JPEG));
}

#[test]
fn what_is_no_whole_picture_is_refused() {
    let odd: [&[u8]; 6] = [
        b"",
        b"<svg onload=alert(1)>",
        b"GIF89a",
        b"\xff\xd8",
        b"\xff\xd8\xff\xd9",
        b"\x89PNG\r\n\x1a\n",
    ];
    for file in odd {
        assert!(photo(file).is_none(), "{file:?}");
    }
    // Cut off anywhere inside the picture; what stands behind its end does not count.
    for file in [JPEG, PNG] {
        let whole = photo(file).unwrap().bytes;
        for end in 0..whole.len() {
            assert!(photo(&whole[..end]).is_none(), "{end} of {}", whole.len());
        }
    }
}

/// Any byte may be wrong: it is refused or made plain, and nothing else happens.
#[test]
fn a_damaged_picture_does_no_harm() {
    for file in [JPEG, PNG] {
        for at in 0..file.len() {
            for byte in [0, 0xff, file[at] ^ 0x55] {
                let mut damaged = file.to_vec();
                damaged[at] = byte;
                let _made = photo(&damaged);
            }
        }
    }
}
