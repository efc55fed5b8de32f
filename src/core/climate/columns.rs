//! The columns of a logger's table, and how a header is found to be one of them.

use chrono::FixedOffset;
use serde::Serialize;

use crate::core::fold::folded;
use crate::core::words::words;

words! {
    /// What a column of a logger says.
    LoggerColumn, "column of a logger" {
        /// Date and time in one.
        At = "at",
        Date = "date",
        Time = "time",
        AirC = "air_c",
        RhPct = "rh_pct",
        SurfaceC = "surface_c",
        Place = "place",
    }
}

words! {
    /// In which unit a column is written.
    Unit, "unit" {
        Celsius = "celsius",
        Fahrenheit = "fahrenheit",
        Percent = "percent",
        /// A stamp, or a text.
        None = "none",
    }
}

/// What a header means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Meant {
    /// The column.
    pub column: LoggerColumn,
    /// Its unit.
    pub unit: Unit,
    /// The offset from UTC that the header says of its stamps.
    #[serde(skip)]
    pub offset: Option<FixedOffset>,
}

/// Spellings beside a column's own name, folded (lower case, no accents, letters and digits alone), in English, German,
/// Spanish, French and Portuguese. Each was made up from how people name such columns.
const SPELLINGS: &[(LoggerColumn, &str)] = &[
    (
        LoggerColumn::At,
        "datetime dateandtime datetimestamp timestamp stamp recorded recordedat logtime datumuhrzeit datumzeit \
         datumunduhrzeit zeitstempel zeitpunkt messzeit fechahora fechayhora marcadetiempo horodatage dateheure \
         dateetheure datahora dataehora carimbo",
    ),
    (LoggerColumn::Date, "day datum tag fecha dia jour data"),
    (LoggerColumn::Time, "clock uhrzeit zeit hora heure horario"),
    (
        LoggerColumn::AirC,
        "air airtemp airtemperature temp temperature tair ambient ambienttemp ambienttemperature roomtemperature \
         temperatur luft lufttemperatur raumtemperatur umgebungstemperatur temperatura aire \
         temperaturaaire temperaturadelaire temperaturaambiente temperatureair temperaturedelair temperatureambiante \
         ar temperaturaar temperaturadoar t",
    ),
    (
        LoggerColumn::RhPct,
        "rh humidity relativehumidity relhumidity hum feuchte feuchtigkeit luftfeuchte luftfeuchtigkeit relfeuchte \
         relluftfeuchte relativefeuchte relativeluftfeuchte relativeluftfeuchtigkeit rf humedad humedadrelativa hr \
         humidite humiditerelative humidade humidaderelativa umidade umidaderelativa ur",
    ),
    (
        LoggerColumn::SurfaceC,
        "surface surfacetemp surfacetemperature panel paneltemp paneltemperature probe object objecttemperature \
         oberflaeche oberflache oberflaechentemperatur oberflachentemperatur objekttemperatur blech blechtemperatur \
         superficie temperaturasuperficie temperaturadesuperficie temperaturadelasuperficie temperaturesurface \
         temperaturedesurface temperaturedelasurface temperaturadasuperficie tsurface",
    ),
    (
        LoggerColumn::Place,
        "location position sensor channel ort standort messort lugar ubicacion lieu emplacement local localizacao",
    ),
];

/// What each header means; none: nothing to us.
pub(super) fn mapping(header: &[String]) -> Vec<Option<Meant>> {
    header.iter().map(|name| meant(name)).collect()
}

fn meant(header: &str) -> Option<Meant> {
    // Before a bracket or comma stands what it is, behind it the unit or the zone: `Temp, °C`, `Zeit (UTC+1)`.
    let (name, more) = match header.find(['(', '[', ',', '/', '°', 'º']) {
        Some(place) if place > 0 => header.split_at(place),
        _ => (header, ""),
    };
    let key: String = folded(name).chars().filter(|c| c.is_alphanumeric()).collect();
    let (column, rest) = column_of(&key)?;
    let said = format!("{rest} {}", more.to_lowercase());
    let unit = match column {
        LoggerColumn::AirC | LoggerColumn::SurfaceC if is_fahrenheit(&said) => Unit::Fahrenheit,
        LoggerColumn::AirC | LoggerColumn::SurfaceC => Unit::Celsius,
        LoggerColumn::RhPct => Unit::Percent,
        _ => Unit::None,
    };
    let offset = matches!(column, LoggerColumn::At | LoggerColumn::Date | LoggerColumn::Time)
        .then(|| offset_of(&said))
        .flatten();
    Some(Meant { column, unit, offset })
}

/// The column that a folded name means, by itself or with its unit at its end, and that unit.
fn column_of(key: &str) -> Option<(LoggerColumn, &str)> {
    let spelled = |name: &str| {
        let is = |(column, spellings): &(LoggerColumn, &str)| {
            let own: String = column.as_str().chars().filter(|c| c.is_alphanumeric()).collect();
            own == name || spellings.split(' ').any(|one| one == name)
        };
        SPELLINGS.iter().find(|one| is(one)).map(|(column, _)| *column)
    };
    if let Some(column) = spelled(key) {
        return Some((column, ""));
    }
    ["celsius", "degc", "fahrenheit", "degf", "percent", "prozent", "pct", "utc", "gmt", "c", "f"]
        .iter()
        .find_map(|unit| {
            let name = key.strip_suffix(unit).filter(|name| !name.is_empty())?;
            Some((spelled(name)?, *unit))
        })
}

fn is_fahrenheit(said: &str) -> bool {
    let letters: String = said.chars().filter(char::is_ascii_alphabetic).collect();
    matches!(letters.as_str(), "f" | "degf" | "fahrenheit" | "gradf")
}

/// `UTC`, `GMT+01:00`, `UTC-3`: the offset that a header says.
fn offset_of(said: &str) -> Option<FixedOffset> {
    let place = said.find("utc").or_else(|| said.find("gmt"))?;
    let rest: String =
        said[place + 3..].chars().take_while(|c| matches!(c, '+' | '-' | ':' | ' ' | '0'..='9')).collect();
    let rest = rest.trim();
    let Some(sign) = rest.chars().next() else { return FixedOffset::east_opt(0) };
    let (hours, minutes) = rest[1..].split_once(':').unwrap_or((&rest[1..], "0"));
    let (hours, minutes): (i32, i32) = (hours.trim().parse().ok()?, minutes.trim().parse().ok()?);
    if hours > 14 || minutes > 59 {
        return None;
    }
    let seconds = hours * 3_600 + minutes * 60;
    match sign {
        '+' => FixedOffset::east_opt(seconds),
        '-' => FixedOffset::west_opt(seconds),
        _ => None,
    }
}
