//! Reads the parameters of one rule for its kind of check. What the kind does not ask for has no effect, so it is a problem.

use super::fault::CheckFault;
use super::options::{OptionWords, SelectorSection, words_of_option};
use crate::fact::{ContainerFilter, PlaceFilter, RoomFilter, fixture_kinds};
use crate::pack::{Adjust, LimitValue, PackFault, Rule, Scheme, Select, WithSpan, word};
use crate::quantity::{Dimension, Exact, Measure, MeasureFault, Period};
use crate::record::FixtureKind;
use crate::text::{CellFault, Fault, Problem, Problems, Span};

/// A rule that its kind cannot honor. Only a reader makes one, and each time it notes the problem.
pub(super) struct RuleRefused(());

/// One value of a rule's limit, and what multiplies it.
#[derive(Clone, Copy)]
pub(super) struct LimitText<'r> {
    pub(super) value: &'r LimitValue,
    pub(super) at: Span,
    pub(super) adjust: &'r [Adjust],
    /// The local authority said it, in place of the pack.
    pub(super) local: bool,
}

/// A limit for all classes, or one for each.
pub(super) enum ClassLimits {
    All(Measure),
    ByClass(Vec<(usize, Measure)>),
}

/// A rule as its kind reads it.
pub(super) struct RuleReader<'r, 'p> {
    rule: &'r Rule,
    kind: &'static str,
    dimensions: &'static [Dimension],
    scheme: Option<&'r Scheme>,
    limit: LimitText<'r>,
    read: Vec<&'static str>,
    problems: &'p mut Problems,
}

impl<'r, 'p> RuleReader<'r, 'p> {
    pub(super) fn new(
        rule: &'r Rule,
        (kind, dimensions): (&'static str, &'static [Dimension]),
        scheme: Option<&'r Scheme>,
        limit: LimitText<'r>,
        problems: &'p mut Problems,
    ) -> RuleReader<'r, 'p> {
        RuleReader {
            rule,
            kind,
            dimensions,
            scheme,
            limit,
            read: Vec::new(),
            problems,
        }
    }

    /// Where the rule is, for what is missing from it.
    pub(super) fn at(&self) -> Span {
        self.rule.at
    }

    /// Is the limit the word of a local authority, in place of the pack's own?
    pub(super) fn is_local(&self) -> bool {
        self.limit.local
    }

    pub(super) fn refuse(&mut self, fault: impl Fault, at: Span) -> RuleRefused {
        self.problems.add(Problem::new(fault, at));
        RuleRefused(())
    }

    /// Notes that something is missing.
    pub(super) fn demand(&mut self, needs: impl Into<String>, at: Span) -> RuleRefused {
        let code = CheckFault::Demand {
            kind: self.kind,
            needs: needs.into(),
        };
        self.refuse(code, at)
    }

    /// Notes a key that has no effect, beside those that have.
    fn unused(&mut self, key: impl Into<String>, known: &[&str], at: Span) -> RuleRefused {
        let fault = CheckFault::KeyUnused {
            key: key.into(),
            kind: self.kind,
            known: known.join(", "),
        };
        self.refuse(fault, at)
    }

    /// The word of an option, if it is there.
    pub(super) fn option<T: OptionWords>(&mut self) -> Result<Option<T>, RuleRefused> {
        let Some(told) = self.text(T::KEY) else {
            return Ok(None);
        };
        match word(told, T::KEY, T::WORDS, self.problems) {
            Some(value) => Ok(Some(value)),
            None => Err(RuleRefused(())),
        }
    }

    /// The word of an option that must be there.
    pub(super) fn must<T: OptionWords>(&mut self) -> Result<T, RuleRefused> {
        match self.option()? {
            Some(value) => Ok(value),
            None => {
                let words = words_of_option::<T>().join(", ");
                Err(self.demand(format!("\"{}\": {words}", T::KEY), self.rule.at))
            }
        }
    }

    /// Notes that the word of an option means nothing together with another option.
    pub(super) fn unfit<T: OptionWords>(&mut self, with: &'static str, known: &str) -> RuleRefused {
        match self.text(T::KEY) {
            Some(told) => self.unfit_word(told, T::KEY, with, known),
            None => self.demand(format!("\"{}\"", T::KEY), self.rule.at),
        }
    }

    /// Notes that a word of a key means nothing together with an option.
    pub(super) fn unfit_word(
        &mut self,
        told: &WithSpan<String>,
        key: &'static str,
        with: &'static str,
        known: &str,
    ) -> RuleRefused {
        let fault = CheckFault::WordUnfit {
            key,
            read: told.value.clone(),
            with,
            known: known.to_string(),
        };
        self.refuse(fault, told.at)
    }

    /// The text of an option, if it is there.
    pub(super) fn text(&mut self, key: &'static str) -> Option<&'r WithSpan<String>> {
        self.read.push(key);
        self.rule.options.get(key)
    }

    /// The question of the round, which must be there. That there is such a question is checked where questions are known.
    pub(super) fn question(&mut self) -> Result<WithSpan<String>, RuleRefused> {
        match self.text("answer") {
            Some(told) => Ok(told.clone()),
            None => Err(self.demand("\"answer\": a question of the round", self.rule.at)),
        }
    }

    /// The words of `fixture`, which must be there.
    pub(super) fn fixtures(&mut self) -> Result<Vec<FixtureKind>, RuleRefused> {
        self.read.push("fixture");
        if self.rule.fixture.is_empty() {
            return Err(self.demand("\"fixture\": kinds of fixture", self.rule.at));
        }
        Ok(fixture_kinds(&self.rule.fixture, self.problems))
    }

    /// A section of selectors. Keys that the kind does not read there are problems; `[with]` and `[never]` must be there.
    pub(super) fn select(
        &mut self,
        section: SelectorSection,
        keys: &[&'static str],
    ) -> Result<&'r Select, RuleRefused> {
        self.read.push(section.head());
        let select = match section {
            SelectorSection::Where => Some(&self.rule.select),
            SelectorSection::With => self.rule.with.as_ref(),
            SelectorSection::Never => self.rule.never.as_ref(),
        };
        let Some(select) = select else {
            return Err(self.demand(section.head(), self.rule.at));
        };
        for (key, words) in &select.keys {
            if !keys.contains(key) {
                let at = words.first().map_or(select.at, |told| told.at);
                self.unused(format!("\"{key}\" in {}", section.head()), keys, at);
            }
        }
        Ok(select)
    }

    /// A section that selects containers.
    pub(super) fn containers(
        &mut self,
        section: SelectorSection,
    ) -> Result<ContainerFilter, RuleRefused> {
        let select = self.select(section, ContainerFilter::KEYS)?;
        Ok(self.container_filter(select))
    }

    /// The container filter of a section whose keys were checked.
    pub(super) fn container_filter(&mut self, select: &Select) -> ContainerFilter {
        ContainerFilter::read(select, self.scheme, self.problems)
    }

    /// A section that selects places.
    pub(super) fn places(&mut self, section: SelectorSection) -> Result<PlaceFilter, RuleRefused> {
        let select = self.select(section, PlaceFilter::KEYS)?;
        Ok(PlaceFilter::read(select, self.problems))
    }

    /// `[where]`, for rooms.
    pub(super) fn rooms(&mut self) -> Result<RoomFilter, RuleRefused> {
        let select = self.select(SelectorSection::Where, RoomFilter::KEYS)?;
        Ok(RoomFilter::read(select, self.problems))
    }

    /// `[where]`, for fixtures of some kinds, which must be named.
    pub(super) fn fixtures_in_rooms(
        &mut self,
    ) -> Result<(Vec<FixtureKind>, RoomFilter), RuleRefused> {
        let select = self.select(SelectorSection::Where, FIXTURE_KEYS)?;
        let kinds = self.selected_fixtures(select);
        if kinds.is_empty() {
            return Err(self.demand("\"fixture\" in [where]", select.at));
        }
        Ok((kinds, RoomFilter::read(select, self.problems)))
    }

    /// The kinds of fixture of a section whose keys were checked.
    pub(super) fn selected_fixtures(&mut self, select: &Select) -> Vec<FixtureKind> {
        fixture_kinds(select.words("fixture"), self.problems)
    }

    /// What multiplies the limit, as written.
    pub(super) fn adjust(&mut self) -> &'r [Adjust] {
        self.read.push("[[adjust]]");
        self.limit.adjust
    }

    /// The problems, for what reads a part of its own.
    pub(super) fn problems(&mut self) -> &mut Problems {
        self.problems
    }

    /// The limit: one number for all, of the kind's dimensions.
    pub(super) fn number(&mut self) -> Result<Measure, RuleRefused> {
        self.read.push("value");
        match self.limit.value {
            LimitValue::One(told) => self.measured(told),
            LimitValue::None => Err(self.value_missing()),
            LimitValue::ByClass(_) => {
                Err(self.unused("a value for each class", &["one value"], self.limit.at))
            }
        }
    }

    /// The limit, which must be more than nothing: with zero a thing that must be at least so much is always met.
    pub(super) fn positive(&mut self) -> Result<Measure, RuleRefused> {
        let measure = self.number()?;
        if measure.base > Exact::ZERO {
            return Ok(measure);
        }
        let wanted = "a limit of more than zero".into();
        let key = "value".into();
        Err(self.refuse(PackFault::ValueWrong { key, wanted }, self.limit.at))
    }

    /// The limit as a share of what is allowed or burns; more than all of it would be no limit.
    pub(super) fn share(&mut self) -> Result<Measure, RuleRefused> {
        let measure = self.number()?;
        if measure.base <= Exact::whole(100) {
            return Ok(measure);
        }
        let wanted = "a share of at most 100 %".into();
        let key = "value".into();
        Err(self.refuse(PackFault::ValueWrong { key, wanted }, self.limit.at))
    }

    /// The limit as a whole number of hours, days or months.
    pub(super) fn period(&mut self) -> Result<Period, RuleRefused> {
        let measure = self.number()?;
        match measure.period() {
            Some(period) => Ok(period),
            None => {
                let code = CellFault::PeriodBroken {
                    column: "value".into(),
                    read: measure.text(),
                };
                Err(self.refuse(code, self.limit.at))
            }
        }
    }

    /// The limit: one for all, or one for each class that is selected.
    pub(super) fn class_limits(&mut self, selected: &[usize]) -> Result<ClassLimits, RuleRefused> {
        let LimitValue::ByClass(list) = self.limit.value else {
            return self.number().map(ClassLimits::All);
        };
        self.read.push("value");
        if self.rule.select.words("class").is_empty() {
            let needs = "\"class\" in [where], since its limit has a value for each class";
            return Err(self.demand(needs, self.limit.at));
        }
        let classes = self.scheme.map_or(&[][..], |scheme| &scheme.classes);
        let selected: Vec<(&str, usize)> = selected
            .iter()
            .filter_map(|at| Some((classes.get(*at)?.name.as_str(), *at)))
            .collect();
        let mut limits = Vec::new();
        for (class, told) in list {
            let measure = self.measured(told)?;
            let at = word(class, "value", &selected, self.problems).ok_or(RuleRefused(()))?;
            limits.push((at, measure));
        }
        for told in self.rule.select.words("class") {
            let given = list.iter().any(|(class, _)| class.value == told.value);
            if !given {
                let class = told.value.clone();
                self.refuse(CheckFault::ClassLeftOut { class }, told.at);
            }
        }
        Ok(ClassLimits::ByClass(limits))
    }

    fn measured(&mut self, told: &WithSpan<Measure>) -> Result<Measure, RuleRefused> {
        let measure = told.value;
        if !self.dimensions.contains(&measure.unit.dimension) {
            let code = CellFault::Quantity {
                column: "value".into(),
                read: measure.text(),
                fault: MeasureFault::UnitWrong(measure.unit),
                wanted: self.dimensions.to_vec(),
            };
            return Err(self.refuse(code, told.at));
        }
        if measure.base.is_negative() {
            let wanted = "a limit that is not negative".into();
            let key = "value".into();
            return Err(self.refuse(PackFault::ValueWrong { key, wanted }, told.at));
        }
        Ok(measure)
    }

    fn value_missing(&mut self) -> RuleRefused {
        let example = self.dimensions.first().map_or("", |d| d.example());
        self.demand(format!("a value such as \"{example}\""), self.limit.at)
    }

    /// Each key of the rule that was not read is a problem.
    pub(super) fn finish(mut self) {
        let rule = self.rule;
        for (key, told) in &rule.options {
            self.unless_read(key, told.at);
        }
        if let Some(told) = rule.fixture.first() {
            self.unless_read("fixture", told.at);
        }
        if !rule.select.keys.is_empty() {
            self.unless_read("[where]", rule.select.at);
        }
        for (head, select) in [("[with]", &rule.with), ("[never]", &rule.never)] {
            if let Some(select) = select {
                self.unless_read(head, select.at);
            }
        }
        if let Some(step) = self.limit.adjust.first() {
            self.unless_read("[[adjust]]", step.at);
        }
        match self.limit.value {
            LimitValue::None => {}
            LimitValue::One(told) => self.unless_read("value", told.at),
            LimitValue::ByClass(_) => self.unless_read("value", self.limit.at),
        }
    }

    fn unless_read(&mut self, key: &'static str, at: Span) {
        if !self.read.contains(&key) {
            let known = self.read.clone();
            self.unused(format!("\"{key}\""), &known, at);
        }
    }
}

/// The keys of `[where]` where it selects fixtures.
pub(super) const FIXTURE_KEYS: &[&str] = &["fixture", "room", "not_room", "room_rated", "level"];
