//! A pack's worked cases, run through the real path: real tables, real replay, real checks.

use super::packs::reference_with;
use super::{NotAudited, Shop};
use crate::check::{Bound, CheckFault, bind, questions_known};
use crate::files::{Barred, open_in};
use crate::finding::{Finding, Verdict};
use crate::pack::{Case, Document, InForce, Pack, Rule, load_to_check, read_cases, word};
use crate::quantity::Measure;
use crate::text::{FileFault, FileId, Files, MOST_BYTES_KEPT, Problem, Problems, Span};
use std::path::Path;

/// How the cases of a pack went.
#[derive(Debug, Default)]
pub struct CaseResult {
    /// Rules of the pack: its own, and adopted ones that it changes.
    pub rules: usize,
    /// Rules that it adopts as they are.
    pub adopted: usize,
    /// Cases run.
    pub cases: usize,
    /// Every rule is understood, whatever its cases say.
    pub is_read: bool,
    /// Built-in questions of the round that it replaces.
    pub replaced: Vec<String>,
}

/// Room of a case that gives none.
const ROOM: &str =
    "room,use,length,width,height,level\nfinishing,finishing,20 ft,12 ft,9 ft,ground\n";
/// Inventory of a case that gives none.
const INVENTORY: &str = "container,product\n";

/// Checks a pack folder: it reads cleanly, every rule binds, every rule has its cases, and every case holds.
pub fn check_pack(folder: &Path, files: &mut Files, problems: &mut Problems) -> CaseResult {
    let mut result = CaseResult::default();
    let Some(pack) = load_to_check(folder, files, problems) else {
        return result;
    };
    result.rules = pack
        .rules
        .iter()
        .filter(|rule| !rule.is_inherited())
        .count();
    result.adopted = pack.rules.len() - result.rules;
    let rules = pack.rules.iter();
    let bound: Vec<Bound<'_>> = rules
        .filter_map(|rule| bind(rule, &pack, problems))
        .collect();
    let before = problems.count();
    let reference = reference_with(std::slice::from_ref(&pack), true, files, problems);
    if problems.count() == before {
        questions_known(&bound, &reference, problems);
    }
    if !problems.none() {
        return result;
    }
    result.is_read = true;
    result.replaced.clone_from(&reference.round.replaced);
    without_rule(folder, &pack, files, problems);
    for bound in bound.iter().filter(|bound| !bound.rule.is_inherited()) {
        let rule = bound.rule;
        let inner = format!("cases/{}.toml", rule.id);
        let name = format!("{}/{inner}", folder.display());
        let file = match open_in(files, name.clone(), folder, &inner, MOST_BYTES_KEPT) {
            Ok(file) => file,
            Err(refused) => {
                let hint = "Every rule needs its worked cases.".to_string();
                let code = match refused {
                    Barred::Missing => FileFault::Missing {
                        name: format!("The file {name}"),
                        hint,
                    },
                    Barred::For(code) => code,
                };
                problems.add(Problem::new(code, rule.at));
                continue;
            }
        };
        let before = problems.count();
        let cases =
            Document::parse(files, file, problems).map(|document| read_cases(&document, problems));
        let cases = cases.unwrap_or_default();
        // A case that cannot be read may be the one that seems to be missing.
        if problems.count() == before {
            lacks(bound, &cases, file, problems);
        }
        for case in &cases {
            result.cases += 1;
            run(case, rule, &pack, problems);
        }
    }
    result
}

/// A file of cases whose name is no rule of the pack's own would be held against nothing.
fn without_rule(folder: &Path, pack: &Pack, files: &mut Files, problems: &mut Problems) {
    let Ok(list) = std::fs::read_dir(folder.join("cases")) else {
        return;
    };
    let names = list.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
    for name in names.filter(|name| !name.starts_with('.')) {
        let of_a_rule = name.strip_suffix(".toml").is_some_and(|id| {
            let mut own = pack.rules.iter().filter(|rule| !rule.is_inherited());
            own.any(|rule| rule.id == id)
        });
        if !of_a_rule {
            let file = files.hold(format!("{}/cases/{name}", folder.display()), Vec::new());
            problems.add(Problem::new(
                CheckFault::CasesWithoutRule,
                Span::whole(file),
            ));
        }
    }
}

/// Each rule shows every verdict that it can come to, the day before it began, and the day itself.
fn lacks(bound: &Bound<'_>, cases: &[Case], file: FileId, problems: &mut Problems) {
    let expects = |word: &str| cases.iter().any(|case| case.expect.value == word);
    let mut need = |there: bool, what: &'static str| {
        if !there {
            problems.add(Problem::new(
                CheckFault::CaseLacks { what },
                Span::whole(file),
            ));
        }
    };
    let rule = bound.rule;
    let from_memory = rule
        .limit
        .values()
        .all(|(_, (_, citation))| citation.seen == crate::pack::Seen::Memory);
    need(expects("meets"), "the rule met");
    need(
        expects("breach") || from_memory && expects("near"),
        "the rule broken",
    );
    need(
        bound.kind.always_judges || expects("cannot-judge"),
        "a needed fact missing (cannot-judge)",
    );
    if let Some(first) = rule.own_since() {
        // Before a change, the adopted limit holds.
        let changes = rule.adopted.is_some();
        let before = cases
            .iter()
            .any(|c| c.on < first && (changes || c.expect.value == "not-in-force"));
        need(
            before,
            "a day before the rule came into force (not-in-force)",
        );
        let on_the_day = cases
            .iter()
            .any(|c| c.on == first && matches!(rule.limit.on(c.on), InForce::Now(..)));
        need(on_the_day, "the very day the rule came into force");
    }
}

fn run(case: &Case, rule: &Rule, pack: &Pack, problems: &mut Problems) {
    let Some(expected) = word(&case.expect, "expect", &Verdict::WORDS, problems) else {
        return;
    };
    let findings = match findings(case, pack) {
        Ok(findings) => findings,
        Err(why) => {
            fail(case, why, problems);
            return;
        }
    };
    let worst = findings
        .iter()
        .filter(|f| *f.rule.id == rule.id)
        .min_by_key(|f| f.verdict);
    let Some(worst) = worst else {
        fail(case, "no finding at all".into(), problems);
        return;
    };
    if expected != worst.verdict {
        let seen = match (worst.observed.as_str(), worst.limit.as_str()) {
            (observed, "") => observed.to_string(),
            ("", limit) => limit.to_string(),
            (observed, limit) => format!("{observed} against {limit}"),
        };
        fail(case, format!("{} ({seen})", worst.verdict.word()), problems);
        return;
    }
    if let Some(observed) = &case.observed
        && !same(&observed.value, worst)
    {
        fail(
            case,
            format!(
                "observed {} where the case has {}",
                worst.observed, observed.value
            ),
            problems,
        );
    }
}

/// The same value, whatever unit it is written in.
fn same(written: &str, finding: &Finding) -> bool {
    use crate::finding::Compared;
    let base = match &finding.compared {
        Some(
            Compared::AtMost { observed, .. }
            | Compared::AtLeast { observed, .. }
            | Compared::Staged { observed, .. },
        ) => observed.base,
        Some(Compared::Estimated { .. } | Compared::Plain { .. }) | None => {
            return finding.observed == written;
        }
    };
    Measure::parse(written).is_ok_and(|measure| measure.base == base)
}

fn fail(case: &Case, got: String, problems: &mut Problems) {
    let code = CheckFault::CaseFails {
        case: case.name.value.clone(),
        expected: case.expect.value.clone(),
        got,
    };
    problems.add(Problem::new(code, case.expect.at));
}

/// What an audit of the case's tables concludes, or why there is none.
fn findings(case: &Case, pack: &Pack) -> Result<Vec<Finding>, String> {
    let settings = settings(case, &pack.id);
    let mut tables: Vec<(String, &str)> = vec![("shop.toml".into(), &settings)];
    tables.extend(
        case.tables
            .iter()
            .map(|(table, text)| (format!("{table}.csv"), text.as_str())),
    );
    for (name, text) in [("rooms.csv", ROOM), ("inventory.csv", INVENTORY)] {
        if !tables.iter().any(|(there, _)| there == name) {
            tables.push((name.into(), text));
        }
    }
    let texts: Vec<(&str, &[u8])> = tables
        .iter()
        .map(|(n, t)| (n.as_str(), t.as_bytes()))
        .collect();
    let told = |not: NotAudited| match not {
        NotAudited::Problems(problems) => {
            let first = problems.list.iter().take(3).map(|problem| {
                let text = problem.to_string();
                let lines: Vec<&str> = text.lines().take(2).map(str::trim).collect();
                lines.join(" ").trim_end_matches('.').to_string()
            });
            format!(
                "problems in its tables: {}",
                first.collect::<Vec<_>>().join("; ")
            )
        }
        other => format!("{other:?}"),
    };
    let shop = Shop::from_texts_with(&texts, vec![pack.clone()]).map_err(told)?;
    let audit = shop.audit(case.on).map_err(told)?;
    Ok(audit.checked.findings)
}

/// The shop.toml of a case: what the case does not say of itself is that of a business with one employee.
fn settings(case: &Case, pack: &str) -> String {
    let mut text = format!("name = \"case\"\nunits = \"us\"\npacks = [\"{pack}\"]\n");
    for (key, line) in [
        ("employees", "employees = 1\n"),
        ("business", "business = true\n"),
    ] {
        if !case.shop.lines().any(|l| l.trim_start().starts_with(key)) {
            text.push_str(line);
        }
    }
    text.push_str(&case.shop);
    text.push('\n');
    text
}
