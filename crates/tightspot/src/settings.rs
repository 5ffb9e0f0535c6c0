//! Settings and where each comes from: a flag before the environment, before the project's file, before the rider's own
//! file, before what holds otherwise. Secrets are none of them.

use std::env;
use std::fmt;
use std::fs;
use std::io;
use std::net::IpAddr;
use std::path::{Path, PathBuf};

use measure::shown::Units;

use crate::args::{Args, Command};
use crate::folders;
use crate::problem::Problem;

/// The project's file, in the folder where the command is run.
const PROJECT: &str = "tightspot.toml";
/// The rider's own file, in the folder of settings.
const OWN: &str = "config.toml";

/// One setting.
pub(crate) struct Known {
    /// Its name in a file.
    pub(crate) name: &'static str,
    /// Its name in the environment.
    pub(crate) variable: &'static str,
    /// What it is.
    pub(crate) means: &'static str,
    /// What holds if nobody says.
    pub(crate) otherwise: &'static str,
    takes: Takes,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Takes {
    Text,
    /// A path; in a file it is meant from that file's folder.
    Path,
    Flag,
    Port,
    Address,
    /// Millimetres or inches.
    Units,
    /// Several texts; in the environment with commas between.
    Texts,
}

const fn known(
    name: &'static str,
    variable: &'static str,
    takes: Takes,
    means: &'static str,
    otherwise: &'static str,
) -> Known {
    Known { name, variable, means, otherwise, takes }
}

/// Every setting.
pub(crate) const KNOWN: [Known; 11] = [
    known("store", "TIGHTSPOT_STORE", Takes::Path, "the store file", "record.tightspot in the data folder"),
    known("bike", "TIGHTSPOT_BIKE", Takes::Text, "the bike", "the one chosen, else the only one"),
    known(
        "jobs",
        "TIGHTSPOT_JOBS",
        Takes::Path,
        "your own folder of jobs",
        "jobs in the folder of settings, if it is there",
    ),
    known("no_color", "TIGHTSPOT_NO_COLOR", Takes::Flag, "no colour on a terminal", "false"),
    known("units", "TIGHTSPOT_UNITS", Takes::Units, "what is read in: mm or inch; never JSON", "mm"),
    known("port", "TIGHTSPOT_PORT", Takes::Port, "the port of the pages", "4717"),
    known("bind", "TIGHTSPOT_BIND", Takes::Address, "the address on the home network", "this machine only"),
    known("name", "TIGHTSPOT_NAME", Takes::Texts, "names under which the pages are reached", "none"),
    known("tls", "TIGHTSPOT_TLS", Takes::Flag, "encrypt with a certificate made here", "false"),
    known("cert", "TIGHTSPOT_CERT", Takes::Path, "encrypt with this certificate", "none"),
    known("key", "TIGHTSPOT_KEY", Takes::Path, "the key of that certificate", "none"),
];

/// Where a setting comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Origin {
    /// The command line.
    Flag,
    /// A variable of the environment.
    Environment(&'static str),
    /// The project's file.
    Project(PathBuf),
    /// The rider's own file.
    Own(PathBuf),
    /// Nobody said.
    Otherwise,
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Flag => f.write_str("flag"),
            Self::Environment(variable) => write!(f, "environment {variable}"),
            Self::Project(file) => write!(f, "project file {}", file.display()),
            Self::Own(file) => write!(f, "own file {}", file.display()),
            Self::Otherwise => f.write_str("default"),
        }
    }
}

/// A value that somebody set.
#[derive(Debug, Clone)]
struct Said {
    texts: Vec<String>,
    origin: Origin,
}

/// What the environment and the files say.
#[derive(Debug, Default)]
pub(crate) struct Settings {
    said: Vec<(&'static str, Said)>,
}

/// A setting as it holds, for `config show`.
pub(crate) struct Holding {
    /// The setting.
    pub(crate) known: &'static Known,
    /// Its value in words.
    pub(crate) value: String,
    /// Where it comes from.
    pub(crate) origin: Origin,
}

impl Settings {
    /// Reads the environment and both files.
    ///
    /// # Errors
    /// A file cannot be read, or says something that is no setting.
    pub(crate) fn read() -> Result<Self, Problem> {
        let mut settings = Self::default();
        let own = folders::config_place().ok().map(|folder| folder.join(OWN));
        if let Some(own) = own {
            settings.file(&own, Origin::Own)?;
        }
        settings.file(&env::current_dir().unwrap_or_default().join(PROJECT), Origin::Project)?;
        for known in &KNOWN {
            let Some(text) = env::var_os(known.variable).filter(|text| !text.is_empty()) else { continue };
            let text =
                text.into_string().map_err(|_| Problem::usage(format!("{}: it is not UTF-8.", known.variable)))?;
            let texts = match known.takes {
                Takes::Texts => text.split(',').map(|one| one.trim().to_owned()).collect(),
                _ => vec![text],
            };
            check(known, &texts).map_err(|why| Problem::usage(format!("{}: {why}", known.variable)))?;
            settings.put(known.name, Said { texts, origin: Origin::Environment(known.variable) });
        }
        Ok(settings)
    }

    /// The later word counts.
    fn put(&mut self, name: &'static str, said: Said) {
        self.said.retain(|(known, _)| *known != name);
        self.said.push((name, said));
    }

    fn file(&mut self, file: &Path, origin: fn(PathBuf) -> Origin) -> Result<(), Problem> {
        let text = match fs::read_to_string(file) {
            Ok(text) => text,
            Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(()),
            Err(why) if why.kind() == io::ErrorKind::PermissionDenied => return Err(closed(file)),
            Err(why) => return Err(Problem::failed(format!("{}: {why}.", file.display()))),
        };
        let told = |why: &dyn fmt::Display| Problem::usage(format!("{}: {why}", file.display()));
        let table: toml::Table = text.parse().map_err(|why: toml::de::Error| told(&why))?;
        for (name, value) in &table {
            let Some(known) = KNOWN.iter().find(|known| known.name == name) else {
                let names: Vec<&str> = KNOWN.iter().map(|known| known.name).collect();
                return Err(told(&format!("{name} is no setting. Possible: {}.", names.join(", "))));
            };
            let mut texts =
                texts_of(value).ok_or_else(|| told(&format!("{name}: a {} is not possible.", value.type_str())))?;
            if known.takes == Takes::Path {
                let folder = file.parent().unwrap_or(Path::new(""));
                texts.iter_mut().for_each(|text| *text = folder.join(&*text).display().to_string());
            }
            check(known, &texts).map_err(|why| told(&format!("{name}: {why}")))?;
            self.put(known.name, Said { texts, origin: origin(file.to_owned()) });
        }
        Ok(())
    }

    fn texts(&self, name: &str) -> &[String] {
        self.said.iter().find(|(known, _)| *known == name).map_or(&[], |(_, said)| said.texts.as_slice())
    }

    fn text(&self, name: &str) -> Option<&str> {
        self.texts(name).first().map(String::as_str)
    }

    fn flag(&self, name: &str) -> bool {
        self.text(name) == Some("true")
    }

    /// What holds for these arguments, with its origin; before [`Settings::fill`].
    pub(crate) fn holding(&self, args: &Args) -> Vec<Holding> {
        let flags = flags(args);
        let each = |known: &'static Known| {
            if let Some((_, value)) = flags.iter().find(|(name, _)| *name == known.name) {
                return Holding { known, value: value.clone(), origin: Origin::Flag };
            }
            match self.said.iter().find(|(name, _)| *name == known.name) {
                Some((_, said)) => Holding { known, value: said.texts.join(", "), origin: said.origin.clone() },
                None => Holding { known, value: known.otherwise.to_owned(), origin: Origin::Otherwise },
            }
        };
        KNOWN.iter().map(each).collect()
    }

    /// Puts what was said into what the command line left open.
    pub(crate) fn fill(&self, args: &mut Args) {
        let place = &mut args.place;
        if !place.demo && place.store.is_none() {
            place.store = self.text("store").map(PathBuf::from);
        }
        // The bike of one's own record is none of the demo's.
        if !place.demo && place.bike.is_none() {
            place.bike = self.text("bike").map(str::to_owned);
        }
        if place.own_jobs.is_none() {
            place.own_jobs = self.text("jobs").map(PathBuf::from);
        }
        place.no_color |= self.flag("no_color");
        place.units = place.units.or_else(|| self.text("units").and_then(Units::named));
        let Command::Serve(serve) = &mut args.command else { return };
        serve.port = serve.port.or_else(|| self.text("port").and_then(|port| port.parse().ok()));
        serve.bind = serve.bind.or_else(|| self.text("bind").and_then(|address| address.parse().ok()));
        if serve.name.is_empty() {
            serve.name = self.texts("name").to_vec();
        }
        if serve.cert.is_none() && serve.key.is_none() && !serve.tls {
            serve.tls = self.flag("tls");
            serve.cert = self.text("cert").map(PathBuf::from);
            serve.key = self.text("key").map(PathBuf::from);
        }
    }
}

/// A file of settings that must not be read: what it says is not known, so it is not taken for saying nothing.
fn closed(file: &Path) -> Problem {
    Problem::failed(format!(
        "{}: these settings must not be read by you, and are not left out in silence. Make the file readable (chmod u+r), \
         or name another folder of settings in XDG_CONFIG_HOME.",
        file.display()
    ))
}

/// What the command line says of settings.
fn flags(args: &Args) -> Vec<(&'static str, String)> {
    let place = &args.place;
    let mut said = Vec::new();
    if place.demo {
        said.push(("store", "a throw-away store (--demo)".to_owned()));
    }
    said.extend(place.store.as_ref().map(|file| ("store", file.display().to_string())));
    said.extend(place.bike.as_ref().map(|bike| ("bike", bike.clone())));
    said.extend(place.own_jobs.as_ref().map(|folder| ("jobs", folder.display().to_string())));
    said.extend(place.units.map(|units| ("units", units.word().to_owned())));
    said.extend(place.no_color.then(|| ("no_color", "true".to_owned())));
    said
}

fn texts_of(value: &toml::Value) -> Option<Vec<String>> {
    match value {
        toml::Value::String(text) => Some(vec![text.clone()]),
        toml::Value::Integer(number) => Some(vec![number.to_string()]),
        toml::Value::Boolean(flag) => Some(vec![flag.to_string()]),
        toml::Value::Array(all) => all.iter().map(|one| one.as_str().map(str::to_owned)).collect(),
        _ => None,
    }
}

fn check(known: &Known, texts: &[String]) -> Result<(), String> {
    let one = match texts {
        _ if known.takes == Takes::Texts => return Ok(()),
        [one] => one,
        _ => return Err("one value is wanted.".to_owned()),
    };
    let (good, wanted) = match known.takes {
        Takes::Flag => (matches!(one.as_str(), "true" | "false"), "true or false is"),
        Takes::Port => (one.parse::<u16>().is_ok(), "a port, 0 to 65535, is"),
        Takes::Units => (Units::named(one).is_some(), "mm or inch is"),
        Takes::Address => (one.parse::<IpAddr>().is_ok(), "an address of this machine is"),
        Takes::Text | Takes::Path | Takes::Texts => (!one.is_empty(), "something is"),
    };
    if good { Ok(()) } else { Err(format!("\"{one}\" is not possible; {wanted} wanted.")) }
}
