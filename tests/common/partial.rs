//! Files of partial bikes as a shop would write them: a sample's own figures, read off with noise from a seed, and the
//! prior of all the other samples. Nothing is checked in here.

use std::fmt::Write as _;
use std::sync::Arc;

use inseam::Bike;
use inseam::bike::spec::FrameSpec;
use inseam::bike::{Figure, Given, Prior, library};
use inseam::file::Document;

use Figure::{
    BottomBracketHeight as Bracket, Chainstay, EffectiveTopTube, FrontCentre, GripAhead,
    GripHeight, HeadAngle, SeatHeightHighest, SeatHeightLowest, SeatTubeAngle, Standover,
    Wheelbase,
};

/// Noise of tape and gauge, mm and degrees (common practice), and of a chart.
const TAPE: [f64; 2] = [3.0, 0.5];
const CHART_NOISE: [f64; 2] = [2.0, 0.3];
/// A seeded normal deviate: sums of twelve even ones, as in Knuth's Seminumerical Algorithms 3.4.1.
pub(crate) struct Dice(pub(crate) u64);

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
pub(crate) fn left_out() -> Vec<(Arc<Bike>, Prior)> {
    let all: Vec<_> = library::samples().collect();
    let others = |id: &str| {
        let others = all.iter().filter(|bike| bike.id != id);
        Prior::of(others.map(|bike| (&bike.spec, &bike.drawing)))
    };
    all.iter()
        .map(|bike| (Arc::clone(bike), others(&bike.id)))
        .collect()
}

pub(crate) fn truth(bike: &Bike) -> [f64; Figure::COUNT] {
    Figure::all_of(&bike.drawing, &bike.layout)
}

/// What is written in the file of a partial bike.
pub(crate) struct Partial<'a> {
    pub(crate) bike: &'a Bike,
    pub(crate) given: Given,
    pub(crate) figures: Vec<(Figure, f64)>,
}

impl<'a> Partial<'a> {
    /// The bike's own figures, read off with noise.
    pub(crate) fn read(bike: &'a Bike, given: Given, figures: &[Figure], dice: &mut Dice) -> Self {
        let truth = truth(bike);
        let figures = figures
            .iter()
            .map(|figure| {
                let noise = match given {
                    Given::Measured => TAPE,
                    Given::Published => CHART_NOISE,
                };
                let noise = noise[usize::from(figure.is_angle())];
                (*figure, truth[*figure as usize] + noise * dice.normal())
            })
            .collect();
        Self {
            bike,
            given,
            figures,
        }
    }

    pub(crate) fn text(&self) -> String {
        let spec = &self.bike.spec;
        let mut text = format!(
            "name: partial\nstyle: {}\ntyres: {{front: {}, rear: {}}}\n",
            spec.style, spec.tyres.front, spec.tyres.rear
        );
        let section = match self.given {
            Given::Measured => "measured",
            Given::Published => "published",
        };
        let _ = writeln!(text, "{section}:");
        for (figure, value) in &self.figures {
            let _ = writeln!(text, "  {}: {value}", figure.key());
        }
        if let Some(crank) = &self.bike.drawing.crank {
            let _ = writeln!(text, "cranks: {{length: {}}}", crank.length_mm);
        }
        text
    }

    pub(crate) fn spec(&self) -> FrameSpec {
        Document::from_text("partial", self.text())
            .read()
            .unwrap_or_else(|problems| panic!("{problems:?}\n{}", self.text()))
    }

    pub(crate) fn complete(&self, prior: &Prior) -> Bike {
        Bike::under(prior, "partial", self.spec())
            .unwrap_or_else(|why| panic!("{} {why:?}\n{}", self.bike.id, self.text()))
    }
}

pub(crate) const FIVE: &[Figure] = &[Bracket, SeatHeightLowest, SeatHeightHighest, Standover];
pub(crate) const WITH_GRIPS: &[Figure] = &[
    Bracket,
    SeatHeightLowest,
    SeatHeightHighest,
    Standover,
    GripHeight,
    GripAhead,
];
pub(crate) const TWELVE: &[Figure] = &[
    Bracket,
    SeatHeightLowest,
    SeatHeightHighest,
    Standover,
    GripHeight,
    GripAhead,
    FrontCentre,
    Chainstay,
    SeatTubeAngle,
    HeadAngle,
];
pub(crate) const CHART: &[Figure] = &[
    Chainstay,
    SeatTubeAngle,
    HeadAngle,
    Wheelbase,
    EffectiveTopTube,
    Standover,
    Bracket,
];
