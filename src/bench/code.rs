//! Square codes that a phone reads.

use fast_qr::QRBuilder;
use fast_qr::convert::svg::SvgBuilder;

/// As a picture; `None` where the text is too long for a code.
pub fn svg(text: &str) -> Option<String> {
    let code = QRBuilder::new(text).build().ok()?;
    Some(SvgBuilder::default().to_str(&code))
}

/// As lines for a terminal, with room around it.
pub fn for_terminal(text: &str) -> Option<String> {
    let code = QRBuilder::new(text).build().ok()?;
    Some(format!("\n{}\n", code.to_str()))
}
