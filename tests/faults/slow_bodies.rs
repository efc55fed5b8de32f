//! A body that trickles in is cut off, so that slow clients do not hold the service.

use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::thread;
use std::time::Duration;

use crate::support::database::Backend;
use crate::support::shop::{PASSWORD, TestShop};

/// Longer than the service waits for a body: this test takes as long as that.
const PATIENCE: Duration = Duration::from_mins(2);

#[test]
fn a_body_that_trickles_in_is_cut_off() {
    let shop = TestShop::open(Backend::Sqlite);
    let host = shop.server.url.trim_start_matches("http://").to_owned();
    let body = format!("{{\"email\": \"ines@quayside.example\", \"password\": \"{PASSWORD}\"}}");
    let head = format!(
        "POST /v1/sessions HTTP/1.1\r\nHost: {host}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n",
        body.len()
    );
    let mut stream = TcpStream::connect(&host).unwrap();
    stream.set_read_timeout(Some(PATIENCE)).unwrap();
    stream.write_all(head.as_bytes()).unwrap();
    // A byte a second: the line is never silent, and the body never whole.
    let mut slow = stream.try_clone().unwrap();
    thread::spawn(move || {
        for byte in body.as_bytes().chunks(1) {
            if slow.write_all(byte).is_err() {
                break;
            }
            thread::sleep(Duration::from_secs(1));
        }
    });
    let mut answer = Vec::new();
    let mut part = [0; 4096];
    while !String::from_utf8_lossy(&answer).contains("request_id") {
        let read = stream.read(&mut part).unwrap();
        assert!(read > 0, "closed without a word: {}", String::from_utf8_lossy(&answer));
        answer.extend_from_slice(&part[..read]);
    }
    let said = String::from_utf8_lossy(&answer);
    assert!(said.starts_with("HTTP/1.1 408 ") && said.contains("\"code\":\"timeout\""), "{said}");
    // Others are served meanwhile and after.
    assert_eq!(shop.desk.get("/v1/shop").status, 200);
}
