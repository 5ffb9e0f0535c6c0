//! The sockets: one or several addresses, each connection plain or encrypted, one stream of visitors out of all.

use std::io;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use axum::serve::Listener;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{OwnedSemaphorePermit, Semaphore, mpsc};
use tokio_rustls::TlsAcceptor;

/// The longest that a visitor may take to agree on a cipher.
const HANDSHAKE: Duration = Duration::from_secs(10);
/// After a socket refused to give a visitor (no more files, say) it is asked again.
const AGAIN: Duration = Duration::from_millis(200);
/// As many visitors as are held at once.
const MOST: usize = 512;

/// What a visitor speaks through.
pub(crate) trait Speech: AsyncRead + AsyncWrite + Unpin + Send {}
impl<T: AsyncRead + AsyncWrite + Unpin + Send> Speech for T {}

/// One visitor's connection; while it is held one place of [`MOST`] is taken.
pub(crate) struct Connection {
    speech: Box<dyn Speech>,
    _place: OwnedSemaphorePermit,
}

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
        let places = Arc::new(Semaphore::new(MOST));
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
    places: Arc<Semaphore>,
) {
    loop {
        let Ok(place) = Arc::clone(&places).acquire_owned().await else { return };
        let (stream, from) = match socket.accept().await {
            Ok(visitor) => visitor,
            Err(_) => {
                tokio::time::sleep(AGAIN).await;
                continue;
            }
        };
        // A small answer need not wait for more to send.
        let _ = stream.set_nodelay(true);
        match &tls {
            None => {
                let connection = Connection { speech: Box::new(stream), _place: place };
                if out.send((connection, from)).await.is_err() {
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
    place: OwnedSemaphorePermit,
    out: mpsc::Sender<(Connection, SocketAddr)>,
) {
    if let Ok(Ok(stream)) = tokio::time::timeout(HANDSHAKE, tls.accept(stream)).await {
        let _ = out.send((Connection { speech: Box::new(stream), _place: place }, from)).await;
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

mod passing {
    //! What goes through a connection goes through its stream.

    use std::io::{self, IoSlice};
    use std::pin::Pin;
    use std::task::{Context, Poll};

    use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};

    use super::Connection;

    impl AsyncRead for Connection {
        fn poll_read(mut self: Pin<&mut Self>, cx: &mut Context<'_>, buf: &mut ReadBuf<'_>) -> Poll<io::Result<()>> {
            Pin::new(&mut *self.speech).poll_read(cx, buf)
        }
    }

    impl AsyncWrite for Connection {
        fn poll_write(mut self: Pin<&mut Self>, cx: &mut Context<'_>, buf: &[u8]) -> Poll<io::Result<usize>> {
            Pin::new(&mut *self.speech).poll_write(cx, buf)
        }

        fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
            Pin::new(&mut *self.speech).poll_flush(cx)
        }

        fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
            Pin::new(&mut *self.speech).poll_shutdown(cx)
        }

        fn poll_write_vectored(
            mut self: Pin<&mut Self>,
            cx: &mut Context<'_>,
            bufs: &[IoSlice<'_>],
        ) -> Poll<io::Result<usize>> {
            Pin::new(&mut *self.speech).poll_write_vectored(cx, bufs)
        }

        fn is_write_vectored(&self) -> bool {
            self.speech.is_write_vectored()
        }
    }
}
