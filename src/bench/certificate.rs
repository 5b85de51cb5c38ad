//! The shop's own certificates, kept beside the list of devices with keys that only their owner may read. An authority of the shop
//! signs the certificate of the server. A phone that installs the authority trusts the server without a warning, also after the
//! computer got another address. The authority can vouch for addresses of private networks and local names alone, so that it is of
//! no use against any other site.

use super::device::{home, secretly};
use super::secret::sha256;
use crate::quantity::{Day, Period};
use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DistinguishedName, DnType,
    ExtendedKeyUsagePurpose, GeneralSubtree, IsCa, Issuer, KeyPair, KeyUsagePurpose,
    NameConstraints, date_time_ymd,
};
use rustls::ServerConfig;
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, PrivateKeyDer};
use std::net::IpAddr;
use std::path::Path;
use std::sync::Arc;

/// Some phones take no certificate that is good for more than 825 days (Apple's limit for certificates that people install).
const DAYS: u32 = 800;
/// The authority is good for about ten years, so that a phone installs it once.
const AUTHORITY_DAYS: u32 = 3650;
/// Either is made anew so many days before its end.
const RENEWED: i64 = 30;
/// Addresses that the authority may vouch for, with their masks: this computer (RFC 1122), private networks (RFC 1918) and those
/// without a router (RFC 3927).
const PRIVATE: [([u8; 4], [u8; 4]); 5] = [
    ([127, 0, 0, 0], [255, 0, 0, 0]),
    ([10, 0, 0, 0], [255, 0, 0, 0]),
    ([172, 16, 0, 0], [255, 240, 0, 0]),
    ([192, 168, 0, 0], [255, 255, 0, 0]),
    ([169, 254, 0, 0], [255, 255, 0, 0]),
];

/// A certificate and what people need to know of it.
pub struct Certificate {
    /// For the server.
    pub config: Arc<ServerConfig>,
    /// Its SHA-256 in pairs of letters, as browsers show it.
    pub fingerprint: String,
    /// The authority of the shop, for phones on which it is to be installed.
    pub authority: String,
}

/// A certificate or an authority with its key, as text.
struct SignedKey {
    pem: String,
    key: String,
}

/// The certificate of a shop for these names and addresses.
pub fn certificate(shop: &Path, names: &[String], today: Day) -> Result<Certificate, String> {
    let is_name = |name: &&String| name.parse::<IpAddr>().is_err();
    let local: Vec<String> = names.iter().filter(is_name).cloned().collect();
    let (authority, is_new) =
        kept_or_made(shop, "authority", (&local, AUTHORITY_DAYS), today, || {
            authority(&local, today)
        })?;
    let made = || signed(names, today, &authority.key);
    let anew = || kept(shop, "certificate", (names, DAYS), today, made()?);
    let own = match is_new {
        // What an earlier authority signed is of no use any more.
        true => anew()?,
        false => kept_or_made(shop, "certificate", (names, DAYS), today, made)?.0,
    };
    // Files of two different pairs do not fit each other.
    understood(&own, &authority).or_else(|_| understood(&anew()?, &authority))
}

/// What is kept under a name while it is good, else what is made now.
fn kept_or_made(
    shop: &Path,
    name: &str,
    wanted: (&[String], u32),
    today: Day,
    made: impl FnOnce() -> Result<SignedKey, String>,
) -> Result<(SignedKey, bool), String> {
    let folder = home(shop);
    let read = |ending: &str| std::fs::read_to_string(folder.join(format!("{name}.{ending}"))).ok();
    let note = read("txt").filter(|note| is_good(note, wanted.0, today));
    let there = note.and_then(|_| {
        let (pem, key) = (read("pem")?, read("key")?);
        let is_whole = KeyPair::from_pem(&key).is_ok()
            && CertificateDer::from_pem_slice(pem.as_bytes()).is_ok();
        is_whole.then_some(SignedKey { pem, key })
    });
    match there {
        Some(there) => Ok((there, false)),
        None => Ok((kept(shop, name, wanted, today, made()?)?, true)),
    }
}

/// Writes it, the note of what it is last.
fn kept(
    shop: &Path,
    name: &str,
    (names, days): (&[String], u32),
    today: Day,
    new: SignedKey,
) -> Result<SignedKey, String> {
    let folder = home(shop);
    let unwritten = |fault: std::io::Error| format!("the certificate cannot be written: {fault}");
    std::fs::create_dir_all(&folder).map_err(unwritten)?;
    let note = format!("{}\n{}\n", today.plus(Period::Days(days)), names.join("\n"));
    for (ending, text) in [("key", &new.key), ("pem", &new.pem), ("txt", &note)] {
        let path = folder.join(format!("{name}.{ending}"));
        secretly(&path, text.as_bytes()).map_err(unwritten)?;
    }
    Ok(new)
}

/// Is a certificate with this note still good? It says the last day, then the names.
fn is_good(note: &str, names: &[String], today: Day) -> bool {
    let mut lines = note.lines();
    let until = lines.next().and_then(|day| Day::parse(day).ok());
    let has: Vec<&str> = lines.collect();
    until.is_some_and(|until| until.since(today) > RENEWED)
        && names.iter().all(|name| has.contains(&name.as_str()))
}

fn failed(fault: rcgen::Error) -> String {
    format!("the certificate cannot be made: {fault}")
}

/// What a certificate says that is good from yesterday on.
fn wanted(
    names: &[String],
    called: &str,
    today: Day,
    days: u32,
) -> Result<CertificateParams, String> {
    let mut wanted = CertificateParams::new(names.to_vec()).map_err(failed)?;
    let clock = "the computer's clock shows no day";
    let from = parts(today.back(1)).ok_or(clock)?;
    let until = parts(today.plus(Period::Days(days))).ok_or(clock)?;
    wanted.not_before = date_time_ymd(from.0, from.1, from.2);
    wanted.not_after = date_time_ymd(until.0, until.1, until.2);
    let mut name = DistinguishedName::new();
    name.push(DnType::CommonName, called);
    wanted.distinguished_name = name;
    Ok(wanted)
}

/// What the authority says, but for its days and what it may vouch for.
fn authority_params(today: Day) -> Result<CertificateParams, String> {
    let mut params = wanted(
        &[],
        "Sandarac: this shop's own authority",
        today,
        AUTHORITY_DAYS,
    )?;
    params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    params.key_usages = vec![KeyUsagePurpose::KeyCertSign, KeyUsagePurpose::CrlSign];
    Ok(params)
}

fn authority(local: &[String], today: Day) -> Result<SignedKey, String> {
    let mut params = authority_params(today)?;
    let networks =
        PRIVATE.map(|(from, mask)| GeneralSubtree::IpAddress(CidrSubnet::V4(from, mask)));
    let names = ["localhost", "local"]
        .into_iter()
        .chain(local.iter().map(String::as_str));
    let names = names.map(|name| GeneralSubtree::DnsName(name.to_string()));
    params.name_constraints = Some(NameConstraints {
        permitted_subtrees: networks.into_iter().chain(names).collect(),
        excluded_subtrees: Vec::new(),
    });
    let key = KeyPair::generate().map_err(failed)?;
    Ok(SignedKey {
        pem: params.self_signed(&key).map_err(failed)?.pem(),
        key: key.serialize_pem(),
    })
}

/// A certificate of the server, signed by the authority.
fn signed(names: &[String], today: Day, authority: &str) -> Result<SignedKey, String> {
    let signer = KeyPair::from_pem(authority).map_err(failed)?;
    let issuer = Issuer::new(authority_params(today)?, signer);
    let mut params = wanted(names, "Sandarac bench page", today, DAYS)?;
    params.is_ca = IsCa::ExplicitNoCa;
    params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
    params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
    params.use_authority_key_identifier_extension = true;
    let key = KeyPair::generate().map_err(failed)?;
    Ok(SignedKey {
        pem: params.signed_by(&key, &issuer).map_err(failed)?.pem(),
        key: key.serialize_pem(),
    })
}

/// Year, month and day.
fn parts(day: Day) -> Option<(i32, u8, u8)> {
    let text = day.to_string();
    let mut parts = text.split('-');
    let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
    Some((year.parse().ok()?, month.parse().ok()?, day.parse().ok()?))
}

fn understood(own: &SignedKey, authority: &SignedKey) -> Result<Certificate, String> {
    let unread =
        |fault: rustls::pki_types::pem::Error| format!("the certificate cannot be read: {fault}");
    let der = |pem: &str| CertificateDer::from_pem_slice(pem.as_bytes()).map_err(unread);
    let chain = vec![der(&own.pem)?, der(&authority.pem)?];
    let key = PrivateKeyDer::from_pem_slice(own.key.as_bytes()).map_err(unread)?;
    let hash = chain.first().map_or_else(String::new, |own| sha256(own));
    let hash = hash.to_ascii_uppercase();
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
    let mut config = config.with_single_cert(chain, key).map_err(refused)?;
    config.alpn_protocols = vec![b"http/1.1".to_vec()];
    Ok(Certificate {
        config: Arc::new(config),
        fingerprint: pairs.join(":"),
        authority: authority.pem.clone(),
    })
}

#[cfg(test)]
mod tests {
    use super::{certificate, is_good};
    use crate::quantity::{Day, Period};
    use std::process::Command;

    #[test]
    fn it_is_kept_until_it_has_to_be_made_anew() {
        let folder = tempfile::tempdir().unwrap();
        let today = Day::parse("2026-10-31").unwrap();
        let names = ["192.168.1.20".to_string(), "localhost".to_string()];
        let first = certificate(folder.path(), &names, today).unwrap();
        assert_eq!(first.fingerprint.len(), 95);
        let again = |names: &[String], day| certificate(folder.path(), names, day).unwrap();
        assert_eq!(again(&names, today).fingerprint, first.fingerprint);
        let later = again(&names, today.plus(Period::Days(780)));
        assert_ne!(later.fingerprint, first.fingerprint, "it ends soon");
        assert_eq!(
            later.authority, first.authority,
            "what a phone installed stays good"
        );
        let moved = ["192.168.1.21".to_string(), "localhost".to_string()];
        let moved = again(&moved, today);
        assert_ne!(moved.fingerprint, later.fingerprint, "the computer moved");
        assert_eq!(moved.authority, first.authority);
        assert!(!is_good("", &names, today));
        std::fs::write(
            folder.path().join(".sandarac/bench/certificate.pem"),
            "damaged",
        )
        .unwrap();
        assert_ne!(again(&names, today).fingerprint, moved.fingerprint);
        #[cfg(unix)]
        for key in ["certificate.key", "authority.key"] {
            use std::os::unix::fs::PermissionsExt;
            let key = folder.path().join(".sandarac/bench").join(key);
            let mode = std::fs::metadata(key).unwrap().permissions().mode();
            assert_eq!(mode & 0o777, 0o600);
        }
    }

    /// As another program sees it: the authority is one, vouches for the server, and for private names alone.
    #[test]
    fn another_program_finds_the_authority_and_its_signature_good() {
        let openssl = |args: &[&str]| {
            let output = Command::new("openssl").args(args).output().ok()?;
            let said = [output.stdout, output.stderr].concat();
            Some(String::from_utf8_lossy(&said).into_owned())
        };
        if openssl(&["version"]).is_none() {
            return;
        }
        let folder = tempfile::tempdir().unwrap();
        let today = crate::quantity::Moment::ago(0).day();
        let names = ["192.168.1.20".to_string(), "localhost".to_string()];
        let made = certificate(folder.path(), &names, today).unwrap();
        let path = |name: &str| {
            folder
                .path()
                .join(".sandarac/bench")
                .join(name)
                .display()
                .to_string()
        };
        let (root, own) = (path("authority.pem"), path("certificate.pem"));
        let said = openssl(&[
            "verify",
            "-x509_strict",
            "-CAfile",
            &root,
            "-verify_ip",
            "192.168.1.20",
            &own,
        ])
        .unwrap();
        assert!(said.trim().ends_with(": OK"), "{said}");
        let said = openssl(&[
            "verify",
            "-CAfile",
            &root,
            "-verify_ip",
            "192.168.1.21",
            &own,
        ])
        .unwrap();
        assert!(!said.contains(": OK"), "{said}");
        let said = openssl(&["x509", "-in", &root, "-noout", "-text"]).unwrap();
        for part in [
            "CA:TRUE, pathlen:0",
            "IP:192.168.0.0/255.255.0.0",
            "DNS:local",
        ] {
            assert!(said.contains(part), "{part}: {said}");
        }
        assert!(made.authority.starts_with("-----BEGIN CERTIFICATE-----"));
    }
}
