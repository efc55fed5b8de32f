//! Who asks, and what may they: a handler without a [`Caller`] is visibly public.

use std::future::Future;
use std::pin::Pin;
use std::rc::Rc;

use actix_web::dev::Payload;
use actix_web::http::StatusCode;
use actix_web::http::header;
use actix_web::{FromRequest, HttpMessage as _, HttpRequest, web};
use serde_json::Value;

use super::answer::{Answer, Reply, valid};
use super::body::Body;
use super::error::Problem;
use super::pictures::Places;
use super::query::Query;
use super::{Service, once};
use crate::app::{App, Database, Error, Who, idempotency, sessions};
use crate::core::access::Action;
use crate::core::error::Error as Rule;

/// What a route asks of whoever calls it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Access {
    /// Nothing.
    Public,
    /// To be signed in with a role that may do this.
    Member(Action),
}

/// A signed-in member whose role may do what the route is for.
pub struct Caller {
    /// Who it is.
    pub who: Who,
    service: web::Data<Service>,
    request: HttpRequest,
}

/// The access token of a request.
pub fn bearer(request: &HttpRequest) -> Option<&str> {
    let value = request.headers().get(header::AUTHORIZATION)?.to_str().ok()?;
    let (scheme, token) = value.split_once(' ')?;
    scheme.eq_ignore_ascii_case("bearer").then_some(token.trim())
}

impl FromRequest for Caller {
    type Error = Problem;
    type Future = Pin<Box<dyn Future<Output = Result<Self, Problem>>>>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        let request = request.clone();
        Box::pin(async move {
            let service = super::service(&request)?;
            let access = request.extensions().get::<Access>().copied();
            let Some(Access::Member(action)) = access else {
                return Err(Problem::internal("a handler with a Caller on a route that is public"));
            };
            let token = bearer(&request).ok_or(Rule::NotSignedIn)?.to_owned();
            let who = service.run(move |app| sessions::who(app, &token)).await?;
            service.limits.account(&request, who.member)?;
            who.must(action)?;
            Ok(Self { who, service, request })
        })
    }
}

impl Caller {
    /// Calls a function of `app` for this member, off the threads that serve connections.
    pub async fn run<T: Send + 'static>(
        &self,
        f: impl FnOnce(&App, &Who) -> Result<T, Error> + Send + 'static,
    ) -> Result<T, Problem> {
        let who = self.who.clone();
        self.service.run(move |app| f(app, &who)).await
    }

    /// Calls a function of `app` that a POST is for, and answers what `say` makes of it. Where the request has an
    /// `Idempotency-Key`, the answer is kept in the transaction of the work, and the same request is given it again.
    pub async fn once<T: Send + 'static>(
        &self,
        f: impl FnOnce(&App, &Who) -> Result<T, Error> + Send + 'static,
        say: impl Fn(&T) -> Answer + Send + Sync + 'static,
    ) -> Answer {
        self.once_or_try(|app, who| f(app, who).map(Some), say).await
    }

    /// The same for a function that was perhaps only tried (`validate_only`): then it comes to None.
    pub async fn once_or_try<T: Send + 'static>(
        &self,
        f: impl FnOnce(&App, &Who) -> Result<Option<T>, Error> + Send + 'static,
        say: impl Fn(&T) -> Answer + Send + Sync + 'static,
    ) -> Answer {
        let Some(request) = once::named(&self.request, &self.who)? else {
            return self.run(f).await?.map_or_else(valid, |done| say(&done));
        };
        let say = move |done: &T| -> Result<Reply, Error> {
            say(done).map_err(|problem| Database::Other(problem.to_string()).into())
        };
        self.run(move |app, who| idempotency::once(app, who, &request, f, say)).await?.map_or_else(valid, Ok)
    }

    /// Where pictures wait for their turn.
    pub(super) fn places(&self) -> &Places {
        &self.service.pictures
    }

    /// The query of the request, to be read by name; parameters that nobody asked for are refused.
    pub fn query(&self) -> Query {
        Query::of(&self.request)
    }

    /// Checks `If-Match` against the present version: 428 without it, 412 when it is another.
    pub fn if_match(&self, version: i64) -> Result<(), Problem> {
        if_match(&self.request, version)
    }

    /// What a change of something of this present version says: 415 and 413, then 428 and 412, then 400.
    pub async fn patch(&self, version: i64, body: Body) -> Result<Value, Problem> {
        let received = body.receive().await?;
        self.if_match(version)?;
        received.json()
    }
}

/// Checks `If-Match` against the present version of what a request is about.
pub fn if_match(request: &HttpRequest, version: i64) -> Result<(), Problem> {
    let Some(given) = request.headers().get(header::IF_MATCH) else {
        return Err(Problem::new(
            StatusCode::PRECONDITION_REQUIRED,
            "precondition_required",
            "send the ETag of what you are changing in If-Match",
        ));
    };
    let present = super::answer::etag(version);
    let given = given.to_str().unwrap_or_default();
    if given.split(',').any(|tag| tag.trim() == present || tag.trim() == "*") {
        Ok(())
    } else {
        Err(Rule::Stale.into())
    }
}

/// The segments of a path, as the route names them.
pub struct Path(Rc<HttpRequest>);

impl FromRequest for Path {
    type Error = Problem;
    type Future = std::future::Ready<Result<Self, Problem>>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        std::future::ready(Ok(Self(Rc::new(request.clone()))))
    }
}

impl Path {
    /// The segment called `name`; one that cannot be an id of this kind names nothing: 404.
    pub fn get<T: std::str::FromStr>(&self, name: &str) -> Result<T, Problem> {
        self.0.match_info().get(name).and_then(|text| text.parse().ok()).ok_or_else(Problem::not_found)
    }
}
