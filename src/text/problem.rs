//! Problems: what is wrong with a file. (What is wrong with a room is a finding, and another type.)
//!
//! Each layer has its own faults, as facts, and the words for them; this file only knows that a fault has a code and words.

use super::span::Span;
use std::any::Any;
use std::fmt::Debug;
use std::sync::Arc;

/// What is wrong, as the facts of the layer that found it.
pub trait Fault: Any + Debug + Send + Sync {
    /// A short stable name, for programs and tests.
    fn code(&self) -> &'static str;

    /// The column, key or option that it is about, where the words need it and the place alone does not tell it.
    fn field(&self) -> Option<&str> {
        None
    }

    /// What is wrong, and what to write instead.
    fn words(&self) -> Words;
}

/// Makes an enum of faults. Each has its code, the field that it is about where the place alone does not tell it, and its words:
/// what is wrong, and what to write instead.
macro_rules! faults {
    (
        $(#[$meta:meta])*
        $vis:vis enum $name:ident {
            $($fault:ident $({ $($field:ident: $type:ty),+ $(,)? })? = $code:literal $(of $of:ident)? => ($wrong:expr, $fix:expr,),)+
        }
    ) => {
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq, Eq)]
        $vis enum $name {
            $($fault $({ $($field: $type),+ })?,)+
        }

        impl $crate::text::Fault for $name {
            fn code(&self) -> &'static str {
                match self {
                    $($name::$fault { .. } => $code,)+
                }
            }

            fn field(&self) -> Option<&str> {
                $($(
                    if let $name::$fault { $of, .. } = self {
                        return Some($of);
                    }
                )?)+
                None
            }

            #[allow(unused_variables, reason = "a field may be only for programs")]
            fn words(&self) -> $crate::text::Words {
                match self {
                    $($name::$fault $({ $($field),+ })? => $crate::text::Words::new($wrong, $fix),)+
                }
            }
        }
    };
}
pub(crate) use faults;

/// A problem in words: whole sentences.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Words {
    pub wrong: String,
    /// What to write or do instead.
    pub fix: String,
}

impl Words {
    /// What is wrong, and what to write instead.
    pub fn new(wrong: impl Into<String>, fix: impl Into<String>) -> Words {
        Words {
            wrong: wrong.into(),
            fix: fix.into(),
        }
    }
}

/// One thing wrong, where it is, and another place that has to do with it.
#[derive(Clone, Debug)]
pub struct Problem {
    /// What is wrong, as facts.
    pub fault: Arc<dyn Fault>,
    pub at: Span,
    /// The other place, where two disagree.
    pub see: Option<Span>,
}

impl Problem {
    /// A problem at one place.
    pub fn new(fault: impl Fault, at: Span) -> Problem {
        Problem::with(fault, at, None)
    }

    /// A problem between two places.
    pub fn between(fault: impl Fault, at: Span, see: Span) -> Problem {
        Problem::with(fault, at, Some(see))
    }

    /// A problem at one place, with the other place where there is one.
    pub fn with(fault: impl Fault, at: Span, see: Option<Span>) -> Problem {
        Problem {
            fault: Arc::new(fault),
            at,
            see,
        }
    }

    /// The fault, if it is one of this layer's.
    pub fn fault_of<F: Fault>(&self) -> Option<&F> {
        let fault: &dyn Any = &*self.fault;
        fault.downcast_ref()
    }
}
