//! Settings about who may ask how often: quotas, and the proxies that are believed.

use std::net::IpAddr;
use std::num::NonZeroU32;
use std::str::FromStr;

/// How many requests may be made in a minute; without a number as many as anybody likes.
///
/// ```
/// use lustrum::config::PerMinute;
/// assert_eq!("600".parse::<PerMinute>().unwrap().number().unwrap().get(), 600);
/// assert_eq!("off".parse::<PerMinute>().unwrap().number(), None);
/// assert!("0".parse::<PerMinute>().is_err());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PerMinute(Option<NonZeroU32>);

impl PerMinute {
    /// So many; 0 is no limit.
    pub const fn of(number: u32) -> Self {
        Self(NonZeroU32::new(number))
    }

    /// How many, where there is a limit.
    pub const fn number(self) -> Option<NonZeroU32> {
        self.0
    }
}

impl FromStr for PerMinute {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        if text == "off" {
            return Ok(Self(None));
        }
        let number = text
            .parse()
            .map_err(|_| format!("{text:?} is neither off nor a number of requests from 1 on"))?;
        Ok(Self(Some(number)))
    }
}

/// Addresses that begin alike: `10.0.0.0/8`, `2001:db8::/32`, or one address by itself.
///
/// ```
/// use lustrum::config::Network;
/// let inside: Network = "10.1.0.0/16".parse().unwrap();
/// assert!(inside.has("10.1.2.3".parse().unwrap()) && !inside.has("10.2.0.1".parse().unwrap()));
/// assert!("::1".parse::<Network>().unwrap().has("::1".parse().unwrap()));
/// assert!("10.0.0.0/33".parse::<Network>().is_err());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Network {
    address: IpAddr,
    bits: u32,
}

impl Network {
    /// Whether this address lies in it. An IPv4 address is the same when it is written as an IPv6 one.
    pub fn has(&self, address: IpAddr) -> bool {
        let same = |one: u128, other: u128, width: u32| {
            let unlike = width - self.bits;
            unlike >= width || one >> unlike == other >> unlike
        };
        match (self.address, address.to_canonical()) {
            (IpAddr::V4(one), IpAddr::V4(other)) => same(one.to_bits().into(), other.to_bits().into(), 32),
            (IpAddr::V6(one), IpAddr::V6(other)) => same(one.to_bits(), other.to_bits(), 128),
            _ => false,
        }
    }
}

impl FromStr for Network {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || format!("{text:?} is no IP address, and no network such as 10.0.0.0/8");
        let (address, bits) = match text.split_once('/') {
            Some((address, bits)) => (address, Some(bits)),
            None => (text, None),
        };
        let address: IpAddr = address.parse().map_err(|_| wrong())?;
        let width = if address.is_ipv4() { 32 } else { 128 };
        let bits = bits.map_or(Ok(width), |bits| bits.parse().map_err(|_| wrong()))?;
        if bits > width { Err(wrong()) } else { Ok(Self { address, bits }) }
    }
}

/// Reads a list with commas.
pub(super) fn networks(text: &str) -> Result<Vec<Network>, String> {
    text.split(',').map(str::trim).filter(|one| !one.is_empty()).map(str::parse).collect()
}
