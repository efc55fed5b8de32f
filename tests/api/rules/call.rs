//! A request that a sample makes, and what can be altered in it.

use serde_json::Value;

use crate::support::server::{Answer, Client};

/// A request that succeeds.
pub(super) struct Call {
    pub(super) client: Client,
    pub(super) method: &'static str,
    pub(super) path: String,
    pub(super) body: Option<Value>,
    /// A JPEG that is sent in place of a body of JSON.
    pub(super) picture: Option<&'static [u8]>,
    /// The present ETag, where the request is to be sent with it.
    pub(super) etag: Option<String>,
    /// What it answers.
    pub(super) status: u16,
}

impl Call {
    /// Sends it as it is.
    pub(super) fn send(&self) -> Answer {
        self.send_by(&self.client, &[])
    }

    /// Sends it with more headers.
    pub(super) fn send_with(&self, headers: &[(&str, &str)]) -> Answer {
        self.send_by(&self.client, headers)
    }

    /// Has somebody else send it.
    pub(super) fn send_by(&self, client: &Client, headers: &[(&str, &str)]) -> Answer {
        let mut headers = headers.to_vec();
        if let Some(etag) = &self.etag {
            headers.push(("If-Match", etag));
        }
        if let Some(picture) = self.picture {
            headers.push(("Content-Type", "image/jpeg"));
            return client.send(self.method, &self.path, &headers, Some(picture));
        }
        if let Some(Value::String(table)) = &self.body {
            headers.push(("Content-Type", "text/csv"));
            return client.send(self.method, &self.path, &headers, Some(table.as_bytes()));
        }
        client.call(self.method, &self.path, &headers, self.body.as_ref())
    }

    /// Sends other bytes in place of the body.
    pub(super) fn send_bytes(&self, headers: &[(&str, &str)], bytes: &[u8]) -> Answer {
        let mut headers = headers.to_vec();
        if let Some(etag) = &self.etag {
            headers.push(("If-Match", etag));
        }
        self.client.send(self.method, &self.path, &headers, Some(bytes))
    }

    /// The same with another body.
    pub(super) fn saying(&self, body: Value) -> Self {
        Self {
            client: self.client.clone(),
            path: self.path.clone(),
            etag: self.etag.clone(),
            body: Some(body),
            ..*self
        }
    }

    /// The same at another path.
    pub(super) fn at(&self, path: String) -> Self {
        Self { client: self.client.clone(), path, etag: self.etag.clone(), body: self.body.clone(), ..*self }
    }

    /// The same with another status.
    pub(super) fn of(mut self, status: u16) -> Self {
        self.status = status;
        self
    }
}
