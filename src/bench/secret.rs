//! Chance and hashes: ids of entries, pairing codes, tokens of devices.

use ring::digest::{SHA256, digest};
use ring::rand::{SecureRandom, SystemRandom};

/// Letters and digits that are hard to confuse with each other.
const LETTERS: &[u8; 32] = b"ABCDEFGHJKLMNPQRSTUVWXYZ23456789";

/// So many letters by chance, five bits each; `None` where the system has no chance to give.
pub fn letters(count: usize) -> Option<String> {
    let mut bytes = vec![0; count];
    SystemRandom::new().fill(&mut bytes).ok()?;
    let letter = |byte: &u8| LETTERS.get(usize::from(byte % 32)).copied();
    let letters: Option<Vec<u8>> = bytes.iter().map(letter).collect();
    String::from_utf8(letters?).ok()
}

/// The id of a new entry: 65 bits of chance. Without chance it is empty, and the form asks to be loaded again.
pub fn entry_id() -> String {
    letters(13).unwrap_or_default().to_ascii_lowercase()
}

/// The SHA-256 of a text or certificate, in hexadecimal.
pub fn sha256(bytes: &[u8]) -> String {
    let hash = digest(&SHA256, bytes);
    hash.as_ref()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// Are two texts the same? Their hashes are compared, so that the time it takes says nothing about the texts.
pub fn same(a: &str, b: &str) -> bool {
    sha256(a.as_bytes()) == sha256(b.as_bytes())
}

#[cfg(test)]
mod tests {
    use super::{entry_id, letters, same, sha256};

    #[test]
    fn ids_differ_and_hashes_are_the_known_ones() {
        let (a, b) = (entry_id(), entry_id());
        assert!(a.len() == 13 && a != b, "{a} {b}");
        assert!(letters(8).is_some_and(|code| !code.contains(['I', 'O', '0', '1'])));
        // FIPS 180-4, the example "abc".
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(sha256(b"abc"), abc);
        assert!(same("a", "a") && !same("a", "b"));
    }
}
