//! Links that stand in mails: what a link is for is said in it, and signed, so that nothing has to be kept of it and a
//! mail that was written once works as long as the installation has its key.

use base64::Engine as _;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use chrono::{DateTime, Utc};
use ed25519_dalek::{Signature, Signer as _, SigningKey};
use uuid::Uuid;

use super::{Error, keys};
use crate::core::ids::CustomerId;
use crate::core::words::MailChoice;
use crate::db::{self, Db};

/// What the keys are kept under.
const PURPOSE: &str = "links";

/// What is signed begins with this, so that no signature made for anything else is taken for a link.
const MAIL_CHOICE: &[u8] = b"lustrum/mail-choice/1/";

/// What signs links, and tells those that were signed here.
pub(crate) struct Links {
    /// Newest first; never empty.
    keys: Vec<SigningKey>,
    newest: SigningKey,
}

impl Links {
    /// Loads the keys of the installation, and makes the first one.
    pub(crate) fn load(db: &Db, now: DateTime<Utc>) -> Result<Self, Error> {
        let keys: Vec<SigningKey> = keys::made(db, PURPOSE, now)?.into_iter().map(|key| key.key).collect();
        let newest = keys.first().cloned().ok_or_else(|| db::Error::Other("no key signs links".into()))?;
        Ok(Self { keys, newest })
    }

    /// What stands in the link by which a customer ends mails of a kind.
    pub(crate) fn mail_choice(&self, customer: CustomerId, choice: MailChoice) -> String {
        let said = said(customer, choice);
        let mut token = said[MAIL_CHOICE.len()..].to_vec();
        token.extend(self.newest.sign(&said).to_bytes());
        BASE64_URL_SAFE_NO_PAD.encode(token)
    }

    /// Whose mails, and which, such a link ends; none of a link that was not made here.
    pub(crate) fn read_mail_choice(&self, token: &str) -> Option<(CustomerId, MailChoice)> {
        let bytes = BASE64_URL_SAFE_NO_PAD.decode(token).ok()?;
        let (choice, rest) = bytes.split_first()?;
        let (customer, signature) = rest.split_at_checked(16)?;
        let choice = MailChoice::ALL.get(usize::from(*choice)).copied()?;
        let customer = CustomerId::from(Uuid::from_slice(customer).ok()?);
        let signature = Signature::from_slice(signature).ok()?;
        let said = said(customer, choice);
        let signed = self.keys.iter().any(|key| key.verifying_key().verify_strict(&said, &signature).is_ok());
        signed.then_some((customer, choice))
    }
}

/// What is signed. A choice is told by its place among all: new ones come after those that are there.
fn said(customer: CustomerId, choice: MailChoice) -> Vec<u8> {
    let place = MailChoice::ALL.iter().position(|known| *known == choice).unwrap_or_default();
    let place = u8::try_from(place).unwrap_or_default();
    [MAIL_CHOICE, &[place], Uuid::from(customer).as_bytes()].concat()
}
