//! `life.weibull`, `life.weibayes`: how long parts of one kind last.

use measure::bounds::wear as bounds;
use upkeep::life::{Lives, NoFit, WeibullFit, fit, weibayes};

use super::inside;
use crate::{Answer, Field, Figure, Given, Refusal};

const ENDED: Field = Field::numbers("failed_h", &bounds::LIFE).meaning("lives that ended worn or broken");
const RUNNING: Field = Field::numbers("running_h", &bounds::LIFE)
    .optional("none")
    .meaning("lives that still run, or ended for another reason");
const CONFIDENCE: Field = Field::number("confidence", &bounds::CONFIDENCE).optional("0.9");
const FRACTION: Field =
    Field::number("life_fraction", &bounds::LIFE_FRACTION).optional("0.1").meaning("share ended by the life asked for");

pub(super) const WEIBULL: Figure = Figure {
    name: "life.weibull",
    says: "Shape and scale of the lives of one kind of part, from ended and running lives, with intervals.",
    given: &[ENDED, RUNNING, CONFIDENCE, FRACTION],
    answer: &[
        ("failures", "lives that ended"),
        ("shape", "below 1 early failures, above 1 wear-out"),
        ("scale_h", "hours by which 63 % have ended, h"),
        ("log_likelihood", "logarithm of the likelihood"),
        ("mean_h", "mean life, h"),
        ("shape_low", "low end of the shape"),
        ("shape_high", "high end of the shape"),
        ("scale_low_h", "low end of the scale, h"),
        ("scale_high_h", "high end of the scale, h"),
        ("life_h", "hours by which life_fraction have ended, h"),
        ("life_low_h", "its low end by likelihood ratio, h"),
        ("life_high_h", "its high end by likelihood ratio, h"),
        ("life_wald_low_h", "its low end, log-normal, h"),
        ("life_wald_high_h", "its high end, log-normal, h"),
    ],
    formula: "sum t^b ln t/sum t^b - 1/b - mean ln t = 0; scale = (sum t^b/r)^(1/b); life = scale (-ln(1 - fraction))^(1/b)",
    sources: &["nist-weibull", "weibull-lives"],
    ask: ask_weibull,
};

pub(super) const WEIBAYES: Figure = Figure {
    name: "life.weibayes",
    says: "Scale of lives of an assumed shape, where few or none have ended, with a lower bound.",
    given: &[
        ENDED,
        RUNNING,
        Field::number("shape", &bounds::SHAPE_ASSUMED).optional("3").meaning("assumed; 2 to 4 for wear-out"),
        CONFIDENCE,
        FRACTION,
    ],
    answer: &[
        ("failures", "lives that ended"),
        ("scale_h", "hours by which 63 % have ended, h; null while none has"),
        ("scale_low_h", "its lower bound, h"),
        ("life_h", "hours by which life_fraction have ended, h; null while none has"),
        ("life_low_h", "its lower bound, h"),
    ],
    formula: "scale = (sum t^b/r)^(1/b); lower bound (2 sum t^b/chi2(2r + 2))^(1/b)",
    sources: &["weibull-lives", "wear-guesses"],
    ask: ask_weibayes,
};

/// Ended lives below which a fitted shape comes out too high.
const FEW: usize = 5;

/// Lives of each sort that are counted.
const MOST_LIVES: usize = 2000;

fn lives(given: &Given<'_>) -> Result<Lives, Refusal> {
    let list = |name: &str| {
        let lives = given.numbers(name);
        inside::at_most(name, lives.len(), MOST_LIVES).map(|()| lives)
    };
    Ok(Lives { ended: list("failed_h")?, running: list("running_h")? })
}

fn ask_weibull(given: &Given<'_>) -> Result<Answer, Refusal> {
    let lives = lives(given)?;
    let count = lives.ended.len();
    let share = given.num_or("life_fraction", 0.1);
    let fit = fit(&lives, share, given.num_or("confidence", 0.9)).map_err(|why| no_fit(why, &lives))?;
    Ok(worded(&fit, count, share).notice_if(count < FEW, "few_failures", || {
        format!(
            "{count} ended lives of at least {FEW}: the shape tends to come out too high; set life.weibayes beside it."
        )
    }))
}

fn no_fit(why: NoFit, lives: &Lives) -> Refusal {
    match why {
        NoFit::TooFew => {
            let text =
                format!("failed_h has {} ended lives; 2 or more are wanted. Use life.weibayes.", lives.ended.len());
            Refusal::new("failed_h", "too_few", text)
        }
        NoFit::NoSpread => {
            let text = format!(
                "failed_h: all lives ended at {} h, so no shape can be fitted. Use life.weibayes.",
                lives.ended[0]
            );
            Refusal::new("failed_h", "no_spread", text)
        }
    }
}

fn worded(fit: &WeibullFit, count: usize, share: f64) -> Answer {
    Answer::new()
        .json("failures", count)
        .num("shape", fit.fitted.shape)
        .num("scale_h", fit.fitted.scale)
        .num("log_likelihood", fit.log_likelihood)
        .num("mean_h", fit.fitted.mean())
        .num("shape_low", fit.shape.low)
        .num("shape_high", fit.shape.high)
        .num("scale_low_h", fit.scale.low)
        .num("scale_high_h", fit.scale.high)
        .num("life_h", fit.fitted.life(share))
        .num("life_low_h", fit.life.low)
        .num("life_high_h", fit.life.high)
        .num("life_wald_low_h", fit.life_wald.low)
        .num("life_wald_high_h", fit.life_wald.high)
}

fn ask_weibayes(given: &Given<'_>) -> Result<Answer, Refusal> {
    let lives = lives(given)?;
    let count = lives.ended.len();
    if lives.ended.is_empty() && lives.running.is_empty() {
        let text = "running_h and failed_h are both empty. Give at least one life, ended or running.";
        return Err(Refusal::new("running_h", "no_life", text));
    }
    let share = given.num_or("life_fraction", 0.1);
    let found = weibayes(&lives, given.num_or("shape", 3.0), given.num_or("confidence", 0.9));
    Ok(Answer::new()
        .json("failures", count)
        .num_or_null("scale_h", found.likeliest.map(|lives| lives.scale))
        .num("scale_low_h", found.low.scale)
        .num_or_null("life_h", found.likeliest.map(|lives| lives.life(share)))
        .num("life_low_h", found.low.life(share))
        .notice_if(count == 0, "bound_only", || {
            format!("0 of {} lives have ended: only a lower bound can be given.", lives.running.len())
        }))
}
