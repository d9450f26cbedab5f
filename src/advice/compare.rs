//! Two bikes for one rider: what differs, by how much, and what that does to the ride.
//! Both fits come from the same checks as ever; a difference is a subtraction and, when asked, a sentence.
//! How a comparison is laid out is `report`'s business.

use std::sync::Arc;

use crate::advice::stop::{Stop, saddle_from_where, saddle_to_try};
use crate::advice::window::{Window, window};
use crate::bike::{Bike, BrakeKind, Figure as Known};
use crate::fit::bike_doubt::assumed;
use crate::fit::checks::CheckId;
use crate::fit::{Assessor, Fit, Growth, Options, Status};
use crate::rider::Rider;
use crate::rider::growth::HORIZON_MONTHS;
use crate::units::{Units, tidy};
use crate::words::key_in_words;

/// Two bikes side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// The rider on the first and on the second bike.
    pub fits: [Fit; 2],
    /// The riders whom each fits at the rider's stage.
    pub windows: [Option<Window>; 2],
    /// What was set side by side, in the order of reports.
    pub differences: Vec<Difference>,
    /// What each has, which no figure tells.
    pub equipment: [Equipment; 2],
}

/// What the bikes have of something, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Equipment {
    /// Snake case.
    pub name: &'static str,
    /// Of the first and of the second bike; None where the file does not say.
    pub values: [Option<String>; 2],
    /// What the difference does, or what is missing.
    pub meaning: String,
}

impl Equipment {
    /// How much it matters.
    pub fn size(&self) -> Size {
        match &self.values {
            [Some(first), Some(second)] if first == second => Size::Small,
            [Some(_), Some(_)] => Size::Matters,
            _ => Size::Unknown,
        }
    }

    /// What either bike has, in words.
    pub fn shown(&self) -> [&str; 2] {
        self.values
            .each_ref()
            .map(|value| value.as_deref().unwrap_or(NOT_SAID))
    }

    fn pedals(bikes: [&Bike; 2], names: &[String; 2]) -> Self {
        let has = bikes.map(|bike| !bike.is_balance());
        let meaning = match has {
            [true, true] => "both have pedals".to_owned(),
            [false, false] => "neither has pedals".to_owned(),
            [first, _] => {
                let [with, without] = if first { [0, 1] } else { [1, 0] };
                format!(
                    "{} is pedalled, {} is pushed along with the feet",
                    names[with], names[without]
                )
            }
        };
        Self {
            name: "pedals",
            values: has.map(|has| Some(if has { "pedals" } else { "none" }.to_owned())),
            meaning,
        }
    }

    fn brakes(bikes: [&Bike; 2], names: &[String; 2]) -> Self {
        let kinds = bikes.map(|bike| {
            let brakes = bike.spec.brakes.as_ref()?;
            Some([brakes.front.kind, brakes.rear.kind])
        });
        let values = kinds.map(|kinds| {
            Some(match kinds? {
                [BrakeKind::None, BrakeKind::None] => "none".to_owned(),
                [front, rear] => format!("front {front}, rear {rear}"),
            })
        });
        let meaning = match kinds {
            [Some(first), Some(second)] if first == second => "the same on either wheel".to_owned(),
            [Some([front, rear]), Some(other)] => {
                let wheels = [("front", [front, other[0]]), ("rear", [rear, other[1]])];
                let said = wheels.map(|(wheel, kinds)| braked(wheel, kinds, names));
                said.into_iter().flatten().collect::<Vec<_>>().join("; ")
            }
            _ => {
                let said = |((name, value), bike): ((&String, &Option<String>), &Bike)| match value
                {
                    Some(value) => format!("{name}: {value}"),
                    None => format!("{name}: {NOT_SAID}, needs {}", bike.wants("brakes")),
                };
                let said = names.iter().zip(&values).zip(bikes).map(said);
                said.collect::<Vec<_>>().join("; ")
            }
        };
        Self {
            name: "brakes",
            values,
            meaning,
        }
    }
}

/// Of what a file does not say.
const NOT_SAID: &str = "not said";

/// How two bikes differ in the brake on one wheel; None where they do not.
fn braked(wheel: &str, kinds: [BrakeKind; 2], names: &[String; 2]) -> Option<String> {
    let [first, second] = kinds;
    if first == second {
        return None;
    }
    if let Some(bare) = kinds.iter().position(|kind| *kind == BrakeKind::None) {
        return Some(format!("{} has no {wheel} brake", names[bare]));
    }
    let [coaster, hand] = if first == BrakeKind::Coaster {
        [0, 1]
    } else {
        [1, 0]
    };
    Some(format!(
        "{} brakes its {wheel} wheel by pedalling backwards, {} by hand",
        names[coaster], names[hand]
    ))
}

/// One figure of both bikes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference {
    /// Which.
    pub figure: Figure,
    /// Of the first and of the second bike; None where it is not given, or does not exist.
    pub values: [Option<f64>; 2],
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

/// What kind of number a figure is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Length, mm.
    Length,
    /// Length of a part that is stamped in millimetres everywhere.
    Stamped,
    /// Angle, degrees.
    Angle,
    /// Mass, kg.
    Mass,
    /// Months from now: whole ones, as everywhere.
    Months,
    /// Money, in the currency of the frame files.
    Price,
    /// Money for each month in which the bike fits.
    PricePerMonth,
}

impl Kind {
    /// A number of this kind for people.
    pub fn show(self, value: f64, units: Units) -> String {
        match self {
            Self::Length => units.length(value),
            Self::Stamped => Units::Mm.length(value),
            Self::Angle => format!("{}°", tidy(value, self.places())),
            Self::Mass => format!("{} kg", tidy(value, self.places())),
            Self::Months => match tidy(value, self.places()).as_str() {
                "1" => "1 month".to_owned(),
                months => format!("{months} months"),
            },
            Self::Price => tidy(value, self.places()),
            Self::PricePerMonth => format!("{value:.*}", self.places()),
        }
    }

    /// Decimals that are shown; lengths have their units' own.
    const fn places(self) -> usize {
        match self {
            Self::Length | Self::Stamped | Self::Angle | Self::Months => 0,
            Self::Mass => 1,
            Self::Price | Self::PricePerMonth => 2,
        }
    }

    const fn is_time(self) -> bool {
        matches!(self, Self::Months)
    }

    /// How far apart two numbers are as they are shown, so that nobody who subtracts finds another figure.
    pub fn apart(self, [first, second]: [f64; 2], units: Units) -> f64 {
        let shown = |value: f64| match self {
            Self::Length => units.as_shown_mm(value),
            _ => format!("{value:.*}", self.places())
                .parse()
                .unwrap_or(value),
        };
        (shown(second) - shown(first)).abs()
    }
}

/// Why a bike may have no such figure.
#[derive(Debug, Clone, Copy)]
enum Without {
    /// It is not in the file, under this key.
    Needs(&'static str),
    /// In words.
    Because(&'static str),
}

impl Without {
    fn words(self, bike: &Bike) -> String {
        match self {
            Self::Needs(key) => format!("needs {}", bike.wants(key)),
            Self::Because(words) => words.to_owned(),
        }
    }
}

macro_rules! figures {
    ($($figure:ident $name:literal $kind:ident $least:literal $without:ident($why:literal) $value:expr, $more:expr;)*) => {
        /// What is compared: figures of the bike and of the rider on it, then what time does to them.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        #[expect(missing_docs, reason = "named as the figures are elsewhere")]
        pub enum Figure { $($figure,)* FirstMonth, LastMonth, PricePerMonth }

        /// The figures that every comparison has.
        const OF_THE_BIKE: &[Figure] = &[$(Figure::$figure),*];

        impl Figure {
            /// Snake case, named as the figure is elsewhere.
            pub const fn name(self) -> &'static str {
                match self {
                    $(Self::$figure => $name,)*
                    Self::FirstMonth => "first_month",
                    Self::LastMonth => "last_month",
                    Self::PricePerMonth => "price_per_month",
                }
            }

            /// What kind of number it is.
            pub const fn kind(self) -> Kind {
                match self {
                    $(Self::$figure => Kind::$kind,)*
                    Self::FirstMonth | Self::LastMonth => Kind::Months,
                    Self::PricePerMonth => Kind::PricePerMonth,
                }
            }

            /// Smallest difference that a rider notices: common practice of the trade. Nobody plans by
            /// less than a month.
            const fn least(self) -> f64 {
                match self {
                    $(Self::$figure => $least,)*
                    Self::FirstMonth | Self::LastMonth => 1.0,
                    Self::PricePerMonth => 0.01,
                }
            }

            /// The same of two values: a share of money that rests on a forecast is told no finer than that is known.
            fn least_of(self, [first, second]: [f64; 2]) -> f64 {
                const SHARE: f64 = 0.03;
                match self {
                    Self::PricePerMonth => self.least().max(SHARE * first.max(second)),
                    _ => self.least(),
                }
            }

            /// The checks that the ends of a window hang on.
            const fn rests_on(self) -> &'static [CheckId] {
                match self {
                    Self::FirstMonth => &[CheckId::Standover, CheckId::SaddleHeight],
                    Self::LastMonth | Self::PricePerMonth => &[CheckId::LegRoom],
                    _ => &[],
                }
            }

            /// Its value in a fit; None where it is not given or has no meaning.
            fn value(self, fit: &Fit) -> Option<f64> {
                match self {
                    $(Self::$figure => { let value: fn(&Fit) -> Option<f64> = $value; value(fit) })*
                    Self::FirstMonth => fit.growth()?.first_month.p50,
                    Self::LastMonth => fit.growth()?.last_month.p50,
                    // A bike that is about to be outgrown is paid for by the month at least.
                    Self::PricePerMonth if fit.verdict.fits() => {
                        Some(fit.bike.spec.price? / months_of_fit(fit.growth()?)?.max(1.0))
                    }
                    Self::PricePerMonth => None,
                }
            }

            /// What more of it does: the bike with more, and by how much.
            fn more(self, more: &str, by: &str) -> String {
                match self {
                    $(Self::$figure => { let words: fn(&str, &str) -> String = $more; words(more, by) })*
                    Self::FirstMonth => format!("{more} fits about {by} later"),
                    Self::LastMonth => format!("{more} is outgrown about {by} later"),
                    Self::PricePerMonth => {
                        format!("{more} costs {by} more for each month in which it fits")
                    }
                }
            }

            /// What stands in place of the figure of a bike that has none.
            pub fn missing(self, fit: &Fit) -> &'static str {
                match self.without(fit) {
                    Without::Needs(_) => "not known",
                    Without::Because(words) => words,
                }
            }

            /// Why a bike may have no such figure.
            fn without(self, fit: &Fit) -> Without {
                use Without::{Because, Needs};
                if self == Self::TorsoLean && let Some(what) = lean_needs(fit) {
                    return Needs(what);
                }
                match self {
                    Self::BottomBracketHeight if !fit.bike.is_balance() => {
                        Needs("measured.bottom_bracket_height")
                    }
                    Self::CrankLength if !fit.bike.is_balance() => Needs("cranks.length"),
                    $(Self::$figure => $without($why),)*
                    Self::PricePerMonth if fit.bike.spec.price.is_none() => Needs("price"),
                    Self::PricePerMonth => Because(fit.verdict.meaning()),
                    Self::FirstMonth | Self::LastMonth => Because("does not fit in the months to come"),
                }
            }
        }
    };
}

/// A figure of the bike as well as a tape gives it; None where it is assumed.
fn known(fit: &Fit, figure: Known) -> Option<f64> {
    let bike = &fit.bike;
    let value = || figure.of(&bike.drawing, &bike.layout);
    bike.knows(figure).then(value)
}

/// What is missing for the lean of the trunk: see [`CheckId::Reach`].
fn lean_needs(fit: &Fit) -> Option<&'static str> {
    match fit.finding(CheckId::Reach)?.status() {
        Status::NotChecked(missing) => Some(missing.what),
        _ => None,
    }
}

figures! {
    Reach "reach" Length 5.0 Needs("frame.reach")
        |fit| known(fit, Known::Reach),
        |more, by| {
            format!(
                "{more} is {by} longer in front: more room when standing up, a longer stretch to the bar"
            )
        };
    Stack "stack" Length 5.0 Needs("frame.stack")
        |fit| known(fit, Known::Stack),
        |more, by| {
            format!(
                "{more} has the front end {by} higher: a more upright rider before stem and bar are touched"
            )
        };
    BarAboveSaddle "bar_above_saddle" Length 10.0 Needs("measured.grip_height")
        |fit| {
            Some(known(fit, Known::GripHeight)? - fit.pair().setting().seat_height_mm)
        },
        |more, by| {
            format!(
                "{more} has the grips {by} higher against the saddle: easier to look ahead, less weight on the hands"
            )
        };
    BarAheadOfSaddle "bar_ahead_of_saddle" Length 10.0 Needs("measured.grip_ahead")
        |fit| Some(known(fit, Known::GripAhead)? - fit.pair().sit().x),
        |more, by| {
            format!("{more} has the grips {by} further from the saddle: straighter arms")
        };
    TorsoLean "torso_lean" Angle 3.0 Because("bar out of reach")
        |fit| {
            // What one rider's fit says of it is no secret in a comparison.
            let reach = fit.finding(CheckId::Reach)?;
            let is_known = !matches!(reach.status(), Status::NotChecked(_));
            is_known.then(|| fit.pair().torso_lean_deg())?
        },
        |more, by| format!("{more} sits the rider {by} more upright");
    Standover "standover" Length 10.0 Needs("measured.standover")
        |fit| known(fit, Known::Standover),
        |more, by| {
            format!("{more} has the top tube {by} higher: less room when stopping astride it")
        };
    BottomBracketHeight "bottom_bracket_height" Length 8.0 Because("no cranks")
        |fit| known(fit, Known::BottomBracketHeight).filter(|_| !fit.bike.is_balance()),
        |more, by| {
            format!(
                "{more} carries the cranks {by} higher: clears kerbs and roots better, but the ground is further from the saddle for the same leg"
            )
        };
    Wheelbase "wheelbase" Length 15.0 Needs("measured.wheelbase")
        |fit| known(fit, Known::Wheelbase),
        |more, by| {
            format!(
                "{more} is {by} longer from axle to axle: calmer at speed and on bumps, needs more room to turn"
            )
        };
    FrontCentre "front_centre" Length 10.0 Needs("measured.front_centre")
        |fit| known(fit, Known::FrontCentre),
        |more, by| {
            format!(
                "{more} has the front wheel {by} further ahead: more room for the toes, harder to tip over the bar"
            )
        };
    Trail "trail" Length 5.0 Needs("fork.offset")
        |fit| known(fit, Known::Trail),
        |more, by| {
            format!(
                "{more} has {by} more trail: holds its line better at speed, turns more slowly and flops more at walking pace"
            )
        };
    CrankLength "crank_length" Stamped 3.0 Because("no cranks")
        |fit| fit.bike.spec.cranks.as_ref()?.length.map(crate::units::Length::mm),
        |more, by| {
            format!(
                "{more} has cranks {by} longer: knees bend further over the top and the feet go round more slowly"
            )
        };
    Weight "weight" Mass 0.3 Needs("weight")
        |fit| fit.bike.spec.weight.map(crate::units::Mass::kg),
        |more, by| format!("{more} is {by} heavier: harder to start, to lift and to stop");
    Price "price" Price 0.01 Needs("price")
        |fit| fit.bike.spec.price,
        |more, by| format!("{more} costs {by} more");
}

/// Sets two bikes side by side for one rider. Without an age there is today only.
///
/// # Example
/// ```
/// use std::sync::Arc;
/// use inseam::{Options, Rider, Units, rider::RiderFile, file::Document};
/// use inseam::{advice::compare::{Figure, compare}, bike::library};
///
/// let file: RiderFile = Document::from_text("rider", "{height: 1280, inseam: 600, age: 8y, sex: girl}").read().unwrap();
/// let options = Options::new(jiff::civil::date(2026, 3, 1));
/// let rider = Arc::new(Rider::new(&file, options.on).unwrap());
/// let bikes = ["street-20", "street-24"].map(|id| library::sample(id).expect("a sample bike"));
/// let comparison = compare(&rider, [&bikes[0], &bikes[1]], options);
/// let wheelbase = comparison.difference(Figure::Wheelbase).unwrap();
/// assert!(wheelbase.values[1] > wheelbase.values[0]);
/// assert!(comparison.meaning(wheelbase, Units::Mm).contains("longer from axle to axle"));
/// ```
pub fn compare(rider: &Arc<Rider>, bikes: [&Arc<Bike>; 2], options: Options) -> Comparison {
    let assessor = Assessor::new(rider, options);
    let fits = bikes.map(|bike| assessor.assess(bike));
    let mut figures = OF_THE_BIKE.to_vec();
    if fits.iter().all(|fit| fit.growth().is_some()) {
        figures.extend([Figure::FirstMonth, Figure::LastMonth, Figure::PricePerMonth]);
    }
    let differences = figures
        .into_iter()
        .map(|figure| Difference {
            figure,
            values: fits.each_ref().map(|fit| figure.value(fit)),
        })
        .collect();
    let bare = bikes.map(Arc::as_ref);
    let names = names(bare);
    Comparison {
        windows: bikes.map(|bike| window(bike, rider.stage).ok()),
        fits,
        differences,
        equipment: [
            Equipment::pedals(bare, &names),
            Equipment::brakes(bare, &names),
        ],
    }
}

/// The bikes' own names; with the file's name behind where both are called the same.
fn names([first, second]: [&Bike; 2]) -> [String; 2] {
    if first.spec.name == second.spec.name {
        [first, second].map(|bike| format!("{} ({})", bike.spec.name, bike.id))
    } else {
        [first, second].map(|bike| bike.spec.name.clone())
    }
}

/// Months between the first and the last in which a bike fits, not rounded; to the horizon where it fits beyond.
pub fn months_of_fit(growth: &Growth) -> Option<f64> {
    #[expect(clippy::cast_precision_loss, reason = "small whole number")]
    let horizon = HORIZON_MONTHS as f64;
    let first = growth.first_month.p50?;
    Some(growth.last_month.p50.unwrap_or(horizon) - first)
}

impl Difference {
    /// How much more one bike has, where both have it.
    fn apart(&self) -> Option<f64> {
        let [first, second] = self.values;
        Some((first? - second?).abs())
    }
}

impl Comparison {
    /// One figure.
    pub fn difference(&self, figure: Figure) -> Option<&Difference> {
        self.differences
            .iter()
            .find(|difference| difference.figure == figure)
    }

    /// The bikes' own names; with the file's name behind where both are called the same.
    pub fn names(&self) -> [String; 2] {
        names(self.fits.each_ref().map(|fit| fit.bike.as_ref()))
    }

    /// Whether the two are judged at different stages.
    pub fn stages_differ(&self) -> bool {
        let [first, second] = &self.fits;
        first.pose.stage != second.pose.stage
    }

    /// How much a difference matters.
    pub fn size(&self, difference: &Difference) -> Size {
        let figure = difference.figure;
        match difference.apart() {
            Some(by) if by < figure.least_of(difference.values.map(Option::unwrap_or_default)) => {
                Size::Small
            }
            Some(_) => Size::Matters,
            None if !figure.kind().is_time() => Size::Unknown,
            // No month is news: never, already, or beyond the horizon.
            None => match (figure, difference.values, self.ever_fit()) {
                (Figure::LastMonth, [None, None], [true, true]) => Size::Small,
                _ => Size::Matters,
            },
        }
    }

    fn ever_fit(&self) -> [bool; 2] {
        self.fits.each_ref().map(|fit| {
            fit.growth()
                .is_some_and(|growth| growth.first_month.p50.is_some())
        })
    }

    /// What a difference does to the ride; of one in time also what it rests on that nobody measured.
    pub fn meaning(&self, difference: &Difference, units: Units) -> String {
        let mut words = self.bare_meaning(difference, units);
        if self.size(difference) == Size::Unknown {
            return words;
        }
        for (name, fit) in self.names().iter().zip(&self.fits) {
            if fit.growth().is_none() {
                continue;
            }
            let checks = difference.figure.rests_on().iter();
            let keys: Vec<_> = checks
                .filter_map(|check| Some(key_in_words(assumed(&fit.bike, *check)?)))
                .collect();
            if !keys.is_empty() {
                words = format!(
                    "{words}, with the {} of {name} assumed",
                    keys.join(" and the ")
                );
            }
        }
        words
    }

    fn bare_meaning(&self, difference: &Difference, units: Units) -> String {
        let Difference { figure, values } = *difference;
        let names = self.names();
        let (Some(by), [Some(first), Some(second)]) = (difference.apart(), values) else {
            return self.missing(difference, units);
        };
        if by < figure.least_of([first, second]) {
            return match figure {
                Figure::FirstMonth if first.max(second) <= 0.0 => {
                    format!("both fit now{}", self.if_at_all([true; 2]))
                }
                Figure::LastMonth => "both are outgrown at about the same time".to_owned(),
                _ => too_close(by),
            };
        }
        let more = &names[usize::from(second > first)];
        let shown = figure.kind().apart([first, second], units);
        let mut words = figure.more(more, &figure.kind().show(shown, units));
        match figure {
            Figure::Weight => words.push_str(&self.against_the_rider(units)),
            Figure::PricePerMonth => {
                for (name, fit) in names.iter().zip(&self.fits) {
                    if fit
                        .growth()
                        .is_some_and(|growth| growth.last_month.p50.is_none())
                    {
                        words = format!("{words}; {name} counted to {HORIZON_MONTHS} months only");
                    }
                }
            }
            _ => {}
        }
        words
    }

    /// Stands behind what is promised of these bikes: an open verdict promises nothing.
    fn if_at_all(&self, which: [bool; 2]) -> &'static str {
        let mut told = self.fits.iter().zip(which).filter(|(_, is_told)| *is_told);
        let is_open = told.any(|(fit, _)| {
            fit.growth().is_some_and(|growth| {
                growth.first_month.p50.is_some_and(|first| first <= 0.0) && !fit.verdict.fits()
            })
        });
        if is_open { ", if at all" } else { "" }
    }

    /// What it means that a figure is not there.
    fn missing(&self, difference: &Difference, units: Units) -> String {
        let Difference { figure, values } = *difference;
        let names = self.names();
        let is_missing = values.map(|value| value.is_none());
        if figure.kind().is_time() {
            let never = match figure {
                Figure::FirstMonth => is_missing,
                _ => self.ever_fit().map(|fits| !fits),
            };
            let open = self
                .fits
                .each_ref()
                .map(|fit| fit.growth().is_some_and(Growth::is_open));
            return match (never, is_missing) {
                _ if open.contains(&true) => {
                    let which: Vec<_> = names
                        .into_iter()
                        .zip(open)
                        .filter(|(_, open)| *open)
                        .collect();
                    let names: Vec<_> = which.into_iter().map(|(name, _)| name).collect();
                    format!(
                        "{}: when it fits cannot be said before what decides is known",
                        names.join(", ")
                    )
                }
                ([true, true], _) => format!("neither fits in the {HORIZON_MONTHS} months to come"),
                ([true, false], _) => {
                    format!(
                        "{} does not fit in the {HORIZON_MONTHS} months to come",
                        names[0]
                    )
                }
                ([false, true], _) => {
                    format!(
                        "{} does not fit in the {HORIZON_MONTHS} months to come",
                        names[1]
                    )
                }
                (_, [true, true]) => format!(
                    "both still fit in {HORIZON_MONTHS} months{}",
                    self.if_at_all([true; 2])
                ),
                (_, which) => format!(
                    "{} still fits in {HORIZON_MONTHS} months{}",
                    names[usize::from(!which[0])],
                    self.if_at_all(which)
                ),
            };
        }
        match is_missing {
            [true, true] => {
                let [first, second] = self
                    .fits
                    .each_ref()
                    .map(|fit| figure.without(fit).words(&fit.bike));
                if first == second {
                    format!("not compared, both: {first}")
                } else {
                    format!(
                        "not compared, {}: {first}; {}: {second}",
                        names[0], names[1]
                    )
                }
            }
            [first, _] => {
                let [without, with] = if first { [0, 1] } else { [1, 0] };
                let fit = &self.fits[without];
                let why = figure.without(fit).words(&fit.bike);
                let has = values[with].map_or_else(String::new, |value| {
                    format!("; {} on {}", figure.kind().show(value, units), names[with])
                });
                format!("not compared, {}: {why}{has}", names[without])
            }
        }
    }

    /// What the weights mean for this rider.
    fn against_the_rider(&self, units: Units) -> String {
        let names = self.names();
        let share = |fit: &Fit| fit.finding(CheckId::BikeWeight)?.measured(units);
        match self.fits.each_ref().map(share) {
            [Some(first), Some(second)] => format!(
                "; {first} of the rider's weight on {}, {second} on {}",
                names[0], names[1]
            ),
            _ => String::new(),
        }
    }

    /// Whether nothing tells the two apart.
    pub fn is_same(&self) -> bool {
        let level = |difference: &Difference| match difference.values {
            [Some(first), Some(second)] => (first - second).abs() < 1e-9,
            [first, second] => first == second,
        };
        let mut equipment = self.equipment.iter();
        equipment.all(|had| had.values[0] == had.values[1])
            && self.differences.iter().all(level)
            && self.fits[0].measures == self.fits[1].measures
    }

    /// What to read before either bike is chosen: see [`Fit::to_read`]; each a sentence that names its bike.
    pub fn read_this(&self, units: Units) -> Vec<String> {
        let names = self.names();
        let of = |(name, fit): (&String, &Fit)| -> Vec<String> {
            let found = fit.to_read().map(|finding| fit.told(&finding, units));
            let lines = fit.measure_first(units).into_iter().chain(found);
            lines.map(|line| format!("{name}: {line}.")).collect()
        };
        names.iter().zip(&self.fits).flat_map(of).collect()
    }

    /// The one sentence to read.
    pub fn headline(&self, units: Units) -> String {
        let [first, second] = self.names();
        let [one, other] = &self.fits;
        if self.is_same() {
            return format!(
                "by every figure compared {first} and {second} are the same bike: {}",
                verdict(one, units)
            );
        }
        match (one.verdict.fits(), other.verdict.fits()) {
            (true, true) => {
                let last = self
                    .difference(Figure::LastMonth)
                    .map(|difference| format!("; {}", self.meaning(difference, units)));
                format!("both fit today{}", last.unwrap_or_default())
            }
            (true, false) => format!(
                "{first} fits today, {second} {}: {}",
                other.verdict.beside(),
                verdict(other, units)
            ),
            (false, true) => format!(
                "{second} fits today, {first} {}: {}",
                one.verdict.beside(),
                verdict(one, units)
            ),
            (false, false) => format!(
                "{}: {first} {}, {second} {}",
                if one.verdict.rules_out() && other.verdict.rules_out() {
                    "neither fits today"
                } else {
                    "neither is sure to fit today"
                },
                verdict(one, units),
                verdict(other, units)
            ),
        }
    }
}

/// The saddle to set, as it is told, where the bike fits; that to try where it is too close to call.
pub fn saddle_height(fit: &Fit, units: Units) -> String {
    if fit.verdict.fits() {
        saddle_from_where(fit, units)
    } else {
        saddle_to_try(fit, units).unwrap_or_else(|| "-".to_owned())
    }
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

/// The verdict in words; for a pair that gets no work order the reason with its amount, and how far off it is.
fn verdict(fit: &Fit, units: Units) -> String {
    let Some(stop) = Stop::of(fit) else {
        return fit.verdict.meaning().to_owned();
    };
    let distance = stop
        .distance(units)
        .map_or_else(String::new, |distance| format!("; {distance}"));
    format!(
        "{} ({}{distance})",
        fit.verdict.meaning(),
        stop.reason(fit, units)
    )
}
