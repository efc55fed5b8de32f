//! Signed certificates: what a warranty promised, in a form that anybody can check with the installation's public keys
//! and without asking it. Whether the warranty still stands is for the page of its code to say.

use chrono::{DateTime, Utc};
use ed25519_dalek::VerifyingKey;
use serde::Serialize;
use serde_json::{Value, json};

use super::keys::{self, Key};
use super::{App, Error, Who, shops, warranties as named};
use crate::core::error::Error as Rule;
use crate::core::ids::Digest;
use crate::core::jws;
use crate::core::record::canonical;
use crate::db::{self, Conn, Db, installation, vehicles, warranties};

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

/// The public keys with their names, newest first.
fn public(keys: &[Key]) -> Vec<(&str, VerifyingKey)> {
    keys.iter().map(|key| (key.id.as_str(), key.key.verifying_key())).collect()
}

/// Makes the first key, where there is none yet.
pub(super) fn prepare(db: &Db, now: DateTime<Utc>) -> Result<(), Error> {
    keys::made(db, PURPOSE, now).map(|_| ())
}

/// The public keys, retired ones too, as a JWK set (RFC 7517): what is published at `/.well-known/jwks.json`.
pub fn public_keys(app: &App) -> Result<Value, Error> {
    let scope = app.db.installation();
    let keys = app.db.read(|c| keys::of(c, &scope, PURPOSE))?;
    Ok(jws::key_set(&public(&keys)))
}

/// The keys, newest first.
pub fn list_keys(app: &App) -> Result<Vec<KeyView>, Error> {
    let scope = app.db.installation();
    let keys = app.db.read(|c| keys::of(c, &scope, PURPOSE))?;
    Ok(keys.into_iter().map(|key| KeyView { id: key.id, retired_at: key.retired_at }).collect())
}

/// Makes a new key by which certificates are signed from now on; those that were signed before stay good.
pub fn rotate_keys(app: &App) -> Result<Vec<KeyView>, Error> {
    let (scope, now) = (app.db.installation(), app.now());
    app.db.write::<_, Error>(move |tx| {
        installation::retire_keys(tx, &scope, PURPOSE, now)?;
        keys::make(tx, &scope, PURPOSE, now)
    })?;
    list_keys(app)
}

/// The certificate of a warranty of the shop, by id or number: a compact JWS (RFC 7515, EdDSA). A warranty that is void
/// has none.
pub fn signed(app: &App, who: &Who, name: &str) -> Result<String, Error> {
    let scope = app.db.installation();
    let (keys, says) =
        app.db.read::<_, Error>(|c| Ok((keys::of(c, &scope, PURPOSE)?, says(c, app, who, name)?)))?;
    let signs = keys.iter().find(|key| key.retired_at.is_none());
    let Key { id, key, .. } = signs.ok_or_else(|| db::Error::Other("no key signs certificates".into()))?;
    jws::sign(&says, id, key).map_err(|fault| db::Error::Other(fault.detail).into())
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
    let keys = keys::of(conn, &app.db.installation(), PURPOSE)?;
    let known = jws::keys(&jws::key_set(&public(&keys))).map_err(|fault| db::Error::Other(fault.detail))?;
    let says =
        jws::payload(certificate, &known).and_then(|bytes| serde_json::from_slice::<Value>(&bytes).ok());
    Ok(says.and_then(|says| says["jti"].as_str().map(str::to_owned)))
}
