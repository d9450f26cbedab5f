//! The record of a handover as it is written: the order's figures as a tape and a gauge read them, rounded.
//! Nothing is worked out here; the keys, and how they are read back, are `crate::record`.

use crate::advice::handover::Handover;
use crate::bike::Bike;
use crate::record::{
    AsSet, AtMark, Due, FirstCheck, LastMonth, Month, Raises, Record, Schema, Whom,
};
use crate::rider::{Measured, Rider, RiderFile};
use crate::units::{Length, Mass};

impl Handover {
    /// What was set, at its figures; None for a pair that does not fit, since nothing is set for it.
    /// Without a rider file's name the rider's figures are kept.
    pub fn record(
        &self,
        serial_number: Option<&str>,
        by: Option<&str>,
        rider_file: Option<&str>,
    ) -> Option<Record> {
        let work = self.work.as_ref().ok()?;
        let (fit, set, visits) = (&self.fit, &work.saddle.setting, &work.visits);
        let text = |text: &str| {
            let clean = crate::words::clean(text).into_owned();
            (!clean.is_empty()).then_some(clean)
        };
        let mut raises: Vec<(Month, f64)> = Vec::new();
        for raise in &visits.raises {
            let (month, mm) = (Month::of(raise.date), tenth(raise.saddle_height_mm));
            match raises.last_mut() {
                Some((last, height)) if *last == month => *height = mm,
                _ => raises.push((month, mm)),
            }
        }
        let [p10, p50, p90] = visits.last_day.map(|day| day.map(Month::of));
        let spring = work.air_spring.as_ref().and_then(|spring| spring.start);
        Some(Record {
            schema: Schema::One,
            date: self.date,
            rider: rider_file
                .and_then(text)
                .map_or_else(|| Whom::Figures(Box::new(figures(&fit.rider))), Whom::File),
            rider_name: rider_file.and_then(|_| text(fit.rider.name.as_deref()?)),
            bike: text(&fit.bike.id).unwrap_or_else(|| fit.bike.spec.name.clone()),
            bike_name: text(&fit.bike.spec.name),
            serial_number: serial_number.and_then(text),
            as_set: AsSet {
                stage: Some(work.saddle.stage),
                saddle_height_mm: fit.pair().tabled_saddle_height_mm().map(tenth),
                seat_height_mm: Some(tenth(set.seat_height_mm)),
                exposed_post_mm: set.exposed_post_mm.map(tenth),
                lever_gap_mm: set.gaps.lever_gap_mm.map(tenth),
                front_lever_gap_mm: set.gaps.front_lever_gap_mm.map(tenth),
                rear_lever_gap_mm: set.gaps.rear_lever_gap_mm.map(tenth),
                front_bar: work.tyres.front.map(|set| hundredth(set.bar)),
                rear_bar: work.tyres.rear.map(|set| hundredth(set.bar)),
                air_spring_bar: spring.map(|set| hundredth(set.bar)),
            },
            at_mark: at_mark(&fit.bike),
            by: by.and_then(text),
            measured_on: Some(fit.rider.measured_on),
            left: None,
            due: Due {
                first_check: FirstCheck {
                    from: visits.first_check[0],
                    to: visits.first_check[1],
                    done: None,
                },
                raises: Raises(raises),
                last_month: (p10.is_some() || p50.is_some() || p90.is_some()).then_some(
                    LastMonth {
                        p10,
                        p50,
                        p90,
                        done: None,
                    },
                ),
                next_measuring: visits.next_measuring.map(Month::of),
            },
        })
    }
}

/// A rider's figures as a file has them: what was measured, none of what was estimated.
fn figures(rider: &Rider) -> RiderFile {
    let measured =
        |measured: Measured, is_estimated: bool| (!is_estimated).then_some(measured.tidied());
    RiderFile {
        name: rider.name.clone(),
        inseam: measured(rider.inseam, rider.estimated.inseam),
        height: measured(rider.height, rider.estimated.height),
        arm_reach: measured(rider.arm_reach, rider.estimated.arm_reach),
        age: rider.age,
        sex: rider.sex,
        weight: rider
            .weight
            .map(|weight| Mass::from_kg(hundredth(weight.kg()))),
        stage: Some(rider.stage),
        measured_by: Some(rider.measured_by),
        sole: Some(Length::from_mm(tenth(rider.sole_mm))),
        ..RiderFile::of_segments(rider.segments)
    }
}

/// The saddle with the post at its mark, as far as that is known. Never rounded up.
pub(super) fn at_mark(bike: &Bike) -> Option<AtMark> {
    // What is whole but for the last bits of a sum stays whole.
    let down = |mm: f64| (mm * 10.0 + 1e-6).floor() / 10.0;
    let (layout, post) = (&bike.layout, &bike.layout.post);
    let highest = post.highest_mm;
    let from_bracket = bike.is_balance() || !bike.tells_saddle_from_ground();
    bike.knows_highest_saddle().then(|| AtMark {
        saddle_height_mm: from_bracket.then(|| down(post.saddle_height_mm(highest))),
        seat_height_mm: Some(down(layout.seat_height_mm(highest))),
        exposed_post_mm: bike
            .knows_mark()
            .then(|| down(post.exposed_post_mm(highest))),
    })
}

/// As a tape is read: to 0.1 mm.
fn tenth(mm: f64) -> f64 {
    (mm * 10.0).round() / 10.0
}

/// As a gauge is set: to 0.01 bar.
fn hundredth(bar: f64) -> f64 {
    (bar * 100.0).round() / 100.0
}
