//! Signing in: access tokens that last a quarter of an hour, and refresh tokens that rotate.

use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use chrono::{DateTime, TimeDelta, Utc};
use ed25519_dalek::pkcs8::EncodePrivateKey as _;
use ed25519_dalek::{Signature, Signer as _, SigningKey, Verifier as _};
use jsonwebtoken::{Algorithm, DecodingKey, EncodingKey, Header, Validation};
use serde::{Deserialize, Serialize};

use super::{App, Error, Who, keys, members, new_id};
use crate::core::email::Email;
use crate::core::error::Error as Rule;
use crate::core::ids::{MemberId, SessionId, ShopId};
use crate::core::words::Role;
use crate::db::people::{self, MemberRow, SessionRow};
use crate::db::{self, Conn, Db, Installation, Tx};

/// How long an access token is good for, in seconds.
pub const ACCESS_SECONDS: i64 = 900;

/// How long a session lasts from signing in.
const SESSION_DAYS: i64 = 30;

/// How long the refresh token before the present one still gives the present one: two tabs, or an answer lost.
const GRACE_SECONDS: i64 = 60;

pub(crate) const ACCESS: &str = "access_token";
const REFRESH: &str = "refresh_token";
const ISSUER: &str = "lustrum";

/// A hash of no one's password: an unknown address takes as long as a wrong password.
const NOBODY: &str =
    "$argon2id$v=19$m=19456,t=2,p=1$c29tZXNhbHRzb21lc2FsdA$Dc7vF6DY0UKvWwRUcEcjaSrOEtMzEpdTBxKtlnLC0Bw";

/// Who signs in.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SignIn {
    /// E-mail address of the member.
    pub email: String,
    /// The password.
    pub password: String,
    /// One-time password, for members who have set one up.
    #[serde(default)]
    pub otp: Option<String>,
}

/// The refresh token that is to be exchanged.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Refresh {
    /// As it was given when signing in or at the last exchange.
    pub refresh_token: String,
}

/// A session that has begun or goes on.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct SessionView {
    /// To be sent as `Authorization: Bearer …`.
    pub access_token: String,
    /// Always `Bearer`.
    pub token_type: &'static str,
    /// Seconds for which the access token is good.
    pub expires_in: i64,
    /// To be exchanged for the next pair, once.
    pub refresh_token: String,
    /// Who signed in.
    pub member: SessionMember,
    /// Their shop.
    pub shop: SessionShop,
}

/// The member of a session.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct SessionMember {
    /// The member.
    pub id: MemberId,
    /// Name, as it stands in records.
    pub name: String,
    /// Where they sign in.
    pub email: String,
    /// What they may do.
    pub role: Role,
}

/// The shop of a session.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct SessionShop {
    /// The shop.
    pub id: ShopId,
    /// Its name.
    pub name: String,
}

#[derive(Debug, Serialize, Deserialize)]
struct Claims {
    iss: String,
    sub: MemberId,
    sid: SessionId,
    iat: i64,
    exp: i64,
}

/// What signs and checks tokens.
pub(crate) struct Tokens {
    encoding: EncodingKey,
    decoding: DecodingKey,
    validation: Validation,
    refresh: SigningKey,
}

impl Tokens {
    /// Makes the keys of a new installation.
    pub(crate) fn make(tx: &mut Tx<'_>, scope: &Installation, now: DateTime<Utc>) -> Result<(), Error> {
        for purpose in [ACCESS, REFRESH] {
            keys::make(tx, scope, purpose, now)?;
        }
        Ok(())
    }

    /// Loads the keys of the installation.
    pub(crate) fn load(db: &Db) -> Result<Self, Error> {
        // A second call finds it installed, which is just as well.
        let _ = jsonwebtoken::crypto::rust_crypto::DEFAULT_PROVIDER.install_default();
        let key = |purpose| {
            let newest = db.read(|c| keys::of(c, &db.installation(), purpose))?.into_iter().next();
            newest.map(|key| key.key).ok_or_else(|| {
                let detail = "the database has not been set up: run `lustrum init` or `lustrum demo`";
                Error::from(db::Error::Other(detail.into()))
            })
        };
        let (access, refresh) = (key(ACCESS)?, key(REFRESH)?);
        let broken = |e: &dyn std::fmt::Display| db::Error::Other(format!("the access key is broken: {e}"));
        let der = access.to_pkcs8_der().map_err(|e| broken(&e))?;
        let public = URL_SAFE_NO_PAD.encode(access.verifying_key().as_bytes());
        let mut validation = Validation::new(Algorithm::EdDSA);
        validation.leeway = 0;
        // The clock may be a drill's: what has expired is judged by ours, below.
        validation.validate_exp = false;
        validation.set_required_spec_claims(&["iss", "sub", "exp"]);
        validation.set_issuer(&[ISSUER]);
        Ok(Self {
            encoding: EncodingKey::from_ed_der(der.as_bytes()),
            decoding: DecodingKey::from_ed_components(&public).map_err(|e| broken(&e))?,
            validation,
            refresh,
        })
    }

    fn access(&self, member: MemberId, session: SessionId, now: DateTime<Utc>) -> Result<String, Error> {
        let iat = now.timestamp();
        let claims = Claims { iss: ISSUER.into(), sub: member, sid: session, iat, exp: iat + ACCESS_SECONDS };
        jsonwebtoken::encode(&Header::new(Algorithm::EdDSA), &claims, &self.encoding)
            .map_err(|e| db::Error::Other(format!("cannot sign a token: {e}")).into())
    }

    fn read(&self, token: &str, now: DateTime<Utc>) -> Option<Claims> {
        let claims = jsonwebtoken::decode::<Claims>(token, &self.decoding, &self.validation).ok()?.claims;
        (claims.exp > now.timestamp()).then_some(claims)
    }

    /// The refresh token of a session's generation: Ed25519 signs alike each time (RFC 8032), so that the successor
    /// of a token is always the same and none has to be kept.
    fn refresh(&self, session: SessionId, generation: i64) -> String {
        let mut bytes = session.uuid().as_bytes().to_vec();
        bytes.extend(generation.to_be_bytes());
        let signature = self.refresh.sign(&bytes);
        bytes.extend(signature.to_bytes());
        URL_SAFE_NO_PAD.encode(bytes)
    }

    fn read_refresh(&self, token: &str) -> Option<(SessionId, i64)> {
        let bytes = URL_SAFE_NO_PAD.decode(token).ok()?;
        let (said, signature) = bytes.split_at_checked(24)?;
        let signature = Signature::from_slice(signature).ok()?;
        self.refresh.verifying_key().verify(said, &signature).ok()?;
        let (session, generation) = said.split_at_checked(16)?;
        let session = uuid::Uuid::from_slice(session).ok()?;
        Some((session.into(), i64::from_be_bytes(generation.try_into().ok()?)))
    }
}

/// Signs a member in.
pub fn sign_in(app: &App, input: &SignIn) -> Result<SessionView, Error> {
    let scope = app.db.installation();
    let folded = input.email.parse::<Email>().map(|email| email.folded()).unwrap_or_default();
    let person = app.db.read(|c| people::person_by_email(c, &scope, &folded))?;
    let hash = person.as_ref().map_or(NOBODY, |(_, hash)| hash);
    let right = members::is_password(&input.password, hash);
    let Some((person, _)) = person.filter(|_| right) else { return Err(Rule::SignInFailed.into()) };
    let now = app.now();
    let session = SessionRow {
        id: new_id(),
        member: uuid::Uuid::nil().into(),
        generation: 1,
        rotated_at: now,
        expires_at: now + TimeDelta::days(SESSION_DAYS),
        ended_at: None,
    };
    let (member, session) = app.db.write(move |tx| {
        let Some(member) = people::memberships(tx, &scope, person)?.into_iter().next() else {
            return Err(Error::from(Rule::SignInFailed));
        };
        let session = SessionRow { member: member.id, ..session };
        people::add_session(tx, &scope, &session)?;
        Ok((member, session))
    })?;
    view(app, member, &session)
}

fn view(app: &App, member: MemberRow, session: &SessionRow) -> Result<SessionView, Error> {
    let shop = app.db.read(|c| people::shop(c, &app.db.installation(), member.shop))?;
    Ok(SessionView {
        access_token: app.tokens.access(member.id, session.id, app.now())?,
        token_type: "Bearer",
        expires_in: ACCESS_SECONDS,
        refresh_token: app.tokens.refresh(session.id, session.generation),
        member: SessionMember { id: member.id, name: member.name, email: member.email, role: member.role },
        shop: SessionShop { id: shop.shop.id(), name: shop.name },
    })
}

/// Exchanges a refresh token. The one before the present, given again within a minute, gives the same successor; an
/// older one ends the whole session, for then somebody else has it.
pub fn refresh(app: &App, input: &Refresh) -> Result<SessionView, Error> {
    let failed = || Error::from(Rule::SignInFailed);
    let (id, generation) = app.tokens.read_refresh(&input.refresh_token).ok_or_else(failed)?;
    let (scope, now) = (app.db.installation(), app.now());
    let outcome = app.db.write::<_, Error>(move |tx| {
        let Some(mut session) = people::session(tx, &scope, id)? else { return Ok(None) };
        if session.ended_at.is_some() || session.expires_at <= now {
            return Ok(None);
        }
        let in_grace = now - session.rotated_at <= TimeDelta::seconds(GRACE_SECONDS);
        if generation == session.generation {
            if !people::rotate_session(tx, &scope, id, generation, now)? {
                return Err(db::Error::Busy.into());
            }
            session.generation += 1;
        } else if generation + 1 != session.generation || !in_grace {
            people::end_session(tx, &scope, id, now)?;
            return Ok(None);
        }
        let member = people::member_anywhere(tx, &scope, session.member)?;
        Ok(member.filter(|m| m.disabled_at.is_none()).map(|member| (member, session)))
    })?;
    let (member, session) = outcome.ok_or_else(failed)?;
    view(app, member, &session)
}

/// Ends the session of an access token.
pub fn sign_out(app: &App, token: &str) -> Result<(), Error> {
    let claims = app.tokens.read(token, app.now()).ok_or(Rule::NotSignedIn)?;
    let (scope, now) = (app.db.installation(), app.now());
    app.db.write(move |tx| Ok(people::end_session(tx, &scope, claims.sid, now)?))
}

/// Who holds this access token; roles and whether somebody is disabled are looked up anew each time.
pub fn who(app: &App, token: &str) -> Result<Who, Error> {
    let claims = app.tokens.read(token, app.now()).ok_or(Rule::NotSignedIn)?;
    app.db.read(|c| {
        let scope = app.db.installation();
        let session = people::session(c, &scope, claims.sid)?.filter(|session| session.ended_at.is_none());
        let member = people::member_anywhere(c, &scope, claims.sub)?.filter(|m| m.disabled_at.is_none());
        match (session, member) {
            (Some(_), Some(member)) => acting(c, &scope, member),
            _ => Err(Rule::NotSignedIn.into()),
        }
    })
}

fn acting(conn: &mut Conn, scope: &Installation, member: MemberRow) -> Result<Who, Error> {
    let shop = people::shop(conn, scope, member.shop)?;
    let zone = super::zone("/time_zone", &shop.time_zone).map_err(|fault| db::Error::Other(fault.detail))?;
    Ok(Who { member: member.id, name: member.name, role: member.role, shop: shop.shop, zone })
}

/// The member with this address, for whom a command acts on this machine.
pub fn act_for(app: &App, email: &str) -> Result<Who, Error> {
    let folded = email.parse::<Email>().map(|email| email.folded()).unwrap_or_default();
    app.db.read(|c| {
        let scope = app.db.installation();
        let (person, _) = people::person_by_email(c, &scope, &folded)?.ok_or(Rule::NotFound)?;
        let member = people::memberships(c, &scope, person)?.into_iter().next().ok_or(Rule::NotFound)?;
        acting(c, &scope, member)
    })
}
