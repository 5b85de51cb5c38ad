//! A strict reader of iCalendar streams, written from RFC 5545 (September 2009); each rule names its section. It reads
//! what the calendar of due days may hold, and refuses everything else: it is a judge, not a library.

use std::collections::{BTreeMap, BTreeSet};

/// A property: name, parameters, raw value.
pub struct Line {
    pub name: String,
    pub params: BTreeMap<String, String>,
    pub value: String,
}

/// An event: its properties by name, texts unescaped.
pub type Event = BTreeMap<String, String>;

/// Reads a stream, or says which rule of which section it breaks.
pub fn read(bytes: &[u8]) -> Result<Vec<Event>, String> {
    let lines = unfold(bytes)?;
    let lines: Vec<Line> = lines.iter().map(|l| line(l)).collect::<Result<_, _>>()?;
    calendar(&lines)
}

/// Section 3.1: lines end with CRLF, have at most 75 octets without it, and go on after CRLF and one white space. Folding
/// may not cut a character of UTF-8 here, although the section allows it with regret ("SHOULD" in its note).
fn unfold(bytes: &[u8]) -> Result<Vec<String>, String> {
    let mut lines: Vec<String> = Vec::new();
    let body = bytes
        .strip_suffix(b"\r\n")
        .ok_or("3.1: the stream does not end with CRLF")?;
    for physical in split(body) {
        if physical.contains(&b'\n') || physical.contains(&b'\r') {
            return Err("3.1: a CR or LF stands alone".into());
        }
        if physical.len() > 75 {
            return Err(format!("3.1: a line of {} octets", physical.len()));
        }
        let text = std::str::from_utf8(physical)
            .map_err(|_| "3.1: a line is cut within a character".to_string())?;
        if let Some(bad) = text.chars().find(|c| c.is_control() && *c != '\t') {
            return Err(format!("3.1: the control character {bad:?}"));
        }
        match (text.strip_prefix([' ', '\t']), lines.last_mut()) {
            (Some(more), Some(last)) => last.push_str(more),
            (Some(_), None) => return Err("3.1: the first line goes on from nothing".into()),
            (None, _) if text.is_empty() => return Err("3.1: an empty line".into()),
            (None, _) => lines.push(text.to_string()),
        }
    }
    Ok(lines)
}

fn split(body: &[u8]) -> Vec<&[u8]> {
    let (mut parts, mut from) = (Vec::new(), 0);
    let mut at = 0;
    while at < body.len() {
        if body[at..].starts_with(b"\r\n") {
            parts.push(&body[from..at]);
            from = at + 2;
            at += 1;
        }
        at += 1;
    }
    parts.push(&body[from..]);
    parts
}

/// Section 3.1: `contentline = name *(";" param ) ":" value`; names are letters, digits and hyphens.
fn line(text: &str) -> Result<Line, String> {
    let (head, value) = text
        .split_once(':')
        .ok_or_else(|| format!("3.1: no colon in `{text}`"))?;
    if head.contains('"') {
        return Err(format!(
            "a quoted parameter, which is not expected here: `{text}`"
        ));
    }
    let mut parts = head.split(';');
    let name = parts.next().unwrap_or("").to_string();
    let token = |word: &str| {
        !word.is_empty() && word.chars().all(|c| c.is_ascii_alphanumeric() || c == '-')
    };
    if !token(&name) {
        return Err(format!("3.1: `{name}` is no name"));
    }
    let mut params = BTreeMap::new();
    for part in parts {
        let (key, word) = part
            .split_once('=')
            .ok_or_else(|| format!("3.1: `{part}` is no parameter"))?;
        if !token(key) || params.insert(key.to_string(), word.to_string()).is_some() {
            return Err(format!("3.2: the parameter `{part}`"));
        }
    }
    Ok(Line {
        name,
        params,
        value: value.to_string(),
    })
}

/// Sections 3.4 and 3.6: one VCALENDAR, its properties first, then at least one component.
fn calendar(lines: &[Line]) -> Result<Vec<Event>, String> {
    let [first, body @ .., last] = lines else {
        return Err("3.4: too short".into());
    };
    if !is(first, "BEGIN", "VCALENDAR") || !is(last, "END", "VCALENDAR") {
        return Err("3.4: not between BEGIN and END of VCALENDAR".into());
    }
    let start = body
        .iter()
        .position(|l| l.name == "BEGIN")
        .unwrap_or(body.len());
    let (props, events) = body.split_at(start);
    let props = once(props)?;
    let get = |name: &str| props.get(name).map(String::as_str);
    if get("VERSION") != Some("2.0") {
        return Err("3.7.4: VERSION is not 2.0".into());
    }
    if get("PRODID").is_none_or(str::is_empty) {
        return Err("3.7.3: no PRODID".into());
    }
    if !matches!(get("CALSCALE"), None | Some("GREGORIAN")) {
        return Err("3.7.1: CALSCALE".into());
    }
    if get("METHOD").is_some() {
        return Err("3.7.2: METHOD belongs to messages, not to files".into());
    }
    let mut found: Vec<Event> = Vec::new();
    let mut rest = events;
    while let Some((begin, after)) = rest.split_first() {
        if !is(begin, "BEGIN", "VEVENT") {
            return Err(format!(
                "3.6: {}:{} between events",
                begin.name, begin.value
            ));
        }
        let end = after
            .iter()
            .position(|l| is(l, "END", "VEVENT"))
            .ok_or("3.6: an event without its end")?;
        found.push(event(&after[..end])?);
        rest = &after[end + 1..];
    }
    if found.is_empty() {
        return Err("3.6: no component".into());
    }
    let uids: BTreeSet<&String> = found.iter().map(|event| &event["UID"]).collect();
    if uids.len() != found.len() {
        return Err("3.8.4.7: two events have one UID".into());
    }
    Ok(found)
}

fn is(line: &Line, name: &str, value: &str) -> bool {
    line.name == name && line.value == value && line.params.is_empty()
}

/// Each property once.
fn once(lines: &[Line]) -> Result<BTreeMap<String, String>, String> {
    let mut all = BTreeMap::new();
    for line in lines {
        let value = if TEXTS.contains(&line.name.as_str()) {
            text(&line.value)?
        } else {
            line.value.clone()
        };
        if all.insert(line.name.clone(), value).is_some() {
            return Err(format!("3.6: {} stands twice", line.name));
        }
    }
    Ok(all)
}

/// Properties whose value is TEXT. CATEGORIES is a list of them, of which one item is read here.
const TEXTS: [&str; 6] = [
    "SUMMARY",
    "DESCRIPTION",
    "UID",
    "PRODID",
    "NAME",
    "CATEGORIES",
];

/// Section 3.6.1: UID, DTSTAMP and DTSTART must be there once; nothing here may appear twice.
fn event(lines: &[Line]) -> Result<Event, String> {
    let props = once(lines)?;
    for must in ["UID", "DTSTAMP", "DTSTART"] {
        if props.get(must).is_none_or(String::is_empty) {
            return Err(format!("3.6.1: an event without {must}"));
        }
    }
    for line in lines {
        let dated = line.params.get("VALUE").map(String::as_str) == Some("DATE");
        match line.name.as_str() {
            "DTSTART" if dated && line.params.len() == 1 => date(&line.value)?,
            "DTSTART" => return Err("3.8.2.4: DTSTART here is a day, and says VALUE=DATE".into()),
            "DTSTAMP" | "LAST-MODIFIED" => utc(&line.value)?,
            "SEQUENCE" if line.value.parse::<u32>().is_ok() => {}
            "TRANSP" if matches!(line.value.as_str(), "OPAQUE" | "TRANSPARENT") => {}
            "UID" | "SUMMARY" | "DESCRIPTION" | "CATEGORIES" => {}
            other => return Err(format!("{other}:{} is not expected", line.value)),
        }
    }
    if props["UID"].len() > 255 {
        return Err("RFC 7986, 5.3: a UID of more than 255 octets".into());
    }
    Ok(props)
}

/// Section 3.3.4: `date-value = date-fullyear date-month date-mday`, a day that the calendar has.
fn date(value: &str) -> Result<(), String> {
    let digits = value.len() == 8 && value.bytes().all(|b| b.is_ascii_digit());
    let shown = || format!("{}-{}-{}", &value[..4], &value[4..6], &value[6..]);
    if digits && sandarac::quantity::Day::parse(&shown()).is_ok() {
        Ok(())
    } else {
        Err(format!("3.3.4: `{value}` is no date"))
    }
}

/// Section 3.3.5, form 2: a date with UTC time. Section 3.8.7.2 and 3.8.7.3 want it of DTSTAMP and LAST-MODIFIED.
fn utc(value: &str) -> Result<(), String> {
    let (day, time) = value.split_once('T').ok_or("3.3.5: no T")?;
    date(day)?;
    let digits = time.strip_suffix('Z').ok_or("3.3.5: not in UTC")?;
    if digits.len() == 6 && digits.bytes().all(|b| b.is_ascii_digit()) && digits < "240000" {
        Ok(())
    } else {
        Err(format!("3.3.5: `{value}` is no moment"))
    }
}

/// Section 3.3.11: in TEXT, backslash, semicolon and comma are escaped, and a line break is `\n`.
fn text(raw: &str) -> Result<String, String> {
    let mut out = String::new();
    let mut chars = raw.chars();
    while let Some(c) = chars.next() {
        match c {
            '\\' => match chars.next() {
                Some(c @ ('\\' | ';' | ',')) => out.push(c),
                Some('n' | 'N') => out.push('\n'),
                other => return Err(format!("3.3.11: a backslash before {other:?}")),
            },
            ';' | ',' => return Err(format!("3.3.11: a bare `{c}` in `{raw}`")),
            c => out.push(c),
        }
    }
    Ok(out)
}

/// The judge refuses what the RFC refuses.
#[test]
fn the_reader_refuses_what_the_rfc_refuses() {
    let good = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\nBEGIN:VEVENT\r\nUID:1\r\n\
                DTSTAMP:20261031T000000Z\r\nDTSTART;VALUE=DATE:20261101\r\nSUMMARY:a\\, b\r\nEND:VEVENT\r\n\
                END:VCALENDAR\r\n";
    assert_eq!(read(good.as_bytes()).unwrap()[0]["SUMMARY"], "a, b");
    let long = format!("SUMMARY:{}", "x".repeat(68));
    let wrong = [
        ("\r\n", "\n", "3.1"),
        ("SUMMARY:a\\, b", &long, "3.1"),
        ("a\\, b", "a, b", "3.3.11"),
        ("a\\, b", "a\\b", "3.3.11"),
        ("UID:1\r\n", "", "3.6.1"),
        ("UID:1", "UID:1\r\nUID:2", "3.6"),
        ("VERSION:2.0\r\n", "", "3.7.4"),
        ("20261101", "20260231", "3.3.4"),
        (";VALUE=DATE", "", "3.8.2.4"),
        ("000000Z", "000000", "3.3.5"),
        ("END:VEVENT\r\n", "", "3.6"),
        ("SUMMARY:a", "SUMMARY:\u{7}a", "3.1"),
    ];
    for (from, to, section) in wrong {
        let broken = good.replacen(from, to, 1);
        assert_ne!(broken, good);
        let told = read(broken.as_bytes()).err().unwrap_or_default();
        assert!(told.starts_with(section), "{from:?} -> {to:?}: {told}");
    }
    let mut cut = good.replacen("a\\, b", "é", 1).into_bytes();
    let at = cut.iter().position(|b| *b == 0xC3).unwrap();
    cut.splice(at + 1..at + 1, *b"\r\n ");
    assert!(read(&cut).err().unwrap().starts_with("3.1: a line is cut"));
    let twice = good.replacen("END:VCALENDAR", &good[good.find("BEGIN:VE").unwrap()..], 1);
    let twice = twice.trim_end_matches("\r\n").to_string() + "\r\n";
    assert!(read(twice.as_bytes()).err().unwrap().starts_with("3.8.4.7"));
}
