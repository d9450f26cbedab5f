//! Fits and sizes children's bicycles: one rider, one bike, one verdict.
//!
//! Everything starts from a tape measure and a frame file. This page walks one fit from both to the
//! picture; the program `inseam` does the same from a command line.
//!
//! # One fit, step by step
//!
//! A **bike** is read from a frame file, or taken from the samples that ship inside. Reading closes
//! the geometry: every point of the side view is placed, and a file that contradicts itself is
//! refused with every problem at its line and column.
//!
//! ```
//! use inseam::bike::library;
//!
//! let bike = library::sample("trail-24").expect("a sample bike");
//! assert_eq!(bike.wheelbase_mm().round(), 937.0);
//! ```
//!
//! A **rider** needs a height or an inseam; whatever else was measured makes the answer surer.
//! Plain numbers are millimetres, text takes a unit and, after `±`, its standard deviation.
//!
//! ```
//! use inseam::{Options, Rider, rider::RiderFile, file::Document};
//!
//! let options = Options::new(jiff::civil::date(2026, 3, 1));
//! let text = "{height: 138 cm, inseam: 66 cm ± 5 mm, arm_reach: 530, age: 9y6m, sex: girl}";
//! let file: RiderFile = Document::from_text("rider", text).read()?;
//! let rider = Rider::new(&file, options.on)?;
//! assert!(rider.warnings().is_empty());
//! # Ok::<(), inseam::Error>(())
//! ```
//!
//! Whatever can go wrong is one [`Error`], so that `?` will do. Problems of a file carry their line and
//! column; contradictions between values read elsewhere have none, until [`file::Document::place`]
//! puts them where they stand.
//!
//! [`assess`] puts the rider on the bike, runs every check, and says how sure the answer is. It is
//! pure: nothing is printed, and the same input gives the same [`Fit`] on every machine.
//!
//! ```
//! # use inseam::{Options, Rider, bike::library, rider::RiderFile, file::Document};
//! # let bike = library::sample("trail-24").expect("a sample bike");
//! # let options = Options::new(jiff::civil::date(2026, 3, 1));
//! # let text = "{height: 138 cm, inseam: 66 cm ± 5 mm, arm_reach: 530, age: 9y6m, sex: girl}";
//! # let file: RiderFile = Document::from_text("rider", text).read().unwrap();
//! # let rider = Rider::new(&file, options.on).unwrap();
//! use inseam::{Units, assess, draw};
//!
//! let fit = assess(&rider, &bike, &options);
//! assert_eq!(fit.verdict.word(), "set-up");
//!
//! // What to set, and why: the lever comes in for a small hand.
//! assert_eq!(fit.setting.saddle_height_mm.round(), 433.0);
//! let lever = fit.finding("brake_lever").expect("a bike with hand levers");
//! assert!(lever.advice.starts_with("draw the lever in 15 mm"));
//!
//! // For how long: months from the day of the fit until the bike is outgrown.
//! let growth = fit.growth.as_ref().expect("an age was given");
//! assert!(growth.last_month.p50 > Some(12.0));
//!
//! // And the drawing that goes with it.
//! assert!(draw::side_view(&bike, &fit, Units::Mm).starts_with("<svg"));
//! ```
//!
//! For one rider and many bikes, [`Assessor`] makes the rider's part once; `advice` holds what a
//! shop asks beyond one pair: a rack in order, a bike's window, two bikes compared, a handover.
//!
//! # The house
//!
//! Data climbs one staircase and never comes back down:
//! [`units`], [`words`] → [`plane`] → [`mod@file`] → [`bike`], [`rider`] → [`fit`], [`record`] → [`advice`] → [`draw`], [`report`] → [`cli`].
//!
//! # Caution
//!
//! Every figure is a starting value, not a safety certificate: the maker's manual, the marks printed
//! on the parts and local rules win. [`cautions`] goes with everything that tells someone what
//! to set.

pub mod advice;
pub mod bike;
pub mod cautions;
#[cfg(feature = "cli")]
pub mod cli;
pub mod draw;
pub mod file;
pub mod fit;
pub mod measured;
mod numeric;
#[cfg(feature = "page")]
pub mod page;
pub mod plane;
pub mod record;
pub mod report;
pub mod rider;
pub mod sources;
pub mod units;
pub mod words;

pub use bike::Bike;
pub use file::Error;
pub use fit::{Assessor, Fit, Options, assess};
pub use rider::Rider;
pub use units::Units;
