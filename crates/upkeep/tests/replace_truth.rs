//! The set, its policies and its shelf against value iteration over the process as it is defined, nothing shared.

use upkeep::replace::{ACTIONS, Action, Fate, Levels, Part, SetPolicy, SetSheet, Shelf, ShelfItem, over_range};

const N: usize = 4;
const TOP: usize = N - 1;
const STATES: usize = N * N * N;

fn sheets() -> [SetSheet; 3] {
    let plain = SetSheet {
        levels: N,
        block_h: 4.0,
        life_h: [60.0, 70.0, 110.0],
        price: [9000.0, 2500.0, 6000.0],
        labour: 3000.0,
        trail: 20_000.0,
        trail_chance: 0.02,
        coupling: 1.0,
        wear_back: 0.5,
    };
    [
        plain,
        SetSheet { block_h: 1.5, labour: 500.0, trail: 90_000.0, coupling: 3.0, wear_back: 0.0, ..plain },
        SetSheet { life_h: [45.0, 120.0, 50.0], price: [4000.0, 9000.0, 3500.0], trail: 0.0, wear_back: 2.0, ..plain },
    ]
}

fn levels(state: usize) -> Levels {
    [state / (N * N), state / N % N, state % N]
}

fn state([chain, front, rear]: Levels) -> usize {
    (chain * N + front) * N + rear
}

fn all() -> impl Iterator<Item = Levels> {
    (0..STATES).map(levels)
}

/// The process: what a block costs on the trail, and where it leads with which chance.
struct Ridden {
    sheet: SetSheet,
    to: Vec<Vec<(usize, f64)>>,
}

impl Ridden {
    fn of(sheet: SetSheet) -> Self {
        let to = all()
            .map(|at| {
                let [chain, front, rear] = at.map(|level| level as f64 / TOP as f64);
                let base = sheet.life_h.map(|life| TOP as f64 * sheet.block_h / life);
                let steps = [
                    base[0] * (1.0 + sheet.coupling * (front + rear)),
                    base[1] * (1.0 + sheet.wear_back * chain),
                    base[2] * (1.0 + sheet.wear_back * chain),
                ]
                .map(|step: f64| step.min(0.95));
                (0..8_usize)
                    .map(|way| {
                        let moves = |part: usize| way >> part & 1;
                        let chance =
                            (0..3).map(|part| if moves(part) == 1 { steps[part] } else { 1.0 - steps[part] }).product();
                        (state(std::array::from_fn(|part| (at[part] + moves(part)).min(TOP))), chance)
                    })
                    .collect()
            })
            .collect();
        Self { sheet, to }
    }

    fn trail(&self, at: Levels) -> f64 {
        let worst = at.into_iter().max().unwrap_or_default();
        if worst == TOP {
            return f64::INFINITY;
        }
        self.sheet.trail * self.sheet.trail_chance * (worst as f64 / TOP as f64).powi(4)
    }

    fn ahead(&self, at: Levels, value: &[f64]) -> f64 {
        self.to[state(at)].iter().map(|(to, chance)| chance * value[*to]).sum()
    }

    fn pay(&self, action: &Action, shelf: &Shelf) -> f64 {
        let part = |part: usize| match action[part] {
            Fate::Keep => 0.0,
            Fate::New => self.sheet.price[part],
            Fate::Shelf => shelf.items[part].map_or(f64::INFINITY, |item| item.price),
        };
        (0..3).map(part).sum::<f64>() + if *action == [Fate::Keep; 3] { 0.0 } else { self.sheet.labour }
    }

    /// Cost per block and values against all new, of the best choice or of a rule.
    fn solved(&self, rule: impl Fn(Levels, &Action) -> bool) -> (f64, Vec<f64>) {
        let mut value = vec![0.0; STATES];
        let mut per_block = 0.0;
        for _ in 0..6000 {
            let next: Vec<f64> = all()
                .map(|at| {
                    let cost = |action: &Action| {
                        let post = fitted(at, action, &NOTHING);
                        self.pay(action, &NOTHING) + self.trail(post) + self.ahead(post, &value)
                    };
                    ACTIONS.iter().filter(|action| rule(at, action)).map(cost).fold(f64::INFINITY, f64::min)
                })
                .collect();
            per_block = next[0];
            let next: Vec<f64> = next.iter().map(|value| value - per_block).collect();
            let moved = next.iter().zip(&value).map(|(one, other)| (one - other).abs()).fold(0.0, f64::max);
            value = next;
            if moved < 1e-9 {
                break;
            }
        }
        (per_block, value)
    }
}

const NOTHING: Shelf = Shelf { items: [None; 3], lasts_h: 1.0 };

fn fitted(at: Levels, action: &Action, shelf: &Shelf) -> Levels {
    std::array::from_fn(|part| match (action[part], shelf.items[part]) {
        (Fate::New, _) => 0,
        (Fate::Shelf, Some(item)) => item.level,
        _ => at[part],
    })
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-6 * one.abs().max(other.abs()).max(1.0)
}

#[test]
fn the_cost_per_hour_and_what_each_other_action_loses_are_those_of_value_iteration() {
    for sheet in sheets() {
        let (ridden, policy) = (Ridden::of(sheet), SetPolicy::solve(sheet));
        let (per_block, value) = ridden.solved(|_, _| true);
        assert!(near(policy.per_h(), per_block / sheet.block_h), "{} {}", policy.per_h(), per_block / sheet.block_h);
        for at in all() {
            let costs = ACTIONS.map(|action| {
                let post = fitted(at, &action, &NOTHING);
                ridden.pay(&action, &NOTHING) + ridden.trail(post) + ridden.ahead(post, &value)
            });
            let least = costs.into_iter().fold(f64::INFINITY, f64::min);
            let advice = policy.advice(at);
            for (cost, lost) in costs.into_iter().zip(advice.lost) {
                assert_eq!(lost.is_some(), cost.is_finite());
                assert!(
                    lost.is_none_or(|lost| (lost - (cost - least)).abs() < 1e-3),
                    "{at:?}: {lost:?} {}",
                    cost - least
                );
            }
            // Fewest parts of equals.
            let parts = |action: usize| action.count_ones();
            let alike = (0..8).filter(|action| costs[*action] - least < 1e-7);
            assert_eq!(parts(advice.best), alike.map(parts).min().expect("one"), "{at:?}");
        }
        let from = (0..=TOP).find(|level| policy.advice([TOP, *level, *level]).best == 7);
        assert_eq!(policy.all_three_from(), from);
        assert!(!policy.block_too_long());
    }
}

#[test]
fn both_rules_cost_what_riding_by_them_costs() {
    for sheet in sheets() {
        let (ridden, policy) = (Ridden::of(sheet), SetPolicy::solve(sheet));
        let new = |action: &Action, part: usize| action[part] == Fate::New;
        let each = ridden.solved(|at, action| (0..3).all(|part| new(action, part) == (at[part] == TOP))).0;
        let together = ridden.solved(|at, action| (0..3).all(|part| new(action, part) == at.contains(&TOP))).0;
        assert!(near(policy.each_at_limit_per_h(), each / sheet.block_h));
        assert!(near(policy.all_at_limit_per_h(), together / sheet.block_h));
    }
}

#[test]
fn a_block_is_too_long_from_the_chance_on_that_is_cut_off() {
    let longest = |sheet: SetSheet| {
        let at = |part: usize, faster: f64| 0.95 * sheet.life_h[part] / (TOP as f64 * faster);
        at(0, 1.0 + 2.0 * sheet.coupling).min(at(1, 1.0 + sheet.wear_back)).min(at(2, 1.0 + sheet.wear_back))
    };
    for sheet in sheets() {
        let too_long = |block_h: f64| SetPolicy::solve(SetSheet { block_h, ..sheet }).block_too_long();
        assert!(!too_long(longest(sheet) * (1.0 - 1e-9)) && too_long(longest(sheet) * (1.0 + 1e-9)));
    }
}

/// Values with some of the shelf still there, from those without any.
struct Shelved<'r> {
    ridden: &'r Ridden,
    shelf: Shelf,
    keeps: f64,
    per_block: f64,
    /// By which parts are there: the chain 1, the front 2, the rear 4.
    value: Vec<Vec<f64>>,
}

impl<'r> Shelved<'r> {
    fn of(ridden: &'r Ridden, (per_block, bare): &(f64, Vec<f64>), shelf: Shelf) -> Self {
        let keeps = (-ridden.sheet.block_h / shelf.lasts_h).exp();
        let mut out = Self { ridden, shelf, keeps, per_block: *per_block, value: vec![bare.clone(); 8] };
        let full = (0..3).filter(|part| shelf.items[*part].is_some()).map(|part| 1 << part).sum::<usize>();
        for mask in (1..8_usize).filter(|mask| mask & full == *mask) {
            for _ in 0..3000 {
                let next = all().map(|at| {
                    out.actions(mask).iter().map(|action| out.cost(mask, at, action)).fold(f64::INFINITY, f64::min)
                });
                let next: Vec<f64> = next.collect();
                let moved =
                    next.iter().zip(&out.value[mask]).map(|(one, other)| (one - other).abs()).fold(0.0, f64::max);
                out.value[mask] = next;
                if moved < 1e-10 {
                    break;
                }
            }
        }
        out
    }

    fn actions(&self, mask: usize) -> Vec<Action> {
        let fates = |part: usize| {
            let mut fates = vec![Fate::Keep, Fate::New];
            if mask >> part & 1 == 1 {
                fates.push(Fate::Shelf);
            }
            fates
        };
        let mut all = Vec::new();
        for chain in fates(0) {
            for front in fates(1) {
                all.extend(fates(2).into_iter().map(|rear| [chain, front, rear]));
            }
        }
        all
    }

    fn cost(&self, mask: usize, at: Levels, action: &Action) -> f64 {
        let used = (0..3).filter(|part| action[*part] == Fate::Shelf).map(|part| 1 << part).sum::<usize>();
        let post = fitted(at, action, &self.shelf);
        let ahead = |mask: usize| self.ridden.ahead(post, &self.value[mask]);
        self.ridden.pay(action, &self.shelf) + self.ridden.trail(post) - self.per_block
            + self.keeps * ahead(mask & !used)
            + (1.0 - self.keeps) * ahead(0)
    }
}

#[test]
fn every_fate_of_every_part_loses_what_value_iteration_with_the_shelf_says() {
    let worn = |level: usize, price: f64| Some(ShelfItem { level, price });
    let shelves = [
        Shelf { items: [None, None, worn(1, 200.0)], lasts_h: 300.0 },
        Shelf { items: [worn(1, 0.0), worn(0, 100.0), None], lasts_h: 40.0 },
        Shelf { items: [worn(2, 50.0), worn(1, 0.0), worn(2, 900.0)], lasts_h: 1000.0 },
    ];
    for (sheet, shelf) in sheets().into_iter().zip(shelves) {
        let (ridden, policy) = (Ridden::of(sheet), SetPolicy::solve(sheet));
        let bare = ridden.solved(|_, _| true);
        let full = (0..3).filter(|part| shelf.items[*part].is_some()).map(|part| 1 << part).sum::<usize>();
        let shelved = Shelved::of(&ridden, &bare, shelf);
        for at in [[0, 0, 0], [1, 0, 2], [2, 2, 1], [3, 1, 1], [3, 2, 3], [0, 3, 3], [3, 3, 3]] {
            for must in [&[][..], &[Part::Chain], &[Part::Front, Part::Rear]] {
                let choice = policy.choose(at, must, shelf);
                let allowed = |action: &Action| must.iter().all(|part| action[part.index()] != Fate::Keep);
                let costs: Vec<(Action, f64)> =
                    shelved.actions(full).into_iter().map(|action| (action, shelved.cost(full, at, &action))).collect();
                let least = costs.iter().map(|one| one.1).fold(f64::INFINITY, f64::min);
                let base = costs.iter().filter(|one| allowed(&one.0)).map(|one| one.1).fold(f64::INFINITY, f64::min);
                let told: Vec<Action> = choice.lost.iter().map(|one| one.0).collect();
                let want: Vec<(Action, f64)> = costs.iter().copied().filter(|one| allowed(&one.0)).collect();
                assert_eq!(told, want.iter().map(|one| one.0).collect::<Vec<_>>());
                for ((_, lost), (action, cost)) in choice.lost.iter().zip(&want) {
                    assert_eq!(lost.is_some(), cost.is_finite());
                    assert!(
                        lost.is_none_or(|lost| (lost - (cost - base)).abs() < 1e-3),
                        "{at:?} {action:?}: {lost:?} {}",
                        cost - base
                    );
                }
                assert!((choice.change_costs - (base - least)).abs() < 1e-3);
                assert!(
                    (choice.shelf_worth - (bare.1[state(at)] - least)).abs() < 1e-3,
                    "{at:?}: {}",
                    choice.shelf_worth
                );
                let cost_of_best = costs.iter().find(|one| one.0 == choice.best).expect("one of them").1;
                assert!(cost_of_best < base + 1e-3 && allowed(&choice.best), "{at:?}");
                if must.is_empty() {
                    comes_off(&ridden, &policy, &bare, at, &choice, &shelf);
                }
            }
        }
    }
}

/// What comes off is worth what it saves as the one part of a shelf, from the state that is ridden on from.
fn comes_off(
    ridden: &Ridden,
    policy: &SetPolicy,
    bare: &(f64, Vec<f64>),
    at: Levels,
    choice: &upkeep::replace::Choice,
    shelf: &Shelf,
) {
    let worth = policy.off_worth(at, choice, 200.0);
    let post = fitted(at, &choice.best, shelf);
    for part in 0..3 {
        let want = (choice.best[part] != Fate::Keep).then(|| {
            if at[part] == TOP {
                return 0.0;
            }
            let mut items = [None; 3];
            items[part] = Some(ShelfItem { level: at[part], price: 0.0 });
            let with = Shelved::of(ridden, bare, Shelf { items, lasts_h: 200.0 });
            with.keeps * (ridden.ahead(post, &bare.1) - ridden.ahead(post, &with.value[1 << part]))
        });
        assert_eq!(worth[part].is_some(), want.is_some());
        assert!(
            worth[part].zip(want).is_none_or(|(found, want)| (found - want).abs() < 1e-3),
            "{at:?}: {worth:?} {want:?}"
        );
    }
}

#[test]
fn over_ranges_the_most_that_each_action_loses_at_any_levels_by_any_policy() {
    let policies: Vec<SetPolicy> = SetPolicy::solve_each(sheets().into_iter());
    for (ranges, must) in [
        ([(0, 2), (1, 1), (0, 3)], &[][..]),
        ([(1, 3), (0, 3), (2, 2)], &[Part::Chain][..]),
        ([(0, 3), (0, 3), (0, 3)], &[Part::Front, Part::Rear][..]),
        ([(3, 3), (3, 3), (3, 3)], &[][..]),
        ([(0, 0), (0, 1), (0, 0)], &[][..]),
    ] {
        let found = over_range(&policies, &ranges, must);
        let allowed: Vec<usize> =
            (0..8).filter(|index| must.iter().all(|part| ACTIONS[*index][part.index()] != Fate::Keep)).collect();
        let inside = |at: &Levels| (0..3).all(|part| (ranges[part].0..=ranges[part].1).contains(&at[part]));
        let mut most = [Some(0.0_f64); 8];
        let (mut bests, mut corners) = (Vec::new(), Vec::new());
        for (number, policy) in policies.iter().enumerate() {
            for at in all().filter(inside) {
                let lost = policy.advice(at).lost;
                let least = allowed.iter().filter_map(|index| lost[*index]).fold(f64::INFINITY, f64::min);
                for &index in &allowed {
                    most[index] = most[index].zip(lost[index]).map(|(most, lost)| most.max(lost - least));
                }
                let alike =
                    |index: &&usize| lost[**index].is_some_and(|lost| lost - least < 1e-6 * policy.per_h().max(1.0));
                let best =
                    *allowed.iter().filter(alike).min_by_key(|index| (index.count_ones(), **index)).expect("one");
                bests.push(best);
                if (0..3).all(|part| at[part] == ranges[part].0 || at[part] == ranges[part].1) {
                    corners.push((number, at, best));
                }
            }
        }
        let told: Vec<_> = found.corners.iter().map(|corner| (corner.policy, corner.levels, corner.best)).collect();
        assert_eq!(told, corners, "{ranges:?}");
        assert_eq!(found.best, bests.iter().all(|best| *best == bests[0]).then(|| bests[0]));
        assert_eq!(found.same_at_corners, corners.iter().all(|corner| corner.2 == corners[0].2));
        let want: Vec<(usize, Option<f64>)> = allowed.iter().map(|index| (*index, most[*index])).collect();
        assert_eq!(found.most_lost.len(), want.len());
        for ((index, lost), (known, want)) in found.most_lost.iter().zip(&want) {
            assert!(index == known && lost.is_some() == want.is_some());
            assert!(lost.zip(*want).is_none_or(|(lost, want)| (lost - want).abs() < 1e-9));
        }
        let least = allowed.iter().filter_map(|index| most[*index]).fold(f64::INFINITY, f64::min);
        let alike = allowed.iter().filter(|index| most[**index].is_some_and(|most| most - least < 1e-3));
        assert_eq!(Some(found.safest), alike.min_by_key(|index| (index.count_ones(), **index)).copied());
    }
}
