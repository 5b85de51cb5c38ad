//! One line of shop.toml: an answer that holds for the whole shop is kept there.

use super::Failure;
use super::open::WRITTEN;
use crate::pack::Document;
use crate::record::read_shop;
use crate::report::write;
use crate::text::{Files, Problems, show_all_and};
use std::path::Path;

/// Keeps what `oz` of a liquid means in this shop.
pub(super) fn keep_ounces(folder: &Path, fluid: bool) -> Result<(), Failure> {
    let word = if fluid { "fluid" } else { "weight" };
    set(folder, "ounces", &format!("\"{word}\""))
}

/// Sets a key of shop.toml that belongs to no table; its value is TOML. What the program could not read is not written.
pub(super) fn set(folder: &Path, key: &str, value: &str) -> Result<(), Failure> {
    let path = folder.join("shop.toml");
    let unwritten =
        |why: &dyn std::fmt::Display| Failure::unwritten(&path, why, "Write the line by hand.");
    if path.is_symlink() {
        return Err(unwritten(&"it is a link"));
    }
    let text = std::fs::read_to_string(&path).map_err(|fault| unwritten(&fault))?;
    let text = with_key(&text, key, value);
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let file = files.hold("shop.toml", text.clone().into_bytes());
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
    let line_break = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let line = format!("{key} = {value}{line_break}");
    let names_key = |it: &str| {
        let rest = it.trim_start().strip_prefix(key);
        rest.is_some_and(|rest| rest.trim_start().starts_with('='))
    };
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

#[cfg(test)]
mod tests {
    use super::with_key;

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
