//! The command line of choices: replace together or singly, ride or miss, order by when, the shelf.

use clap::Args as ClapArgs;

use crate::args::SetupArgs;
use crate::record_args::WhenArgs;

/// What the rider knows beyond the record.
#[derive(Debug, Clone, Default, ClapArgs)]
pub(crate) struct ReplaceArgs {
    /// Price of a new chain, such as "92 EUR"; left out, the last one recorded.
    #[arg(long, value_name = "MONEY")]
    pub(crate) chain_price: Option<String>,
    /// Price of a new front sprocket.
    #[arg(long, value_name = "MONEY")]
    pub(crate) front_price: Option<String>,
    /// Price of a new rear sprocket.
    #[arg(long, value_name = "MONEY")]
    pub(crate) rear_price: Option<String>,
    /// Hours that a chain lives here; left out, by its own readings.
    #[arg(long, value_name = "H")]
    pub(crate) chain_life: Option<String>,
    /// Hours that a front sprocket lives.
    #[arg(long, value_name = "H")]
    pub(crate) front_life: Option<String>,
    /// Hours that a rear sprocket lives.
    #[arg(long, value_name = "H")]
    pub(crate) rear_life: Option<String>,
    /// What opening the drive is worth to you, whatever is changed: your time, a seal, a weekend.
    #[arg(long, value_name = "MONEY")]
    pub(crate) labour: Option<String>,
    /// What being stranded with a broken chain is worth to you.
    #[arg(long, value_name = "MONEY")]
    pub(crate) trail: Option<String>,
    /// Another pair or link count that is wanted anyway.
    #[command(flatten)]
    pub(crate) setup: SetupArgs,
}

impl ReplaceArgs {
    /// The text of a field, under the names of the form.
    pub(crate) fn text(&self, field: &str) -> Option<&str> {
        match field {
            "chain_price" => self.chain_price.as_deref(),
            "front_price" => self.front_price.as_deref(),
            "rear_price" => self.rear_price.as_deref(),
            "chain_life_h" => self.chain_life.as_deref(),
            "front_life_h" => self.front_life.as_deref(),
            "rear_life_h" => self.rear_life.as_deref(),
            "labour" => self.labour.as_deref(),
            "trail" => self.trail.as_deref(),
            "pair" => self.setup.pair.as_deref(),
            "links" => self.setup.links.as_deref(),
            _ => None,
        }
    }
}

/// What to order by when.
#[derive(Debug, Clone, Default, ClapArgs)]
pub(crate) struct OrderArgs {
    /// Days until something ordered is there.
    #[arg(long, value_name = "DAYS")]
    pub(crate) lead: Option<String>,
    /// Prices, lives and what else is known.
    #[command(flatten)]
    pub(crate) set: ReplaceArgs,
}

/// The coming ride.
#[derive(Debug, Clone, Default, ClapArgs)]
pub(crate) struct ThroughArgs {
    /// Hours in all; left out, those of the next ride that is planned.
    #[arg(long, value_name = "H")]
    pub(crate) hours: Option<String>,
    /// Hours of them in mud.
    #[arg(long, value_name = "H")]
    pub(crate) mud: Option<String>,
    /// Hours of them in sand.
    #[arg(long, value_name = "H")]
    pub(crate) sand: Option<String>,
    /// Slack now, free kind on the stand; left out, the last reading that still holds.
    #[arg(long, value_name = "MM")]
    pub(crate) slack: Option<String>,
}

impl ThroughArgs {
    /// The text of a field, under the names of the form.
    pub(crate) fn text(&self, field: &str) -> Option<&str> {
        match field {
            "hours_h" => self.hours.as_deref(),
            "mud_h" => self.mud.as_deref(),
            "sand_h" => self.sand.as_deref(),
            "slack_mm" => self.slack.as_deref(),
            _ => None,
        }
    }
}

/// A part on the shelf.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct ShelfArgs {
    /// chain, front, rear or other; left out, what lies there is listed.
    #[arg(requires = "name")]
    pub(crate) role: Option<String>,
    /// What it is called.
    pub(crate) name: Option<String>,
    /// Teeth or links.
    #[arg(long, value_name = "N")]
    pub(crate) count: Option<String>,
    /// Hours that it has had.
    #[arg(long, value_name = "H")]
    pub(crate) used: Option<String>,
    /// What it would sell for, such as "10 EUR".
    #[arg(long, value_name = "MONEY")]
    pub(crate) sells: Option<String>,
    /// It is no longer there: sold, lost, scrapped.
    #[arg(long)]
    pub(crate) gone: bool,
    /// When.
    #[command(flatten)]
    pub(crate) when: WhenArgs,
}
