//! What every request passes before any page: the peer, the host, the origin, the time it may take; and the headers that every
//! answer leaves with, refusals too.

use super::call::{NO_STORE, Printed, Reply};
use super::hosts::is_private;
use super::problem::BenchProblem;
use super::received::is_upload;
use super::state::Bench;
use axum::body::Body;
use axum::extract::{ConnectInfo, Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, HOST, REFERRER_POLICY, RETRY_AFTER,
    X_CONTENT_TYPE_OPTIONS, X_FRAME_OPTIONS,
};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, Response, StatusCode};
use axum::middleware::Next;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

/// The longest that an answer may take, reading of the request included.
const PATIENCE: Duration = Duration::from_secs(20);
/// The same for a photo or a workbook, which takes its time on a weak network.
const PATIENCE_FOR_FILES: Duration = Duration::from_secs(90);

/// Script and style come from this server; nothing else is fetched, framed or sent anywhere.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; \
                      form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
/// Pages to print bring their own style; they run and fetch nothing.
const PRINTED: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src 'self' data:; form-action 'none'; base-uri 'none'; \
                       frame-ancestors 'none'";

/// Lets a request through, or answers it here.
pub async fn guard(
    State(bench): State<Arc<Bench>>,
    request: Request,
    next: Next,
) -> Response<Body> {
    let plain = wants_lines(request.headers());
    let patience = match is_upload(request.headers()) {
        true => PATIENCE_FOR_FILES,
        false => PATIENCE,
    };
    let mut response = match refused(&bench, &request) {
        Some(problem) => refusal(&problem, plain),
        None => match bench.places.try_acquire() {
            Err(_) => refusal(&full(), plain),
            Ok(_place) => match tokio::time::timeout(patience, next.run(request)).await {
                Ok(response) => response,
                Err(_) => refusal(&slow(), plain),
            },
        },
    };
    if response.status() == StatusCode::METHOD_NOT_ALLOWED
        && response.headers().get(CACHE_CONTROL).is_none()
    {
        response = refusal(&no_such_method(), plain);
    }
    dress(&mut response);
    response
}

/// Does the script ask?
pub fn wants_lines(headers: &HeaderMap) -> bool {
    let accept = headers.get("accept").and_then(|value| value.to_str().ok());
    accept.is_some_and(|accept| accept.starts_with("text/plain"))
}

fn refused(bench: &Bench, request: &Request) -> Option<BenchProblem> {
    let peer = request.extensions().get::<ConnectInfo<SocketAddr>>();
    if !peer.is_some_and(|ConnectInfo(peer)| is_private(peer.ip())) {
        return Some(BenchProblem::new(
            StatusCode::FORBIDDEN,
            "This page is only for the shop's own network.",
            "Connect the device to the shop's own network.",
        ));
    }
    let headers = request.headers();
    let host = headers.get(HOST).and_then(|host| host.to_str().ok());
    if !host.is_some_and(|host| bench.hosts().knows(host)) {
        return Some(BenchProblem::new(
            StatusCode::MISDIRECTED_REQUEST,
            "This server does not have that address.",
            "Use the address that the server printed when it started.",
        ));
    }
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    if !reads && !bench.hosts().is_own(headers) {
        return Some(BenchProblem::new(
            StatusCode::FORBIDDEN,
            "This form was not sent from a page of this server.",
            "Open the page again and send the form from there.",
        ));
    }
    None
}

fn full() -> BenchProblem {
    BenchProblem::new(
        StatusCode::SERVICE_UNAVAILABLE,
        "Too many requests are under way.",
        "Try again in a few seconds. What waits on this device is sent by itself.",
    )
}

fn slow() -> BenchProblem {
    BenchProblem::new(
        StatusCode::REQUEST_TIMEOUT,
        "The request took too long.",
        "Try again when the network is better.",
    )
}

fn no_such_method() -> BenchProblem {
    BenchProblem::new(
        StatusCode::METHOD_NOT_ALLOWED,
        "This page does not accept that kind of request.",
        "Use the buttons of the page.",
    )
}

/// A refusal before any page knows the shop: nothing of the shop is in it.
pub fn refusal(problem: &BenchProblem, plain: bool) -> Response<Body> {
    let reply = match plain {
        true => Reply::lines(super::frame::problem_lines(problem)),
        false => Reply::page(super::frame::bare_problem(problem)),
    };
    Reply {
        status: problem.status,
        ..reply
    }
    .response()
}

/// The headers of every answer.
fn dress(response: &mut Response<Body>) {
    let printed = response.extensions().get::<Printed>().is_some();
    let busy = response.status() == StatusCode::SERVICE_UNAVAILABLE;
    let headers = response.headers_mut();
    let policy = if printed { PRINTED } else { POLICY };
    for (name, value) in [
        (CONTENT_SECURITY_POLICY, policy),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (X_FRAME_OPTIONS, "DENY"),
        (REFERRER_POLICY, "same-origin"),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("permissions-policy"),
            "camera=(self), microphone=(), geolocation=()",
        ),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    if headers.get(CACHE_CONTROL).is_none() {
        headers.insert(CACHE_CONTROL, HeaderValue::from_static(NO_STORE));
    }
    if busy {
        headers.insert(RETRY_AFTER, HeaderValue::from_static("5"));
    }
}
