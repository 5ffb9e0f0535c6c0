//! The least minutes through a season's rides for one set of parts.
//!
//! Backwards over the rides: what the rest of the season costs from each option. A change's cost depends only on
//! which of front, rear and chain differ, so the least over all next options is the least over eight patterns of
//! what stays, each a table; a ride costs as many steps as it has options, not their square.

use std::collections::HashMap;

use super::{Change, rising};

/// Costs are minutes and changes in one number: fewer minutes first, then fewer changes.
const UNIT: u32 = 64;
/// No way.
const NONE: u32 = u32::MAX;

/// The parts that come into question.
#[derive(Debug)]
pub(super) struct Parts {
    /// Front sprockets to buy, rising.
    pub(super) fronts: Vec<u16>,
    /// Rear sprockets to buy, rising.
    pub(super) rears: Vec<u16>,
    /// All link counts, rising.
    pub(super) links: Vec<u16>,
    /// Which of them are to buy.
    pub(super) chains_to_buy: Vec<bool>,
    /// How many chains may be used.
    pub(super) most_chains: usize,
}

impl Parts {
    /// Every set of link counts that may be used, as bits.
    pub(super) fn link_sets(&self) -> Vec<u32> {
        (1..1_u32 << self.links.len()).filter(|bits| bits.count_ones() as usize <= self.most_chains).collect()
    }

    /// Chains to buy in a set.
    pub(super) fn chains_bought(&self, links: u32) -> usize {
        self.chains_to_buy.iter().enumerate().filter(|(at, buy)| **buy && links >> at & 1 == 1).count()
    }

    /// Parts to buy in all.
    pub(super) fn pieces(&self, buy: [u32; 3]) -> usize {
        (buy[0].count_ones() + buy[1].count_ones()) as usize + self.chains_bought(buy[2])
    }
}

/// One option of a ride, with what it needs (bits of parts to buy) and its places in the tables.
#[derive(Debug, Clone, Copy)]
struct Choice {
    option: [u16; 3],
    needs: [u32; 3],
    at: [usize; 3],
}

impl Choice {
    const fn allowed(&self, buy: [u32; 3]) -> bool {
        self.needs[0] & !buy[0] == 0 && self.needs[1] & !buy[1] == 0 && self.needs[2] & !buy[2] == 0
    }
}

/// The least cost from any next option, by what stays the same.
#[derive(Debug)]
struct Tables {
    sizes: [usize; 3],
    any: u32,
    one: [Vec<u32>; 3],
    two: [Vec<u32>; 3],
    all: Vec<u32>,
}

impl Tables {
    fn new(sizes: [usize; 3]) -> Self {
        let of = |size: usize| vec![NONE; size];
        let [f, r, l] = sizes;
        Self {
            sizes,
            any: NONE,
            one: [of(f), of(r), of(l)],
            two: [of(f * r), of(f * l), of(r * l)],
            all: of(f * r * l),
        }
    }

    const fn twos(&self, [f, r, l]: [usize; 3]) -> [usize; 3] {
        let [_, rears, links] = self.sizes;
        [f * rears + r, f * links + l, r * links + l]
    }

    fn put(&mut self, at: [usize; 3], cost: u32) {
        let twos = self.twos(at);
        self.any = self.any.min(cost);
        for k in 0..3 {
            self.one[k][at[k]] = self.one[k][at[k]].min(cost);
            self.two[k][twos[k]] = self.two[k][twos[k]].min(cost);
        }
        let all = twos[0] * self.sizes[2] + at[2];
        self.all[all] = self.all[all].min(cost);
    }

    fn clear(&mut self, at: [usize; 3]) {
        let twos = self.twos(at);
        self.any = NONE;
        for k in 0..3 {
            self.one[k][at[k]] = NONE;
            self.two[k][twos[k]] = NONE;
        }
        self.all[twos[0] * self.sizes[2] + at[2]] = NONE;
    }

    /// The least cost of going on from an option: the change, then the rest.
    fn least(&self, at: [usize; 3], cost: [u32; 4]) -> u32 {
        let [front, rear, links, settle] = cost;
        let twos = self.twos(at);
        let ways = [
            (self.any, settle + front + rear + links),
            (self.one[0][at[0]], settle + rear + links),
            (self.one[1][at[1]], settle + front + links),
            (self.one[2][at[2]], settle + front + rear),
            (self.two[0][twos[0]], settle + links),
            (self.two[1][twos[1]], settle + rear),
            (self.two[2][twos[2]], settle + front),
            (self.all[twos[0] * self.sizes[2] + at[2]], 0),
        ];
        ways.iter().map(|(rest, change)| rest.saturating_add(*change)).min().unwrap_or(NONE)
    }
}

/// The rides laid out for many questions of one kind: what does the season cost with these parts?
#[derive(Debug)]
pub(super) struct Board<'a> {
    rides: Vec<Vec<Choice>>,
    fitted: Option<[u16; 3]>,
    /// Front, rear, links, settle, in cost units; the last with one change added.
    cost: [u32; 4],
    tables: Tables,
    known: HashMap<[u32; 3], Option<u32>>,
    parts: &'a Parts,
}

impl<'a> Board<'a> {
    pub(super) fn new(parts: &'a Parts, rides: &[&Vec<[u16; 3]>], fitted: Option<[u16; 3]>, change: Change) -> Self {
        let every = [0, 1, 2].map(|k| rising(rides.iter().flat_map(|ride| ride.iter()).map(|option| option[k])));
        let bit = |list: &[u16], count: u16| list.binary_search(&count).map_or(0, |at| 1_u32 << at);
        let choice = |option: &[u16; 3]| Choice {
            option: *option,
            needs: [bit(&parts.fronts, option[0]), bit(&parts.rears, option[1]), bit(&parts.links, option[2])],
            at: [0, 1, 2].map(|k| every[k].binary_search(&option[k]).unwrap_or(0)),
        };
        Self {
            rides: rides.iter().map(|ride| ride.iter().map(choice).collect()).collect(),
            fitted,
            cost: [
                u32::from(change.front_min) * UNIT,
                u32::from(change.rear_min) * UNIT,
                u32::from(change.links_min) * UNIT,
                u32::from(change.settle_min) * UNIT + 1,
            ],
            tables: Tables::new([0, 1, 2].map(|k| every[k].len())),
            known: HashMap::new(),
            parts,
        }
    }

    /// The least minutes of the season with these parts; `None` where a ride cannot be geared for.
    pub(super) fn minutes(&mut self, buy: [u32; 3]) -> Option<u32> {
        if let Some(known) = self.known.get(&buy) {
            return *known;
        }
        let rest = self.rest(buy);
        let minutes = rest.first().and_then(|first| self.start(buy, first)).map(|cost| cost / UNIT);
        // Only the wide sets are asked for again and again: the narrow ones would fill the memory.
        if buy[0] == (1 << self.parts.fronts.len()) - 1 || buy[1] == (1 << self.parts.rears.len()) - 1 {
            self.known.insert(buy, minutes);
        }
        minutes
    }

    /// The first of the cheapest plans in order, one option a ride.
    pub(super) fn plan(&mut self, buy: [u32; 3]) -> Vec<[u16; 3]> {
        let rest = self.rest(buy);
        let mut plan = Vec::with_capacity(self.rides.len());
        let mut last = self.fitted;
        for (ride, rest) in self.rides.iter().zip(&rest) {
            let whole = |at: usize, choice: &Choice| rest[at].saturating_add(self.change(last, choice.option));
            let allowed = || ride.iter().enumerate().filter(|(_, choice)| choice.allowed(buy));
            let least = allowed().map(|(at, choice)| whole(at, choice)).min();
            let Some((_, first)) = allowed().find(|(at, choice)| Some(whole(*at, choice)) == least) else { break };
            plan.push(first.option);
            last = Some(first.option);
        }
        plan
    }

    fn start(&self, buy: [u32; 3], rest: &[u32]) -> Option<u32> {
        let ride = self.rides.first()?;
        let ways = ride.iter().zip(rest).filter(|(choice, _)| choice.allowed(buy));
        ways.map(|(choice, rest)| rest.saturating_add(self.change(self.fitted, choice.option)))
            .min()
            .filter(|cost| *cost < NONE)
    }

    fn change(&self, from: Option<[u16; 3]>, to: [u16; 3]) -> u32 {
        match from {
            Some(from) if from != to => {
                (0..3).filter(|k| from[*k] != to[*k]).map(|k| self.cost[k]).sum::<u32>() + self.cost[3]
            }
            _ => 0,
        }
    }

    /// What the season costs after each option of each ride; `NONE` for options that are not allowed or lead nowhere.
    fn rest(&mut self, buy: [u32; 3]) -> Vec<Vec<u32>> {
        let mut rest: Vec<Vec<u32>> = self.rides.iter().map(|ride| vec![NONE; ride.len()]).collect();
        let last = self.rides.len() - 1;
        for (at, ride) in self.rides.iter().enumerate().rev() {
            for (k, choice) in ride.iter().enumerate().filter(|(_, choice)| choice.allowed(buy)) {
                rest[at][k] = if at == last { 0 } else { self.tables.least(choice.at, self.cost) };
            }
            if let Some(after) = self.rides.get(at + 1) {
                after.iter().for_each(|choice| self.tables.clear(choice.at));
            }
            for (choice, cost) in ride.iter().zip(&rest[at]).filter(|(_, cost)| **cost < NONE) {
                self.tables.put(choice.at, *cost);
            }
        }
        if let Some(first) = self.rides.first() {
            first.iter().for_each(|choice| self.tables.clear(choice.at));
        }
        rest
    }
}
