//! No source: what several files here share. A shop of a few lines through the real path, against a built-in pack.

use sandarac::audit::Shop;
use sandarac::finding::{Compared, Finding, Verdict};
use sandarac::pack::{InForce, LimitValue, MATERIALS, Pack, Rule, Scheme, load_built_in};
use sandarac::quantity::{Day, Exact, Measure, Temperature};
use sandarac::record::{Materials, read_materials};
use sandarac::text::{Files, Problems, show_all};
use sandarac::vapour::class::{ClassNeeds, Flash, class_of};

/// The day of these audits.
pub(crate) const TODAY: &str = "2026-11-24";
/// A liquid for each OSHA category, with category 3 in its two halves.
pub(crate) const LIQUIDS: &str = "product,kind,flash_point,boiling_point,drying_oil\n\
    cat-1 liquid,solvent,0 F,95 F,no\n\
    cat-2 liquid,solvent,55 F,173 F,no\n\
    cat-3-low liquid,solvent,90 F,300 F,no\n\
    cat-3-high liquid,solvent,110 F,320 F,no\n\
    cat-4 liquid,solvent,150 F,400 F,no\n\
    oil,non-drying-oil,410 F,600 F,no\n";

/// A quantity in its house unit.
#[track_caller]
pub(crate) fn base(text: &str) -> Exact {
    Measure::parse(text).unwrap().base
}

#[track_caller]
fn clean(problems: &Problems, files: &Files) {
    assert!(problems.none(), "{}", show_all(problems, files));
}

#[track_caller]
pub(crate) fn pack(id: &str) -> Pack {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let pack = load_built_in(id, &mut files, &mut problems);
    clean(&problems, &files);
    pack.unwrap()
}

#[track_caller]
pub(crate) fn materials() -> Materials {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let file = files.hold("data/materials.csv", MATERIALS.as_bytes());
    let materials = read_materials(&files, file, &mut problems);
    clean(&problems, &files);
    materials
}

pub(crate) fn temperature(text: &str) -> Temperature {
    Temperature::from_base(base(text))
}

pub(crate) fn celsius(at: Temperature) -> f64 {
    (at.base().estimate() - 32.0) / 1.8
}

/// The name of the class, or what is missing to know it.
pub(crate) fn class<'s>(
    scheme: &'s Scheme,
    flash: &str,
    boils: Option<&str>,
) -> Result<&'s str, ClassNeeds> {
    let flash = match flash {
        "none" => Flash::Never,
        at => Flash::At(temperature(at)),
    };
    class_of(scheme, flash, boils.map(temperature)).map(|at| scheme.classes[at].name.as_str())
}

/// The rules of a pack whose limit is cited from this clause.
pub(crate) fn cited<'p>(pack: &'p Pack, clause: &str) -> Vec<&'p Rule> {
    let from = |rule: &&Rule| {
        rule.limit
            .values()
            .any(|(_, (_, cited))| cited.clause.starts_with(clause))
    };
    pack.rules.iter().filter(from).collect()
}

/// The words of a key of the rule's `[where]`.
pub(crate) fn selects(rule: &Rule, key: &str) -> Vec<String> {
    let told = rule.select.words(key).iter();
    told.map(|word| word.value.clone()).collect()
}

/// The limit that holds today, for a class if it differs by class: as written, in its house unit.
#[track_caller]
pub(crate) fn limit(rule: &Rule, class: &str) -> (String, Exact) {
    let today = Day::parse(TODAY).unwrap();
    let InForce::Now(_, (value, _)) = rule.limit.on(today) else {
        panic!("{} is not in force", rule.id);
    };
    let measure = match value {
        LimitValue::None => panic!("{} compares no number", rule.id),
        LimitValue::One(told) => &told.value,
        LimitValue::ByClass(list) => {
            let of_class = list.iter().find(|(name, _)| name.value == class);
            &of_class
                .unwrap_or_else(|| panic!("{}: no {class}", rule.id))
                .1
                .value
        }
    };
    (measure.text(), measure.base)
}

/// A shop of these tables (name without ending, and text) that names one pack.
#[track_caller]
fn shop_under(pack_id: &str, tables: &[(&str, &str)]) -> Shop {
    let settings = format!(
        "name = \"test\"\nunits = \"us\"\npacks = [\"{pack_id}\"]\nemployees = 1\nbusiness = true\n"
    );
    let named: Vec<String> = tables
        .iter()
        .map(|(table, _)| format!("{table}.csv"))
        .collect();
    let mut texts: Vec<(&str, &[u8])> = vec![("shop.toml", settings.as_bytes())];
    texts.extend(
        named
            .iter()
            .zip(tables)
            .map(|(name, (_, text))| (&**name, text.as_bytes())),
    );
    Shop::from_texts_with(&texts, vec![pack(pack_id)]).unwrap()
}

/// A shop of these tables.
#[track_caller]
pub(crate) fn shop(tables: &[(&str, &str)]) -> Shop {
    shop_under("us-workplace", tables)
}

/// Audits a shop of these tables against one pack.
#[track_caller]
pub(crate) fn audited(pack_id: &str, tables: &[(&str, &str)]) -> Vec<Finding> {
    let shop = shop_under(pack_id, tables);
    let audit = shop.audit(Day::parse(TODAY).unwrap()).unwrap();
    audit.checked.findings
}

/// The one finding of a rule about a subject.
#[track_caller]
pub(crate) fn finding<'f>(findings: &'f [Finding], rule: &str, subject: &str) -> &'f Finding {
    let of: Vec<&Finding> = findings
        .iter()
        .filter(|f| *f.rule.id == *rule && f.subject.id == subject)
        .collect();
    let [only] = of.as_slice() else {
        panic!("{} findings of {rule} about {subject}", of.len());
    };
    only
}

/// A sum just under its limit is near it, at the limit it meets it, just over it is a breach; and what was compared is
/// exactly this sum and this limit.
#[track_caller]
pub(crate) fn at_border(finding: &Finding, amount: Exact, limit: Exact) {
    let Some(Compared::AtMost {
        observed,
        limit: allowed,
    }) = &finding.compared
    else {
        panic!(
            "{}: {:?} {:?}",
            finding.rule.id, finding.verdict, finding.said
        );
    };
    assert_eq!((observed.base, allowed.base), (amount, limit));
    let expected = match amount.cmp(&limit) {
        std::cmp::Ordering::Less => Verdict::Near,
        std::cmp::Ordering::Equal => Verdict::Meets,
        std::cmp::Ordering::Greater => Verdict::Breach,
    };
    assert_eq!(
        finding.verdict, expected,
        "{} {}",
        finding.rule.id, finding.observed
    );
}

/// A whole number of gallons, quarts or pints as a text just under, at and just over.
pub(crate) fn around(limit: &str) -> [String; 3] {
    let (number, unit) = limit.split_once(' ').unwrap();
    let number: u32 = number.parse().unwrap();
    [
        format!("{}.999 {unit}", number - 1),
        limit.to_string(),
        format!("{number}.001 {unit}"),
    ]
}
