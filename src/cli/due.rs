//! `inseam due`: what is to be done for the bikes that were handed out, and when.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use jiff::civil::Date;
use jiff::{Span, ToSpan as _};

use crate::advice::due::{Days, due};
use crate::cli::delivery::{Delivery, csv_error};
use crate::cli::frames::{Found, progress, yaml_files};
use crate::cli::kind::Kind;
use crate::cli::outcome::{Error, Outcome};
use crate::cli::paths::shown;
use crate::cli::{input, mistakes};
use crate::record::{Filed, Record};
use crate::report::terminal::Layout;
use crate::report::{contract, due_text, json};
use crate::units::Units;
use crate::words::{choice, clip};

/// What is due for the bikes that were handed out: bolts and cables, saddle raises, outgrown bikes, measuring
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  inseam due course/records --within 60d\n  inseam due course/records/*.yaml --within 1y --format ics"
)]
pub(super) struct Args {
    /// Records of handovers, or folders of them
    #[arg(value_name = "RECORD", required = true)]
    records: Vec<PathBuf>,
    /// How far ahead to look, from the later of today and the first day: 60d, 8w, 6m or 1y
    #[arg(long, value_name = "TIME", default_value = "60d", value_parser = within, allow_hyphen_values = true)]
    within: Span,
    /// The first day, where it is not today
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = mistakes::date)]
    since: Option<Date>,
    /// The day to count from, instead of today
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = mistakes::date)]
    on: Option<Date>,
    /// End with code 1 when a file cannot be read
    #[arg(long)]
    strict: bool,
    /// text, json, csv or ics
    #[arg(long, value_name = "FORMAT", default_value = "text", value_parser = input::word::<DueFormat>())]
    format: DueFormat,
    /// Length unit of words: mm, cm or in
    #[arg(long, value_name = "UNIT", default_value = "mm")]
    units: Units,
}

choice! {
    /// Form of a list of days on standard output.
    enum DueFormat {
        /// For people.
        Text = "text",
        /// For programs.
        Json = "json",
        /// For spreadsheets.
        Csv = "csv",
        /// For calendars.
        Ics = "ics",
    }
}

pub(super) fn run(args: &Args, columns: usize) -> Result<Delivery, Error> {
    let on = args.on.unwrap_or_else(input::today);
    let days = Days::new(on, args.since, args.within);
    let found = records(&args.records)?;
    let mut outcome = found.outcome();
    if args.strict && !found.skipped.is_empty() {
        outcome = Outcome::BadInput;
    }
    let (due, skipped, units) = (due(&found.made, days), found.skipped, args.units);
    let delivery = match args.format {
        DueFormat::Json => Delivery::stream(outcome, move |out| {
            json::write(out, &contract::due(&due, &skipped, units))
        }),
        DueFormat::Csv => Delivery::new(outcome, due_text::csv(&due, units).map_err(csv_error)?),
        DueFormat::Ics => Delivery::new(outcome, due_text::calendar(&due, units)),
        DueFormat::Text => {
            let layout = Layout { columns, units };
            Delivery::new(outcome, due_text::text(&due, &skipped, layout))
        }
    };
    Ok(delivery.with_notes(found.notes))
}

/// The records of these files and folders.
pub(super) fn records(paths: &[PathBuf]) -> Result<Found<Arc<Filed>>, Error> {
    let mut found = Found::new(Vec::new());
    let mut files = Vec::new();
    for path in paths {
        if path.is_dir() {
            let (mut inside, left_out) = yaml_files(path, "records")?;
            files.append(&mut inside);
            found.notes.extend(left_out);
        } else {
            files.push(path.clone());
        }
    }
    // By its name; by its path where another folder has the same.
    let mut alike: HashMap<_, usize> = HashMap::new();
    for path in &files {
        *alike.entry(path.file_name()).or_default() += 1;
    }
    let called = |path: &Path| match path.file_name() {
        name @ Some(file) if alike.get(&name) == Some(&1) => shown(Path::new(file)),
        _ => shown(path),
    };
    let bar = progress(files.len(), "reading");
    found.made = found.read_all(&files, &bar, &|path: &Path| {
        let document = input::open(path)?;
        if let Some(other) = Kind::Record.instead_of(path, &document) {
            return Err(other);
        }
        Ok(Arc::new(Filed {
            record: Record::read(&document)?,
            file: called(path),
        }))
    });
    bar.finish_and_clear();
    found.sum_up();
    Ok(found)
}

/// A time ahead: a whole number of days, weeks, months or years.
pub(super) fn within(text: &str) -> Result<Span, String> {
    /// Longest time ahead, in days, weeks, months and years.
    const MOST: [i64; 4] = [3660, 520, 120, 10];
    let wrong = || {
        format!(
            "`{}` is no time ahead; write days, weeks, months or years, at most ten years: 60d, 8w, 6m, 1y",
            clip(text)
        )
    };
    let text = text.trim();
    let unit = text.chars().last().ok_or_else(wrong)?;
    let number = text.strip_suffix(unit).unwrap_or_default().trim();
    let is_whole = !number.is_empty() && number.chars().all(|c| c.is_ascii_digit());
    let count: i64 = number.parse().map_err(|_| wrong())?;
    let [days, weeks, months, years] = MOST.map(|most| is_whole && count <= most);
    match unit {
        'd' if days => Ok(count.days()),
        'w' if weeks => Ok(count.weeks()),
        'm' if months => Ok(count.months()),
        'y' if years => Ok(count.years()),
        _ => Err(wrong()),
    }
}
