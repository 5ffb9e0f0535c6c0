//! The parts list of an open work order or of a wish, against the shelf: the same for page and command.

use advice::plan::{PlanView, Wish};
use advice::supplies::{self, Asked, PartsView};
use advice::{Gap, Setup};
use jiff::civil::{Date, DateTime};
use store::StoreError;
use upkeep::bike::Bike;
use upkeep::job::bench::{Bench, End};
use upkeep::supply::Shelf;

use crate::garage::Garage;

/// What a list is made from.
pub(crate) struct Stock {
    /// What lies on the shelf.
    pub(crate) shelf: Shelf,
    order: Option<Bench>,
    manual: Vec<upkeep::job::bench::Manual>,
    next_ride: Option<Date>,
    today: Date,
}

impl Stock {
    /// Reads it out of the record.
    ///
    /// # Errors
    /// The store cannot be read.
    pub(crate) fn of(garage: &Garage, bike: &Bike, now: DateTime) -> Result<Self, StoreError> {
        let facts = garage.supplies(&bike.id)?;
        let open = garage.benches(&bike.id)?.iter().rev().find(|bench| bench.end() == End::Open).cloned();
        let next_ride = garage.log(&bike.id)?.next_planned(now).map(|entry| entry.at.date());
        Ok(Self {
            shelf: Shelf::of(facts.iter().map(|kept| (kept.at.date(), &kept.supply))),
            order: open,
            manual: garage.manual(&bike.id)?.to_vec(),
            next_ride,
            today: now.date(),
        })
    }

    /// The list of what is wished; of the open order where nothing is, and of what the change needs where none is open.
    ///
    /// # Errors
    /// It cannot be planned.
    pub(crate) fn list(&self, bike: &Bike, wished: Option<(Setup, Wish)>, by: Option<Date>) -> Result<PartsView, Gap> {
        let order = self.order.as_ref().filter(|_| wished.is_none());
        let (setup, wish) = match (wished, order) {
            (Some((setup, wish)), _) => (setup, Wish { manual: self.manual.clone(), ..wish }),
            (None, Some(bench)) => self.of_order(bench),
            (None, None) => (Setup::fitted(bike)?, Wish { manual: self.manual.clone(), ..Wish::default() }),
        };
        let needed = by.or(self.next_ride);
        let order = order.map(|bench| bench.id);
        supplies::of_wish(bike, setup, &wish, Asked { shelf: &self.shelf, today: self.today, needed, order })
    }

    /// The list of a plan, for the next planned ride.
    ///
    /// # Errors
    /// Its jobs make no list.
    pub(crate) fn of_plan(&self, plan: &PlanView, order: Option<i64>) -> Result<PartsView, Gap> {
        supplies::view(plan, Asked { shelf: &self.shelf, today: self.today, needed: self.next_ride, order })
    }

    fn of_order(&self, bench: &Bench) -> (Setup, Wish) {
        let [front_teeth, rear_teeth, links] = bench.setup;
        let jobs = bench.jobs_now().iter().map(|job| (*job).to_owned()).collect();
        let wish = Wish { jobs, choices: bench.choices.clone(), manual: self.manual.clone() };
        (Setup { front_teeth, rear_teeth, links }, wish)
    }
}
