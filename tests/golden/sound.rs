//! What every page of ours is held to, without a browser: tags closed in order, links that lead somewhere, nothing fetched.
#![allow(dead_code, reason = "not every test needs all of it")]

use std::collections::BTreeSet;

/// The values of an attribute, in order.
pub fn values<'p>(page: &'p str, attribute: &str) -> Vec<&'p str> {
    let lead = format!(" {attribute}=\"");
    page.match_indices(&lead)
        .map(|(at, _)| page[at + lead.len()..].split('"').next().unwrap())
        .collect()
}

/// Every tag that opens is closed in order; `maud` checks that of its own, and this of the charts put in.
#[track_caller]
fn is_nested(page: &str) {
    const NEVER_CLOSED: [&str; 4] = ["meta", "br", "input", "!DOCTYPE"];
    let (_, body) = page.split_once("</style>").unwrap();
    let mut open: Vec<&str> = Vec::new();
    for part in body.split('<').skip(1) {
        let tag = part.split('>').next().unwrap();
        let name = tag
            .trim_start_matches('/')
            .split([' ', '/'])
            .next()
            .unwrap();
        if tag.starts_with('/') {
            if matches!(name, "head" | "html") {
                continue;
            }
            assert_eq!(open.pop(), Some(name), "…{}", &part[..part.len().min(80)]);
        } else if !tag.ends_with('/') && !NEVER_CLOSED.contains(&name) {
            open.push(name);
        }
    }
    assert!(open.is_empty(), "{open:?} stay open");
}

#[track_caller]
pub fn is_sound(page: &str, words: &[&str]) {
    is_nested(page);
    let ids = values(page, "id");
    let known: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(known.len(), ids.len(), "an id stands twice");
    for href in values(page, "href") {
        // A table in the link itself: it is saved, and nothing is fetched.
        if href.starts_with("data:text/csv") && page.contains(" download=\"") {
            continue;
        }
        let id = href
            .strip_prefix('#')
            .unwrap_or_else(|| panic!("{href} leads out of the page"));
        assert!(known.contains(id), "{href} leads nowhere");
    }
    for reference in ["aria-labelledby", "aria-describedby"] {
        for id in values(page, reference)
            .into_iter()
            .flat_map(str::split_whitespace)
        {
            assert!(known.contains(id), "{reference} {id} leads nowhere");
        }
    }
    for attribute in [
        "src",
        "srcset",
        "action",
        "style",
        "onclick",
        "onload",
        "xlink:href",
    ] {
        assert_eq!(values(page, attribute), Vec::<&str>::new(), "{attribute}");
    }
    let (head, _) = page.split_once("<body>").unwrap();
    assert!(
        head.contains("default-src 'none'"),
        "nothing may be fetched"
    );
    assert!(!page.contains("<script") && !head.contains("@import") && !head.contains("url("));
    assert!(!page.contains('\u{1b}') && !page.contains("NaN") && !page.contains("inf\""));
    for words in words {
        assert!(page.contains(words), "{words}");
    }
}
