//! Reads the files of a job library; what cannot be read is told with file and line.

use std::collections::HashMap;

use serde::de::DeserializeOwned;

use super::convert;
use super::entry::{
    AccessFile, CautionEntry, CautionFile, FigureEntry, Hold, JobLine, KitEntry, OpEntry, PartEntry, StateEntry,
};
use super::job_file::JobFile;
use crate::job::Library;

/// The text of one file and the name that errors give it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source<'t> {
    /// Its name: `_access.toml`, `cautions.toml`, or `<job>.toml`.
    pub name: &'t str,
    /// What stands in it.
    pub text: &'t str,
}

/// What is wrong in a file of the job library.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HandbookFault {
    /// The file.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
    /// What is wrong.
    pub why: String,
}

impl std::fmt::Display for HandbookFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}:{}: {}", self.file, self.line, self.why)
    }
}

/// A job library with its texts.
#[derive(Debug, Clone, Default)]
pub struct Handbook {
    access: AccessFile,
    jobs: Vec<JobFile>,
    cautions: Vec<CautionEntry>,
    library: Library,
    states: HashMap<String, usize>,
    ops: HashMap<String, OpEntry>,
}

impl Handbook {
    /// Reads the files. References are not followed here: that is the lint's part.
    ///
    /// # Errors
    /// The first file that cannot be read, with its line.
    pub fn read(files: &[Source<'_>]) -> Result<Self, HandbookFault> {
        let (access, cautions, jobs) = parts(files)?;
        Ok(Self::of(access, cautions, jobs))
    }

    /// This library with files laid over it: a job, state, operation, kit, figure, choice or caution of the same name
    /// takes the place of the one below, anything else comes beside it.
    ///
    /// # Errors
    /// As [`Handbook::read`].
    pub fn under(&self, above: &[Source<'_>]) -> Result<Self, HandbookFault> {
        let (own_access, own_cautions, own_jobs) = parts(above)?;
        let (mut access, mut cautions, mut jobs) = (self.access.clone(), self.cautions.clone(), self.jobs.clone());
        access.lay_over(own_access);
        lay_over(&mut cautions, own_cautions, |caution| &caution.id);
        lay_over(&mut jobs, own_jobs, |file| &file.job.id);
        Ok(Self::of(access, cautions, jobs))
    }

    fn of(access: AccessFile, cautions: Vec<CautionEntry>, jobs: Vec<JobFile>) -> Self {
        let library = convert::library(&access, &jobs);
        let states = access.state.iter().enumerate().map(|(place, state)| (state.id.clone(), place)).collect();
        let mut book = Self { access, jobs, cautions, library, states, ops: HashMap::new() };
        book.ops = book.ops().map(|op| (op.id.clone(), op.clone())).collect();
        book
    }

    /// The planning part.
    #[must_use]
    pub const fn library(&self) -> &Library {
        &self.library
    }

    /// Shared states, operations and words.
    #[must_use]
    pub const fn access(&self) -> &AccessFile {
        &self.access
    }

    /// Every job, in the order of the file names.
    #[must_use]
    pub fn jobs(&self) -> &[JobFile] {
        &self.jobs
    }

    /// The job of a name.
    #[must_use]
    pub fn job(&self, id: &str) -> Option<&JobFile> {
        self.jobs.iter().find(|file| file.job.id == id)
    }

    /// Every caution.
    #[must_use]
    pub fn cautions(&self) -> &[CautionEntry] {
        &self.cautions
    }

    /// The caution of a name.
    #[must_use]
    pub fn caution(&self, id: &str) -> Option<&CautionEntry> {
        self.cautions.iter().find(|caution| caution.id == id)
    }

    /// The state of a name.
    #[must_use]
    pub fn state(&self, id: &str) -> Option<&StateEntry> {
        self.states.get(id).and_then(|place| self.access.state.get(*place))
    }

    /// The operation of a name.
    #[must_use]
    pub fn op(&self, id: &str) -> Option<&OpEntry> {
        self.ops.get(id)
    }

    /// Every operation as often as it is written down, shared ones first.
    pub fn ops(&self) -> impl Iterator<Item = &OpEntry> {
        let own = self.jobs.iter().flat_map(|file| &file.op).filter_map(|line| match line {
            JobLine::Own(op) => Some(op.as_ref()),
            JobLine::Use(_) => None,
        });
        self.access.shared_op.iter().chain(&self.access.finisher).chain(own)
    }

    /// Every stop point, with the id of the state or operation that carries it.
    pub fn holds(&self) -> impl Iterator<Item = (&str, &Hold)> {
        let states = self.access.state.iter();
        let states = states.flat_map(|state| state.close_holds.iter().map(|hold| (state.id.as_str(), hold)));
        states.chain(self.ops().filter_map(|op| Some((op.id.as_str(), op.hold.as_ref()?))))
    }

    /// The part of a role, as the first job or state has it.
    #[must_use]
    pub fn part(&self, role: &str) -> Option<&PartEntry> {
        let jobs = self.jobs.iter().flat_map(|file| &file.part);
        jobs.chain(self.access.state.iter().flat_map(|state| &state.part)).find(|part| part.role == role)
    }

    /// The kit of a name.
    #[must_use]
    pub fn kit(&self, id: &str) -> Option<&KitEntry> {
        self.access.kit.iter().find(|kit| kit.id == id)
    }

    /// The manual's figure of a name, shared words first.
    #[must_use]
    pub fn figure(&self, id: &str) -> Option<&FigureEntry> {
        self.figures().find(|figure| figure.id == id)
    }

    /// Every figure as often as it is written down, shared ones first.
    pub fn figures(&self) -> impl Iterator<Item = &FigureEntry> {
        self.access.figure.iter().chain(self.jobs.iter().flat_map(|file| &file.figure))
    }
}

/// The shared file, the cautions and the jobs of some files.
fn parts(files: &[Source<'_>]) -> Result<(AccessFile, Vec<CautionEntry>, Vec<JobFile>), HandbookFault> {
    let (mut access, mut cautions) = (AccessFile::default(), Vec::new());
    let mut jobs: Vec<JobFile> = Vec::new();
    for file in files {
        match file.name.rsplit('/').next().unwrap_or(file.name) {
            "_access.toml" => access = one(file)?,
            "cautions.toml" => cautions = one::<CautionFile>(file)?.caution,
            _ => jobs.push(one(file)?),
        }
    }
    Ok((access, cautions, jobs))
}

/// Lays a list over another one, name by name.
pub(super) fn lay_over<T>(below: &mut Vec<T>, above: Vec<T>, name: impl Fn(&T) -> &str) {
    for one in above {
        match below.iter().position(|known| name(known) == name(&one)) {
            Some(place) => below[place] = one,
            None => below.push(one),
        }
    }
}

fn one<T: DeserializeOwned>(file: &Source<'_>) -> Result<T, HandbookFault> {
    toml::from_str(file.text).map_err(|why| HandbookFault {
        file: file.name.to_owned(),
        line: why.span().map_or(1, |span| line_at(file.text, span.start)),
        why: why.message().to_owned(),
    })
}

/// The line of a byte, from 1.
pub(super) fn line_at(text: &str, byte: usize) -> usize {
    text.bytes().take(byte).filter(|byte| *byte == b'\n').count() + 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_cannot_be_read_is_named_with_its_line() {
        let text = "schema = 1\n[job]\nid = \"x\"\nspeed = 3\n";
        let fault = Handbook::read(&[Source { name: "x.toml", text }]).expect_err("unknown key");
        assert!(fault.to_string().starts_with("x.toml:4: ") && fault.why.contains("speed"), "{fault}");
    }

    #[test]
    fn what_lies_over_takes_the_place_of_its_name_and_the_rest_comes_beside_it() {
        let mut below = vec![("a", 1), ("b", 2), ("c", 3)];
        lay_over(&mut below, vec![("d", 4), ("b", 5)], |one| one.0);
        assert_eq!(below, [("a", 1), ("b", 5), ("c", 3), ("d", 4)]);
        assert_eq!([0, 3, 4, 5, 99].map(|byte| line_at("ab\nc\n", byte)), [1, 2, 2, 3, 3]);
    }

    #[test]
    fn everything_of_a_book_is_found_by_its_name() {
        let book = super::super::shipped();
        assert!(
            book.jobs()
                .iter()
                .all(|file| book.job(&file.job.id).is_some_and(|known| known.job.title == file.job.title))
        );
        assert!(book.cautions().iter().all(|one| book.caution(&one.id).is_some_and(|known| known.text == one.text)));
        let access = book.access();
        assert!(access.state.iter().all(|one| book.state(&one.id).is_some_and(|known| known == one)));
        assert!(access.kit.iter().all(|one| book.kit(&one.id).is_some_and(|known| known == one)));
        assert!(book.ops().all(|one| book.op(&one.id).is_some_and(|known| known == one)));
        assert!(book.figures().all(|one| book.figure(&one.id).is_some_and(|known| known.id == one.id)));
        let parts =
            book.jobs().iter().flat_map(|file| &file.part).chain(access.state.iter().flat_map(|state| &state.part));
        assert!(
            parts.clone().count() > 30
                && parts.into_iter().all(|one| book.part(&one.role).is_some_and(|known| known.role == one.role))
        );
        let own = book.jobs().iter().flat_map(|file| &file.op).filter(|line| matches!(line, JobLine::Own(_))).count();
        assert_eq!(book.ops().count(), own + access.shared_op.len() + access.finisher.len());
        let holds = access.state.iter().map(|state| state.close_holds.len()).sum::<usize>();
        assert_eq!(book.holds().count(), holds + book.ops().filter(|op| op.hold.is_some()).count());
        for nowhere in ["", "xyzzy"] {
            assert!(book.job(nowhere).is_none() && book.caution(nowhere).is_none() && book.state(nowhere).is_none());
            assert!(
                book.op(nowhere).is_none()
                    && book.kit(nowhere).is_none()
                    && book.figure(nowhere).is_none()
                    && book.part(nowhere).is_none()
            );
        }
    }
}
