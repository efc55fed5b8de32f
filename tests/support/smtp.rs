//! An SMTP server that misbehaves on purpose: each connection follows the next line of a script, and behaves well
//! once the script is at its end. It speaks as much of RFC 5321 as a client needs.

use std::collections::VecDeque;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

/// What the server does with one connection.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Behaviour {
    /// Takes the mail.
    Accept,
    /// Takes the mail, and takes its time for each answer.
    Slowly,
    /// Closes the connection without a word.
    Refuse,
    /// Greets with 554: no service here.
    NoService,
    /// Answers the recipient with this code.
    Recipient(u16),
    /// Takes the connection and says nothing for as long as the client stays.
    Stall,
    /// Answers a byte at a time, and never a whole line.
    Trickle,
    /// Asks for the mail, reads some of it and closes.
    CloseInData,
    /// Takes the whole mail and closes before it says so.
    CloseAfterData,
}

/// A mail as it came in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Received {
    pub(crate) sender: String,
    pub(crate) recipients: Vec<String>,
    /// As it was before the client doubled leading dots.
    pub(crate) bytes: Vec<u8>,
    /// Whether the client was told that it was taken.
    pub(crate) answered: bool,
}

/// The server; its thread ends with the test process.
pub(crate) struct SmtpServer {
    address: SocketAddr,
    script: Arc<Mutex<VecDeque<Behaviour>>>,
    received: Arc<Mutex<Vec<Received>>>,
}

impl SmtpServer {
    /// A server on a free port of this machine that follows the script, one behaviour a connection.
    pub(crate) fn start(script: &[Behaviour]) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let server = Self {
            address: listener.local_addr().unwrap(),
            script: Arc::new(Mutex::new(script.iter().copied().collect())),
            received: Arc::default(),
        };
        let (script, received) = (server.script.clone(), server.received.clone());
        thread::spawn(move || {
            for stream in listener.incoming().map_while(Result::ok) {
                let behaviour = script.lock().unwrap().pop_front().unwrap_or(Behaviour::Accept);
                let received = received.clone();
                thread::spawn(move || {
                    // A client that goes away in the middle is no failure of the server.
                    let _ = serve(stream, behaviour, &received);
                });
            }
        });
        server
    }

    /// Where it listens, as `LUSTRUM_MAIL` names it.
    pub(crate) fn url(&self) -> String {
        format!("smtp://{}", self.address)
    }

    /// Every mail that came in whole, in order.
    pub(crate) fn received(&self) -> Vec<Received> {
        self.received.lock().unwrap().clone()
    }

    /// How much of the script is left.
    pub(crate) fn left(&self) -> usize {
        self.script.lock().unwrap().len()
    }
}

fn serve(
    mut stream: TcpStream,
    behaviour: Behaviour,
    received: &Mutex<Vec<Received>>,
) -> std::io::Result<()> {
    stream.set_read_timeout(Some(Duration::from_mins(1)))?;
    match behaviour {
        Behaviour::Refuse => return Ok(()),
        Behaviour::NoService => return stream.write_all(b"554 no service here\r\n"),
        Behaviour::Trickle => {
            // A byte now and then, and never the end of a line.
            while stream.write_all(b"2").is_ok() {
                thread::sleep(Duration::from_millis(50));
            }
            return Ok(());
        }
        Behaviour::Stall => return stream.read_to_end(&mut Vec::new()).map(drop),
        _ => stream.write_all(b"220 mail.example.org ESMTP\r\n")?,
    }
    let mut lines = BufReader::new(stream.try_clone()?);
    let (mut sender, mut recipients) = (String::new(), Vec::new());
    loop {
        let mut line = String::new();
        if lines.read_line(&mut line)? == 0 {
            return Ok(());
        }
        let verb = line.get(..4).unwrap_or_default().to_ascii_uppercase();
        let answer = match verb.as_str() {
            "EHLO" | "HELO" => "250 mail.example.org".to_owned(),
            "MAIL" => {
                sender = path(&line);
                "250 2.1.0 go on".to_owned()
            }
            "RCPT" => {
                recipients.push(path(&line));
                match behaviour {
                    Behaviour::Recipient(code) => format!("{code} this recipient is not served"),
                    _ => "250 2.1.5 go on".to_owned(),
                }
            }
            "DATA" => {
                stream.write_all(b"354 end with a dot\r\n")?;
                if behaviour == Behaviour::CloseInData {
                    lines.read_exact(&mut [0; 16])?;
                    return Ok(());
                }
                let bytes = data(&mut lines)?;
                let answered = behaviour != Behaviour::CloseAfterData;
                let mail =
                    Received { sender: sender.clone(), recipients: recipients.clone(), bytes, answered };
                received.lock().unwrap().push(mail);
                if !answered {
                    return Ok(());
                }
                "250 2.0.0 taken".to_owned()
            }
            "NOOP" => "250 2.0.0 here".to_owned(),
            "QUIT" => return stream.write_all(b"221 2.0.0 bye\r\n"),
            _ => "502 5.5.1 not known here".to_owned(),
        };
        if behaviour == Behaviour::Slowly {
            thread::sleep(Duration::from_millis(8));
        }
        stream.write_all(format!("{answer}\r\n").as_bytes())?;
    }
}

/// What stands between the angle brackets.
fn path(line: &str) -> String {
    line.split_once('<')
        .and_then(|(_, rest)| rest.split_once('>'))
        .map(|(path, _)| path.to_owned())
        .unwrap_or_default()
}

/// The mail up to the line with a dot alone (RFC 5321 §4.5.2).
fn data(lines: &mut impl std::io::BufRead) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    loop {
        let mut line = Vec::new();
        if lines.read_until(b'\n', &mut line)? == 0 {
            return Err(std::io::ErrorKind::UnexpectedEof.into());
        }
        match line.as_slice() {
            b".\r\n" => return Ok(bytes),
            [b'.', rest @ ..] => bytes.extend_from_slice(rest),
            _ => bytes.extend_from_slice(&line),
        }
    }
}

/// A report on the delivery of a mail, as servers write it (the shape of RFC 3464, appendix E.1).
pub(crate) fn report(mail: &lustrum::mail::Outgoing, action: &str, status: &str, said: &str) -> String {
    let headers = String::from_utf8(mail.bytes.clone()).unwrap();
    let headers = headers.split("\r\n\r\n").next().unwrap();
    format!(
        "From: Mail Delivery Subsystem <mailer-daemon@mx.example.org>\r\nTo: <{sender}>\r\nMIME-Version: 1.0\r\n\
         Subject: Returned mail\r\nContent-Type: multipart/report; report-type=delivery-status;\r\n\tboundary=\"b/1\"\r\n\r\n\
         --b/1\r\n\r\nThe mail could not be delivered.\r\n\r\n--b/1\r\nContent-Type: message/delivery-status\r\n\r\n\
         Reporting-MTA: dns; mx.example.org\r\n\r\nOriginal-Recipient: rfc822;{to}\r\nFinal-Recipient: rfc822;{to}\r\n\
         Action: {action}\r\nStatus: {status}\r\nDiagnostic-Code: smtp;\r\n\t{said}\r\n\r\n\
         --b/1\r\nContent-Type: text/rfc822-headers\r\n\r\n{headers}\r\n\r\n--b/1--\r\n",
        sender = mail.sender,
        to = mail.recipient,
    )
}
