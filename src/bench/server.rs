//! The listener and its end: one thread that serves, limits of time on every connection, a stop that finishes what is written.

use super::address::{own_address, own_names};
use super::certificate::{Certificate, certificate};
use super::front::Front;
use super::hosts::HostRule;
use super::pairing::{Pairing, Say};
use super::role::Role;
use super::routes::app;
use super::state::{Bench, BenchClock, DeviceAccess};
use crate::audit::{NotAudited, Shop};
use crate::quantity::Moment;
use crate::report::code_for_terminal;
use axum_server::Handle;
use axum_server::tls_rustls::{RustlsAcceptor, RustlsConfig};
use std::io::Error;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

/// A connection that sends no whole header within this is closed.
const HEADER: Duration = Duration::from_secs(10);
/// Requests under way may take so long after the stop.
const LAST_WORDS: Duration = Duration::from_secs(10);
/// Pages are made on so many threads at once.
const THREADS: usize = 64;

/// How the page is to be served.
pub struct BenchOptions {
    pub folder: PathBuf,
    /// The port; 0 takes a free one.
    pub port: u16,
    /// For the network, and not only this computer.
    pub lan: bool,
    /// Without encryption.
    pub plain: bool,
    /// The address that phones are reported, where the one found is not it.
    pub address: Option<IpAddr>,
    /// Who sits at this computer.
    pub by: String,
    /// What the first code pairs; the first device of a shop is its owner's.
    pub role: Option<Role>,
}

/// Why the page is not served.
#[derive(Debug)]
pub enum NotServed {
    /// The shop cannot be read.
    Shop(NotAudited),
    /// The port is taken, or may not be used.
    Port(u16, Error),
    /// There is no certificate.
    Certificate(String),
    /// The computer has no address on a network.
    NoNetwork,
    /// The list of devices cannot be used.
    Devices(String),
    System(Error),
}

/// Serves until Ctrl-C or SIGTERM; what a person at the terminal should read goes through `say`.
pub fn serve(options: &BenchOptions, say: Say) -> Result<(), NotServed> {
    // Whatever is wrong with the shop is said here, and not on the first phone.
    let shop = Shop::open(&options.folder, &[]).map_err(NotServed::Shop)?;
    shop.stock(Moment::ago(0).day()).map_err(NotServed::Shop)?;
    drop(shop);
    let own = match (options.lan, options.address) {
        (false, _) => IpAddr::V4(Ipv4Addr::LOCALHOST),
        (true, Some(address)) => address,
        (true, None) => own_address().ok_or(NotServed::NoNetwork)?,
    };
    let on = match options.lan {
        true => IpAddr::V4(Ipv4Addr::UNSPECIFIED),
        false => own,
    };
    let taken = |fault| NotServed::Port(options.port, fault);
    let listener = TcpListener::bind((on, options.port)).map_err(taken)?;
    let port = listener.local_addr().map_err(taken)?.port();
    let encrypted = options.lan && !options.plain;
    let names = if options.lan { own_names() } else { Vec::new() };
    let certificate = match encrypted {
        false => None,
        true => {
            let mut wanted = vec![own.to_string(), "127.0.0.1".into(), "localhost".into()];
            wanted.extend(names.iter().cloned());
            let today = Moment::ago(0).day();
            Some(certificate(&options.folder, &wanted, today).map_err(NotServed::Certificate)?)
        }
    };
    let scheme = if encrypted { "https" } else { "http" };
    let address = format!("{scheme}://{}/", SocketAddr::new(own, port));
    let access = match options.lan {
        false => DeviceAccess::Here(options.by.clone()),
        true => DeviceAccess::Paired(Pairing::new(&options.folder, encrypted).telling(say)),
    };
    let bench = Arc::new(Bench::new(
        options.folder.clone(),
        BenchClock::new(Moment::ago),
        access,
        HostRule::new(port, names, encrypted),
        address.clone(),
    ));
    if let Some(pairing) = bench.pairing() {
        greet(pairing, options, certificate.as_ref(), &address)?;
    }
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .max_blocking_threads(THREADS)
        .build()
        .map_err(NotServed::System)?;
    // When the runtime goes, it waits for what is being written.
    runtime.block_on(run(listener, bench, certificate, || say(&address)))
}

/// What a phone needs, for the person at the terminal.
fn greet(
    pairing: &Pairing,
    options: &BenchOptions,
    certificate: Option<&Certificate>,
    address: &str,
) -> Result<(), NotServed> {
    let say = |text: &str| pairing.tell(text);
    let devices = pairing.devices();
    let devices = devices.map_err(|problem| NotServed::Devices(problem.wrong))?;
    let role = options.role.unwrap_or(match devices.is_empty() {
        true => Role::Owner,
        false => Role::Maker,
    });
    match certificate {
        Some(certificate) => {
            say(
                "The connection is encrypted with the shop's own certificate. The browser of each device warns once, with words such as \"not private\". Open the details of the warning, and compare the fingerprint with this one. If they are the same, go on.",
            );
            say(&format!(
                "Fingerprint (SHA-256): {}",
                certificate.fingerprint
            ));
        }
        None => say(
            "The connection is not encrypted. Others on the same network can read what is sent, the pairing code too.",
        ),
    }
    let Some(code) = pairing.new_code(role) else {
        return Err(NotServed::Devices(
            "This computer gives no random numbers".into(),
        ));
    };
    let link = format!("{address}pair?c={code}");
    if let Some(picture) = code_for_terminal(&link) {
        say(&picture);
    }
    say(&format!(
        "To pair a phone as {}, scan the code above, or open {address}pair and type {code}. The code is valid for ten minutes.",
        role.word()
    ));
    Ok(())
}

async fn run(
    listener: TcpListener,
    bench: Arc<Bench>,
    certificate: Option<Certificate>,
    ready: impl FnOnce(),
) -> Result<(), NotServed> {
    let authority = certificate.as_ref().map(|it| it.authority.clone());
    let hosts = Arc::clone(bench.hosts());
    let service = app(bench, authority).into_make_service_with_connect_info::<SocketAddr>();
    let handle = Handle::new();
    let mut server = axum_server::from_tcp(listener)
        .map_err(NotServed::System)?
        .http1_only()
        .first_request_timeout(HEADER)
        .handle(handle.clone());
    server
        .http_builder()
        .http1()
        .header_read_timeout(HEADER)
        .max_headers(64);
    tokio::spawn(async move {
        stopped().await;
        handle.graceful_shutdown(Some(LAST_WORDS));
    });
    ready();
    let served = match certificate {
        Some(certificate) => {
            let config = RustlsConfig::from_config(certificate.config);
            let acceptor = Front::new(RustlsAcceptor::new(config), hosts, HEADER);
            server.acceptor(acceptor).serve(service).await
        }
        None => server.serve(service).await,
    };
    served.map_err(NotServed::System)
}

/// Waits for Ctrl-C or SIGTERM. A system that cannot tell of them is served until it ends the program.
async fn stopped() {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut ended) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = tokio::signal::ctrl_c() => {}
                _ = ended.recv() => {}
            }
            return;
        }
    }
    let _ = tokio::signal::ctrl_c().await;
}
