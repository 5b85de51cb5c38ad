//! The names that entries bear: at most one entry bears each.

use foldhash::HashSet;

/// Names that were seen. Numbers that go up one by one, as nearly all do, take no room.
#[derive(Debug, Default)]
pub(super) struct EntryNames {
    /// The first and the last number of each run, in order.
    runs: Vec<(u64, u64)>,
    others: HashSet<String>,
}

impl EntryNames {
    /// Takes a name; false if an entry has it already.
    pub fn take(&mut self, name: &str) -> bool {
        let Some(number) = number(name) else {
            return self.others.insert(name.to_string());
        };
        match self.runs.last_mut() {
            Some((_, last)) if number == *last + 1 => *last = number,
            Some((_, last)) if number <= *last => {
                let before = self.runs.partition_point(|(first, _)| *first <= number);
                let run = before.checked_sub(1).and_then(|at| self.runs.get(at));
                let is_taken = run.is_some_and(|(_, last)| number <= *last);
                return !is_taken && self.others.insert(name.to_string());
            }
            Some(_) | None => self.runs.push((number, number)),
        }
        true
    }
}

/// The number that a name is, written as the program writes it: `7`, and not `007`.
fn number(name: &str) -> Option<u64> {
    if name.is_empty() || name.len() > 18 || name.starts_with('0') {
        return None;
    }
    name.bytes().try_fold(0, |number, byte| {
        let digit = byte.wrapping_sub(b'0');
        (digit < 10).then(|| number * 10 + u64::from(digit))
    })
}

#[cfg(test)]
mod tests {
    use super::EntryNames;

    #[test]
    fn each_name_is_taken_once() {
        let names = [
            "1",
            "2",
            "3",
            "7",
            "8",
            "5",
            "20",
            "a",
            "007",
            "0",
            "10",
            "18446744073709551615",
            "A",
            "21",
        ];
        let mut seen = EntryNames::default();
        for name in names {
            assert!(seen.take(name), "{name}");
        }
        for name in names {
            assert!(!seen.take(name), "{name}");
        }
        assert!(
            ["4", "6", "9", "11", "22"]
                .iter()
                .all(|name| seen.take(name))
        );
    }
}
