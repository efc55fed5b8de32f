//! What past jobs refer to: products with their sheets, batches, and the editions of terms that warranties came on.

use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

use super::Scene;
use super::ledger::{Edition, Shelf};
use crate::app::warranties::{CoatedSurface, cover};
use crate::app::{Database, Error};
use crate::core::calendar::Day;
use crate::core::ids::{Digest, TermsId};
use crate::core::imports::Column;
use crate::core::imports::jobs::{CoatSaid, Job, UNKNOWN_BATCH};
use crate::core::terms::Terms;
use crate::core::words::{Surface, TermsState};
use crate::db::batches::BatchRow;
use crate::db::products::SheetRow;
use crate::db::{Conn, Shop, batches, products, terms};

/// An edition of terms that a warranty is issued on.
#[derive(Clone)]
pub(super) struct Chosen {
    /// The edition.
    pub(super) id: TermsId,
    /// Of its document.
    pub(super) digest: Digest,
    /// What it says.
    pub(super) edition: Arc<Edition>,
}

/// An edition of terms, where it stands, and the digest of its document.
type TermsSeen = (TermsId, TermsState, Digest);

/// A product with its present data sheet.
#[derive(Clone)]
pub(super) struct Product {
    /// The sheet, if there is one.
    pub(super) sheet: Option<Arc<SheetRow>>,
}

/// What jobs refer to, each looked up once.
#[derive(Default)]
pub(super) struct Catalogue {
    /// Editions of terms that were read.
    pub(super) shelf: Shelf,
    terms: HashMap<(String, u32), Option<TermsSeen>>,
    products: HashMap<String, Option<Product>>,
    /// By product and number.
    batches: HashMap<String, HashMap<String, Option<BatchRow>>>,
}

impl Catalogue {
    fn terms(
        &mut self,
        conn: &mut Conn,
        shop: &Shop,
        (code, edition): &(String, u32),
    ) -> Result<Option<TermsSeen>, Error> {
        let key = (code.clone(), *edition);
        if let Some(known) = self.terms.get(&key) {
            return Ok(*known);
        }
        let found = match terms::find(conn, shop, code, *edition) {
            Ok(row) => Some((row.id, row.state, row.digest)),
            Err(Database::NotFound) => None,
            Err(other) => return Err(other.into()),
        };
        self.terms.insert(key, found);
        Ok(found)
    }

    /// A product with its present data sheet, if there is one.
    pub(super) fn product(
        &mut self,
        conn: &mut Conn,
        shop: &Shop,
        product: &str,
    ) -> Result<Option<Product>, Error> {
        if let Some(known) = self.products.get(product) {
            return Ok(known.clone());
        }
        let found = match products::find(conn, shop, product) {
            Ok(row) => Some(Product { sheet: products::current_sheet(conn, shop, row.id)?.map(Arc::new) }),
            Err(Database::NotFound) => None,
            Err(other) => return Err(other.into()),
        };
        self.products.insert(product.to_owned(), found.clone());
        Ok(found)
    }

    /// The products and batches that these coats were laid from.
    pub(super) fn of<'s>(
        conn: &mut Conn,
        shop: &Shop,
        coats: impl IntoIterator<Item = &'s CoatSaid>,
    ) -> Result<Self, Error> {
        let mut catalogue = Self::default();
        for coat in coats {
            catalogue.product(conn, shop, &coat.product)?;
            let of_product = catalogue.batches.entry(coat.product.clone()).or_default();
            let number = batch_of(coat);
            if !of_product.contains_key(number) {
                of_product.insert(number.to_owned(), batches::by_number(conn, shop, &coat.product, number)?);
            }
        }
        Ok(catalogue)
    }

    /// The present data sheet of a product that was looked up, if there is one.
    pub(super) fn sheet(&self, product: &str) -> Option<&SheetRow> {
        self.products.get(product)?.as_ref()?.sheet.as_deref()
    }

    /// A batch that was looked up, if it is known.
    pub(super) fn known_batch(&self, product: &str, number: &str) -> Option<&BatchRow> {
        self.batches.get(product)?.get(number)?.as_ref()
    }
}

/// The number of the batch that a coat was laid from.
pub(super) fn batch_of(coat: &CoatSaid) -> &str {
    coat.batch.as_deref().unwrap_or(UNKNOWN_BATCH)
}

/// The edition that a row names, where a past warranty can stand on it.
pub(super) fn chosen(
    conn: &mut Conn,
    scene: &Scene,
    catalogue: &mut Catalogue,
    said: &Job,
    tell: &mut impl FnMut(Column, &'static str, String),
) -> Result<Option<Chosen>, Error> {
    let Some((code, number)) = &said.terms else { return Ok(None) };
    let shop = &scene.who.shop;
    let Some((id, state, digest)) = catalogue.terms(conn, shop, &(code.clone(), *number))? else {
        tell(Column::Terms, "unknown_terms", format!("your shop has no edition {number} of terms {code:?}"));
        return Ok(None);
    };
    if state == TermsState::Draft {
        let detail = format!("edition {number} of {code} is a draft: publish it first");
        tell(Column::Edition, "terms_not_published", detail);
        return Ok(None);
    }
    let edition = catalogue.shelf.edition(conn, shop, id)?;
    let start = start_of(said, &edition.terms);
    if !start.is_usual() {
        tell(Column::WarrantyStart, "out_of_range", format!("{start} is not within the years 1900 to 2999"));
    } else if cover(&edition.terms, start.date(), &coated(said)).is_empty() {
        let detail = format!("edition {number} of {code} covers none of the coated surfaces");
        tell(Column::Surfaces, "nothing_covered", detail);
    }
    Ok(Some(Chosen { id, digest, edition }))
}

/// The first day of cover: what was said, or what the terms say of it.
pub(super) fn start_of(said: &Job, terms: &Terms) -> Day {
    said.warranty_start.unwrap_or_else(|| {
        let completed = said.completed_on.unwrap_or(said.handed_over_on);
        terms.begins.after.after(if terms.begins.on_completion { completed } else { said.handed_over_on })
    })
}

/// What was coated: of a surface with coats their panels, else all that are named; less those left out.
pub(super) fn coated(said: &Job) -> Vec<CoatedSurface> {
    let surface = |(surface, panels): (&Surface, &BTreeSet<_>)| {
        let coats = said.coats.iter().filter(|coat| coat.surface == *surface);
        let mut laid: BTreeSet<_> = coats
            .flat_map(|coat| if coat.panels.is_empty() { panels } else { &coat.panels })
            .cloned()
            .collect();
        if laid.is_empty() {
            laid.clone_from(panels);
        }
        CoatedSurface {
            surface: *surface,
            panels: laid.into_iter().filter(|panel| !said.excluded_panels.contains(panel)).collect(),
            excluded_panels: said.excluded_panels.iter().cloned().collect(),
        }
    };
    said.surfaces.iter().map(surface).collect()
}
