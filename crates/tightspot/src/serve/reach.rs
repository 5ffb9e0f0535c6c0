//! How the server is reached: this machine only, or the home network too, where a password is set.

use std::io::{self, Write as _};
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr};
use std::time::Instant;

use jiff::Timestamp;
use qrcode::QrCode;
use qrcode::render::unicode::Dense1x2;
use tokio::net::TcpListener;
use tokio_rustls::TlsAcceptor;

use super::doors::Doors;
use super::encrypted::{self, Encrypted};
use super::gate::password::Kept;
use super::gate::{Gate, pairing};
use super::{AppState, Reach};
use crate::args::ServeArgs;
use crate::problem::Problem;

/// The port where none is named.
pub(super) const PORT: u16 = 4717;

/// What was asked for, found possible.
pub(crate) struct Wanted {
    port: u16,
    bind: Option<IpAddr>,
    names: Vec<String>,
    password: Option<Kept>,
    encrypted: Option<Encrypted>,
}

/// A server that can be reached.
pub(crate) struct Opened {
    /// Its sockets.
    pub(crate) doors: Doors,
    /// What the router must know of it.
    pub(crate) reach: Reach,
    /// The mark of its certificate.
    pub(crate) fingerprint: Option<String>,
}

impl Wanted {
    /// Checks what was asked for: beyond this machine only with a password, and only under names that are known.
    ///
    /// # Errors
    /// No password is set, no name is given for "every address", or a certificate cannot be had.
    pub(crate) fn of(args: &ServeArgs) -> Result<Self, Problem> {
        let bind = args.bind.filter(|address| !address.is_loopback());
        let mut names: Vec<String> =
            bind.filter(|address| !address.is_unspecified()).map(host_of).into_iter().collect();
        for name in &args.name {
            names.push(checked_name(name)?);
        }
        if bind.is_some() && names.is_empty() {
            return Err(Problem::usage(
                "bind: every address of this machine is meant, so say under which it is opened: --name 192.168.1.5",
            ));
        }
        let password = match bind {
            Some(_) => Some(Kept::read()?.ok_or_else(|| {
                Problem::Usage(vec![
                    "bind: beyond this machine a password is needed, and none is set. Nothing was started.".to_owned(),
                    "Set one: tightspot serve password FILE".to_owned(),
                ])
            })?),
            None => None,
        };
        let encrypted = match (&args.cert, &args.key, args.tls) {
            (Some(certificate), Some(key), _) => Some(encrypted::with_files(certificate, key)?),
            (_, _, true) => {
                let own = ["localhost".to_owned(), "127.0.0.1".to_owned(), "::1".to_owned()];
                let bare = names.iter().map(|name| name.trim_matches(['[', ']']).to_owned());
                Some(encrypted::made_here(&bare.chain(own).collect::<Vec<_>>(), Timestamp::now())?)
            }
            _ => None,
        };
        Ok(Self { port: args.port.unwrap_or(PORT), bind, names, password, encrypted })
    }

    /// Opens the sockets: both loopback addresses, and the one asked for.
    ///
    /// # Errors
    /// An address cannot be had.
    pub(crate) async fn open(self) -> io::Result<Opened> {
        let everywhere = self.bind.filter(IpAddr::is_unspecified);
        let first = everywhere.unwrap_or(IpAddr::V4(Ipv4Addr::LOCALHOST));
        let mut sockets = vec![listen(first, self.port).await?];
        let port = sockets.first().map_or(Ok(self.port), |socket| socket.local_addr().map(|address| address.port()))?;
        if everywhere.is_none() {
            // A machine without the newer addresses has only the older one.
            sockets.extend(listen(IpAddr::V6(Ipv6Addr::LOCALHOST), port).await);
            if let Some(address) = self.bind {
                sockets.push(listen(address, port).await?);
            }
        }
        let (tls, fingerprint): (Option<TlsAcceptor>, Option<String>) =
            self.encrypted.map(|one| (one.acceptor, one.fingerprint)).unzip();
        let gate = self.password.map_or_else(Gate::default, Gate::asking);
        let gate = gate.encrypted(tls.is_some());
        Ok(Opened { doors: Doors::open(sockets, tls)?, reach: Reach { port, names: self.names, gate }, fingerprint })
    }
}

async fn listen(address: IpAddr, port: u16) -> io::Result<TcpListener> {
    let address = SocketAddr::from((address, port));
    let listener = TcpListener::bind(address).await;
    listener.map_err(|why| io::Error::new(why.kind(), format!("{address} cannot be had: {why}")))
}

/// An address as it stands in a browser's line.
fn host_of(address: IpAddr) -> String {
    match address {
        IpAddr::V4(four) => four.to_string(),
        IpAddr::V6(six) => format!("[{six}]"),
    }
}

/// A name as it may stand before the port.
fn checked_name(name: &str) -> Result<String, Problem> {
    if let Ok(address) = name.parse::<IpAddr>() {
        return Ok(host_of(address));
    }
    let good = |label: &str| {
        (1..=63).contains(&label.len())
            && label.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-')
            && !label.starts_with('-')
            && !label.ends_with('-')
    };
    if name.len() <= 253 && name.split('.').all(good) {
        return Ok(name.to_ascii_lowercase());
    }
    Err(Problem::usage(format!(
        "name: \"{name}\" is no name of a machine; such as garage.local or 192.168.1.5 is wanted."
    )))
}

/// Says how a phone comes in: a picture with the address and a code that is good once.
pub(crate) fn welcome(state: &AppState, fingerprint: Option<&str>) -> io::Result<()> {
    let mut out = io::stderr().lock();
    let code = state.gate().pairing.make(Instant::now()).map_err(io::Error::other)?;
    let address = pairing_address(state.address(), &code);
    match fingerprint {
        Some(print) => writeln!(out, "Encrypted; compare the certificate on the phone, SHA-256: {print}")?,
        None => writeln!(out, "Not encrypted: whoever is on this network can read along. --tls encrypts.")?,
    }
    writeln!(out, "Pair a phone: take this picture with its camera. It is good once, for 10 minutes.\n")?;
    if let Ok(picture) = QrCode::new(address.as_bytes()) {
        let picture = picture.render::<Dense1x2>().dark_color(Dense1x2::Light).light_color(Dense1x2::Dark).build();
        writeln!(out, "{picture}\n")?;
    }
    writeln!(out, "Or open {}/pair and type {}", state.address(), pairing::in_groups(&code))?;
    Ok(())
}

/// The address in the picture: the code stands behind `#`, which no browser sends and no log keeps.
pub(crate) fn pairing_address(address: &str, code: &str) -> String {
    format!("{address}/pair#{code}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_names_of_machines() {
        assert_eq!(checked_name("Garage.local").as_deref(), Ok("garage.local"));
        assert_eq!(checked_name("192.168.1.5").as_deref(), Ok("192.168.1.5"));
        assert_eq!(checked_name("fd00::5").as_deref(), Ok("[fd00::5]"));
        for wrong in ["", "a b", "evil.example:80", "http://x", "a..b", "-a", "x/y", "*"] {
            assert!(checked_name(wrong).is_err(), "{wrong} is taken");
        }
    }

    #[test]
    fn the_code_stands_where_no_browser_sends_it() {
        let address = pairing_address("http://192.168.1.5:4717", "abc");
        assert!(address.split_once('#').is_some_and(|(sent, kept)| !sent.contains("abc") && kept == "abc"));
    }
}
