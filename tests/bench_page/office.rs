//! The office: the workbook goes out, comes back changed, is shown row by row, and is taken all or not at all.

use super::server::{Server, rows, shop};
use calamine::{Data, Reader, open_workbook_auto};
use rust_xlsxwriter::{ExcelDateTime, Format, Workbook};
use std::path::Path;

/// The workbook as it is downloaded.
fn download(server: &Server, to: &Path) {
    let head = format!(
        "GET /office/workbook HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n",
        server.port
    );
    let bytes = server.ask_bytes("127.0.0.1", &head, b"");
    let at = bytes.windows(4).position(|end| end == b"\r\n\r\n").unwrap();
    let head = String::from_utf8_lossy(&bytes[..at]).into_owned();
    assert!(
        head.contains("attachment; filename=\"shop.xlsx\""),
        "{head}"
    );
    std::fs::write(to, &bytes[at + 4..]).unwrap();
}

/// Saves the workbook again as a spreadsheet would, with one cell changed.
fn change(path: &Path, sheet: &str, name: &str, column: &str, to: &str) {
    let mut book = open_workbook_auto(path).unwrap();
    let mut out = Workbook::new();
    let date = Format::new().set_num_format("d.m.yyyy hh:mm");
    for own in book.sheet_names() {
        let range = book.worksheet_range(&own).unwrap();
        let page = out.add_worksheet();
        page.set_name(&own).unwrap();
        let head: Vec<String> = range
            .rows()
            .next()
            .unwrap()
            .iter()
            .map(Data::to_string)
            .collect();
        for (row, cells) in (0..).zip(range.rows()) {
            for (at, cell) in (0..).zip(cells) {
                let is_meant = own == sheet && cells[0] == name && head[usize::from(at)] == column;
                match cell {
                    _ if is_meant => page.write_string(row, at, to).map(|_| ()),
                    Data::String(text) => page.write_string(row, at, text).map(|_| ()),
                    Data::Float(number) => page.write_number(row, at, *number).map(|_| ()),
                    Data::DateTime(day) => {
                        let day = ExcelDateTime::from_serial_datetime(day.as_f64()).unwrap();
                        page.write_datetime_with_format(row, at, &day, &date)
                            .map(|_| ())
                    }
                    Data::Bool(yes) => page.write_boolean(row, at, *yes).map(|_| ()),
                    _ => Ok(()),
                }
                .unwrap();
            }
        }
    }
    out.save(path).unwrap();
}

fn inventory(folder: &tempfile::TempDir) -> String {
    std::fs::read_to_string(folder.path().join("shop/inventory.csv")).unwrap()
}

fn hidden(page: &str, name: &str) -> String {
    let lead = format!("name=\"{name}\" value=\"");
    let (_, rest) = page
        .split_once(&lead)
        .unwrap_or_else(|| panic!("no {name} in {page}"));
    rest.split('"').next().unwrap().to_string()
}

#[test]
fn a_workbook_goes_out_and_comes_back() {
    let shop = shop();
    let server = Server::start(&shop, &[]);
    let path = shop.path().join("shelf.xlsx");
    download(&server, &path);
    let send = || server.send_file("/office/workbook", &[], &std::fs::read(&path).unwrap());
    let same = send();
    assert!(
        same.body.contains("The workbook changes nothing."),
        "{}",
        same.body
    );

    let before = (inventory(&shop), rows(&shop));
    change(&path, "inventory", "A-1", "note", "the tall <b>can</b>");
    let shown = send();
    assert_eq!(shown.status, 200, "{}", shown.body);
    assert!(
        shown.body.contains("inventory.csv, A-1, note: ")
            && shown.body.contains("&lt;b&gt;can&lt;/b&gt;"),
        "{}",
        shown.body
    );
    assert_eq!(
        (inventory(&shop), rows(&shop)),
        before,
        "looking writes nothing"
    );
    let seen = hidden(&shown.body, "seen");
    let stale = server.post("/office/take", "seen=0000");
    assert_eq!(stale.status, 409, "{}", stale.body);
    assert_eq!((inventory(&shop), rows(&shop)), before);
    let taken = server.post("/office/take", &format!("seen={seen}"));
    assert_eq!(taken.status, 303, "{}", taken.body);
    assert!(inventory(&shop).contains("the tall <b>can</b>"));
    let again = server.post("/office/take", &format!("seen={seen}"));
    assert_eq!(again.status, 404, "it is taken once: {}", again.body);

    download(&server, &path);
    change(&path, "inventory", "A-1", "amount", "900 gal");
    let refused = send();
    let text = inventory(&shop);
    assert!(refused.body.contains("A-1"), "{}", refused.body);
    change(&path, "inventory", "A-1", "vessel", "bathtub");
    let refused = send();
    assert_eq!(refused.status, 422, "{}", refused.body);
    assert!(refused.body.contains("bathtub"), "{}", refused.body);
    assert_eq!(inventory(&shop), text);
    for file in [&b""[..], b"PK\x03\x04 nonsense", b"<html>"] {
        let refused = server.send_file("/office/workbook", &[], file);
        assert_eq!(refused.status, 422, "{}", refused.body);
    }
}
