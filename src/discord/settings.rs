//! What the operator sets, checked before anything is reached.

use crate::record::ChatId;
use crate::remind::worker;
use std::fmt;
use std::net::{IpAddr, SocketAddr};
use std::time::Duration;

/// What the front end is started with.
#[derive(Debug, Clone)]
pub struct Settings {
    /// The account it speaks as.
    pub token: Token,
    /// Where the platform is.
    pub address: Address,
    /// Where it reads what nobody addressed to it.
    pub listen: Listen,
    /// How often it looks whether something is due.
    pub reminders_every: Duration,
}

/// Where it reads what nobody addressed to it. Reading there needs the platform's privileged content intent, which is
/// asked for only where the operator said that it reads anywhere.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Listen {
    /// Channels that the operator named.
    pub channels: Vec<ChatId>,
    /// Also in those that the groups' stewards name.
    pub stewards: bool,
}

impl Listen {
    /// Whether it reads anywhere.
    pub const fn anywhere(&self) -> bool {
        self.stewards || !self.channels.is_empty()
    }
}

/// A token: never printed.
#[derive(Clone, PartialEq, Eq)]
pub struct Token(String);

/// Where the platform is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Address {
    /// The platform itself.
    Platform,
    /// Another server that speaks the same protocol, in the clear.
    Plain {
        /// Its HTTP side, e.g. `http://127.0.0.1:8080`.
        api: String,
        /// Its gateway, e.g. `ws://127.0.0.1:8081`.
        gateway: String,
    },
    /// The same, with TLS on its HTTP side.
    Encrypted {
        /// Where it listens.
        api: SocketAddr,
        /// Its gateway.
        gateway: String,
        /// The certificate that vouches for it, PEM.
        certificate: String,
    },
}

/// What is set, as text.
#[derive(Debug, Clone, Default)]
pub struct Raw {
    /// The token, as found in its file or in the environment.
    pub token: Option<String>,
    /// The HTTP side's address.
    pub api: Option<String>,
    /// The gateway's address.
    pub gateway: Option<String>,
    /// The certificate of the HTTP side, PEM.
    pub certificate: Option<String>,
    /// Numbers of channels, separated by commas, and the word `stewards` for those that stewards name.
    pub listen: Option<String>,
}

/// What is wrong with a setting.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SettingsError {
    /// There is no token.
    #[error(
        "no token is set; put it in a file and name that in TALLYHOOK_TOKEN_FILE, e.g. TALLYHOOK_TOKEN_FILE=/etc/tallyhook/token"
    )]
    NoToken,
    /// The token has a line break or a blank in it.
    #[error("the token has a blank or a line break in it; copy it again, in one line")]
    BrokenToken,
    /// One address is given without the other.
    #[error("TALLYHOOK_API and TALLYHOOK_GATEWAY go together; set both or neither")]
    OneAddress,
    /// One address is on this machine, the other is not.
    #[error(
        "TALLYHOOK_API and TALLYHOOK_GATEWAY must both be on this machine or both elsewhere; {api} and {gateway} are not"
    )]
    TwoWorlds {
        /// The HTTP side.
        api: String,
        /// The gateway.
        gateway: String,
    },
    /// An address cannot be read.
    #[error("{name} is \"{value}\"; write an address like {example}")]
    Address {
        /// The setting.
        name: &'static str,
        /// What is there.
        value: String,
        /// What could be there.
        example: &'static str,
    },
    /// A channel's number cannot be read.
    #[error(
        "TALLYHOOK_LISTEN has \"{0}\"; write channel numbers separated by commas, or stewards, e.g. 1234567890,stewards"
    )]
    Channel(String),
}

const API_EXAMPLE: &str = "http://127.0.0.1:8080";
const GATEWAY_EXAMPLE: &str = "ws://127.0.0.1:8081";

impl Settings {
    /// Checks what is set.
    ///
    /// # Errors
    /// The first setting that cannot be used, in the operator's words.
    pub fn read(raw: &Raw) -> Result<Self, SettingsError> {
        Ok(Self {
            token: token(raw.token.as_deref())?,
            address: address(raw)?,
            listen: listen(raw)?,
            reminders_every: worker::EVERY,
        })
    }
}

impl Token {
    /// The token itself, for the one place that sends it.
    pub(super) fn reveal(&self) -> &str {
        &self.0
    }
}

impl fmt::Debug for Token {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Token(…)")
    }
}

impl Address {
    /// The gateway, where it is set.
    pub(super) fn gateway(&self) -> Option<&str> {
        match self {
            Self::Platform => None,
            Self::Plain { gateway, .. } | Self::Encrypted { gateway, .. } => Some(gateway),
        }
    }
}

/// A file ends with a line break; anything else inside is a copy gone wrong.
fn token(raw: Option<&str>) -> Result<Token, SettingsError> {
    let token = raw.map(str::trim_end).filter(|token| !token.is_empty()).ok_or(SettingsError::NoToken)?;
    if token.chars().any(|letter| letter.is_whitespace() || letter.is_control() || !letter.is_ascii()) {
        return Err(SettingsError::BrokenToken);
    }
    Ok(Token(token.to_owned()))
}

fn address(raw: &Raw) -> Result<Address, SettingsError> {
    let (api, gateway) = match (&raw.api, &raw.gateway) {
        (None, None) => return Ok(Address::Platform),
        (Some(api), Some(gateway)) => (api.trim().trim_end_matches('/'), gateway.trim()),
        _ => return Err(SettingsError::OneAddress),
    };
    let api_url = url("TALLYHOOK_API", api, &["http", "https"], API_EXAMPLE)?;
    let gateway_url = url("TALLYHOOK_GATEWAY", gateway, &["ws", "wss"], GATEWAY_EXAMPLE)?;
    if is_this_machine(&api_url) != is_this_machine(&gateway_url) {
        return Err(SettingsError::TwoWorlds { api: api.to_owned(), gateway: gateway.to_owned() });
    }
    let gateway = gateway.to_owned();
    if api_url.scheme() == "http" {
        return Ok(Address::Plain { api: api.to_owned(), gateway });
    }
    let unreadable = || SettingsError::Address {
        name: "TALLYHOOK_API",
        value: api.to_owned(),
        example: "https://127.0.0.1:8443, with TALLYHOOK_API_CERTIFICATE beside it",
    };
    let host: IpAddr = api_url.host_str().and_then(|host| host.parse().ok()).ok_or_else(unreadable)?;
    let port = api_url.port_or_known_default().ok_or_else(unreadable)?;
    let certificate = raw.certificate.clone().ok_or_else(unreadable)?;
    Ok(Address::Encrypted { api: SocketAddr::new(host, port), gateway, certificate })
}

fn url(
    name: &'static str,
    value: &str,
    schemes: &[&str],
    example: &'static str,
) -> Result<reqwest::Url, SettingsError> {
    let read = reqwest::Url::parse(value).ok();
    read.filter(|url| schemes.contains(&url.scheme()) && url.host_str().is_some())
        .ok_or_else(|| SettingsError::Address { name, value: value.to_owned(), example })
}

fn is_this_machine(url: &reqwest::Url) -> bool {
    let host = url.host_str().unwrap_or_default().trim_start_matches('[').trim_end_matches(']');
    host.eq_ignore_ascii_case("localhost")
        || host.parse::<IpAddr>().is_ok_and(|address| address.is_loopback())
}

fn listen(raw: &Raw) -> Result<Listen, SettingsError> {
    let mut listen = Listen::default();
    for name in raw.listen.as_deref().unwrap_or_default().split(',').map(str::trim) {
        match name.parse::<i64>() {
            Ok(number) if number > 0 => listen.channels.push(ChatId(number)),
            _ if name.eq_ignore_ascii_case("stewards") => listen.stewards = true,
            _ if name.is_empty() => {}
            _ => return Err(SettingsError::Channel(name.to_owned())),
        }
    }
    Ok(listen)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn raw() -> Raw {
        Raw { token: Some("invented.token-value\n".to_owned()), ..Raw::default() }
    }

    #[test]
    fn a_token_from_a_file_ends_with_a_line_break_and_is_never_printed() {
        let settings = Settings::read(&raw()).unwrap();
        assert_eq!(settings.token.reveal(), "invented.token-value");
        assert!(!format!("{settings:?}").contains("invented"));
        assert_eq!(settings.address, Address::Platform);
    }

    #[test]
    fn a_broken_token_is_refused() {
        let with = |token: &str| Settings::read(&Raw { token: Some(token.to_owned()), ..Raw::default() });
        assert_eq!(with("one\ntwo").unwrap_err(), SettingsError::BrokenToken);
        assert_eq!(with("one two").unwrap_err(), SettingsError::BrokenToken);
        assert_eq!(with("\n").unwrap_err(), SettingsError::NoToken);
        assert_eq!(Settings::read(&Raw::default()).unwrap_err(), SettingsError::NoToken);
    }

    #[test]
    fn a_test_server_and_the_platform_are_never_mixed() {
        let with = |api: Option<&str>, gateway: Option<&str>| {
            let raw = Raw { api: api.map(str::to_owned), gateway: gateway.map(str::to_owned), ..raw() };
            Settings::read(&raw).map(|settings| settings.address)
        };
        let here = with(Some("http://127.0.0.1:8080/"), Some("ws://localhost:8081"));
        let api = "http://127.0.0.1:8080".to_owned();
        assert_eq!(here, Ok(Address::Plain { api, gateway: "ws://localhost:8081".to_owned() }));
        for (api, gateway) in
            [("http://127.0.0.1:8080", "wss://gateway.example"), ("https://chat.example", "ws://[::1]:8081")]
        {
            assert!(matches!(with(Some(api), Some(gateway)), Err(SettingsError::TwoWorlds { .. })), "{api}");
        }
        assert_eq!(with(Some("http://127.0.0.1:1"), None), Err(SettingsError::OneAddress));
        assert_eq!(with(None, Some("ws://127.0.0.1:1")), Err(SettingsError::OneAddress));
        for strange in ["127.0.0.1:8080", "ftp://127.0.0.1", ""] {
            let refused = with(Some(strange), Some("ws://127.0.0.1:1"));
            assert!(matches!(refused, Err(SettingsError::Address { .. })), "{strange}");
        }
    }

    #[test]
    fn an_encrypted_server_needs_its_certificate() {
        let mut raw = Raw {
            api: Some("https://127.0.0.1:8443".to_owned()),
            gateway: Some("ws://127.0.0.1:8081".to_owned()),
            ..raw()
        };
        assert!(matches!(Settings::read(&raw), Err(SettingsError::Address { .. })));
        raw.certificate = Some("PEM".to_owned());
        assert!(matches!(Settings::read(&raw).unwrap().address, Address::Encrypted { .. }));
    }

    #[test]
    fn channels_are_numbers() {
        let with = |listen: &str| {
            Settings::read(&Raw { listen: Some(listen.to_owned()), ..raw() }).map(|settings| settings.listen)
        };
        let both = Listen { channels: vec![ChatId(12), ChatId(13)], stewards: false };
        assert_eq!(with("12, 13,"), Ok(both));
        assert_eq!(with("stewards"), Ok(Listen { channels: vec![], stewards: true }));
        assert_eq!(with("general"), Err(SettingsError::Channel("general".to_owned())));
        assert_eq!(with(""), Ok(Listen::default()));
        assert!(!Listen::default().anywhere());
    }
}
