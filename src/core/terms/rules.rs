//! Terms made ready for judging: names become numbers, sets of surfaces become bits.

use super::{Breach, Consequence, CountedFrom, Rank, Terms, Transfer};
use crate::core::calendar::{Period, WorkingDays};

/// A set of surfaces: the bit at a surface's place in `cover`; there are 50 at most.
pub type Mask = u64;

/// A set of services: the places of their names in [`Rules::services`].
pub(crate) type Services = Vec<u16>;

/// What a miss or a breach does, ready for judging.
#[derive(Debug, Clone)]
pub(crate) enum Effect {
    Note,
    End,
    Shorten(Period),
    Suspend { within: Option<Period>, with: Services, by: Rank },
}

/// Cover of a surface, ready for judging.
#[derive(Debug, Clone)]
pub(crate) struct CoverRule {
    pub(crate) surface: String,
    pub(crate) lasts: Period,
    pub(crate) up_to_km: Option<u32>,
}

/// A rule of upkeep, ready for judging.
#[derive(Debug, Clone)]
pub(crate) struct UpkeepRule {
    pub(crate) key: String,
    pub(crate) services: Services,
    pub(crate) by: Rank,
    pub(crate) rota: bool,
    pub(crate) every: Period,
    pub(crate) first_after: Option<Period>,
    pub(crate) early: Period,
    pub(crate) late: Period,
    pub(crate) not_before: Period,
    pub(crate) every_km: Option<u32>,
    pub(crate) late_km: u32,
    pub(crate) surfaces: Mask,
    pub(crate) times: u32,
    pub(crate) if_missed: Vec<Effect>,
}

/// A breach, ready for judging.
#[derive(Debug, Clone)]
pub(crate) struct BreachRule {
    pub(crate) key: String,
    pub(crate) surfaces: Mask,
    pub(crate) effect: Effect,
}

/// Terms made ready for judging.
#[derive(Debug, Clone)]
pub struct Rules {
    pub(crate) cover: Vec<CoverRule>,
    pub(crate) upkeep: Vec<UpkeepRule>,
    pub(crate) breaches: Vec<BreachRule>,
    pub(crate) transfer: Option<Transfer>,
    pub(crate) restores: bool,
    pub(crate) recoat_within: Option<Period>,
    pub(crate) entry_within: Option<Period>,
    pub(crate) working_days: WorkingDays,
    pub(crate) services: Vec<String>,
}

/// The service that a sale can ask for.
pub(crate) const INSPECTION: u16 = 0;

impl Rules {
    /// Makes terms ready for judging.
    pub fn compile(terms: &Terms) -> Self {
        let mut services = vec!["inspection".to_owned()];
        let mut of =
            |names: &[String]| names.iter().map(|name| intern(&mut services, name)).collect::<Services>();
        let all = (0..terms.cover.len()).fold(0, |mask, i| mask | bit(i));
        let mask = |surfaces: Option<&Vec<String>>| {
            surfaces.map_or(all, |named| {
                let places =
                    terms.cover.iter().enumerate().filter(|(_, cover)| named.contains(&cover.surface));
                places.fold(0, |mask, (i, _)| mask | bit(i))
            })
        };
        let upkeep = terms
            .upkeep
            .iter()
            .map(|rule| UpkeepRule {
                key: rule.key.clone(),
                services: of(&rule.services),
                by: rule.by,
                rota: rule.counted_from == CountedFrom::Start,
                every: rule.every.unwrap_or_default(),
                first_after: rule.first_after,
                early: rule.early,
                late: rule.late,
                not_before: rule.not_before,
                every_km: rule.every_km,
                late_km: rule.late_km,
                surfaces: mask(rule.surfaces.as_ref()),
                times: rule.times.unwrap_or(u32::MAX),
                if_missed: rule.if_missed.iter().map(|consequence| effect(consequence, &mut of)).collect(),
            })
            .collect();
        let breach = |breach: &Breach| BreachRule {
            key: breach.key.clone(),
            surfaces: mask(breach.surfaces.as_ref()),
            effect: effect(&breach.consequence, &mut of),
        };
        let breaches = terms.breaches.iter().map(breach).collect();
        let cover = terms.cover.iter().map(|cover| CoverRule {
            surface: cover.surface.clone(),
            lasts: cover.lasts,
            up_to_km: cover.up_to_km,
        });
        Self {
            cover: cover.collect(),
            upkeep,
            breaches,
            transfer: terms.transfer.clone(),
            restores: terms.repair.restores,
            recoat_within: terms.repair.recoat_within,
            entry_within: terms.entry_within,
            working_days: terms.working_days.clone(),
            services,
        }
    }

    /// The place of a surface in `cover`.
    pub(crate) fn surface(&self, name: &str) -> Option<usize> {
        self.cover.iter().position(|cover| cover.surface == name)
    }

    /// The number of a service that these terms name.
    pub(crate) fn service(&self, name: &str) -> Option<u16> {
        self.services.iter().position(|known| known == name).and_then(|i| u16::try_from(i).ok())
    }

    /// The surfaces of a set, in the order of `cover`.
    pub(crate) fn surfaces(&self, mask: Mask) -> impl Iterator<Item = usize> {
        (0..self.cover.len()).filter(move |i| mask & bit(*i) != 0)
    }
}

/// The bit of the surface at this place in `cover`.
pub(crate) fn bit(place: usize) -> Mask {
    1_u64.checked_shl(u32::try_from(place).unwrap_or(64)).unwrap_or(0)
}

fn intern(services: &mut Vec<String>, name: &str) -> u16 {
    let place = services.iter().position(|known| known == name).unwrap_or_else(|| {
        services.push(name.to_owned());
        services.len() - 1
    });
    u16::try_from(place).unwrap_or(u16::MAX)
}

fn effect(consequence: &Consequence, of: &mut impl FnMut(&[String]) -> Services) -> Effect {
    match consequence {
        Consequence::Note => Effect::Note,
        Consequence::End => Effect::End,
        Consequence::Shorten(period) => Effect::Shorten(*period),
        Consequence::Suspend { make_good_within, with, by } => {
            Effect::Suspend { within: *make_good_within, with: of(with), by: *by }
        }
    }
}
