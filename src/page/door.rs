//! Who may ask: the page's own address in Host and Origin, and on a network the key of the printed link.
//! Against other pages in the same browser, names that lead here from outside, and neighbours on the network.
//! Standing at it is `guard`'s business.

use std::net::{IpAddr, SocketAddr};

use axum::http::HeaderMap;
use axum::http::header::{HOST, ORIGIN};

/// Name of the cookie and of the query's key.
pub(super) const KEY: &str = "key";
/// Bytes of chance behind a key: as hard to guess as a cipher's key.
const KEY_BYTES: usize = 16;

/// The page's address, and the key to it.
#[derive(Debug, Clone)]
pub struct Door {
    /// Where it listens.
    pub address: SocketAddr,
    /// What the link must hold; None on the machine's own loopback.
    pub key: Option<String>,
}

impl Door {
    /// A door at this address: with a new key, unless only this machine can knock.
    ///
    /// # Errors
    /// When the system has no randomness to give.
    pub fn new(address: SocketAddr) -> std::io::Result<Self> {
        if address.ip().is_loopback() {
            return Ok(Self { address, key: None });
        }
        let mut bytes = [0; KEY_BYTES];
        getrandom::fill(&mut bytes).map_err(std::io::Error::other)?;
        let key = format!("{:032x}", u128::from_ne_bytes(bytes));
        Ok(Self {
            address,
            key: Some(key),
        })
    }

    /// What to open in a browser.
    pub fn link(&self) -> String {
        match &self.key {
            None => format!("http://{}/", self.address),
            Some(key) => format!("http://{}/?{KEY}={key}", self.address),
        }
    }

    /// Whether a Host header means this page: an address, never a name, because a name can be led here from
    /// outside. Where the page listens on every address of the machine, any address will do; the key decides.
    fn is_host(&self, host: &str) -> bool {
        if let Ok(named) = host.parse::<SocketAddr>() {
            return named.port() == self.address.port() && self.is_ip(named.ip());
        }
        if let Ok(ip) = host.parse::<IpAddr>() {
            return self.address.port() == 80 && self.is_ip(ip);
        }
        self.address.ip().is_loopback()
            && host.rsplit_once(':').is_some_and(|(name, port)| {
                name.eq_ignore_ascii_case("localhost") && port.parse() == Ok(self.address.port())
            })
    }

    fn is_ip(&self, ip: IpAddr) -> bool {
        let own = self.address.ip();
        own == ip || own.is_unspecified() || (own.is_loopback() && ip.is_loopback())
    }

    /// Why a request is refused.
    pub(super) fn refuses(&self, headers: &HeaderMap) -> Option<&'static str> {
        let text = |name| headers.get(name).map(|value| value.to_str().unwrap_or("?"));
        let mut hosts = headers.get_all(HOST).iter();
        let host = hosts.next().and_then(|host| host.to_str().ok());
        let Some(host) = host.filter(|host| hosts.next().is_none() && self.is_host(host)) else {
            return Some("This page answers at its own address only.");
        };
        match text(ORIGIN) {
            Some(origin) if origin != format!("http://{host}") => {
                Some("This page answers no other page.")
            }
            _ => None,
        }
    }
}

/// Compares without telling by its time how much was right.
pub(super) fn is_same(given: &str, key: &str) -> bool {
    let pairs = given.bytes().zip(key.bytes());
    given.len() == key.len() && pairs.fold(0, |apart, (a, b)| apart | (a ^ b)) == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn door(address: &str) -> Door {
        Door {
            address: address.parse().unwrap(),
            key: None,
        }
    }

    #[test]
    fn only_the_own_address_is_a_host() {
        let loopback = door("127.0.0.1:8480");
        for host in [
            "127.0.0.1:8480",
            "localhost:8480",
            "LOCALHOST:8480",
            "[::1]:8480",
        ] {
            assert!(loopback.is_host(host), "{host}");
        }
        for host in [
            "",
            "localhost",
            "127.0.0.1",
            "127.0.0.1:80",
            "example.org:8480",
            "192.168.0.4:8480",
            "localhost.example.org:8480",
            "127.0.0.1:8480.example.org",
        ] {
            assert!(!loopback.is_host(host), "{host}");
        }
        let shop = door("192.168.0.4:8480");
        assert!(shop.is_host("192.168.0.4:8480"));
        for host in ["192.168.0.5:8480", "localhost:8480", "shop.example:8480"] {
            assert!(!shop.is_host(host), "{host}");
        }
        assert!(door("0.0.0.0:8480").is_host("192.168.0.4:8480"));
        assert!(!door("0.0.0.0:8480").is_host("shop.example:8480"));
    }

    #[test]
    fn a_key_is_new_each_time_and_only_the_whole_key_opens() {
        let address = "192.168.0.4:8480".parse().unwrap();
        let [one, other] = [(); 2].map(|()| Door::new(address).unwrap().key.unwrap());
        assert_ne!(one, other);
        assert_eq!(one.len(), 2 * KEY_BYTES);
        assert!(is_same(&one, &one));
        assert!(!is_same(&one[1..], &one));
        assert!(!is_same("", &one));
        assert!(
            Door::new("127.0.0.1:1".parse().unwrap())
                .unwrap()
                .key
                .is_none()
        );
    }
}
