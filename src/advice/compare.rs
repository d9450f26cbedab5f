//! Two bikes for one rider: what differs, by how much, and what that does to the ride.
//! Both fits come from the same checks as ever; a difference is a subtraction and a sentence.
//! How a comparison is laid out is `report::compare_text`.

use serde::Serialize;

use crate::bike::Bike;
use crate::fit::{Fit, Growth, Options, Verdict, assess};
use crate::rider::Rider;
use crate::rider::growth::HORIZON_MONTHS;
use crate::units::{Units, tidy};

/// Two bikes side by side.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// Name and version of this object's form.
    pub schema: &'static str,
    /// The rider on the first bike.
    pub a: Fit,
    /// The rider on the second bike.
    pub b: Fit,
    /// What was set side by side, in the order of reports.
    pub differences: Vec<Difference>,
}

/// One figure of both bikes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Difference {
    /// Snake case, named as the figure is elsewhere.
    pub name: &'static str,
    /// Of the first bike; None where it is not given, or does not exist.
    pub a: Option<f64>,
    /// Of the second bike.
    pub b: Option<f64>,
    /// Unit of the numbers.
    pub unit: Kind,
    /// What it does to the ride, in words.
    pub meaning: String,
    /// Whether a rider would notice.
    #[serde(skip)]
    pub size: Size,
}

/// How much a difference matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Size {
    /// A rider notices it, or it costs money.
    Matters,
    /// Too small to notice.
    Small,
    /// One of the figures is missing.
    Unknown,
}

/// What kind of number a difference is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Kind {
    /// Length.
    #[serde(rename = "mm")]
    Length,
    /// Angle.
    #[serde(rename = "deg")]
    Angle,
    /// Mass.
    #[serde(rename = "kg")]
    Mass,
    /// Months from now.
    #[serde(rename = "months")]
    Months,
    /// Money, in the currency of the frame files.
    #[serde(rename = "price")]
    Price,
    /// Money for each month in which the bike fits.
    #[serde(rename = "price_per_month")]
    PricePerMonth,
}

impl Kind {
    /// A number of this kind for people.
    pub fn show(self, value: f64, units: Units) -> String {
        match self {
            Self::Length => units.length(value),
            Self::Angle => format!("{}°", tidy(value, 0)),
            Self::Mass => format!("{} kg", tidy(value, 1)),
            Self::Months if (value - 1.0).abs() < 0.05 => "1 month".to_owned(),
            Self::Months if value < 2.95 => format!("{} months", tidy(value, 1)),
            Self::Months => format!("{} months", tidy(value, 0)),
            Self::Price => tidy(value, 2),
            Self::PricePerMonth => format!("{value:.2}"),
        }
    }
}

/// A figure that both bikes have, and what more of it does.
struct Row {
    name: &'static str,
    unit: Kind,
    /// Smallest difference that a rider notices: common practice of the trade.
    least: f64,
    value: fn(&Bike, &Fit) -> Option<f64>,
    /// Goes after the name of the bike with more of it and the amount.
    more: fn(more: &str, by: &str) -> String,
    /// Why a bike may have no such figure.
    without: &'static str,
}

const ROWS: [Row; 13] = [
    Row {
        name: "reach",
        unit: Kind::Length,
        least: 5.0,
        value: |bike, _| Some(bike.spec.frame.reach.mm()),
        more: |more, by| {
            format!(
                "{more} is {by} longer in front: more room when standing up, a longer stretch to the bar"
            )
        },
        without: "",
    },
    Row {
        name: "stack",
        unit: Kind::Length,
        least: 5.0,
        value: |bike, _| Some(bike.spec.frame.stack.mm()),
        more: |more, by| {
            format!(
                "{more} has the front end {by} higher: a more upright child before stem and bar are touched"
            )
        },
        without: "",
    },
    Row {
        name: "bar_above_saddle",
        unit: Kind::Length,
        least: 10.0,
        value: |bike, fit| {
            let saddle = fit.setting.seat_height_mm - bike.bottom_bracket_height_mm();
            Some(bike.points.grip.y - saddle)
        },
        more: |more, by| {
            format!(
                "{more} has the grips {by} higher against the saddle: easier to look ahead, less weight on the hands"
            )
        },
        without: "",
    },
    Row {
        name: "bar_ahead_of_saddle",
        unit: Kind::Length,
        least: 10.0,
        value: |bike, fit| Some(bike.points.grip.x - fit.pose.points.sit[0]),
        more: |more, by| {
            format!("{more} has the grips {by} further from the saddle: straighter arms, more lean")
        },
        without: "",
    },
    Row {
        name: "torso_lean",
        unit: Kind::Angle,
        least: 3.0,
        value: |_, fit| fit.pose.torso_lean_deg,
        more: |more, by| format!("{more} sits the child {by} more upright"),
        without: "bar out of reach",
    },
    Row {
        name: "standover",
        unit: Kind::Length,
        least: 10.0,
        value: |bike, _| bike.standover_mm,
        more: |more, by| {
            format!("{more} has the top tube {by} higher: less room when stopping astride it")
        },
        without: "needs frame.top_tube",
    },
    Row {
        name: "bottom_bracket_height",
        unit: Kind::Length,
        least: 8.0,
        // Without cranks it is a point of the drawing that no rider meets.
        value: |bike, _| (!bike.is_balance()).then(|| bike.bottom_bracket_height_mm()),
        more: |more, by| {
            format!(
                "{more} carries the cranks {by} higher: clears kerbs and roots better, but the ground is further from the saddle for the same leg"
            )
        },
        without: "no cranks",
    },
    Row {
        name: "wheelbase",
        unit: Kind::Length,
        least: 15.0,
        value: |bike, _| Some(bike.wheelbase_mm()),
        more: |more, by| {
            format!(
                "{more} is {by} longer from axle to axle: calmer at speed and on bumps, needs more room to turn"
            )
        },
        without: "",
    },
    Row {
        name: "front_centre",
        unit: Kind::Length,
        least: 10.0,
        value: |bike, _| Some(bike.front_centre_mm()),
        more: |more, by| {
            format!(
                "{more} has the front wheel {by} further ahead: more room for the toes, harder to tip over the bar"
            )
        },
        without: "",
    },
    Row {
        name: "trail",
        unit: Kind::Length,
        least: 5.0,
        value: |bike, _| Some(bike.trail_mm),
        more: |more, by| {
            format!(
                "{more} has {by} more trail: holds its line better at speed, turns more slowly and flops more at walking pace"
            )
        },
        without: "",
    },
    Row {
        name: "crank_length",
        unit: Kind::Length,
        least: 3.0,
        value: |bike, _| bike.spec.cranks.as_ref().map(|cranks| cranks.length.mm()),
        more: |more, by| {
            format!(
                "{more} has cranks {by} longer: knees bend further over the top and the feet go round more slowly"
            )
        },
        without: "no cranks",
    },
    Row {
        name: "weight",
        unit: Kind::Mass,
        least: 0.3,
        value: |bike, _| bike.spec.weight.map(crate::units::Mass::kg),
        more: |more, by| format!("{more} is {by} heavier: harder to start, to lift and to stop"),
        without: "needs weight",
    },
    Row {
        name: "price",
        unit: Kind::Price,
        least: 0.01,
        value: |bike, _| bike.spec.price,
        more: |more, by| format!("{more} costs {by} more"),
        without: "needs price",
    },
];

/// Sets two bikes side by side for one rider. Without an age there is today only.
///
/// # Example
/// ```
/// use inseam::{Options, Rider, advice::compare::compare, bike::library, rider::RiderFile, file::Document};
///
/// let file: RiderFile = Document::from_text("rider", "{height: 1280, inseam: 600, age: 8y, sex: girl}").read().unwrap();
/// let options = Options::new(jiff::civil::date(2026, 3, 1));
/// let rider = Rider::new(&file, options.on).unwrap();
/// let [a, b] = ["street-20", "street-24"].map(|id| library::sample(id).expect("a sample bike"));
/// let comparison = compare(&rider, &a, &b, &options);
/// let wheelbase = comparison.difference("wheelbase").unwrap();
/// assert!(wheelbase.b > wheelbase.a && wheelbase.meaning.starts_with("B is"));
/// ```
pub fn compare(rider: &Rider, a: &Bike, b: &Bike, options: &Options) -> Comparison {
    let fits = [a, b].map(|bike| assess(rider, bike, options));
    let mut differences: Vec<_> = ROWS
        .iter()
        .map(|row| row.difference([a, b], &fits, options.units))
        .collect();
    if let [Some(growth_a), Some(growth_b)] = fits.each_ref().map(|fit| fit.growth.as_ref()) {
        let growths = [growth_a, growth_b];
        let prices = [a, b].map(|bike| bike.spec.price);
        differences.push(first_month(growths));
        differences.push(last_month(growths));
        differences.push(price_per_month(growths, prices));
    }
    let [a, b] = fits;
    let mut comparison = Comparison {
        schema: "inseam/compare/1",
        a,
        b,
        differences,
    };
    comparison.weigh_against_rider(options.units);
    comparison
}

impl Row {
    fn difference(&self, bikes: [&Bike; 2], fits: &[Fit; 2], units: Units) -> Difference {
        let a = (self.value)(bikes[0], &fits[0]);
        let b = (self.value)(bikes[1], &fits[1]);
        let (meaning, size) = match more_of(a, b) {
            Some((_, by)) if by < self.least => (too_close(by), Size::Small),
            Some((more, by)) => ((self.more)(more, &self.unit.show(by, units)), Size::Matters),
            None => (missing(a, b, self.without), Size::Unknown),
        };
        Difference {
            name: self.name,
            a,
            b,
            unit: self.unit,
            meaning,
            size,
        }
    }
}

/// Which bike has more, and how much more.
fn more_of(a: Option<f64>, b: Option<f64>) -> Option<(&'static str, f64)> {
    let (a, b) = (a?, b?);
    Some((if a > b { "A" } else { "B" }, (a - b).abs()))
}

fn too_close(by: f64) -> String {
    // Below what any tape shows.
    const SAME: f64 = 0.05;
    if by < SAME {
        "the same".to_owned()
    } else {
        "too close to notice".to_owned()
    }
}

fn missing(a: Option<f64>, b: Option<f64>, why: &str) -> String {
    match (a, b) {
        (None, None) => format!("not compared, both: {why}"),
        (None, _) => format!("not compared, A: {why}"),
        (_, None) => format!("not compared, B: {why}"),
        (Some(_), Some(_)) => String::new(),
    }
}

/// Months that nobody plans by.
const MONTHS_THAT_MATTER: f64 = 1.0;

fn first_month(growths: [&Growth; 2]) -> Difference {
    let [a, b] = growths.map(|growth| growth.first_month.p50);
    let (meaning, size) = match (a, b) {
        (Some(a), Some(b)) => match more_of(Some(a), Some(b)) {
            Some((_, by)) if by < MONTHS_THAT_MATTER => (
                if a.max(b) <= 0.0 {
                    "both fit now".to_owned()
                } else {
                    too_close(by)
                },
                Size::Small,
            ),
            Some((later, by)) => (
                format!(
                    "{later} fits about {} later",
                    Kind::Months.show(by, Units::Mm)
                ),
                Size::Matters,
            ),
            None => (String::new(), Size::Unknown),
        },
        _ => (never(a.is_none(), b.is_none()), Size::Matters),
    };
    Difference {
        name: "first_month",
        a,
        b,
        unit: Kind::Months,
        meaning,
        size,
    }
}

fn never(a: bool, b: bool) -> String {
    match (a, b) {
        (true, true) => format!("neither fits in the {HORIZON_MONTHS} months to come"),
        (true, false) => format!("A does not fit in the {HORIZON_MONTHS} months to come"),
        _ => format!("B does not fit in the {HORIZON_MONTHS} months to come"),
    }
}

fn last_month(growths: [&Growth; 2]) -> Difference {
    let [a, b] = growths.map(|growth| growth.last_month.p50);
    let fits = growths.map(|growth| growth.first_month.p50.is_some());
    let (meaning, size) = match (a, b) {
        (Some(_), Some(_)) => match more_of(a, b) {
            Some((_, by)) if by < MONTHS_THAT_MATTER => (
                "both are outgrown at about the same time".to_owned(),
                Size::Small,
            ),
            Some((later, by)) => (
                format!(
                    "{later} is outgrown about {} later",
                    Kind::Months.show(by, Units::Mm)
                ),
                Size::Matters,
            ),
            None => (String::new(), Size::Unknown),
        },
        _ if fits != [true, true] => (never(!fits[0], !fits[1]), Size::Matters),
        (None, None) => (
            format!("both still fit in {HORIZON_MONTHS} months"),
            Size::Small,
        ),
        (None, _) => (
            format!("A still fits in {HORIZON_MONTHS} months"),
            Size::Matters,
        ),
        (_, None) => (
            format!("B still fits in {HORIZON_MONTHS} months"),
            Size::Matters,
        ),
    };
    Difference {
        name: "last_month",
        a,
        b,
        unit: Kind::Months,
        meaning,
        size,
    }
}

/// Months between the first and the last in which a bike fits; to the horizon where it fits beyond.
pub fn months_of_fit(growth: &Growth) -> Option<f64> {
    #[expect(clippy::cast_precision_loss, reason = "small whole number")]
    let horizon = HORIZON_MONTHS as f64;
    let first = growth.first_month.p50?;
    Some(growth.last_month.p50.unwrap_or(horizon) - first)
}

fn price_per_month(growths: [&Growth; 2], prices: [Option<f64>; 2]) -> Difference {
    let of = |bike: usize| {
        // A bike that is about to be outgrown is paid for by the month at least.
        let months = months_of_fit(growths[bike])?.max(1.0);
        Some(prices[bike]? / months)
    };
    let (a, b) = (of(0), of(1));
    let (mut meaning, size) = match more_of(a, b) {
        Some((_, by)) if by < 0.01 => (too_close(by), Size::Small),
        Some((more, by)) => (
            format!(
                "{more} costs {} more for each month in which it fits",
                Kind::PricePerMonth.show(by, Units::Mm)
            ),
            Size::Matters,
        ),
        None => {
            let why = |bike: usize| {
                if prices[bike].is_none() {
                    "needs price"
                } else {
                    "does not fit in the months to come"
                }
            };
            let missing_one = usize::from(a.is_some());
            (missing(a, b, why(missing_one)), Size::Unknown)
        }
    };
    for (name, growth) in ["A", "B"].into_iter().zip(growths) {
        if size != Size::Unknown && growth.last_month.p50.is_none() {
            meaning = format!("{meaning}; {name} counted to {HORIZON_MONTHS} months only");
        }
    }
    Difference {
        name: "price_per_month",
        a,
        b,
        unit: Kind::PricePerMonth,
        meaning,
        size,
    }
}

impl Comparison {
    /// One figure, by name.
    pub fn difference(&self, name: &str) -> Option<&Difference> {
        self.differences
            .iter()
            .find(|difference| difference.name == name)
    }

    /// Adds what the weights mean for this rider.
    fn weigh_against_rider(&mut self, units: Units) {
        let shares = [&self.a, &self.b].map(|fit| {
            let finding = fit.finding("bike_weight")?;
            Some(finding.unit.show(finding.value?, units))
        });
        let weight = self
            .differences
            .iter_mut()
            .find(|difference| difference.name == "weight" && difference.size == Size::Matters);
        if let (Some(weight), [Some(a), Some(b)]) = (weight, shares) {
            weight.meaning = format!(
                "{}; {a} of the rider's weight on A, {b} on B",
                weight.meaning
            );
        }
    }

    /// Whether nothing tells the two apart.
    pub fn is_same(&self) -> bool {
        let level = |difference: &Difference| match (difference.a, difference.b) {
            (Some(a), Some(b)) => (a - b).abs() < 1e-9,
            (a, b) => a == b,
        };
        self.differences.iter().all(level) && self.a.findings == self.b.findings
    }

    /// The one sentence to read.
    pub fn headline(&self) -> String {
        if self.is_same() {
            return format!(
                "by every figure compared A and B are the same bike: {}",
                verdict(&self.a)
            );
        }
        match (self.a.verdict.fits(), self.b.verdict.fits()) {
            (true, true) => {
                let last = self
                    .difference("last_month")
                    .map(|difference| format!("; {}", difference.meaning));
                format!("both fit today{}", last.unwrap_or_default())
            }
            (true, false) => format!("A fits today, B does not: {}", verdict(&self.b)),
            (false, true) => format!("B fits today, A does not: {}", verdict(&self.a)),
            (false, false) => format!(
                "neither fits today: A {}, B {}",
                verdict(&self.a),
                verdict(&self.b)
            ),
        }
    }
}

/// The verdict in words, and from when a bike that is still too big will fit.
fn verdict(fit: &Fit) -> String {
    let word = fit.verdict.meaning();
    let from = fit
        .growth
        .as_ref()
        .and_then(|growth| growth.first_month.p50)
        .filter(|_| fit.verdict == Verdict::TooBig)
        .map(|months| format!(", fits in about {}", Kind::Months.show(months, Units::Mm)));
    format!("{word}{}", from.unwrap_or_default())
}
