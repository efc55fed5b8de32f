//! Vehicle identification numbers against 49 CFR 565.15, and plates.

use lustrum::core::fold::folded;
use lustrum::core::plate::plate_key;
use lustrum::core::vin::Vin;

/// reference/vin_cases.csv: the sample of the regulation, widely published numbers, made-up ones.
#[test]
fn check_digits_are_those_of_the_regulation() {
    let mut judged = 0;
    for row in include_str!("../reference/vin_cases.csv").lines().skip(1) {
        let cells: Vec<&str> = row.split(',').collect();
        let [id, kind, vin, _, check, _, fits, ..] = cells[..] else { panic!("{row}") };
        match vin.parse::<Vin>() {
            Ok(vin) => {
                assert_eq!(vin.check_digit().to_string(), check, "{id}");
                assert_eq!(vin.check_digit_fits().to_string(), fits, "{id}");
            }
            Err(fault) => {
                assert_eq!(fault.code, "not_a_vin");
                assert!(kind.starts_with("bad-"), "{id}: {fault}");
            }
        }
        assert_eq!(vin.parse::<Vin>().is_err(), kind.starts_with("bad-"), "{id}");
        judged += 1;
    }
    assert!(judged > 40, "{judged} rows");
}

/// reference/model_year.csv: table VII of the regulation with its footnote on the seventh place.
#[test]
fn model_years_are_those_of_the_regulation() {
    let mut judged = 0;
    for row in include_str!("../reference/model_year.csv").lines().skip(1) {
        let mut cells = row.split(',');
        let [id, code, seventh, year] = [(); 4].map(|()| cells.next().unwrap());
        let seventh = if seventh == "numeric" { '5' } else { 'K' };
        let vin: Vin = format!("0ZZ7CD{seventh}V0{code}P006864").parse().unwrap();
        let year: u16 = year.parse().unwrap();
        let other = if seventh == '5' { year + 30 } else { year - 30 };
        assert_eq!(vin.model_years(), Some([year, other]), "{id}");
        judged += 1;
    }
    assert!(judged > 30, "{judged} rows");
    for code in ['U', 'Z', '0'] {
        assert_eq!(format!("0ZZ7CD5V0{code}P006864").parse::<Vin>().unwrap().model_years(), None, "{code}");
    }
}

#[test]
fn a_misread_number_is_found_again() {
    let right: Vin = "1G4AH59H45G118341".parse().unwrap();
    // A letter for a digit that looks like it, at each place where there is one; two neighbours the wrong way round.
    for misread in [
        "164AH59H45G118341",
        "1G4AHS9H45G118341",
        "1G4AH59H45G11B341",
        "G14AH59H45G118341",
        "1G4AH95H45G118341",
    ] {
        let misread: Vin = misread.parse().unwrap();
        assert!(!misread.check_digit_fits(), "{misread}");
        let found = misread.suggestions();
        assert!(found.contains(&right), "{misread}: {found:?}");
        assert!(found.iter().all(Vin::check_digit_fits));
    }
    // The likelier comes first.
    assert_eq!("1G4AHS9H45G118341".parse::<Vin>().unwrap().suggestions()[0], right);
    assert_eq!(right.suggestions(), [], "nothing is wrong with it");
}

#[test]
fn a_number_is_taken_as_people_write_it() {
    for written in ["1g4ah59h45g118341", "1G4 AH59H4 5G 118341", "1G4-AH59H4\u{2011}5G118341"] {
        assert_eq!(written.parse::<Vin>().unwrap().as_str(), "1G4AH59H45G118341");
    }
    for wrong in ["", "1G4AH59H45G11834", "1G4AH59H45G1183411", "1G4AH59H45GI18341", "1G4AH59H45G11834ß"] {
        assert_eq!(wrong.parse::<Vin>().unwrap_err().code, "not_a_vin", "{wrong:?}");
    }
}

#[test]
fn plates_and_names_are_found_however_they_are_written() {
    for (written, key) in [("ab 12-cd", "AB12CD"), ("AB–12 CD", "AB12CD"), ("m-äx 1", "MÄX1"), (" - ", "")]
    {
        assert_eq!(plate_key(written), key);
    }
    for (written, key) in
        [("Łukasz  Ørsted", "lukasz orsted"), ("ﬁat", "fiat"), ("Ａｄａ", "ada"), ("  ", "")]
    {
        assert_eq!(folded(written), key);
    }
    // The same name, composed and decomposed.
    assert_eq!(folded("Jose\u{301}"), folded("José"));
}
