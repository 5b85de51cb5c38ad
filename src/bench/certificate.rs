//! The shop's own certificate: made once, kept beside the list of devices with a key that only its owner may read, and made
//! again before it ends or when the computer has another address.

use super::device::{home, secretly};
use super::secret::sha256;
use crate::quantity::{Day, Period};
use rcgen::{
    CertificateParams, DistinguishedName, DnType, ExtendedKeyUsagePurpose, KeyPair,
    KeyUsagePurpose, date_time_ymd,
};
use rustls::ServerConfig;
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, PrivateKeyDer};
use std::path::Path;
use std::sync::Arc;

/// Some phones take no certificate that is good for more than 825 days (Apple's limit for certificates that people install).
const DAYS: u32 = 800;
/// It is rebuilt so many days before its end.
const RENEWED: i64 = 30;

/// A certificate and what people need to know of it.
pub struct Certificate {
    /// For the server.
    pub config: Arc<ServerConfig>,
    /// Its SHA-256 in pairs of letters, as browsers show it.
    pub fingerprint: String,
    /// Itself, for phones on which it is to be installed.
    pub pem: String,
}

/// The certificate of a shop for these names and addresses.
pub fn certificate(shop: &Path, names: &[String], today: Day) -> Result<Certificate, String> {
    let folder = home(shop);
    let path = |name: &str| folder.join(name);
    let about = about(names, today);
    let read = |name: &str| std::fs::read_to_string(path(name)).ok();
    let kept = read("certificate.txt").filter(|kept| is_good(kept, names, today));
    let kept = kept.and_then(|_| Some((read("certificate.pem")?, read("key.pem")?)));
    if let Some((pem, key)) = kept
        && let Ok(known) = understood(&pem, &key)
    {
        return Ok(known);
    }
    let (pem, key) = made(names, today)?;
    let unwritten = |fault: std::io::Error| format!("the certificate cannot be written: {fault}");
    std::fs::create_dir_all(&folder).map_err(unwritten)?;
    secretly(&path("key.pem"), key.as_bytes()).map_err(unwritten)?;
    secretly(&path("certificate.pem"), pem.as_bytes()).map_err(unwritten)?;
    secretly(&path("certificate.txt"), about.as_bytes()).map_err(unwritten)?;
    understood(&pem, &key)
}

/// What is noted of a certificate: its last day, then its names.
fn about(names: &[String], today: Day) -> String {
    let until = today.plus(Period::Days(DAYS));
    format!("{until}\n{}\n", names.join("\n"))
}

/// Is a certificate with this note still good?
fn is_good(note: &str, names: &[String], today: Day) -> bool {
    let mut lines = note.lines();
    let until = lines.next().and_then(|day| Day::parse(day).ok());
    let has: Vec<&str> = lines.collect();
    until.is_some_and(|until| until.since(today) > RENEWED)
        && names.iter().all(|name| has.contains(&name.as_str()))
}

fn made(names: &[String], today: Day) -> Result<(String, String), String> {
    let failed = |fault: rcgen::Error| format!("the certificate cannot be made: {fault}");
    let mut wanted = CertificateParams::new(names.to_vec()).map_err(failed)?;
    let from = parts(today.back(1)).ok_or("the computer's clock shows no day")?;
    let until = parts(today.plus(Period::Days(DAYS))).ok_or("the computer's clock shows no day")?;
    wanted.not_before = date_time_ymd(from.0, from.1, from.2);
    wanted.not_after = date_time_ymd(until.0, until.1, until.2);
    let mut name = DistinguishedName::new();
    name.push(DnType::CommonName, "Sandarac bench page");
    wanted.distinguished_name = name;
    wanted.key_usages = vec![KeyUsagePurpose::DigitalSignature];
    wanted.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
    let key = KeyPair::generate().map_err(failed)?;
    let certificate = wanted.self_signed(&key).map_err(failed)?;
    Ok((certificate.pem(), key.serialize_pem()))
}

/// Year, month and day.
fn parts(day: Day) -> Option<(i32, u8, u8)> {
    let text = day.to_string();
    let mut parts = text.split('-');
    let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
    Some((year.parse().ok()?, month.parse().ok()?, day.parse().ok()?))
}

fn understood(pem: &str, key: &str) -> Result<Certificate, String> {
    let unread =
        |fault: rustls::pki_types::pem::Error| format!("the certificate cannot be read: {fault}");
    let der = CertificateDer::from_pem_slice(pem.as_bytes()).map_err(unread)?;
    let key = PrivateKeyDer::from_pem_slice(key.as_bytes()).map_err(unread)?;
    let hash = sha256(&der).to_ascii_uppercase();
    let pairs: Vec<String> = hash
        .as_bytes()
        .chunks(2)
        .map(|pair| String::from_utf8_lossy(pair).into_owned())
        .collect();
    let refused = |fault: rustls::Error| format!("the certificate cannot be used: {fault}");
    // Named here: a second one somewhere in the tree would make the choice by default fail.
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let config = ServerConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .map_err(refused)?
        .with_no_client_auth();
    let mut config = config.with_single_cert(vec![der], key).map_err(refused)?;
    config.alpn_protocols = vec![b"http/1.1".to_vec()];
    Ok(Certificate {
        config: Arc::new(config),
        fingerprint: pairs.join(":"),
        pem: pem.to_string(),
    })
}

#[cfg(test)]
mod tests {
    use super::{certificate, is_good};
    use crate::quantity::{Day, Period};

    #[test]
    fn it_is_kept_until_it_has_to_be_made_anew() {
        let folder = tempfile::tempdir().unwrap();
        let today = Day::parse("2026-10-31").unwrap();
        let names = ["192.168.1.20".to_string(), "localhost".to_string()];
        let first = certificate(folder.path(), &names, today).unwrap();
        assert_eq!(first.fingerprint.len(), 95);
        let again =
            |names: &[String], day| certificate(folder.path(), names, day).unwrap().fingerprint;
        assert_eq!(again(&names, today), first.fingerprint);
        let later = today.plus(Period::Days(780));
        assert_ne!(again(&names, later), first.fingerprint, "it ends soon");
        let moved = ["192.168.1.21".to_string()];
        let second = again(&names, today);
        assert_ne!(again(&moved, today), second, "the computer moved");
        assert!(!is_good("", &names, today));
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let key = folder.path().join(".sandarac/bench/key.pem");
            assert_eq!(
                std::fs::metadata(key).unwrap().permissions().mode() & 0o777,
                0o600
            );
        }
    }
}
