//! The form of the pending file: what is about to be added, so that it can be finished after a crash.

use super::journal::{Addition, Seen};

/// Lines as a message shows them.
pub(super) fn shown(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes)
        .trim()
        .replace(['\r', '\n'], " / ")
}

/// `sandarac 1`, then for each file its name, its length before, the bytes' length and the bytes.
pub(super) fn as_pending(additions: &[Addition]) -> Vec<u8> {
    let mut text = b"sandarac 1\n".to_vec();
    for addition in additions {
        let (name, before) = (&addition.file, addition.seen.length);
        text.extend(format!("{name}\t{before}\t{}\n", addition.bytes.len()).bytes());
        text.extend(&addition.bytes);
    }
    text
}

/// The inverse; `None` for anything else, and for a name that leads out of the folder.
pub(super) fn from_pending(bytes: &[u8]) -> Option<Vec<Addition>> {
    let mut rest = bytes.strip_prefix(b"sandarac 1\n")?;
    let mut additions = Vec::new();
    while !rest.is_empty() {
        let end = rest.iter().position(|byte| *byte == b'\n')?;
        let line = std::str::from_utf8(&rest[..end]).ok()?;
        let mut parts = line.split('\t');
        let file = parts.next().filter(|name| is_table(name))?.to_string();
        let length = parts.next()?.parse().ok()?;
        let count: usize = parts.next()?.parse().ok()?;
        let (own, after) = rest[end + 1..].split_at_checked(count)?;
        additions.push(Addition {
            file,
            seen: Seen {
                length,
                changed: None,
            },
            bytes: own.to_vec(),
        });
        rest = after;
    }
    Some(additions)
}

fn is_table(name: &str) -> bool {
    name.ends_with(".csv") && !name.contains(['/', '\\', ':'])
}

#[cfg(test)]
mod tests {
    use super::from_pending;

    #[test]
    fn a_pending_file_cannot_lead_out_of_the_folder() {
        for name in ["../log.csv", "/tmp/log.csv", "shop.toml", "a\\log.csv"] {
            let text = format!("sandarac 1\n{name}\t0\t2\nx\n");
            assert!(from_pending(text.as_bytes()).is_none(), "{name}");
        }
        for broken in [
            "",
            "sandarac 2\n",
            "sandarac 1\nlog.csv\t0\t9\nx\n",
            "sandarac 1\nlog.csv",
        ] {
            assert!(from_pending(broken.as_bytes()).is_none(), "{broken}");
        }
    }
}
