//! Holds a job library against itself: names are unique, references lead somewhere, each job can be done alone, each
//! interval and time says what it rests on, no text carries a link or a proper name.

mod references;
mod texts;

use std::collections::HashMap;

use super::entry::Hold;
use super::read::{Handbook, HandbookFault, Source, line_at};
use crate::job::{LibraryFault, Order, OrderFault, plan};

/// Every fault of a library, file by file; empty if it holds.
#[must_use]
pub fn lint(files: &[Source<'_>]) -> Vec<HandbookFault> {
    let mut faults = match Handbook::read(files) {
        Ok(book) => held(&book, files),
        Err(fault) => vec![fault],
    };
    faults.extend(texts::texts(files));
    faults
}

/// A rider's files laid over a library that was read from `files`. Their words are the rider's own: names and links may
/// stand there.
///
/// # Errors
/// Every fault.
pub fn lint_over(below: &Handbook, files: &[Source<'_>], above: &[Source<'_>]) -> Result<Handbook, Vec<HandbookFault>> {
    let book = below.under(above).map_err(|fault| vec![fault])?;
    // What the rider wrote is looked through first: a fault is told where it can be put right.
    let files: Vec<Source<'_>> = above.iter().chain(files).copied().collect();
    let faults = held(&book, &files);
    if faults.is_empty() { Ok(book) } else { Err(faults) }
}

/// Every fault of a library that was read.
fn held(book: &Handbook, files: &[Source<'_>]) -> Vec<HandbookFault> {
    let mut found = names(book);
    found.extend(references::references(book));
    found.extend(references::figures(book));
    found.extend(bases(book));
    if found.is_empty() {
        found.extend(alone(book));
    }
    found.into_iter().map(|found| found.located(files)).collect()
}

/// A fault before its place is looked up.
struct Found {
    /// The id that it belongs to.
    owner: String,
    /// What stands in the line, after the id.
    word: String,
    why: String,
}

impl Found {
    fn new(owner: &str, word: &str, why: String) -> Self {
        Self { owner: owner.to_owned(), word: word.to_owned(), why }
    }

    fn dangling(owner: &str, field: &str, target: &str) -> Self {
        Self::new(owner, target, format!("{field} of \"{owner}\" names \"{target}\", which is not there"))
    }

    fn twice(kind: &str, id: &str) -> Self {
        Self::new(id, "id", format!("{kind} \"{id}\" is there twice"))
    }

    /// Where the owner is defined and, from there, the word first stands.
    fn located(self, files: &[Source<'_>]) -> HandbookFault {
        let defined = ["id", "key"].map(|key| format!("{key} = \"{}\"", self.owner));
        let place = files.iter().find_map(|file| {
            let owned = defined.iter().find_map(|words| file.text.find(words.as_str()))?;
            let after = file.text.get(owned..).and_then(|rest| rest.find(self.word.as_str())).unwrap_or(0);
            Some((file.name.to_owned(), line_at(file.text, owned + after)))
        });
        let (file, line) = place.unwrap_or_else(|| ("?".to_owned(), 1));
        HandbookFault { file, line, why: self.why }
    }
}

fn names(book: &Handbook) -> Vec<Found> {
    let mut found: Vec<_> = match book.library().check() {
        Ok(()) => Vec::new(),
        Err(LibraryFault::SameId { kind, id }) => vec![Found::twice(kind, &id)],
        Err(LibraryFault::Dangling { owner, field, target }) => vec![Found::dangling(&owner, field, &target)],
    };
    let lists: [(_, Vec<_>); 2] = [
        ("kit", book.access().kit.iter().map(|kit| kit.id.as_str()).collect()),
        ("caution", book.cautions().iter().map(|caution| caution.id.as_str()).collect()),
    ];
    for (kind, mut ids) in lists {
        ids.sort_unstable();
        found.extend(ids.windows(2).filter(|two| two[0] == two[1]).map(|two| Found::twice(kind, two[0])));
    }
    // The same stop point may stand in two jobs if it is word for word the same.
    let mut holds: HashMap<&str, &Hold> = HashMap::new();
    for (_, hold) in book.holds() {
        if holds.insert(&hold.id, hold).is_some_and(|first| first != hold) {
            found.push(Found::twice("stop point", &hold.id));
        }
    }
    found
}

fn bases(book: &Handbook) -> Vec<Found> {
    let mut found = Vec::new();
    for file in book.jobs() {
        let job = &file.job;
        let follow_ups = file.follow_up.iter().map(|follow_up| &follow_up.basis);
        let mut bases = [&job.interval.basis, &job.time.basis].into_iter().chain(follow_ups);
        if bases.any(|basis| basis.trim().is_empty()) {
            let why = format!("an interval or time of \"{}\" says not what it rests on", job.id);
            found.push(Found::new(&job.id, "basis = \"\"", why));
        }
        let hours = job.interval.hours.is_none_or(|[low, high]| (0.0..=high).contains(&low));
        if !hours || job.time.low_min > job.time.high_min {
            let why = format!("a range of \"{}\" runs from high to low", job.id);
            found.push(Found::new(&job.id, if hours { "time" } else { "interval" }, why));
        }
    }
    for caution in book.cautions().iter().filter(|caution| caution.basis.trim().is_empty()) {
        let why = format!("caution \"{}\" says not what it rests on", caution.id);
        found.push(Found::new(&caution.id, "basis", why));
    }
    found
}

/// Each job alone, under every answer to the choices that have no default.
fn alone(book: &Handbook) -> Vec<Found> {
    let open: Vec<_> = book.access().choice.iter().filter(|choice| choice.default.is_none()).collect();
    let turns = open.iter().map(|choice| choice.values.len()).max().unwrap_or(1);
    let mut found = Vec::new();
    for file in book.jobs() {
        let id = file.job.id.as_str();
        for turn in 0..turns {
            let answers = open.iter().filter_map(|choice| {
                let value = choice.values.get(turn % choice.values.len().max(1))?;
                Some((choice.key.as_str(), value.as_str()))
            });
            let answers: Vec<_> = answers.collect();
            let planned = Order::build(book.library(), &[id], &answers).and_then(|order| plan(&order));
            if let Err(fault) = planned {
                let why = format!("\"{id}\" cannot be done alone: {}", spoken(&fault));
                found.push(Found::new(id, "id", why));
            }
        }
    }
    found
}

fn spoken(fault: &OrderFault) -> String {
    match fault {
        OrderFault::Cycle(ops) => format!("operations wait for each other in a ring: {}", ops.join(", ")),
        OrderFault::Infeasible { blocked } => {
            let names: Vec<_> = blocked.iter().map(|(op, _)| op.as_str()).collect();
            format!("never reached: {}", names.join(", "))
        }
        other => format!("{other:?}"),
    }
}

#[cfg(test)]
mod tests {
    use super::super::SHIPPED;
    use super::*;

    /// The shipped files with one word of one file replaced.
    fn told(name: &str, from: &str, to: &str) -> Vec<String> {
        let changed: Vec<_> = SHIPPED
            .iter()
            .map(|file| {
                let text = if file.name == name { file.text.replacen(from, to, 1) } else { file.text.to_owned() };
                assert!(file.name != name || text != file.text, "{from} is not in {name}");
                (file.name, text)
            })
            .collect();
        let files: Vec<_> = changed.iter().map(|(name, text)| Source { name, text }).collect();
        lint(&files).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn the_shipped_library_holds() {
        let faults: Vec<_> = lint(&SHIPPED).iter().map(ToString::to_string).collect();
        assert!(faults.is_empty(), "{}", faults.join("\n"));
    }

    #[test]
    fn a_name_that_leads_nowhere_is_told_with_file_and_line() {
        for (name, from, to) in [
            ("final-drive-set.toml", "use = \"dry-fit\"", "use = \"wet-fit\""),
            ("final-drive-set.toml", "after = [\"nip-axle\"]", "after = [\"nip-it\"]"),
            ("final-drive-set.toml", "needs = [\"guard-off\"]", "needs = [\"guard-of\"]"),
            ("final-drive-set.toml", "covers = [\"rear-sprocket-only\"", "covers = [\"rear-sprocket\""),
            ("final-drive-set.toml", "job = \"countershaft-seal\"", "job = \"countershaft\""),
            ("final-drive-set.toml", "why = \"lost-chain\"", "why = \"lost-it\""),
            ("final-drive-set.toml", "finds = [\"chain\"]", "finds = [\"chains\"]"),
            ("final-drive-set.toml", "kit = \"clean\"", "kit = \"cleaning\""),
            ("_access.toml", "redo = [\"chain-slack-set\"", "redo = [\"chain-slack-get\""),
            ("_access.toml", "accept_figure = \"drain-torque\"", "accept_figure = \"drain-nm\""),
            ("_access.toml", "cautions = [\"stand-stability\", \"lifting\"]", "cautions = [\"lifted\"]"),
            ("cautions.toml", "when = \"pins:grind\"", "when = \"pins:saw\""),
        ] {
            let faults = told(name, from, to);
            let place = |fault: &String| {
                let line = fault.strip_prefix(name).and_then(|rest| rest.split(':').nth(1));
                line.and_then(|line| line.parse::<usize>().ok()).is_some_and(|line| line > 1)
            };
            assert!(faults.iter().any(place), "{to}: {faults:?}");
        }
    }

    #[test]
    fn a_missing_basis_a_link_and_a_proper_name_are_told() {
        let basis = "hours = [25, 120], basis = \"common practice, no source\"";
        assert_eq!(told("final-drive-set.toml", basis, "hours = [25, 120], basis = \"\"").len(), 1);
        assert_eq!(told("coolant.toml", "purpose = \"", "purpose = \"See www.x.y. ").len(), 1);
        assert_eq!(told("coolant.toml", "purpose = \"", "purpose = \"Like any Maker does it. ").len(), 1);
    }

    #[test]
    fn a_job_that_cannot_be_done_is_told() {
        let faults = told(
            "_access.toml",
            "needs = [\"guard-off\", \"!on-stand\", \"!chain-open\"",
            "needs = [\"front-sprocket-off\", \"guard-off\", \"!on-stand\", \"!chain-open\"",
        );
        assert!(faults.iter().any(|fault| fault.contains("cannot be done alone")), "{faults:?}");
    }

    #[test]
    fn a_job_that_cannot_be_done_with_one_answer_alone_is_told_whichever_answer_that_is() {
        for (of, answer) in
            [("id = \"crack-front-sprocket-nut\"", "nut"), ("id = \"crack-front-plate-bolts\"", "plate")]
        {
            let with_that = format!("{of}\nwhen = \"front-retention:{answer}\"\nopens = [\"front-sprocket-off\"]\n");
            let after = SHIPPED.iter().find(|file| file.name == "_access.toml").expect("there").text;
            let rest = after.split_once(&with_that).expect("the operation").1;
            let does = rest.lines().next().expect("what is done");
            let needs = "needs = [\"guard-off\", \"!on-stand\", \"!chain-open\", \"!rear-wheel-out\"]";
            let wrong = "needs = [\"guard-off\", \"!guard-off\"]";
            let faults =
                told("_access.toml", &format!("{with_that}{does}\n{needs}"), &format!("{with_that}{does}\n{wrong}"));
            assert!(faults.iter().any(|fault| fault.contains("cannot be done alone")), "{answer}: {faults:?}");
        }
    }

    #[test]
    fn a_name_that_is_there_twice_or_means_two_things_is_told_with_its_file() {
        let kit = "[[kit]]\nid = \"clean\"";
        let twice = |name: &str, from: &str, to: &str, said: &str| {
            let faults = told(name, from, to);
            assert!(faults.iter().any(|fault| fault.contains(said)), "{said}: {faults:?}");
        };
        twice(
            "_access.toml",
            kit,
            &format!("[[kit]]\nid = \"clean\"\ntitle = \"x\"\n{kit}"),
            "kit \"clean\" is there twice",
        );
        let caution = "[[caution]]\nid = \"pinch\"";
        twice("cautions.toml", caution, "[[caution]]\nid = \"lifting\"", "caution \"lifting\" is there twice");
        twice("coolant.toml", "[job]\nid = \"coolant\"", "[job]\nid = \"reeds\"", "job \"reeds\" is there twice");
    }

    #[test]
    fn a_stop_point_or_a_figure_of_one_name_is_the_same_everywhere() {
        let of = |name: &str| SHIPPED.iter().find(|file| file.name == name).expect("there").text;
        let quoted = |name: &str, key: &str| {
            let text = of(name);
            let after = text.split_once(key).expect("there").1;
            after.split('"').nth(1).expect("a name").to_owned()
        };
        let hold = quoted("reeds.toml", "hold = { id =");
        let faults = told("coolant.toml", "hold = { id = \"hoses\"", &format!("hold = {{ id = \"{hold}\""));
        assert!(
            faults.iter().any(|fault| fault.contains(&format!("stop point \"{hold}\" is there twice"))),
            "{faults:?}"
        );
        let figure = "[[figure]]\nid = \"coolant-quantity\"";
        for (from, to) in [("level", "torque"), ("mL", "L"), ("none", "guess")] {
            let other = format!(
                "{figure}\nkind = \"{}\"\nunit = \"{}\"\ntext = \"x\"\nrequired = true\nfallback = \"{}\"\n{figure}",
                "level".replace(from, to),
                "mL".replace(from, to),
                "none".replace(from, to)
            );
            let faults = told("coolant.toml", figure, &other);
            assert!(faults.iter().any(|fault| fault.contains("is not the same everywhere")), "{to}: {faults:?}");
        }
    }

    #[test]
    fn ranges_run_up_and_each_says_what_it_rests_on() {
        let one = |from: &str, to: &str| {
            let faults = told("coolant.toml", from, to);
            assert_eq!(faults.len(), 1, "{to}: {faults:?}");
            faults[0].clone()
        };
        assert!(one("hours = [100, 300]", "hours = [301, 300]").contains("coolant.toml:7: a range of \"coolant\""));
        assert!(one("hours = [100, 300]", "hours = [-1, 300]").contains("runs from high to low"));
        assert!(one("low_min = 30, high_min = 60", "low_min = 61, high_min = 60").contains("coolant.toml:8: a range"));
        for (from, to) in [
            ("hours = [100, 300]", "hours = [300, 300]"),
            ("low_min = 30", "low_min = 60"),
            ("hours = [100, 300], ", ""),
        ] {
            assert_eq!(told("coolant.toml", from, to), Vec::<String>::new(), "{to}");
        }
        let basis = "high_min = 60, basis = \"common practice, no source\"";
        assert!(one(basis, "high_min = 60, basis = \" \"").contains("says not what it rests on"));
        let after = "after_hours = [0.5, 3]\ntext = \"Level with the engine cold, hoses and drain screw dry, after the first ride.\"\nbasis = ";
        assert!(
            one(&format!("{after}\"common practice, no source\""), &format!("{after}\"\""))
                .contains("says not what it rests on")
        );
    }

    #[test]
    fn a_caution_without_a_basis_is_told() {
        let text = SHIPPED.iter().find(|file| file.name == "cautions.toml").expect("there").text;
        let basis = text.lines().find(|line| line.starts_with("basis = ")).expect("one");
        let faults = told("cautions.toml", basis, "basis = \" \"");
        assert!(
            faults.len() == 1 && faults[0].contains("caution \"stand-stability\" says not what it rests on"),
            "{faults:?}"
        );
    }

    #[test]
    fn a_riders_own_job_lies_over_the_carried_ones_and_a_wrong_one_is_told_in_the_riders_file() {
        let coolant = SHIPPED.iter().find(|file| file.name == "coolant.toml").expect("there").text;
        let own = coolant.replace("Change coolant and check hoses", "As Anybody does it, see www.x.y");
        let over = |text: &str| lint_over(super::super::shipped(), &SHIPPED, &[Source { name: "coolant.toml", text }]);
        let book = over(&own).expect("names and links are the rider's own affair");
        assert_eq!(book.job("coolant").expect("there").job.title, "As Anybody does it, see www.x.y");
        assert_eq!(book.jobs().len(), super::super::shipped().jobs().len());
        let mine =
            own.replace("id = \"coolant\"", "id = \"mine\"").replace("id = \"inspect-cooling\"", "id = \"mine-look\"");
        let book = over(&mine.replace("\"hoses\"", "\"mine-hoses\"")).expect("it holds");
        assert_eq!(book.jobs().len(), super::super::shipped().jobs().len() + 1);
        let faults = over(&own.replace("needs = [\"coolant-out\"]", "needs = [\"coolant\"]")).expect_err("nowhere");
        let told: Vec<_> = faults.iter().map(ToString::to_string).collect();
        assert_eq!(told, ["coolant.toml:36: needs of \"inspect-cooling\" names \"coolant\", which is not there"]);
        assert!(over("schema = 1\n[job\n").is_err_and(|faults| faults.len() == 1 && faults[0].line == 2));
    }
}
