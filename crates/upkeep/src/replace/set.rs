//! Chain, front and rear sprocket, each at a wear level, and how a block of riding moves them.

/// A part of the set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// The chain.
    Chain,
    /// The front sprocket.
    Front,
    /// The rear sprocket.
    Rear,
}

impl Part {
    /// All of them, in the order in which levels, prices and fates are listed.
    pub const ALL: [Self; 3] = [Self::Chain, Self::Front, Self::Rear];

    /// Its place in that order.
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }
}

/// Wear levels of chain, front and rear; 0 is new, the highest is at its limit.
pub type Levels = [usize; 3];

/// What happens to a part before a block of riding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fate {
    /// It stays on.
    Keep,
    /// A new one is fitted.
    New,
    /// The used one from the shelf is fitted.
    Shelf,
}

/// What happens to chain, front and rear.
pub type Action = [Fate; 3];

/// The eight ways to renew some parts, in the order in which names list them: the chain counts 1, the front 2, the
/// rear 4.
pub const ACTIONS: [Action; 8] = {
    use Fate::{Keep, New};
    [
        [Keep, Keep, Keep],
        [New, Keep, Keep],
        [Keep, New, Keep],
        [New, New, Keep],
        [Keep, Keep, New],
        [New, Keep, New],
        [Keep, New, New],
        [New, New, New],
    ]
};

/// Order in which actions are preferred where they cost the same: fewest parts first.
pub(super) const PREFERRED: [usize; 8] = [0, 1, 2, 4, 3, 5, 6, 7];

/// Everything that the decision rests on, for one strength of coupling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SetSheet {
    /// Number of levels of each part, 4 to 12.
    pub levels: usize,
    /// Riding hours between two looks.
    pub block_h: f64,
    /// Life in hours of chain, front and rear against fresh mates.
    pub life_h: [f64; 3],
    /// Prices of chain, front and rear.
    pub price: [f64; 3],
    /// What opening the drive costs, whatever is changed.
    pub labour: f64,
    /// What being stranded costs.
    pub trail: f64,
    /// Chance in a block of being stranded with a part just short of its limit.
    pub trail_chance: f64,
    /// Extra chain wear on fully worn sprockets (1 doubles it).
    pub coupling: f64,
    /// Extra sprocket wear by a fully worn chain.
    pub wear_back: f64,
}

/// Largest chance of a level step in one block; a longer block is cut there and said so.
const MOST_STEP: f64 = 0.95;

/// The set as levels and chances.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SetWear {
    sheet: SetSheet,
    /// Levels of each state.
    levels: Vec<Levels>,
    /// Chance in a block of each way to step on from a state; the ways are those of `strides`.
    steps: Vec<[f64; 7]>,
    /// Chance in a block of stepping at all.
    moving: Vec<f64>,
    /// How much further on among the states each way of stepping leads.
    strides: [usize; 7],
    /// Expected loss on the trail in a block ridden from a state.
    hazard: Vec<f64>,
    /// A step chance met its cap.
    capped: bool,
}

impl SetWear {
    /// Lays the set out.
    ///
    /// # Formula
    /// With m = levels − 1: q_chain = (m Δ/H)(1 + g f/m + g r/m), q_sprocket = (m Δ/H)(1 + w c/m), each at most 0.95;
    /// loss on the trail = cost · chance · (highest level/m)⁴.
    ///
    /// # Source
    /// Derived here (`set-process`).
    pub(super) fn new(sheet: SetSheet) -> Self {
        let (n, top) = (sheet.levels, (sheet.levels - 1) as f64);
        let count = n.pow(3);
        let mut wear = Self {
            sheet,
            levels: (0..count).map(|state| [state / (n * n), state / n % n, state % n]).collect(),
            steps: Vec::with_capacity(count),
            moving: Vec::with_capacity(count),
            strides: std::array::from_fn(|way| {
                [n * n, n, 1]
                    .into_iter()
                    .enumerate()
                    .filter(|&(part, _)| takes(way, part))
                    .map(|(_, stride)| stride)
                    .sum()
            }),
            hazard: Vec::with_capacity(count),
            capped: false,
        };
        for state in 0..count {
            let [chain, front, rear] = wear.levels[state].map(|level| level as f64 / top);
            let base = sheet.life_h.map(|life| top * sheet.block_h / life);
            let worn_chain = 1.0 + sheet.wear_back * chain;
            let steps = [
                base[0] * (1.0 + sheet.coupling * front + sheet.coupling * rear),
                base[1] * worn_chain,
                base[2] * worn_chain,
            ];
            wear.capped |= steps.iter().any(|&step| step > MOST_STEP);
            let steps @ [c, f, r] = steps.map(|step| step.min(MOST_STEP));
            let chance =
                |way| steps.iter().enumerate().map(|(part, q)| if takes(way, part) { *q } else { 1.0 - q }).product();
            wear.steps.push(std::array::from_fn(chance));
            // 1 − (1−c)(1−f)(1−r) without cancelling, for short blocks.
            wear.moving.push(c + (1.0 - c) * (f + (1.0 - f) * r));
            let worst = chain.max(front).max(rear);
            wear.hazard.push(sheet.trail * sheet.trail_chance * worst.powi(4));
        }
        wear
    }

    /// The sheet that it was laid out from.
    pub(super) const fn sheet(&self) -> &SetSheet {
        &self.sheet
    }

    /// Whether a block is so long that a step chance was cut off.
    pub(super) const fn capped(&self) -> bool {
        self.capped
    }

    /// The highest level: at the limit.
    pub(super) const fn top(&self) -> usize {
        self.sheet.levels - 1
    }

    pub(super) const fn count(&self) -> usize {
        self.hazard.len()
    }

    pub(super) const fn state_of(&self, levels: Levels) -> usize {
        (levels[0] * self.sheet.levels + levels[1]) * self.sheet.levels + levels[2]
    }

    pub(super) fn levels_of(&self, state: usize) -> Levels {
        self.levels[state]
    }

    pub(super) fn at_limit(&self, state: usize) -> bool {
        self.levels[state].contains(&self.top())
    }

    /// Expected loss on the trail in a block ridden from a state; infinite where a part is at its limit.
    pub(super) fn hazard(&self, state: usize) -> f64 {
        if self.at_limit(state) { f64::INFINITY } else { self.hazard[state] }
    }

    /// States after a block ridden from `state` (no part at its limit) with their chances, staying put left out.
    pub(super) fn moves(&self, state: usize) -> impl Iterator<Item = (usize, f64)> {
        self.strides.into_iter().zip(self.steps[state]).map(move |(stride, chance)| (state + stride, chance))
    }

    /// The chance of not staying put in a block ridden from `state`.
    pub(super) fn moving(&self, state: usize) -> f64 {
        self.moving[state]
    }

    /// The state that new parts leave.
    pub(super) fn renewed(&self, state: usize, action: &Action) -> usize {
        let mut levels = self.levels_of(state);
        for (level, fate) in levels.iter_mut().zip(action) {
            if *fate == Fate::New {
                *level = 0;
            }
        }
        self.state_of(levels)
    }
}

/// Whether a way of stepping moves a part: the chain counts 1, the front 2, the rear 4, less one.
const fn takes(way: usize, part: usize) -> bool {
    (way + 1) >> part & 1 == 1
}
