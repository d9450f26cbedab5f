//! A record against the bike that it names: what was set and cannot be.
//! What a record tells against itself is `crate::record`; how one is written is `record`.

use crate::bike::Bike;
use crate::record::Record;
use crate::units::{Units, tidy};

/// What a record says was set that its bike cannot have: past the mark of its post, outside its tyres' printed range.
pub fn doubts(record: &Record, bike: &Bike, units: Units) -> Vec<String> {
    /// A tape is not read closer, mm.
    const TAPE_MM: f64 = 2.0;
    let (set, post, tyres) = (&record.as_set, &bike.layout.post, &bike.spec.tyres);
    let mut doubts = Vec::new();
    let knows = bike.knows_highest_saddle();
    let highest = [
        (
            "saddle_height_mm",
            set.saddle_height_mm,
            knows.then(|| post.saddle_height_mm(post.highest_mm)),
        ),
        (
            "seat_height_mm",
            set.seat_height_mm,
            knows.then(|| bike.layout.seat_height_mm(post.highest_mm)),
        ),
        (
            "exposed_post_mm",
            set.exposed_post_mm,
            (knows && bike.knows_post_showing()).then(|| post.exposed_post_mm(post.highest_mm)),
        ),
    ];
    for (key, set, most) in highest {
        if let Some((set, most)) = set.zip(most)
            && set > most + TAPE_MM
        {
            doubts.push(format!(
                "as_set.{key}: found {}; with the post at its mark {} has {}: measure again",
                units.length(set),
                bike.id,
                units.length_at_most(most)
            ));
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
    doubts
}
