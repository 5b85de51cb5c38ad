//! Words of a command that is shown to be pasted into a shell.

/// A word as a shell reads it: in quotes where it would take it apart.
pub fn shell_word(word: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.' | '/' | ':');
    if !word.is_empty() && word.chars().all(plain) {
        word.to_string()
    } else {
        format!("'{}'", word.replace('\'', "'\\''"))
    }
}

#[cfg(test)]
mod tests {
    use super::shell_word;

    #[test]
    fn a_shell_reads_each_word_as_one() {
        assert_eq!(shell_word("R-1"), "R-1");
        assert_eq!(shell_word(""), "''");
        assert_eq!(shell_word("rag can"), "'rag can'");
        assert_eq!(shell_word("it's; rm $HOME"), "'it'\\''s; rm $HOME'");
    }
}
