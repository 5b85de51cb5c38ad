//! The tabs of a binder: their order, titles, and the topics whose findings each holds.

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tab {
    Inventory,
    Rags,
    Exits,
    Air,
    Waste,
    Sheets,
    Actions,
    Open,
    Records,
    Rules,
}

impl Tab {
    /// All of them, in order.
    pub(super) const ALL: [Tab; 10] = [
        Tab::Inventory,
        Tab::Rags,
        Tab::Exits,
        Tab::Air,
        Tab::Waste,
        Tab::Sheets,
        Tab::Actions,
        Tab::Open,
        Tab::Records,
        Tab::Rules,
    ];

    /// Its number, from 1.
    pub(super) fn number(self) -> usize {
        Tab::ALL.iter().take_while(|tab| **tab != self).count() + 1
    }

    pub(super) fn title(self) -> &'static str {
        match self {
            Tab::Inventory => "Inventory against each limit",
            Tab::Rags => "Oily rags",
            Tab::Exits => "Extinguishers, exits, eyewash, ignition",
            Tab::Air => "Fans and air",
            Tab::Waste => "Waste",
            Tab::Sheets => "Labels and data sheets",
            Tab::Actions => "Corrective actions",
            Tab::Open => "Everything open",
            Tab::Records => "Records and who keeps them",
            Tab::Rules => "Rules, packs and editions",
        }
    }

    /// The topics whose findings it holds.
    pub(super) fn topics(self) -> &'static [&'static str] {
        match self {
            Tab::Inventory => &["storage", "containers", "keeping", "permits"],
            Tab::Rags => &["rags"],
            Tab::Exits => &["extinguishers", "first-aid", "ignition", "housekeeping"],
            Tab::Air => &["air"],
            Tab::Waste => &["waste"],
            Tab::Sheets => &["labels"],
            Tab::Records => &["records"],
            Tab::Actions | Tab::Open | Tab::Rules => &[],
        }
    }

    /// The tab that holds the findings of a topic: the first one for a topic that no tab names.
    pub(super) fn with_topic(topic: &str) -> Tab {
        let mut all = Tab::ALL.into_iter();
        let tab = all.find(|tab| tab.topics().contains(&topic));
        tab.unwrap_or(Tab::Inventory)
    }
}
