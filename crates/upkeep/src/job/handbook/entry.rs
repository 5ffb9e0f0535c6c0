//! The entries that job files and shared files are made of, as they are written. Empty lists may be left out.

use serde::Deserialize;

/// How much a stop point weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// Cannot be waived.
    Safety,
    /// Can be waived with a typed reason.
    Engine,
    /// Warns only.
    Advice,
}

/// What a stop point takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HoldKind {
    /// Yes or no.
    YesNo,
    /// A number.
    Number,
    /// One torque.
    Torque,
    /// The same torque on several fasteners.
    TorqueSet,
    /// One of several answers.
    Choice,
}

/// What a "no" brings.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FailEntry {
    /// A job into the order.
    pub job: Option<String>,
    /// Parts onto the list.
    #[serde(default)]
    pub parts: Vec<String>,
    /// Operations to be done again.
    #[serde(default)]
    pub redo: Vec<String>,
    /// Why the work stops here.
    pub stop: Option<String>,
}

/// A stop point with a captured value.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hold {
    /// Its name.
    pub id: String,
    /// What it takes.
    pub kind: HoldKind,
    /// The unit of a number.
    pub unit: Option<String>,
    /// What is asked.
    pub prompt: String,
    /// The answer or answers that pass, parted by `|`.
    pub accept: Option<String>,
    /// The manual's figure that the value is held against.
    pub accept_figure: Option<String>,
    /// How much it weighs.
    pub severity: Severity,
    /// What a "no" brings.
    pub on_fail: Option<FailEntry>,
    /// The caution that gives its reason.
    pub why: Option<String>,
}

/// A part.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartEntry {
    /// What it is on any bike.
    pub role: String,
    /// How many.
    pub qty: u32,
    /// What it must be.
    pub spec: String,
    /// Kinds to choose from.
    #[serde(default)]
    pub alternatives: Vec<String>,
    /// Whether the job can do without.
    #[serde(default)]
    pub optional: bool,
}

/// A consumable.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ConsumableEntry {
    /// What it is.
    pub role: String,
}

/// A yes/no fact about the bike that gives access.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StateEntry {
    /// Its name.
    pub id: String,
    /// As a person reads it.
    pub title: String,
    /// How it is opened.
    pub open: String,
    /// How it is shut.
    pub close: String,
    /// Minutes to open.
    pub open_min: u32,
    /// Minutes to shut.
    pub close_min: u32,
    /// What it rests on.
    #[serde(default)]
    pub needs: Vec<String>,
    /// What must hold when it is shut.
    #[serde(default)]
    pub close_needs: Vec<String>,
    /// Operations before its opening.
    #[serde(default)]
    pub open_after: Vec<String>,
    /// Tools.
    #[serde(default)]
    pub kit: String,
    /// Cautions by name.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Tags that bring cautions.
    #[serde(default)]
    pub tags: Vec<String>,
    /// Parts that its opening costs.
    #[serde(default)]
    pub part: Vec<PartEntry>,
    /// Stop points of shutting it.
    #[serde(default)]
    pub close_holds: Vec<Hold>,
}

/// One thing done.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OpEntry {
    /// Its name.
    pub id: String,
    /// As a person reads it; the name stands in where there is none.
    pub title: Option<String>,
    /// What is done.
    #[serde(rename = "do")]
    pub text: String,
    /// What must hold.
    #[serde(default)]
    pub needs: Vec<String>,
    /// Operations before it.
    #[serde(default)]
    pub after: Vec<String>,
    /// Minutes of work.
    pub min: u32,
    /// Tools.
    #[serde(default)]
    pub kit: String,
    /// Cautions by name.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Tags that bring cautions.
    #[serde(default)]
    pub tags: Vec<String>,
    /// Figures that it asks for beside its stop point's.
    #[serde(default)]
    pub figures: Vec<String>,
    /// Its stop point.
    pub hold: Option<Hold>,
    /// `ride` for what comes after all work.
    pub stage: Option<String>,
    /// Jobs or parts that it can bring.
    #[serde(default)]
    pub finds: Vec<String>,
    /// States before whose opening it comes.
    #[serde(default)]
    pub opens: Vec<String>,
    /// States after whose last shutting it comes.
    #[serde(default)]
    pub finishes: Vec<String>,
    /// The choice that it depends on, `key:value`.
    pub when: Option<String>,
}

/// A shared operation named in a job.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UseEntry {
    /// Its name.
    #[serde(rename = "use")]
    pub id: String,
    /// The choice that this use depends on, `key:value`.
    pub when: Option<String>,
}

/// One line of a job.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(untagged)]
pub enum JobLine {
    /// A shared operation.
    Use(UseEntry),
    /// An operation of its own.
    Own(Box<OpEntry>),
}

/// A figure that the manual gives.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FigureEntry {
    /// Its name, the same in every job.
    pub id: String,
    /// Torque, dimension, clearance …
    pub kind: String,
    /// Its unit.
    pub unit: String,
    /// What it is.
    pub text: String,
    /// Whether its stop point waits for it.
    pub required: bool,
    /// What else may stand in; `none` for nothing.
    pub fallback: String,
}

/// A set of tools.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KitEntry {
    /// Its name.
    pub id: String,
    /// What is in it.
    pub title: String,
}

/// A fact about bike or job that changes the work.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ChoiceEntry {
    /// Its name.
    pub key: String,
    /// Possible answers.
    pub values: Vec<String>,
    /// The careful answer; without one it must be asked.
    pub default: Option<String>,
    /// The question.
    pub ask: String,
}

/// Another access to a state.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VariantEntry {
    /// The choice.
    pub key: String,
    /// The answer.
    pub value: String,
    /// The state.
    pub state: String,
    /// What it then rests on.
    pub needs: Vec<String>,
    /// Why.
    #[serde(default)]
    pub note: String,
}

/// The file of shared states, operations and words. A rider's own holds only what is added or changed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct AccessFile {
    /// Version of the form.
    pub schema: u32,
    /// The bike that the library was written for.
    pub bike: String,
    /// States.
    pub state: Vec<StateEntry>,
    /// Finishers.
    pub finisher: Vec<OpEntry>,
    /// Shared operations and openers.
    pub shared_op: Vec<OpEntry>,
    /// Kits.
    pub kit: Vec<KitEntry>,
    /// Figures that these ask for.
    pub figure: Vec<FigureEntry>,
    /// Choices.
    pub choice: Vec<ChoiceEntry>,
    /// Variants.
    pub variant: Vec<VariantEntry>,
}

impl AccessFile {
    /// Lays another file over this one, name by name.
    pub(super) fn lay_over(&mut self, above: Self) {
        use super::read::lay_over;
        lay_over(&mut self.state, above.state, |one| &one.id);
        lay_over(&mut self.finisher, above.finisher, |one| &one.id);
        lay_over(&mut self.shared_op, above.shared_op, |one| &one.id);
        lay_over(&mut self.kit, above.kit, |one| &one.id);
        lay_over(&mut self.figure, above.figure, |one| &one.id);
        lay_over(&mut self.choice, above.choice, |one| &one.key);
        // A variant has no name of its own: a rider's comes last and so decides.
        self.variant.extend(above.variant);
    }
}

/// How loud a caution is. Louder comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// Must be acknowledged before the step.
    Stop,
    /// Shown in full at first use.
    Warn,
    /// Shown small.
    Note,
}

/// A caution.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CautionEntry {
    /// Its name.
    pub id: String,
    /// What can happen.
    pub hazard: String,
    /// How loud it is.
    pub level: Level,
    /// Tags that bring it.
    pub applies: Vec<String>,
    /// What to do.
    pub text: String,
    /// What this rests on.
    pub basis: String,
    /// The choice that it depends on, `key:value`.
    pub when: Option<String>,
}

/// The file of cautions.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CautionFile {
    /// Version of the form.
    #[serde(rename = "schema")]
    pub(super) _schema: u32,
    /// Cautions.
    pub(super) caution: Vec<CautionEntry>,
}
