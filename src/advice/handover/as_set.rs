//! A record against the bike that it names: what was set and cannot be.
//! What a record tells against itself is `crate::record`; how one is written is `record`.

use crate::advice::handover::record::at_mark;
use crate::bike::Bike;
use crate::record::{Record, TAPE_MM};
use crate::units::{Units, tidy};

/// What a record says was set that its bike cannot have: past the mark of its post, outside its tyres' printed range
/// or its levers'.
pub fn doubts(record: &Record, bike: &Bike, units: Units) -> Vec<String> {
    let (set, tyres) = (&record.as_set, &bike.spec.tyres);
    let mut doubts = Vec::new();
    // Told by the record itself where it keeps the mark.
    if let Some(mark) = at_mark(bike).filter(|_| record.at_mark.is_none()) {
        if let Some(past) = mark.passed_by(set) {
            doubts.push(format!("as_set.{}: {}", past.key, past.words(units)));
        }
        if let Some(odd) = mark.passed_by_raise(record) {
            doubts.push(format!("{}: {}", odd.key(), odd.words(units)));
        }
    }
    for (key, bar) in [("front_bar", set.front_bar), ("rear_bar", set.rear_bar)] {
        let range = tyres.min_pressure.zip(tyres.max_pressure);
        if let Some((bar, (least, most))) = bar.zip(range)
            && !(least.bar()..=most.bar()).contains(&bar)
        {
            doubts.push(format!(
                "as_set.{key}: found {bar} bar; printed on the tyres of {} is {} to {} bar",
                bike.id,
                tidy(least.bar(), 2),
                tidy(most.bar(), 2)
            ));
        }
    }
    let brakes = bike.spec.brakes.as_ref();
    let front = brakes.and_then(|brakes| brakes.front.reach.as_ref());
    let rear = brakes.and_then(|brakes| brakes.rear.reach.as_ref());
    let unlike = rear.filter(|rear| front != Some(*rear));
    let gaps = [
        ("lever_gap_mm", "front", set.lever_gap_mm, front),
        ("lever_gap_mm", "rear", set.lever_gap_mm, unlike),
        ("front_lever_gap_mm", "front", set.front_lever_gap_mm, front),
        ("rear_lever_gap_mm", "rear", set.rear_lever_gap_mm, rear),
    ];
    for (key, wheel, gap, reach) in gaps {
        if let Some((mm, reach)) = gap.zip(reach)
            && !(reach.min.mm() - TAPE_MM..=reach.max.mm() + TAPE_MM).contains(&mm)
        {
            doubts.push(format!(
                "as_set.{key}: found {}; the {wheel} lever of {} goes from {} to {}",
                units.length(mm),
                bike.id,
                units.bare(reach.min.mm()),
                units.length(reach.max.mm())
            ));
        }
    }
    doubts
}
