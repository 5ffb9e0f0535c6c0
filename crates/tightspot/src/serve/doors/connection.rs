//! One visitor's connection: what goes through it goes through its stream, and when nothing does for long it is let go.

use std::io::{self, IoSlice};
use std::pin::Pin;
use std::task::{Context, Poll};
use std::time::Duration;

use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::time::{Instant, Sleep};

use super::places::Place;

/// What a visitor speaks through.
trait Speech: AsyncRead + AsyncWrite + Unpin + Send {}
impl<T: AsyncRead + AsyncWrite + Unpin + Send> Speech for T {}

/// One visitor's connection; while it is held its place is taken.
pub(crate) struct Connection {
    speech: Box<dyn Speech>,
    quiet: Duration,
    /// When something last passed.
    passed: Instant,
    watch: Pin<Box<Sleep>>,
    _place: Place,
}

impl Connection {
    /// A connection that is let go when nothing passes for so long.
    pub(super) fn new(
        speech: impl AsyncRead + AsyncWrite + Unpin + Send + 'static,
        place: Place,
        quiet: Duration,
    ) -> Self {
        let watch = Box::pin(tokio::time::sleep(quiet));
        Self { speech: Box::new(speech), quiet, passed: Instant::now(), watch, _place: place }
    }

    /// Bytes passed, or none can at present.
    fn passing<T>(&mut self, cx: &mut Context<'_>, done: Poll<io::Result<T>>) -> Poll<io::Result<T>> {
        if done.is_ready() {
            self.passed = Instant::now();
        }
        self.waiting(cx, done)
    }

    /// Ends the connection where it waits and nothing has passed for too long.
    fn waiting<T>(&mut self, cx: &mut Context<'_>, done: Poll<io::Result<T>>) -> Poll<io::Result<T>> {
        if done.is_ready() {
            return done;
        }
        while self.watch.as_mut().poll(cx).is_ready() {
            let until = self.passed + self.quiet;
            if until <= Instant::now() {
                return Poll::Ready(Err(io::ErrorKind::TimedOut.into()));
            }
            self.watch.as_mut().reset(until);
        }
        Poll::Pending
    }
}

impl AsyncRead for Connection {
    fn poll_read(mut self: Pin<&mut Self>, cx: &mut Context<'_>, buf: &mut ReadBuf<'_>) -> Poll<io::Result<()>> {
        let done = Pin::new(&mut *self.speech).poll_read(cx, buf);
        self.passing(cx, done)
    }
}

impl AsyncWrite for Connection {
    fn poll_write(mut self: Pin<&mut Self>, cx: &mut Context<'_>, buf: &[u8]) -> Poll<io::Result<usize>> {
        let done = Pin::new(&mut *self.speech).poll_write(cx, buf);
        self.passing(cx, done)
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        let done = Pin::new(&mut *self.speech).poll_flush(cx);
        self.waiting(cx, done)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        let done = Pin::new(&mut *self.speech).poll_shutdown(cx);
        self.waiting(cx, done)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        bufs: &[IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        let done = Pin::new(&mut *self.speech).poll_write_vectored(cx, bufs);
        self.passing(cx, done)
    }

    fn is_write_vectored(&self) -> bool {
        self.speech.is_write_vectored()
    }
}

#[cfg(test)]
mod tests {
    use std::future::poll_fn;
    use std::sync::Arc;

    use tokio::net::{TcpListener, TcpStream};

    use super::super::places::Places;
    use super::*;
    use crate::serve::driven::wait;
    use crate::serve::gate::peer::Peer;

    const QUIET: Duration = Duration::from_millis(200);

    /// Both ends of a connection.
    async fn both() -> (TcpStream, Connection) {
        let listener = TcpListener::bind(("127.0.0.1", 0)).await.expect("a socket");
        let visitor = TcpStream::connect(listener.local_addr().expect("an address")).await.expect("it listens");
        let (stream, from) = listener.accept().await.expect("a visitor");
        let place = Places::free(&Arc::new(Places::default())).await.take(Peer(Some(from.ip()))).expect("a place");
        (visitor, Connection::new(stream, place, QUIET))
    }

    async fn read(connection: &mut Connection) -> io::Result<usize> {
        let mut bytes = [0; 16];
        poll_fn(|cx| {
            let mut buf = ReadBuf::new(&mut bytes);
            Pin::new(&mut *connection).poll_read(cx, &mut buf).map_ok(|()| buf.filled().len())
        })
        .await
    }

    #[test]
    fn whoever_says_nothing_more_is_let_go_and_whoever_goes_on_is_not() {
        wait(async {
            let (visitor, mut connection) = both().await;
            for _ in 0..6 {
                tokio::time::sleep(QUIET / 3).await;
                assert_eq!(visitor.try_write(b"half").expect("sent"), 4);
                assert_eq!(read(&mut connection).await.expect("it is held"), 4);
            }
            let began = Instant::now();
            let told = read(&mut connection).await.expect_err("nobody speaks any more");
            assert_eq!(told.kind(), io::ErrorKind::TimedOut);
            assert!((QUIET / 2..10 * QUIET).contains(&began.elapsed()), "{:?}", began.elapsed());
        });
    }
}
