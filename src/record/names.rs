//! The names of one kind of thing, each with its position: what every entry of a log is looked up in.

use foldhash::{HashMap, HashMapExt};

/// Nearly all names are short, and then a name is one number: found and compared without a walk over its letters.
#[derive(Debug)]
pub(super) struct Names {
    short: HashMap<u128, usize>,
    long: HashMap<String, usize>,
    /// In small letters, for names that are typed in other capitals.
    small: HashMap<String, usize>,
}

impl Names {
    /// The position of a name, first in the capitals of its table.
    pub fn get(&self, name: &str) -> Option<usize> {
        match packed(name) {
            Some(packed) => self.short.get(&packed),
            None => self.long.get(name),
        }
        .or_else(|| self.small.get(&name.to_lowercase()))
        .copied()
    }
}

impl FromIterator<(String, usize)> for Names {
    fn from_iter<I: IntoIterator<Item = (String, usize)>>(all: I) -> Names {
        let mut names = Names {
            short: HashMap::new(),
            long: HashMap::new(),
            small: HashMap::new(),
        };
        for (name, at) in all {
            names.small.insert(name.to_lowercase(), at);
            match packed(&name) {
                Some(packed) => names.short.insert(packed, at),
                None => names.long.insert(name, at),
            };
        }
        names
    }
}

/// A name of at most fifteen bytes as one number, in which no two names are alike: its first bytes, its last ones, and how
/// many there are. Of eight bytes and more, the first of the last eight is among the first eight, and makes room for that.
fn packed(name: &str) -> Option<u128> {
    let bytes = name.as_bytes();
    let count = u8::try_from(bytes.len()).ok().filter(|count| *count < 16)?;
    let (first, last) = if let (Some(first), Some(last)) = (bytes.first_chunk(), bytes.last_chunk())
    {
        (
            u64::from_le_bytes(*first),
            u64::from_le_bytes(*last) & !0xFF,
        )
    } else if let (Some(first), Some(last)) = (bytes.first_chunk(), bytes.last_chunk()) {
        let (first, last) = (u32::from_le_bytes(*first), u32::from_le_bytes(*last));
        (u64::from(first), u64::from(last) << 8)
    } else {
        let all = bytes
            .iter()
            .fold(0, |all, byte| all << 8 | u64::from(*byte));
        (all, 0)
    };
    Some(u128::from(first) << 64 | u128::from(last | u64::from(count)))
}

#[cfg(test)]
mod tests {
    use super::{Names, packed};
    use std::collections::HashSet;

    #[test]
    fn short_and_long_names_are_found_and_no_others() {
        let all = [
            "",
            "\0",
            "a",
            "a\0",
            "fifteen letters",
            "sixteen letters!",
            "écorce de chêne",
            "a longer name than most are",
        ];
        let names: Names = all.into_iter().map(str::to_string).zip(0..).collect();
        for (at, name) in all.iter().enumerate() {
            assert_eq!(names.get(name), Some(at), "{name:?}");
        }
        for other in [
            "\0\0",
            "b",
            "a\0\0",
            "fifteen letter",
            "fifteen letters!",
            "sixteen letters?",
        ] {
            assert_eq!(names.get(other), None, "{other:?}");
        }
        assert_eq!(names.get("A"), names.get("a"));
        assert_eq!(names.get("Sixteen LETTERS!"), names.get("sixteen letters!"));
        assert_eq!(names.get("ÉCORCE de chêne"), names.get("écorce de chêne"));
    }

    /// All names of three letters, one of them the one that a number would not show, up to eight of them; and every
    /// change of one letter in every longer one.
    #[test]
    fn no_two_names_share_a_number() {
        let letters = ['\0', 'a', '\u{7f}'];
        let mut longest = vec![String::new()];
        let mut numbers: HashSet<u128> = longest.iter().filter_map(|name| packed(name)).collect();
        let mut count = 1;
        for _ in 0..8 {
            longest = longest
                .iter()
                .flat_map(|name| letters.map(|letter| format!("{name}{letter}")))
                .collect();
            numbers.extend(longest.iter().filter_map(|name| packed(name)));
            count += longest.len();
        }
        assert_eq!(numbers.len(), count);
        for length in 9..16 {
            let name = "abcdefghijklmno".get(..length).unwrap();
            assert!(numbers.insert(packed(name).unwrap()));
            for at in 0..length {
                let mut other = name.to_string();
                other.replace_range(at..=at, "\0");
                assert!(numbers.insert(packed(&other).unwrap()), "{other:?}");
            }
        }
        assert_eq!(packed("abcdefghijklmnop"), None);
    }
}
