//! Signed certificates: what a warranty promised, in a form that anybody can check with the installation's public keys
//! and without asking it. Whether the warranty still stands is for the page of its code to say.

use chrono::{DateTime, Utc};
use ed25519_dalek::SigningKey;
use serde::Serialize;
use serde_json::{Value, json};
use uuid::Uuid;

use super::{App, Error, Who, shops, warranties as named};
use crate::core::error::Error as Rule;
use crate::core::ids::Digest;
use crate::core::jws;
use crate::core::record::canonical;
use crate::db::{self, Conn, Installation, Tx, installation, vehicles, warranties};

/// What the keys are kept under.
const PURPOSE: &str = "certificates";

/// A key by which certificates are signed, as it may be shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct KeyView {
    /// Its name, which stands in each certificate.
    pub id: String,
    /// Since when it signs no more; what it signed stays good.
    pub retired_at: Option<DateTime<Utc>>,
}

/// The keys, newest first, with their names.
fn keys(conn: &mut Conn, scope: &Installation) -> Result<Vec<(installation::KeyRow, SigningKey)>, Error> {
    let rows = installation::keys_for(conn, scope, PURPOSE)?;
    let key = |row: installation::KeyRow| {
        let seed = <[u8; 32]>::try_from(row.secret.as_slice());
        let broken = |_| db::Error::Other(format!("the key {} is broken", row.id));
        Ok((row.clone(), SigningKey::from_bytes(&seed.map_err(broken)?)))
    };
    rows.into_iter().map(key).collect()
}

fn make(tx: &mut Tx<'_>, scope: &Installation, now: DateTime<Utc>) -> Result<(), Error> {
    let mut seed = [0; 32];
    getrandom::fill(&mut seed).map_err(|e| db::Error::Other(format!("no randomness: {e}")))?;
    Ok(installation::add_key(tx, scope, &Uuid::now_v7().to_string(), PURPOSE, &seed, now)?)
}

/// The public keys, retired ones too, as a JWK set (RFC 7517): what is published at `/.well-known/jwks.json`.
pub fn public_keys(app: &App) -> Result<Value, Error> {
    let scope = app.db.installation();
    let keys = app.db.read(|c| keys(c, &scope))?;
    let named: Vec<_> = keys.iter().map(|(row, key)| (row.id.as_str(), key.verifying_key())).collect();
    Ok(jws::key_set(&named))
}

/// The keys, newest first.
pub fn list_keys(app: &App) -> Result<Vec<KeyView>, Error> {
    let scope = app.db.installation();
    let keys = app.db.read(|c| keys(c, &scope))?;
    Ok(keys.into_iter().map(|(row, _)| KeyView { id: row.id, retired_at: row.retired_at }).collect())
}

/// Makes a new key by which certificates are signed from now on; those that were signed before stay good.
pub fn rotate_keys(app: &App) -> Result<Vec<KeyView>, Error> {
    let (scope, now) = (app.db.installation(), app.now());
    app.db.write::<_, Error>(move |tx| {
        installation::retire_keys(tx, &scope, PURPOSE, now)?;
        make(tx, &scope, now)
    })?;
    list_keys(app)
}

/// The certificate of a warranty of the shop, by id or number: a compact JWS (RFC 7515, EdDSA). A warranty that is void
/// has none.
pub fn signed(app: &App, who: &Who, name: &str) -> Result<String, Error> {
    let scope = app.db.installation();
    let signs =
        |c: &mut Conn| Ok::<_, Error>(keys(c, &scope)?.into_iter().find(|(row, _)| row.retired_at.is_none()));
    let there = app.db.read(signs)?;
    let (row, key) = match there {
        Some(key) => key,
        None => {
            let now = app.now();
            app.db.write::<_, Error>(move |tx| {
                // Another request may have been first.
                if keys(tx, &scope)?.is_empty() { make(tx, &scope, now) } else { Ok(()) }
            })?;
            app.db.read(signs)?.ok_or_else(|| db::Error::Other("no key signs certificates".into()))?
        }
    };
    let says = app.db.read(|c| says(c, app, who, name))?;
    jws::sign(&says, &row.id, &key).map_err(|fault| db::Error::Other(fault.detail).into())
}

/// What a certificate says: what was promised, and to which vehicle. Nothing personal.
fn says(conn: &mut Conn, app: &App, who: &Who, name: &str) -> Result<Value, Error> {
    let shop = &who.shop;
    let id = named::named(conn, shop, name)?;
    let row = warranties::find(conn, shop, id)?;
    if row.voided.is_some() {
        return Err(
            Rule::state("warranty_void", format!("{} is void: nothing certifies it", row.number)).into()
        );
    }
    let vehicle = vehicles::find(conn, shop, row.vehicle)?;
    let terms = warranties::terms_of(conn, shop, row.id)?;
    let document: Value =
        serde_json::from_str(&terms.document).map_err(|e| db::Error::Other(e.to_string()))?;
    let digest = canonical(&document).map_err(|fault| db::Error::Other(fault.detail))?;
    let settings = shops::settings(conn, app, shop)?;
    Ok(json!({
        "iss": app.config.public_url,
        "sub": row.number,
        "jti": row.verify_code,
        "iat": row.entered_at.timestamp(),
        "certificate": {
            "number": row.number,
            "verify": format!("{}/verify/{}", app.config.public_url, row.verify_code),
            "shop": {"name": settings.name, "address": settings.address},
            "vehicle": {
                "vin": vehicle.vin, "make": vehicle.make, "model": vehicle.model,
                "model_year": vehicle.model_year, "colour": vehicle.colour,
            },
            "terms": {
                "code": terms.code, "edition": terms.edition, "title": document["title"],
                "digest": Digest::of(&digest),
            },
            "start": row.start,
            "start_km": row.start_km,
            "time_zone": row.time_zone.name(),
            "cover": row.cover,
        },
    }))
}

/// The code of verification that a certificate names, if it was signed here.
pub(crate) fn code_of(conn: &mut Conn, app: &App, certificate: &str) -> Result<Option<String>, Error> {
    let keys = keys(conn, &app.db.installation())?;
    let public: Vec<_> = keys.iter().map(|(row, key)| (row.id.as_str(), key.verifying_key())).collect();
    let known = jws::keys(&jws::key_set(&public)).map_err(|fault| db::Error::Other(fault.detail))?;
    let says =
        jws::payload(certificate, &known).and_then(|bytes| serde_json::from_slice::<Value>(&bytes).ok());
    Ok(says.and_then(|says| says["jti"].as_str().map(str::to_owned)))
}
