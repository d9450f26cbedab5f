//! The sample bikes: the embedded list equals the folder, and every file is a bike that a shop could sell.
//! Limits are those of the standards named beside each; no sample may fail what needs no rider.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use inseam::Units;
use inseam::bike::{Bike, BrakeKind, Style, library};
use inseam::file::Document;
use inseam::units::Length;

fn samples() -> Vec<Arc<Bike>> {
    library::samples().collect()
}

#[test]
fn the_embedded_list_equals_the_folder() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("frames");
    let in_folder: BTreeSet<String> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "yaml"))
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    let embedded: BTreeSet<String> = library::SAMPLES
        .iter()
        .map(|(id, _)| (*id).to_owned())
        .collect();
    assert_eq!(embedded, in_folder);
    assert_eq!(embedded.len(), library::SAMPLES.len(), "a name twice");
    for (id, text) in library::SAMPLES {
        let path = folder.join(format!("{id}.yaml"));
        assert_eq!(*text, std::fs::read_to_string(path).unwrap(), "{id}");
    }
}

#[test]
fn every_sample_reads_and_says_that_it_is_invented() {
    assert!(library::SAMPLES.len() >= 16);
    for (id, text) in library::SAMPLES {
        let bike = library::read(id, &Document::from_text(*id, *text))
            .unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(bike.mismatches, [], "{id}");
        assert_eq!(bike.doubt, None, "{id}: nothing of a sample is guessed");
        let first = text.lines().next().unwrap();
        assert!(
            first.contains("Invented") && first.contains("no real product"),
            "{id}: {first}"
        );
    }
}

#[test]
fn samples_come_smallest_wheel_first() {
    let wheels: Vec<f64> = samples()
        .iter()
        .map(|bike| bike.spec.tyres.rear.bead_seat_mm)
        .collect();
    assert!(wheels.is_sorted(), "{wheels:?}");
}

#[test]
fn no_sample_fails_what_needs_no_rider() {
    for bike in samples() {
        let id = &bike.id;
        let spec = &bike.spec;
        if spec.cranks.is_some() {
            // 16 CFR 1512.17(c): 25 degrees; 1512.17(d) 89 mm, JIS D 9301:2019 5.6.2 100 mm for adult bikes.
            assert!(bike.layout.pedal_lean_deg.unwrap() >= 25.0, "{id}");
            if let Some(toe) = bike.layout.toe_clearance_mm {
                let adult = bike.layout.seat_height_mm(bike.layout.post.highest_mm) >= 750.0;
                assert!(toe >= if adult { 100.0 } else { 89.0 }, "{id}: {toe}");
            }
        }
        // 16 CFR 1512.6: bar ends at most 406 mm above the lowest seat.
        let lowest_seat = bike.layout.post.saddle_top(bike.layout.post.lowest_mm).y;
        assert!(bike.layout.points.grip.y - lowest_seat <= 406.0, "{id}");
        // 16 CFR 1512.15(b): the mark leaves two post diameters inside.
        let diameter = spec.frame.seat_tube.diameter.unwrap().mm();
        assert!(bike.drawing.minimum_insertion_mm >= 2.0 * diameter, "{id}");
        // ISO 8098, JIS D 9301:2019 5.2.2: 75 mm on children's bikes, reached by drawing the lever in.
        let brakes = spec.brakes.as_ref().unwrap();
        for reach in [&brakes.front, &brakes.rear]
            .into_iter()
            .filter_map(|brake| brake.reach.as_ref())
        {
            assert!(reach.min.mm() <= 75.0, "{id}");
        }
        // ISO 4210-2:2015 annex A (informative): steering axis 65 to 75 degrees, crossing the wheel's
        // vertical at 15 to 60 % of its radius (trail times the tangent of the head angle). Trail
        // bikes are built with more trail than that (common practice, `trail-24` among them).
        let head = bike.drawing.head_angle_deg;
        assert!((65.0..=75.0).contains(&head), "{id}: {head}");
        let crossing =
            bike.layout.trail_mm * head.to_radians().tan() / bike.layout.wheel_radius_front_mm;
        let most = if spec.style == Style::Trail {
            0.75
        } else {
            0.60
        };
        assert!((0.15..=most).contains(&crossing), "{id}: {crossing}");
    }
}

#[test]
fn a_mechanic_would_believe_the_samples() {
    for bike in samples() {
        let id = &bike.id;
        let spec = &bike.spec;
        // Common practice: the post goes no deeper than the tube is long.
        let drawing = &bike.drawing;
        assert!(
            drawing.seat_tube_usable_depth_mm <= drawing.seat_tube_length_mm,
            "{id}"
        );
        let weight = spec.weight.unwrap().kg();
        let heaviest = 2.5 + 0.021 * spec.tyres.rear.bead_seat_mm;
        assert!(
            weight > 2.5 && weight <= heaviest.max(8.0),
            "{id}: {weight} kg"
        );
        assert!(spec.price.is_some_and(|price| price > 50.0), "{id}");
        // Cranks seen by wheel on the market (common practice, partly from memory).
        let cranks = drawing.crank.map(|crank| crank.length_mm);
        let seen = match spec.tyres.rear.bead_seat_mm {
            203.0 | 254.0 => 89.0..=102.0,
            305.0 => 95.0..=115.0,
            406.0 => 110.0..=140.0,
            507.0 => 132.0..=155.0,
            559.0 => 145.0..=165.0,
            _ => 155.0..=170.0,
        };
        assert!(cranks.is_none_or(|length| seen.contains(&length)), "{id}");
        // Clearance above the tyre for crown and dirt: at least 15 mm between crown race and tread.
        let under_crown = spec.fork.axle_to_crown.map(Length::mm);
        assert!(
            under_crown.is_none_or(|length| length >= bike.layout.wheel_radius_front_mm + 15.0),
            "{id}"
        );
        let (low, high) = (spec.tyres.min_pressure, spec.tyres.max_pressure);
        assert!(low.unwrap().bar() < high.unwrap().bar(), "{id}");
    }
}

#[test]
fn the_rack_holds_every_kind_of_bike() {
    let all = samples();
    let any = |what: &str, is: &dyn Fn(&Bike) -> bool| {
        assert!(all.iter().any(|bike| is(bike)), "{what}");
    };
    any("without cranks", &|bike| bike.is_balance());
    any("a coaster brake and no lever", &|bike| {
        let brakes = bike.spec.brakes.as_ref().unwrap();
        brakes.rear.kind == BrakeKind::Coaster && brakes.front.kind == BrakeKind::None
    });
    any("mixed wheels", &|bike| {
        (bike.layout.wheel_radius_front_mm - bike.layout.wheel_radius_rear_mm).abs() > 20.0
    });
    any("a seat tube that misses the bottom bracket", &|bike| {
        bike.drawing.seat_tube_offset_mm.abs() > 10.0
    });
    any("an air spring with its pressures", &|bike| {
        matches!(bike.spec.fork.air_spring, inseam::file::Toggle::Detailed(_))
    });
    any("a small adult's wheel", &|bike| {
        (bike.spec.tyres.rear.bead_seat_mm - 584.0).abs() < 0.5
    });
}

#[test]
fn published_figures_that_contradict_the_geometry_are_named_with_both_numbers() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/contradictory-20.yaml");
    let document = Document::open(&path).unwrap();
    let bike = library::read("contradictory-20", &document).unwrap();
    assert_eq!(bike.mismatches.len(), 2, "{:?}", bike.mismatches);
    let warnings: Vec<_> = bike
        .mismatches
        .iter()
        .map(|found| found.words(Units::Mm))
        .collect();
    for (warning, key, published, computed) in [
        (&warnings[1], "wheelbase", 890.0, bike.layout.wheelbase_mm()),
        (&warnings[0], "standover", 560.0, bike.layout.standover_mm()),
    ] {
        assert!(warning.contains(key), "{warning}");
        assert!(warning.contains(&format!("{published:.0} mm")), "{warning}");
        assert!(warning.contains(&format!("{computed:.0} mm")), "{warning}");
    }
}
