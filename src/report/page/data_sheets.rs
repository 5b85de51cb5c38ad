//! The data sheets on file, each as a link: the page lies in the folder `reports` of the shop, beside their folder.

use crate::report::html::name;
use crate::report::view::View;
use maud::{Markup, html};

/// The list of the sheets.
pub(super) fn data_sheets(view: &View<'_>) -> Markup {
    html! {
        ul {
            @for (product, path) in &view.sheets {
                li { a href={ "../" (as_address(path)) } { (name(product)) } }
            }
        }
        p.faint { "The links work while this page lies in the folder reports of the shop." }
    }
}

/// A path as a part of an address.
fn as_address(path: &str) -> String {
    let mut address = String::new();
    for byte in path.bytes() {
        let plain =
            byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.' | b'/' | b'~');
        match plain {
            true => address.push(char::from(byte)),
            false => address.push_str(&format!("%{byte:02X}")),
        }
    }
    address
}

#[cfg(test)]
mod tests {
    use super::as_address;

    #[test]
    fn a_path_becomes_a_link() {
        assert_eq!(
            as_address("sheets/oil varnish.pdf"),
            "sheets/oil%20varnish.pdf"
        );
        assert_eq!(as_address("a:b?é"), "a%3Ab%3F%C3%A9");
    }
}
