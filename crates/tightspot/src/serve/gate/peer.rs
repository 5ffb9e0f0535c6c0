//! Who is at the other end of a connection, as far as its address tells.

use std::convert::Infallible;
use std::fmt;
use std::net::{IpAddr, Ipv6Addr};

use axum::extract::connect_info::{ConnectInfo, Connected};
use axum::extract::{FromRequestParts, Request};
use axum::http::request::Parts;
use axum::serve::IncomingStream;

use crate::serve::doors::Doors;

/// An address; `None` where nobody said it, which counts as a stranger's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) struct Peer(pub(crate) Option<IpAddr>);

impl Peer {
    /// Who sent a request.
    pub(crate) fn of(request: &Request) -> Self {
        request.extensions().get::<ConnectInfo<Self>>().map_or(Self(None), |info| info.0)
    }

    /// Whether it is this machine itself.
    pub(crate) fn is_here(self) -> bool {
        self.0.is_some_and(|address| address.to_canonical().is_loopback())
    }

    /// What is counted together: an address, or the network of 64 bits that one machine may choose addresses from.
    pub(crate) fn counted(self) -> Self {
        let whole = |address: IpAddr| match address.to_canonical() {
            IpAddr::V6(six) => {
                let [a, b, c, d, ..] = six.segments();
                IpAddr::V6(Ipv6Addr::new(a, b, c, d, 0, 0, 0, 0))
            }
            four @ IpAddr::V4(_) => four,
        };
        Self(self.0.map(whole))
    }
}

impl fmt::Display for Peer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            Some(address) => write!(f, "{}", address.to_canonical()),
            None => f.write_str("an unknown address"),
        }
    }
}

impl Connected<IncomingStream<'_, Doors>> for Peer {
    fn connect_info(stream: IncomingStream<'_, Doors>) -> Self {
        Self(Some(stream.remote_addr().ip()))
    }
}

impl<S: Sync> FromRequestParts<S> for Peer {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Infallible> {
        Ok(parts.extensions.get::<ConnectInfo<Self>>().map_or(Self(None), |info| info.0))
    }
}
