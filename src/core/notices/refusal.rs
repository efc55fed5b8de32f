//! Whether a server's last words mean that an address takes no mails at all.

/// Whether a final refusal is about the address, and not about this one message: by the enhanced status (RFC 3463:
/// 5.1.x "addressing", 5.2.1 "mailbox disabled"), or where there is none, by the reply code (RFC 5321 §4.2.3).
///
/// ```
/// use lustrum::core::notices::refuses_address;
/// assert!(refuses_address("550 5.1.1 <ada@example.org>: no such mailbox"));
/// assert!(refuses_address("551 user not local"));
/// assert!(refuses_address("5.1.1 no such mailbox"), "as reports on delivery begin");
/// assert!(!refuses_address("554 5.7.1 looks like spam"));
/// assert!(!refuses_address("552 5.2.2 mailbox full"));
/// assert!(!refuses_address("450 4.1.1 try again"));
/// ```
pub fn refuses_address(words: &str) -> bool {
    let mut said = words.split(|sign: char| sign.is_whitespace() || sign == '-');
    let first = said.next().unwrap_or_default();
    let is_reply_code = first.len() == 3 && first.bytes().all(|b| b.is_ascii_digit());
    let enhanced = if is_reply_code { said.next().unwrap_or_default() } else { first };
    let mut parts = enhanced.split('.').map(str::parse::<u16>);
    match (parts.next(), parts.next(), parts.next(), parts.next()) {
        (Some(Ok(class)), Some(Ok(subject)), Some(Ok(detail)), None) => {
            class == 5 && (subject == 1 || (subject, detail) == (2, 1))
        }
        _ => ["550", "551", "553"].contains(&first),
    }
}
