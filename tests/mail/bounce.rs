//! Reports on delivery as servers write them: in the shape of the examples of RFC 3464, appendix E (written down from
//! memory, with other names), and what is none.

use lustrum::mail::bounce::{Bounce, read};
use proptest::prelude::*;

/// As E.1: one recipient, given up after days; the whole mail comes back.
const GIVEN_UP: &str = "Date: Thu, 7 Jan 2027 17:16:05 -0400\r
From: Mail Delivery Subsystem <MAILER-DAEMON@mx.example.edu>\r
Subject: Returned mail: Cannot send message for 5 days\r
To: <bounces@shop.example.org>\r
MIME-Version: 1.0\r
Content-Type: multipart/report; report-type=delivery-status;\r
      boundary=\"RAA14128.773615765/MX.EXAMPLE.EDU\"\r
\r
--RAA14128.773615765/MX.EXAMPLE.EDU\r
\r
   ----- The following addresses had delivery problems -----\r
<ada@slow.example.org>  (unrecoverable error)\r
\r
--RAA14128.773615765/MX.EXAMPLE.EDU\r
content-type: message/delivery-status\r
\r
Reporting-MTA: dns; mx.example.edu\r
\r
Original-Recipient: rfc822;ada@slow.example.org\r
Final-Recipient: rfc822;ada@slow.example.org\r
Action: failed\r
Status: 4.0.0\r
Diagnostic-Code: smtp; 426 connection timed out\r
Last-Attempt-Date: Thu, 7 Jan 2027 17:15:49 -0400\r
\r
--RAA14128.773615765/MX.EXAMPLE.EDU\r
content-type: message/rfc822\r
\r
From: notices@shop.example.org\r
Message-ID: <one@shop.example.org>\r
Subject: Due\r
\r
Due.\r
--RAA14128.773615765/MX.EXAMPLE.EDU--\r
";

/// As E.2: several recipients, each with its own fate; the headers come back. Lines end as on Unix, fields are folded.
const SEVERAL: &str = "Content-Type: multipart/report; report-type=delivery-status; boundary=\"b\"

--b
Content-Type: text/plain

Some of it did not arrive.
--b
Content-Type: message/delivery-status

Reporting-MTA: dns; gateway.example.net
X-Queue: 7

Final-Recipient: rfc822; ada@example.org
Action: FAILED
Status: 5.1.1 (no such mailbox)
Diagnostic-Code: smtp;
  550 5.1.1 no
  such mailbox

Final-Recipient: rfc822; bruno@example.org
Action: delayed
Status: 4.4.1

Final-Recipient: rfc822; clara@example.org
Action: delivered
Status: 2.0.0
--b
Content-Type: text/rfc822-headers

Message-ID: <two@shop.example.org>
Subject: Due
--b--
";

fn told(bounce: &Bounce) -> Vec<(&str, bool, &str)> {
    bounce.recipients.iter().map(|one| (one.address.as_str(), one.for_good, one.words.as_str())).collect()
}

#[test]
fn what_became_of_each_recipient_is_read() {
    let given_up = read(GIVEN_UP.as_bytes()).unwrap();
    assert_eq!(given_up.about.as_deref(), Some("one@shop.example.org"));
    // It was given up: that the cause may pass does not bring the mail there any more.
    assert_eq!(told(&given_up), [("ada@slow.example.org", true, "4.0.0 426 connection timed out")]);

    for text in [SEVERAL.to_owned(), SEVERAL.replace('\n', "\r\n")] {
        let several = read(text.as_bytes()).unwrap();
        assert_eq!(several.about.as_deref(), Some("two@shop.example.org"));
        let wanted = [
            ("ada@example.org", true, "5.1.1 550 5.1.1 no such mailbox"),
            ("bruno@example.org", false, "4.4.1"),
            ("clara@example.org", false, "2.0.0"),
        ];
        assert_eq!(told(&several), wanted);
    }
}

#[test]
fn what_is_no_report_is_told() {
    let no_status = SEVERAL.replace("message/delivery-status", "text/plain");
    let read_receipt = SEVERAL.replace("report-type=delivery-status", "report-type=disposition-notification");
    for text in ["", "\r\n", "Subject: I am away\r\n\r\nUntil Monday.", &no_status, &read_receipt] {
        assert_eq!(read(text.as_bytes()).unwrap_err().code, "not_a_report", "{text}");
    }
    let nothing_back = SEVERAL.replace("Message-ID", "X-Message");
    assert_eq!(read(nothing_back.as_bytes()).unwrap().about, None);
}

proptest! {
    /// Whatever comes in is read or refused.
    #[test]
    fn no_bytes_do_harm(cut in 0..SEVERAL.len(), bytes in prop::collection::vec(any::<u8>(), 0..60)) {
        let mut mangled = SEVERAL.as_bytes().to_vec();
        mangled.splice(cut..(cut + bytes.len() / 2).min(SEVERAL.len()), bytes);
        let _ = read(&mangled);
    }
}
