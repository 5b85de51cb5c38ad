//! Which container, product, place or room is meant: four numbers that cannot be mistaken for each other.

use std::num::NonZeroU32;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        // One is added, so that an id that may be missing takes four bytes, too: an entry has four of them.
        pub struct $name(NonZeroU32);

        impl $name {
            /// The id of what is at this index of its list. No list is so long that a number past four thousand million is
            /// asked for; it would be the id of nothing, and found out where it is used.
            pub fn at(index: usize) -> Self {
                let index = u32::try_from(index).unwrap_or(u32::MAX);
                Self(NonZeroU32::MIN.saturating_add(index))
            }

            /// The index in its list, from 0.
            pub fn index(self) -> usize {
                usize::try_from(self.0.get() - 1).unwrap_or(usize::MAX)
            }

            /// Each thing of its list with its id. The list holds one item for each of them, in their order.
            pub fn each<T>(list: &[T]) -> impl DoubleEndedIterator<Item = (Self, &T)> + Clone {
                list.iter().enumerate().map(|(index, item)| (Self::at(index), item))
            }
        }
    };
}

id! {
    /// A row of inventory.csv.
    ContainerId
}
id! {
    /// A product that the inventory names.
    ProductId
}
id! {
    /// A row of places.csv.
    PlaceId
}
id! {
    /// A row of rooms.csv.
    RoomId
}

#[cfg(test)]
mod tests {
    use super::ContainerId;

    #[test]
    fn an_id_gives_its_index_back_in_four_bytes() {
        for index in [0, 1, 99_999, 4_294_967_294] {
            assert_eq!(ContainerId::at(index).index(), index);
        }
        assert_eq!(size_of::<Option<ContainerId>>(), 4);
    }
}
