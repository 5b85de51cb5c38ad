//! Enums whose values are words of the files, each word beside its value.

/// Makes the enum, the list `WORDS` in the same order, and the ways between a value and its word.
macro_rules! words {
    ($(#[$meta:meta])* pub enum $name:ident { $($(#[$doc:meta])* $value:ident = $word:literal,)+ }) => {
        $(#[$meta])*
        pub enum $name {
            $($(#[$doc])* $value,)+
        }

        impl $name {
            /// The words of the files, and what they mean.
            pub const WORDS: [(&'static str, $name); [$($word),+].len()] = [$(($word, $name::$value)),+];

            /// The word of the files.
            pub fn word(self) -> &'static str {
                match self {
                    $($name::$value => $word,)+
                }
            }

            /// What a word means.
            pub fn parse(word: &str) -> Option<$name> {
                match word {
                    $($word => Some($name::$value),)+
                    _ => None,
                }
            }
        }
    };
}

pub(crate) use words;
