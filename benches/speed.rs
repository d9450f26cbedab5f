//! How long the parts take that a person waits for: one fit, one picture, one file, one rack, one answer of the page.
//! `cargo bench` runs all in a few minutes; figures are in the notes for developers.

use std::hint::black_box;
use std::sync::Arc;
use std::time::Duration;

#[path = "../tests/common/serve.rs"]
mod serve;

use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use inseam::advice::assign::assign;
use inseam::advice::book::Child;
use inseam::advice::handover::handover;
use inseam::advice::size::size;
use inseam::advice::window::window;
use inseam::bike::{Bike, library};
use inseam::file::Document;
use inseam::rider::draws::DRAWS;
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

/// Bikes of five figures with a tape, no two alike.
fn partial_rack(count: usize) -> Vec<Arc<Bike>> {
    (0..count)
        .map(|number| {
            let text = five_figures(number as f64 * 0.618_034 % 1.0 * 40.0);
            let id = format!("partial-{number}");
            Arc::new(library::read(&id, &Document::from_text(&*id, text)).expect("a bike"))
        })
        .collect()
}

/// A frame file of five figures, the saddle higher than usual by some millimetres.
fn five_figures(higher_mm: f64) -> String {
    format!(
        "{{name: Partial 24, style: trail, tyres: {{front: 54-507, rear: 54-507}}, cranks: {{length: 140}}, measured: {{bottom_bracket_height: 262, standover: 590, seat_height_lowest: {}, seat_height_highest: {}}}}}",
        620.0 + higher_mm,
        800.0 + higher_mm
    )
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
    let partial = || {
        let text = five_figures(0.0);
        library::read("partial", &Document::from_text("partial", text)).expect("a bike")
    };
    let spec = partial().spec;
    c.bench_function("complete a bike of five figures", |b| {
        b.iter_batched(
            || spec.clone(),
            |spec| Bike::new("partial", spec),
            BatchSize::SmallInput,
        );
    });
    c.bench_function("the layouts that a bike of five figures may have", |b| {
        b.iter_batched(
            partial,
            |bike| bike.doubt.as_ref().map(|doubt| doubt.layouts(DRAWS).len()),
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
    let bikes = partial_rack(1_000);
    group.bench_function("1000 bikes of five figures", |b| {
        b.iter(|| size(&rider, &bikes, Options::new(ON), || {}));
    });
    group.finish();
}

/// A morning's hand-out: children from 100 to 149 cm, and as many bikes.
fn a_book(c: &mut Criterion) {
    const COUNT: u16 = 50;
    let children: Vec<_> = (0..COUNT)
        .map(|number| {
            let text = format!("height: {}", 1000 + 10 * number);
            let file: RiderFile = Document::from_text("rider", text)
                .read()
                .expect("the rider reads");
            Child {
                id: format!("child-{number}"),
                rider: Arc::new(Rider::new(&file, ON).expect("the rider is one body")),
                is_namesake: false,
            }
        })
        .collect();
    let bikes = rack(COUNT.into());
    let mut group = c.benchmark_group("assign");
    group
        .sample_size(10)
        .measurement_time(Duration::from_secs(5));
    group.bench_function("50 children, 50 bikes", |b| {
        b.iter(|| assign(&children, &bikes, &[], Options::new(ON), || {}).is_ok());
    });
    group.finish();
}

/// What a tablet waits for, over loopback; a height each, so that no answer is one that was kept.
fn the_page(c: &mut Criterion) {
    let shop = serve::Served::start(&[]);
    let heights = std::cell::Cell::new(0_u32);
    let ask = |path: &str| {
        let number = heights.replace(heights.get() + 1);
        let child = format!("height={}&inseam=66cm", 1300 + number % 150);
        shop.get(&format!("{path}{child}")).body.len()
    };
    c.bench_function("page: the sample rack", |b| b.iter(|| ask("/size?")));
    c.bench_function("page: one bike with its picture", |b| {
        b.iter(|| ask("/fit?frame=trail-24&"));
    });
}

criterion_group! {
    name = speed;
    config = Criterion::default()
        .warm_up_time(Duration::from_millis(500))
        .measurement_time(Duration::from_secs(2));
    targets = one_pair, one_bike, racks, a_book, the_page
}
criterion_main!(speed);
