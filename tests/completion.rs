//! A bike from what there is: how near a partial file comes to the true bike, and whether it names a wrong figure.
//! Every sample is left out of the prior that completes it; tape noise is drawn from a seed.

use std::sync::Arc;

use inseam::Bike;
use inseam::bike::{Figure, Given, Prior, library};
use inseam::bike::figure::Figures;
use inseam::bike::spec::FrameSpec;
use inseam::yaml::Document;

/// Tape and gauge noise, mm and degrees: common practice.
const TAPE: [f64; 2] = [3.0, 0.5];
const REPEATS: usize = 20;

/// A seeded normal deviate: sums of twelve even ones, as in Knuth's Seminumerical Algorithms 3.4.1.
struct Dice(u64);

impl Dice {
    fn even(&mut self) -> f64 {
        // SplitMix64, Steele, Lea, Flood 2014.
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / 9_007_199_254_740_992.0
    }
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.even()).sum::<f64>() - 6.0
    }
}

/// The samples, each with the prior of all the others.
fn left_out() -> Vec<(Arc<Bike>, Prior)> {
    let all: Vec<_> = library::samples().collect();
    let others = |id: &str| Prior::of(all.iter().filter(|bike| bike.id != id).map(AsRef::as_ref));
    all.iter().map(|bike| (Arc::clone(bike), others(&bike.id))).collect()
}

fn truth(bike: &Bike) -> [f64; Figure::COUNT] {
    Figure::all_of(&bike.drawing, &bike.layout)
}

/// What is written in the file of a partial bike.
struct Partial<'a> {
    bike: &'a Bike,
    given: Given,
    figures: Vec<(Figure, f64)>,
    has_crank: bool,
}

impl<'a> Partial<'a> {
    /// The bike's own figures, read off with noise.
    fn read(bike: &'a Bike, given: Given, figures: &[Figure], dice: &mut Dice) -> Self {
        let truth = truth(bike);
        let figures = figures
            .iter()
            .map(|figure| {
                let noise = if given == Given::Measured { TAPE } else { [2.0, 0.3] };
                let noise = noise[usize::from(figure.is_angle())];
                (*figure, truth[*figure as usize] + noise * dice.normal())
            })
            .collect();
        Self { bike, given, figures, has_crank: true }
    }

    fn text(&self) -> String {
        let spec = &self.bike.spec;
        let mut text = format!(
            "name: partial\nstyle: {}\ntyres: {{front: {}, rear: {}}}\n",
            spec.style, spec.tyres.front, spec.tyres.rear
        );
        let section = match self.given {
            Given::Measured => "measured",
            Given::Published => "published",
        };
        text += &format!("{section}:\n");
        for (figure, value) in &self.figures {
            text += &format!("  {}: {value}\n", figure.key());
        }
        if let (Some(crank), true) = (&self.bike.drawing.crank, self.has_crank) {
            text += &format!("cranks: {{length: {}}}\n", crank.length_mm);
        }
        text
    }

    fn spec(&self) -> FrameSpec {
        Document::from_text("partial", self.text()).read().unwrap_or_else(|problems| panic!("{problems:?}\n{}", self.text()))
    }

    fn complete(&self, prior: &Prior) -> Bike {
        Bike::under(prior, "partial", self.spec()).unwrap_or_else(|why| panic!("{} {why:?}\n{}", self.bike.id, self.text()))
    }
}

use Figure::{
    BottomBracketHeight as Bracket, Chainstay, EffectiveTopTube, FrontCentre, GripAhead, GripHeight, HeadAngle,
    SaddleHeightHighest, SaddleHeightLowest, SeatHeightHighest, SeatHeightLowest, SeatTubeAngle, Standover, Wheelbase,
};

const FIVE: &[Figure] = &[Bracket, SeatHeightLowest, SeatHeightHighest, Standover];
const WITH_GRIPS: &[Figure] = &[Bracket, SeatHeightLowest, SeatHeightHighest, Standover, GripHeight, GripAhead];
const TWELVE: &[Figure] = &[
    Bracket, SeatHeightLowest, SeatHeightHighest, Standover, GripHeight, GripAhead, FrontCentre, Chainstay,
    SeatTubeAngle, HeadAngle,
];
const CHART: &[Figure] = &[Chainstay, SeatTubeAngle, HeadAngle, Wheelbase, EffectiveTopTube, Standover, Bracket];
const ALL_MEASURED: &[Figure] = &[
    Bracket, SeatHeightLowest, SeatHeightHighest, Standover, GripHeight, GripAhead, FrontCentre, Chainstay, Wheelbase,
    SeatTubeAngle, HeadAngle,
];
const WATCHED: &[Figure] = &[
    Bracket, SeatHeightLowest, SeatHeightHighest, SaddleHeightLowest, SaddleHeightHighest, Standover, GripHeight,
    GripAhead, FrontCentre, Chainstay, Wheelbase, SeatTubeAngle, HeadAngle,
];

/// Root mean square error and one-sigma coverage, by figure.
fn study(given: Given, figures: &[Figure], pick: impl Fn(&Bike) -> bool) -> Vec<(Figure, f64, f64, f64)> {
    let mut sums = vec![(0.0, 0.0, 0.0, 0.0); WATCHED.len()];
    for (bike, prior) in left_out().iter().filter(|(bike, _)| pick(bike)) {
        let truth = truth(bike);
        for repeat in 0..REPEATS {
            let mut dice = Dice(repeat as u64);
            let made = Partial::read(bike, given, figures, &mut dice).complete(prior);
            let doubt = made.doubt.as_ref().expect("a partial file leaves doubt");
            for (sum, figure) in sums.iter_mut().zip(WATCHED) {
                let error = figure.of(&made.drawing, &made.layout) - truth[*figure as usize];
                let sd = doubt.sd(*figure);
                sum.0 += error * error;
                sum.1 += f64::from(u8::from(error.abs() <= sd));
                sum.2 += sd * sd;
                sum.3 += 1.0;
            }
        }
    }
    WATCHED.iter().zip(sums).map(|(f, (s, c, v, n))| (*f, f64::sqrt(s / n), c / n, f64::sqrt(v / n))).collect()
}

#[test]
#[ignore]
fn print() {
    for (name, pick) in [("pedals", false), ("balance", true)] {
        for (kind, given, figures) in [("five", Given::Measured, FIVE), ("grips", Given::Measured, WITH_GRIPS), ("twelve", Given::Measured, TWELVE), ("chart", Given::Published, CHART)] {
            let rows = study(given, figures, |bike| bike.is_balance() == pick);
            let mean = rows.iter().map(|r| r.2).sum::<f64>() / rows.len() as f64;
            println!("{name} {kind} coverage {mean:.2}: {}", rows.iter().map(|(f, e, c, s)| format!("{} {e:.1}/{s:.1}({:.0})", f.key().replace("height","h").replace("saddle","sdl"), c * 100.0)).collect::<Vec<_>>().join(" "));
        }
    }
    let (hits, total) = accused();
    println!("accused {hits}/{total}");
    for (mm, figures) in [(100.0, ALL_MEASURED), (50.0, SEVEN), (20.0, LOOP)] {
        for figure in figures {
            let (named, all_three, accused, total) = wrong(*figure, mm);
            println!("{mm} {} named {:.2} three {:.2} accused {:.2} of {total}", figure.key(), named, all_three, accused);
        }
    }
    let bike = library::sample("trail-24").unwrap();
    let spec = Partial::read(&bike, Given::Measured, TWELVE, &mut Dice(1)).spec();
    let start = std::time::Instant::now();
    for _ in 0..100 { std::hint::black_box(Bike::new("x", spec.clone()).unwrap()); }
    println!("complete {:?}", start.elapsed() / 100);
    let made = Bike::new("x", spec.clone()).unwrap();
    let start = std::time::Instant::now();
    for _ in 0..10 { std::hint::black_box(made.doubt.as_ref().unwrap().layouts(1024)); }
    println!("layouts {:?} {}", start.elapsed() / 10, size_of::<inseam::bike::Layout>());
    let mut spec = spec;
    let cranks = spec.cranks.as_mut().unwrap();
    cranks.q_factor = Some(inseam::units::Length::from_mm(160.0));
    cranks.pedal_width = Some(inseam::units::Length::from_mm(85.0));
    let made = Bike::new("x", spec.clone()).unwrap();
    let start = std::time::Instant::now();
    for _ in 0..10 { std::hint::black_box(made.doubt.as_ref().unwrap().layouts(1024)); }
    println!("layouts with toe {:?}", start.elapsed() / 10);
}

const SEVEN: &[Figure] = &[Bracket, SeatHeightLowest, SeatHeightHighest, GripAhead, FrontCentre, Chainstay, Wheelbase];
const LOOP: &[Figure] = &[Wheelbase, FrontCentre, Chainstay];

fn accused() -> (usize, usize) {
    let mut hits = 0;
    let mut total = 0;
    for (bike, prior) in &left_out() {
        for repeat in 0..REPEATS {
            let made = Partial::read(bike, Given::Measured, ALL_MEASURED, &mut Dice(1000 + repeat as u64)).complete(prior);
            hits += usize::from(made.doubt.unwrap().quarrel.is_some());
            total += 1;
        }
    }
    (hits, total)
}

/// How often a figure that is wrong by `mm` (degrees: a tenth) is among the two named, among the three, or anything is named.
fn wrong(figure: Figure, off: f64) -> (f64, f64, f64, usize) {
    let off = if figure.is_angle() { off / 10.0 } else { off };
    let (mut named, mut three, mut any, mut total) = (0.0, 0.0, 0.0, 0);
    for (bike, prior) in &left_out() {
        for repeat in 0..REPEATS {
            let mut partial = Partial::read(bike, Given::Measured, ALL_MEASURED, &mut Dice(2000 + repeat as u64));
            for (given, value) in &mut partial.figures {
                if *given == figure {
                    *value += if repeat % 2 == 0 { off } else { -off };
                }
            }
            if !figure.range().contains(&partial.figures.iter().find(|(given, _)| *given == figure).unwrap().1) { continue; }
            total += 1;
            let path = figure.path(Given::Measured);
            match Bike::under(prior, "wrong", partial.spec()) {
                Ok(made) => if let Some(quarrel) = made.doubt.unwrap().quarrel {
                    any += 1.0;
                    if quarrel.path == path || quarrel.tied[0] == Some(path) { named += 1.0; }
                    if quarrel.path == path || quarrel.tied.contains(&Some(path)) { three += 1.0; }
                },
                Err(why) => {
                    any += 1.0;
                    let all = why.iter().map(|c| format!("{} {}", c.key, c.message)).collect::<String>();
                    if why[0].key == path || all.contains(figure.key()) { named += 1.0; three += 1.0; }
                }
            }
        }
    }
    (named / total as f64, three / total as f64, any / total as f64, total)
}
