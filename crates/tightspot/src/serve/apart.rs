//! What takes long is done apart from the few threads that serve, so that whoever asks for something else is answered
//! meanwhile: long work in a room of its own, a write or a lock with another thread put in its place.

use std::pin::Pin;
use std::sync::{LazyLock, Mutex, MutexGuard, PoisonError, TryLockError};
use std::task::{Context, Poll};
use std::time::Duration;

use axum::extract::Request;
use axum::http::Method;
use axum::middleware::Next;
use axum::response::Response;
use measure::shown;
use tokio::runtime::{Handle, RuntimeFlavor};
use tokio::sync::Semaphore;
use tokio::task::{block_in_place, spawn_blocking};

use super::Fault;

/// The most answers that take long and are worked out at once.
const AT_ONCE: usize = 8;
/// Writes and waits that another thread is put in the place of.
const WAITING: usize = 64;
/// How often a lock is tried before another thread is put in the place of the one that waits, and how long it sleeps between:
/// most are let go at once, and each thread more that serves keeps memory.
const TRIES: (u32, Duration) = (20, Duration::from_micros(200));

/// The threads beside those that serve, at most: they are made when they are needed.
pub(super) fn threads() -> usize {
    at_once() + WAITING
}

/// So many at once as there are cores, two at least: more would only wait for each other, and the C library keeps for each
/// thread what it once took, so that eight of them on two cores held twice the memory.
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

/// Holds what somebody else may hold for long.
pub(super) fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    for _ in 0..TRIES.0 {
        match mutex.try_lock() {
            Ok(held) => return held,
            // A panic while it was held left no half-done write: every write is one transaction.
            Err(TryLockError::Poisoned(held)) => return held.into_inner(),
            Err(TryLockError::WouldBlock) => std::thread::sleep(TRIES.1),
        }
    }
    in_place(|| mutex.lock().unwrap_or_else(PoisonError::into_inner))
}

/// Answers a request that may write, every step of it with another thread in its place: the disk, or a program that has
/// the record open, decides how long it takes.
pub(super) async fn writes(request: Request, next: Next) -> Response {
    if matches!(*request.method(), Method::GET | Method::HEAD) {
        return next.run(request).await;
    }
    Apart(Box::pin(next.run(request))).await
}

struct Apart<F>(Pin<Box<F>>);

impl<F: Future> Future for Apart<F> {
    type Output = F::Output;

    fn poll(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<F::Output> {
        in_place(|| self.0.as_mut().poll(cx))
    }
}

/// Work during which another thread serves in the place of this one, where there is more than one.
fn in_place<T>(work: impl FnOnce() -> T) -> T {
    let several = Handle::try_current().is_ok_and(|here| here.runtime_flavor() == RuntimeFlavor::MultiThread);
    if several { block_in_place(work) } else { work() }
}
