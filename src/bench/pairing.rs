//! Pairing: a code that is spent once, within ten minutes, and dies of five wrong tries; and the cookie of a paired device.

use super::device::{Device, DeviceFile, plain_name};
use super::hold::held;
use super::problem::BenchProblem;
use super::role::{Caller, Role};
use super::secret::{letters, same, sha256};
use crate::quantity::{Moment, Period};
use crate::text::clean;
use axum::http::header::COOKIE;
use axum::http::{HeaderMap, StatusCode};
use std::path::Path;
use std::sync::Mutex;
use std::time::{Duration, Instant};

/// A code is good for so long.
const GOOD_FOR: Duration = Duration::from_secs(600);
/// So many wrong tries in all end it.
const TRIES: u32 = 5;
/// How long a browser keeps the cookie, seconds: a year.
const KEPT: u32 = 366 * 86_400;

/// What reads a line to the person at the terminal.
pub type Say = fn(&str);

/// The pairing of devices with one shop.
pub struct Pairing {
    file: DeviceFile,
    cookie: String,
    encrypted: bool,
    code: Mutex<Option<PairCode>>,
    /// The list of devices is read and written by one at a time.
    listing: Mutex<()>,
    say: Say,
}

/// A code that is not spent yet.
struct PairCode {
    letters: String,
    role: Role,
    made: Instant,
    wrong: u32,
}

/// What a device says of itself.
pub struct Wish<'a> {
    pub code: &'a str,
    pub name: &'a str,
    pub person: &'a str,
}

impl Pairing {
    /// Of a shop folder. The cookie bears the shop's own name, since browsers keep cookies without regard to ports.
    pub fn new(shop: &Path, encrypted: bool) -> Pairing {
        let real = std::fs::canonicalize(shop).unwrap_or_else(|_| shop.to_path_buf());
        let hash = sha256(real.as_os_str().as_encoded_bytes());
        let own = hash.get(..8).unwrap_or_default();
        let lead = if encrypted { "__Host-" } else { "" };
        Pairing {
            file: DeviceFile::in_folder(shop),
            cookie: format!("{lead}sandarac-{own}"),
            encrypted,
            code: Mutex::new(None),
            listing: Mutex::new(()),
            say: |_| {},
        }
    }

    /// The same, which tells the person at the terminal who was paired.
    pub fn telling(self, say: Say) -> Pairing {
        Pairing { say, ..self }
    }

    /// Tells the person at the terminal something.
    pub fn tell(&self, text: &str) {
        (self.say)(text);
    }

    pub fn devices(&self) -> Result<Vec<Device>, BenchProblem> {
        self.file.read().map_err(unread)
    }

    /// Removes a device by its number, if the list still has it there.
    pub fn remove(&self, number: usize, hash: &str) -> Result<Device, BenchProblem> {
        let _one = held(&self.listing);
        let list = self.file.read().map_err(unread)?;
        let at = number.checked_sub(1).and_then(|at| list.get(at));
        if at.is_none_or(|device| device.hash != hash) {
            return Err(BenchProblem::missing("This device was removed."));
        }
        let removed = self.file.remove(number).map_err(unread)?;
        removed.ok_or_else(|| BenchProblem::missing("This device was removed."))
    }

    /// A new code for a device of this role; it ends the one before.
    pub fn new_code(&self, role: Role) -> Option<String> {
        let text = letters(8)?;
        *held(&self.code) = Some(PairCode {
            letters: text.clone(),
            role,
            made: Instant::now(),
            wrong: 0,
        });
        Some(shown(&text))
    }

    /// Spends the code: gives the cookie of the new device, and the device.
    pub fn pair(&self, wish: &Wish<'_>, now: Moment) -> Result<(String, Device), BenchProblem> {
        let role = self.spend(wish.code)?;
        let token = letters(52)
            .ok_or_else(|| BenchProblem::fault("This computer gives no random numbers."))?;
        let guest = role == Role::Guest;
        let name = plain_name(wish.name);
        let device = Device {
            hash: sha256(token.as_bytes()),
            role,
            paired: now,
            until: guest.then(|| Moment::start_of(now.day().plus(Period::Days(1)))),
            name: if name.is_empty() {
                "a device".into()
            } else {
                name
            },
            person: plain_name(wish.person),
        };
        let _one = held(&self.listing);
        self.file.add(device.clone()).map_err(unread)?;
        self.tell(&paired(&device));
        let secure = if self.encrypted { "; Secure" } else { "" };
        let cookie = format!(
            "{}={token}; Path=/; Max-Age={KEPT}; HttpOnly; SameSite=Lax{secure}",
            self.cookie
        );
        Ok((cookie, device))
    }

    fn spend(&self, typed: &str) -> Result<Role, BenchProblem> {
        let mut kept = held(&self.code);
        let Some(code) = kept.as_mut().filter(|code| code.made.elapsed() < GOOD_FOR) else {
            *kept = None;
            return Err(ended());
        };
        let typed: String = typed
            .chars()
            .filter(|c| c.is_ascii_alphanumeric())
            .collect();
        if !same(&typed.to_ascii_uppercase(), &code.letters) {
            code.wrong += 1;
            let left = TRIES.saturating_sub(code.wrong);
            if left == 0 {
                *kept = None;
                self.tell("Five wrong pairing codes were typed. The code has ended.");
                return Err(ended());
            }
            return Err(BenchProblem::new(
                StatusCode::FORBIDDEN,
                "This is not the code.",
                format!("Type the code as the computer shows it. Tries left: {left}."),
            ));
        }
        let role = code.role;
        *kept = None;
        Ok(role)
    }

    /// The device behind a request, by its cookie.
    pub fn caller(&self, headers: &HeaderMap, now: Moment) -> Option<Caller> {
        let token = headers
            .get_all(COOKIE)
            .iter()
            .filter_map(|value| value.to_str().ok())
            .flat_map(|value| value.split(';'))
            .filter_map(|pair| pair.trim().split_once('='))
            .find(|(name, _)| *name == self.cookie)
            .map(|(_, token)| token)?;
        let hash = sha256(token.as_bytes());
        let list = self.file.read().ok()?;
        let device = list.into_iter().find(|device| device.hash == hash)?;
        let ended = device.until.is_some_and(|until| until <= now);
        (!ended).then_some(Caller {
            role: device.role,
            person: device.person,
        })
    }
}

/// Who was paired, in a line: whoever sits at the terminal sees a device that is not theirs.
fn paired(device: &Device) -> String {
    let person = match device.person.as_str() {
        "" => String::new(),
        person => format!(", used by {}", clean(person)),
    };
    format!(
        "Paired: {}{person}, as {}. Remove it with --devices and --remove if it is not yours.",
        clean(&device.name),
        device.role.word()
    )
}

/// `ABCD-EFGH`.
fn shown(code: &str) -> String {
    let (first, rest) = code.split_at(code.len() / 2);
    format!("{first}-{rest}")
}

fn ended() -> BenchProblem {
    BenchProblem::new(
        StatusCode::FORBIDDEN,
        "No pairing code is valid now.",
        "A code is valid for ten minutes, for one device and for five tries. Make a new one on the page Devices of a paired device, or restart the server.",
    )
}

fn unread(fault: std::io::Error) -> BenchProblem {
    BenchProblem::fault(format!("The list of devices cannot be used: {fault}."))
}

#[cfg(test)]
mod tests {
    use super::{Pairing, Wish};
    use crate::bench::role::Role;
    use crate::quantity::Moment;
    use axum::http::{HeaderMap, HeaderValue};

    fn now() -> Moment {
        Moment::parse("2026-10-31T18:00").unwrap()
    }

    fn wish(code: &str) -> Wish<'_> {
        Wish {
            code,
            name: "phone",
            person: "Ann",
        }
    }

    fn with(cookie: &str) -> HeaderMap {
        let pair = cookie.split(';').next().unwrap();
        let mut headers = HeaderMap::new();
        headers.insert(
            "cookie",
            HeaderValue::try_from(format!("a=b; {pair}")).unwrap(),
        );
        headers
    }

    #[test]
    fn a_code_pairs_one_device_once() {
        let folder = tempfile::tempdir().unwrap();
        let pairing = Pairing::new(folder.path(), true);
        assert!(
            pairing.pair(&wish("AAAA-AAAA"), now()).is_err(),
            "no code was made"
        );
        let code = pairing.new_code(Role::Maker).unwrap();
        let (cookie, device) = pairing.pair(&wish(&code.to_lowercase()), now()).unwrap();
        for part in [
            "__Host-sandarac-",
            "; HttpOnly",
            "; SameSite=Lax",
            "; Secure",
            "; Path=/",
        ] {
            assert!(cookie.contains(part), "{cookie} lacks {part}");
        }
        let token = cookie.split(['=', ';']).nth(1).unwrap();
        let kept = std::fs::read_to_string(folder.path().join(".sandarac/bench/devices")).unwrap();
        assert!(!kept.contains(token), "the token itself is kept");
        let caller = pairing.caller(&with(&cookie), now()).unwrap();
        assert_eq!((caller.role, &*caller.person), (Role::Maker, "Ann"));
        assert!(pairing.pair(&wish(&code), now()).is_err(), "spent");
        assert!(pairing.caller(&HeaderMap::new(), now()).is_none());
        pairing.remove(1, &device.hash).unwrap();
        assert!(pairing.caller(&with(&cookie), now()).is_none(), "removed");
    }

    #[test]
    fn five_wrong_codes_end_it() {
        let folder = tempfile::tempdir().unwrap();
        let pairing = Pairing::new(folder.path(), true);
        let code = pairing.new_code(Role::Owner).unwrap();
        for _ in 0..10_000 {
            assert!(pairing.pair(&wish("WRONGONE"), now()).is_err());
        }
        assert!(
            pairing.pair(&wish(&code), now()).is_err(),
            "the right one came too late"
        );
        assert_eq!(pairing.devices().unwrap(), []);
    }

    #[test]
    fn a_guest_may_look_for_the_day() {
        let folder = tempfile::tempdir().unwrap();
        let pairing = Pairing::new(folder.path(), false);
        let code = pairing.new_code(Role::Guest).unwrap();
        let (cookie, _) = pairing.pair(&wish(&code), now()).unwrap();
        assert!(
            !cookie.contains("Secure"),
            "a plain connection would drop it"
        );
        let at = |text: &str| Moment::parse(text).unwrap();
        assert!(
            pairing
                .caller(&with(&cookie), at("2026-10-31T23:59"))
                .is_some()
        );
        assert!(
            pairing
                .caller(&with(&cookie), at("2026-11-01T00:00"))
                .is_none()
        );
    }
}
