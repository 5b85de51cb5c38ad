//! The devices that are paired with a shop: `.sandarac/bench/devices`, one line each. Of a token only its hash is kept.

use super::role::Role;
use crate::quantity::Moment;
use crate::text::clean;
use std::fs::{File, OpenOptions};
use std::io::{Error, ErrorKind, Read, Result, Write};
use std::path::{Path, PathBuf};

/// The first line of the file.
const HEAD: &str = "sandarac devices 1";
/// At most so many devices; a shop has a handful.
const MOST: usize = 50;
/// Letters that a name may have.
const LONGEST: usize = 60;

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Device {
    /// The SHA-256 of its token.
    pub hash: String,
    /// What it may do.
    pub role: Role,
    /// When it was paired.
    pub paired: Moment,
    /// Until when it may come in, if not for good.
    pub until: Option<Moment>,
    /// Its name, such as "wall tablet".
    pub name: String,
    /// The person who uses it, as the log names them.
    pub person: String,
}

/// The file of the devices.
#[derive(Clone, Debug)]
pub struct DeviceFile {
    folder: PathBuf,
}

impl DeviceFile {
    /// Of a shop folder.
    pub fn in_folder(shop: &Path) -> DeviceFile {
        DeviceFile { folder: home(shop) }
    }

    fn path(&self) -> PathBuf {
        self.folder.join("devices")
    }

    /// The devices in the order in which they were paired. A file that cannot be read lets no one in.
    pub fn read(&self) -> Result<Vec<Device>> {
        let mut text = String::new();
        match File::open(self.path()) {
            Ok(file) => file.take(1 << 20).read_to_string(&mut text)?,
            Err(fault) if fault.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
            Err(fault) => return Err(fault),
        };
        let mut lines = text.lines();
        if lines.next() != Some(HEAD) {
            return Err(Error::new(
                ErrorKind::InvalidData,
                "the list of devices is from another version of this program",
            ));
        }
        let broken = || Error::new(ErrorKind::InvalidData, "the list of devices is damaged");
        lines.map(|line| device(line).ok_or_else(broken)).collect()
    }

    pub fn add(&self, device: Device) -> Result<()> {
        let mut list = self.read()?;
        if list.len() >= MOST {
            return Err(Error::other(format!(
                "{MOST} devices are paired, which is the most"
            )));
        }
        list.push(device);
        self.write(&list)
    }

    /// Removes a device by its number in the list, from 1; gives what it was.
    pub fn remove(&self, number: usize) -> Result<Option<Device>> {
        let mut list = self.read()?;
        let at = number.checked_sub(1).filter(|at| *at < list.len());
        let removed = at.map(|at| list.remove(at));
        if removed.is_some() {
            self.write(&list)?;
        }
        Ok(removed)
    }

    fn write(&self, list: &[Device]) -> Result<()> {
        let mut text = format!("{HEAD}\n");
        for device in list {
            let until = device
                .until
                .map_or_else(String::new, |until| until.to_string());
            let cells = [
                device.hash.clone(),
                device.role.word().to_string(),
                device.paired.to_string(),
                until,
                device.name.clone(),
                device.person.clone(),
            ];
            text.push_str(&cells.join("\t"));
            text.push('\n');
        }
        std::fs::create_dir_all(&self.folder)?;
        secretly(&self.path(), text.as_bytes())
    }
}

/// Where a shop keeps what belongs to the bench page.
pub fn home(shop: &Path) -> PathBuf {
    shop.join(".sandarac").join("bench")
}

/// Writes a file that only its owner may read, whole or not at all.
pub fn secretly(path: &Path, text: &[u8]) -> Result<()> {
    let new = path.with_extension("new");
    let mut how = OpenOptions::new();
    how.write(true).create(true).truncate(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        how.mode(0o600);
    }
    let mut file = how.open(&new)?;
    file.write_all(text)?;
    file.sync_all()?;
    drop(file);
    std::fs::rename(&new, path)
}

fn device(line: &str) -> Option<Device> {
    let mut cells = line.split('\t');
    let mut next = || cells.next();
    let (hash, role, paired, until) = (next()?, next()?, next()?, next()?);
    let (name, person) = (next()?, next()?);
    Some(Device {
        hash: hash.to_string(),
        role: Role::parse(role)?,
        paired: Moment::parse(paired).ok()?,
        until: match until {
            "" => None,
            until => Some(Moment::parse(until).ok()?),
        },
        name: name.to_string(),
        person: person.to_string(),
    })
}

/// A name as it is kept: short, of one line, and nothing in it steers a terminal.
pub fn plain_name(text: &str) -> String {
    let text = clean(text.trim());
    let kept: String = text.chars().filter(|c| *c != '\t').take(LONGEST).collect();
    kept.trim().to_string()
}

#[cfg(test)]
mod tests {
    use super::{Device, DeviceFile, plain_name};
    use crate::bench::role::Role;
    use crate::quantity::Moment;

    #[test]
    fn devices_are_kept_and_removed() {
        let folder = tempfile::tempdir().unwrap();
        let file = DeviceFile::in_folder(folder.path());
        assert_eq!(file.read().unwrap(), []);
        let device = Device {
            hash: "00".into(),
            role: Role::Maker,
            paired: Moment::parse("2026-10-31T09:00").unwrap(),
            until: None,
            name: "phone".into(),
            person: String::new(),
        };
        file.add(device.clone()).unwrap();
        assert_eq!(file.read().unwrap(), std::slice::from_ref(&device));
        assert_eq!(file.remove(2).unwrap(), None);
        assert_eq!(file.remove(0).unwrap(), None);
        assert_eq!(file.remove(1).unwrap(), Some(device));
        assert_eq!(file.read().unwrap(), []);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = std::fs::metadata(file.path()).unwrap().permissions().mode();
            assert_eq!(mode & 0o777, 0o600);
        }
        std::fs::write(file.path(), "sandarac devices 2\n").unwrap();
        assert!(file.read().is_err(), "a later version is refused");
    }

    #[test]
    fn a_name_steers_no_terminal() {
        assert_eq!(plain_name(" \u{1b}[31mphone\t "), "\u{fffd}[31mphone");
        assert_eq!(plain_name(&"x".repeat(99)).len(), 60);
    }
}
