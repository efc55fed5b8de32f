//! What a manager should think about before publishing, though nothing hinders it.

use super::{Consequence, Rank, Terms};
use crate::core::error::Fault;

/// Cautions of a draft, each at its place.
///
/// Cover that depends on something open to accredited shops only can be a tying arrangement (16 CFR 700.10): a
/// rule with any consequence but `note`, a making good, an inspection after a transfer. Besides: a breach that ends
/// cover at once; a ladder with a step milder than one before it; a making good that may outlast the way to the next
/// due, where a harsher step follows.
pub fn cautions(terms: &Terms) -> Vec<Fault> {
    let mut found = Vec::new();
    let mut say = |pointer: String, code, detail: &str| found.push(Fault::new(pointer, code, detail));
    const TIED: &str =
        "cover depends on something open to accredited shops only: see 16 CFR 700.10, and ask a lawyer";
    for (i, rule) in terms.upkeep.iter().enumerate() {
        let place = format!("/upkeep/{i}");
        let costs = rule.if_missed.iter().any(|consequence| *consequence != Consequence::Note);
        if rule.by == Rank::Accredited && costs {
            say(format!("{place}/by"), "accredited_only", TIED);
        }
        let at = |k: usize| {
            if rule.if_missed.len() == 1 {
                format!("{place}/if_missed")
            } else {
                format!("{place}/if_missed/{k}")
            }
        };
        for (k, consequence) in rule.if_missed.iter().enumerate() {
            if let Consequence::Suspend { make_good_within, by, .. } = consequence {
                if *by == Rank::Accredited {
                    say(format!("{}/by", at(k)), "accredited_only", TIED);
                }
                let next =
                    rule.if_missed.get(k + 1).is_some_and(|next| harshness(next) > harshness(consequence));
                let way = rule.every.map(|every| every.shortest() + rule.late.shortest());
                if let (true, Some(within), Some(way)) = (next, make_good_within, way)
                    && within.longest() > way
                {
                    say(
                        format!("{}/make_good_within", at(k)),
                        "outlasts_next",
                        "the next miss, with a harsher step, can come before this one has been made good",
                    );
                }
            }
            let before = rule.if_missed.get(..k).unwrap_or_default();
            if before.iter().any(|earlier| harshness(earlier) > harshness(consequence)) {
                say(at(k), "milder_step", "a later miss costs less than an earlier one");
            }
        }
    }
    for (i, breach) in terms.breaches.iter().enumerate() {
        match &breach.consequence {
            Consequence::End => {
                say(
                    format!("/breaches/{i}/effect"),
                    "ends_at_once",
                    "cover ends at once, and nothing can make it good",
                );
            }
            Consequence::Suspend { by: Rank::Accredited, .. } => {
                say(format!("/breaches/{i}/by"), "accredited_only", TIED);
            }
            _ => {}
        }
    }
    if terms.transfer.as_ref().is_some_and(|transfer| transfer.inspect_within.is_some()) {
        say("/transfer/inspect_within".into(), "accredited_only", TIED);
    }
    found
}

/// In rising order: note, shorten, suspend, end.
fn harshness(consequence: &Consequence) -> u8 {
    match consequence {
        Consequence::Note => 0,
        Consequence::Shorten(_) => 1,
        Consequence::Suspend { .. } => 2,
        Consequence::End => 3,
    }
}
