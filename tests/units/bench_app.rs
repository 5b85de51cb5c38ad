//! The site as a function: one request in, one answer out, with a scratch shop and a clock that stands still.

use super::{Bench, BenchClock, DeviceAccess, HostRule, Pairing, ROUTES, Role, RoleNeeded, app};
use crate::quantity::Moment;
use axum::body::{Body, to_bytes};
use axum::extract::ConnectInfo;
use axum::http::{HeaderMap, Request, StatusCode};
use std::net::SocketAddr;
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};
use tempfile::TempDir;
use tower::ServiceExt;

#[path = "../plain/terms.rs"]
mod plain_terms;

const HOST: &str = "127.0.0.1:8137";
const DAY: &str = "2026-10-31";

/// A shop with a jar, a bottle of oil, rags, and places to put them.
const SHOP: [(&str, &str); 5] = [
    (
        "shop.toml",
        "name = \"Made <up> & \\\"odd\\\"\"\nunits = \"us\"\npacks = [\"us-workplace\"]\nemployees = 1\n[bench]\ncloses = \"18:30\"\n",
    ),
    (
        "rooms.csv",
        "room,use,length,width,height,exhaust\nfinishing,finishing,20 ft,20 ft,10 ft,400 cfm\n",
    ),
    (
        "places.csv",
        "place,room,kind,rated\nbench,finishing,bench,\ncabinet,finishing,cabinet,yes\nwater can,finishing,water-can,\n\
         yard,finishing,outdoors,\nrag can,finishing,oily-waste-can,yes\n",
    ),
    (
        "inventory.csv",
        "container,product,vessel,capacity,place,since,amount,labelled\n\
         A-1,denatured alcohol,metal,1 qt,cabinet,2026-10-01,1 qt,yes\n\
         A-2,denatured alcohol,metal,1 qt,cabinet,2026-10-01,0 qt,yes\n\
         <b>O-1</b>,boiled linseed oil,metal,1 qt,cabinet,2026-10-01,1 qt,yes\n\
         R-1,cotton rag,rag,,bench,2026-10-01,20 pcs,\n",
    ),
    (
        "products.csv",
        "product,kind,drying_oil\ncotton rag,other,no\n",
    ),
];

struct Site {
    folder: TempDir,
    bench: Arc<Bench>,
    /// Minutes after six in the evening.
    late: Arc<AtomicU32>,
}

fn six(late: u32) -> Moment {
    Moment::parse(&format!("{DAY}T18:{late:02}")).unwrap()
}

fn site(access: impl FnOnce(&std::path::Path) -> DeviceAccess) -> Site {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in SHOP {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    let late = Arc::new(AtomicU32::new(20));
    let clock = Arc::clone(&late);
    let bench = Bench::new(
        folder.path().to_path_buf(),
        BenchClock::new(move |minutes| six(clock.load(Ordering::Relaxed) - minutes)),
        access(folder.path()),
        HostRule::new(8137, Vec::new(), false),
        format!("http://{HOST}/"),
    );
    Site {
        folder,
        bench: Arc::new(bench),
        late,
    }
}

fn here() -> Site {
    site(|_| DeviceAccess::Here("Ann".into()))
}

struct Answered {
    status: StatusCode,
    headers: HeaderMap,
    body: String,
}

impl Answered {
    fn header(&self, name: &str) -> &str {
        self.headers
            .get(name)
            .map_or("", |value| value.to_str().unwrap())
    }
}

impl Site {
    fn log(&self) -> String {
        std::fs::read_to_string(self.folder.path().join("log.csv")).unwrap_or_default()
    }

    fn send(&self, request: Request<Body>) -> Answered {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .unwrap();
        runtime.block_on(async {
            let response = app(Arc::clone(&self.bench), None)
                .oneshot(request)
                .await
                .unwrap();
            let (parts, body) = response.into_parts();
            let bytes = to_bytes(body, 1 << 22).await.unwrap();
            Answered {
                status: parts.status,
                headers: parts.headers,
                body: String::from_utf8(bytes.to_vec()).unwrap(),
            }
        })
    }

    fn get(&self, path: &str) -> Answered {
        self.send(request("GET", path, "", &[]))
    }

    fn post(&self, path: &str, form: &str) -> Answered {
        self.send(request("POST", path, form, &[]))
    }
}

fn request(method: &str, path: &str, form: &str, more: &[(&str, &str)]) -> Request<Body> {
    let mut request = Request::builder().method(method).uri(path);
    let usual = [
        ("host", HOST),
        ("origin", "http://127.0.0.1:8137"),
        ("content-type", "application/x-www-form-urlencoded"),
    ];
    for (name, value) in usual
        .into_iter()
        .filter(|(name, _)| !more.iter().any(|(own, _)| own == name))
    {
        request = request.header(name, value);
    }
    for (name, value) in more
        .iter()
        .filter(|(name, value)| !value.is_empty() && *name != "peer")
    {
        request = request.header(*name, *value);
    }
    let peer = more
        .iter()
        .find(|(name, _)| *name == "peer")
        .map_or("127.0.0.1:9", |(_, peer)| *peer);
    let peer: SocketAddr = peer.parse().unwrap();
    request
        .extension(ConnectInfo(peer))
        .body(Body::from(form.to_string()))
        .unwrap()
}

/// The value of the hidden field of a page.
fn hidden(page: &str, name: &str) -> String {
    let lead = format!("name=\"{name}\" value=\"");
    let (_, rest) = page
        .split_once(&lead)
        .unwrap_or_else(|| panic!("no {name} in {page}"));
    rest.split('"').next().unwrap().to_string()
}

const USE: &str = "what=use&container=A-1&amount=4+fl+oz&minutes=30";

#[test]
fn the_usual_entry_is_shown_then_logged_then_undone() {
    let site = here();
    assert!(
        site.get("/").body.contains("/container/A-1"),
        "the first tap"
    );
    assert!(
        site.get("/container/A-1")
            .body
            .contains("/entry?what=use&amp;container=A-1&amp;amount=4%20fl%20oz")
    );
    let shown = site.get(&format!("/entry?{USE}&back=/rags"));
    assert_eq!(shown.status, StatusCode::OK);
    assert!(
        shown.body.contains("<strong>28 fl oz</strong> left"),
        "{}",
        shown.body
    );
    assert!(
        shown.body.contains("of the lower explosive limit"),
        "{}",
        shown.body
    );
    assert_eq!(site.log(), "", "looking writes nothing");
    let id = hidden(&shown.body, "id");
    let written = site.post("/entry", &format!("{USE}&id={id}&back=/rags"));
    assert_eq!(written.status, StatusCode::SEE_OTHER);
    assert_eq!(written.header("location"), "/rags?logged=1");
    assert!(
        site.log()
            .contains(&format!("1,{DAY}T18:20,use,A-1,4 fl oz,")),
        "{}",
        site.log()
    );
    assert!(
        site.log().contains(&format!("Ann,,{DAY}T18:20,{id}")),
        "{}",
        site.log()
    );
    let banner = site.get("/rags?logged=1").body;
    assert!(banner.contains("Entry 1 is logged."), "{banner}");
    let undone = site.post(
        "/undo",
        &format!("entry=1&id={}&back=/rags", hidden(&banner, "id")),
    );
    assert_eq!(undone.header("location"), "/rags?logged=2");
    assert!(site.log().contains("correct,"), "{}", site.log());
    let container = site.get("/container/A-1").body;
    assert!(
        container.contains("1 qt") && container.contains("taken back"),
        "{container}"
    );
    let again = site.post("/undo", "entry=1&id=anotherone1");
    assert_eq!(
        again.status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "{}",
        again.body
    );
}

#[test]
fn ten_minutes_later_there_is_no_undo() {
    let site = here();
    site.post("/entry", &format!("{USE}&id=aaaaaaaa"));
    site.late.store(30, Ordering::Relaxed);
    assert!(site.get("/?logged=1").body.contains("Undo entry 1"));
    site.late.store(31, Ordering::Relaxed);
    assert!(!site.get("/?logged=1").body.contains("Undo entry 1"));
    let late = site.post("/undo", "entry=1&id=bbbbbbbb");
    assert_eq!(late.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(site.log().lines().count(), 2);
}

#[test]
fn an_id_is_written_once_however_often_and_however_late_it_is_sent() {
    let site = here();
    let form = format!("{USE}&id=k3v9xq2m");
    assert_eq!(site.post("/entry", &form).status, StatusCode::SEE_OTHER);
    let first = site.log();
    site.late.store(27, Ordering::Relaxed);
    let again = site.post("/entry", &form);
    assert_eq!(
        (again.status, again.header("location")),
        (StatusCode::SEE_OTHER, "/?logged=1")
    );
    assert_eq!(site.log(), first);
    let plain = site.send(request(
        "POST",
        "/entry",
        &form,
        &[("accept", "text/plain")],
    ));
    assert_eq!(
        plain.body,
        "already\nk3v9xq2m\n/?logged=1\nEntry 1 is logged."
    );
    let other = site.post(
        "/entry",
        "what=use&container=A-1&amount=5+fl+oz&minutes=30&id=k3v9xq2m",
    );
    assert_eq!(other.status, StatusCode::CONFLICT);
    assert!(other.body.contains("amount 4 fl oz"), "{}", other.body);
    assert_eq!(site.log(), first);
    for bad in [
        "",
        "&id=",
        "&id=short",
        "&id=UPPERCASE1",
        "&id=with%20space",
    ] {
        let refused = site.post("/entry", &format!("{USE}{bad}"));
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{bad}");
    }
    assert_eq!(site.log(), first);
}

/// The age counts, not the date: a phone whose clock is a day off does no harm.
#[test]
fn an_entry_is_dated_by_how_long_it_waited() {
    let site = here();
    let day = 86_400_000_u64;
    for (at, (id, typed, sent)) in [
        ("aaaaaaaa", 1000 + 30 * day, 1000 + 30 * day + 15 * 60_000),
        ("bbbbbbbb", 5000, 5000),
        ("cccccccc", 9000, 1000),
    ]
    .into_iter()
    .enumerate()
    {
        let form =
            format!("what=use&container=A-1&amount=1+fl+oz&id={id}&typed={typed}&sent={sent}");
        assert_eq!(site.post("/entry", &form).status, StatusCode::SEE_OTHER);
        let minute = if at == 0 { "18:05" } else { "18:20" };
        let line = site.log().lines().nth(at + 1).unwrap().to_string();
        assert!(line.contains(&format!("{DAY}T{minute},use")), "{line}");
    }
    let typed = site.post(
        "/entry",
        &format!("{USE}&id=dddddddd&when=2026-10-30T09:00&typed=1&sent=9"),
    );
    assert_eq!(typed.status, StatusCode::SEE_OTHER);
    assert!(
        site.log().contains("2026-10-30T09:00,use"),
        "a time that a person typed is taken as typed"
    );
    let ahead = site.post(
        "/entry",
        &format!("{USE}&id=eeeeeeee&when=2026-11-01T09:00"),
    );
    assert_eq!(ahead.status, StatusCode::UNPROCESSABLE_ENTITY);
}

/// In the hour that autumn gives back, what waited since before the change is written, and never lies ahead.
#[test]
fn an_entry_of_the_hour_that_is_given_back_is_not_ahead() {
    let folder = here().folder;
    let clock = BenchClock::new(|minutes| {
        let minute = if minutes == 0 { "01:05" } else { "01:55" };
        Moment::parse(&format!("2026-11-01T{minute}")).unwrap()
    });
    let access = DeviceAccess::Here(String::new());
    let hosts = HostRule::new(8137, Vec::new(), false);
    let path = folder.path().to_path_buf();
    let bench = Bench::new(path, clock, access, hosts, format!("http://{HOST}/"));
    let late = Arc::new(AtomicU32::new(0));
    let site = Site {
        folder,
        bench: Arc::new(bench),
        late,
    };
    let answer = site.post("/entry", &format!("{USE}&id=aaaaaaaa&typed=0&sent=600000"));
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.body);
    assert!(
        site.log().contains("2026-11-01T01:05,use"),
        "{}",
        site.log()
    );
}

/// A clock that went years back (a flat battery) would put entries of now among old ones.
#[test]
fn a_clock_behind_the_log_writes_nothing() {
    let site = here();
    std::fs::write(
        site.folder.path().join("log.csv"),
        "entry,when,what,container,amount\n1,2026-11-02T10:00,use,A-1,1 fl oz\n",
    )
    .unwrap();
    let before = site.log();
    let refused = site.post("/entry", &format!("{USE}&id=aaaaaaaa"));
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        refused.body.contains("the log goes on to"),
        "{}",
        refused.body
    );
    assert_eq!(site.log(), before);
}

#[test]
fn what_cannot_be_is_refused_in_the_words_of_the_store() {
    let site = here();
    let too_much = site.post("/entry", "what=use&container=A-1&amount=2+qt&id=aaaaaaaa");
    assert_eq!(too_much.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        too_much.body.contains("This takes 2 qt out of A-1"),
        "{}",
        too_much.body
    );
    let plain = site.send(request(
        "POST",
        "/entry",
        "what=use&container=J-9&amount=2+qt&id=aaaaaaaa",
        &[("accept", "text/plain")],
    ));
    assert!(plain.body.starts_with("refused\n\n\n"), "{}", plain.body);
    for (form, words) in [
        (
            "what=fly&container=A-1&id=aaaaaaaa",
            "does not say what was done",
        ),
        (
            "what=use&container=A-1&amount=%ff&id=aaaaaaaa",
            "were damaged on the way",
        ),
        (
            "what=use&container=A-1&amount=1%0A&note=a%0Ab&id=aaaaaaaa",
            "were damaged on the way",
        ),
        (
            "what=use&container=A-1&amount=1+qt&when=someday&id=aaaaaaaa",
            "is not a day and time",
        ),
        (
            "check=lids-closed&where=finishing&answer=maybe&id=aaaaaaaa",
            "must be yes, no or not present",
        ),
        (
            "check=no-such-question&answer=yes&id=aaaaaaaa",
            "no such question",
        ),
    ] {
        let refused = site.post("/entry", form);
        assert!(
            refused.status.is_client_error() && refused.body.contains(words),
            "{form}: {}",
            refused.body
        );
    }
    assert_eq!(site.log(), "");
}

#[test]
fn two_soiled_rags_into_the_water_in_five_taps() {
    let site = here();
    let page = site.get("/rags").body;
    assert!(page.contains("value=\"&lt;b&gt;O-1&lt;/b&gt;\""), "{page}");
    let soiled =
        "what=soil&container=R-1&amount=2&into=%3Cb%3EO-1%3C%2Fb%3E&place=bench&back=/rags";
    let shown = site.get(&format!("/entry?{soiled}"));
    assert!(
        shown.body.contains("2 rags or pads wet and loose at bench"),
        "{}",
        shown.body
    );
    assert!(shown.body.contains("one is enough"), "{}", shown.body);
    site.post("/entry", &format!("{soiled}&id=aaaaaaaa"));
    site.late.store(25, Ordering::Relaxed);
    let page = site.get("/rags").body;
    assert!(
        page.contains("5 min") && page.contains("card danger"),
        "{page}"
    );
    let link = page
        .split("href=\"/entry?what=soak")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    let link = link.replace("&amp;", "&");
    let shown = site.get(&format!("/entry?what=soak{link}"));
    assert_eq!(shown.status, StatusCode::OK, "{}", shown.body);
    let id = hidden(&shown.body, "id");
    let written = site.post("/entry", &format!("what=soak{link}&id={id}"));
    assert_eq!(
        written.header("location"),
        "/rags?logged=2",
        "{}",
        written.body
    );
    assert!(site.log().contains("soak,R-1,2 pcs"), "{}", site.log());
    assert!(!site.get("/").body.contains("card danger"));
}

#[test]
fn into_the_can_and_emptied_is_one_entry_of_two_rows() {
    let site = here();
    site.post(
        "/entry",
        "what=soil&container=R-1&amount=1&place=bench&id=aaaaaaaa",
    );
    let form =
        "what=bin&container=R-1&place=rag+can&amount=1+pcs&then=empty&id=bbbbbbbb&back=/closing";
    assert_eq!(
        site.post("/entry", form).header("location"),
        "/closing?logged=2"
    );
    assert!(
        site.log().contains("bin,R-1") && site.log().contains("empty,"),
        "{}",
        site.log()
    );
    let before = site.log();
    site.late.store(40, Ordering::Relaxed);
    assert_eq!(
        site.post("/entry", form).header("location"),
        "/closing?logged=2"
    );
    assert_eq!(site.log(), before);
}

#[test]
fn an_answer_of_the_round_takes_one_tap() {
    let site = here();
    let overview = site.get("/round").body;
    let link = overview
        .split("href=\"/round/ask?check=")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    let ask = site
        .get(&format!("/round/ask?check={}", link.replace("&amp;", "&")))
        .body;
    let form = format!(
        "check={}&where={}&answer=yes&id={}&back={}",
        hidden(&ask, "check"),
        hidden(&ask, "where"),
        hidden(&ask, "id"),
        "/round"
    );
    let answered = site.post("/answer", &form);
    assert_eq!(
        (answered.status, answered.header("location")),
        (StatusCode::SEE_OTHER, "/round")
    );
    let checks = || std::fs::read_to_string(site.folder.path().join("checks.csv")).unwrap();
    assert_eq!(checks().lines().count(), 2, "{}", checks());
    site.post("/answer", &form);
    assert_eq!(checks().lines().count(), 2, "sent twice, written once");
}

/// Enter cut and amount, get what to weigh; "mixed" logs it into a new jar, once.
#[test]
fn a_mixture_is_worked_out_and_logged() {
    let site = here();
    let inventory = site.folder.path().join("inventory.csv");
    let mut text = std::fs::read_to_string(&inventory).unwrap();
    text.push_str("F-1,\"shellac flakes, dewaxed\",bag,1 lb,cabinet,2026-10-01,1 lb,yes\n");
    std::fs::write(&inventory, text).unwrap();
    let page = site.get("/mix?cut=2&make=1+pt").body;
    assert!(
        page.contains("Weigh") && page.contains("Pour") && page.contains("It makes 16 fl oz."),
        "{page}"
    );
    let pours: Vec<&str> = page
        .split("name=\"pour\" value=\"")
        .skip(1)
        .map(|part| part.split('"').next().unwrap())
        .collect();
    assert!(
        pours.iter().any(|pour| pour.ends_with(" from F-1"))
            && pours.iter().any(|pour| pour.ends_with(" from A-1")),
        "{pours:?}"
    );
    let mut form =
        "what=mix&into=J-1&vessel=glass&capacity=1+qt&jar-place=cabinet&back=/container/J-1"
            .to_string();
    form.push_str(&format!(
        "&product={}",
        super::call::url(&hidden(&page, "product").replace("&quot;", "\""))
    ));
    for pour in pours {
        form.push_str(&format!("&pour={}", super::call::url(pour)));
    }
    let shown = site.get(&format!("/entry?{form}"));
    assert!(
        shown.status == StatusCode::OK && shown.body.contains("J-1"),
        "{}",
        shown.body
    );
    assert_eq!(site.log(), "");
    let sent = format!("{form}&id={}", hidden(&shown.body, "id"));
    let written = site.post("/entry", &sent);
    assert_eq!(
        written.header("location"),
        "/container/J-1?logged=1",
        "{}",
        written.body
    );
    assert_eq!(site.log().matches(",mix,").count(), 2, "{}", site.log());
    assert!(
        std::fs::read_to_string(&inventory)
            .unwrap()
            .contains("J-1,")
    );
    let before = (site.log(), std::fs::read_to_string(&inventory).unwrap());
    site.late.store(22, Ordering::Relaxed);
    assert_eq!(
        site.post("/entry", &sent).header("location"),
        "/container/J-1?logged=1"
    );
    assert_eq!(
        (site.log(), std::fs::read_to_string(&inventory).unwrap()),
        before
    );
    let jar = site.get("/container/J-1").body;
    assert!(
        jar.contains("16") && jar.contains("/print/labels?name=J-1"),
        "{jar}"
    );
    let short = site.get("/mix?cut=2&make=9+gal").body;
    assert!(
        short.contains("The shelf is short by") && !short.contains("name=\"pour\""),
        "{short}"
    );
    let wrong = site.get("/mix?cut=99&make=1+pt").body;
    assert!(
        wrong.contains("thicker than") && !wrong.contains("--"),
        "{wrong}"
    );
}

/// Names, amounts and times are taken as people type them, and settled before they are logged.
#[test]
fn what_a_person_types_is_understood() {
    let site = here();
    let shown = site.get("/entry?what=use&container=a1&amount=half&when=5pm");
    assert_eq!(shown.status, StatusCode::OK, "{}", shown.body);
    assert_eq!(hidden(&shown.body, "container"), "A-1");
    assert_eq!(hidden(&shown.body, "amount"), "0.5 qt");
    assert_eq!(hidden(&shown.body, "when"), format!("{DAY}T17:00"));
    let several = site.get("/entry?what=use&container=a&amount=1+fl+oz");
    assert_eq!(
        several.status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "{}",
        several.body
    );
}

/// Two groups of rags at two places: the entry says which, or asks.
#[test]
fn it_asks_which_rags_are_meant() {
    let site = here();
    site.post(
        "/entry",
        "what=soil&container=R-1&amount=1&into=%3Cb%3EO-1%3C%2Fb%3E&place=bench&id=aaaaaaaa",
    );
    site.post(
        "/entry",
        "what=soil&container=R-1&amount=1&into=A-1&place=cabinet&id=bbbbbbbb",
    );
    site.late.store(25, Ordering::Relaxed);
    let shown = site.get("/entry?what=soak&container=R-1&place=water+can&amount=1");
    assert!(
        shown.body.contains("Which of them?") && shown.body.contains("/entry?from="),
        "{}",
        shown.body
    );
    let clear = site.get("/entry?what=soak&container=R-1&place=water+can&amount=1&from=bench");
    assert!(!clear.body.contains("Which of them?"), "{}", clear.body);
    let page = site.get("/rags").body;
    assert!(
        page.contains("from=bench") && page.contains("from=cabinet"),
        "each line takes its own: {page}"
    );
}

/// A data sheet is a file of the shop folder that products.csv names, and no other file is sent.
#[test]
fn a_data_sheet_is_shown_and_no_other_file() {
    let site = here();
    let path = |name: &str| site.folder.path().join(name);
    std::fs::write(path("alcohol.pdf"), "%PDF-1.7 made up").unwrap();
    std::fs::write(
        path("products.csv"),
        "product,kind,drying_oil,sheet\ncotton rag,other,no,\ndenatured alcohol,solvent,no,alcohol.pdf\n\
         boiled linseed oil,drying-oil,yes,sheets/gone.pdf\n",
    )
    .unwrap();
    let list = site.get("/sheets").body;
    assert!(
        list.contains("/sheet?product=denatured%20alcohol"),
        "{list}"
    );
    let sheet = site.get("/sheet?product=denatured+alcohol");
    assert_eq!(
        (sheet.header("content-type"), &*sheet.body),
        ("application/pdf", "%PDF-1.7 made up")
    );
    for other in [
        "boiled+linseed+oil",
        "cotton+rag",
        "shop.toml",
        "..%2fshop.toml",
        "",
    ] {
        let answer = site.get(&format!("/sheet?product={other}"));
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{other}");
    }
}

#[test]
fn what_breaks_a_rule_stops_until_it_has_happened() {
    let site = here();
    site.post(
        "/entry",
        "what=test&container=A-1&into=look&result=fail&id=aaaaaaaa",
    );
    site.late.store(21, Ordering::Relaxed);
    let shown = site.get(&format!("/entry?{USE}"));
    assert!(
        shown.body.contains("Do not use it on any work"),
        "{}",
        shown.body
    );
    let stopped = site.post("/entry", &format!("{USE}&id=bbbbbbbb"));
    assert_eq!(stopped.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        stopped.body.contains("It has happened: log it"),
        "{}",
        stopped.body
    );
    let plain = site.send(request(
        "POST",
        "/entry",
        &format!("{USE}&id=bbbbbbbb"),
        &[("accept", "text/plain")],
    ));
    assert!(plain.body.starts_with("against\n"), "{}", plain.body);
    let written = site.post("/entry", &format!("{USE}&id=bbbbbbbb&anyway=yes"));
    assert_eq!(written.status, StatusCode::SEE_OTHER);
}

/// A correction is an entry of its own, found by the entry that it corrects.
#[test]
fn an_entry_is_corrected_through_the_log() {
    let site = here();
    site.post("/entry", &format!("{USE}&id=aaaaaaaa&by=Bo"));
    assert!(site.log().contains(",Bo,"), "{}", site.log());
    let page = site.get("/entries").body;
    assert!(
        page.contains("Correct entry 1")
            && page.contains("what=correct&amp;into=1&amp;result=void"),
        "{page}"
    );
    let shown = site
        .get("/entry?what=correct&into=1&amount=2+fl+oz&container=&place=&minutes=&back=/entries");
    assert!(
        shown.body.contains("Corrected entry 1: 2 fl oz"),
        "{}",
        shown.body
    );
    let form = format!(
        "what=correct&into=1&amount=2+fl+oz&id={}&back=/entries",
        hidden(&shown.body, "id")
    );
    assert_eq!(
        site.post("/entry", &form).header("location"),
        "/entries?logged=2"
    );
    assert!(site.get("/container/A-1").body.contains("30 fl oz"));
    let page = site.get("/entries").body;
    assert!(
        !page.contains("Correct entry 1"),
        "a corrected entry is not corrected twice: {page}"
    );
}

#[test]
fn edits_by_hand_show_at_once() {
    let site = here();
    assert!(site.get("/container/A-1").body.contains("1 qt"));
    std::fs::write(
        site.folder.path().join("log.csv"),
        format!("entry,when,what,container,amount\n1,{DAY}T10:00,use,A-1,8 fl oz\n"),
    )
    .unwrap();
    assert!(site.get("/container/A-1").body.contains("24 fl oz"));
    std::fs::write(site.folder.path().join("log.csv"), "entry,when\nbroken\n").unwrap();
    let broken = site.get("/");
    assert_eq!(broken.status, StatusCode::INTERNAL_SERVER_ERROR);
    assert!(
        broken.body.contains("log.csv") && !broken.body.contains("Made"),
        "{}",
        broken.body
    );
}

#[test]
fn names_are_text_on_every_page() {
    let site = here();
    site.post("/entry", "what=soil&container=R-1&amount=1&into=%3Cb%3EO-1%3C%2Fb%3E&place=bench&note=%3Cscript%3E&id=aaaaaaaa");
    for (method, path, _, _) in ROUTES {
        if *method == "GET" && !path.starts_with("/print") {
            let path = path.replace("{name}", "%3Cb%3EO-1%3C%2Fb%3E");
            let page = site.get(&path).body;
            assert!(
                !page.contains("<b>") && !page.contains("<up>"),
                "{path}: {page}"
            );
        }
    }
    let page = site.get("/container/%3Cb%3EO-1%3C%2Fb%3E").body;
    assert!(page.contains("count as self-heating"), "{page}");
    for odd in ["..%2f..%2fetc%2fpasswd", "%00", "..", "x%ff"] {
        let page = site.get(&format!("/container/{odd}"));
        assert_eq!(page.status, StatusCode::NOT_FOUND, "{odd}");
    }
    let long = "x".repeat(10_000);
    assert_eq!(
        site.get(&format!("/container/{long}")).status,
        StatusCode::NOT_FOUND
    );
}

#[test]
fn the_wall_warns_before_closing_time_while_a_rag_is_open() {
    let site = here();
    assert!(!site.get("/wall").body.contains("The shop closes soon"));
    site.post(
        "/entry",
        "what=soil&container=R-1&amount=1&place=bench&id=aaaaaaaa",
    );
    let wall = site.get("/wall").body;
    assert!(
        wall.contains("The shop closes soon, and a rag is open.")
            && wall.contains("http-equiv=\"refresh\""),
        "{wall}"
    );
}

/// Every page that can be read, in the words of the writing guide.
#[test]
fn no_page_uses_a_term_that_the_guide_replaces() {
    let site = here();
    site.post(
        "/entry",
        "what=soil&container=R-1&amount=2+pcs&into=%3Cb%3EO-1%3C%2Fb%3E&place=bench&id=aaaaaaaa",
    );
    let mut found = Vec::new();
    let mut read = 0;
    for (method, path, ..) in ROUTES {
        let path = path.replace("{name}", "A-1");
        let page = site.send(request(method, &path, "", &[])).body;
        if page.starts_with("<!DOCTYPE html>") {
            read += 1;
            found.extend(plain_terms::replaced_in(
                &path,
                &plain_terms::without_marks(&page),
            ));
        }
    }
    assert!(read > 20, "{read}");
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

/// Each route without a cookie and as each role; what is kept out shows nothing of the shop.
#[test]
fn every_route_asks_who_is_there() {
    let keep = std::cell::RefCell::new(Vec::new());
    let site = site(|folder| {
        let pairing = Pairing::new(folder, false);
        for (_, role) in Role::WORDS {
            let code = pairing.new_code(role).unwrap();
            let wish = super::pairing::Wish {
                code: &code,
                name: "phone",
                person: "Bo",
            };
            let (cookie, _) = pairing.pair(&wish, six(0)).unwrap();
            keep.borrow_mut()
                .push((role, cookie.split(';').next().unwrap().to_string()));
        }
        DeviceAccess::Paired(pairing)
    });
    let mut tried = 0;
    for (method, path, need, _) in ROUTES {
        let path = path.replace("{name}", "A-1");
        let as_of = |cookie: &str| site.send(request(method, &path, "", &[("cookie", cookie)]));
        let anonymous = as_of("");
        let RoleNeeded::Role(least) = need else {
            assert_ne!(anonymous.status, StatusCode::UNAUTHORIZED, "{path}");
            continue;
        };
        assert_eq!(
            anonymous.status,
            StatusCode::UNAUTHORIZED,
            "{method} {path} as anonymous"
        );
        assert!(
            !anonymous.body.contains("Made") && !anonymous.body.contains("A-1"),
            "{path}: {}",
            anonymous.body
        );
        let wrong = as_of("sandarac-00000000=AAAA");
        assert_eq!(
            wrong.status,
            StatusCode::UNAUTHORIZED,
            "{method} {path} with a false token"
        );
        for (role, cookie) in keep.borrow().iter() {
            let answer = as_of(cookie);
            let kept_out =
                answer.status == StatusCode::FORBIDDEN || answer.status == StatusCode::UNAUTHORIZED;
            assert_eq!(
                kept_out,
                role < least,
                "{method} {path} as {}: {}",
                role.word(),
                answer.status
            );
            tried += 1;
        }
    }
    assert!(tried > 60, "only {tried} were tried");
    assert_eq!(site.log(), "", "empty forms write nothing");
}

#[test]
fn every_answer_has_the_headers() {
    let site = here();
    let big = "x".repeat(70_000);
    let answers = [
        (200, site.get("/")),
        (404, site.get("/nothing")),
        (405, site.send(request("DELETE", "/rags", "", &[]))),
        (413, site.post("/entry", &big)),
        (
            415,
            site.send(request(
                "POST",
                "/entry",
                "{}",
                &[("content-type", "application/json")],
            )),
        ),
        (
            421,
            site.send(request("GET", "/", "", &[("host", "evil.example")])),
        ),
        (421, site.send(request("GET", "/", "", &[("host", "")]))),
        (
            403,
            site.send(request(
                "POST",
                "/entry",
                USE,
                &[("origin", "http://evil.example")],
            )),
        ),
        (
            403,
            site.send(request("POST", "/entry", USE, &[("origin", "")])),
        ),
        (
            403,
            site.send(request("GET", "/", "", &[("peer", "203.0.113.9:1")])),
        ),
        (204, site.get("/favicon.ico")),
    ];
    for (status, answer) in answers {
        assert_eq!(answer.status.as_u16(), status, "{}", answer.body);
        let policy = answer.header("content-security-policy");
        assert!(
            policy.contains("default-src 'none'") && policy.contains("frame-ancestors 'none'"),
            "{status}: {policy}"
        );
        assert!(!policy.contains("unsafe"), "{policy}");
        assert_eq!(
            answer.header("x-content-type-options"),
            "nosniff",
            "{status}"
        );
        assert_eq!(answer.header("cache-control"), "no-store", "{status}");
        if status >= 400 {
            assert!(!answer.body.contains("Made"), "{status}: {}", answer.body);
            assert!(
                answer.body.is_empty() || answer.body.contains("Not done"),
                "{status}: {}",
                answer.body
            );
        }
    }
    let labels = site.get("/print/labels");
    assert!(
        labels
            .header("content-security-policy")
            .contains("form-action 'none'")
    );
    let work = site.get("/work");
    assert_eq!(work.header("cache-control"), "private, no-cache");
    assert!(work.body.len() < 300_000);
    assert_eq!(site.log(), "");
}

#[test]
fn a_link_back_leads_nowhere_else() {
    let site = here();
    for (at, back) in [
        "//evil.example",
        "https://evil.example",
        "/\\evil.example",
        "javascript:alert(1)",
        "",
    ]
    .into_iter()
    .enumerate()
    {
        let back: String = back.bytes().map(|b| format!("%{b:02X}")).collect();
        let written = site.post("/entry", &format!("{USE}&id=aaaaaaaa{at}&back={back}"));
        assert_eq!(written.header("location"), format!("/?logged={}", at + 1));
    }
}

#[test]
fn pairing_over_the_page() {
    let site = site(|folder| DeviceAccess::Paired(Pairing::new(folder, false)));
    let pairing = site.bench.pairing().unwrap();
    let code = pairing.new_code(Role::Owner).unwrap();
    for _ in 0..10 {
        assert!(
            site.get(&format!("/pair?c={code}")).body.contains(&code),
            "looking spends nothing"
        );
    }
    let paired = site.post("/pair", &format!("code={code}&name=wall+tablet&person=Bo"));
    assert_eq!(
        (paired.status, paired.header("location")),
        (StatusCode::SEE_OTHER, "/")
    );
    let cookie = paired
        .header("set-cookie")
        .split(';')
        .next()
        .unwrap()
        .to_string();
    let as_owner = |method: &str, path: &str, form: &str| {
        site.send(request(method, path, form, &[("cookie", &cookie)]))
    };
    let home = as_owner("GET", "/", "");
    assert!(home.body.contains("not encrypted"), "{}", home.body);
    let list = as_owner("GET", "/devices", "").body;
    assert!(
        list.contains("wall tablet") && list.contains("owner"),
        "{list}"
    );
    let shown = as_owner("POST", "/devices/code", "role=guest").body;
    assert!(
        shown.contains("<svg") && shown.contains("http://127.0.0.1:8137/pair"),
        "{shown}"
    );
    as_owner("POST", "/entry", &format!("{USE}&id=aaaaaaaa"));
    assert!(site.log().contains(",Bo,"), "{}", site.log());
    let ended = as_owner(
        "POST",
        "/devices/end",
        &format!("number=1&hash={}", hidden(&list, "hash")),
    );
    assert_eq!(ended.header("location"), "/devices");
    assert_eq!(as_owner("GET", "/", "").status, StatusCode::UNAUTHORIZED);
    for _ in 0..5 {
        assert_eq!(
            site.post("/pair", "code=WRONGONE&name=x").status,
            StatusCode::FORBIDDEN
        );
    }
}
