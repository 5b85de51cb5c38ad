//! Words about rags that every screen and report shares, beside the table of their states. No word here calls a rag safe, and
//! none suggests that a number of rags or of hours is.

/// Where a rag with drying oil goes. Water in a lidded metal can and flat outdoors are what fire services advise; a can for oily
/// waste keeps a fire in, but what is in it overnight is still in the building. (Sources: `oily-rag-advice` in the pack `trade`,
/// and the daily emptying that 29 CFR 1910.107(g)(3) and the model fire code ask for.)
pub const PUT_AWAY: &str = "put it under water in a lidded metal can, or lay it flat outdoors in one layer, away from the building. \
                            Use a listed oily-waste can only if you empty it out of the building the same day.";
