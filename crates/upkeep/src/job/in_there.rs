//! Jobs worth doing while the bike is apart anyway: their access lies in the order's, and doing them now saves some.

use super::fault::OrderFault;
use super::model::Library;
use super::order::Order;
use super::plan::least_access;

/// A job that could be done along with an order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer<'l> {
    /// The job.
    pub job: &'l str,
    /// Access that it adds.
    pub extra_access_min: i64,
    /// Work that it adds.
    pub extra_work_min: i64,
    /// Access that it saves against doing it alone.
    pub saved_access_min: i64,
}

/// What could be done along with an order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Offers<'l> {
    /// By extra access, then saved access falling, then name.
    pub offers: Vec<Offer<'l>>,
    /// Jobs left out because they depend on a choice that has no answer.
    pub undecided: Vec<&'l str>,
}

/// Offers for an order of `jobs` among the candidates, each of which must be a job of the library.
///
/// # Formula
/// extra = access with the job − access without it; saved = access of the job alone − extra; offered if saved > 0.
///
/// # Errors
/// The order itself has none.
pub fn in_there<'l>(
    library: &'l Library,
    jobs: &[&str],
    choices: &[(&str, &str)],
    candidates: &[&str],
) -> Result<Offers<'l>, OrderFault> {
    let base = Order::build(library, jobs, choices)?;
    let base_min = minutes(&base)?;
    let mut found = Offers::default();
    for candidate in candidates.iter().filter_map(|id| library.job(id)) {
        let id = candidate.id.as_str();
        if library.covers(jobs, id) {
            continue;
        }
        let alone = match Order::build(library, &[id], choices) {
            Ok(alone) => alone,
            Err(OrderFault::MissingChoice { .. }) => {
                found.undecided.push(id);
                continue;
            }
            Err(_) => continue,
        };
        let inside = |state: &super::OrderState<'_>| base.states.iter().any(|open| open.source.id == state.source.id);
        if !alone.states.iter().all(inside) {
            continue;
        }
        // A job that cannot be done alone, or not together with the others, is no offer.
        let with: Vec<_> = jobs.iter().copied().chain([id]).collect();
        let both = Order::build(library, &with, choices).and_then(|both| minutes(&both));
        let (Ok((alone_min, _)), Ok(both_min)) = (minutes(&alone), both) else { continue };
        let extra_access_min = both_min.0 - base_min.0;
        let saved_access_min = alone_min - extra_access_min;
        if saved_access_min > 0 {
            let extra_work_min = both_min.1 - base_min.1;
            found.offers.push(Offer { job: id, extra_access_min, extra_work_min, saved_access_min });
        }
    }
    found.offers.sort_by_key(|offer| (offer.extra_access_min, -offer.saved_access_min, offer.job));
    Ok(found)
}

/// Least access and work of an order.
fn minutes(order: &Order<'_>) -> Result<(i64, i64), OrderFault> {
    let signed = |minutes: u64| i64::try_from(minutes).unwrap_or(i64::MAX);
    Ok((signed(least_access(order)?), signed(order.work_min())))
}
