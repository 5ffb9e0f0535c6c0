//! The sockets: one or several addresses, each connection plain or encrypted, one stream of visitors out of all.
//!
//! Layout: `places` how many are held · `connection` one of them, let go when nothing passes · here the doors.

mod connection;
mod places;

use std::io;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use axum::serve::Listener;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::mpsc;
use tokio_rustls::TlsAcceptor;

use self::connection::Connection;
use self::places::{Place, Places};
use super::gate::peer::Peer;

/// The longest that a visitor may take to agree on a cipher.
const HANDSHAKE: Duration = Duration::from_secs(10);
/// After a socket refused to give a visitor (no more files, say) it is asked again.
const AGAIN: Duration = Duration::from_millis(200);
/// A connection over which nothing has passed for so long is let go; an answer takes half of that at the most.
const QUIET: Duration = Duration::from_secs(75);

/// Every socket of the server.
pub(crate) struct Doors {
    incoming: mpsc::Receiver<(Connection, SocketAddr)>,
    address: SocketAddr,
}

impl Doors {
    /// Opens these sockets; with an acceptor what passes is encrypted.
    ///
    /// # Errors
    /// A socket has no address of its own.
    pub(crate) fn open(sockets: Vec<TcpListener>, tls: Option<TlsAcceptor>) -> io::Result<Self> {
        let address = sockets.first().ok_or(io::ErrorKind::NotFound)?.local_addr()?;
        let (out, incoming) = mpsc::channel(64);
        let places = Arc::new(Places::default());
        for socket in sockets {
            tokio::spawn(attend(socket, tls.clone(), out.clone(), Arc::clone(&places)));
        }
        Ok(Self { incoming, address })
    }
}

async fn attend(
    socket: TcpListener,
    tls: Option<TlsAcceptor>,
    out: mpsc::Sender<(Connection, SocketAddr)>,
    places: Arc<Places>,
) {
    loop {
        let free = Places::free(&places).await;
        let (stream, from) = match socket.accept().await {
            Ok(visitor) => visitor,
            Err(_) => {
                tokio::time::sleep(AGAIN).await;
                continue;
            }
        };
        // Whoever holds its share already is let go at once.
        let Some(place) = free.take(Peer(Some(from.ip()))) else { continue };
        // A small answer need not wait for more to send.
        let _ = stream.set_nodelay(true);
        match &tls {
            None => {
                if out.send((Connection::new(stream, place, QUIET), from)).await.is_err() {
                    return;
                }
            }
            Some(tls) => drop(tokio::spawn(agree(tls.clone(), stream, from, place, out.clone()))),
        }
    }
}

/// Agrees on a cipher, beside the others: a slow visitor holds nobody up.
async fn agree(
    tls: TlsAcceptor,
    stream: TcpStream,
    from: SocketAddr,
    place: Place,
    out: mpsc::Sender<(Connection, SocketAddr)>,
) {
    if let Ok(Ok(stream)) = tokio::time::timeout(HANDSHAKE, tls.accept(stream)).await {
        let _ = out.send((Connection::new(stream, place, QUIET), from)).await;
    }
}

impl Listener for Doors {
    type Io = Connection;
    type Addr = SocketAddr;

    async fn accept(&mut self) -> (Connection, SocketAddr) {
        match self.incoming.recv().await {
            Some(visitor) => visitor,
            // Every socket is gone: nobody comes any more.
            None => std::future::pending().await,
        }
    }

    fn local_addr(&self) -> io::Result<SocketAddr> {
        Ok(self.address)
    }
}
