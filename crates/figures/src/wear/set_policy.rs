//! `life.set_policy`: chain, front and rear sprocket as one decision.

use measure::bounds::wear as bounds;
use serde_json::{Map, Value, json};
use upkeep::replace::{ACTIONS, Action, Advice, Choice, Fate, OverRange, Part, SetPolicy, Shelf, over_range};

use super::set_given::{self, Asked, Known};
use super::{money, set_given::PARTS};
use crate::{Answer, Field, Figure, Given, Refusal};

const fn level(name: &'static str) -> Field {
    Field::whole(name, &bounds::LEVEL).optional("or its range, both ends")
}

pub(super) const FIGURE: Figure = Figure {
    name: "life.set_policy",
    says: "Which of chain, front and rear sprocket to change now, for least cost in the long run, and what every other way loses.",
    given: &[
        Field::number("chain_life_h", &bounds::PART_LIFE).meaning("against fresh mates"),
        Field::number("front_life_h", &bounds::PART_LIFE),
        Field::number("rear_life_h", &bounds::PART_LIFE),
        Field::number("chain_price_minor", &bounds::MONEY),
        Field::number("front_price_minor", &bounds::MONEY),
        Field::number("rear_price_minor", &bounds::MONEY),
        Field::number("labour_minor", &bounds::MONEY).meaning("what opening the drive is worth, whatever is changed"),
        Field::number("trail_minor", &bounds::MONEY).meaning("what being stranded is worth"),
        money::CURRENCY,
        level("chain_level"),
        level("front_level"),
        level("rear_level"),
        level("chain_level_low"),
        level("chain_level_high"),
        level("front_level_low"),
        level("front_level_high"),
        level("rear_level_low"),
        level("rear_level_high"),
        Field::numbers("coupling", &bounds::COUPLING)
            .optional("0.5, 1, 2")
            .meaning("extra chain wear on fully worn sprockets; 1 doubles it"),
        Field::number("wear_back", &bounds::COUPLING).optional("1").meaning("extra sprocket wear by a worn chain"),
        Field::number("trail_chance", &bounds::CHANCE)
            .optional("0.02")
            .meaning("of being stranded, in a block near the limit"),
        Field::whole("levels", &bounds::LEVELS).optional("8").meaning("0 is new, the highest is at the limit"),
        Field::number("block_h", &bounds::BLOCK).optional("2").meaning("riding hours between two looks"),
        Field::nested("change_anyway").optional("nothing").meaning("chain, front, rear"),
        Field::nested("shelf").optional("empty").meaning("{part, level, price_minor (0)}, each part once"),
        Field::number("shelf_h", &bounds::SHELF)
            .optional("200")
            .meaning("hours in which a used part is lost on the mean"),
        Field::flag("brief")
            .optional("false")
            .meaning("leaves out both simple rules, all_three_from_level and off_worth_minor"),
    ],
    answer: &[
        ("agreed", "whether one action is best for all couplings (and over the whole range)"),
        ("best", "that action; null if they disagree"),
        ("range", "with a range: ends, same, same_at_ends, safest, most_lost_minor"),
        (
            "by_coupling",
            "per coupling: best, close, lost_minor, cost_per_h_minor, each_at_limit_per_h_minor, all_at_limit_per_h_minor, all_three_from_level, choice",
        ),
        ("currency", "as given"),
    ],
    formula: "levels step with chance m block/life (1 + coupling of the mates' wear); least long-run cost per hour by policy iteration; lost(a) = Q(s, a) - min Q",
    sources: &["set-process", "wear-guesses"],
    ask,
};

/// Share of a chain's price under which two actions are no real difference.
const CLOSE: f64 = 0.03;

/// Names of [`ACTIONS`], in its order.
const NAMES: [&str; 8] = ["none", "chain", "front", "chain_front", "rear", "chain_rear", "front_rear", "all"];

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let asked = set_given::asked(given)?;
    let policies = SetPolicy::solve_each(asked.coupling.iter().map(|&coupling| asked.sheet(coupling)));
    let answer = match &asked.known {
        Known::Levels(levels) => at_levels(&asked, &policies, *levels),
        Known::Ranges(ranges) => over(&asked, &policies, ranges),
    };
    Ok(noticed(answer.text("currency", asked.currency), &asked, &policies))
}

fn at_levels(asked: &Asked<'_>, policies: &[SetPolicy], levels: [usize; 3]) -> Answer {
    let advice: Vec<Advice> = policies.iter().map(|policy| policy.advice(levels)).collect();
    let agreed = advice.windows(2).all(|pair| pair[0].best == pair[1].best);
    let rows = policies.iter().zip(&advice).zip(&asked.coupling).map(|((policy, advice), &coupling)| {
        let mut row = costs(policy, coupling, asked.brief);
        let close = ACTIONS.iter().zip(NAMES).zip(advice.lost);
        let close = close.filter(|(_, lost)| lost.is_some_and(|lost| lost < CLOSE * asked.price[0]));
        row.insert("best".into(), NAMES[advice.best].into());
        row.insert("close".into(), close.map(|((_, name), _)| name).collect());
        row.insert(
            "lost_minor".into(),
            NAMES.iter().zip(advice.lost).map(|(name, lost)| ((*name).to_owned(), json!(lost))).collect(),
        );
        if asked.choice {
            let shelf = Shelf { items: asked.shelf, lasts_h: asked.shelf_h };
            let choice = policy.choose(levels, &asked.must, shelf);
            let worth = (!asked.brief).then(|| policy.off_worth(levels, &choice, asked.shelf_h));
            row.insert("choice".into(), chosen(&choice, worth));
        }
        Value::Object(row)
    });
    Answer::new()
        .flag("agreed", agreed)
        .json("best", agreed.then(|| NAMES[advice[0].best]))
        .json("by_coupling", rows.collect::<Vec<_>>())
        .notice_if(!agreed, "depends_on_coupling", || {
            let each: Vec<_> = advice
                .iter()
                .zip(&asked.coupling)
                .map(|(advice, coupling)| format!("{coupling}: {}", NAMES[advice.best]))
                .collect();
            format!("It depends on how strongly worn parts wear each other ({}).", each.join(", "))
        })
}

fn over(asked: &Asked<'_>, policies: &[SetPolicy], ranges: &[(usize, usize); 3]) -> Answer {
    let found = over_range(policies, ranges, &asked.must);
    let rows = policies
        .iter()
        .zip(&asked.coupling)
        .map(|(policy, &coupling)| Value::Object(costs(policy, coupling, asked.brief)));
    let code = if policies.len() == 1 { "depends_on_level" } else { "depends_on_level_or_coupling" };
    Answer::new()
        .flag("agreed", found.best.is_some())
        .json("best", found.best.map(|best| NAMES[best]))
        .json("range", range(&found, &asked.coupling))
        .json("by_coupling", rows.collect::<Vec<_>>())
        .notice_if(found.best.is_none(), code, || {
            let most = found.most_lost.iter().find(|(index, _)| *index == found.safest).and_then(|(_, lost)| *lost);
            format!(
                "No one action is best over the whole range; {} risks least, at most {:.0} minor units.",
                NAMES[found.safest],
                most.unwrap_or(0.0)
            )
        })
}

fn costs(policy: &SetPolicy, coupling: f64, brief: bool) -> Map<String, Value> {
    let mut row = Map::new();
    row.insert("coupling".into(), coupling.into());
    row.insert("cost_per_h_minor".into(), policy.per_h().into());
    if brief {
        return row;
    }
    row.insert("each_at_limit_per_h_minor".into(), policy.each_at_limit_per_h().into());
    row.insert("all_at_limit_per_h_minor".into(), policy.all_at_limit_per_h().into());
    row.insert("all_three_from_level".into(), json!(policy.all_three_from()));
    row
}

fn chosen(choice: &Choice, off_worth: Option<[Option<f64>; 3]>) -> Value {
    let lost: Map<String, Value> = choice.lost.iter().map(|(action, lost)| (fates(action), json!(lost))).collect();
    let mut chosen = json!({"best": fates(&choice.best), "lost_minor": lost, "change_costs_minor": choice.change_costs,
        "shelf_worth_minor": choice.shelf_worth});
    if let Some(worth) = off_worth {
        chosen["off_worth_minor"] =
            PARTS.iter().zip(worth).map(|(part, worth)| ((*part).to_owned(), json!(worth))).collect();
    }
    chosen
}

fn fates(action: &Action) -> String {
    let word = |fate: &Fate| match fate {
        Fate::Keep => "keep",
        Fate::New => "new",
        Fate::Shelf => "shelf",
    };
    action.iter().map(word).collect::<Vec<_>>().join("_")
}

fn range(found: &OverRange, coupling: &[f64]) -> Value {
    let ends = found.corners.iter().map(|corner| {
        let [chain, front, rear] = corner.levels;
        json!({"coupling": coupling[corner.policy], "chain_level": chain, "front_level": front, "rear_level": rear,
            "best": NAMES[corner.best]})
    });
    let most: Map<String, Value> =
        found.most_lost.iter().map(|(index, lost)| (NAMES[*index].to_owned(), json!(lost))).collect();
    json!({"ends": ends.collect::<Vec<_>>(), "same": found.best.is_some(), "same_at_ends": found.same_at_corners,
        "safest": NAMES[found.safest], "most_lost_minor": most})
}

fn noticed(answer: Answer, asked: &Asked<'_>, policies: &[SetPolicy]) -> Answer {
    let highest = match &asked.known {
        Known::Levels(levels) => *levels,
        Known::Ranges(ranges) => ranges.map(|(_, high)| high),
    };
    let worn = Part::ALL.into_iter().find(|part| highest[part.index()] + 1 >= asked.levels);
    let capped = policies.iter().any(SetPolicy::block_too_long);
    answer
        .notice_if(worn.is_some(), "part_at_limit", || {
            let (name, level) = worn.map_or(("", 0), |part| (PARTS[part.index()], highest[part.index()]));
            format!("{name} is at level {level}, its limit: it may not be ridden, whatever the money says.")
        })
        .notice_if(capped, "block_too_long", || {
            format!("A part may pass more than one level in {} h: give a shorter block_h.", asked.block_h)
        })
}
