//! `data/checks.csv`: the questions of the round, how often each is due, and who says so.

use crate::pack::{Seen, Severity, TOPICS};
use crate::quantity::Period;
use crate::quantity::in_metric;
use crate::record::RecordFault;
use crate::record::{Fields, FixtureKind, Level, PlaceKind, Room, RoomUse};
use crate::text::{CellFault, FileId, Files, Problem, Problems, Shape, Span, Table};

const SHAPE: Shape = Shape {
    file: "checks.csv",
    must: &[
        "check", "question", "pass", "interval", "severity", "topic", "where", "source", "seen",
        "grade",
    ],
    may: &["if_absent"],
};

/// What a question is asked about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// The shop as a whole.
    Shop,
    /// Each room.
    Rooms,
    /// Each room of this use.
    RoomsFor(RoomUse),
    /// Each room below ground.
    Basements,
    /// Each place of this kind.
    Sites(PlaceKind),
    /// Each fixture of this kind.
    Fixtures(FixtureKind),
}

impl About {
    /// Every word that the column `where` can hold.
    pub fn words() -> Vec<(String, About)> {
        let plain = [
            ("shop", About::Shop),
            ("room", About::Rooms),
            ("room:basement", About::Basements),
        ];
        let mut words: Vec<(String, About)> =
            plain.map(|(word, about)| (word.to_string(), about)).into();
        let rooms =
            RoomUse::WORDS.map(|(word, used)| (format!("room:{word}"), About::RoomsFor(used)));
        let places =
            PlaceKind::WORDS.map(|(word, kind)| (format!("place:{word}"), About::Sites(kind)));
        let fixtures = FixtureKind::WORDS
            .map(|(word, kind)| (format!("fixture:{word}"), About::Fixtures(kind)));
        words.extend(rooms);
        words.extend(places);
        words.extend(fixtures);
        words
    }

    /// Is this room asked about? One whose use or storey is unknown is: it may be meant.
    pub fn means_room(self, room: &Room) -> bool {
        match self {
            About::Rooms => true,
            About::RoomsFor(used) => room.used.is_none_or(|known| known == used),
            About::Basements => room
                .level
                .is_none_or(|level| matches!(level, Level::Basement(_))),
            About::Shop | About::Sites(_) | About::Fixtures(_) => false,
        }
    }
}

#[derive(Clone, Debug)]
pub struct Question {
    /// Its word, by which rules and answers name it.
    pub check: String,
    pub question: String,
    /// What a yes means.
    pub pass: String,
    /// How often it is due.
    pub interval: Period,
    /// How much it weighs.
    pub severity: Severity,
    pub topic: String,
    /// What it is asked about.
    pub about: About,
    pub source: String,
    /// "Not present" is a good answer: the rule is then about nothing.
    pub may_be_absent: bool,
    /// Where it is written.
    pub at: Span,
}

impl Question {
    /// Does it ask and need the same as another one?
    pub fn is_same(&self, other: &Question) -> bool {
        let words =
            |q: &Question| [&q.check, &q.question, &q.pass, &q.topic, &q.source].map(String::clone);
        words(self) == words(other)
            && (self.interval, self.severity) == (other.interval, other.severity)
            && (self.about, self.may_be_absent) == (other.about, other.may_be_absent)
    }
}

#[derive(Debug, Default)]
pub struct Round {
    /// In the order of the file.
    pub questions: Vec<Question>,
    /// The words of those that a pack put in the place of a built-in question.
    pub replaced: Vec<String>,
}

impl Round {
    /// Adds the questions of a rule pack; one of a name that there is already takes its place.
    pub fn add(&mut self, more: Round) {
        for question in more.questions {
            match self
                .questions
                .iter_mut()
                .find(|known| known.check == question.check)
            {
                Some(known) => {
                    self.replaced.push(question.check.clone());
                    *known = question;
                }
                None => self.questions.push(question),
            }
        }
    }

    /// In the units of a metric shop.
    pub fn metric(&mut self) {
        for question in &mut self.questions {
            question.question = in_metric(&question.question);
            question.pass = in_metric(&question.pass);
        }
    }

    /// A question by its word.
    pub fn find(&self, check: &str) -> Option<&Question> {
        self.questions
            .iter()
            .find(|question| question.check == check)
    }
}

pub fn read_round(files: &Files, file: FileId, problems: &mut Problems) -> Round {
    let mut round = Round::default();
    let Some(mut table) = Table::open(files, file, &SHAPE, problems) else {
        return round;
    };
    let words = About::words();
    let words: Vec<(&str, About)> = words
        .iter()
        .map(|(w, about)| (w.as_str(), *about))
        .collect();
    while let Some(row) = table.next(problems) {
        let mut fields = Fields { row, problems };
        let Some(question) = read(&mut fields, &words) else {
            continue;
        };
        if round.find(&question.check).is_some() {
            let fault = RecordFault::DuplicateName {
                kind: "question",
                id: question.check,
            };
            let at = fields.span(0);
            problems.add(Problem::new(fault, at));
            continue;
        }
        round.questions.push(question);
    }
    table.finish(problems);
    round
}

/// How well an interval is supported: high, middle, low, or a judgment.
const GRADES: [(&str, ()); 4] = [("H", ()), ("M", ()), ("L", ()), ("judgement", ())];

/// A question that is due again at once would never be answered.
fn lasting(interval: Period, fields: &mut Fields<'_, '_>) -> Option<Period> {
    let (Period::Minutes(n) | Period::Hours(n) | Period::Days(n) | Period::Months(n)) = interval;
    if n > 0 {
        return Some(interval);
    }
    let fault = CellFault::NotPositive {
        column: "interval".into(),
        read: fields.text(3).unwrap_or_default().to_string(),
    };
    let at = fields.span(3);
    fields.problems.add(Problem::new(fault, at));
    None
}

fn read(fields: &mut Fields<'_, '_>, words: &[(&str, About)]) -> Option<Question> {
    let must = |fields: &mut Fields<'_, '_>, column| fields.must(column).map(str::to_string);
    let (check, question, pass) = (must(fields, 0), must(fields, 1), must(fields, 2));
    let interval = fields.must(3).and_then(|_| fields.period(3));
    let interval = interval.and_then(|interval| lasting(interval, fields));
    let severity = fields
        .must(4)
        .and_then(|_| fields.word(4, &Severity::WORDS));
    let topic = fields
        .must(5)
        .and_then(|_| fields.word(5, &TOPICS.map(|topic| (topic, topic))));
    let source = must(fields, 7);
    let seen = fields.must(8).and_then(|_| fields.word(8, &Seen::WORDS));
    let grade = fields.must(9).and_then(|_| fields.word(9, &GRADES));
    let about = fields.must(6).and_then(|_| fields.word(6, words));
    let at = fields.span(0);
    let may_be_absent = fields
        .word(10, &[("fine", true), ("wanting", false)])
        .unwrap_or(false);
    let (Some(_), Some(())) = (seen, grade) else {
        return None;
    };
    Some(Question {
        check: check?,
        question: question?,
        pass: pass?,
        interval: interval?,
        severity: severity?,
        topic: topic?.to_string(),
        about: about?,
        source: source?,
        may_be_absent,
        at,
    })
}
