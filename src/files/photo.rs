//! The photos of answers: each lies in the folder `photos` of its shop, under the id of its answer. The name is made here, so that
//! no text of a table or a request leads anywhere else.

use super::admit::admit;
use super::write::whole;
use std::io::{Error, Result};
use std::path::{Path, PathBuf};

/// The folder of the photos inside a shop folder.
pub const PHOTOS: &str = "photos";
/// A photo has at most so many bytes.
pub const MOST_PHOTO_BYTES: u64 = 8 << 20;
/// The kinds of picture, by the ending of their name.
const ENDINGS: [&str; 2] = ["jpg", "png"];

/// Is this an id that a photo can be named by? Other texts name no photo.
fn is_id(id: &str) -> bool {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit();
    (8..=40).contains(&id.len()) && id.chars().all(plain)
}

/// Is this the name of a photo?
pub fn is_photo_name(name: &str) -> bool {
    name.rsplit_once('.')
        .is_some_and(|(id, ending)| is_id(id) && ENDINGS.contains(&ending))
}

/// The photo of an answer: its name and its path.
pub fn photo_of(shop: &Path, id: &str) -> Option<(String, PathBuf)> {
    if !is_id(id) {
        return None;
    }
    ENDINGS.iter().find_map(|ending| {
        let name = format!("{id}.{ending}");
        let path = admit(shop, &format!("{PHOTOS}/{name}"), MOST_PHOTO_BYTES).ok()?;
        Some((name, path))
    })
}

/// Keeps a photo for an answer: whole, on the disk, and inside the shop folder.
pub fn keep_photo(shop: &Path, id: &str, ending: &str, bytes: &[u8]) -> Result<()> {
    let name = format!("{id}.{ending}");
    if !is_photo_name(&name) {
        return Err(Error::other("it has no name"));
    }
    let folder = shop.join(PHOTOS);
    std::fs::create_dir_all(&folder)?;
    if !folder.canonicalize()?.starts_with(shop.canonicalize()?) {
        return Err(Error::other(
            "the folder \"photos\" leads out of the shop folder",
        ));
    }
    whole(&folder.join(name), bytes)
}

/// Takes the photo of an answer away that was not saved.
pub fn drop_photo(shop: &Path, id: &str) -> Result<()> {
    match photo_of(shop, id) {
        Some((_, path)) => std::fs::remove_file(path),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::{drop_photo, is_photo_name, keep_photo, photo_of};

    #[test]
    fn a_photo_lies_in_its_shop_and_nowhere_else() {
        let folder = tempfile::tempdir().unwrap();
        let shop = folder.path().join("shop");
        std::fs::create_dir(&shop).unwrap();
        assert!(photo_of(&shop, "abcdefgh1").is_none());
        keep_photo(&shop, "abcdefgh1", "jpg", b"picture").unwrap();
        let (name, path) = photo_of(&shop, "abcdefgh1").unwrap();
        assert_eq!(name, "abcdefgh1.jpg");
        assert_eq!(std::fs::read(path).unwrap(), b"picture");
        for odd in ["../abcdefgh", "a/bcdefgh1", "short", "ABCDEFGH1", ""] {
            assert!(keep_photo(&shop, odd, "jpg", b"x").is_err(), "{odd}");
            assert!(photo_of(&shop, odd).is_none(), "{odd}");
        }
        assert!(keep_photo(&shop, "abcdefgh2", "svg", b"x").is_err());
        assert!(!is_photo_name("abcdefgh1.html") && is_photo_name("abcdefgh1.png"));
        drop_photo(&shop, "abcdefgh1").unwrap();
        drop_photo(&shop, "abcdefgh1").unwrap();
        assert!(photo_of(&shop, "abcdefgh1").is_none());
    }

    #[cfg(unix)]
    #[test]
    fn a_link_in_place_of_the_folder_is_not_followed() {
        let folder = tempfile::tempdir().unwrap();
        let (shop, other) = (folder.path().join("shop"), folder.path().join("other"));
        std::fs::create_dir(&shop).unwrap();
        std::fs::create_dir(&other).unwrap();
        std::os::unix::fs::symlink(&other, shop.join("photos")).unwrap();
        assert!(keep_photo(&shop, "abcdefgh1", "jpg", b"x").is_err());
        assert_eq!(std::fs::read_dir(&other).unwrap().count(), 0);
    }
}
