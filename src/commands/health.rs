//! `lustrum health`.

use std::net::{IpAddr, SocketAddr};
use std::time::Duration;

use super::Failure;
use crate::config::Config;

/// Asks the running service whether it can do its work, for those who watch over it. Exit status 0: it can.
///
/// Example: lustrum health
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub(super) struct Args {
    /// Where it is; the address that it listens on unless given.
    #[arg(long, value_name = "URL")]
    url: Option<String>,
}

pub(super) fn run(config: &Config, args: &Args) -> Result<(), Failure> {
    let url = args.url.clone().unwrap_or_else(|| format!("http://{}", reached_at(&config.listen)));
    let answer = answer(&format!("{}/health/ready", url.trim_end_matches('/')))?;
    println!("{answer}");
    Ok(())
}

/// What `url` answers; an error where it is anything but 200.
pub(super) fn answer(url: &str) -> Result<String, Failure> {
    let agent: ureq::Agent = ureq::Agent::config_builder()
        .timeout_global(Some(Duration::from_secs(5)))
        .http_status_as_error(false)
        .build()
        .into();
    let mut answer = agent.get(url).call().map_err(|e| format!("{url}: {e}"))?;
    let (status, text) = (answer.status(), answer.body_mut().read_to_string()?);
    if status == 200 { Ok(text) } else { Err(format!("{url}: {status}: {text}").into()) }
}

/// From this machine, a service that listens on all addresses is reached at its own.
fn reached_at(listen: &str) -> String {
    match listen.parse::<SocketAddr>() {
        Ok(address) if address.ip().is_unspecified() => {
            let own: IpAddr =
                if address.is_ipv4() { [127, 0, 0, 1].into() } else { [0, 0, 0, 0, 0, 0, 0, 1].into() };
            SocketAddr::new(own, address.port()).to_string()
        }
        _ => listen.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::reached_at;

    #[test]
    fn all_addresses_are_reached_at_this_machines_own() {
        assert_eq!(reached_at("0.0.0.0:8080"), "127.0.0.1:8080");
        assert_eq!(reached_at("[::]:80"), "[::1]:80");
        assert_eq!(reached_at("10.0.0.7:8080"), "10.0.0.7:8080");
        assert_eq!(reached_at("shop.example:8080"), "shop.example:8080");
    }
}
