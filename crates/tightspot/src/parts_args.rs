//! The command line of the parts: the list of the work, and what lies on the shelf.

use clap::{Args as ClapArgs, Subcommand};

use crate::args::{PlanArgs, SetupArgs};

/// Parts.
#[derive(Debug, Clone, ClapArgs)]
#[command(args_conflicts_with_subcommands = true)]
pub(crate) struct PartsArgs {
    /// What to note of the shelf; left out, the list.
    #[command(subcommand)]
    pub(crate) part: Option<PartsPart>,
    /// The list.
    #[command(flatten)]
    pub(crate) list: ListArgs,
}

/// What to do with parts.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum PartsPart {
    /// Have, need and missing, with prices, totals and the last day to order.
    List(ListArgs),
    /// So many lie there, counted.
    Have(PiecesArgs),
    /// So many were put on the shelf.
    Put(PiecesArgs),
    /// So many were taken from it.
    Taken(PiecesArgs),
    /// So many were ordered.
    Ordered(PiecesArgs),
    /// So many of those came.
    Received(PiecesArgs),
    /// Before buying: does it fit, what goes with it, what does an hour of it cost.
    Check(CheckArgs),
    /// What one costs, how long it takes, its last day of use, your own chance that a look brings it.
    Say(SayArgs),
}

/// What is thought of buying.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct CheckArgs {
    /// What is thought of.
    #[arg(value_parser = ["chain", "front", "rear", "sprockets", "set"])]
    pub(crate) what: String,
    /// The pair and links afterwards; left out, as fitted.
    #[command(flatten)]
    pub(crate) setup: SetupArgs,
    /// The number stamped on it, such as 520.
    #[arg(long, value_name = "NUMBER")]
    pub(crate) size: Option<String>,
    /// Pitch by caliper, where no number stands on it.
    #[arg(long, value_name = "MM")]
    pub(crate) pitch: Option<String>,
    /// Width between the inner plates by caliper.
    #[arg(long, value_name = "MM")]
    pub(crate) inner_width: Option<String>,
    /// Whether the chain has seal rings: yes or no.
    #[arg(long, value_name = "YES|NO")]
    pub(crate) sealed: Option<String>,
    /// How the chain is closed: clip, rivet or endless.
    #[arg(long, value_name = "WORD")]
    pub(crate) joint: Option<String>,
    /// Outer width of the chain, over the pin ends of its connecting link.
    #[arg(long, value_name = "MM")]
    pub(crate) outer_width: Option<String>,
    /// Price of the chain, such as "92 EUR".
    #[arg(long, value_name = "MONEY")]
    pub(crate) chain_price: Option<String>,
    /// Price of the front sprocket.
    #[arg(long, value_name = "MONEY")]
    pub(crate) front_price: Option<String>,
    /// Price of the rear sprocket.
    #[arg(long, value_name = "MONEY")]
    pub(crate) rear_price: Option<String>,
    /// Days of delivery.
    #[arg(long, value_name = "D")]
    pub(crate) lead: Option<String>,
}

impl CheckArgs {
    /// The text of a field, under the names of the form.
    pub(crate) fn text(&self, field: &str) -> Option<&str> {
        match field {
            "what" => Some(&self.what),
            "pair" => self.setup.pair.as_deref(),
            "links" => self.setup.links.as_deref(),
            "size" => self.size.as_deref(),
            "pitch_mm" => self.pitch.as_deref(),
            "inner_width_mm" => self.inner_width.as_deref(),
            "sealed" => self.sealed.as_deref(),
            "joint" => self.joint.as_deref(),
            "outer_width_mm" => self.outer_width.as_deref(),
            "chain_price" => self.chain_price.as_deref(),
            "front_price" => self.front_price.as_deref(),
            "rear_price" => self.rear_price.as_deref(),
            "lead_d" => self.lead.as_deref(),
            _ => None,
        }
    }
}

/// The list of an open work order, or of what is named.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct ListArgs {
    /// What is planned; left out, the open work order.
    #[command(flatten)]
    pub(crate) plan: PlanArgs,
    /// The day by which the parts must be there; left out, the next planned ride.
    #[arg(long, value_name = "DATE")]
    pub(crate) by: Option<String>,
}

/// Pieces of one role.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct PiecesArgs {
    /// The part or consumable, as the list names it.
    pub(crate) role: String,
    /// How many.
    pub(crate) qty: String,
}

/// What the rider says of one role.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct SayArgs {
    /// The part or consumable, as the list names it; for a chance the look.
    pub(crate) role: String,
    /// The price of one, such as "89.50 EUR".
    #[arg(long, value_name = "MONEY")]
    pub(crate) price: Option<String>,
    /// Its upper end, where it is a range.
    #[arg(long, value_name = "MONEY", requires = "price")]
    pub(crate) price_to: Option<String>,
    /// Days of delivery.
    #[arg(long, value_name = "D")]
    pub(crate) lead: Option<String>,
    /// The last day of use, of a tube or bottle.
    #[arg(long, value_name = "DATE")]
    pub(crate) use_by: Option<String>,
    /// Your own chance that the look fails, percent: one figure, or low and high.
    #[arg(long, num_args = 1..=2, value_names = ["LOW_PCT", "HIGH_PCT"])]
    pub(crate) chance: Option<Vec<String>>,
}

impl SayArgs {
    /// The text of a field, under the names of the form.
    pub(crate) fn text(&self, field: &str) -> Option<&str> {
        let chance = |at: usize| self.chance.as_ref().and_then(|both| both.get(at)).map(String::as_str);
        match field {
            "role" => Some(&self.role),
            "price" => self.price.as_deref(),
            "price_to" => self.price_to.as_deref(),
            "lead_d" => self.lead.as_deref(),
            "use_by" => self.use_by.as_deref(),
            "chance_low" => chance(0),
            "chance_high" => chance(1),
            _ => None,
        }
    }
}
