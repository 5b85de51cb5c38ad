//! Small pieces of sentences.

/// "the bench", but "cabinet 1" and "J-9": a name that is a description takes an article.
pub fn the(name: &str) -> String {
    let described = name.starts_with(|c: char| c.is_lowercase())
        && !name.ends_with(|c: char| c.is_ascii_digit())
        && !name.starts_with("the ");
    if described {
        format!("the {name}")
    } else {
        name.to_string()
    }
}

/// With a capital at its beginning.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// `1 container`, `2 containers`.
pub fn counted(count: usize, one: &str) -> String {
    format!("{count} {one}{}", if count == 1 { "" } else { "s" })
}

#[cfg(test)]
mod tests {
    use super::the;

    #[test]
    fn a_description_takes_an_article_and_a_number_does_not() {
        assert_eq!(the("bench"), "the bench");
        assert_eq!(the("cabinet 1"), "cabinet 1");
        assert_eq!(the("A-3"), "A-3");
        assert_eq!(
            the("extinguisher by the door"),
            "the extinguisher by the door"
        );
    }
}
