//! The rate of cure, and its integral.

use super::climate::{Point, Run};
use crate::core::error::Fault;
use crate::core::sheet::{Cure, Table, Temperature, looked_up};
use crate::core::units::{Celsius, RelativeHumidity};

/// Molar gas constant in J/(mol K) (CODATA 2018, exact).
const GAS_CONSTANT: f64 = 8.314_462_618;

/// 0 °C in K.
const ZERO_CELSIUS_K: f64 = 273.15;

/// Nodes and weights of the Gauss–Legendre rule of eight points on −1…1, half of it: the rest lies mirrored
/// (Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4).
const GAUSS_8: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_5),
    (0.960_289_856_497_536_2, 0.101_228_536_290_376_3),
];

/// How fast a coat cures relative to the reference climate of its sheet: `k(t, rh) = k_T(t) · k_H(rh)`, and nothing
/// below the temperature at which it stands still.
///
/// ```
/// use lustrum::core::{cure::Rate, sheet::Cure, units::{Celsius, RelativeHumidity}};
/// let cure = Cure::read(&serde_json::json!({"reference": {"c": 20}, "temperature": {"q10": 2.0}, "stops_below_c": 5,
///     "milestones": [{"name": "dry to touch", "h": 1}]})).unwrap();
/// let rate = |c| Rate::of(&cure).unwrap().at(Celsius::new(c).unwrap(), RelativeHumidity::new(50.0).unwrap());
/// assert_eq!((rate(20.0), rate(30.0), rate(4.9)), (1.0, 2.0, 0.0));
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Rate {
    law: Law,
    humidity: Table<f64>,
    stops_below_c: f64,
}

#[derive(Debug, Clone, PartialEq)]
enum Law {
    /// `q10^((t − reference)/10)`.
    Q10 { q10: f64, reference_c: f64 },
    /// `exp(−e · (1/T − 1/reference))`, both in K: the equivalent age of ASTM C1074, e the activation energy over R.
    Arrhenius { e: f64, reference_k: f64 },
    /// Factors by °C.
    Table(Table<f64>),
}

impl Rate {
    /// The rate that a sheet describes; refused where it lacks the reference or the law of temperature.
    pub fn of(cure: &Cure) -> Result<Self, Fault> {
        let missing = |member: &str| {
            Fault::new(format!("/sheet/{member}"), "missing", format!("the sheet does not say `{member}`"))
        };
        let reference_c = cure.reference.ok_or_else(|| missing("reference"))?.c;
        let law = match cure.temperature.as_ref().ok_or_else(|| missing("temperature"))? {
            Temperature::Q10(q10) => Law::Q10 { q10: *q10, reference_c },
            Temperature::ActivationEnergy(energy) => {
                Law::Arrhenius { e: energy / GAS_CONSTANT, reference_k: reference_c + ZERO_CELSIUS_K }
            }
            Temperature::Table(table) => Law::Table(table.clone()),
        };
        let stops_below_c = cure.stops_below_c.unwrap_or(f64::NEG_INFINITY);
        Ok(Self { law, humidity: cure.humidity.clone(), stops_below_c })
    }

    /// The rate of a panel of this temperature in air of this humidity.
    pub fn at(&self, panel: Celsius, air: RelativeHumidity) -> f64 {
        self.of_point((panel.get(), air.get()))
    }

    pub(super) fn of_point(&self, point: Point) -> f64 {
        if point.0 < self.stops_below_c { 0.0 } else { self.smooth(point) }
    }

    /// The same, whether it stands still or not.
    fn smooth(&self, (c, rh): Point) -> f64 {
        let by_temperature = match &self.law {
            Law::Q10 { q10, reference_c } => q10.powf((c - reference_c) / 10.0),
            Law::Arrhenius { e, reference_k } => {
                (-e * (1.0 / (c + ZERO_CELSIUS_K) - 1.0 / reference_k)).exp()
            }
            Law::Table(table) => linear(table, c),
        };
        if self.humidity.is_empty() { by_temperature } else { by_temperature * linear(&self.humidity, rh) }
    }

    /// Cuts a run where the rate has a kink: at points of the tables and where cure stands still.
    pub(super) fn without_kinks(&self, run: Run) -> Vec<Run> {
        let length = run.until - run.from;
        let mut cuts: Vec<f64> = Vec::new();
        let mut cross = |begin: f64, end: f64, level: f64| {
            let share = (level - begin) / (end - begin);
            // NaN and infinity where it does not change.
            if share > 0.0 && share < 1.0 {
                cuts.push(run.from + share * length);
            }
        };
        cross(run.begin.0, run.end.0, self.stops_below_c);
        if let Law::Table(table) = &self.law {
            table.iter().for_each(|(level, _)| cross(run.begin.0, run.end.0, *level));
        }
        self.humidity.iter().for_each(|(level, _)| cross(run.begin.1, run.end.1, *level));
        if cuts.is_empty() {
            return vec![run];
        }
        cuts.sort_by(f64::total_cmp);
        cuts.push(run.until);
        let mut rest = run;
        let mut parts = Vec::with_capacity(cuts.len());
        for cut in cuts {
            let part = rest.cut(cut);
            rest = rest.after(cut);
            if part.until > part.from {
                parts.push(part);
            }
        }
        parts
    }

    /// The integral of the rate over a run without kinks, in seconds.
    pub(super) fn over(&self, run: Run) -> f64 {
        if run.share(0.5).0 < self.stops_below_c {
            return 0.0;
        }
        let length = run.until - run.from;
        if run.begin == run.end {
            return length * self.smooth(run.begin);
        }
        // A polynomial of degree 15 follows an exponential to the last digit as long as its exponent changes by
        // little: longer ways go in steps.
        let steps = self.exponents(run).ceil().max(1.0);
        let mut sum = 0.0;
        let mut step = 0.0;
        while step < steps {
            for (node, weight) in GAUSS_8 {
                for node in [-node, node] {
                    sum += weight * self.smooth(run.share((step + 0.5 + node / 2.0) / steps));
                }
            }
            step += 1.0;
        }
        length * sum / (2.0 * steps)
    }

    /// By how much the exponent of the rate changes at most if it went on everywhere as where it is steepest.
    fn exponents(&self, run: Run) -> f64 {
        let change = (run.end.0 - run.begin.0).abs();
        match &self.law {
            Law::Q10 { q10, .. } => q10.ln().abs() / 10.0 * change,
            Law::Arrhenius { e, .. } => {
                let coldest = run.begin.0.min(run.end.0) + ZERO_CELSIUS_K;
                e / (coldest * coldest) * change
            }
            Law::Table(_) => 0.0,
        }
    }
}

/// What a table of factors says; 1 where there is none.
fn linear(table: &Table<f64>, at: f64) -> f64 {
    looked_up(table, at, |from, to, share| from + (to - from) * share).unwrap_or(1.0)
}
