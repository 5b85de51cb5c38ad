//! A request as a page sees it, and its answer as a page gives it.

use super::problem::BenchProblem;
use super::role::{Caller, Role};
use super::state::Bench;
pub use crate::text::url_part as url;
use axum::body::Body;
use axum::http::header::{CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_TYPE, LOCATION, SET_COOKIE};
use axum::http::{HeaderName, HeaderValue, Response, StatusCode};
use maud::Markup;
use std::sync::Arc;

/// What makes the answer of a route.
pub type BenchHandler = fn(&Call) -> Result<Reply, BenchProblem>;

/// A cell of the log has at most so many characters from here.
const LONGEST: usize = 400;

pub struct Call {
    pub bench: Arc<Bench>,
    /// Who asks; no one on pages that are open to all.
    pub caller: Option<Caller>,
    /// The name in the path, where the route has one.
    pub name: String,
    /// The path with its query, to come back to.
    pub here: String,
    /// The fields of the query or of the form, as they were typed.
    pub fields: Vec<(String, String)>,
    /// The file that was sent along, if one was.
    pub file: Option<Vec<u8>>,
    /// The script asks, and wants lines instead of a page.
    pub plain: bool,
}

impl Call {
    /// A field without space around it; empty if it was not sent.
    pub fn text(&self, name: &str) -> &str {
        let found = self.fields.iter().find(|(own, _)| own == name);
        found.map_or("", |(_, text)| text.trim())
    }

    /// A field that goes into a table: of one line, in letters that arrived whole.
    pub fn cell(&self, name: &str) -> Result<String, BenchProblem> {
        fit(name, self.text(name))
    }

    /// Every field of a name, each as it goes into a table.
    pub fn cells(&self, name: &str) -> Result<Vec<String>, BenchProblem> {
        let own = self.fields.iter().filter(|(own, _)| own == name);
        own.map(|(_, text)| fit(name, text.trim())).collect()
    }

    /// The same request with other fields.
    pub fn with_fields(&self, fields: Vec<(String, String)>) -> Call {
        Call {
            bench: Arc::clone(&self.bench),
            caller: self.caller.clone(),
            name: String::new(),
            here: self.here.clone(),
            fields,
            file: None,
            plain: self.plain,
        }
    }

    /// May the caller log?
    pub fn may_log(&self) -> bool {
        let role = self.caller.as_ref().map(|caller| caller.role);
        role.is_some_and(|role| role >= Role::Maker)
    }

    /// May the caller pair and remove devices?
    pub fn may_manage(&self) -> bool {
        let role = self.caller.as_ref().map(|caller| caller.role);
        role == Some(Role::Owner)
    }

    /// Where to go after an entry: a page of this site, and nowhere else.
    pub fn back(&self) -> &str {
        let back = self.text("back");
        let plain = |c: char| c.is_ascii_graphic() && !matches!(c, '\\' | '"' | '<' | '>');
        match back.starts_with('/') && !back.starts_with("//") && back.chars().all(plain) {
            true => back,
            false => "/",
        }
    }
}

/// A text that goes into a table: of one line, in letters that arrived whole.
fn fit(name: &str, text: &str) -> Result<String, BenchProblem> {
    if text.contains('\u{fffd}') || text.contains(char::is_control) {
        return Err(BenchProblem::unfit(
            format!("The field \"{name}\" contains characters that were damaged on the way."),
            "Type it again.",
        ));
    }
    if text.chars().count() > LONGEST {
        return Err(BenchProblem::unfit(
            format!("The field \"{name}\" is longer than {LONGEST} characters."),
            "Shorten it.",
        ));
    }
    Ok(text.to_string())
}

/// An answer.
pub struct Reply {
    pub status: StatusCode,
    /// The type of its body.
    pub kind: &'static str,
    /// Who may keep it.
    pub cache: &'static str,
    pub body: Vec<u8>,
    /// Where to go instead.
    pub place: Option<String>,
    /// A cookie to keep.
    pub cookie: Option<String>,
    /// It is a file to keep, of this name.
    pub name: Option<&'static str>,
    /// The page brings its own style and has no form: labels, reports, the round on paper.
    pub printed: bool,
}

/// Nothing of the shop stays in a browser's cache.
pub const NO_STORE: &str = "no-store";

impl Reply {
    /// Any text.
    pub fn text(kind: &'static str, body: String) -> Reply {
        Reply::bytes(kind, body.into_bytes())
    }

    /// Anything.
    pub fn bytes(kind: &'static str, body: Vec<u8>) -> Reply {
        Reply {
            status: StatusCode::OK,
            kind,
            cache: NO_STORE,
            body,
            place: None,
            cookie: None,
            name: None,
            printed: false,
        }
    }

    pub fn page(markup: Markup) -> Reply {
        Reply::text("text/html; charset=utf-8", markup.into_string())
    }

    /// A page to print, with its own style in it.
    pub fn printed(html: String) -> Reply {
        Reply {
            printed: true,
            ..Reply::text("text/html; charset=utf-8", html)
        }
    }

    /// Lines for the script.
    pub fn lines(body: String) -> Reply {
        Reply::text("text/plain; charset=utf-8", body)
    }

    /// Look there instead.
    pub fn see(place: impl Into<String>) -> Reply {
        Reply {
            status: StatusCode::SEE_OTHER,
            place: Some(place.into()),
            ..Reply::text("text/plain; charset=utf-8", String::new())
        }
    }

    /// As a response.
    pub fn response(self) -> Response<Body> {
        let mut response = Response::new(Body::from(self.body));
        *response.status_mut() = self.status;
        let headers = response.headers_mut();
        headers.insert(CONTENT_TYPE, HeaderValue::from_static(self.kind));
        headers.insert(CACHE_CONTROL, HeaderValue::from_static(self.cache));
        let mut put = |name: HeaderName, value: Option<String>| {
            let value = value.and_then(|value| HeaderValue::try_from(value).ok());
            if let Some(value) = value {
                headers.insert(name, value);
            }
        };
        put(LOCATION, self.place);
        put(SET_COOKIE, self.cookie);
        let name = self
            .name
            .map(|name| format!("attachment; filename=\"{name}\""));
        put(CONTENT_DISPOSITION, name);
        if self.printed {
            response.extensions_mut().insert(Printed);
        }
        response
    }
}

/// Marks an answer whose style is in the page itself.
#[derive(Clone, Copy)]
pub struct Printed;
