//! Every picture that there is, charts too, read by its plan: overlaps, edges, leaders, names; and signs in grey.
//! The plan is held against the document in `every_text_is_in_the_plan`, so that the rest need only read the plan.
//! What the figures should be is tested with what computes them.

mod common;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::sync::{Arc, LazyLock};

use common::{STREET_16, TRAIL_24, options, rider_file, spec};
use inseam::advice::compare::{Comparison, compare};
use inseam::advice::rack::Rack;
use inseam::advice::stop::Stop;
use inseam::advice::window::window;
use inseam::bike::library;
use inseam::draw::{self, Form, Picture, Show, SideView, Spot, cross};
use inseam::fit::{Confidence, Finding, Status, Verdict};
use inseam::rider::Stage;
use inseam::{Bike, Fit, Options, Rider, Units, assess};

const UNITS: [Units; 3] = [Units::Mm, Units::Cm, Units::In];
const FORMS: [Form; 2] = [Form::Lying, Form::Upright];

fn rider(name: &str, height_mm: f64, stage: Stage) -> Arc<Rider> {
    let text = format!("{{height: {height_mm:.0}, stage: {stage}, age: 8y, sex: girl}}");
    let mut file = rider_file(&text);
    file.name = Some(name.to_owned());
    Arc::new(Rider::new(&file, options().on).expect("a rider"))
}

fn fit(rider: &Arc<Rider>, bike: &Arc<Bike>) -> Fit {
    assess(rider, bike, &options())
}

/// Every sample with the shortest and the tallest rider whom it fits and with one beyond either end.
fn pairs() -> Vec<(Fit, Units)> {
    const STAGES: [Stage; 3] = [Stage::Learning, Stage::Steady, Stage::Confident];
    let mut pairs = Vec::new();
    for (row, bike) in library::samples().enumerate() {
        for (turn, stage) in STAGES.into_iter().enumerate() {
            let window = window(&bike, stage).expect("a sample fits somebody");
            let (low, high) = (window.low.height_mm, window.high.height_mm);
            for (column, height) in [low + 1.0, high - 1.0, low - 90.0, high + 110.0]
                .into_iter()
                .enumerate()
            {
                let units = UNITS[(row + turn + column) % 3];
                let rider = rider("Rider A", height.clamp(800.0, 1900.0), stage);
                pairs.push((fit(&rider, &bike), units));
            }
        }
    }
    pairs
}

/// The same figures with doubt, and a bike of five figures: verdicts that exact figures never have.
fn doubtful() -> Vec<(Fit, Units)> {
    let options = Options::new(options().on);
    let mut bikes: Vec<_> = [TRAIL_24, STREET_16]
        .map(|text| common::bike(spec(text)))
        .to_vec();
    bikes.push(common::bike(spec(PARTIAL)));
    let mut pairs = Vec::new();
    for (row, bike) in bikes.iter().enumerate() {
        for (column, height) in (0_u8..12).enumerate() {
            let units = UNITS[(row + column) % 3];
            let rider = rider("Rider A", 980.0 + 50.0 * f64::from(height), Stage::Steady);
            pairs.push((assess(&rider, bike, &options), units));
        }
    }
    pairs
}

/// Measured with a tape, but neither the height where one stands over it nor the cranks.
const PARTIAL: &str = "{name: Test partial 24, style: trail, tyres: {front: 50-507, rear: 50-507}, measured: {bottom_bracket_height: 290, seat_height_lowest: 640, seat_height_highest: 800, grip_height: 850}}";

/// A picture under a name that a failure is found by.
type Named = (String, Picture);

fn side_views() -> Vec<Named> {
    let mut pictures = Vec::new();
    for (fit, units) in pairs().into_iter().chain(doubtful()) {
        let what = format!(
            "{} at {:.0} mm, {}",
            fit.bike.id,
            fit.rider.height.mm(),
            fit.rider.stage
        );
        let view = SideView::new(&fit, units);
        pictures.push((format!("side view: {what}"), view.picture()));
        pictures.push((format!("upright: {what}"), view.on(Form::Upright).picture()));
        if fit.verdict.fits() {
            let set_up = view.showing(Show::SetUp);
            pictures.push((format!("set-up: {what}"), set_up.picture()));
            pictures.push((format!("card: {what}"), draw::card_view(&fit, units)));
        }
    }
    pictures
}

fn two_bikes() -> Vec<Named> {
    let samples: Vec<Arc<Bike>> = library::samples().collect();
    let mut pictures = Vec::new();
    for (index, first) in samples.iter().enumerate() {
        for step in [1, 4] {
            let second = &samples[(index + step) % samples.len()];
            let units = UNITS[index % 3];
            let stage = [Stage::Steady, Stage::Confident][index % 2];
            let rider = rider("Rider A", 1000.0 + 40.0 * index as f64, stage);
            let both = with_forecast(&rider, [first, second]);
            let what = format!("{} and {}", first.id, second.id);
            for form in FORMS {
                let two = draw::two_bikes(&both, units, form);
                pictures.push((format!("two bikes, {form:?}: {what}"), two));
                if let Some(chart) = draw::growth_chart(&both, units, form).expect("a chart") {
                    pictures.push((format!("growth, {form:?}: {what}"), chart));
                }
            }
        }
    }
    pictures
}

fn with_forecast(rider: &Arc<Rider>, bikes: [&Arc<Bike>; 2]) -> Comparison {
    let options = Options {
        forecast: true,
        ..options()
    };
    compare(rider, bikes, options)
}

fn sheets() -> Vec<Named> {
    let rack = Rack::new(&library::samples().collect::<Vec<_>>());
    let mut pictures = vec![
        ("measuring".to_owned(), draw::measuring(Form::Lying)),
        (
            "measuring upright".to_owned(),
            draw::measuring(Form::Upright),
        ),
        (
            "measuring a bike".to_owned(),
            draw::measuring_a_bike(Form::Lying),
        ),
        (
            "measuring a bike upright".to_owned(),
            draw::measuring_a_bike(Form::Upright),
        ),
    ];
    for units in UNITS {
        for form in FORMS {
            let chart = draw::rack_chart(&rack, units, form).expect("a chart");
            pictures.push((format!("rack in {units:?}, {form:?}"), chart));
        }
    }
    pictures
}

/// All of them, made once for every test.
static ALL: LazyLock<Vec<Named>> = LazyLock::new(|| {
    let mut all = side_views();
    all.extend(two_bikes());
    all.extend(sheets());
    all
});

/// Says every complaint at once, so that one run shows the whole extent.
fn assert_none(complaints: &[String]) {
    assert!(
        complaints.is_empty(),
        "{} complaints:\n{}",
        complaints.len(),
        complaints[..complaints.len().min(30)].join("\n")
    );
}

#[test]
fn no_words_overlap_or_leave_the_sheet_in_any_picture() {
    let mut complaints = Vec::new();
    for (what, Picture { plan, .. }) in ALL.iter() {
        // A card shows what a tape sets, and on a bike without cranks that is two figures.
        let least = if what.starts_with("card") { 4 } else { 6 };
        assert!(plan.labels.len() >= least, "{what}: nothing is written");
        for (index, label) in plan.labels.iter().enumerate() {
            if !plan.sheet.holds(label.place) {
                complaints.push(format!("{what}: {:?} leaves the sheet", label.text));
            }
            for other in &plan.labels[index + 1..] {
                if label.place.overlaps(other.place) {
                    complaints.push(format!("{what}: {:?} on {:?}", label.text, other.text));
                }
            }
        }
    }
    assert_none(&complaints);
}

/// Inches are the longest.
#[test]
fn no_word_and_no_figure_is_cut_in_any_picture() {
    let options = Options::new(options().on);
    let mut cards = Vec::new();
    for text in [
        "{height: 900, age: 3y, stage: learning}",
        "{height: 1120, inseam: 500, age: 6y, sex: boy}",
        "{height: 1280, age: 8y, sex: girl}",
        "{height: 1450, inseam: 680, stage: confident}",
    ] {
        let rider = common::rider(text);
        for bike in library::samples() {
            let what = format!("{}, {text}", bike.id);
            let card = draw::card_view(&assess(&rider, &bike, &options), Units::In);
            cards.push((what, card));
        }
    }
    let mut complaints = Vec::new();
    for (what, Picture { plan, .. }) in ALL.iter().chain(&cards) {
        let cut = plan.labels.iter().map(|label| &label.text);
        let cut = cut.filter(|text| text.contains('…'));
        complaints.extend(cut.map(|text| format!("{what}: {text:?}")));
    }
    assert_none(&complaints);
}

#[test]
fn signs_stand_clear_of_words_and_on_the_sheet() {
    const SIGNS: [&str; 5] = ["ok", "set", "caution", "fail", "not known"];
    let (mut complaints, mut signs) = (Vec::new(), 0);
    for (what, Picture { plan, .. }) in ALL.iter() {
        for mark in &plan.marks {
            if !SIGNS.contains(&mark.what.as_str()) {
                continue;
            }
            signs += 1;
            if !plan.sheet.holds(mark.place) {
                complaints.push(format!("{what}: sign {} leaves the sheet", mark.what));
            }
            for label in &plan.labels {
                if label.place.overlaps(mark.place) {
                    complaints.push(format!("{what}: sign {} on {:?}", mark.what, label.text));
                }
            }
        }
    }
    assert!(signs > 1000, "{signs}");
    assert_none(&complaints);
}

#[test]
fn words_are_no_farther_than_a_third_of_the_sheet_from_what_they_name() {
    let (mut complaints, mut named) = (Vec::new(), 0);
    for (what, Picture { plan, .. }) in ALL.iter() {
        let third = plan.sheet.width.max(plan.sheet.height) / 3.0;
        for label in &plan.labels {
            let Some(thing) = &label.names else { continue };
            named += 1;
            let apart = label.place.distance(thing.at);
            if apart > third {
                complaints.push(format!("{what}: {:?} is {apart:.0} mm away", label.text));
            }
        }
    }
    assert!(named > 1000, "{named}");
    assert_none(&complaints);
}

/// A leader without its last bit, where it may touch what it names.
fn before_its_end(from: Spot, to: Spot) -> (Spot, Spot) {
    const TOUCH: f64 = 0.5;
    let long = from.distance(to).max(1e-9);
    (from, from.towards(to, (1.0 - TOUCH / long).max(0.0)))
}

#[test]
fn leaders_cross_no_dimension_but_their_own_and_no_other_leader() {
    let (mut complaints, mut leaders) = (Vec::new(), 0);
    for (what, Picture { plan, .. }) in ALL.iter() {
        for (index, leader) in plan.leaders.iter().enumerate() {
            leaders += 1;
            let stroke = before_its_end(leader.from, leader.to);
            for dimension in plan.dimensions.iter().filter(|one| one.what != leader.what) {
                let ways = dimension.path.windows(2);
                if ways.into_iter().any(|way| cross(stroke, (way[0], way[1]))) {
                    complaints.push(format!(
                        "{what}: leader to {} crosses {}",
                        leader.what, dimension.what
                    ));
                }
            }
            for other in &plan.leaders[index + 1..] {
                if cross(stroke, before_its_end(other.from, other.to)) {
                    complaints.push(format!(
                        "{what}: leaders to {} and {} cross",
                        leader.what, other.what
                    ));
                }
            }
        }
    }
    assert!(leaders > 1000, "{leaders}");
    assert_none(&complaints);
}

#[test]
fn leaders_run_along_no_tube() {
    // Inside a tube for three times its width is a crossing at less than 20 degrees.
    const MOST: f64 = 3.0;
    let mut complaints = Vec::new();
    for (what, Picture { plan, .. }) in ALL.iter() {
        for leader in &plan.leaders {
            for tube in &plan.tubes {
                let along = tube.covers(leader.from, leader.to) / tube.width;
                if along > MOST {
                    complaints.push(format!(
                        "{what}: leader to {} runs along a tube, {along:.1} widths",
                        leader.what
                    ));
                }
            }
        }
    }
    assert_none(&complaints);
}

#[test]
fn leaders_touch_no_words() {
    let mut complaints = Vec::new();
    for (what, Picture { plan, .. }) in ALL.iter() {
        for leader in &plan.leaders {
            for label in &plan.labels {
                if label.place.meets(leader.from, leader.to) {
                    complaints.push(format!(
                        "{what}: leader to {} runs through {:?}",
                        leader.what, label.text
                    ));
                }
            }
        }
    }
    assert_none(&complaints);
}

#[test]
fn every_text_is_in_the_plan() {
    for (what, Picture { svg, plan }) in ALL.iter() {
        let document = roxmltree::Document::parse(svg).expect(what);
        let written: Vec<_> = document
            .descendants()
            .filter(|node| node.has_tag_name("text"))
            .map(|node| node.text().unwrap_or_default())
            .collect();
        let planned: Vec<_> = plan.labels.iter().map(|label| &*label.text).collect();
        assert_eq!(written, planned, "{what}");
        // Leaders are drawn one for one.
        let drawn = document
            .descendants()
            .filter(|node| node.attribute("class") == Some("leader-halo"))
            .count();
        assert!(drawn >= plan.leaders.len(), "{what}");
    }
}

#[test]
fn a_renderer_reads_every_picture_and_nothing_leaves_the_sheet() {
    // usvg counts in pixels of 1/96 inch.
    const PIXELS_PER_MM: f64 = 96.0 / 25.4;
    for (what, Picture { svg, plan }) in ALL.iter() {
        for broken in [
            "NaN", "inf\"", "infinity", "-inf", "href", "url(http", "@import",
        ] {
            assert!(!svg.contains(broken), "{what}: contains {broken}");
        }
        assert!(svg.len() < 80_000, "{what}: {} bytes", svg.len());
        let tree = resvg::usvg::Tree::from_str(svg, &resvg::usvg::Options::default()).expect(what);
        let painted = tree.root().abs_stroke_bounding_box();
        assert!(
            painted.left() >= -0.5
                && painted.top() >= -0.5
                && f64::from(painted.right()) <= plan.sheet.width * PIXELS_PER_MM + 0.5
                && f64::from(painted.bottom()) <= plan.sheet.height * PIXELS_PER_MM + 0.5,
            "{what}: the drawing leaves the sheet: {painted:?}"
        );
    }
}

/// Every kind of picture of a bike and a rider with these names.
fn every_kind(rider_name: &str, bike_name: &str) -> Vec<Named> {
    let sample = library::sample("trail-24").expect("a sample");
    let mut spec = sample.spec.clone();
    bike_name.clone_into(&mut spec.name);
    let bike = Arc::new(Bike::new(bike_name, spec).expect("a bike"));
    let rider = rider(rider_name, 1380.0, Stage::Steady);
    let units = Units::Mm;
    let both = with_forecast(&rider, [&bike, &bike]);
    let fit = &both.fits[0];
    let view = SideView::new(fit, units);
    let rack = Rack::new(std::slice::from_ref(&bike));
    let mut pictures = vec![
        ("side view".to_owned(), view.picture()),
        ("upright".to_owned(), view.on(Form::Upright).picture()),
        ("set-up".to_owned(), view.showing(Show::SetUp).picture()),
        ("card".to_owned(), draw::card_view(fit, units)),
    ];
    for form in FORMS {
        let growth = draw::growth_chart(&both, units, form).expect("a chart");
        pictures.extend([
            (
                format!("two bikes, {form:?}"),
                draw::two_bikes(&both, units, form),
            ),
            (format!("growth, {form:?}"), growth.expect("a forecast")),
            (
                format!("rack, {form:?}"),
                draw::rack_chart(&rack, units, form).expect("a chart"),
            ),
        ]);
    }
    pictures
}

#[test]
fn hostile_names_stay_text_and_turn_nothing_round() {
    let name =
        "<b>x</b>\"&'\u{0}\u{1b}\u{202e}\u{2066}\u{200b}\u{feff}\u{ffff}\u{fdd0}\n]]> <![CDATA[";
    for (what, Picture { svg, plan }) in every_kind(name, name) {
        assert!(!svg.contains("<b>") && !svg.contains("<![CDATA["), "{what}");
        let unseen = |c: char| {
            (c.is_control() && c != '\n')
                || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200b}'..='\u{200f}')
                || matches!(c, '\u{feff}' | '\u{fdd0}' | '\u{fffe}' | '\u{ffff}')
        };
        assert!(!svg.contains(unseen), "{what}");
        for label in &plan.labels {
            assert!(!label.text.contains(unseen), "{what}: {:?}", label.text);
        }
        let document = roxmltree::Document::parse(&svg).expect(&what);
        let texts = document.descendants().filter_map(|node| node.text());
        let says = texts.filter(|text| text.contains("<b>x</b>\"&'")).count();
        assert!(says > 0, "{what} does not name the bike");
    }
}

#[test]
fn names_of_any_script_and_length_stay_on_the_sheet_and_apart() {
    for one in ["W", "i", "ß", "漢", "🚲", "e\u{301}", "x "] {
        let mut name = String::new();
        for _ in 0..400 {
            let _ = write!(name, "{one}");
        }
        for (what, Picture { plan, .. }) in every_kind(&name, &name) {
            for (index, label) in plan.labels.iter().enumerate() {
                assert!(plan.sheet.holds(label.place), "{what} {one}: {label:?}");
                for other in &plan.labels[index + 1..] {
                    let apart = !label.place.overlaps(other.place);
                    assert!(apart, "{what} {one}: {label:?} on {other:?}");
                }
            }
        }
    }
}

#[test]
fn two_bikes_stand_on_one_ground_at_one_scale() {
    let samples: Vec<Arc<Bike>> = library::samples().collect();
    let rider = rider("Rider A", 1250.0, Stage::Steady);
    for pair in samples.windows(2) {
        let both = compare(&rider, [&pair[0], &pair[1]], options());
        let Picture { svg, plan } = draw::two_bikes(&both, Units::Mm, Form::Lying);
        let scale = plan.scale.expect("a drawing");
        let document = roxmltree::Document::parse(&svg).unwrap();
        let of_class = |class: &'static str| {
            let nodes = document.descendants();
            nodes.filter(move |node| node.attribute("class") == Some(class))
        };
        let number = |node: &roxmltree::Node<'_, '_>, name: &str| -> f64 {
            node.attribute(name).unwrap().parse().unwrap()
        };
        let ground = of_class("ground").map(|node| number(&node, "y1")).next();
        let tyres: Vec<_> = of_class("tyre").collect();
        assert_eq!(tyres.len(), 4);
        for (index, bike) in pair.iter().enumerate() {
            let layout = &bike.layout;
            let radii = [layout.wheel_radius_rear_mm, layout.wheel_radius_front_mm];
            let both = &tyres[2 * index..2 * index + 2];
            for (tyre, radius) in both.iter().zip(radii) {
                // Numbers are written to 0.01 mm of paper.
                let outer = number(tyre, "r") + number(tyre, "stroke-width") / 2.0;
                assert!((outer - radius / scale).abs() < 0.02, "{}: wheel", bike.id);
                let above = ground.unwrap() - number(tyre, "cy");
                assert!((above - radius / scale).abs() < 0.02, "{}: ground", bike.id);
            }
            let apart = number(&both[1], "cx") - number(&both[0], "cx");
            let wheelbase = layout.wheelbase_mm() / scale;
            assert!((apart - wheelbase).abs() < 0.03, "{}: wheelbase", bike.id);
        }
    }
}

#[test]
fn two_bikes_are_called_by_their_names_and_their_differences_written() {
    let [a, b] = ["street-20", "street-24"].map(|id| library::sample(id).expect("a sample"));
    let rider = rider("Rider A", 1280.0, Stage::Steady);
    let both = compare(&rider, [&a, &b], options());
    let plan = draw::two_bikes(&both, Units::Mm, Form::Lying).plan;
    let says = |text: &str| plan.labels.iter().any(|label| label.text == text);
    let grip = |bike: &Bike| bike.layout.points.grip.y + bike.layout.bottom_bracket_height_mm();
    let seat = |fit: &Fit| {
        let setting = fit.pair().setting();
        setting.shown_mm(Units::Mm, setting.seat_height_mm)
    };
    // Of the figures as they are printed, so that whoever subtracts finds the same.
    let apart = |second: f64, first: f64| second.round() - first.round();
    let standover = apart(b.layout.standover_mm(), a.layout.standover_mm());
    let grips = apart(grip(&b), grip(&a));
    let saddle = apart(seat(&both.fits[1]), seat(&both.fits[0]));
    for by in [standover, grips, saddle] {
        let words = format!(
            "{:.0} mm {}",
            by.abs(),
            if by > 0.0 { "higher" } else { "lower" }
        );
        assert!(says(&words), "{words}");
    }
    assert!(says(&a.spec.name) && says(&b.spec.name));
    assert!(!says("A") && !says("B"));
}

#[test]
fn a_pair_that_does_not_fit_has_its_reason_first_and_largest() {
    let mut seen = 0;
    for (fit, units) in pairs() {
        let plan = draw::side_view(&fit, units).plan;
        let what = format!("{} at {:.0} mm", fit.bike.id, fit.rider.height.mm());
        let mut failing: Vec<_> = fit
            .findings()
            .filter(|finding| matches!(finding.status(), Status::Fail(_)))
            .collect();
        // The reason that the report gives first.
        let decides = Stop::of(&fit).and_then(|stop| stop.check());
        failing.sort_by_key(|finding| Some(finding.id) != decides);
        let Some(first) = failing.first() else {
            continue;
        };
        seen += 1;
        let plain = |finding: &Finding| {
            let words = fit.advice(finding, units);
            let (first, rest) = words.split_at(1);
            format!("{}{rest}.", first.to_uppercase())
        };
        let labels: Vec<_> = plan.labels.iter().map(|label| &*label.text).collect();
        let said = labels.join(" ");
        for finding in failing.iter().take(5) {
            let words = plain(finding);
            assert!(said.contains(&words), "{what}: {words} is not in {said}");
        }
        // Nothing but the picture's own title is written larger.
        let words = plain(first);
        let headline = plan
            .labels
            .iter()
            .find(|label| label.text.len() > 8 && words.starts_with(&*label.text))
            .unwrap();
        let larger = plan
            .labels
            .iter()
            .filter(|label| label.place.height > headline.place.height);
        assert_eq!(larger.count(), 0, "{what}");
        let settings = ["post showing", "lever gap to set", "mark below tube top"];
        for label in &plan.labels {
            assert!(!settings.contains(&&*label.text), "{what}: {}", label.text);
        }
    }
    assert!(seen > 20, "{seen}");
}

#[test]
fn what_a_verdict_hangs_on_stands_in_every_picture_wherever_it_has_room() {
    let rider = common::rider("{height: 1380, inseam: 500, age: 3 y}");
    let bikes = ["trail-24", "trail-20"].map(|id| library::sample(id).unwrap());
    let comparison = compare(&rider, bikes.each_ref(), Options::new(options().on));
    for form in [Form::Lying, Form::Upright] {
        let alone = SideView::new(&comparison.fits[0], Units::Mm)
            .on(form)
            .picture();
        let both = draw::two_bikes(&comparison, Units::Mm, form);
        for (picture, times) in [(alone, 1), (both, 2)] {
            let labels: Vec<_> = picture
                .plan
                .labels
                .iter()
                .map(|label| &*label.text)
                .collect();
            let said = labels.join(" ");
            let told = said.matches("if inseam, height and age are right").count();
            assert_eq!(told, times, "{form:?}: {said}");
        }
    }
}

#[test]
fn a_verdict_is_never_drawn_surer_than_it_is_written() {
    let mut seen = BTreeSet::new();
    for (fit, units) in doubtful() {
        let verdict = fit.verdict;
        seen.insert(verdict.word());
        let plan = draw::side_view(&fit, units).plan;
        let says = |text: &str| plan.labels.iter().any(|label| label.text == text);
        assert!(says(&verdict.word().to_uppercase()), "{}", verdict.word());
        let is_open = matches!(verdict, Verdict::Undecided | Verdict::Incomplete);
        let told = |confidence: Confidence| {
            let start = format!("{}, ", confidence.word());
            let is_told = |text: &str| text.starts_with(&start) && text.contains(" %");
            plan.labels.iter().any(|label| is_told(&label.text))
        };
        for word in [Confidence::Sure, Confidence::Likely] {
            let is_so = !is_open && fit.confidence() == Some(word);
            assert_eq!(told(word), is_so, "{}", verdict.word());
        }
        // Nothing to set before it is known to fit.
        assert_eq!(says("post showing"), verdict.fits(), "{}", verdict.word());
    }
    for verdict in [Verdict::Undecided, Verdict::Incomplete] {
        assert!(seen.contains(verdict.word()), "{seen:?}");
    }
}

/// Darkness of every pixel of the square round a mark, 0 white to 255 black, in grey (ITU-R BT.601 weights, as
/// printers use), with the mark filling the square.
fn in_grey(svg: &str, place: inseam::draw::Rect) -> Vec<u8> {
    use resvg::tiny_skia::{Pixmap, Transform};
    const SIDE: u32 = 24;
    const PIXELS_PER_MM: f32 = 96.0 / 25.4;
    let tree = resvg::usvg::Tree::from_str(svg, &resvg::usvg::Options::default()).unwrap();
    let mut pixmap = Pixmap::new(SIDE, SIDE).unwrap();
    #[expect(clippy::cast_possible_truncation, reason = "millimetres of paper")]
    let [x, y, width] = [place.x, place.y, place.width].map(|mm| mm as f32);
    let zoom = 24.0 / (width * PIXELS_PER_MM);
    let transform =
        Transform::from_translate(-x * PIXELS_PER_MM, -y * PIXELS_PER_MM).post_scale(zoom, zoom);
    resvg::render(&tree, transform, &mut pixmap.as_mut());
    let grey = |pixel: &resvg::tiny_skia::PremultipliedColorU8| {
        let [red, green, blue] = [pixel.red(), pixel.green(), pixel.blue()].map(u32::from);
        u8::try_from(255 - (299 * red + 587 * green + 114 * blue) / 1000).unwrap()
    };
    pixmap.pixels().iter().map(grey).collect()
}

#[test]
fn signs_are_told_apart_by_shape_in_a_grey_print() {
    const SIGNS: [&str; 5] = ["ok", "set", "caution", "fail", "not known"];
    let bike = library::sample("trail-24").expect("a sample");
    let fit = fit(&rider("Rider A", 1380.0, Stage::Steady), &bike);
    let Picture { svg, plan } = draw::side_view(&fit, Units::Mm);
    let keys = SIGNS.map(|sign| {
        let what = format!("key: {sign}");
        let key = plan.marks.iter().find(|mark| mark.what == what);
        let key = key
            .unwrap_or_else(|| panic!("{sign} is not in the legend"))
            .place;
        // A square round the middle of the key.
        let side = key.height;
        inseam::draw::Rect {
            x: key.centre().x - side / 2.0,
            width: side,
            ..key
        }
    });
    // Ink or paper, whatever the hue.
    let shapes = keys
        .map(|place| -> Vec<bool> { in_grey(&svg, place).iter().map(|dark| *dark > 64).collect() });
    for (index, shape) in shapes.iter().enumerate() {
        let ink = shape.iter().filter(|is_ink| **is_ink).count();
        assert!(ink > 30, "{} is too faint in grey: {ink}", SIGNS[index]);
        for (other, name) in shapes.iter().zip(SIGNS).skip(index + 1) {
            let differs = shape.iter().zip(other).filter(|(a, b)| a != b).count();
            // At least a tenth of the square.
            assert!(
                differs * 10 >= shape.len(),
                "{} and {name} differ in {differs} of {} pixels",
                SIGNS[index],
                shape.len()
            );
        }
    }
}

#[test]
fn no_circle_of_imports_inside_draw() {
    fn visit(folder: &std::path::Path, files: &mut Vec<std::path::PathBuf>) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                visit(&path, files);
            } else {
                files.push(path);
            }
        }
    }
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/draw");
    let mut files = Vec::new();
    visit(&root, &mut files);
    let mut modules = BTreeMap::new();
    for file in files {
        let inside = file.strip_prefix(&root).unwrap().with_extension("");
        let name = inside.to_string_lossy().replace('/', "::");
        let name = name.strip_suffix("::mod").unwrap_or(&name).to_owned();
        modules.insert(name, std::fs::read_to_string(file).unwrap());
    }
    // What a module imports: the longest path below `crate::draw` that is a file.
    let mut imports: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for (name, text) in &modules {
        if name == "mod" {
            continue;
        }
        let found = imports.entry(name).or_default();
        for rest in text.split("crate::draw::").skip(1) {
            let path: String = rest
                .chars()
                .take_while(|c| c.is_alphanumeric() || matches!(c, '_' | ':'))
                .collect();
            let known = modules
                .keys()
                .filter(|known| path == **known || path.starts_with(&format!("{known}::")));
            if let Some(known) = known.max_by_key(|known| known.len())
                && known != name
            {
                found.insert(known);
            }
        }
    }
    assert!(imports.len() > 20);
    // Take away what imports nothing that is left, until nothing is left.
    while !imports.is_empty() {
        let left: BTreeSet<&str> = imports.keys().copied().collect();
        let before = imports.len();
        imports.retain(|_, found| found.iter().any(|name| left.contains(name)));
        assert!(imports.len() < before, "a circle among {imports:#?}");
    }
}
