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
//! let bike = library::sample("trail-24").ok_or("no such sample")?;
//! assert_eq!(bike.layout.wheelbase_mm().round(), 937.0);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! A shop has a tape and no drawing: three keys make a bike, `measured:` figures make it surer, and
//! what nobody gave is assumed with its doubt ([`bike::complete`]).
//!
//! ```
//! use inseam::bike::library;
//! use inseam::file::Document;
//!
//! let text = "{name: Mine, style: trail, tyres: {front: 54-406, rear: 54-406}, measured: {standover: 21 1/2 in}}";
//! let mine = library::read("mine", &Document::from_text("mine.yaml", text))?;
//! assert!((mine.layout.standover_mm() - 546.1).abs() < 5.0);
//! assert!(mine.doubt.is_some_and(|doubt| !doubt.assumed.is_empty()));
//! # Ok::<(), inseam::Error>(())
//! ```
//!
//! A **rider** needs a height or an inseam; whatever else was measured makes the answer surer.
//! Plain numbers are millimetres, text takes a unit and, after `±`, its standard deviation.
//! Whatever can go wrong is one [`Error`], so that `?` will do. Problems of a file carry their line and
//! column; contradictions between values read elsewhere have none, until [`file::Document::place`]
//! puts them where they stand.
//!
//! [`assess()`] puts the rider on the bike, runs every check, and says how sure the answer is. It is
//! pure: nothing is printed, and the same input gives the same [`Fit`] on every machine. Facts only:
//! words are made late, in the units of whoever reads them.
//!
//! ```
//! use std::sync::Arc;
//!
//! use inseam::bike::library;
//! use inseam::file::Document;
//! use inseam::fit::{CheckId, Verdict};
//! use inseam::rider::RiderFile;
//! use inseam::{Options, Rider, Units, assess, draw, jiff};
//!
//! let options = Options::new(jiff::civil::date(2026, 3, 1));
//! let text = "{height: 54 1/2 in, inseam: 66 cm ± 5 mm, arm_reach: 530, age: 9y6m, sex: girl, weight: 70 lb}";
//! let file: RiderFile = Document::from_text("rider", text).read()?;
//! let rider = Arc::new(Rider::new(&file, options.on)?);
//! assert!(rider.warnings().is_empty());
//! let bike = library::sample("trail-24").ok_or("no such sample")?;
//!
//! let fit = assess(&rider, &bike, &options);
//! assert_eq!(fit.verdict, Verdict::Fits);
//!
//! // What to set, and why: the lever comes in for a small hand.
//! assert_eq!(fit.pair().setting().saddle_height_mm.round(), 433.0);
//! let lever = fit.finding(CheckId::BrakeLever).ok_or("a bike with hand levers")?;
//! assert!(fit.advice(&lever, Units::In).contains("draw the lever in"));
//!
//! // For how long: months from the day of the fit until the bike is outgrown.
//! let growth = fit.growth().ok_or("an age was given")?;
//! assert!(growth.last_month.p50 > Some(12.0));
//!
//! // And the drawing that goes with it.
//! assert!(draw::side_view(&fit, Units::In).svg.starts_with("<svg"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! The program draws the same: `inseam fit trail-24 --inseam 66cm --height 138cm` writes `out/trail-24.svg`.
//!
//! For one rider and many bikes, [`Assessor`] makes the rider's part once; `advice` holds what a
//! shop asks beyond one pair: a rack in order, a bike's window, two bikes compared, a handover, many children and
//! many bikes.
//!
//! # The house
//!
//! Data climbs one staircase and never comes back down:
//! [`words`], [`plane`], [`sources`], [`cautions`] → [`units`] → [`mod@file`] → [`measured`] → [`bike`], [`rider`] →
//! [`fit`], [`record`] → [`advice`] → [`draw`], [`report`] → `page`, [`cli`].
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
pub use jiff;
pub use rider::Rider;
pub use units::Units;
