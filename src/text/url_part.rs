//! Names in addresses.

/// A text as part of an address: a path or a value of a query.
pub fn url_part(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for byte in text.bytes() {
        match byte {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'_' | b'.' | b'~' => {
                out.push(char::from(byte));
            }
            _ => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::url_part;

    #[test]
    fn any_name_is_one_part_of_an_address() {
        assert_eq!(url_part("J-12"), "J-12");
        assert_eq!(url_part("rag can/#1 ü"), "rag%20can%2F%231%20%C3%BC");
    }
}
