//! Cover that changes or ends, and links that bind.

use super::Pen;
use crate::language::{Language, Said, said};
use crate::mail::said::{Change, ChangedText, EndingText, LinkPurpose, LinkText};

pub(super) fn ending_subject(language: Language, ending: &EndingText) -> (&'static str, Said) {
    let mut surfaces: Vec<_> = ending.ending.iter().map(|cover| cover.surface).collect();
    surfaces.dedup();
    let said = said![
        "vehicle" => &ending.vehicle,
        "surfaces" => language.surfaces(&surfaces),
        "date" => language.date(ending.first_day()),
    ];
    ("mail-ending-subject", said)
}

pub(super) fn changed_subject(language: Language, changed: &ChangedText) -> (&'static str, Said) {
    let said = said!["vehicle" => &changed.vehicle, "date" => language.date(changed.on)];
    match &changed.change {
        Change::Transferred { .. } => ("mail-transferred-subject", said),
        Change::PanelOut { panel, .. } => {
            ("mail-panel-out-subject", said.with("panel", language.panel(panel)))
        }
        Change::PanelBack { panel, .. } => {
            ("mail-panel-back-subject", said.with("panel", language.panel(panel)))
        }
        Change::OnHold { surfaces } => {
            ("mail-on-hold-subject", said.with("surfaces", language.surfaces(surfaces)))
        }
        Change::BackInForce { surfaces } => {
            ("mail-back-in-force-subject", said.with("surfaces", language.surfaces(surfaces)))
        }
        Change::Ended { surfaces } => {
            ("mail-ended-subject", said.with("surfaces", language.surfaces(surfaces)))
        }
        Change::Recalled { product, .. } => ("mail-recalled-subject", said.with("product", product)),
    }
}

pub(super) fn link_subject(link: &LinkText) -> (&'static str, Said) {
    let id = match link.purpose {
        LinkPurpose::Transfer => "mail-link-transfer-subject",
        LinkPurpose::Claim => "mail-link-claim-subject",
    };
    (id, said!["vehicle" => &link.vehicle])
}

impl Pen {
    pub(super) fn ending(&mut self, ending: &EndingText) {
        self.paragraph("mail-ending", &said!["warranty" => &ending.warranty]);
        self.cover(&ending.ending);
        if ending.still.is_empty() {
            self.paragraph("mail-ending-nothing-left", &said![]);
        } else {
            self.paragraph("mail-ending-still", &said![]);
            self.cover(&ending.still);
        }
    }

    pub(super) fn changed(&mut self, changed: &ChangedText) {
        let language = self.language;
        let said = said!["date" => language.date(changed.on), "warranty" => &changed.warranty];
        let (id, said) = match &changed.change {
            Change::Transferred { ends: false } => ("mail-transferred", said),
            Change::Transferred { ends: true } => ("mail-transferred-ends", said),
            Change::PanelOut { surface, panel } => {
                ("mail-panel-out", said.with("place", self.place(*surface, std::slice::from_ref(panel))))
            }
            Change::PanelBack { surface, panel } => {
                ("mail-panel-back", said.with("place", self.place(*surface, std::slice::from_ref(panel))))
            }
            Change::OnHold { surfaces } => {
                ("mail-on-hold", said.with("surfaces", language.surfaces(surfaces)))
            }
            Change::BackInForce { surfaces } => {
                ("mail-back-in-force", said.with("surfaces", language.surfaces(surfaces)))
            }
            Change::Ended { surfaces } => ("mail-ended", said.with("surfaces", language.surfaces(surfaces))),
            Change::Recalled { product, batch, panels } => {
                let said = said.with("product", product).with("batch", batch);
                ("mail-recalled", said.with("panels", language.panels(panels)))
            }
        };
        self.notice(id, &said);
        if let Some(why) = &changed.why {
            self.sentences(&language.why(why));
        }
        let unknown = changed.why.as_ref().is_none_or(|why| why.made_good_with().is_empty());
        if unknown && matches!(changed.change, Change::OnHold { .. }) {
            self.paragraph("mail-on-hold-ask", &said![]);
        }
        if let Some(service) = &changed.brought_back_by {
            self.paragraph("mail-back-in-force-by", &said!["service" => language.service(service)]);
        }
        if let Change::Recalled { .. } = changed.change {
            self.paragraph("mail-recalled-what-now", &said![]);
        }
        if !changed.cover.is_empty() {
            self.paragraph("mail-covered-by", &said!["warranty" => &changed.warranty]);
            self.cover(&changed.cover);
        }
    }

    pub(super) fn link(&mut self, link: &LinkText) {
        let id = match link.purpose {
            LinkPurpose::Transfer => "mail-link-transfer",
            LinkPurpose::Claim => "mail-link-claim",
        };
        self.paragraph(id, &said![]);
        let minutes = self.say("period-minutes", &said!["count" => link.minutes]);
        self.paragraph("mail-link-good-for", &said!["minutes" => minutes]);
        self.paragraph("mail-link-not-asked", &said![]);
    }
}
