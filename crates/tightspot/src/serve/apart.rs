//! What takes long is done apart from the few threads that serve, so that whoever asks for something else is answered
//! meanwhile: long work in a room of its own, one write after the other with another thread put in its place.

use std::pin::Pin;
use std::sync::{Arc, LazyLock};
use std::task::{Context, Poll, ready};

use axum::extract::Request;
use axum::http::Method;
use axum::middleware::Next;
use axum::response::Response;
use measure::shown;
use tokio::runtime::{Handle, RuntimeFlavor};
use tokio::sync::Semaphore;
use tokio::task::{block_in_place, spawn_blocking};
use tokio_util::sync::PollSemaphore;

use super::Fault;

/// The most answers that take long and are worked out at once.
const AT_ONCE: usize = 8;

/// The threads beside those that serve, at most: one for each long answer, and one in the place of the write.
pub(super) fn threads() -> usize {
    at_once() + 1
}

/// So many at once as there are cores, two at least: more would only wait for each other, and the C library keeps for each
/// thread what it once took: under the same load eight of them on two cores grew twice as far as two.
fn at_once() -> usize {
    std::thread::available_parallelism().map_or(2, usize::from).clamp(2, AT_ONCE)
}

static ROOM: LazyLock<Semaphore> = LazyLock::new(|| Semaphore::new(at_once()));

/// Runs what takes longer than a glance beside the server's own work, its words read in the same units.
///
/// # Errors
/// The work ended in a panic.
pub(crate) async fn beside<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> Result<T, Fault> {
    let units = shown::units();
    let room = ROOM.acquire().await.map_err(|cause| Fault::broken(&cause))?;
    let working = move || {
        // Kept until it is done, also where nobody waits for the answer any more.
        let _room = room;
        shown::in_units(units, work)
    };
    spawn_blocking(working).await.map_err(|cause| Fault::broken(&cause))
}

/// One write at a time, as the record takes them: many that wait, each on a thread, would each keep memory of its own.
static TURN: LazyLock<Arc<Semaphore>> = LazyLock::new(|| Arc::new(Semaphore::new(1)));

/// Answers a request that may write, every step of it in its turn and with another thread in its place: the disk, or a
/// program that has the record open, decides how long a step takes. Between the steps, while the rest of a body is awaited,
/// others have theirs. A figure asked for by a program writes nothing and needs no turn.
pub(super) async fn writes(request: Request, next: Next) -> Response {
    if matches!(*request.method(), Method::GET | Method::HEAD) || request.uri().path().starts_with("/api/v1/figures") {
        return next.run(request).await;
    }
    Apart { work: Box::pin(next.run(request)), turn: PollSemaphore::new(Arc::clone(&TURN)) }.await
}

struct Apart<F> {
    work: Pin<Box<F>>,
    turn: PollSemaphore,
}

impl<F: Future> Future for Apart<F> {
    type Output = F::Output;

    fn poll(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<F::Output> {
        let _turn = ready!(self.turn.poll_acquire(cx));
        in_place(|| self.work.as_mut().poll(cx))
    }
}

/// Work during which another thread serves in the place of this one, where there is more than one.
fn in_place<T>(work: impl FnOnce() -> T) -> T {
    let several = Handle::try_current().is_ok_and(|here| here.runtime_flavor() == RuntimeFlavor::MultiThread);
    if several { block_in_place(work) } else { work() }
}
