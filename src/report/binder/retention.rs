//! `data/records.csv`: which records are kept, for how long, and who says so.

use crate::pack::Seen;
use crate::record::Fields;
use crate::text::{FileId, Files, Problems, Shape, Table};

const SHAPE: Shape = Shape {
    file: "records.csv",
    must: &[
        "record", "what", "packs", "keep", "where", "document", "edition", "clause", "read", "seen",
    ],
    may: &["note"],
};

/// One sort of record.
#[derive(Clone, Debug)]
pub struct KeptRecord {
    pub record: String,
    pub what: String,
    /// The packs with which it concerns a shop; `trade` is always among a shop's.
    pub packs: Vec<String>,
    /// How long it is kept.
    pub keep: String,
    /// The table that holds it; `None` where no table of a shop does.
    pub table: Option<String>,
    /// Which of its rows: kinds of entry, or questions; none for all.
    pub rows: Vec<String>,
    pub document: String,
    pub edition: String,
    /// The clause; empty where there is none.
    pub clause: String,
    /// The month it was read.
    pub read: String,
    /// How it was seen.
    pub seen: Seen,
    /// What is unsure about it.
    pub note: Option<String>,
}

pub fn read_records(files: &Files, file: FileId, problems: &mut Problems) -> Vec<KeptRecord> {
    let mut list = Vec::new();
    let Some(mut table) = Table::open(files, file, &SHAPE, problems) else {
        return list;
    };
    while let Some(row) = table.next(problems) {
        list.extend(read(&mut Fields { row, problems }));
    }
    table.finish(problems);
    list
}

fn read(fields: &mut Fields<'_, '_>) -> Option<KeptRecord> {
    let must = |fields: &mut Fields<'_, '_>, column| fields.must(column).map(str::to_string);
    let (record, what) = (must(fields, 0), must(fields, 1));
    let (packs, keep) = (must(fields, 2), must(fields, 3));
    let (document, edition) = (must(fields, 5), must(fields, 6));
    let read = must(fields, 8);
    let seen = fields.must(9).and_then(|_| fields.word(9, &Seen::WORDS));
    let words = |text: &str| text.split_whitespace().map(str::to_string).collect();
    let held = fields
        .text(4)
        .map(|text| text.split_once(": ").unwrap_or((text, "")));
    Some(KeptRecord {
        record: record?,
        what: what?,
        packs: words(&packs?),
        keep: keep?,
        table: held.map(|(table, _)| table.to_string()),
        rows: held.map_or_else(Vec::new, |(_, rows)| words(rows)),
        document: document?,
        edition: edition?,
        clause: fields.owned(7).unwrap_or_default(),
        read: read?,
        seen: seen?,
        note: fields.owned(10),
    })
}

#[cfg(test)]
mod tests {
    use super::read_records;
    use crate::pack::{RECORDS, built_in_names};
    use crate::record::What;
    use crate::text::{Files, Problems};
    use crate::trade::read_reference_data;
    use std::collections::BTreeSet;

    /// Every row names packs, tables, kinds of entry and questions that there are, and its document.
    #[test]
    fn every_row_can_be_looked_up() {
        let (mut files, mut problems) = (Files::default(), Problems::new());
        let reference = read_reference_data(&mut files, &mut problems);
        let file = files.hold("data/records.csv", RECORDS.as_bytes());
        let records = read_records(&files, file, &mut problems);
        assert!(problems.none() && records.len() >= 12, "{problems:?}");
        let names: BTreeSet<&str> = records.iter().map(|r| r.record.as_str()).collect();
        assert_eq!(names.len(), records.len(), "a name stands twice");
        for record in &records {
            for pack in &record.packs {
                assert!(built_in_names().contains(&pack.as_str()), "{pack}");
            }
            for word in &record.rows {
                let known = match record.table.as_deref() {
                    Some("log.csv") => What::parse(word).is_some(),
                    Some("checks.csv") => reference.round.find(word).is_some(),
                    _ => false,
                };
                assert!(known, "{}: {word}", record.record);
            }
            // Common practice has no clause; everything else has one.
            let practice = record.edition == "common practice, no source";
            assert_eq!(practice, record.clause.is_empty(), "{}", record.record);
            let weak = record.seen == crate::pack::Seen::Memory;
            assert!(!practice || weak, "{}", record.record);
        }
    }
}
