//! The steps of a sheet, one after the other.

use super::super::chosen::Chosen;
use super::super::handbook::{FigureEntry, Handbook, Hold, KitEntry, OpEntry, StateEntry};
use super::super::order::{Act, Order};
use super::super::plan::Plan;
use super::Known;
use super::caution::{Shown, ShownCaution, carried};
use super::time::Minutes;

/// All that a sheet is laid out from.
pub(super) struct Desk<'d, 'h> {
    pub(super) handbook: &'h Handbook,
    pub(super) order: &'d Order<'h>,
    pub(super) plan: &'d Plan,
    pub(super) chosen: &'d Chosen<'h>,
    pub(super) known: &'d Known<'d>,
}

/// What a step does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verb {
    /// Opens a state.
    Open,
    /// Does an operation.
    Do,
    /// Shuts a state.
    Close,
}

/// A figure that a step asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AskedFigure<'h> {
    /// What it is.
    pub figure: &'h FigureEntry,
    /// Whether the bike sheet holds it.
    pub known: bool,
}

/// A stop point on a step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShownHold<'h> {
    /// What is asked, what passes, what a "no" brings.
    pub hold: &'h Hold,
    /// The answers that pass; empty where a figure decides.
    pub accept: Vec<&'h str>,
    /// The one line that says why it is there.
    pub why: Option<&'h str>,
    /// The figure that it waits for, where nothing else can stand in.
    pub waits_for: Option<&'h FigureEntry>,
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetStep<'h> {
    /// Its number, from 1.
    pub number: usize,
    /// What it does.
    pub verb: Verb,
    /// The state or operation.
    pub id: &'h str,
    /// `open:…`, `do:…`, `close:…`, as plans and records write it.
    pub token: String,
    /// A short name.
    pub title: String,
    /// What to do.
    pub text: &'h str,
    /// How long it takes.
    pub minutes: Minutes,
    /// The clock when it is done, from the first step.
    pub clock: Minutes,
    /// The tools; none where nothing is picked up.
    pub kit: Option<&'h KitEntry>,
    /// Whether the tools change here.
    pub picks_up: bool,
    /// Cautions, loudest first.
    pub cautions: Vec<ShownCaution<'h>>,
    /// Two cautions that must not meet here, joined.
    pub conflict: Option<String>,
    /// Figures asked for.
    pub figures: Vec<AskedFigure<'h>>,
    /// Stop points.
    pub holds: Vec<ShownHold<'h>>,
    /// Jobs that it is for; none for what opening brings along.
    pub jobs: Vec<&'h str>,
    /// The state that it sits in; none where nothing has to be open.
    pub sits_in: Option<&'h str>,
}

/// The words of a state or operation, for one step.
struct Words<'h> {
    verb: Verb,
    id: &'h str,
    title: String,
    text: &'h str,
    minutes: u32,
    cautions: &'h [String],
    tags: &'h [String],
    figures: &'h [String],
    holds: &'h [Hold],
    jobs: Vec<&'h str>,
}

impl<'h> Words<'h> {
    fn of_state(state: &'h StateEntry, verb: Verb) -> Self {
        let opens = verb == Verb::Open;
        Self {
            verb,
            id: &state.id,
            title: if opens { state.title.clone() } else { format!("{}: put back", state.title) },
            text: if opens { &state.open } else { &state.close },
            minutes: if opens { state.open_min } else { state.close_min },
            cautions: &state.cautions,
            tags: &state.tags,
            figures: &[],
            holds: if opens { &[] } else { &state.close_holds },
            jobs: Vec::new(),
        }
    }

    fn of_op(op: &'h OpEntry, jobs: Vec<&'h str>) -> Self {
        Self {
            verb: Verb::Do,
            id: &op.id,
            title: op.title.clone().unwrap_or_else(|| spoken(&op.id)),
            text: &op.text,
            minutes: op.min,
            cautions: &op.cautions,
            tags: &op.tags,
            figures: &op.figures,
            holds: op.hold.as_slice(),
            jobs,
        }
    }
}

/// `lay-up-new-chain` as a person reads it.
fn spoken(id: &str) -> String {
    let words = id.replace('-', " ");
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

impl<'h> Desk<'_, 'h> {
    /// The steps, and which cautions stood in full on them.
    pub(super) fn steps(&self) -> (Vec<SheetStep<'h>>, Shown<'h>) {
        let mut shown = Shown::default();
        let (mut open, mut kit, mut clock) = (Vec::new(), "", Minutes::default());
        let mut steps = Vec::new();
        for act in &self.plan.steps {
            let Some(words) = self.words(*act) else { continue };
            if let Act::Open(state) = act {
                open.push(*state);
            }
            let tools = self.order.kit(*act);
            let picks_up = !tools.is_empty() && tools != kit;
            if picks_up {
                kit = tools;
            }
            let token = self.order.token(*act);
            let minutes = self.minutes(&token, words.minutes);
            clock = clock + minutes;
            let carried_here = carried(self.handbook, self.chosen, words.cautions, words.tags);
            let holds: Vec<_> = words.holds.iter().map(|hold| self.hold(hold)).collect();
            steps.push(SheetStep {
                number: steps.len() + 1,
                verb: words.verb,
                id: words.id,
                token,
                title: words.title,
                text: words.text,
                minutes,
                clock,
                kit: self.handbook.kit(tools),
                picks_up,
                conflict: shown.conflict(&carried_here, &self.carried_by(&open)),
                cautions: shown.on_step(&carried_here),
                figures: self.figures(words.figures, words.holds),
                holds,
                jobs: words.jobs,
                sits_in: self.sits_in(*act, &open),
            });
            if let Act::Close(state) = act {
                open.retain(|open| open != state);
            }
        }
        (steps, shown)
    }

    fn words(&self, act: Act) -> Option<Words<'h>> {
        match act {
            Act::Open(index) => self
                .handbook
                .state(&self.order.states.get(index)?.source.id)
                .map(|state| Words::of_state(state, Verb::Open)),
            Act::Close(index) => self
                .handbook
                .state(&self.order.states.get(index)?.source.id)
                .map(|state| Words::of_state(state, Verb::Close)),
            Act::Do(index) => {
                let op = self.order.ops.get(index)?;
                self.handbook.op(&op.source.id).map(|entry| Words::of_op(entry, op.jobs.clone()))
            }
        }
    }

    fn minutes(&self, token: &str, planned: u32) -> Minutes {
        let logged = self.known.logged.iter().find(|logged| logged.step == token);
        logged.and_then(|logged| Minutes::seen(logged.minutes)).unwrap_or_else(|| Minutes::estimated(planned))
    }

    fn carried_by(&self, open: &[usize]) -> Vec<&'h super::super::handbook::CautionEntry> {
        let states = open.iter().filter_map(|state| self.handbook.state(&self.order.states.get(*state)?.source.id));
        states.flat_map(|state| carried(self.handbook, self.chosen, &state.cautions, &state.tags)).collect()
    }

    fn is_known(&self, figure: &str) -> bool {
        self.known.figures.contains(&figure)
    }

    fn figures(&self, named: &'h [String], holds: &'h [Hold]) -> Vec<AskedFigure<'h>> {
        let held = holds.iter().filter_map(|hold| hold.accept_figure.as_ref());
        let mut asked: Vec<AskedFigure<'h>> = Vec::new();
        for figure in held.chain(named).filter_map(|id| self.handbook.figure(id)) {
            if !asked.iter().any(|known| known.figure.id == figure.id) {
                asked.push(AskedFigure { figure, known: self.is_known(&figure.id) });
            }
        }
        asked
    }

    fn hold(&self, hold: &'h Hold) -> ShownHold<'h> {
        let figure = hold.accept_figure.as_deref().and_then(|id| self.handbook.figure(id));
        let why = hold.why.as_deref().and_then(|id| self.handbook.caution(id));
        ShownHold {
            hold,
            accept: hold.accept.as_deref().map_or_else(Vec::new, |accept| accept.split('|').map(str::trim).collect()),
            why: why.map(|caution| caution.text.as_str()),
            // An optional figure may be left out only where something else can stand in for it.
            waits_for: figure
                .filter(|figure| (figure.required || figure.fallback == "none") && !self.is_known(&figure.id)),
        }
    }

    /// The state of an opening or shutting itself; else the one opened last of those that the operation needs.
    fn sits_in(&self, act: Act, open: &[usize]) -> Option<&'h str> {
        let state = match act {
            Act::Open(state) | Act::Close(state) => Some(state),
            Act::Do(op) => {
                let needs = &self.order.ops.get(op)?.needs;
                open.iter().rev().copied().find(|state| needs.open.contains(state))
            }
        }?;
        self.order.states.get(state).map(|state| state.source.id.as_str())
    }
}
