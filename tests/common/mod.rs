//! What the test files share: invented bikes, riders, children, landing on an edge.
//! Nothing is checked in here; every test file uses its part. The program, in memory and as a process, is `program`.
#![allow(
    dead_code,
    reason = "compiled into each test file, which uses its part"
)]

pub(crate) mod children;
pub(crate) mod contract;
pub(crate) mod course;
pub(crate) mod partial;
pub(crate) mod program;
pub(crate) mod random;

use std::sync::Arc;

use inseam::bike::{Bike, FrameSpec};
use inseam::file::Document;
use inseam::fit::{CheckId, Finding, Fit};
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

pub(crate) fn bike(spec: FrameSpec) -> Arc<Bike> {
    Arc::new(Bike::new("test", spec).unwrap_or_else(|wrong| panic!("{wrong:#?}")))
}

pub(crate) fn rider_file(text: &str) -> RiderFile {
    Document::from_text("rider.yaml", text)
        .read()
        .unwrap_or_else(|problems| panic!("{problems:#?}"))
}

pub(crate) fn rider(text: &str) -> Arc<Rider> {
    let rider = Rider::new(&rider_file(text), options().on);
    Arc::new(rider.unwrap_or_else(|wrong| panic!("{wrong:#?}")))
}

pub(crate) fn fit(rider: &Arc<Rider>, bike: &Arc<Bike>) -> Fit {
    assess(rider, bike, &options())
}

/// The finding of one check, which must have been made.
pub(crate) fn finding(fit: &Fit, check: CheckId) -> Finding {
    fit.finding(check)
        .unwrap_or_else(|| panic!("no finding `{}`", check.name()))
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
