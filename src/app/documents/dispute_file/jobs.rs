//! Jobs with what only a dispute asks for.

use super::Clerk;
use crate::app::Error;
use crate::app::checks::sheet_of;
use crate::app::documents::history::jobs_of;
use crate::app::documents::job::{reading, step};
use crate::app::documents::photos::photograph;
use crate::core::coats::LaidCoat;
use crate::core::ids::JobId;
use crate::core::paint_readings::PaintReading;
use crate::core::photos::Photo;
use crate::core::signatures::svg;
use crate::db::addenda::AddendumRow;
use crate::db::jobs::JobRow;
use crate::db::parts::{Part as _, PartRow};
use crate::db::signatures::SignatureRow;
use crate::db::{Conn, addenda, batches, jobs, passes, signatures};
use crate::documents::dispute_file::addenda::{AddendumOnPaper, Says};
use crate::documents::dispute_file::jobs::{
    BatchOnPaper, BottleOnPaper, PassOnPaper, ProvenJob, ReadingOnPaper, SectionOnPaper,
};
use crate::documents::dispute_file::signatures::SignatureOnPaper;
use crate::documents::job::JobOnPaper;
use crate::documents::photos::Photograph;

impl Clerk<'_> {
    /// Jobs with their proofs, oldest first, as they are told to anybody.
    pub(super) fn jobs(&self, conn: &mut Conn, told: Vec<JobOnPaper>) -> Result<Vec<ProvenJob>, Error> {
        let rows = jobs_of(conn, &self.office, self.vehicle)?;
        rows.into_iter().zip(told).map(|(row, job)| self.job(conn, row, job)).collect()
    }

    fn job(&self, conn: &mut Conn, row: JobRow, job: JobOnPaper) -> Result<ProvenJob, Error> {
        let shop = &self.office.shop;
        let panels = jobs::panels(conn, shop, row.id)?;
        let readings = PaintReading::of_job(conn, shop, row.id)?;
        let coats = LaidCoat::of_job(conn, shop, row.id)?;
        let signatures = signatures::list(conn, shop, row.id, None, i64::MAX)?;
        let addenda = addenda::of_job(conn, shop, row.id)?;
        let passes = self.passes(conn, row.id, &job)?;
        Ok(ProvenJob {
            passes,
            job,
            opened: self.entry(row.created_at, row.created_by),
            cancelled_because: row.cancelled_because,
            finishes: panels.finishes.into_iter().collect(),
            old_coating: panels.old_coating.into_iter().collect(),
            readings: readings.into_iter().map(|row| self.paint_reading(row)).collect(),
            sections: coats.iter().flat_map(|row| self.sections(&row.part)).collect(),
            bottles: self.bottles(conn, &coats)?,
            signatures: signatures.into_iter().rev().map(|row| self.signature(row)).collect(),
            addenda: addenda.into_iter().map(|row| self.addendum(row)).collect(),
            photos: self.photos(conn, row.id)?,
        })
    }

    fn paint_reading(&self, row: PartRow<PaintReading>) -> ReadingOnPaper {
        let PaintReading { panel, when, ground: _, spots, read_at, by } = row.part;
        ReadingOnPaper {
            panel,
            polishing: when,
            spots: spots.into_iter().map(|spot| (spot.spot, spot.um)).collect(),
            read: self.entry(read_at.map_or(row.entered_at, |at| at.0), by.unwrap_or(row.entered_by)),
        }
    }

    fn sections(&self, laid: &LaidCoat) -> Vec<SectionOnPaper> {
        let section = |section: &crate::core::coats::Section| SectionOnPaper {
            product: laid.coat.product.clone(),
            surface: laid.coat.surface,
            panels: section.panels.clone(),
            times: (
                self.office.local(section.applied_at.0),
                section.levelled_at.map(|at| self.office.local(at.0)),
            ),
        };
        laid.coat.sections.iter().map(section).collect()
    }

    /// The bottles that the coats were laid from, each once.
    fn bottles(&self, conn: &mut Conn, coats: &[PartRow<LaidCoat>]) -> Result<Vec<BottleOnPaper>, Error> {
        let (shop, mut told) = (&self.office.shop, Vec::new());
        for row in coats {
            let coat = &row.part.coat;
            let sheet = sheet_of(conn, shop, &row.part)?;
            let registered = batches::by_number(conn, shop, &coat.product, &coat.batch)?;
            let bottle = BottleOnPaper {
                product: coat.product.clone(),
                sheet: sheet.map(|sheet| (sheet.edition, sheet.digest)),
                batch: coat.batch.clone(),
                registered: registered.map(|batch| BatchOnPaper {
                    made: batch.made_on,
                    opened: batch.opened_on,
                    expires: batch.expires_on,
                    state: batch.state,
                }),
            };
            if !told.contains(&bottle) {
                told.push(bottle);
            }
        }
        Ok(told)
    }

    /// The passes that no finding has any more.
    fn passes(&self, conn: &mut Conn, id: JobId, job: &JobOnPaper) -> Result<Vec<PassOnPaper>, Error> {
        let told = passes::of_job(conn, &self.office.shop, id)?.into_iter().map(|row| PassOnPaper {
            about: format!("{} {}", row.code, row.subject),
            reason: row.reason,
            passed: self.entry(row.passed_at, row.member),
        });
        let holds = |pass: &PassOnPaper| {
            job.findings.iter().any(|finding| {
                finding.about == pass.about
                    && finding.passed.as_ref().is_some_and(|(reason, by, at)| {
                        (reason, by, at) == (&pass.reason, &pass.passed.1, &pass.passed.0)
                    })
            })
        };
        Ok(told.filter(|pass| !holds(pass)).collect())
    }

    fn signature(&self, row: SignatureRow) -> SignatureOnPaper {
        SignatureOnPaper {
            of: row.of,
            at: self.office.local(row.signed_at),
            entered: self.entry(row.entered_at, row.entered_by),
            document: row.digest,
            seq: row.record_seq,
            svg: svg(&row.strokes),
            name: row.name,
        }
    }

    fn addendum(&self, row: AddendumRow) -> AddendumOnPaper {
        let said = row.addendum;
        let note = said.note.map(Says::Note);
        let done = said.step.map(|one| Says::Step(step(&self.office, &self.members, one, row.entered_by)));
        let read = said.climate.map(|one| Says::Climate(reading(&self.office, one)));
        AddendumOnPaper {
            says: [note, done, read].into_iter().flatten().collect(),
            entered: self.entry(row.entered_at, row.entered_by),
            seq: row.record_seq,
        }
    }

    fn photos(&self, conn: &mut Conn, job: JobId) -> Result<Vec<Photograph>, Error> {
        let photos = Photo::of_job(conn, &self.office.shop, job)?.into_iter().map(|row| {
            let Photo { said, digest, entered_afterwards, .. } = row.part;
            let photo = photograph(self.app, &self.office, said, digest, row.entered_at);
            Photograph { afterwards: entered_afterwards, ..photo }
        });
        Ok(photos.collect())
    }
}
