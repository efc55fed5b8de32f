//! How often somebody may ask: each address, each account, and more strictly whoever signs in. What is left is told
//! with every answer (draft-ietf-httpapi-ratelimit-headers).

use std::collections::hash_map::RandomState;
use std::hash::Hash;
use std::net::{IpAddr, Ipv6Addr};
use std::num::NonZeroU32;
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;

use actix_web::dev::ServiceRequest;
use actix_web::http::StatusCode;
use actix_web::http::header::{HeaderMap, HeaderName, HeaderValue};
use actix_web::{HttpMessage as _, HttpRequest};
use governor::clock::{Clock as _, DefaultClock};
use governor::middleware::{StateInformationMiddleware, StateSnapshot};
use governor::state::keyed::HashMapStateStore;
use governor::{Quota, RateLimiter};

use super::error::Problem;
use crate::config::{Config, Network, PerMinute};
use crate::core::ids::MemberId;

const X_FORWARDED_FOR: HeaderName = HeaderName::from_static("x-forwarded-for");
const RATE_LIMIT: HeaderName = HeaderName::from_static("ratelimit");
const RATE_LIMIT_POLICY: HeaderName = HeaderName::from_static("ratelimit-policy");

/// Length of the window, in seconds.
const WINDOW: u64 = 60;

/// After so many requests it is forgotten who has long not asked.
const TIDY_AFTER: u32 = 4_096;

type Counters<K> =
    RateLimiter<K, HashMapStateStore<K, RandomState>, DefaultClock, StateInformationMiddleware>;

/// One limit for many who are counted apart.
struct Limit<K: Hash + Eq + Clone> {
    name: &'static str,
    counted: Option<(NonZeroU32, Counters<K>)>,
    asked: AtomicU32,
}

/// What is left of one limit to whoever asked.
#[derive(Debug, Clone, Copy)]
struct Left {
    name: &'static str,
    of: NonZeroU32,
    requests: u32,
    seconds: u64,
}

/// Every limit that a request has met, left in the request for the middleware to tell.
#[derive(Default)]
struct Met(Vec<Left>);

impl<K: Hash + Eq + Clone> Limit<K> {
    fn new(name: &'static str, quota: PerMinute) -> Self {
        let counted = quota.number().map(|number| {
            let counters = RateLimiter::hashmap(Quota::per_minute(number));
            (number, counters.with_middleware::<StateInformationMiddleware>())
        });
        Self { name, counted, asked: AtomicU32::new(0) }
    }

    /// Counts a request of `who`; 429 where there were too many.
    fn count(&self, request: &HttpRequest, who: &K) -> Result<(), Problem> {
        let Some((of, counters)) = &self.counted else { return Ok(()) };
        if self.asked.fetch_add(1, Ordering::Relaxed) % TIDY_AFTER == TIDY_AFTER - 1 {
            counters.retain_recent();
        }
        let counted = counters.check_key(who);
        let requests = counted.as_ref().map_or(0, StateSnapshot::remaining_burst_capacity);
        // A minute gives the whole quota back, evenly.
        let used = u64::from(of.get() - requests.min(of.get()));
        let left =
            Left { name: self.name, of: *of, requests, seconds: (used * WINDOW).div_ceil(of.get().into()) };
        let mut extensions = request.extensions_mut();
        match extensions.get_mut::<Met>() {
            Some(met) => met.0.push(left),
            None => drop(extensions.insert(Met(vec![left]))),
        }
        counted.map(drop).map_err(|refused| {
            let wait = refused.wait_time_from(counters.clock().now());
            too_many(self.name, *of, wait)
        })
    }
}

fn too_many(name: &str, of: NonZeroU32, wait: Duration) -> Problem {
    let detail = format!("more than {of} requests a minute of one {name}: wait as long as Retry-After says");
    let mut problem = Problem::new(StatusCode::TOO_MANY_REQUESTS, "too_many_requests", detail);
    // A blink is told as a second: the header knows no less.
    problem.retry_after = Some(wait.as_secs() + 1);
    problem
}

/// All limits of the service.
pub(super) struct Limits {
    trusted: Vec<Network>,
    address: Limit<IpAddr>,
    account: Limit<MemberId>,
    sign_in_address: Limit<IpAddr>,
    sign_in_account: Limit<String>,
}

impl Limits {
    pub(super) fn of(config: &Config) -> Self {
        Self {
            trusted: config.trusted_proxies.clone(),
            address: Limit::new("address", config.limit_address),
            account: Limit::new("account", config.limit_account),
            sign_in_address: Limit::new("sign-in-address", config.limit_sign_in),
            sign_in_account: Limit::new("sign-in-account", config.limit_sign_in),
        }
    }

    /// Counts a request of the address that it comes from.
    pub(super) fn address(&self, request: &ServiceRequest) -> Result<(), Problem> {
        let Some(peer) = request.peer_addr() else { return Ok(()) };
        self.address.count(request.request(), &place(self.asker(peer.ip(), request.headers())))
    }

    /// Counts a request of a member.
    pub(super) fn account(&self, request: &HttpRequest, member: MemberId) -> Result<(), Problem> {
        self.account.count(request, &member)
    }

    /// Counts an attempt to sign in as `email`.
    pub(super) fn sign_in(&self, request: &HttpRequest, email: &str) -> Result<(), Problem> {
        if let Some(peer) = request.peer_addr() {
            let asker = self.asker(peer.ip(), request.headers());
            self.sign_in_address.count(request, &place(asker))?;
        }
        // An address of a mailbox has at most 254 characters (RFC 5321): what is longer is counted as one.
        let named = email.trim().to_lowercase();
        self.sign_in_account.count(request, &named.chars().take(254).collect())
    }

    /// Who asks: the last address of `X-Forwarded-For` that no trusted proxy has, as far as trusted proxies wrote it.
    fn asker(&self, peer: IpAddr, headers: &HeaderMap) -> IpAddr {
        let trusted = |address: IpAddr| self.trusted.iter().any(|network| network.has(address));
        let mut asker = peer;
        let lines: Vec<&str> =
            headers.get_all(X_FORWARDED_FOR).filter_map(|line| line.to_str().ok()).collect();
        let mut before = lines.iter().rev().flat_map(|line| line.rsplit(','));
        while trusted(asker) {
            let Some(Ok(address)) = before.next().map(|text| text.trim().parse()) else { break };
            asker = address;
        }
        asker
    }
}

/// Whose an address is. In IPv6 the last 64 bits are anybody's own to choose, and are left out.
fn place(address: IpAddr) -> IpAddr {
    match address.to_canonical() {
        IpAddr::V6(address) => Ipv6Addr::from_bits(address.to_bits() >> 64 << 64).into(),
        address @ IpAddr::V4(_) => address,
    }
}

/// Tells with the answer what is left of the limits that its request has met.
pub(super) fn tell(request: &HttpRequest, headers: &mut HeaderMap) {
    let extensions = request.extensions();
    let Some(Met(met)) = extensions.get::<Met>() else { return };
    let list = |one: fn(&Left) -> String| met.iter().map(one).collect::<Vec<_>>().join(", ");
    let policy = list(|left| format!("\"{}\";q={};w={WINDOW}", left.name, left.of));
    let left = list(|left| format!("\"{}\";r={};t={}", left.name, left.requests, left.seconds));
    for (name, value) in [(RATE_LIMIT_POLICY, policy), (RATE_LIMIT, left)] {
        if let Ok(value) = HeaderValue::from_str(&value) {
            headers.insert(name, value);
        }
    }
}
