//! Paired devices over an encrypted connection.

use super::server::{Answer, Server, answer, run, shop};
use rustls::client::danger::{HandshakeSignatureValid, ServerCertVerified, ServerCertVerifier};
use rustls::pki_types::{CertificateDer, ServerName, UnixTime};
use rustls::{
    ClientConfig, ClientConnection, DigitallySignedStruct, Error, SignatureScheme, StreamOwned,
};
use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::{Arc, Mutex};

/// Accepts one certificate, as a person does who compared its fingerprint.
#[derive(Debug, Default)]
struct Compared(Mutex<Vec<u8>>);

impl ServerCertVerifier for Compared {
    fn verify_server_cert(
        &self,
        end: &CertificateDer<'_>,
        _: &[CertificateDer<'_>],
        _: &ServerName<'_>,
        _: &[u8],
        _: UnixTime,
    ) -> Result<ServerCertVerified, Error> {
        *self.0.lock().unwrap() = end.to_vec();
        Ok(ServerCertVerified::assertion())
    }

    fn verify_tls12_signature(
        &self,
        _: &[u8],
        _: &CertificateDer<'_>,
        _: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        Ok(HandshakeSignatureValid::assertion())
    }

    fn verify_tls13_signature(
        &self,
        _: &[u8],
        _: &CertificateDer<'_>,
        _: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        Ok(HandshakeSignatureValid::assertion())
    }

    fn supported_verify_schemes(&self) -> Vec<SignatureScheme> {
        vec![
            SignatureScheme::ECDSA_NISTP256_SHA256,
            SignatureScheme::ED25519,
        ]
    }
}

/// One request over TLS; the certificate that the server showed.
fn ask(server: &Server, to: &str, head: &str, body: &str) -> (Answer, Vec<u8>) {
    let seen = Arc::new(Compared::default());
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let same = Arc::clone(&seen);
    let verifier: Arc<dyn ServerCertVerifier> = same;
    let config = ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .unwrap()
        .dangerous()
        .with_custom_certificate_verifier(verifier)
        .with_no_client_auth();
    let name = ServerName::try_from(to.to_string()).unwrap();
    let connection = ClientConnection::new(Arc::new(config), name).unwrap();
    let stream = TcpStream::connect((to, server.port)).unwrap();
    let mut stream = StreamOwned::new(connection, stream);
    stream
        .write_all(format!("{head}Connection: close\r\n\r\n{body}").as_bytes())
        .unwrap();
    let mut bytes = Vec::new();
    let _ = stream.read_to_end(&mut bytes);
    let certificate = seen.0.lock().unwrap().clone();
    (answer(&bytes), certificate)
}

fn get(server: &Server, path: &str, cookie: &str) -> Answer {
    let head = format!(
        "GET {path} HTTP/1.1\r\nHost: 127.0.0.2:{}\r\nCookie: {cookie}\r\n",
        server.port
    );
    ask(server, "127.0.0.2", &head, "").0
}

fn post(server: &Server, path: &str, cookie: &str, form: &str) -> Answer {
    let head = format!(
        "POST {path} HTTP/1.1\r\nHost: 127.0.0.2:{0}\r\nOrigin: https://127.0.0.2:{0}\r\nCookie: {cookie}\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {1}\r\n",
        server.port,
        form.len()
    );
    ask(server, "127.0.0.2", &head, form).0
}

#[test]
fn a_phone_is_paired_logs_and_is_removed() {
    let shop = shop();
    let server = Server::start(&shop, &["--lan", "--address", "127.0.0.1"]);
    assert!(
        server.address.starts_with("https://127.0.0.1:"),
        "{}",
        server.address
    );
    let print = server
        .said
        .iter()
        .find_map(|line| line.strip_prefix("Fingerprint (SHA-256): "))
        .unwrap();
    let (alive, certificate) = ask(
        &server,
        "127.0.0.2",
        &format!("GET /alive HTTP/1.1\r\nHost: 127.0.0.2:{}\r\n", server.port),
        "",
    );
    assert_eq!(alive.status, 200);
    let hash = ring::digest::digest(&ring::digest::SHA256, &certificate);
    let shown: Vec<String> = hash
        .as_ref()
        .iter()
        .map(|byte| format!("{byte:02X}"))
        .collect();
    assert_eq!(
        print,
        shown.join(":"),
        "the fingerprint is that of the certificate"
    );
    let pem = get(&server, "/certificate.pem", "").body;
    assert!(
        pem.starts_with("-----BEGIN CERTIFICATE-----") && !pem.contains("PRIVATE"),
        "{pem}"
    );

    assert_eq!(get(&server, "/", "").status, 401);
    let paired = post(
        &server,
        "/pair",
        "",
        &format!("code={}&name=phone&person=Bo", server.code()),
    );
    assert_eq!(paired.status, 303, "{}", paired.body);
    let cookie = paired
        .head
        .lines()
        .find_map(|line| line.strip_prefix("set-cookie: "))
        .unwrap();
    assert!(
        cookie.starts_with("__Host-") && cookie.contains("Secure") && cookie.contains("HttpOnly"),
        "{cookie}"
    );
    let cookie = cookie.split(';').next().unwrap();
    let home = get(&server, "/", cookie);
    assert!(
        home.status == 200 && !home.body.contains("not encrypted"),
        "{}",
        home.body
    );
    let logged = post(
        &server,
        "/entry",
        cookie,
        "what=use&container=A-1&amount=1+fl+oz&id=aaaaaaaa",
    );
    assert_eq!(logged.status, 303, "{}", logged.body);
    assert!(super::server::rows(&shop).last().unwrap().contains(",Bo,"));

    let list = run(&shop, &["bench", "shop", "--devices"]);
    assert!(list.starts_with("1. phone, owner, Bo, paired "), "{list}");
    run(&shop, &["bench", "shop", "--remove", "1"]);
    assert_eq!(
        get(&server, "/", cookie).status,
        401,
        "removed while the server runs"
    );
    assert_eq!(
        run(&shop, &["bench", "shop", "--devices"]),
        "No device is paired.\n"
    );
}

#[test]
fn a_guest_looks_and_logs_nothing() {
    let shop = shop();
    let server = Server::start(
        &shop,
        &["--lan", "--address", "127.0.0.1", "--role", "guest"],
    );
    let before = super::server::rows(&shop);
    let paired = post(
        &server,
        "/pair",
        "",
        &format!("code={}&name=inspector&person=", server.code()),
    );
    let cookie = paired
        .head
        .lines()
        .find_map(|line| line.strip_prefix("set-cookie: "))
        .unwrap();
    let cookie = cookie.split(';').next().unwrap();
    assert_eq!(get(&server, "/print/audit", cookie).status, 200);
    assert_eq!(get(&server, "/work", cookie).status, 403);
    let refused = post(
        &server,
        "/entry",
        cookie,
        "what=use&container=A-1&amount=1+fl+oz&id=aaaaaaaa",
    );
    assert_eq!(refused.status, 403);
    assert!(
        !get(&server, "/container/A-1", cookie)
            .body
            .contains("/entry"),
        "no button that would be refused"
    );
    assert_eq!(super::server::rows(&shop), before);
}

/// The certificate is kept, so that a phone warns only once.
#[test]
fn the_fingerprint_stays_the_same() {
    let shop = shop();
    let print = || {
        let server = Server::start(&shop, &["--lan", "--address", "127.0.0.1"]);
        let print = server
            .said
            .iter()
            .find(|line| line.starts_with("Fingerprint"));
        print.unwrap().clone()
    };
    assert_eq!(print(), print());
}

/// The port that speaks TLS sends a plain request for a page on, and shows nothing else.
#[test]
fn a_plain_request_is_sent_to_the_encrypted_address() {
    let shop = shop();
    let server = Server::start(&shop, &["--lan", "--address", "127.0.0.1"]);
    for (to, host) in [("127.0.0.1", "127.0.0.1"), ("127.0.0.2", "127.0.0.2")] {
        let host = format!("{host}:{}", server.port);
        let head = format!("GET /pair?c=ABCD HTTP/1.1\r\nHost: {host}\r\n");
        let answer = server.ask(to, &head, "");
        assert_eq!(answer.status, 307, "{answer:?}");
        assert!(
            answer
                .head
                .contains(&format!("Location: https://{host}/pair?c=ABCD")),
            "{}",
            answer.head
        );
    }
    let foreign = server.ask("127.0.0.1", "GET / HTTP/1.1\r\nHost: evil.example\r\n", "");
    assert_eq!(foreign.status, 400, "{foreign:?}");
    assert!(!foreign.head.contains("Location"), "{}", foreign.head);
    let form = server.log_use("aaaaaaaa", "1 fl oz");
    assert_eq!(form.status, 400, "{form:?}");
    assert_eq!(get(&server, "/alive", "").status, 200, "TLS goes on");
}

/// Whoever sits at the terminal sees each device that is paired, and that somebody guesses.
#[test]
fn the_terminal_says_who_was_paired() {
    let shop = shop();
    let mut server = Server::start(&shop, &["--lan", "--address", "127.0.0.1"]);
    post(
        &server,
        "/pair",
        "",
        &format!("code={}&name=%1b[31mphone&person=Bo", server.code()),
    );
    let line = server.next_line();
    assert!(
        line.starts_with("Paired: \u{fffd}[31mphone, used by Bo, as owner."),
        "{line}"
    );
    drop(server);
    let mut server = Server::start(&shop, &["--lan", "--address", "127.0.0.1"]);
    for _ in 0..10_000 / 2_000 {
        assert_eq!(
            post(&server, "/pair", "", "code=WRONGONE&name=x&person=").status,
            403
        );
    }
    assert_eq!(
        server.next_line(),
        "Five wrong pairing codes were typed. The code has ended."
    );
}

/// A device that installed the authority of the shop trusts the server for its addresses, as a browser checks it, and for no others.
#[test]
fn an_installed_authority_is_trusted_without_a_warning() {
    use rustls::pki_types::pem::PemObject;
    let shop = shop();
    let server = Server::start(&shop, &["--lan", "--address", "127.0.0.1"]);
    let pem = get(&server, "/certificate.pem", "").body;
    let mut roots = rustls::RootCertStore::empty();
    roots
        .add(CertificateDer::from_pem_slice(pem.as_bytes()).unwrap())
        .unwrap();
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let config = ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .unwrap()
        .with_root_certificates(roots)
        .with_no_client_auth();
    let config = Arc::new(config);
    let ask = |to: &str| {
        let name = ServerName::try_from(to.to_string()).unwrap();
        let connection = ClientConnection::new(Arc::clone(&config), name).unwrap();
        let stream = TcpStream::connect(("127.0.0.1", server.port)).unwrap();
        let mut stream = StreamOwned::new(connection, stream);
        let head = format!(
            "GET /alive HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n\r\n",
            server.port
        );
        stream.write_all(head.as_bytes())?;
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        Ok::<u16, std::io::Error>(answer(&bytes).status)
    };
    assert_eq!(ask("127.0.0.1").unwrap(), 200);
    assert_eq!(ask("localhost").unwrap(), 200);
    assert!(ask("bank.example").is_err());
    assert!(ask("192.168.1.20").is_err());
}
