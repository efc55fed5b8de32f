//! Whose rows a function may touch, in its signature.

use crate::core::ids::ShopId;

/// The rows of one shop. Only `db` makes one, after it has seen that the shop exists, so that a handler cannot
/// reach another shop's rows by mixing up ids.
///
/// ```compile_fail
/// // E0451: the field is private.
/// let id: lustrum::core::ids::ShopId = uuid::Uuid::nil().into();
/// let shop = lustrum::db::Shop { id };
/// ```
///
/// The line before the refused one is right by itself:
///
/// ```
/// let id: lustrum::core::ids::ShopId = uuid::Uuid::nil().into();
/// ```
///
/// Nor are the tables visible outside `db`:
///
/// ```compile_fail
/// // E0603: the module is private.
/// use lustrum::db::schema::customers;
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shop {
    id: ShopId,
}

impl Shop {
    /// A shop that `db` has seen to exist.
    pub(in crate::db) fn seen(id: ShopId) -> Self {
        Self { id }
    }

    /// The shop's id.
    pub fn id(&self) -> ShopId {
        self.id
    }
}

/// The rows that belong to no shop, or to all: vehicles' identities, the people who sign in, keys, ticks, and the
/// work that a tick does for every shop.
#[derive(Debug, Clone, Copy)]
pub struct Installation {
    /// Keeps the making of one in `db`.
    pub(in crate::db) _made_by_db: (),
}

/// That a row which is found by a list of keys is the shop's.
///
/// Said as a denial, by which SQLite does not look rows up: as an equality it prefers the index of all rows of the shop,
/// which it takes to be shorter than the list, and reads them through for each list.
macro_rules! of_shop {
    ($column:expr, $scope:expr) => {
        diesel::dsl::not($column.ne($crate::db::types::Uid::of($scope.id())))
    };
}
pub(in crate::db) use of_shop;
