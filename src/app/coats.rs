//! Coats of a job: what is particular to them among its parts.

use chrono::{DateTime, Utc};

use super::jobs::{panel_faults, time_fault};
use super::parts::{Kind, unknown_member, unknown_product};
use super::{Error, wanted_text};
use crate::core::coats::{Coat, LaidCoat};
use crate::core::error::Fault;
use crate::core::ids::JobId;
use crate::db::{Conn, Shop, products};

impl Kind for LaidCoat {
    const NAME: &'static str = "coats";

    type Input = Coat;

    fn input(&self) -> &Coat {
        &self.coat
    }

    fn faults(coat: &Coat, now: DateTime<Utc>) -> Vec<Fault> {
        let mut faults = Vec::new();
        if coat.panels.is_empty() {
            faults.push(Fault::new("/panels", "empty", "at least one panel is needed"));
        }
        faults.extend(panel_faults("/panels", &coat.panels));
        faults.extend(wanted_text("/batch", &coat.batch, 60));
        faults.extend(time_fault("/started_at", coat.started_at, now));
        faults.extend(time_fault("/ended_at", coat.ended_at, now));
        if coat.ml.is_some_and(|ml| !(ml > 0.0 && ml <= 10_000.0)) {
            faults.push(Fault::new("/ml", "out_of_range", "allowed are above 0 to 10,000 ml"));
        }
        if coat.area_m2.is_some_and(|area| !(area > 0.0 && area <= 200.0)) {
            faults.push(Fault::new("/area_m2", "out_of_range", "allowed are above 0 to 200 m²"));
        }
        for (i, section) in coat.sections.iter().enumerate() {
            let at = |member: &str| format!("/sections/{i}/{member}");
            if section.panels.is_empty() {
                faults.push(Fault::new(at("panels"), "empty", "at least one panel is needed"));
            }
            for (k, panel) in
                section.panels.iter().enumerate().filter(|(_, panel)| !coat.panels.contains(panel))
            {
                let detail = format!("{panel} is no panel of this coat");
                faults.push(Fault::new(format!("/sections/{i}/panels/{k}"), "panel_not_coated", detail));
            }
            faults.extend(time_fault(&at("applied_at"), section.applied_at, now));
            faults.extend(
                section.levelled_at.and_then(|levelled| time_fault(&at("levelled_at"), levelled, now)),
            );
        }
        faults
    }

    /// A batch need not be known.
    fn unknown(conn: &mut Conn, shop: &Shop, _: JobId, coat: &Coat) -> Result<Vec<Fault>, Error> {
        let mut faults = Vec::new();
        faults.extend(unknown_product(conn, shop, Some(&coat.product))?);
        faults.extend(unknown_member(conn, shop, coat.by)?);
        Ok(faults)
    }

    /// The sheet's edition is that of the product now; a coat that stays with its product keeps the one it had.
    fn kept(conn: &mut Conn, shop: &Shop, coat: Coat, before: Option<Self>) -> Result<Self, Error> {
        let sheet_edition = match before.filter(|before| before.coat.product == coat.product) {
            Some(before) => before.sheet_edition,
            None => {
                let product = products::find(conn, shop, &coat.product)?;
                products::current_sheet(conn, shop, product.id)?.map(|sheet| sheet.edition)
            }
        };
        Ok(Self { coat, sheet_edition })
    }
}
