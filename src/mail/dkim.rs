//! Signing mails for the domain that they come from (DKIM, RFC 6376; Ed25519 by RFC 8463).

use base64::Engine as _;
use base64::prelude::BASE64_STANDARD;
use ed25519_dalek::SigningKey;
use ed25519_dalek::pkcs8::DecodePrivateKey as _;
use lettre::Message;
use lettre::message::dkim::{
    DkimCanonicalization, DkimCanonicalizationType, DkimConfig, DkimSigningAlgorithm, DkimSigningKey,
};
use lettre::message::header::HeaderName;
use rsa::RsaPrivateKey;
use rsa::pkcs1::{DecodeRsaPrivateKey as _, EncodeRsaPrivateKey as _, LineEnding};
use rsa::pkcs8::EncodePublicKey as _;
use rsa::traits::PublicKeyParts as _;

use crate::core::error::Fault;

/// The headers that are signed. Those that a mail has not are signed as absent, so that nobody can add them on the way.
/// Not `Content-Type`: the builder of messages folds it after the signature was made.
const SIGNED: [&str; 9] = [
    "From",
    "Reply-To",
    "To",
    "Subject",
    "Date",
    "Message-ID",
    "Auto-Submitted",
    "List-Unsubscribe",
    "List-Unsubscribe-Post",
];

/// RFC 8301 §3.2: keys of at least 2048 bits.
const LEAST_BITS: usize = 2048;

/// Signs mails.
pub struct Dkim {
    config: DkimConfig,
    /// The name and the text of the record that lets others check it.
    record: (String, String),
}

impl Dkim {
    /// For `domain`: that of the address that mails come from, or one above it. The public key stands there under
    /// `selector`; the private one is given in PEM: RSA in PKCS #1 or PKCS #8, or Ed25519 in PKCS #8.
    pub fn of(domain: &str, selector: &str, pem: &str) -> Result<Self, Fault> {
        let unusable = |why: String| Fault::new("", "not_a_key", why);
        let (key, algorithm, public) = if let Ok(key) = SigningKey::from_pkcs8_pem(pem) {
            let public = BASE64_STANDARD.encode(key.verifying_key().as_bytes());
            (
                BASE64_STANDARD.encode(key.to_bytes()),
                DkimSigningAlgorithm::Ed25519,
                format!("k=ed25519; p={public}"),
            )
        } else {
            let key = RsaPrivateKey::from_pkcs8_pem(pem)
                .ok()
                .or_else(|| RsaPrivateKey::from_pkcs1_pem(pem).ok())
                .ok_or_else(|| {
                    unusable(
                        "allowed are an RSA key in PKCS #1 or PKCS #8, or an Ed25519 key in PKCS #8, in PEM and \
                         without a password, as `openssl genpkey -algorithm rsa -pkeyopt rsa_keygen_bits:2048` makes them"
                            .into(),
                    )
                })?;
            let bits = key.size() * 8;
            if bits < LEAST_BITS {
                return Err(unusable(format!("an RSA key of {bits} bits; at least {LEAST_BITS} are needed")));
            }
            let public = key.to_public_key().to_public_key_der().map_err(|e| unusable(e.to_string()))?;
            let public = BASE64_STANDARD.encode(public.as_bytes());
            let pem = key.to_pkcs1_pem(LineEnding::LF).map_err(|e| unusable(e.to_string()))?;
            (pem.to_string(), DkimSigningAlgorithm::Rsa, format!("k=rsa; p={public}"))
        };
        let key = DkimSigningKey::new(&key, algorithm).map_err(|e| unusable(e.to_string()))?;
        let relaxed = DkimCanonicalization {
            header: DkimCanonicalizationType::Relaxed,
            body: DkimCanonicalizationType::Relaxed,
        };
        let headers = SIGNED.iter().map(|name| HeaderName::new_from_ascii_str(name)).collect();
        Ok(Self {
            config: DkimConfig::new(selector.to_owned(), domain.to_owned(), key, headers, relaxed),
            record: (format!("{selector}._domainkey.{domain}"), format!("v=DKIM1; {public}")),
        })
    }

    /// Signs a message, which is complete.
    pub(super) fn sign(&self, message: &mut Message) {
        message.sign(&self.config);
    }

    /// The name and the text of the TXT record in the domain's DNS by which others check what is signed.
    pub fn record(&self) -> (&str, &str) {
        (&self.record.0, &self.record.1)
    }
}
