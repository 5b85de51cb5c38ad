//! The style and the script, each under a name that changes with its content, so that a browser may keep it for good.

use super::call::Reply;
use super::secret::sha256;
use std::sync::OnceLock;

const STYLE: &str = include_str!("bench.css");
const SCRIPT: &str = include_str!("bench.js");

fn named(text: &str, ending: &str) -> String {
    let hash = sha256(text.as_bytes());
    format!("/bench-{}.{ending}", hash.get(..12).unwrap_or_default())
}

/// The path of the style.
pub fn style_path() -> &'static str {
    static PATH: OnceLock<String> = OnceLock::new();
    PATH.get_or_init(|| named(STYLE, "css"))
}

/// The path of the script.
pub fn script_path() -> &'static str {
    static PATH: OnceLock<String> = OnceLock::new();
    PATH.get_or_init(|| named(SCRIPT, "js"))
}

/// The file at this path, if it is one of these.
pub fn asset(path: &str) -> Option<Reply> {
    let reply = match path {
        _ if path == style_path() => Reply::text("text/css; charset=utf-8", STYLE.to_string()),
        _ if path == script_path() => {
            Reply::text("text/javascript; charset=utf-8", SCRIPT.to_string())
        }
        _ => return None,
    };
    Some(Reply {
        cache: "public, max-age=2592000, immutable",
        ..reply
    })
}

#[cfg(test)]
mod tests {
    use super::SCRIPT;

    #[test]
    fn the_script_is_short() {
        let lines = SCRIPT.lines().count();
        assert!(lines <= 200, "{lines} lines");
    }
}
