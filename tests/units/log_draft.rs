//! What a command line for an entry looks like.

use super::{Draft, TypedOptions};
use crate::record::What;

#[test]
fn the_command_keeps_what_was_typed() {
    let draft = Draft {
        container: "J-12".into(),
        amount: "6 fl oz".into(),
        typed: TypedOptions {
            when: Some("2026-10-31T18:00".into()),
            by: Some("owner".into()),
            note: Some("on the case door".into()),
            shop: Some("my-shop".into()),
            dry_run: true,
            locale: crate::text::Locale::default(),
        },
        ..Draft::new(What::Use)
    };
    assert_eq!(
        draft.whole_command(),
        "sandarac log use J-12 '6 fl oz' --when 2026-10-31T18:00 --by owner --note 'on the case door' --shop my-shop \
         --dry-run"
    );
}

#[test]
fn the_command_can_be_pasted() {
    let mut draft = Draft {
        container: "J-12".into(),
        amount: "6 fl oz".into(),
        minutes: "40".into(),
        ..Draft::new(What::Use)
    };
    assert_eq!(
        draft.command(),
        "sandarac log use J-12 '6 fl oz' --minutes 40"
    );
    draft = Draft {
        container: "R-1".into(),
        place: "rag can".into(),
        amount: "2 pcs".into(),
        ..Draft::new(What::Bin)
    };
    assert_eq!(draft.command(), "sandarac log bin R-1 'rag can' '2 pcs'");
}
