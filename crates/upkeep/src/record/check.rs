//! What a rider looked at and found: each check has its own few answers, and each answer its outcome.

use measure::bounds::record as bounds;

use super::held;
use crate::bike::Fault;

/// What an answer makes of the bike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// As it should be.
    Good,
    /// To be ridden with care.
    Care,
    /// Not to be ridden.
    Stop,
}

/// One kind of check.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CheckKind {
    /// Its name for programs and forms.
    pub name: &'static str,
    /// What is looked at.
    pub title: &'static str,
    /// Answers and what they mean; the first is the good one.
    pub answers: &'static [(&'static str, Outcome)],
    /// The field of the bike sheet that holds the torque, for fasteners.
    pub torque_field: Option<&'static str>,
}

/// How teeth look, from new to not to be ridden.
const TEETH: &[(&str, Outcome)] = &[
    ("sound", Outcome::Good),
    ("symmetrical", Outcome::Good),
    ("leaning", Outcome::Care),
    ("hooked", Outcome::Stop),
    ("cracked-or-missing", Outcome::Stop),
];

/// The kinds of check.
pub const CHECKS: &[CheckKind] = &[
    CheckKind::plain(
        "brake",
        "rear brake after the wheel was out: pedal firm, wheel free",
        &[("firm", Outcome::Good), ("not-firm", Outcome::Stop)],
    ),
    CheckKind::plain(
        "joint",
        "joint of the chain",
        &[
            ("closed-end-leads", Outcome::Good),
            ("riveted", Outcome::Good),
            ("open-end-leads", Outcome::Stop),
            ("missing", Outcome::Stop),
        ],
    ),
    CheckKind::torque("axle", "rear axle nut", "rear_axle_torque_nm"),
    CheckKind::torque("rear-fasteners", "rear sprocket fasteners", "rear_sprocket_torque_nm"),
    CheckKind::torque("front-retainer", "front sprocket nut or plate", "front_sprocket_nut_torque_nm"),
    CheckKind::plain(
        "front-ring",
        "snap ring of the front sprocket",
        &[("seated-full-circle", Outcome::Good), ("not-seated", Outcome::Stop)],
    ),
    CheckKind::plain(
        "splines",
        "play of the front sprocket on its splines",
        &[("good", Outcome::Good), ("worn", Outcome::Stop)],
    ),
    CheckKind::plain("front-teeth", "teeth of the front sprocket", TEETH),
    CheckKind::plain("rear-teeth", "teeth of the rear sprocket", TEETH),
    CheckKind::plain(
        "bearings",
        "rear wheel bearings",
        &[("smooth", Outcome::Good), ("notchy", Outcome::Care), ("play-felt", Outcome::Stop)],
    ),
    CheckKind::plain(
        "recheck",
        "fasteners and slack after the first hour",
        &[("done", Outcome::Good), ("moved", Outcome::Care)],
    ),
    CheckKind::plain(
        "inspection",
        "what seemed odd on a ride",
        &[("nothing-found", Outcome::Good), ("put-right", Outcome::Good), ("not-clear", Outcome::Care)],
    ),
];

impl CheckKind {
    const fn plain(name: &'static str, title: &'static str, answers: &'static [(&'static str, Outcome)]) -> Self {
        Self { name, title, answers, torque_field: None }
    }

    const fn torque(name: &'static str, title: &'static str, field: &'static str) -> Self {
        Self { name, title, answers: &[("set", Outcome::Good), ("loose", Outcome::Stop)], torque_field: Some(field) }
    }

    /// The kind of a name.
    ///
    /// # Errors
    /// There is none, with those there are.
    pub fn named(name: &str) -> Result<&'static Self, Fault> {
        CHECKS.iter().find(|kind| kind.name == name).ok_or_else(|| {
            let known: Vec<&str> = CHECKS.iter().map(|kind| kind.name).collect();
            let text = format!("check: \"{name}\" is not in the list; possible: {}.", known.join(", "));
            Fault::new("check", "no_such_word", text)
        })
    }
}

/// A check that was made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Check {
    kind: &'static CheckKind,
    answer: &'static str,
    outcome: Outcome,
    torque_nm: Option<f64>,
}

impl Check {
    /// A check by its name and answer; a fastener that is set has its torque, from the manual by the rider's own entry.
    ///
    /// # Errors
    /// No such check or answer, or a fastener without its figure.
    pub fn new(name: &str, answer: &str, torque_nm: Option<f64>) -> Result<Self, Fault> {
        let kind = CheckKind::named(name)?;
        let Some((answer, outcome)) = kind.answers.iter().find(|(known, _)| *known == answer) else {
            let known: Vec<&str> = kind.answers.iter().map(|(known, _)| *known).collect();
            let text = format!("{name}: \"{answer}\" is no answer; possible: {}.", known.join(", "));
            return Err(Fault::new("check", "no_such_word", text));
        };
        if torque_nm.is_some() && kind.torque_field.is_none() {
            let text = format!("torque_nm: {name} has no torque. Leave it out.");
            return Err(Fault::new("torque_nm", "against", text));
        }
        if *outcome == Outcome::Good && kind.torque_field.is_some() && torque_nm.is_none() {
            let field = kind.torque_field.unwrap_or_default();
            let text = format!(
                "torque_nm: the figure for the {} is missing, and nothing stands in for it. Enter the manual's on the sheet ({field}), or give it here.",
                kind.title
            );
            return Err(Fault::new("torque_nm", "missing", text));
        }
        let torque_nm = torque_nm.map(|torque| held("torque_nm", torque, &bounds::TORQUE)).transpose()?;
        Ok(Self { kind, answer, outcome: *outcome, torque_nm })
    }

    /// Its kind.
    #[must_use]
    pub const fn kind(&self) -> &'static CheckKind {
        self.kind
    }

    /// The answer.
    #[must_use]
    pub const fn answer(&self) -> &'static str {
        self.answer
    }

    /// What the answer makes of the bike.
    #[must_use]
    pub const fn outcome(&self) -> Outcome {
        self.outcome
    }

    /// The torque that was set.
    #[must_use]
    pub const fn torque_nm(&self) -> Option<f64> {
        self.torque_nm
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fastener_without_its_figure_is_not_set() {
        let fault = Check::new("axle", "set", None).expect_err("a figure is wanted");
        assert_eq!(fault.field, "torque_nm");
        assert!(fault.text.contains("rear_axle_torque_nm"));
        assert!(Check::new("axle", "set", Some(100.0)).is_ok());
        assert!(Check::new("axle", "loose", None).is_ok_and(|check| check.outcome() == Outcome::Stop));
        assert!(Check::new("axle", "set", Some(0.0)).is_err());
    }

    #[test]
    fn an_answer_of_another_check_is_none_of_this_one() {
        assert!(Check::new("bearings", "firm", None).is_err());
        assert!(Check::new("bearing", "smooth", None).is_err_and(|fault| fault.text.contains("bearings")));
        assert!(Check::new("brake", "firm", Some(20.0)).is_err());
    }

    #[test]
    fn every_check_is_found_by_its_name_and_each_answer_means_what_its_kind_says() {
        for kind in CHECKS {
            assert!(CheckKind::named(kind.name).is_ok_and(|known| known == kind));
            assert_eq!(kind.answers.first().map(|answer| answer.1), Some(Outcome::Good), "{}", kind.name);
            for (answer, outcome) in kind.answers {
                let torque = kind.torque_field.filter(|_| *outcome == Outcome::Good).map(|_| 40.0);
                let check = Check::new(kind.name, answer, torque).expect("an answer");
                assert_eq!(
                    (check.kind(), check.answer(), check.outcome(), check.torque_nm()),
                    (kind, *answer, *outcome, torque)
                );
            }
        }
        let code = |name: &str, answer: &str, torque: Option<f64>| {
            Check::new(name, answer, torque).err().map(|fault| fault.code)
        };
        assert_eq!(code("brake", "firm", Some(20.0)), Some("against"));
        assert_eq!(
            [code("axle", "set", None), code("axle", "set", Some(300.1))],
            [Some("missing"), Some("out_of_range")]
        );
        assert_eq!([code("axle", "loose", Some(20.0)), code("axle", "loose", Some(0.0))], [None, Some("out_of_range")]);
    }
}
