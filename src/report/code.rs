//! Square codes that a phone reads, where the program is built with the bench page. Without it there is none.

use crate::text::url_part;

/// The address of a container on the bench page, if the shop fixed one.
pub fn container_link(address: Option<&str>, container: &str) -> Option<String> {
    let address = address?.trim_end_matches('/');
    Some(format!("{address}/container/{}", url_part(container)))
}

/// As a picture; `None` where the text is too long for a code.
#[cfg(feature = "bench")]
pub fn code_svg(text: &str) -> Option<String> {
    let code = fast_qr::QRBuilder::new(text).ecl(fast_qr::ECL::M).build();
    let builder = fast_qr::convert::svg::SvgBuilder::default();
    Some(builder.to_str(&code.ok()?))
}

/// Built without the bench page, whose addresses are all that is put into codes.
#[cfg(not(feature = "bench"))]
pub fn code_svg(_: &str) -> Option<String> {
    None
}

/// As lines for a terminal, with room around it.
#[cfg(feature = "bench")]
pub fn code_for_terminal(text: &str) -> Option<String> {
    let code = fast_qr::QRBuilder::new(text).build().ok()?;
    Some(format!("\n{}\n", code.to_str()))
}
