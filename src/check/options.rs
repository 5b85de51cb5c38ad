//! The options and selectors of a rule as data: what a kind says that it reads.

/// The words of one option of a rule.
pub(super) trait OptionWords: Copy + 'static {
    const KEY: &'static str;
    /// Its words, and what they mean.
    const WORDS: &'static [(&'static str, Self)];
}

/// Makes an option: its key, and its values, each with its word.
macro_rules! option_words {
    ($(#[$meta:meta])* enum $name:ident: $key:literal { $($value:ident = $word:literal,)+ }) => {
        $(#[$meta])*
        #[derive(Clone, Copy)]
        enum $name {
            $($value,)+
        }

        impl $crate::check::options::OptionWords for $name {
            const KEY: &'static str = $key;
            const WORDS: &'static [(&'static str, $name)] = &[$(($word, $name::$value)),+];
        }
    };
}
pub(super) use option_words;

/// Whether an option must be there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeyNeed {
    /// Always.
    Always,
    /// It may be left out.
    Optional,
    /// Only together with this, as the rule file writes it.
    With(&'static str),
}

/// What an option takes.
#[derive(Clone, Copy)]
pub enum Takes {
    /// One of these words.
    Words(fn() -> Vec<&'static str>),
    /// Another text, described.
    Text(&'static str),
}

/// An option that a kind reads.
#[derive(Clone, Copy)]
pub struct OptionKey {
    pub key: &'static str,
    pub takes: Takes,
    /// Must it be there?
    pub need: KeyNeed,
}

impl OptionKey {
    pub(super) const fn words<T: OptionWords>(need: KeyNeed) -> OptionKey {
        OptionKey {
            key: T::KEY,
            takes: Takes::Words(words_of_option::<T>),
            need,
        }
    }

    pub(super) const fn text(key: &'static str, what: &'static str, need: KeyNeed) -> OptionKey {
        OptionKey {
            key,
            takes: Takes::Text(what),
            need,
        }
    }
}

pub(super) fn words_of_option<T: OptionWords>() -> Vec<&'static str> {
    T::WORDS.iter().map(|(word, _)| *word).collect()
}

/// A section of selectors in a rule file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SelectorSection {
    /// `[where]`: what the rule is about.
    Where,
    /// `[with]`: the other side of a rule between two things.
    With,
    /// `[never]`: where a thing must not be.
    Never,
}

impl SelectorSection {
    /// Its head in the file.
    pub fn head(self) -> &'static str {
        match self {
            SelectorSection::Where => "[where]",
            SelectorSection::With => "[with]",
            SelectorSection::Never => "[never]",
        }
    }
}
