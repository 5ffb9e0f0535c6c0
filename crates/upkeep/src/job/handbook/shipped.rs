//! The job library that the tool carries.

use std::sync::{LazyLock, OnceLock};

use super::lint::lint_over;
use super::read::{Handbook, HandbookFault, Source};

macro_rules! job {
    ($name:literal) => {
        Source { name: $name, text: include_str!(concat!("../../../../../data/jobs/", $name)) }
    };
}

/// Its files.
pub const SHIPPED: [Source<'static>; 36] = [
    job!("_access.toml"),
    job!("air-filter.toml"),
    job!("brake-fluid.toml"),
    job!("brake-pads-front.toml"),
    job!("brake-pads-rear.toml"),
    job!("cables-controls.toml"),
    job!("chain-clean-oil.toml"),
    job!("chain-cut-join.toml"),
    job!("chain-guide-slider.toml"),
    job!("chain-slack.toml"),
    job!("clutch-plates.toml"),
    job!("coolant.toml"),
    job!("countershaft-seal.toml"),
    job!("exhaust-spring-check.toml"),
    job!("final-drive-set.toml"),
    job!("first-ride-check.toml"),
    job!("fork-oil-seals.toml"),
    job!("front-sprocket-only.toml"),
    job!("front-tyre.toml"),
    job!("front-wheel-bearings.toml"),
    job!("gearbox-oil.toml"),
    job!("power-valve-clean.toml"),
    job!("rear-sprocket-only.toml"),
    job!("rear-tyre.toml"),
    job!("rear-wheel-bearings.toml"),
    job!("reeds.toml"),
    job!("shock-service.toml"),
    job!("spark-plug.toml"),
    job!("spokes-true.toml"),
    job!("steering-head.toml"),
    job!("swingarm-linkage-grease.toml"),
    job!("throttle-service.toml"),
    job!("top-end-2t.toml"),
    job!("top-end-4t.toml"),
    job!("valve-clearance.toml"),
    Source { name: "cautions.toml", text: include_str!("../../../../../data/cautions.toml") },
];

static HANDBOOK: LazyLock<Handbook> = LazyLock::new(|| Handbook::read(&SHIPPED).unwrap_or_default());

static OWN: OnceLock<Handbook> = OnceLock::new();

/// The rider's own jobs and cautions over the carried library.
///
/// # Errors
/// Every fault of the files together with the carried ones.
pub fn with_own(own: &[Source<'_>]) -> Result<Handbook, Vec<HandbookFault>> {
    lint_over(shipped(), &SHIPPED, own)
}

/// Puts the rider's own jobs and cautions over the carried library, for as long as the program runs.
///
/// # Errors
/// Every fault of the files together with the carried ones; or that it was done before.
pub fn take_own(own: &[Source<'_>]) -> Result<(), Vec<HandbookFault>> {
    let book = with_own(own)?;
    let twice =
        || HandbookFault { file: "?".to_owned(), line: 1, why: "a folder of jobs is in use already".to_owned() };
    OWN.set(book).map_err(|_| vec![twice()])
}

/// The job library in use: the carried one, with the rider's own over it where there are some.
#[must_use]
pub fn in_use() -> &'static Handbook {
    OWN.get().unwrap_or_else(|| shipped())
}

/// The tool's own job library, read once.
#[must_use]
pub fn shipped() -> &'static Handbook {
    &HANDBOOK
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_job_file_on_disk_is_carried() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/jobs");
        let on_disk: BTreeSet<_> = std::fs::read_dir(folder)
            .expect("folder")
            .map(|entry| entry.expect("entry").file_name().into_string().expect("name"))
            .collect();
        let carried: BTreeSet<_> = SHIPPED.iter().map(|file| file.name.to_owned()).collect();
        assert_eq!(on_disk.difference(&carried).count(), 0);
        assert_eq!(carried.len(), on_disk.len() + 1);
    }

    #[test]
    fn the_carried_library_is_read_whole() {
        Handbook::read(&SHIPPED).map_err(|fault| fault.to_string()).expect("every file is read");
        assert_eq!(shipped().jobs().len(), SHIPPED.len() - 2);
    }
}
