//! `inseam serve`: the shop-floor page, on this machine or on the shop's own network, until Ctrl-C.
//! Stands behind the page's counter: reads its questions with the command line's own flags, fetches bikes, keeps files.
//! What a screen shows is `page`'s business.

use std::collections::HashMap;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::SystemTime;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{ColorChoice, Parser};

use jiff::Span;
use jiff::civil::Date;

use crate::advice::book::Child;
use crate::advice::due::Days;
use crate::bike::{Bike, library};
use crate::cli::delivery::Delivery;
use crate::cli::due::{records, within};
use crate::cli::frames::{Found, FramesArgs, Listed, is_yaml};
use crate::cli::outcome::{Error, Outcome, Streams};
use crate::cli::paths::{LONGEST_NAME, file_name, id_of, shown};
use crate::cli::riders::riders;
use crate::cli::{input, mistakes};
use crate::file::{Document, Problem};
use crate::fit::Verdict;
use crate::page::{Counter, Door, Format, Kept, Query, Question, Slip, Unkept, serve};
use crate::record::Filed;
use crate::report::card::Paper;
use crate::report::contract::Skipped;
use crate::rider::Stage;
use crate::rider::measures::swapped;

/// Files of one name that are told apart by a number.
const MOST_ALIKE: usize = 1000;

/// Show all of this in a browser: a page for a tablet at the counter, served from this machine
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  inseam serve\n  inseam serve --frames shop/frames --riders shop/riders --records shop/records\n  inseam serve --frames shop/frames --listen 192.168.0.10\n\nWithout --listen, only this machine can open the page. With it, whoever has the printed link can.\nNothing about a child is kept unless \"keep\" is pressed."
)]
pub(super) struct Args {
    /// Folder of the shop's frame files; bikes that are added go there too. Without it, the sample bikes
    #[arg(long, value_name = "DIR")]
    frames: Option<PathBuf>,
    /// Folder of rider files, for children who are kept
    #[arg(long, value_name = "DIR")]
    riders: Option<PathBuf>,
    /// Folder of records of handovers, for what is due
    #[arg(long, value_name = "DIR")]
    records: Option<PathBuf>,
    /// Port; 0 takes any that is free
    #[arg(long, value_name = "N", default_value_t = 8480)]
    port: u16,
    /// Address on the shop's own network to answer at, instead of this machine only
    #[arg(long, value_name = "ADDRESS")]
    listen: Option<IpAddr>,
}

/// Binds the address; the page is served while the answer is "written", until Ctrl-C.
pub(super) fn run(args: &Args) -> Result<Delivery, Error> {
    for folder in [&args.frames, &args.riders, &args.records]
        .into_iter()
        .flatten()
    {
        if !folder.is_dir() {
            return Err(Problem::of_file(shown(folder), "is no folder; make it first").into());
        }
    }
    let address = args.listen.unwrap_or(IpAddr::V4(Ipv4Addr::LOCALHOST));
    let address = SocketAddr::new(address, args.port);
    let busy = |error: std::io::Error| {
        let message = format!("cannot be listened at: {error}; --port takes another");
        Error::from(Problem::of_file(address.to_string(), message))
    };
    let listener = TcpListener::bind(address).map_err(busy)?;
    let door = listener.local_addr().and_then(Door::new).map_err(busy)?;
    let counter = Behind {
        frames: args.frames.clone(),
        riders: args.riders.clone(),
        records: args.records.clone(),
        samples: library::samples().collect(),
        read: Mutex::default(),
    };
    Ok(Delivery::stream(Outcome::Fine, move |out| {
        writeln!(out, "Open {} in a browser. Ctrl-C ends it.", door.link())?;
        if door.key.is_some() {
            writeln!(
                out,
                "Whoever has this link can use the page; the key is new each time. Plain HTTP: for the shop's own network only."
            )?;
        }
        out.flush()?;
        serve(listener, door, Arc::new(counter))
    }))
}

/// The flags that an address can hold: the commands' own tables.
#[derive(Debug, Parser)]
#[command(
    name = "",
    no_binary_name = true,
    disable_help_flag = true,
    disable_version_flag = true,
    color = ColorChoice::Never
)]
struct Flags {
    #[arg(long)]
    frame: Vec<String>,
    #[command(flatten)]
    rider: input::RiderArgs,
    #[command(flatten)]
    figures: input::FigureArgs,
    #[arg(long, value_delimiter = ',')]
    only: Vec<Verdict>,
    #[arg(long)]
    limit: Option<usize>,
    #[arg(long, default_value = "text", value_parser = input::word::<Format>())]
    format: Format,
    #[arg(long, default_value = "a4", value_parser = input::word::<Paper>())]
    paper: Paper,
    #[arg(long)]
    shop: Option<String>,
    #[arg(long)]
    technician: Option<String>,
    #[arg(long)]
    serial_number: Option<String>,
    #[arg(long)]
    title: Option<String>,
    #[arg(long, default_value = "60d", value_parser = within)]
    within: Span,
    #[arg(long, value_parser = mistakes::date)]
    since: Option<Date>,
}

/// Flags that stand alone on a command line.
const SWITCHES: [&str; 1] = ["exact"];
/// Flags that say something about a rider.
const OF_A_RIDER: [&str; 4] = ["rider", "inseam", "height", "arm-reach"];

struct Behind {
    frames: Option<PathBuf>,
    riders: Option<PathBuf>,
    records: Option<PathBuf>,
    /// What is on the rack without a folder.
    samples: Vec<Arc<Bike>>,
    /// Bikes as they were read, by file; read again when the file changes.
    read: Mutex<HashMap<PathBuf, Shelved>>,
}

/// A bike, and the file's time and length when it was read.
struct Shelved {
    stamp: (Option<SystemTime>, u64),
    bike: Arc<Bike>,
}

impl Behind {
    /// One pair of a query as it stands on a command line. A rider is a name in the folder, never a path.
    fn argument(&self, flag: &str, value: &str) -> Result<Vec<String>, Slip> {
        if SWITCHES.contains(&flag) {
            return Ok(vec![format!("--{flag}")]);
        }
        if flag != "rider" {
            return Ok(vec![format!("--{flag}={value}")]);
        }
        let found = self
            .riders
            .as_deref()
            .and_then(|folder| named(folder, value));
        match found {
            Some(path) => Ok(vec![format!("--rider={}", path.display())]),
            None => Err(Slip {
                field: flag.to_owned(),
                message: format!("no child is kept as `{}`", crate::words::clean(value)),
            }),
        }
    }

    fn flags(&self, query: &Query) -> Result<Flags, Vec<Slip>> {
        let mut slips = Vec::new();
        let mut arguments = Vec::new();
        for (flag, value) in query.pairs() {
            match self.argument(flag, value) {
                Ok(argument) => arguments.extend(argument),
                Err(slip) => slips.push(slip),
            }
        }
        let together = Flags::try_parse_from(&arguments);
        match together {
            Ok(flags) if slips.is_empty() => return Ok(flags),
            Ok(_) => return Err(slips),
            Err(_) => {}
        }
        // Every one alone, so that each slip stands beside its own box.
        let alone = query.pairs().filter_map(|(flag, value)| {
            let arguments = self.argument(flag, value).ok()?;
            Flags::try_parse_from(arguments)
                .err()
                .map(|error| slip(flag, error))
        });
        slips.extend(alone);
        // Two boxes that hold one another's figure are one slip.
        let pair = query.get("inseam").zip(query.get("height"));
        if let Some(message) = pair.and_then(|(inseam, height)| swapped(inseam, height)) {
            slips.retain(|slip| slip.field != "height");
            let inseam = slips.iter_mut().find(|slip| slip.field == "inseam");
            if let Some(slip) = inseam {
                slip.message = message;
            }
        }
        if let Err(error) = together
            && slips.is_empty()
        {
            slips.push(slip("", error));
        }
        Err(slips)
    }

    /// The bike of a file, read again only when the file has changed.
    fn shelved(&self, path: &Path) -> Result<Arc<Bike>, crate::Error> {
        let stamp =
            std::fs::metadata(path).map_or((None, 0), |found| (found.modified().ok(), found.len()));
        let shelf = || self.read.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(shelved) = shelf().get(path)
            && shelved.stamp == stamp
        {
            return Ok(Arc::clone(&shelved.bike));
        }
        let bike = input::bike_of_file(path)?;
        let shelved = Shelved {
            stamp,
            bike: Arc::clone(&bike),
        };
        shelf().insert(path.to_owned(), shelved);
        Ok(bike)
    }

    fn keep(
        &self,
        what: Kept,
        (name, text): (&str, String),
        replace: bool,
    ) -> Result<String, Unkept> {
        let folder = match what {
            Kept::Rider => &self.riders,
            Kept::Bike => &self.frames,
            Kept::Record => &self.records,
        };
        let what = what.word();
        let Some(folder) = folder else {
            return Err(Unkept::Because(format!(
                "there is no folder to keep a {what} in: start `inseam serve` with one"
            )));
        };
        let name = file_name(name, LONGEST_NAME);
        let target = folder.join(format!("{name}.yaml"));
        let is_taken = |name: &str| {
            folder.join(format!("{name}.yaml")).exists() || with_id(folder, name).is_some()
        };
        if !replace && is_taken(&name) {
            let others = (2..=MOST_ALIKE).map(|count| numbered(&name, count));
            return Err(Unkept::Exists {
                free: others
                    .into_iter()
                    .find(|name| !is_taken(name))
                    .unwrap_or_default(),
                file: format!("{name}.yaml"),
            });
        }
        let (mut out, mut err) = (std::io::sink(), std::io::sink());
        let mut nowhere = Streams {
            out: &mut out,
            err: &mut err,
            columns: 80,
        };
        Delivery::new(Outcome::Fine, "")
            .with_file(what, target, text)
            .carry_out(&mut nowhere)
            .map_err(|error| Unkept::Because(error.to_string()))?;
        Ok(name)
    }
}

impl Counter for Behind {
    fn ask(&self, query: &Query) -> Result<Question, Vec<Slip>> {
        let flags = self.flags(query)?;
        let options = flags.figures.options();
        let says_rider = OF_A_RIDER.iter().any(|flag| query.get(flag).is_some());
        Ok(Question {
            rider: flags.rider.rider(options.on).map_err(as_flags),
            rider_file: query
                .get("rider")
                .and_then(|name| named(self.riders.as_deref()?, name))
                .and_then(|path| Some(path.file_name()?.to_string_lossy().into_owned())),
            says_rider,
            frames: flags.frame,
            options,
            units: flags.figures.units,
            stage: flags.rider.stage().unwrap_or(Stage::Steady),
            only: flags.only,
            limit: flags.limit,
            days: Days::new(options.on, flags.since, flags.within),
            format: flags.format,
            paper: flags.paper,
            shop: flags.shop,
            technician: flags.technician,
            title: flags.title,
            serial_number: flags.serial_number,
        })
    }

    fn rack(&self) -> (Vec<Arc<Bike>>, Vec<Skipped>) {
        let Some(folder) = &self.frames else {
            return (self.samples.clone(), Vec::new());
        };
        let listed = FramesArgs::of_folder(folder).list();
        let read =
            |listed: Listed| listed.each_read_by("reading", |path| self.shelved(path), |bike| bike);
        found(folder, listed.map(read))
    }

    fn bike(&self, id: &str) -> Result<Arc<Bike>, Vec<Slip>> {
        let found = match &self.frames {
            None => self.samples.iter().find(|bike| bike.id == id).cloned(),
            Some(folder) => match named(folder, id) {
                Some(path) => Some(
                    self.shelved(&path)
                        .map_err(|error| in_file("frame", error))?,
                ),
                None => None,
            },
        };
        found.ok_or_else(|| {
            vec![Slip {
                field: "frame".to_owned(),
                message: format!(
                    "no bike on the rack is called `{}`",
                    crate::words::clean(id)
                ),
            }]
        })
    }

    fn read_bike(&self, id: &str, text: &str) -> Result<Bike, Vec<Slip>> {
        let id = file_name(id, LONGEST_NAME);
        let document = Document::from_text("the new bike", text);
        library::read(&id, &document).map_err(|error| slips(Error::from(error)))
    }

    fn market(&self) -> &[Arc<Bike>] {
        &self.samples
    }

    fn children(&self, on: Date) -> Option<(Vec<Child>, Vec<Skipped>)> {
        let folder = self.riders.as_deref()?;
        Some(found(folder, riders(folder, on).map(|read| read.found)))
    }

    fn records(&self) -> Option<(Vec<Arc<Filed>>, Vec<Skipped>)> {
        let folder = self.records.as_deref()?;
        Some(found(folder, records(&[folder.to_owned()])))
    }

    fn riders(&self) -> Vec<String> {
        let Some(folder) = &self.riders else {
            return Vec::new();
        };
        let mut names: Vec<_> = yaml_files(folder).map(|path| id_of(&path)).collect();
        names.sort_by_cached_key(|name| (name.to_lowercase(), name.clone()));
        names.dedup();
        names
    }

    fn keeps(&self, what: Kept) -> bool {
        match what {
            Kept::Rider => self.riders.is_some(),
            Kept::Bike => self.frames.is_some(),
            Kept::Record => self.records.is_some(),
        }
    }

    fn keep_rider(&self, query: &Query, name: &str, replace: bool) -> Result<String, Unkept> {
        let flags = self.flags(query).map_err(Unkept::Slips)?;
        let on = flags.figures.options().on;
        let wrong = |error| Unkept::Slips(as_flags(error));
        flags.rider.rider(on).map_err(wrong)?;
        let text = flags.rider.text_to_keep(on, name).map_err(wrong)?;
        self.keep(Kept::Rider, (name, text), replace)
    }

    fn keep_text(
        &self,
        what: Kept,
        text: &str,
        name: &str,
        replace: bool,
    ) -> Result<String, Unkept> {
        self.keep(what, (name, text.to_owned()), replace)
    }
}

/// What a folder holds; a folder that cannot be read is said like a file.
fn found<T>(folder: &Path, found: Result<Found<T>, Error>) -> (Vec<T>, Vec<Skipped>) {
    match found {
        Ok(found) => (found.made, found.skipped),
        Err(error) => {
            let messages: Vec<_> = slips(error).into_iter().map(|slip| slip.message).collect();
            let skipped = Skipped {
                file: shown(folder),
                error: messages.join("; "),
            };
            (Vec::new(), vec![skipped])
        }
    }
}

/// The frame and rider files of a folder.
fn yaml_files(folder: &Path) -> impl Iterator<Item = PathBuf> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    entries.map(|entry| entry.path()).filter(|path| {
        let ending = path.extension().map(std::ffi::OsStr::to_string_lossy);
        ending.is_some_and(|ending| is_yaml(&ending)) && path.is_file()
    })
}

/// The file of a folder that goes by this name, as it is or as a kept file has it. The folder is looked through; the
/// name is never made into a path.
fn named(folder: &Path, name: &str) -> Option<PathBuf> {
    // Only blanks are other in a kept file's name than as they were typed: nothing else is guessed.
    with_id(folder, name).or_else(|| with_id(folder, &name.replace(' ', "-")))
}

/// A name with a number behind it, no longer than a name may be.
fn numbered(name: &str, count: usize) -> String {
    let number = format!("-{count}");
    let longest = LONGEST_NAME.saturating_sub(number.len());
    file_name(name, longest) + &number
}

/// The file of a folder whose name is this, without its ending.
fn with_id(folder: &Path, name: &str) -> Option<PathBuf> {
    let mut found: Vec<_> = yaml_files(folder)
        .filter(|path| id_of(path) == name)
        .collect();
    found.sort();
    found.into_iter().next()
}

/// A flag as the form calls its box.
fn box_title(flag: &str) -> String {
    match flag {
        "born" => "the date of birth".to_owned(),
        flag => format!("the {}", flag.replace('-', " ")),
    }
}

/// A usage error in the words that the command line has for it, without what belongs to a terminal only.
fn slip(flag: &str, error: clap::Error) -> Slip {
    let error = mistakes::clean(error);
    let own = std::error::Error::source(&error).map(ToString::to_string);
    let blamed = match error.get(ContextKind::InvalidArg) {
        Some(ContextValue::String(argument)) => argument
            .trim_start_matches('-')
            .split([' ', '='])
            .next()
            .unwrap_or_default()
            .to_owned(),
        _ => String::new(),
    };
    let rendered = error.render().to_string();
    // The other box, in the form's words.
    let other = match error.get(ContextKind::PriorArg) {
        Some(ContextValue::String(argument)) if error.kind() == ErrorKind::ArgumentConflict => {
            let name = argument.trim_start_matches('-').split(' ').next();
            name.map(|name| format!("leave one of the two empty, this or {}", box_title(name)))
        }
        _ => None,
    };
    // What belongs to another flag belongs to another box.
    let own = own.map(|own| own.replace("--born", &box_title("born")));
    let message = own.or(other).unwrap_or_else(|| {
        let lines = rendered
            .lines()
            .map(str::trim)
            .take_while(|line| !line.starts_with("Usage:"));
        let words: Vec<_> = lines.filter(|line| !line.is_empty()).collect();
        words.join("; ").trim_start_matches("error: ").to_owned()
    });
    Slip {
        field: if flag.is_empty() {
            blamed
        } else {
            flag.to_owned()
        },
        message: crate::words::clean(&message).into_owned(),
    }
}

/// Problems of files and values, each with its key.
fn slips(error: Error) -> Vec<Slip> {
    match error {
        Error::Input(problems) => problems
            .into_iter()
            .map(|problem| Slip {
                field: problem.key,
                message: crate::words::clean(&problem.message).into_owned(),
            })
            .collect(),
        Error::Output { .. } => vec![Slip {
            field: String::new(),
            message: error.to_string(),
        }],
    }
}

/// Problems of a file that a flag names, each with the file and its line.
fn in_file(flag: &str, error: crate::Error) -> Vec<Slip> {
    let problems = error.into_problems().into_iter();
    let slip = |problem: Problem| Slip {
        field: flag.to_owned(),
        message: crate::words::clean(&problem.to_string()).into_owned(),
    };
    problems.map(slip).collect()
}

/// Problems of a rider, each with the flag that its key has; those of a kept file with the file and its line.
fn as_flags(error: Error) -> Vec<Slip> {
    if let Error::Input(problems) = &error
        && problems.iter().any(|problem| problem.place.is_some())
    {
        return in_file("rider", crate::Error::Problems(problems.clone()));
    }
    let flag = |slip: Slip| Slip {
        field: slip.field.replace('_', "-"),
        ..slip
    };
    slips(error).into_iter().map(flag).collect()
}
