//! Every route on one screen: method, path, who may, and what answers. The table is the site.

use super::assets::asset;
use super::call::{BenchHandler, Call, Reply};
use super::frame::{problem_lines, problem_page};
use super::guard::{guard, refusal, wants_lines};
use super::pages::{
    closing, container, devices, emergency, entries, log, mix, more, now, office, pair, plan,
    print, rags, round, round_save, sheets, stock,
};
use super::problem::BenchProblem;
use super::received::{fields_of, is_upload};
use super::role::{Caller, Role};
use super::state::Bench;
use axum::Router;
use axum::body::Body;
use axum::extract::{DefaultBodyLimit, FromRequestParts, RawPathParams, Request, State};
use axum::http::{Method, Response, StatusCode};
use axum::middleware::from_fn_with_state;
use axum::routing::{MethodFilter, get, on};
use std::sync::Arc;

/// A request has at most so many bytes.
const MOST_BYTES: usize = 64 * 1024;
/// One that brings a file has at most so many: a photo of 8 MB, or a workbook.
const MOST_FILE_BYTES: usize = 9 << 20;
/// The routes that take a file.
const TAKE_FILES: [&str; 2] = ["/round/answer", "/office/workbook"];

/// What a caller must be for a route.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RoleNeeded {
    /// Open to all.
    Anybody,
    /// At least this role.
    Role(Role),
}

/// A route: method, path, who may, and what answers.
type Route = (&'static str, &'static str, RoleNeeded, BenchHandler);

const OPEN: RoleNeeded = RoleNeeded::Anybody;
const LOOK: RoleNeeded = RoleNeeded::Role(Role::Guest);
const LOG: RoleNeeded = RoleNeeded::Role(Role::Maker);
const MANAGE: RoleNeeded = RoleNeeded::Role(Role::Owner);

pub const ROUTES: &[Route] = &[
    ("GET", "/alive", OPEN, pair::alive),
    ("GET", "/pair", OPEN, pair::form),
    ("POST", "/pair", OPEN, pair::pair),
    ("GET", "/", LOOK, now::now),
    ("GET", "/wall", LOOK, now::wall),
    ("GET", "/more", LOOK, more::more),
    ("GET", "/containers", LOOK, stock::find),
    ("GET", "/container/{name}", LOOK, container::container),
    ("GET", "/rags", LOOK, rags::rags),
    ("GET", "/closing", LOOK, closing::closing),
    ("GET", "/round", LOOK, round::overview),
    ("GET", "/round/ask", LOOK, round::ask),
    ("GET", "/stock", LOOK, stock::table),
    ("GET", "/due", LOOK, stock::due),
    ("GET", "/entries", LOOK, entries::entries),
    ("GET", "/emergency", LOOK, emergency::emergency),
    ("GET", "/photo/{name}", LOOK, round_save::photo_file),
    ("GET", "/mix", LOOK, mix::mix),
    ("GET", "/plan", LOOK, plan::plan),
    ("GET", "/sheets", LOOK, sheets::list),
    ("GET", "/sheet", LOOK, sheets::sheet),
    ("GET", "/print", LOOK, print::print),
    ("GET", "/print/labels", LOOK, print::labels),
    ("GET", "/print/audit", LOOK, print::audit),
    ("GET", "/print/codes", LOOK, print::codes),
    ("GET", "/print/round", LOOK, print::round),
    ("GET", "/print/binder", LOOK, print::binder),
    ("GET", "/work", LOG, log::work),
    ("GET", "/entry", LOG, log::preview),
    ("POST", "/entry", LOG, log::entry),
    ("POST", "/answer", LOG, log::entry),
    ("POST", "/undo", LOG, log::undo),
    ("POST", "/round/answer", LOG, round_save::answer),
    ("POST", "/round/out", LOG, round_save::out),
    ("POST", "/round/save", LOG, round_save::save),
    ("POST", "/round/undo", LOG, round_save::undo),
    ("GET", "/office", LOG, office::office),
    ("GET", "/office/workbook", LOG, office::download),
    ("POST", "/office/workbook", MANAGE, office::upload),
    ("POST", "/office/take", MANAGE, office::take),
    ("GET", "/devices", MANAGE, devices::list),
    ("POST", "/devices/code", MANAGE, devices::code),
    ("POST", "/devices/end", MANAGE, devices::end),
];

/// The site: pages behind the guard. `certificate` is offered to phones, which may install it.
pub fn app(bench: Arc<Bench>, certificate: Option<String>) -> Router {
    let mut router = Router::new();
    for (method, path, need, handler) in ROUTES {
        let filter = match *method {
            "POST" => MethodFilter::POST,
            _ => MethodFilter::GET,
        };
        let (need, handler) = (*need, *handler);
        let answer = move |State(bench): State<Arc<Bench>>, request: Request| {
            answer(bench, need, handler, request)
        };
        let most = match TAKE_FILES.contains(path) {
            true => MOST_FILE_BYTES,
            false => MOST_BYTES,
        };
        let route = on(filter, answer).layer(DefaultBodyLimit::max(most));
        router = router.route(path, route);
    }
    if let Some(pem) = certificate {
        let file = || async move { Reply::text("application/x-x509-ca-cert", pem).response() };
        router = router.route("/certificate.pem", get(file));
    }
    router
        .route("/favicon.ico", get(|| async { StatusCode::NO_CONTENT }))
        .fallback(|request: Request| async move { elsewhere(&request) })
        .layer(from_fn_with_state(Arc::clone(&bench), guard))
        .with_state(bench)
}

/// The style, the script, or nothing.
fn elsewhere(request: &Request) -> Response<Body> {
    match asset(request.uri().path()).filter(|_| request.method() == Method::GET) {
        Some(reply) => reply.response(),
        None => refusal(
            &BenchProblem::missing("There is no such page."),
            wants_lines(request.headers()),
        ),
    }
}

/// Asks who is there, reads the fields, and lets the page be made on a thread that may wait for the disk. A request that is
/// dropped half way does not stop that thread, so that nothing is half written.
async fn answer(
    bench: Arc<Bench>,
    need: RoleNeeded,
    handler: BenchHandler,
    request: Request,
) -> Response<Body> {
    let plain = wants_lines(request.headers());
    let writes = request.method() == Method::POST;
    let caller = bench.caller(request.headers());
    if let Some(problem) = kept_out(need, caller.as_ref()) {
        return refusal(&problem, plain);
    }
    // A file is in memory until the page is made.
    let place = match is_upload(request.headers()) {
        true => bench.uploads.try_acquire().map(Some),
        false => Ok(None),
    };
    let Ok(_place) = place else {
        return refusal(&busy(), plain);
    };
    let call = match call(Arc::clone(&bench), caller, plain, request).await {
        Ok(call) => call,
        Err(problem) => return refusal(&problem, plain),
    };
    // Taken along, so that it ends with the writing and not with a request that was dropped.
    let turn = match writes {
        true => Arc::clone(&call.bench.writers).acquire_owned().await.ok(),
        false => None,
    };
    let made = tokio::task::spawn_blocking(move || {
        let _turn = turn;
        reply(handler, &call)
    });
    match made.await {
        Ok(reply) => reply.response(),
        Err(_) => refusal(&BenchProblem::fault("This page could not be made."), plain),
    }
}

fn busy() -> BenchProblem {
    BenchProblem::new(
        StatusCode::SERVICE_UNAVAILABLE,
        "Other files are being received.",
        "Try again in a minute. What waits on this device is sent by itself.",
    )
}

/// The page, or the problem as a page or as lines.
fn reply(handler: BenchHandler, call: &Call) -> Reply {
    let problem = match handler(call) {
        Ok(reply) => return reply,
        Err(problem) => problem,
    };
    let reply = match call.plain {
        true => Reply::lines(problem_lines(&problem)),
        false => Reply::page(problem_page(call, &problem)),
    };
    Reply {
        status: problem.status,
        ..reply
    }
}

/// Why a caller may not come in.
fn kept_out(need: RoleNeeded, caller: Option<&Caller>) -> Option<BenchProblem> {
    let RoleNeeded::Role(least) = need else {
        return None;
    };
    match caller {
        None => Some(BenchProblem::new(
            StatusCode::UNAUTHORIZED,
            "This device is not paired with the shop, or no longer.",
            "Ask the owner for a pairing code and open the page /pair. What waits on this device is kept until then.",
        )),
        Some(caller) if caller.role < least => Some(BenchProblem::new(
            StatusCode::FORBIDDEN,
            format!("A {} may not do this.", caller.role.word()),
            "Ask the owner to pair this device with another role.",
        )),
        Some(_) => None,
    }
}

async fn call(
    bench: Arc<Bench>,
    caller: Option<Caller>,
    plain: bool,
    request: Request,
) -> Result<Call, BenchProblem> {
    let (mut parts, body) = request.into_parts();
    let params = RawPathParams::from_request_parts(&mut parts, &()).await;
    let params = params.map_err(|_| BenchProblem::missing("There is no such page."))?;
    let name = params.iter().next().map(|(_, name)| name.to_string());
    let here = parts
        .uri
        .path_and_query()
        .map_or("/", |path| path.as_str())
        .to_string();
    let (fields, file) = fields_of(parts, body).await?;
    Ok(Call {
        bench,
        caller,
        name: name.unwrap_or_default(),
        here,
        fields,
        file,
        plain,
    })
}
