//! Recordings being brought in, one after the other: how far it is, what became of each, and the wish to stop.

use std::collections::{HashMap, VecDeque};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, LazyLock, Mutex, MutexGuard, PoisonError};

use store::RideId;

use super::incoming::{Incoming, keep};
use crate::serve::{AppState, Sent};

/// Batches that are remembered; the oldest gives way.
const MOST: usize = 32;

/// What became of one file.
#[derive(Clone)]
pub(super) enum Became {
    /// It is stored.
    Kept(RideId),
    /// It was stored before.
    There(RideId),
    /// It is no ride; the sentence says where and why.
    Bad(String),
    /// It came after somebody asked to stop, did not fit or did not get through.
    Unread(&'static str),
}

/// One file that is done.
#[derive(Clone)]
pub(super) struct Done {
    /// Its name.
    pub(super) file: String,
    /// What became of it.
    pub(super) became: Became,
    /// What the reader noticed.
    pub(super) noticed: Vec<String>,
}

/// What is known of a batch at one moment.
#[derive(Clone, Default)]
pub(super) struct Seen {
    /// Files sent.
    pub(super) all: usize,
    /// Those that are done.
    pub(super) done: Vec<Done>,
    /// Whether somebody asked to stop.
    pub(super) stopping: bool,
}

impl Seen {
    /// Whether nothing is left to do.
    pub(super) fn is_over(&self) -> bool {
        self.done.len() >= self.all
    }
}

/// A batch of files.
#[derive(Default)]
pub(super) struct Batch {
    seen: Mutex<Seen>,
    waiting: Mutex<VecDeque<(Sent, Incoming)>>,
    stop: AtomicBool,
    busy: AtomicBool,
}

/// The batches by name, and their names in the order in which they began.
type Batches = (VecDeque<String>, HashMap<String, Arc<Batch>>);

static BATCHES: LazyLock<Mutex<Batches>> = LazyLock::new(Mutex::default);

fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Batch {
    /// The batch of that name, if it is still remembered.
    pub(super) fn named(name: &str) -> Option<Arc<Self>> {
        held(&BATCHES).1.get(name).cloned()
    }

    /// The batch of that name, begun if it is not there.
    pub(super) fn begin(name: &str) -> Arc<Self> {
        let mut batches = held(&BATCHES);
        let (order, all) = &mut *batches;
        if let Some(batch) = all.get(name) {
            return Arc::clone(batch);
        }
        if order.len() >= MOST
            && let Some(oldest) = order.pop_front()
        {
            all.remove(&oldest);
        }
        order.push_back(name.to_owned());
        Arc::clone(all.entry(name.to_owned()).or_default())
    }

    /// How far it is.
    pub(super) fn seen(&self) -> Seen {
        Seen { stopping: self.stop.load(Ordering::Relaxed), ..held(&self.seen).clone() }
    }

    /// What the reader noticed of a ride.
    pub(super) fn noticed(&self, id: RideId) -> Vec<String> {
        let is = |done: &&Done| matches!(done.became, Became::Kept(kept) if kept == id);
        held(&self.seen).done.iter().find(is).map(|done| done.noticed.clone()).unwrap_or_default()
    }

    /// Asks to stop after the file that is being read.
    pub(super) fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }

    /// Remembers what became of a file.
    pub(super) fn tell(&self, done: Done) {
        held(&self.seen).done.push(done);
    }

    /// Takes files on and reads them beside the server's own work.
    pub(super) fn take(self: &Arc<Self>, state: &AppState, files: Vec<Sent>, over: Vec<String>, incoming: &Incoming) {
        held(&self.seen).all += files.len() + over.len();
        for file in over {
            let became = Became::Unread(
                "it did not get through, or not into the 16 MiB of one sending; send it alone, or by the command",
            );
            self.tell(Done { file, became, noticed: Vec::new() });
        }
        held(&self.waiting).extend(files.into_iter().map(|file| (file, incoming.clone())));
        if !self.busy.swap(true, Ordering::AcqRel) {
            let (batch, state) = (Arc::clone(self), state.clone());
            // A thread of its own: a hundred rides take longer than any answer, and must not take an answer's place.
            std::thread::spawn(move || batch.work(&state));
        }
    }

    fn work(&self, state: &AppState) {
        loop {
            let next = held(&self.waiting).pop_front();
            let Some((Sent { name, bytes }, incoming)) = next else {
                self.busy.store(false, Ordering::Release);
                // A file that came between the look and the flag is not left lying.
                if held(&self.waiting).is_empty() || self.busy.swap(true, Ordering::AcqRel) {
                    return;
                }
                continue;
            };
            let done = if self.stop.load(Ordering::Relaxed) {
                let became = Became::Unread("it came after the stop; bring it in again");
                Done { file: name, became, noticed: Vec::new() }
            } else {
                kept(state, &incoming, name, bytes)
            };
            self.tell(done);
        }
    }
}

/// One file; should the reader break on it, the others are read all the same.
fn kept(state: &AppState, incoming: &Incoming, file: String, bytes: Vec<u8>) -> Done {
    let name = file.clone();
    catch_unwind(AssertUnwindSafe(|| keep(state, incoming, file, bytes))).unwrap_or_else(|_| {
        let became = Became::Bad("the reader broke on it; nothing of it was stored".to_owned());
        Done { file: name, became, noticed: Vec::new() }
    })
}
