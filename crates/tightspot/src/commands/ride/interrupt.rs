//! Ctrl-C between two files: the first one asks to stop, a second one ends the program at once.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Whether somebody asked to stop.
pub(super) struct Interrupt {
    asked: Arc<AtomicBool>,
}

impl Interrupt {
    /// Listens from now on. Where that is not possible, Ctrl-C ends the program as it always does.
    pub(super) fn watch() -> Self {
        let asked = Arc::new(AtomicBool::new(false));
        let heard = Arc::clone(&asked);
        std::thread::spawn(move || {
            let Ok(runtime) = tokio::runtime::Builder::new_current_thread().enable_all().build() else { return };
            runtime.block_on(async {
                if tokio::signal::ctrl_c().await.is_ok() {
                    heard.store(true, Ordering::Relaxed);
                    if tokio::signal::ctrl_c().await.is_ok() {
                        // As a shell counts it: 128 and the number of the signal.
                        std::process::exit(130);
                    }
                }
            });
        });
        Self { asked }
    }

    /// Whether Ctrl-C was pressed.
    pub(super) fn asked(&self) -> bool {
        self.asked.load(Ordering::Relaxed)
    }
}
