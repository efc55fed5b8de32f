//! Lists a page at a time, newest id first, with a cursor that belongs to its filters.

use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use serde::{Serialize, de::DeserializeOwned};
use sha2::{Digest as _, Sha256};

use crate::core::error::{Error as Rule, Fault};

/// The most items of one page.
pub const MOST: u32 = 200;

/// How many items a page has when nothing is asked.
pub const USUAL: u32 = 50;

/// One page of a list, and where the next one begins.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct Page<T> {
    /// This page's items.
    pub items: Vec<T>,
    /// What to give as `cursor` for the next page; null on the last one.
    pub next: Option<String>,
}

/// Which page is asked for: how many items, and after which one. `K` is the sort key of the list's last item,
/// usually its id.
#[derive(Debug, Clone)]
pub struct Wanted<K> {
    /// 1–200.
    pub limit: u32,
    /// The sort key of the last item of the page before.
    pub after: Option<K>,
    /// What the filters were, so that a cursor of other filters is refused.
    filters: [u8; 8],
}

impl<K: Serialize + DeserializeOwned> Wanted<K> {
    /// Reads `limit` and `cursor`; `filters` is everything else in the query, in any fixed form.
    pub fn read(limit: Option<u32>, cursor: Option<&str>, filters: &impl Serialize) -> Result<Self, Rule> {
        let limit = limit.unwrap_or(USUAL);
        let mut faults = Vec::new();
        if !(1..=MOST).contains(&limit) {
            faults.push(Fault::new("limit", "out_of_range", format!("{limit} is not from 1 to {MOST}")));
        }
        let written = serde_json::to_vec(filters).unwrap_or_default();
        let mut digest = [0; 8];
        digest.copy_from_slice(&Sha256::digest(written)[..8]);
        let after = match cursor.map(|text| unseal::<K>(text, digest)) {
            Some(None) => {
                faults.push(Fault::new(
                    "cursor",
                    "bad_cursor",
                    "not a cursor of this list with these filters",
                ));
                None
            }
            Some(found) => found,
            None => None,
        };
        if faults.is_empty() {
            Ok(Self { limit, after, filters: digest })
        } else {
            Err(Rule::Malformed(faults))
        }
    }

    /// The first page of a list, of so many items (1–200), for callers that go no further.
    pub fn first(limit: u32) -> Self {
        Self { limit: limit.clamp(1, MOST), after: None, filters: [0; 8] }
    }

    /// How many rows to ask the database for: one more than the page, which tells whether there is another page.
    pub fn rows(&self) -> i64 {
        i64::from(self.limit) + 1
    }

    /// The page of `items`, as many as [`Wanted::rows`] asked for.
    pub fn page<T>(&self, mut items: Vec<T>, key: impl Fn(&T) -> K) -> Page<T> {
        let limit = self.limit as usize;
        let more = items.len() > limit;
        items.truncate(limit);
        let next = items.last().filter(|_| more).map(|last| self.seal(&key(last)));
        Page { items, next }
    }

    fn seal(&self, key: &K) -> String {
        let mut bytes = self.filters.to_vec();
        bytes.extend(serde_json::to_vec(key).unwrap_or_default());
        URL_SAFE_NO_PAD.encode(bytes)
    }
}

fn unseal<K: DeserializeOwned>(text: &str, filters: [u8; 8]) -> Option<K> {
    let bytes = URL_SAFE_NO_PAD.decode(text).ok()?;
    let (given, key) = bytes.split_at_checked(8)?;
    (given == filters).then(|| serde_json::from_slice(key).ok()).flatten()
}
