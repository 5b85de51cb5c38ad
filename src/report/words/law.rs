//! What asks for something, in small print: "Required by 29 CFR 1910.1200(f)(6)".

use crate::audit::ALWAYS;
use crate::finding::Finding;
use crate::pack::Severity;

/// Most citations in one line.
const MOST_LAWS: usize = 2;

/// What asks for one thing in several rule packs: "Required by 29 CFR 1910.1200(f)(6) and International Fire Code 5003.5.1".
pub(super) fn laws(findings: &[&Finding]) -> String {
    let mut list: Vec<String> = Vec::new();
    for finding in findings {
        let law = law(finding);
        if !list.contains(&law) {
            list.push(law);
        }
    }
    let Some((first, rest)) = list.split_first() else {
        return String::new();
    };
    let mut text = first.clone();
    for other in rest.iter().take(MOST_LAWS - 1) {
        match other.split_once(" by ") {
            Some((strength, cited)) if first.starts_with(&format!("{strength} by ")) => {
                text.push_str(&format!(" and {cited}"));
            }
            _ => text.push_str(&format!("; {other}")),
        }
    }
    text
}

/// The strength of a rule and its citation. Trade practice is never called required, however strict it is.
pub(super) fn law(finding: &Finding) -> String {
    let cited = &finding.citation;
    let strength = match (&*finding.rule.pack == ALWAYS, finding.severity) {
        (true, _) => "Good practice",
        (false, Severity::Must) => "Required",
        (false, Severity::Should) => "Recommended",
        (false, Severity::Note) => "Good practice",
    };
    if &*finding.rule.pack == ALWAYS || finding.local {
        return match (finding.local, cited.document.split([',', ':', ';']).next()) {
            (true, _) => format!(
                "Required by {}",
                cited.document.trim_start_matches("word of ")
            ),
            (false, document) => format!("{strength}: {}", document.unwrap_or_default()),
        };
    }
    format!("{strength} by {}", citation(&cited.document, &cited.clause))
}

/// A document and clause as people cite them: `29 CFR 1910.106(d)(3)`, `International Fire Code 906.2`.
fn citation(document: &str, clause: &str) -> String {
    let name = document.split(',').next().unwrap_or(document);
    let clause = clause.split(", ").next().unwrap_or(clause);
    let part = name.split(" Part ").collect::<Vec<_>>();
    match part.as_slice() {
        [code, number] if clause.starts_with(&format!("{number}.")) => format!("{code} {clause}"),
        _ => format!("{name} {clause}"),
    }
}

#[cfg(test)]
mod tests {
    use super::citation;

    #[test]
    fn a_citation_is_short() {
        let federal = "29 CFR Part 1910, Occupational Safety and Health Standards";
        assert_eq!(
            citation(federal, "1910.106(d)(3)(i)"),
            "29 CFR 1910.106(d)(3)(i)"
        );
        let model = "International Fire Code, 2018 edition, as adopted";
        assert_eq!(citation(model, "906.2"), "International Fire Code 906.2");
    }
}
