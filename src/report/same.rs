//! Do two audits say the same? Compared as their JSON, but for the rows that findings rest on: those may stand elsewhere.

use serde_json::Value;

/// The first key at which two audits differ, as a JSON pointer (RFC 6901) with both values; `None` if they say the same.
pub fn differs(before: &str, after: &str) -> Option<String> {
    let read = |text: &str| serde_json::from_str::<Value>(text).ok();
    match (read(before), read(after)) {
        (Some(before), Some(after)) => first(&before, &after, &mut String::new()),
        _ => Some("one of them is no JSON".into()),
    }
}

fn first(before: &Value, after: &Value, at: &mut String) -> Option<String> {
    let length = at.len();
    match (before, after) {
        (Value::Object(a), Value::Object(b)) if a.len() == b.len() => {
            for (key, a) in a {
                if key == "evidence" {
                    continue;
                }
                at.push_str(&format!("/{}", key.replace('~', "~0").replace('/', "~1")));
                let found = first(a, b.get(key).unwrap_or(&Value::Null), at);
                if found.is_some() {
                    return found;
                }
                at.truncate(length);
            }
            None
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            for (index, (a, b)) in a.iter().zip(b).enumerate() {
                at.push_str(&format!("/{index}"));
                let found = first(a, b, at);
                if found.is_some() {
                    return found;
                }
                at.truncate(length);
            }
            None
        }
        _ if before == after => None,
        _ => Some(format!("{at}: {} and {}", short(before), short(after))),
    }
}

fn short(value: &Value) -> String {
    let text: String = value.to_string().chars().take(160).collect();
    crate::text::clean(&text)
}

#[cfg(test)]
mod tests {
    use super::differs;

    #[test]
    fn says_where_and_passes_over_evidence() {
        let one = r#"{"a":[{"x":1,"evidence":["log.csv:2"]}],"b/c":2}"#;
        let other = r#"{"a":[{"x":1,"evidence":["forward.csv:9"]}],"b/c":3}"#;
        assert_eq!(differs(one, one), None);
        assert_eq!(differs(one, other).as_deref(), Some("/b~1c: 2 and 3"));
        assert!(differs(one, r#"{"a":[]}"#).is_some());
        assert!(differs(one, "x").is_some());
    }
}
