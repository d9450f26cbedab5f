//! How long the parts take that a person waits for: one fit, one picture, one file, one rack.
//! `cargo bench` runs all in under two minutes; figures are in the notes for developers.

use std::hint::black_box;
use std::sync::Arc;
use std::time::Duration;

use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use inseam::advice::handover::handover;
use inseam::advice::size::size;
use inseam::advice::window::window;
use inseam::bike::{Bike, library};
use inseam::file::Document;
use inseam::rider::{Rider, RiderFile, Stage};
use inseam::units::Length;
use inseam::{Options, Units, assess, draw};
use jiff::civil::{Date, date};

const ON: Date = date(2026, 3, 1);
const RIDER: &str =
    "inseam: 660\nheight: 1380\narm_reach: 530\nage: 9y6m\nsex: girl\nweight: 32 kg\n";

fn rider() -> Arc<Rider> {
    let file: RiderFile = Document::from_text("rider", RIDER)
        .read()
        .expect("the rider reads");
    Arc::new(Rider::new(&file, ON).expect("the rider is one body"))
}

fn trail_24() -> Arc<Bike> {
    library::sample("trail-24").expect("a sample")
}

/// Bikes around the samples, no two alike: stack and reach move by up to ±12 mm.
fn rack(count: usize) -> Vec<Arc<Bike>> {
    let samples: Vec<_> = library::samples().collect();
    (0_u32..)
        .filter_map(|number| {
            let base = &samples[number as usize % samples.len()];
            let mut spec = base.spec.clone();
            // Golden-ratio steps spread evenly for any count.
            let moved = |step: f64| (f64::from(number) * step).fract().mul_add(24.0, -12.0);
            let frame = &mut spec.frame;
            frame.stack = frame
                .stack
                .map(|stack| Length::from_mm(stack.mm() + moved(0.618_034)));
            frame.reach = frame
                .reach
                .map(|reach| Length::from_mm(reach.mm() + moved(0.754_878)));
            spec.published = None;
            spec.fork.axle_to_crown = None;
            Bike::new(format!("bike-{number}"), spec).ok().map(Arc::new)
        })
        .take(count)
        .collect()
}

fn one_pair(c: &mut Criterion) {
    let (rider, bike) = (rider(), trail_24());
    let bare = Options::bare(ON);
    let chances = Options {
        exact: false,
        ..bare
    };
    let whole = Options::new(ON);
    let mut group = c.benchmark_group("fit");
    group.bench_function("bare", |b| {
        b.iter(|| assess(black_box(&rider), &bike, &bare));
    });
    group.bench_function("with chances", |b| {
        b.iter(|| assess(black_box(&rider), &bike, &chances));
    });
    group.bench_function("with chances and forecast", |b| {
        b.iter(|| assess(black_box(&rider), &bike, &whole));
    });
    group.finish();
    let fit = assess(&rider, &bike, &whole);
    c.bench_function("side view", |b| {
        b.iter(|| draw::side_view(black_box(&fit), Units::Mm));
    });
    c.bench_function("handover", |b| {
        b.iter(|| handover(black_box(&rider), &bike, &whole));
    });
}

fn one_bike(c: &mut Criterion) {
    let (id, text) = library::SAMPLES
        .iter()
        .find(|(id, _)| *id == "trail-24")
        .expect("a sample");
    c.bench_function("read a frame file", |b| {
        b.iter_batched(
            || Document::from_text(*id, *text),
            |document| library::read(id, &document),
            BatchSize::SmallInput,
        );
    });
    let bike = trail_24();
    c.bench_function("window of one bike", |b| {
        b.iter(|| window(black_box(&bike), Stage::Steady));
    });
}

fn racks(c: &mut Criterion) {
    let rider = rider();
    let mut group = c.benchmark_group("size");
    group
        .sample_size(10)
        .measurement_time(Duration::from_secs(10));
    for count in [1_000, 10_000] {
        let bikes = rack(count);
        group.bench_function(format!("{count} bikes"), |b| {
            b.iter(|| size(&rider, &bikes, Options::new(ON), || {}));
        });
    }
    group.finish();
}

criterion_group! {
    name = speed;
    config = Criterion::default()
        .warm_up_time(Duration::from_millis(500))
        .measurement_time(Duration::from_secs(2));
    targets = one_pair, one_bike, racks
}
criterion_main!(speed);
