//! Vehicle identification numbers: their form, and the check digit as advice.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use crate::core::error::Fault;

/// A vehicle identification number: 17 of the capitals and digits without I, O and Q (ISO 3779).
///
/// Blanks and hyphens are left out and small letters taken for capitals. A wrong check digit refuses nothing: it is
/// required for vehicles of the North American market only.
///
/// ```
/// use lustrum::core::vin::Vin;
/// let vin: Vin = "1g4-ah59h 45g118341".parse().unwrap(); // sample of 49 CFR 565.15, table V
/// assert_eq!(vin.as_str(), "1G4AH59H45G118341");
/// assert!(vin.check_digit_fits());
/// assert!("1G4AH59H45G11834".parse::<Vin>().is_err());
/// ```
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Vin(String);

/// Weights of the places (49 CFR 565.15, table IV); the ninth is the check digit itself.
const WEIGHTS: [u32; 17] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

impl Vin {
    /// The 17 characters.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The check digit that these characters ask for (49 CFR 565.15(c)).
    pub fn check_digit(&self) -> char {
        let sum: u32 = self.0.bytes().zip(WEIGHTS).map(|(c, weight)| value(c) * weight).sum();
        char::from_digit(sum % 11, 10).unwrap_or('X')
    }

    /// Whether the ninth character is the check digit that is asked for.
    pub fn check_digit_fits(&self) -> bool {
        self.0.chars().nth(8) == Some(self.check_digit())
    }

    /// The model years that the tenth character can stand for, likelier first (49 CFR 565.15(d)(1), table VII): its
    /// code comes again after 30 years, and a letter in the seventh place means the second round, from 2010 on, on
    /// passenger cars and vehicles of up to 4,536 kg. None where the character stands for no year.
    ///
    /// ```
    /// # use lustrum::core::vin::Vin;
    /// assert_eq!("1G4AH59H45G118341".parse::<Vin>().unwrap().model_years(), Some([2005, 2035]));
    /// ```
    pub fn model_years(&self) -> Option<[u16; 2]> {
        let place = |n| self.0.as_bytes().get(n).copied();
        let code = YEAR_CODES.iter().position(|code| place(9) == Some(*code))?;
        let first = 1980 + u16::try_from(code).ok()?;
        let second = first + 30;
        let newer = place(6).is_some_and(|c| c.is_ascii_alphabetic());
        Some(if newer { [second, first] } else { [first, second] })
    }

    /// The numbers whose check digit fits that this one may be a slip of, likeliest first; none when it fits itself.
    ///
    /// First one character taken for another that looks like it, in the order of the table of such pairs (common
    /// practice), then two neighbours the wrong way round.
    pub fn suggestions(&self) -> Vec<Self> {
        if self.check_digit_fits() {
            return Vec::new();
        }
        let places = self.0.as_bytes();
        let with = |changes: &[(usize, u8)]| {
            let mut bytes = places.to_vec();
            changes.iter().for_each(|(n, c)| bytes[*n] = *c);
            Self(bytes.into_iter().map(char::from).collect())
        };
        let mut found = Vec::new();
        for (one, other) in LOOK_ALIKE {
            for (n, c) in places.iter().enumerate() {
                match c {
                    c if c == one => found.push(with(&[(n, *other)])),
                    c if c == other => found.push(with(&[(n, *one)])),
                    _ => {}
                }
            }
        }
        let swaps = places.windows(2).enumerate().filter(|(_, pair)| pair[0] != pair[1]);
        found.extend(swaps.map(|(n, pair)| with(&[(n, pair[1]), (n + 1, pair[0])])));
        found.retain(Self::check_digit_fits);
        found
    }
}

impl Vin {
    /// What a text of 17 letters and digits with I, O or Q in it may have been read from, likeliest first: I is taken for
    /// 1 or L, O for 0 or D, Q for 0 or G (common practice). What has the right check digit comes first; at most
    /// [`MOST_LIKELY`] of them. None where the text is of another length or has other characters.
    ///
    /// ```
    /// use lustrum::core::vin::Vin;
    /// // The sample of 49 CFR 565.15, table V, with I for 1 and O for a 0 that it has not.
    /// assert_eq!(Vin::misread("IG4AH59H45G118341")[0].as_str(), "1G4AH59H45G118341");
    /// assert!("IG4AH59H45G118341".parse::<Vin>().unwrap_err().detail.ends_with("it may be 1G4AH59H45G118341, else LG4AH59H45G118341"));
    /// assert!(Vin::misread("IG4AH59H45").is_empty());
    /// ```
    pub fn misread(text: &str) -> Vec<Self> {
        let slips: Vec<(usize, char)> = slips(text).collect();
        let letters = text.len() == 17 && text.bytes().all(|b| b.is_ascii_digit() || b.is_ascii_uppercase());
        if !letters || slips.is_empty() || slips.len() > MOST_SLIPS {
            return Vec::new();
        }
        let mut found = vec![text.to_owned()];
        for (n, c) in slips {
            let read = MISREAD.iter().filter(|(slip, _)| *slip == c).flat_map(|(_, read)| read.chars());
            let put = |vin: &String, c: char| format!("{}{c}{}", &vin[..n], &vin[n + 1..]);
            found = read.flat_map(|c| found.iter().map(move |vin| put(vin, c))).collect();
        }
        let mut found: Vec<Self> = found.into_iter().map(Self).collect();
        found.sort_by_key(|vin| !vin.check_digit_fits());
        found.truncate(MOST_LIKELY);
        found
    }
}

/// Letters that no VIN has, and what they are taken for, likelier first.
const MISREAD: &[(char, &str)] = &[('I', "1L"), ('O', "0D"), ('Q', "0G")];

/// With more slips than this a text is no VIN that somebody misread.
const MOST_SLIPS: usize = 4;

/// So many numbers are named at most that a misread one may be.
pub const MOST_LIKELY: usize = 4;

/// The places of letters that no VIN has.
fn slips(text: &str) -> impl Iterator<Item = (usize, char)> {
    text.char_indices().filter(|(_, c)| matches!(c, 'I' | 'O' | 'Q'))
}

/// The codes of the model years 1980–2009, in order (49 CFR 565.15, table VII): no I, O, Q, U, Z, 0.
const YEAR_CODES: &[u8; 30] = b"ABCDEFGHJKLMNPRSTVWXY123456789";

/// Characters that are taken for one another on a stamped plate, through a windscreen or in handwriting, likeliest
/// first.
const LOOK_ALIKE: &[(u8, u8)] = &[
    (b'0', b'D'),
    (b'8', b'B'),
    (b'5', b'S'),
    (b'2', b'Z'),
    (b'1', b'7'),
    (b'1', b'L'),
    (b'6', b'G'),
    (b'U', b'V'),
    (b'M', b'N'),
    (b'7', b'T'),
    (b'4', b'A'),
    (b'3', b'8'),
    (b'5', b'6'),
    (b'6', b'8'),
    (b'0', b'8'),
    (b'C', b'G'),
    (b'E', b'F'),
    (b'P', b'R'),
    (b'K', b'X'),
    (b'V', b'Y'),
    (b'H', b'N'),
];

/// The value assigned to a character (49 CFR 565.15, table III).
fn value(c: u8) -> u32 {
    match c {
        b'0'..=b'9' => u32::from(c - b'0'),
        b'A'..=b'H' => u32::from(c - b'A') + 1,
        b'J'..=b'R' => u32::from(c - b'J') + 1,
        b'S'..=b'Z' => u32::from(c - b'S') + 2,
        _ => 0,
    }
}

impl fmt::Display for Vin {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.pad(&self.0)
    }
}

impl FromStr for Vin {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        let plain: String = crate::core::plate::plate_key(text);
        let allowed =
            |b: u8| b.is_ascii_digit() || (b.is_ascii_uppercase() && !matches!(b, b'I' | b'O' | b'Q'));
        if plain.len() == 17 && plain.bytes().all(allowed) {
            return Ok(Self(plain));
        }
        let allowed = "allowed are 17 of A-Z and 0-9 without I, O and Q";
        let mut detail = format!("{text:?} is no VIN: {allowed}");
        let likely = Self::misread(&plain);
        if let Some(first) = likely.first() {
            let slips: Vec<String> = slips(&plain).map(|(n, c)| format!("{c} in place {}", n + 1)).collect();
            detail = format!(
                "{text:?} is no VIN: {} cannot stand there, {allowed}; it may be {first}",
                slips.join(", ")
            );
            let others: Vec<&str> = likely[1..].iter().map(Self::as_str).collect();
            if !others.is_empty() {
                detail = format!("{detail}, else {}", others.join(", "));
            }
        }
        Err(Fault::new("", "not_a_vin", detail))
    }
}

impl Serialize for Vin {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&self.0)
    }
}
