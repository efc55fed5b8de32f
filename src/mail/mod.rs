//! Mails: from values to bytes, and on their way.
//!
//! [`texts`] says what the owner is told, as sections that can share one mail; [`body`] writes them as text and as
//! HTML that say the same; [`message`] makes the message that is kept and sent; [`transport`] hands it over.

pub mod body;
pub mod bounce;
pub mod dkim;
pub mod message;
pub mod said;
pub mod texts;
pub mod transport;

pub use lettre::Address;
pub use message::{Outgoing, Posting, Unsendable};
pub use said::{Attachment, Letter};
pub use transport::{Accepted, Failure, FailureKind, Mailer};
