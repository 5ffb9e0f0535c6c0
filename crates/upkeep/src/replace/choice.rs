//! One fate for each part, where some are changed anyway or used ones lie on the shelf.

use super::policy::{ALIKE, SetPolicy};
use super::set::{Action, Fate, Levels, Part};
use super::shelf::{Shelf, ShelfItem, WithShelf};

/// What to fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Best action among those that change what is changed anyway: fewest parts of equals, then keep, new, shelf.
    pub best: Action,
    /// Long-run money lost by each such action; `None` = a part at its limit may not be ridden.
    pub lost: Vec<(Action, Option<f64>)>,
    /// What changing those parts now throws away.
    pub change_costs: f64,
    /// What having the shelf is worth.
    pub shelf_worth: f64,
    /// The state that the best action leaves.
    post: usize,
}

impl SetPolicy {
    /// Chooses one fate for each part; `must` names those that are changed anyway.
    #[must_use]
    pub fn choose(&self, levels: Levels, must: &[Part], shelf: Shelf) -> Choice {
        let with = WithShelf::solve(&self.wear, &self.plain, shelf);
        let costs = with.costs(levels);
        let least = |of: &dyn Fn(&Action) -> bool| {
            costs.iter().filter(|(action, _)| of(action)).map(|(_, cost)| *cost).fold(f64::INFINITY, f64::min)
        };
        let allowed = |action: &Action| must.iter().all(|part| action[part.index()] != Fate::Keep);
        let (anything, base) = (least(&|_| true), least(&allowed));
        let alike = base + ALIKE * self.per_h().max(1.0);
        let changed = |action: &Action| action.iter().filter(|fate| **fate != Fate::Keep).count();
        let best = costs
            .iter()
            .filter(|(action, cost)| allowed(action) && *cost < alike)
            .map(|(action, _)| *action)
            .min_by_key(|action| (changed(action), *action))
            .unwrap_or([Fate::New; 3]);
        let lost = costs.iter().filter(|(action, _)| allowed(action));
        Choice {
            lost: lost.map(|(action, cost)| (*action, cost.is_finite().then_some(cost - base))).collect(),
            change_costs: base - anything,
            shelf_worth: self.plain.value[self.wear.state_of(levels)] - with.value(self.wear.state_of(levels)),
            post: with.after(levels, &best),
            best,
        }
    }

    /// What each part that comes off at these levels is worth on the shelf; `None` = it stays on.
    ///
    /// # Formula
    /// ω P(V_0 − V_part at its level) after the best action, 0 at its limit
    ///
    /// # Source
    /// Derived here (`set-process`).
    #[must_use]
    pub fn off_worth(&self, levels: Levels, choice: &Choice, lasts_h: f64) -> [Option<f64>; 3] {
        std::array::from_fn(|part| {
            (choice.best[part] != Fate::Keep).then(|| self.part_worth(part, levels[part], choice.post, lasts_h))
        })
    }

    fn part_worth(&self, part: usize, level: usize, post: usize, lasts_h: f64) -> f64 {
        if level >= self.wear.top() {
            return 0.0;
        }
        let mut items = [None; 3];
        items[part] = Some(ShelfItem { level, price: 0.0 });
        let with = WithShelf::solve(&self.wear, &self.plain, Shelf { items, lasts_h });
        with.keeps() * (self.plain.expected[post] - with.expected(post))
    }
}
