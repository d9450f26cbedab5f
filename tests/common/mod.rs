//! What the test files share: invented bikes, riders, the program run in memory, landing on an edge.
//! Nothing is checked in here; every test file uses its part.
#![allow(
    dead_code,
    reason = "compiled into each test file, which uses its part"
)]

pub(crate) mod random;

use std::ffi::OsString;
use std::path::Path;

use inseam::bike::{Bike, FrameSpec};
use inseam::cli::{Streams, run};
use inseam::file::Document;
use inseam::fit::{Finding, Fit};
use inseam::rider::{Rider, RiderFile};
use inseam::{Options, assess};

pub(crate) const TRAIL_24: &str = include_str!("../data/trail-24.yaml");
pub(crate) const TRAIL_26: &str = include_str!("../data/trail-26.yaml");
pub(crate) const STREET_16: &str = include_str!("../data/street-16.yaml");
pub(crate) const BALANCE_12: &str = include_str!("../data/balance-12.yaml");
/// A rider whom the trail 24 suits.
pub(crate) const RIDER: &str = "name: Rider A\ninseam: 660\nheight: 1380\narm_reach: 530\nage: 9y6m\nsex: girl\nweight: 32 kg\n";

pub(crate) fn options() -> Options {
    Options::bare(jiff::civil::date(2026, 3, 1))
}

pub(crate) fn spec(text: &str) -> FrameSpec {
    Document::from_text("frame.yaml", text)
        .read()
        .unwrap_or_else(|problems| panic!("{problems:#?}"))
}

pub(crate) fn bike(spec: FrameSpec) -> Bike {
    Bike::new("test", spec).unwrap_or_else(|wrong| panic!("{wrong:#?}"))
}

pub(crate) fn rider_file(text: &str) -> RiderFile {
    Document::from_text("rider.yaml", text)
        .read()
        .unwrap_or_else(|problems| panic!("{problems:#?}"))
}

pub(crate) fn rider(text: &str) -> Rider {
    Rider::new(&rider_file(text), options().on).unwrap_or_else(|wrong| panic!("{wrong:#?}"))
}

pub(crate) fn fit(rider: &Rider, bike: &Bike) -> Fit {
    assess(rider, bike, &options())
}

/// The finding of one check, which must have been made.
pub(crate) fn finding<'a>(fit: &'a Fit, check: &str) -> &'a Finding {
    fit.finding(check)
        .unwrap_or_else(|| panic!("no finding `{check}`"))
}

/// Where `measure` equals `target` between `low` and `high`, by bisection to the last bit.
pub(crate) fn land_on(target: f64, low: f64, high: f64, measure: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (low, high);
    let rises = measure(high) > measure(low);
    assert!(
        (measure(low) - target) * (measure(high) - target) <= 0.0,
        "{target} is not between {} and {}",
        measure(low),
        measure(high)
    );
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if (measure(middle) < target) == rises {
            low = middle;
        } else {
            high = middle;
        }
    }
    let found = f64::midpoint(low, high);
    let missed = (measure(found) - target).abs();
    assert!(missed < 1e-8, "landed {missed} beside {target}");
    found
}

/// What one run of the program left behind.
#[derive(Debug, PartialEq)]
pub(crate) struct Ran {
    pub(crate) status: u8,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Runs the program in memory, 80 columns, colours as written.
pub(crate) fn run_at(columns: usize, args: &[&str]) -> Ran {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let words = std::iter::once("inseam").chain(args.iter().copied());
    let status = run(
        words.map(OsString::from),
        &mut Streams {
            out: &mut out,
            err: &mut err,
            columns,
        },
    );
    let text = |bytes| String::from_utf8(bytes).expect("all output is UTF-8");
    Ran {
        status,
        out: text(out),
        err: text(err),
    }
}

/// The same with the colours taken out.
pub(crate) fn inseam(args: &[&str]) -> Ran {
    let ran = run_at(80, args);
    Ran {
        status: ran.status,
        out: anstream::adapter::strip_str(&ran.out).to_string(),
        err: anstream::adapter::strip_str(&ran.err).to_string(),
    }
}

/// Writes a file into a folder and gives its path as text.
pub(crate) fn file(folder: &Path, name: &str, bytes: impl AsRef<[u8]>) -> String {
    let path = folder.join(name);
    std::fs::write(&path, bytes).expect("the temporary folder is writable");
    path.to_str().expect("the path is UTF-8").to_owned()
}

/// Names of everything in a folder, sorted.
pub(crate) fn listing(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("the folder is there");
    let mut names: Vec<_> = entries
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    names.sort();
    names
}
