//! One line of shop.toml: an answer that holds for the whole shop is kept there.

use super::open::WRITTEN;
use super::{Failure, style};
use crate::pack::Document;
use crate::record::read_shop;
use crate::report::write;
use crate::text::{Files, Problems, show_all_and};
use std::path::Path;

const FILE: &str = "shop.toml";

/// Keeps what `oz` of a liquid means in this shop.
pub(super) fn keep_ounces(folder: &Path, fluid: bool) -> Result<(), Failure> {
    let word = if fluid { "fluid" } else { "weight" };
    set(folder, "ounces", &format!("\"{word}\""))
}

/// A part of shop.toml below a header in brackets.
pub(super) struct ShopPart {
    /// As it is typed.
    pub name: &'static str,
    pub header: &'static str,
    /// Its keys. The first one tells parts of one header apart.
    pub keys: &'static [&'static str],
    /// It can come several times.
    pub several: bool,
}

/// Sets a key of shop.toml that belongs to no table; its value is TOML.
pub(super) fn set(folder: &Path, key: &str, value: &str) -> Result<(), Failure> {
    change(folder, |text| with_key(text, key, value))
}

/// Sets keys of a part of shop.toml; their values are TOML.
pub(super) fn set_part(
    folder: &Path,
    part: &ShopPart,
    pairs: &[(&str, String)],
) -> Result<(), Failure> {
    change(folder, |text| with_part(text, part, pairs))
}

/// The text of shop.toml.
pub(super) fn text(folder: &Path) -> Result<String, Failure> {
    let path = folder.join(FILE);
    let fix = "Write the line by hand.";
    std::fs::read_to_string(&path).map_err(|fault| Failure::unwritten(&path, fault, fix))
}

/// Puts an earlier text back, after a change that the shop cannot be audited with. Where that fails, the change is reported.
pub(super) fn put_back(folder: &Path, text: &str) {
    if text_differs(folder, text)
        && let Err(fault) = write::whole(&folder.join(FILE), text.as_bytes())
    {
        style::complain(&format!("shop.toml could not be restored: {fault}"));
    }
}

fn text_differs(folder: &Path, text: &str) -> bool {
    std::fs::read_to_string(folder.join(FILE)).is_ok_and(|now| now != text)
}

/// Changes shop.toml. What the program could not read is not written.
fn change(folder: &Path, changed: impl Fn(&str) -> String) -> Result<(), Failure> {
    let path = folder.join(FILE);
    let unwritten =
        |why: &dyn std::fmt::Display| Failure::unwritten(&path, why, "Write the line by hand.");
    if path.is_symlink() {
        return Err(unwritten(&"it is a link"));
    }
    let text = changed(&text(folder)?);
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let file = files.hold(FILE, text.clone().into_bytes());
    if let Some(document) = Document::parse(&files, file, &mut problems) {
        read_shop(&document, &mut problems);
    }
    if !problems.none() {
        return Err(Failure::Said(show_all_and(&problems, &files, WRITTEN)));
    }
    write::whole(&path, text.as_bytes()).map_err(|fault| unwritten(&fault))
}

/// The text with this key: in place of its old line, or else before the first line that is no remark. A key there belongs to
/// no table.
fn with_key(text: &str, key: &str, value: &str) -> String {
    let line = format!("{key} = {value}{}", line_break(text));
    let names_key = |it: &str| value_of(it, key).is_some();
    let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
    let tables = lines
        .iter()
        .position(|it| it.trim_start().starts_with('['))
        .unwrap_or(lines.len());
    let known = lines.iter().take(tables).position(|it| names_key(it));
    if let Some(old) = known.and_then(|at| lines.get_mut(at)) {
        *old = &line;
        return lines.concat();
    }
    let is_remark = |it: &&str| {
        let bare = it.trim_start_matches('\u{feff}').trim();
        bare.is_empty() || bare.starts_with('#')
    };
    let first = lines.iter().position(|it| !is_remark(it)).unwrap_or(0);
    lines.insert(first, &line);
    lines.concat()
}

/// The text with these keys in a part: in the part that is there, or else in a new one at the end.
fn with_part(text: &str, part: &ShopPart, pairs: &[(&str, String)]) -> String {
    let line_break = line_break(text);
    let line = |(key, value): &(&str, String)| format!("{key} = {value}{line_break}");
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let starts = (0..lines.len()).filter(|at| is_header(lines.get(*at), part.header));
    let is_meant = |from: &usize| {
        let first = part.keys.first().copied().unwrap_or_default();
        let wanted = pairs.iter().find(|(key, _)| *key == first);
        let mut own = part_lines(&lines, *from);
        !part.several
            || wanted.is_some_and(|(_, value)| {
                own.any(|it| value_of(it, first).is_some_and(|old| old.starts_with(value.as_str())))
            })
    };
    let Some(from) = starts.into_iter().find(is_meant) else {
        let gap = if text.ends_with('\n') || text.is_empty() {
            ""
        } else {
            line_break
        };
        let new: String = pairs.iter().map(line).collect();
        return format!("{text}{gap}{line_break}{}{line_break}{new}", part.header);
    };
    let own = part_lines(&lines, from).count();
    let mut out: Vec<String> = lines.iter().map(|it| (*it).to_string()).collect();
    if let Some(last) = out.last_mut().filter(|last| !last.ends_with('\n')) {
        last.push_str(line_break);
    }
    let mut new: Vec<String> = Vec::new();
    for pair in pairs {
        let mut old = out.iter_mut().skip(from + 1).take(own);
        match old.find(|it| value_of(it, pair.0).is_some()) {
            Some(old) => *old = line(pair),
            None => new.push(line(pair)),
        }
    }
    out.splice(from + 1..from + 1, new);
    out.concat()
}

/// The lines of a part, without its header.
fn part_lines<'t>(lines: &'t [&'t str], header: usize) -> impl Iterator<Item = &'t str> {
    let own = lines.iter().skip(header + 1).copied();
    own.take_while(|it| !it.trim_start().starts_with('['))
}

fn is_header(line: Option<&&str>, header: &str) -> bool {
    let rest = line.and_then(|line| line.trim().strip_prefix(header));
    rest.is_some_and(|rest| rest.trim().is_empty() || rest.trim_start().starts_with('#'))
}

/// What a line sets a key to.
fn value_of<'t>(line: &'t str, key: &str) -> Option<&'t str> {
    let rest = line.trim_start().strip_prefix(key)?;
    Some(rest.trim_start().strip_prefix('=')?.trim())
}

fn line_break(text: &str) -> &'static str {
    if text.contains("\r\n") { "\r\n" } else { "\n" }
}

#[cfg(test)]
mod tests {
    use super::{ShopPart, with_key, with_part};

    #[test]
    fn a_part_is_found_again_or_begun() {
        let limit = ShopPart {
            name: "limit",
            header: "[[limit]]",
            keys: &["rule", "value"],
            several: true,
        };
        let set = |text: &str, rule: &str, value: &str| {
            let quoted = |text: &str| format!("\"{text}\"");
            with_part(
                text,
                &limit,
                &[("rule", quoted(rule)), ("value", quoted(value))],
            )
        };
        let one = set("name = \"a\"", "b", "5 gal");
        assert_eq!(
            one,
            "name = \"a\"\n\n[[limit]]\nrule = \"b\"\nvalue = \"5 gal\"\n"
        );
        let two = set(&one, "c", "1 gal");
        assert_eq!(
            two,
            format!("{one}\n[[limit]]\nrule = \"c\"\nvalue = \"1 gal\"\n")
        );
        assert_eq!(set(&two, "b", "6 gal"), two.replace("5 gal", "6 gal"));
        // A rule whose name only begins alike is another one.
        assert!(set(&two, "b c", "2 gal").contains("5 gal"));
        let remark = "[[limit]] # ours\r\nrule = \"b\" # read aloud";
        let renewed = "[[limit]] # ours\r\nvalue = \"3 gal\"\r\nrule = \"b\"\r\n";
        assert_eq!(set(remark, "b", "3 gal"), renewed);
        assert!(set("# [[limit]]\n", "b", "3 gal").starts_with("# [[limit]]\n\n[[limit]]\n"));
    }

    #[test]
    fn a_key_is_set_where_it_belongs_to_no_table() {
        let set = |text: &str| with_key(text, "ounces", "\"fluid\"");
        for (text, with) in [
            ("name = \"a\"\n", "ounces = \"fluid\"\nname = \"a\"\n"),
            (
                "# made up\n\nname = \"a\"\n[bench]\ncloses = \"17:30\"\n",
                "# made up\n\nounces = \"fluid\"\nname = \"a\"\n[bench]\ncloses = \"17:30\"\n",
            ),
            (
                "name = \"a\"\r\nounces= \"weight\" # said once\r\n",
                "name = \"a\"\r\nounces = \"fluid\"\r\n",
            ),
            (
                "[bench]\nounces = \"no key of the shop\"\n",
                "ounces = \"fluid\"\n[bench]\nounces = \"no key of the shop\"\n",
            ),
            ("", "ounces = \"fluid\"\n"),
        ] {
            assert_eq!(set(text), with);
        }
    }
}
