//! The shop-floor page: one more face of the same answers, an address for each command, a query for its flags.
//! `server` takes connections, `door` says who may ask, `screens` has one file a screen, `view` what they share.
//! Knows no flag and no file: a [`Counter`] reads questions and keeps what is saved.

mod door;
mod guard;
mod query;
mod screens;
mod server;
mod shop;
mod view;

use std::sync::Arc;

use crate::advice::book::Child;
use crate::advice::due::Days;
use crate::bike::Bike;
use crate::fit::{Options, Verdict};
use crate::record::Filed;
use crate::report::card::Paper;
use crate::report::contract::Skipped;
use jiff::civil::Date;

use crate::rider::{Rider, Stage};
use crate::units::Units;
use crate::words::choice;

pub use door::Door;
pub use query::Query;
pub use server::serve;

/// Whoever stands behind the counter: reads what an address asks with the command line's own flags, fetches bikes,
/// and keeps what the user saves. The page asks; it never looks into a folder itself.
pub trait Counter: Send + Sync + 'static {
    /// What a query asks.
    ///
    /// # Errors
    /// Everything that is wrong with it, in the command line's words, each with the flag that it belongs to.
    fn ask(&self, query: &Query) -> Result<Question, Vec<Slip>>;
    /// The bikes of the shop, in the order of a rack, and the files that could not be read.
    fn rack(&self) -> (Vec<Arc<Bike>>, Vec<Skipped>);
    /// One bike of the shop by its name, which is never taken for a path.
    ///
    /// # Errors
    /// When there is no such bike, or its file cannot be used.
    fn bike(&self, id: &str) -> Result<Arc<Bike>, Vec<Slip>>;
    /// A bike from the text of a frame file, as it would be read from the disk.
    ///
    /// # Errors
    /// Everything that is wrong with the text.
    fn read_bike(&self, id: &str, text: &str) -> Result<Bike, Vec<Slip>>;
    /// Bikes that could be had for whom the rack has none.
    fn market(&self) -> &[Arc<Bike>];
    /// The children of the shop's folder on a day, and the files that could not be read; None without a folder.
    fn children(&self, on: Date) -> Option<(Vec<Child>, Vec<Skipped>)>;
    /// The records of handovers, likewise.
    fn records(&self) -> Option<(Vec<Arc<Filed>>, Vec<Skipped>)>;
    /// Names of the riders that are kept.
    fn riders(&self) -> Vec<String>;
    /// Whether files of this kind can be kept: whether a folder was given.
    fn keeps(&self, what: Kept) -> bool;
    /// Keeps the rider of a query under a name that it makes safe; gives the name that it got. `replace` allows to
    /// replace one of that name.
    ///
    /// # Errors
    /// When nothing was kept, and why.
    fn keep_rider(&self, query: &Query, name: &str, replace: bool) -> Result<String, Unkept>;
    /// Keeps the text of a frame file or a record, likewise.
    ///
    /// # Errors
    /// When nothing was kept, and why.
    fn keep_text(
        &self,
        what: Kept,
        text: &str,
        name: &str,
        replace: bool,
    ) -> Result<String, Unkept>;
}

/// What can be kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kept {
    /// A rider file.
    Rider,
    /// A frame file.
    Bike,
    /// The record of a handover.
    Record,
}

impl Kept {
    /// What to call the file.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Rider => "rider file",
            Self::Bike => "frame file",
            Self::Record => "record",
        }
    }
}

/// Why nothing was kept.
#[derive(Debug)]
pub enum Unkept {
    /// There is one of this name already.
    Exists {
        /// The file.
        file: String,
        /// A name that is free.
        free: String,
    },
    /// What is asked to be kept cannot be used.
    Slips(Vec<Slip>),
    /// There is no folder for it, or it could not be written.
    Because(String),
}

/// What an address asks, read.
#[derive(Debug, Clone)]
pub struct Question {
    /// The rider, or why the figures do not make one.
    pub rider: Result<Arc<Rider>, Vec<Slip>>,
    /// The file that the rider was kept in, by its name.
    pub rider_file: Option<String>,
    /// Whether anything about a rider was said at all.
    pub says_rider: bool,
    /// Names of bikes.
    pub frames: Vec<String>,
    /// Day and exactness.
    pub options: Options,
    /// Length unit.
    pub units: Units,
    /// Stage of a rack's detailed table.
    pub stage: Stage,
    /// Only these verdicts.
    pub only: Vec<Verdict>,
    /// At most this many bikes.
    pub limit: Option<usize>,
    /// The days of which is asked what is due.
    pub days: Days,
    /// Form of the answer.
    pub format: Format,
    /// Paper of the card.
    pub paper: Paper,
    /// Name of the shop, on the card.
    pub shop: Option<String>,
    /// Heading of the list to hand out from.
    pub title: Option<String>,
    /// Number stamped on the frame, for record and build sheet.
    pub serial_number: Option<String>,
    /// Name of the technician, on the card.
    pub technician: Option<String>,
}

/// Something that cannot be used, beside the field that it was written in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slip {
    /// The flag; empty where no single one is to blame.
    pub field: String,
    /// What is wrong and what to write instead.
    pub message: String,
}

choice! {
    /// Form of an answer.
    pub enum Format = Page {
        /// For people, in a browser.
        Page = "text",
        /// The contract.
        Json = "json",
        /// For spreadsheets.
        Csv = "csv",
        /// The printed card, which goes with the bike.
        Card = "card",
        /// The printed build sheet, which stays at the stand.
        BuildSheet = "build-sheet",
        /// What was set, to be kept.
        Record = "record",
        /// The printed list of who gets which bike.
        List = "list",
        /// For calendars.
        Ics = "ics",
    }
}
