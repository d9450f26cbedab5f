//! Add a bike: the figures that a tape takes off the bike on the floor, written as a frame file and read like any other.
//! What the figures make is the reader's business; the file is kept only when that is asked for.

use std::sync::Arc;

use askama::Template;
use axum::http::StatusCode;

use crate::advice::rack::{RackBike, STAGES};
use crate::advice::stop::Stop;
use crate::bike::{Bike, Style};
use crate::cautions::CAUTIONS;
use crate::draw;
use crate::fit::{Options, Verdict, assess};
use crate::page::query::Query;
use crate::page::screens::keep::{KeptPage, slips};
use crate::page::screens::rack::nobody_yet;
use crate::page::screens::{Answer, Reply};
use crate::page::shop::Shop;
use crate::page::view::{
    Choice, Field, Form, Frame, VerdictView, chosen, sentences, stage_words, take, told,
};
use crate::page::{Kept, Slip};
use crate::report::assumed;
use crate::report::rack as report;
use crate::rider::Rider;

#[derive(Template)]
#[template(path = "add.html", config = "src/page/askama.toml")]
struct Page {
    frame: Frame,
    name: Field,
    tyres: Field,
    styles: Vec<Choice>,
    five: Vec<Field>,
    more: Vec<Field>,
    brakes: [Vec<Choice>; 2],
    /// What no single box is to blame for.
    slips: Vec<String>,
    /// Everything that is wrong, each with its box's name.
    wrong: Vec<String>,
    can_keep: bool,
    asks_to_replace: bool,
    units: String,
    /// The file as it would be kept.
    text: Option<String>,
    answer: Option<Made>,
    cautions: &'static [&'static str],
}

/// What the figures make.
struct Made {
    name: String,
    /// Why nobody has it yet.
    yet: Option<String>,
    windows: Vec<(&'static str, String, String)>,
    picture: Option<[String; 2]>,
    /// What the child of the page comes to on it.
    verdict: Option<VerdictView>,
    assumed: Vec<String>,
    look_again: Vec<String>,
}

type Row = (&'static str, &'static str, &'static str);

/// What `measured:` holds, the five first.
const FIVE: &[Row] = &[
    (
        "bottom_bracket_height",
        "Bracket height",
        "ground to the middle of the cranks' axle",
    ),
    (
        "seat_height_lowest",
        "Seat height, lowest",
        "ground to the saddle top, post right down",
    ),
    (
        "seat_height_highest",
        "Seat height, highest",
        "ground to the saddle top, post raised to its mark",
    ),
    (
        "standover",
        "Standover",
        "ground to the top tube's upper edge, midway along it",
    ),
    (
        "crank_length",
        "Crank length",
        "middle of the axle to the middle of the pedal's; none on a balance bike",
    ),
];
const MORE: &[Row] = &[
    (
        "grip_height",
        "Grip height",
        "ground to the middle of a grip",
    ),
    (
        "grip_ahead",
        "Grip ahead",
        "bracket to grip, level; both from the wall, one less the other",
    ),
    (
        "lever_gap_min",
        "Lever gap, screwed in",
        "hand brakes: lever to grip; decides for a small hand",
    ),
    (
        "lever_gap_max",
        "Lever gap, let out",
        "hand brakes: lever to grip",
    ),
    (
        "minimum_insertion",
        "Post inside, at least",
        "from the mark on the post to its lower end",
    ),
    ("handlebar_width", "Handlebar width", "end to end"),
    (
        "q_factor",
        "Q factor",
        "across both cranks, outer face to outer face at the pedals",
    ),
    ("pedal_width", "Pedal width", "across one pedal's platform"),
    ("bike_weight", "Weight of the bike", "kg"),
    ("price", "Price", "a plain number"),
];
/// Boxes whose figure does not stand under `measured:`, each with its key; a gap stands at every hand brake.
const ELSEWHERE: [(&str, &str); 9] = [
    ("crank_length", "cranks.length"),
    ("q_factor", "cranks.q_factor"),
    ("pedal_width", "cranks.pedal_width"),
    ("handlebar_width", "cockpit.handlebar.width"),
    ("minimum_insertion", "seat_post.minimum_insertion"),
    ("bike_weight", "weight"),
    ("price", "price"),
    ("lever_gap_min", "brakes.front.reach.min"),
    ("lever_gap_max", "brakes.front.reach.max"),
];

pub(in crate::page) fn add(shop: &Shop, query: &Query) -> Reply {
    let read = read(shop, query);
    let status = match &read {
        Some(Err(_)) => StatusCode::BAD_REQUEST,
        _ => StatusCode::OK,
    };
    show(shop, query, status, read.as_ref())
}

/// Keeps the frame file, if it can be read.
pub(in crate::page) fn keep_bike(shop: &Shop, form: &Query) -> Reply {
    let query = form.from_form();
    let kept = match read(shop, &query) {
        Some(Ok(bike)) => {
            let name = &bike.spec.name;
            let text = frame_file(&query);
            shop.counter
                .keep_text(Kept::Bike, &text, name, form.get("replace").is_some())
                .map_err(|why| slips(why, Kept::Bike))
        }
        Some(Err(slips)) => Err((StatusCode::BAD_REQUEST, slips)),
        None => Err((
            StatusCode::BAD_REQUEST,
            vec![Slip::of("name", "a name, a style and the tyres are needed")],
        )),
    };
    match kept {
        Ok(name) => {
            let carried = query.carried();
            let form = Form::new(shop, "/bike", &carried, None, &[]);
            let frame = Frame::new("Kept", "/bike", &carried, form);
            let page = KeptPage {
                what: "frame file",
                name,
                next: frame.to("/"),
                next_words: "The rack, with this bike on it",
                frame,
            };
            Reply::page(StatusCode::CREATED, &page)
        }
        Err((status, slips)) => show(shop, &query, status, Some(&Err(slips))),
    }
}

/// The child on the new bike.
pub(super) fn picture(shop: &Shop, query: &Query, form: draw::Form) -> Answer {
    let bike = match read(shop, query) {
        Some(bike) => Arc::new(bike?),
        None => {
            return Err(vec![Slip::of(
                "name",
                "a name, a style and the tyres are needed",
            )]);
        }
    };
    let question = shop.counter.ask(&query.carried())?;
    let fit = assess(question.rider()?, &bike, &question.options);
    let view = draw::SideView::new(&fit, question.units);
    Ok(Reply::picture(view.on(form).picture().svg))
}

/// The bike that the figures make; None before it has a name, a style and tyres.
fn read(shop: &Shop, query: &Query) -> Option<Result<Bike, Vec<Slip>>> {
    let head = ["name", "tyres"].map(|key| query.get(key));
    if head.iter().all(Option::is_none) {
        return None;
    }
    // Whatever else is wrong is told at once.
    let missing = [
        ("name", "is missing: what the rack calls it", "new"),
        (
            "tyres",
            "is missing: what its sidewall says, such as 47-406",
            "47-406",
        ),
    ];
    let missing = missing
        .into_iter()
        .filter(|(key, ..)| query.get(key).is_none());
    let mut wrong: Vec<Slip> = missing
        .clone()
        .map(|(key, why, _)| Slip::of(key, why))
        .collect();
    wrong.extend(gaps_without_lever(query));
    wrong.extend(one_brake_alone(query));
    let whole = missing.fold(query.clone(), |query, (key, _, any)| query.with(key, any));
    let name = whole.get("name").unwrap_or_default();
    match shop.counter.read_bike(name, &frame_file(&whole)) {
        Ok(bike) if wrong.is_empty() => Some(Ok(bike)),
        Ok(_) => Some(Err(wrong)),
        Err(slips) => {
            let own = |slip: Slip| Slip {
                field: box_of(&slip.field).to_owned(),
                ..slip
            };
            wrong.extend(slips.into_iter().map(own));
            // What is wrong at both brakes stands in one box.
            let mut told: Vec<Slip> = Vec::new();
            for slip in wrong {
                if !told.contains(&slip) {
                    told.push(slip);
                }
            }
            Some(Err(told))
        }
    }
}

/// Lever gaps that no brake of the form has a place for.
fn gaps_without_lever(query: &Query) -> Vec<Slip> {
    let has_lever = BRAKES.iter().any(|(key, _)| query.get(key) == Some("hand"));
    let gaps = ["lever_gap_min", "lever_gap_max"].into_iter();
    gaps.filter(|gap| !has_lever && query.get(gap).is_some())
        .map(|gap| {
            let message = "needs a brake with a hand lever: say at the front or the rear brake that it has one";
            Slip::of(gap, message)
        })
        .collect()
}

/// A brake that was looked at, where the other was not.
fn one_brake_alone(query: &Query) -> Option<Slip> {
    let looked_at = BRAKES.map(|(key, ..)| query.get(key).is_some());
    let other = match looked_at {
        [true, false] => "rear_brake",
        [false, true] => "front_brake",
        _ => return None,
    };
    let message = "is not looked at: say what works it, or that there is none; or leave both open";
    Some(Slip::of(other, message))
}

/// The box that a key of the frame file was written in; the key itself where there is none.
fn box_of(key: &str) -> &str {
    let front = key.replace("brakes.rear.", "brakes.front.");
    let elsewhere = ELSEWHERE.iter().find(|(_, path)| *path == front);
    match (elsewhere, key) {
        (Some((flag, _)), _) => flag,
        (None, "tyres.front" | "tyres.rear") => "tyres",
        (None, key) => key.strip_prefix("measured.").unwrap_or(key),
    }
}

/// The figures as a frame file.
fn frame_file(query: &Query) -> String {
    // Text between double quotes is the same in JSON and YAML.
    let quoted = |key: &str| Some(serde_json::Value::from(query.get(key)?).to_string());
    let mut lines = vec!["# Measured at the counter.".to_owned()];
    let head = ["name", "style"].into_iter();
    lines.extend(head.filter_map(|key| Some(format!("{key}: {}", quoted(key)?))));
    lines.extend(quoted("tyres").map(|tyres| format!("tyres: {{front: {tyres}, rear: {tyres}}}")));
    let measured = FIVE
        .iter()
        .chain(MORE)
        .map(|(key, ..)| *key)
        .filter(|key| ELSEWHERE.iter().all(|(elsewhere, _)| elsewhere != key))
        .filter_map(|key| Some(format!("  {key}: {}", quoted(key)?)));
    section(&mut lines, "measured", measured);
    let of = |key: &'static str, flag: &str| Some(format!("  {key}: {}", quoted(flag)?));
    let cranks = [
        ("length", "crank_length"),
        ("q_factor", "q_factor"),
        ("pedal_width", "pedal_width"),
    ];
    let cranks = cranks.into_iter().filter_map(|(key, flag)| of(key, flag));
    section(&mut lines, "cranks", cranks);
    let bar = quoted("handlebar_width").map(|width| format!("  handlebar: {{width: {width}}}"));
    section(&mut lines, "cockpit", bar.into_iter());
    let mark = of("minimum_insertion", "minimum_insertion");
    section(&mut lines, "seat_post", mark.into_iter());
    let both = BRAKES.iter().all(|(key, ..)| query.get(key).is_some());
    let brakes = BRAKES.iter().filter(|_| both).filter_map(|(key, ..)| {
        let wheel = key.trim_end_matches("_brake");
        let kind = quoted(key)?;
        let ends = [("min", "lever_gap_min"), ("max", "lever_gap_max")];
        let ends: Vec<_> = ends
            .into_iter()
            .filter(|_| query.get(key) == Some("hand"))
            .filter_map(|(end, gap)| Some(format!("{end}: {}", quoted(gap)?)))
            .collect();
        Some(if ends.is_empty() {
            format!("  {wheel}: {{kind: {kind}}}")
        } else {
            format!(
                "  {wheel}: {{kind: {kind}, reach: {{{}}}}}",
                ends.join(", ")
            )
        })
    });
    section(&mut lines, "brakes", brakes);
    lines.extend(quoted("bike_weight").map(|weight| format!("weight: {weight}")));
    lines.extend(quoted("price").map(|price| format!("price: {}", price.trim_matches('"'))));
    lines.push(String::new());
    lines.join("\n")
}

/// A section and what is in it, or nothing.
fn section(lines: &mut Vec<String>, key: &str, inside: impl Iterator<Item = String>) {
    let mut inside = inside.peekable();
    if inside.peek().is_some() {
        lines.push(format!("{key}:"));
        lines.extend(inside);
    }
}

/// Both brakes and their kinds; nothing is taken for granted.
const BRAKES: [(&str, [(&str, &str); 4]); 2] = [
    (
        "front_brake",
        [
            ("", "not looked at"),
            ("hand", "hand lever"),
            ("coaster", "back-pedal"),
            ("none", "none"),
        ],
    ),
    (
        "rear_brake",
        [
            ("", "not looked at"),
            ("hand", "hand lever"),
            ("coaster", "back-pedal"),
            ("none", "none"),
        ],
    ),
];

fn show(
    shop: &Shop,
    query: &Query,
    status: StatusCode,
    read: Option<&Result<Bike, Vec<Slip>>>,
) -> Reply {
    let none = Vec::new();
    let (bike, all) = match read {
        Some(Ok(bike)) => (Some(bike), &none),
        Some(Err(slips)) => (None, slips),
        None => (None, &none),
    };
    let mut rest: Vec<&Slip> = all.iter().collect();
    let mut field = |&(flag, label, hint): &Row, kind| Field {
        flag,
        label,
        hint,
        kind,
        value: query.get(flag).unwrap_or_default().to_owned(),
        kept: None,
        slips: take(&mut rest, flag),
    };
    let name = field(&("name", "Name", "as on the rack, with the size"), "text");
    let tyres = field(
        &("tyres", "Tyres", "as on the sidewall: 54-507 or 24x1.95"),
        "text",
    );
    let five = FIVE.iter().map(|row| field(row, "decimal")).collect();
    let more = MORE.iter().map(|row| field(row, "decimal")).collect();
    let question = shop.counter.ask(&query.carried());
    let wrong_child = question.as_ref().err().cloned().unwrap_or_default();
    let question = question.ok();
    let units = question
        .as_ref()
        .filter(|_| query.get("units").is_some())
        .map_or("cm", |question| question.units.word());
    let styles: Vec<_> = [Style::Street, Style::Trail, Style::Balance]
        .iter()
        .map(|style| (style.word(), style.word()))
        .collect();
    let rider = question.as_ref().and_then(|question| {
        let rider = question.rider.as_ref().ok()?;
        Some((Arc::clone(rider), question.options))
    });
    let mut form = Form::new(shop, "/bike", query, question.as_ref(), &wrong_child);
    form.is_open = !wrong_child.is_empty();
    let page = Page {
        frame: Frame::new("Add a bike", "/bike", query, form),
        name,
        tyres,
        styles: chosen(query, "style", &styles),
        five,
        more,
        brakes: BRAKES.map(|(key, kinds)| chosen(query, key, &kinds)),
        slips: rest.iter().map(|slip| told(&labelled(slip))).collect(),
        wrong: all.iter().map(|slip| told(&labelled(slip))).collect(),
        can_keep: shop.counter.keeps(Kept::Bike),
        asks_to_replace: all.iter().any(|slip| slip.field == "replace"),
        units: units.to_owned(),
        text: read.is_some().then(|| frame_file(query)),
        answer: bike.map(|bike| {
            let picture = rider.is_some().then(|| {
                ["new", "new-upright"]
                    .map(|kind| format!("/picture/{kind}?{}", query.flags().encoded()))
            });
            made(
                bike,
                picture,
                rider,
                question.map_or_else(Default::default, |question| question.units),
            )
        }),
        cautions: CAUTIONS,
    };
    Reply::page(status, &page)
}

/// A slip under the name of its box.
fn labelled(slip: &Slip) -> Slip {
    let mut rows = FIVE.iter().chain(MORE);
    let label = rows.find(|(flag, ..)| *flag == slip.field);
    Slip {
        field: label.map_or_else(
            || slip.field.replace('_', " "),
            |(_, label, _)| (*label).to_owned(),
        ),
        message: slip.message.clone(),
    }
}

fn made(
    bike: &Bike,
    picture: Option<[String; 2]>,
    rider: Option<(Arc<Rider>, Options)>,
    units: crate::units::Units,
) -> Made {
    let bike = Arc::new(bike.clone());
    let rack = RackBike::new(Arc::clone(&bike));
    let fit = rider.map(|(rider, options)| assess(&rider, &bike, &options));
    // What is to be found out first stands above, and comes first.
    let judged = match &fit {
        Some(fit) => fit.verdict,
        None if rack.undone.is_empty() => Verdict::Fits,
        None => Verdict::Incomplete,
    };
    let verdict = fit.map(|fit| VerdictView::new(&fit, Stop::of(&fit).as_ref(), units));
    let open = report::left_open(&rack);
    Made {
        yet: nobody_yet(&rack),
        name: bike.spec.name.clone(),
        windows: STAGES
            .into_iter()
            .filter(|stage| !rack.is_repeated(*stage))
            .map(|stage| {
                let window = rack.window(stage);
                (
                    stage_words(stage),
                    if window.is_ok() {
                        format!("{} {units}", report::heights(window, units))
                    } else {
                        report::heights(window, units)
                    },
                    report::ages(window),
                )
            })
            .collect(),
        picture,
        verdict,
        assumed: sentences(&assumed::lines(&bike, judged, units, assumed::short)),
        look_again: bike
            .mismatches
            .iter()
            .map(|found| found.words(units))
            .chain(open)
            .collect(),
    }
}
