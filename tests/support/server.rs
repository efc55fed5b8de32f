//! The real service on a port of its own, and a client that speaks HTTP with it.

use std::net::TcpListener;
use std::thread::JoinHandle;

use actix_web::dev::ServerHandle;
use lustrum::app::App;
use serde_json::Value;

use super::contract;

/// The service, served by a thread of this process; stopped when it is dropped.
pub(crate) struct Server {
    pub(crate) url: String,
    handle: ServerHandle,
    thread: Option<JoinHandle<()>>,
}

impl Server {
    pub(crate) fn start(app: App) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let url = format!("http://{}", listener.local_addr().unwrap());
        let (send, receive) = std::sync::mpsc::channel();
        let thread = std::thread::spawn(move || {
            actix_web::rt::System::new().block_on(async move {
                let server = lustrum::http::serve(app, listener, 1).unwrap();
                send.send(server.handle()).unwrap();
                server.await.unwrap();
            });
        });
        Self { url, handle: receive.recv().unwrap(), thread: Some(thread) }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // Told to stop at once; the future that waits for it need not be polled.
        drop(self.handle.stop(false));
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

/// An answer of the service.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) what: String,
    pub(crate) status: u16,
    pub(crate) headers: Vec<(String, String)>,
    pub(crate) body: Value,
    /// The body as it came, if it is text.
    pub(crate) text: String,
    /// The body as it came.
    pub(crate) bytes: Vec<u8>,
}

impl Answer {
    /// The value of a header.
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        self.headers
            .iter()
            .find(|(known, _)| known.eq_ignore_ascii_case(name))
            .map(|(_, value)| value.as_str())
    }

    fn is(self, status: u16) -> Self {
        assert_eq!(self.status, status, "{}: {:#}", self.what, self.body);
        self
    }

    /// The body of a 200.
    pub(crate) fn ok(self) -> Value {
        self.is(200).body
    }

    /// The body of a 201.
    pub(crate) fn created(self) -> Value {
        self.is(201).body
    }

    /// The body of a problem of this status and code.
    pub(crate) fn refused(self, status: u16, code: &str) -> Value {
        let answer = self.is(status);
        assert_eq!(answer.header("content-type"), Some("application/problem+json"), "{}", answer.what);
        assert_eq!(answer.body["code"], code, "{}: {:#}", answer.what, answer.body);
        answer.body
    }

    /// The places (pointer or parameter) and codes of all faults of a problem of this status and code.
    pub(crate) fn faults(self, status: u16, code: &str) -> Vec<(String, String)> {
        let body = self.refused(status, code);
        let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
        let place = |fault: &Value| {
            let at = if fault["parameter"].is_string() { &fault["parameter"] } else { &fault["pointer"] };
            (text(at), text(&fault["code"]))
        };
        body["errors"].as_array().map(|list| list.iter().map(place).collect()).unwrap_or_default()
    }
}

/// Someone who calls the service.
#[derive(Clone)]
pub(crate) struct Client {
    url: String,
    token: Option<String>,
    agent: ureq::Agent,
}

impl Client {
    pub(crate) fn new(url: &str, token: Option<String>) -> Self {
        let agent = ureq::Agent::config_builder()
            .http_status_as_error(false)
            .allow_non_standard_methods(true)
            .build();
        Self { url: url.to_owned(), token, agent: agent.into() }
    }

    /// The same service, called by nobody.
    pub(crate) fn anonymous(&self) -> Self {
        Self { token: None, ..self.clone() }
    }

    pub(crate) fn get(&self, path: &str) -> Answer {
        self.call("GET", path, &[], None)
    }

    pub(crate) fn post(&self, path: &str, body: &Value) -> Answer {
        self.call("POST", path, &[], Some(body))
    }

    /// A change of what a GET just answered with this ETag.
    pub(crate) fn patch(&self, path: &str, etag: &str, body: &Value) -> Answer {
        self.call("PATCH", path, &[("If-Match", etag)], Some(body))
    }

    /// Reads the present ETag, then changes.
    pub(crate) fn change(&self, path: &str, body: &Value) -> Answer {
        let etag = self.etag(path);
        self.patch(path, &etag, body)
    }

    pub(crate) fn delete(&self, path: &str) -> Answer {
        let etag = self.etag(path);
        self.call("DELETE", path, &[("If-Match", &etag)], None)
    }

    /// The ETag of what stands at `path`.
    pub(crate) fn etag(&self, path: &str) -> String {
        let answer = self.get(path);
        answer.header("etag").unwrap_or_else(|| panic!("{path} has no ETag: {:#}", answer.body)).to_owned()
    }

    /// Any call; the answer is held against the OpenAPI document.
    pub(crate) fn call(
        &self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: Option<&Value>,
    ) -> Answer {
        let bytes = body.map(|body| body.to_string().into_bytes());
        let mut headers = headers.to_vec();
        if bytes.is_some() && !headers.iter().any(|(name, _)| name.eq_ignore_ascii_case("content-type")) {
            headers.push(("Content-Type", "application/json"));
        }
        self.send(method, path, &headers, bytes.as_deref())
    }

    /// A file of a table.
    pub(crate) fn file(&self, path: &str, table: &[u8]) -> Answer {
        self.send("POST", path, &[("Content-Type", "text/csv")], Some(table))
    }

    /// Any call with any bytes.
    pub(crate) fn send(
        &self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: Option<&[u8]>,
    ) -> Answer {
        let mut request = ureq::http::Request::builder().method(method).uri(format!("{}{path}", self.url));
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        if let Some(token) = &self.token {
            request = request.header("Authorization", format!("Bearer {token}"));
        }
        let sent = match body {
            Some(bytes) => self.agent.run(request.body(bytes.to_vec()).unwrap()),
            None => self.agent.run(request.body(()).unwrap()),
        };
        let mut response = sent.unwrap_or_else(|e| panic!("{method} {path}: {e}"));
        let status = response.status().as_u16();
        let headers = response
            .headers()
            .iter()
            .map(|(name, value)| (name.to_string(), value.to_str().unwrap_or_default().to_owned()))
            .collect();
        let bytes = response.body_mut().read_to_vec().unwrap_or_default();
        let text = String::from_utf8(bytes.clone()).unwrap_or_default();
        let body = serde_json::from_str(&text).unwrap_or(Value::Null);
        let plain = path.split('?').next().unwrap_or(path);
        if plain.starts_with("/v1") {
            let kind = response.headers().get("content-type").and_then(|kind| kind.to_str().ok());
            contract::check(method, plain, status, kind.unwrap_or_default(), &body);
        }
        Answer { what: format!("{method} {path}"), status, headers, body, text, bytes }
    }
}
