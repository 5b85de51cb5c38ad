//! The one door to TOML: values with their spans, unknown keys named, all problems gathered.

use crate::pack::PackFault;
use crate::text::{
    CellFault, Extent, FileFault, FileId, Files, MOST_BYTES_KEPT, Problem, Problems, Span,
};
use std::cell::RefCell;
use std::collections::BTreeSet;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A value and the place it was read from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WithSpan<T> {
    pub value: T,
    pub at: Span,
}

pub struct Document<'d> {
    file: FileId,
    table: Spanned<DeTable<'d>>,
}

/// A table in it. It remembers which keys were read; `done` names those that were not.
pub struct Section<'d> {
    file: FileId,
    name: String,
    at: Span,
    table: &'d DeTable<'d>,
    asked: RefCell<BTreeSet<&'static str>>,
}

impl<'d> Document<'d> {
    /// Parses a file that is held in memory.
    pub fn parse(files: &'d Files, file: FileId, problems: &mut Problems) -> Option<Document<'d>> {
        let Some(bytes) = files.held(file) else {
            let why = format!("it is larger than {MOST_BYTES_KEPT} bytes");
            problems.add(Problem::new(
                FileFault::Unreadable { why },
                Span::whole(file),
            ));
            return None;
        };
        let text = match std::str::from_utf8(bytes) {
            Ok(text) => text,
            Err(fault) => {
                let at = u64::try_from(fault.valid_up_to()).unwrap_or(0);
                problems.add(Problem::new(
                    FileFault::NotUtf8,
                    Span {
                        file,
                        extent: Extent::At(at),
                    },
                ));
                return None;
            }
        };
        let (table, faults) = DeTable::parse_recoverable(text);
        // One slip often makes a second fault of what follows; the first is the one to mend.
        for fault in faults.iter().take(1) {
            let at = fault
                .span()
                .map_or(Span::whole(file), |span| place(file, &span));
            let there = fault.span().and_then(|span| text.get(span));
            let curly = there.is_some_and(|there| there.contains(['“', '”', '„', '‘', '’']));
            let why = match fault.message().lines().next() {
                _ if curly => "curly quotation marks, where straight ones belong",
                Some(why) if why.contains("recur") => "it is nested too deeply",
                Some(why) => why,
                None => "not understood",
            };
            let why = why.to_string();
            problems.add(Problem::new(PackFault::TomlSyntax { why }, at));
        }
        faults.is_empty().then_some(Document { file, table })
    }

    /// The top of the file.
    pub fn top(&'d self, name: &str) -> Section<'d> {
        Section {
            file: self.file,
            name: name.to_string(),
            at: Span::whole(self.file),
            table: self.table.get_ref(),
            asked: RefCell::default(),
        }
    }
}

fn place(file: FileId, span: &std::ops::Range<usize>) -> Span {
    let start = u64::try_from(span.start).unwrap_or(u64::MAX);
    let length = u32::try_from(span.len()).unwrap_or(u32::MAX);
    Span {
        file,
        extent: Extent::Range(start, length),
    }
}

impl<'d> Section<'d> {
    fn find(&self, key: &'static str) -> Option<&'d Spanned<DeValue<'d>>> {
        self.asked.borrow_mut().insert(key);
        self.table
            .iter()
            .find(|(name, _)| name.get_ref() == key)
            .map(|(_, value)| value)
    }

    /// Where the section is.
    pub fn at(&self) -> Span {
        self.at
    }

    /// What messages call it.
    pub fn name(&self) -> &str {
        &self.name
    }

    fn wrong(
        &self,
        key: &str,
        wanted: &str,
        value: &Spanned<DeValue<'d>>,
        problems: &mut Problems,
    ) {
        let code = PackFault::ValueWrong {
            key: key.to_string(),
            wanted: wanted.to_string(),
        };
        problems.add(Problem::new(code, place(self.file, &value.span())));
    }

    /// A text, if the key is there.
    pub fn text(&self, key: &'static str, problems: &mut Problems) -> Option<WithSpan<String>> {
        let value = self.find(key)?;
        match value.get_ref() {
            DeValue::String(text) => Some(WithSpan {
                value: text.trim().to_string(),
                at: place(self.file, &value.span()),
            }),
            DeValue::Datetime(day) => Some(WithSpan {
                value: day.to_string(),
                at: place(self.file, &value.span()),
            }),
            DeValue::Boolean(_) => {
                let wanted = "a text in quotation marks, such as \"yes\"";
                self.wrong(key, wanted, value, problems);
                None
            }
            _ => {
                self.wrong(key, "a text in quotation marks", value, problems);
                None
            }
        }
    }

    /// A text that must be there, and not be empty.
    pub fn must(&self, key: &'static str, problems: &mut Problems) -> Option<WithSpan<String>> {
        let Some(value) = self.find(key) else {
            self.missing(key, problems);
            return None;
        };
        let told = self.text(key, problems)?;
        if told.value.is_empty() {
            self.wrong(key, "a text that is not empty", value, problems);
            return None;
        }
        Some(told)
    }

    /// Notes that a key is missing.
    pub fn missing(&self, key: &'static str, problems: &mut Problems) {
        problems.add(Problem::new(
            PackFault::KeyMissing {
                key,
                of: self.name.clone(),
            },
            self.at,
        ));
    }

    /// A whole number, if the key is there.
    pub fn number(&self, key: &'static str, problems: &mut Problems) -> Option<WithSpan<u32>> {
        let value = self.find(key)?;
        match value.get_ref() {
            DeValue::Integer(number) if number.as_str().parse::<u32>().is_ok() => Some(WithSpan {
                value: number.as_str().parse().unwrap_or(0),
                at: place(self.file, &value.span()),
            }),
            _ => {
                self.wrong(key, "a whole number, such as `2`", value, problems);
                None
            }
        }
    }

    /// `true` or `false`, if the key is there.
    pub fn truth(&self, key: &'static str, problems: &mut Problems) -> Option<WithSpan<bool>> {
        let value = self.find(key)?;
        match value.get_ref() {
            DeValue::Boolean(truth) => Some(WithSpan {
                value: *truth,
                at: place(self.file, &value.span()),
            }),
            _ => {
                self.wrong(key, "`true` or `false`", value, problems);
                None
            }
        }
    }

    /// A list of texts; empty if the key is not there.
    pub fn words(&self, key: &'static str, problems: &mut Problems) -> Vec<WithSpan<String>> {
        let Some(value) = self.find(key) else {
            return Vec::new();
        };
        let DeValue::Array(list) = value.get_ref() else {
            let wanted = match value.get_ref() {
                DeValue::String(text) => format!("a list of words: `[\"{text}\"]`"),
                _ => "a list of words: `[\"one\", \"two\"]`".to_string(),
            };
            self.wrong(key, &wanted, value, problems);
            return Vec::new();
        };
        let mut words = Vec::new();
        for item in list.iter() {
            match item.get_ref() {
                DeValue::String(text) => {
                    words.push(WithSpan {
                        value: text.to_string(),
                        at: place(self.file, &item.span()),
                    });
                }
                _ => self.wrong(key, "a list of words: `[\"one\", \"two\"]`", item, problems),
            }
        }
        words
    }

    /// A section below, if it is there.
    pub fn section(&self, key: &'static str, problems: &mut Problems) -> Option<Section<'d>> {
        let value = self.find(key)?;
        self.below(key, value, problems)
    }

    fn below(
        &self,
        key: &str,
        value: &'d Spanned<DeValue<'d>>,
        problems: &mut Problems,
    ) -> Option<Section<'d>> {
        match value.get_ref() {
            DeValue::Table(table) => Some(Section {
                file: self.file,
                name: format!("[{key}]"),
                at: place(self.file, &value.span()),
                table,
                asked: RefCell::default(),
            }),
            _ => {
                self.wrong(key, &format!("a table, `[{key}]`"), value, problems);
                None
            }
        }
    }

    /// Is there such a key?
    pub fn has(&self, key: &str) -> bool {
        self.table.iter().any(|(name, _)| name.get_ref() == key)
    }

    /// Does the key hold a table?
    pub fn is_section(&self, key: &str) -> bool {
        self.table.iter().any(|(name, value)| {
            name.get_ref() == key && matches!(value.get_ref(), DeValue::Table(_))
        })
    }

    /// Sections in a list, `[[key]]`.
    pub fn list(&self, key: &'static str, problems: &mut Problems) -> Vec<Section<'d>> {
        let Some(value) = self.find(key) else {
            return Vec::new();
        };
        let DeValue::Array(list) = value.get_ref() else {
            self.wrong(
                key,
                &format!("a list of tables, `[[{key}]]`"),
                value,
                problems,
            );
            return Vec::new();
        };
        let mut sections = Vec::new();
        for item in list.iter() {
            if let Some(section) = self.below(key, item, problems) {
                let name = format!("[[{key}]]");
                sections.push(Section { name, ..section });
            }
        }
        sections
    }

    /// Every key with its section, in the order of the keys: for tables whose keys are days or names.
    pub fn named(&self, problems: &mut Problems) -> Vec<(WithSpan<String>, Section<'d>)> {
        let mut list = Vec::new();
        for (name, value) in self.table {
            let told = WithSpan {
                value: name.get_ref().to_string(),
                at: place(self.file, &name.span()),
            };
            if let Some(section) = self.below(name.get_ref(), value, problems) {
                let name = match self.name.strip_suffix(']') {
                    Some(parent) => format!("{parent}.{}]", told.value),
                    None => section.name.clone(),
                };
                list.push((told, Section { name, ..section }));
            }
        }
        list
    }

    /// Every key with its text: for tables whose keys are names.
    pub fn pairs(&self, problems: &mut Problems) -> Vec<(WithSpan<String>, WithSpan<String>)> {
        let mut list = Vec::new();
        for (name, value) in self.table {
            let told = WithSpan {
                value: name.get_ref().to_string(),
                at: place(self.file, &name.span()),
            };
            match value.get_ref() {
                DeValue::String(text) => {
                    list.push((
                        told,
                        WithSpan {
                            value: text.to_string(),
                            at: place(self.file, &value.span()),
                        },
                    ));
                }
                _ => self.wrong(&told.value, "a text in quotation marks", value, problems),
            }
        }
        list
    }

    /// Names every key that was not read.
    pub fn done(self, problems: &mut Problems) {
        let asked = self.asked.borrow();
        for (name, _) in self.table {
            if !asked.contains(name.get_ref().as_ref()) {
                let near = problems.near(name.get_ref(), asked.iter().copied());
                let known = asked.iter().copied().collect::<Vec<_>>().join(", ");
                let code = PackFault::KeyUnknown {
                    key: name.get_ref().to_string(),
                    near,
                    known,
                };
                problems.add(Problem::new(code, place(self.file, &name.span())));
            }
        }
    }
}

/// Reads a word of a closed list; another one is a problem that says the list.
pub fn word<T: Copy>(
    told: &WithSpan<String>,
    key: &str,
    list: &[(&str, T)],
    problems: &mut Problems,
) -> Option<T> {
    let found = list
        .iter()
        .find(|(name, _)| name.eq_ignore_ascii_case(&told.value))
        .map(|(_, value)| *value);
    if found.is_none() {
        let near = problems.near(&told.value, list.iter().map(|(name, _)| *name));
        let known = list
            .iter()
            .map(|(name, _)| *name)
            .collect::<Vec<_>>()
            .join(", ");
        let code = CellFault::WordUnknown {
            column: key.to_string(),
            read: told.value.clone(),
            near,
            known,
        };
        problems.add(Problem::new(code, told.at));
    }
    found
}
