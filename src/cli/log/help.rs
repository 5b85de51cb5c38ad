//! Examples below the help of `sandarac log`.

/// Below the help of `log`.
pub(super) const LOG: &str = "Example: sandarac log use J-1 2floz --minutes 40 --shop my-shop\n\
    A new jar: log mix A-1 '1 pt' J-9 --product 'shellac 2 lb cut' --vessel glass --capacity '1 qt' --place cabinet\n\
    Rags: log soil R-1 '2 pcs' V-1; log bin R-1 'rag can'; log empty 'rag can'\n\
    Without a word it asks you. Exit code: 0 the entry is saved, 1 saved while other rows are lost, 2 it is not saved, 3 saved but a \
    later step failed.";

/// Below the help of `log record`.
pub(super) const RECORD: &str = "A fact: sandarac log record 'wax stripper' flash_point '104 F'\n\
        The shop: sandarac log record shop employees 2\n\
        The authority: sandarac log record authority name 'Fire marshal' asked 2026-11-02 says 'the 2018 code applies'\n\
        Its limit: sandarac log record limit rule ten-gallons-outside-cabinets value '5 gal' by 'Fire marshal' on 2026-11-02\n\
        What you want in stock: sandarac log record target product 'denatured alcohol' amount '1 gal'";

/// Below the help of `log accept`.
pub(super) const ACCEPT: &str = "A finding: sandarac log accept glass-and-plastic-size A-3 --until 2026-12-15 --by owner --note 'a can is on order'\n\
        A table: sandarac log accept log.csv --note 'entered twice'";
