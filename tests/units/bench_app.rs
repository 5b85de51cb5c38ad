//! The site as a function: one request in, one answer out, with a scratch shop and a clock that stands still.

use super::write::opened;
use super::{Bench, BenchClock, DeviceAccess, HostRule, Pairing, ROUTES, Role, RoleNeeded, app};
use crate::quantity::Moment;
use crate::store::Access;
use axum::body::{Body, to_bytes};
use axum::extract::ConnectInfo;
use axum::http::{HeaderMap, Request, StatusCode};
use std::net::SocketAddr;
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::mpsc::channel;
use std::time::Duration;
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
            let bytes = to_bytes(body, 1 << 24).await.unwrap();
            Answered {
                status: parts.status,
                headers: parts.headers,
                body: String::from_utf8_lossy(&bytes).into_owned(),
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

/// In the night in which an hour is skipped, an entry that waited lies as long before its arrival as it waited.
#[test]
fn an_entry_from_before_the_skipped_hour_is_dated_before_it() {
    let folder = here().folder;
    // Ten past three; at two the clock went on to three.
    let clock = BenchClock::new(|minutes| {
        let minute = match minutes {
            0..=10 => format!("03:{:02}", 10 - minutes),
            minutes => format!("01:{:02}", 70 - minutes),
        };
        Moment::parse(&format!("2026-03-08T{minute}")).unwrap()
    });
    let access = DeviceAccess::Here(String::new());
    let hosts = HostRule::new(8137, Vec::new(), false);
    let path = folder.path().to_path_buf();
    let inventory = path.join("inventory.csv");
    let text = std::fs::read_to_string(&inventory).unwrap();
    std::fs::write(&inventory, text.replace("2026-10-01", "2026-01-01")).unwrap();
    let bench = Bench::new(path, clock, access, hosts, format!("http://{HOST}/"));
    let late = Arc::new(AtomicU32::new(0));
    let site = Site {
        folder,
        bench: Arc::new(bench),
        late,
    };
    let answer = site.post("/entry", &format!("{USE}&id=aaaaaaaa&typed=0&sent=900000"));
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.body);
    assert!(
        site.log().contains("2026-03-08T01:55,use"),
        "{}",
        site.log()
    );
}

/// Entries that arrive together are written together. One that cannot be, or must be asked about, does no harm to the others.
#[test]
fn entries_that_arrive_together_are_each_answered_for_themselves() {
    let site = here();
    let forms: Vec<(String, StatusCode)> = (0..12)
        .map(|number| match number {
            3 => (
                "container=A-1&amount=9+gal".to_string(),
                StatusCode::UNPROCESSABLE_ENTITY,
            ),
            7 => (
                "container=A-9&amount=1+fl+oz".to_string(),
                StatusCode::UNPROCESSABLE_ENTITY,
            ),
            // The same one twice, as two tabs send it.
            8 | 9 => (
                "container=A-1&amount=0.2+fl+oz&id=sametwice".to_string(),
                StatusCode::SEE_OTHER,
            ),
            number => (
                format!("container=A-1&amount=0.0{number:02}+fl+oz"),
                StatusCode::SEE_OTHER,
            ),
        })
        .collect();
    std::thread::scope(|scope| {
        for (number, (form, status)) in forms.iter().enumerate() {
            let site = &site;
            let id = match form.contains("id=") {
                true => String::new(),
                false => format!("&id=together{number:02}"),
            };
            scope.spawn(move || {
                let answer = site.post("/entry", &format!("what=use&minutes=5&{form}{id}"));
                assert_eq!(answer.status, *status, "{form}: {}", answer.body);
            });
        }
    });
    let log = site.log();
    assert_eq!(log.lines().count(), 1 + 9, "{log}");
    for number in [0, 1, 2, 4, 5, 6, 10, 11] {
        let id = format!(",together{number:02},");
        assert_eq!(log.matches(&id).count(), 1, "{log}");
    }
    assert_eq!(log.matches("sametwice").count(), 1, "{log}");
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
        shown
            .body
            .contains("On the bench: 2 rags, wet and loose, since "),
        "{}",
        shown.body
    );
    assert!(shown.body.contains("one is enough"), "{}", shown.body);
    assert!(
        shown.body.contains(crate::stock::PUT_AWAY),
        "{}",
        shown.body
    );
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

/// Several containers go to one place as one entry of several rows, all of them or none.
#[test]
fn several_containers_are_moved_at_once() {
    let site = here();
    let form = "what=move&container=A-1&also=A-2&also=%3Cb%3EO-1%3C%2Fb%3E&place=cabinet";
    let shown = site.get(&format!("/entry?{form}"));
    assert_eq!(
        shown.body.matches("<strong>Moved").count(),
        3,
        "{}",
        shown.body
    );
    let bad = site.post("/entry", &format!("{form}&also=J-9&id=bbbbbbbb"));
    assert_eq!(
        (bad.status, site.log()),
        (StatusCode::UNPROCESSABLE_ENTITY, String::new())
    );
    let odd = site.post("/entry", &format!("{form}&also=A%0A1&id=cccccccc"));
    assert_eq!(odd.status, StatusCode::UNPROCESSABLE_ENTITY);
    for _ in 0..2 {
        let written = site.post("/entry", &format!("{form}&id=aaaaaaaa"));
        assert_eq!(written.status, StatusCode::SEE_OTHER, "{}", written.body);
        assert_eq!(site.log().matches(",move,").count(), 3, "{}", site.log());
    }
    // What was one tap is taken back by one tap.
    let page = site.get("/?logged=1").body;
    assert!(
        page.contains("Undo entry 1 and what was logged with it"),
        "{page}"
    );
    for _ in 0..2 {
        let undone = site.post("/undo", "entry=1&id=dddddddd");
        assert_eq!(undone.status, StatusCode::SEE_OTHER, "{}", undone.body);
    }
    assert_eq!(site.log().matches(",correct,").count(), 3, "{}", site.log());
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

/// Only an owner corrects and sends workbooks; a maker takes back what was just logged.
#[test]
fn corrections_are_for_the_owner() {
    let cookies = std::cell::RefCell::new(Vec::new());
    let site = site(|folder| {
        let pairing = Pairing::new(folder, false);
        for role in [Role::Maker, Role::Owner] {
            let code = pairing.new_code(role).unwrap();
            let wish = super::pairing::Wish {
                code: &code,
                name: "phone",
                person: "Bo",
            };
            let (cookie, _) = pairing.pair(&wish, six(0)).unwrap();
            cookies
                .borrow_mut()
                .push(cookie.split(';').next().unwrap().to_string());
        }
        DeviceAccess::Paired(pairing)
    });
    let cookies = cookies.into_inner();
    let [maker, owner] = [&cookies[0], &cookies[1]];
    let post = |cookie: &str, path: &str, form: &str| {
        site.send(request("POST", path, form, &[("cookie", cookie)]))
    };
    assert_eq!(
        post(maker, "/entry", &format!("{USE}&id=aaaaaaaa")).status,
        StatusCode::SEE_OTHER
    );
    let correction = "what=correct&into=1&amount=2+fl+oz";
    let refused = post(maker, "/entry", &format!("{correction}&id=bbbbbbbb"));
    assert_eq!(refused.status, StatusCode::FORBIDDEN, "{}", refused.body);
    let shown = site.send(request(
        "GET",
        &format!("/entry?{correction}"),
        "",
        &[("cookie", maker)],
    ));
    assert_eq!(shown.status, StatusCode::FORBIDDEN);
    let page = site
        .send(request("GET", "/entries", "", &[("cookie", maker)]))
        .body;
    assert!(
        !page.contains("Correct entry 1") && page.contains("Undo entry 1"),
        "{page}"
    );
    assert_eq!(
        post(owner, "/entry", &format!("{correction}&id=cccccccc")).status,
        StatusCode::SEE_OTHER
    );
    let second = format!("{USE}&id=dddddddd");
    assert_eq!(post(maker, "/entry", &second).status, StatusCode::SEE_OTHER);
    assert_eq!(
        post(maker, "/undo", "entry=3&id=eeeeeeee").status,
        StatusCode::SEE_OTHER
    );
    for (cookie, sends) in [(maker, false), (owner, true)] {
        let office = site
            .send(request("GET", "/office", "", &[("cookie", cookie)]))
            .body;
        assert_eq!(office.contains("enctype"), sends, "{office}");
    }
}

/// The table of entries is filtered and sorted, page by page.
#[test]
fn entries_are_filtered_and_sorted() {
    let site = here();
    let mut log = "entry,when,what,container,amount,by\n".to_string();
    for number in 1..=120 {
        let (container, by) = if number % 2 == 0 {
            ("A-1", "Ann")
        } else {
            ("A-2", "Bo")
        };
        log.push_str(&format!("{number},{DAY}T10:00,open,{container},,{by}\n"));
    }
    std::fs::write(site.folder.path().join("log.csv"), log).unwrap();
    let first = site.get("/entries").body;
    assert!(
        first.contains("120 entries.") && first.contains("<p>120: ") && !first.contains("<p>70: "),
        "{first}"
    );
    assert!(site.get("/entries?from=50").body.contains("<p>70: "));
    let ann = site.get("/entries?q=ann+a-1").body;
    assert!(
        ann.contains("60 entries.") && !ann.contains("<p>119: "),
        "{ann}"
    );
    let oldest = site.get("/entries?sort=oldest").body;
    assert!(
        oldest.contains("<p>1: ") && !oldest.contains("<p>120: "),
        "{oldest}"
    );
    let by = site.get("/entries?sort=container").body;
    assert!(by.contains("<p>120: ") && !by.contains("<p>119: "), "{by}");
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

/// Answers wait on the computer, whoever gave them, and are saved as one round, once.
#[test]
fn a_round_is_walked_saved_and_taken_back_as_one() {
    let site = here();
    let checks = |site: &Site| {
        std::fs::read_to_string(site.folder.path().join("checks.csv")).unwrap_or_default()
    };
    let page = site.get("/round").body;
    assert!(page.contains("Walk the round"), "{page}");
    let answer = |id: &str, told: &str, by: &str| {
        format!("check=lids-closed&where=finishing&answer={told}&by={by}&id={id}&back=/round")
    };
    let kept = site.post("/round/answer", &answer("aaaaaaaa", "yes", "Ann"));
    assert_eq!(
        (kept.status, kept.header("location")),
        (StatusCode::SEE_OTHER, "/round")
    );
    let plain = site.send(request(
        "POST",
        "/round/answer",
        &answer("aaaaaaaa", "yes", "Ann"),
        &[("accept", "text/plain")],
    ));
    assert_eq!(plain.body, "written\naaaaaaaa\n/round\nKept in the round.");
    site.post("/round/answer", &answer("bbbbbbbb", "no", "Bo"));
    let count = "what=count&container=A-1&amount=half&id=cccccccc&by=Bo&back=/round";
    let kept = site.post("/round/answer", count);
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.body);
    let page = site.get("/round").body;
    assert!(page.contains("3 answers not saved yet"), "{page}");
    assert!(
        site.get("/")
            .body
            .contains("3 answers of a round are not saved")
    );
    assert_eq!((checks(&site), site.log()), (String::new(), String::new()));
    let wrong = site.post(
        "/round/answer",
        "what=count&container=A-1&amount=3+kg&id=dddddddd",
    );
    assert_eq!(
        wrong.status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "{}",
        wrong.body
    );
    let not_a_count = site.post("/round/answer", &format!("{USE}&id=eeeeeeee"));
    assert_eq!(not_a_count.status, StatusCode::UNPROCESSABLE_ENTITY);

    assert_eq!(site.post("/round/save", "").status, StatusCode::SEE_OTHER);
    let (saved, log) = (checks(&site), site.log());
    assert_eq!(saved.lines().count(), 3, "both answers stand: {saved}");
    for row in [
        "lids-closed,yes,finishing,Ann",
        "lids-closed,no,finishing,Bo",
    ] {
        assert!(saved.contains(row), "{saved}");
    }
    assert!(
        log.contains("count,A-1,0.5 qt") && log.contains("cccccccc"),
        "{log}"
    );
    site.post("/round/save", "");
    site.post("/round/answer", &answer("bbbbbbbb", "no", "Bo"));
    assert_eq!(
        (checks(&site), site.log()),
        (saved, log),
        "nothing is there twice"
    );
    let page = site.get("/round").body;
    assert!(page.contains("The round is saved: 3 answers."), "{page}");
    assert!(
        !page.contains("not saved yet"),
        "an answer that came again is saved already: {page}"
    );

    assert_eq!(site.post("/round/undo", "").status, StatusCode::SEE_OTHER);
    assert_eq!(checks(&site).lines().count(), 1, "{}", checks(&site));
    assert!(
        site.log().contains("void: the round was taken back"),
        "{}",
        site.log()
    );
    let page = site.get("/round").body;
    assert!(page.contains("3 answers not saved yet"), "{page}");
    site.late.store(24, Ordering::Relaxed);
    site.post("/round/save", "");
    assert_eq!(checks(&site).lines().count(), 3, "{}", checks(&site));
    assert!(site.get("/container/A-1").body.contains("16 fl oz"));
    site.late.store(35, Ordering::Relaxed);
    let late = site.post("/round/undo", "");
    assert_eq!(
        late.status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "eleven minutes later"
    );
}

/// All or none: where one answer of the round cannot be written any more, nothing of it is.
#[test]
fn a_round_is_saved_whole_or_not_at_all() {
    let site = here();
    site.post(
        "/round/answer",
        "check=lids-closed&where=finishing&answer=yes&by=Ann&id=aaaaaaaa",
    );
    site.post(
        "/round/answer",
        "what=count&container=A-1&amount=1+pt&id=bbbbbbbb",
    );
    let inventory = site.folder.path().join("inventory.csv");
    let text = std::fs::read_to_string(&inventory).unwrap();
    std::fs::write(&inventory, text.replace("A-1,denatured", "A-9,denatured")).unwrap();
    let refused = site.post("/round/save", "");
    assert_eq!(
        refused.status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "{}",
        refused.body
    );
    assert!(!site.folder.path().join("checks.csv").exists());
    assert_eq!(site.log(), "");
    let page = site.get("/round").body;
    assert!(
        page.contains("2 answers not saved yet"),
        "nothing is lost: {page}"
    );
    site.post("/round/out", "line=bbbbbbbb");
    assert_eq!(site.post("/round/save", "").status, StatusCode::SEE_OTHER);
    let checks = std::fs::read_to_string(site.folder.path().join("checks.csv")).unwrap();
    assert_eq!(checks.lines().count(), 2, "{checks}");
}

/// A form with a file, as a browser sends it.
fn with_file(fields: &[(&str, &str)], file: &[u8]) -> Request<Body> {
    let mut body = Vec::new();
    for (name, text) in fields {
        body.extend(
            format!("--edge\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{text}\r\n")
                .bytes(),
        );
    }
    body.extend(b"--edge\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"../../x.svg\"\r\nContent-Type: image/svg+xml\r\n\r\n");
    body.extend(file);
    body.extend(b"\r\n--edge--\r\n");
    let peer: SocketAddr = "127.0.0.1:9".parse().unwrap();
    let kind = "multipart/form-data; boundary=edge";
    let path = fields
        .first()
        .map_or("/round/answer", |(name, text)| match *name {
            "to" => *text,
            _ => "/round/answer",
        });
    Request::post(path)
        .header("host", HOST)
        .header("origin", "http://127.0.0.1:8137")
        .header("content-type", kind)
        .extension(ConnectInfo(peer))
        .body(Body::from(body))
        .unwrap()
}

#[test]
fn an_answer_may_have_a_photo() {
    let site = here();
    let photos = site.folder.path().join("photos");
    let fields = [
        ("check", "lids-closed"),
        ("where", "finishing"),
        ("answer", "no"),
        ("by", "Ann"),
        ("note", "<b>lid off</b>"),
        ("id", "aaaaaaaa"),
        ("back", "/round"),
    ];
    let jpeg = include_bytes!("../bench_page/photo.jpg");
    let kept = site.send(with_file(&fields, jpeg));
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.body);
    let names = || -> Vec<String> {
        let list = std::fs::read_dir(&photos).unwrap();
        list.map(|it| it.unwrap().file_name().into_string().unwrap())
            .collect()
    };
    assert_eq!(names(), ["aaaaaaaa.jpg"], "no name of the sender is used");
    let file = std::fs::read(photos.join("aaaaaaaa.jpg")).unwrap();
    assert!(!file.windows(8).any(|part| part == b"Pocket 9"));
    site.post("/round/save", "");
    let binder = site.get("/print/binder");
    assert_eq!(binder.status, StatusCode::OK, "{}", binder.body);
    assert!(
        binder.body.contains("src=\"/photo/aaaaaaaa.jpg\""),
        "{}",
        binder.body
    );
    assert!(
        binder
            .header("content-security-policy")
            .contains("img-src 'self'")
    );
    for (file, id) in [
        (&b"<svg onload=alert(1)>"[..], "bbbbbbbb"),
        (&jpeg[..200], "cccccccc"),
    ] {
        let mut fields = fields;
        fields[5].1 = id;
        let refused = site.send(with_file(&fields, file));
        assert_eq!(
            refused.status,
            StatusCode::UNPROCESSABLE_ENTITY,
            "{}",
            refused.body
        );
    }
    assert_eq!(names().len(), 1);
    // An empty file is none: the form was sent without choosing one.
    let mut fields = fields;
    fields[5].1 = "dddddddd";
    assert_eq!(
        site.send(with_file(&fields, b"")).status,
        StatusCode::SEE_OTHER
    );
    for odd in [
        "..%2f..%2fshop.toml",
        "..%2fshop.toml",
        "aaaaaaaa.html%00",
        "x",
    ] {
        let page = site.get(&format!("/photo/{odd}"));
        assert_eq!(page.status, StatusCode::NOT_FOUND, "{odd}: {}", page.body);
    }
}

/// A photo of 8 MB is taken, one byte more is not, and no other form takes so much.
#[test]
fn a_photo_has_a_limit() {
    let site = here();
    let jpeg = include_bytes!("../bench_page/photo.jpg");
    let fields = |id| {
        [
            ("check", "lids-closed"),
            ("where", "finishing"),
            ("answer", "no"),
            ("id", id),
        ]
    };
    // What stands behind the end of a picture goes, but counts on the way.
    let padded = |length: usize| {
        let mut file = jpeg.to_vec();
        file.resize(length, 0);
        file
    };
    let most = 8 << 20;
    assert_eq!(
        site.send(with_file(&fields("aaaaaaaa"), &padded(most)))
            .status,
        StatusCode::SEE_OTHER
    );
    let more = site.send(with_file(&fields("bbbbbbbb"), &padded(most + 1)));
    assert_eq!(more.status, StatusCode::UNPROCESSABLE_ENTITY);
    let much = site.send(with_file(&fields("cccccccc"), &padded(10 << 20)));
    assert_eq!(much.status, StatusCode::PAYLOAD_TOO_LARGE, "{}", much.body);
    let elsewhere = site.send(with_file(&[("to", "/entry")], &padded(100_000)));
    assert_eq!(elsewhere.status, StatusCode::PAYLOAD_TOO_LARGE);
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

/// A writer asks for the last reading while it holds the folder. A page that waits for the folder must not lock that reading.
#[test]
fn a_page_that_waits_for_the_folder_does_not_stop_the_writer_that_holds_it() {
    let site = here();
    let writer = opened(&site.bench, Access::Write).unwrap();
    let page = Arc::clone(&site.bench);
    let page = std::thread::spawn(move || page.now().is_ok());
    std::thread::sleep(Duration::from_millis(300));
    let (answer, told) = channel();
    let asks = Arc::clone(&site.bench);
    let asks = std::thread::spawn(move || answer.send(asks.standing().is_none()));
    // A page gives up after ten seconds, so that a writer that waits for it is answered in the end.
    let known = told.recv_timeout(Duration::from_secs(5));
    drop(writer);
    assert!(
        page.join().unwrap(),
        "the page is answered after the writer"
    );
    asks.join().unwrap().unwrap();
    assert_eq!(known, Ok(true), "the writer waited for the page");
}
