//! Add a bike: the figures that a tape takes off the bike on the floor, written as a frame file and read like any other.
//! What the figures make is the reader's business; the file is kept only when that is asked for.

use std::sync::Arc;

use askama::Template;
use axum::http::StatusCode;

use crate::advice::rack::{RackBike, STAGES};
use crate::advice::stop::Stop;
use crate::bike::{Bike, Style, slips};
use crate::cautions::CAUTIONS;
use crate::draw;
use crate::fit::{Fit, Options, Status, Verdict, assess};
use crate::page::query::Query;
use crate::page::screens::boxes::{
    BRAKES, ELSEWHERE, FIVE, MORE, NAME, REAR_TYRE, TYRES, box_of, in_words_of_the_form,
};
use crate::page::screens::keep::{KeptPage, slips};
use crate::page::screens::pair::{
    Setting, growth, read_this, sentences_to_look_at, settings, warnings,
};
use crate::page::screens::rack::nobody_yet;
use crate::page::screens::{Answer, Reply, in_its_unit};
use crate::page::shop::Shop;
use crate::page::view::{
    Choice, Field, Form, Frame, Pick, Row, Shown, VerdictView, chosen, keys, sentences,
    stage_words, take, told_as, unit_choices,
};
use crate::page::{Kept, Slip};
use crate::report::assumed;
use crate::report::rack as report;
use crate::report::verdict_text::cautions;
use crate::rider::Rider;
use crate::units::{Units, last_unit};
use crate::words::{either, sentence};

#[derive(Template)]
#[template(path = "add.html", config = "src/page/askama.toml")]
struct Page {
    frame: Frame,
    name: Field,
    tyres: Field,
    rear_tyre: Field,
    style: Pick,
    five: Vec<Field>,
    more: Vec<Field>,
    brakes: [Pick; 2],
    /// What no single box is to blame for.
    slips: Vec<String>,
    /// Everything that is wrong, each with its box's name.
    wrong: Vec<String>,
    can_keep: bool,
    asks_to_replace: bool,
    units: [Choice; 3],
    /// Keyboard for figures.
    keys: &'static str,
    /// The file as it would be kept.
    text: Option<String>,
    answer: Option<Made>,
    cautions: Vec<&'static str>,
}

/// What the figures make.
struct Made {
    name: String,
    /// What it comes to for the child of the page, or for anybody.
    judged: Verdict,
    /// Why nobody has it yet.
    yet: Option<String>,
    windows: Vec<(&'static str, String, String)>,
    picture: Option<Shown>,
    /// What that child's saddle and levers are set to.
    settings: Vec<Setting>,
    growth: Vec<String>,
    /// What the child of the page comes to on it.
    verdict: Option<VerdictView>,
    /// What that child must not pass over.
    read_this: Vec<String>,
    assumed: Vec<String>,
    look_again: Vec<String>,
}

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

/// The bike that the figures make; None before anything is said of one.
fn read(shop: &Shop, query: &Query) -> Option<Result<Bike, Vec<Slip>>> {
    let boxes = [NAME, TYRES, REAR_TYRE].map(|row| row.0).into_iter();
    let boxes = boxes.chain(["style"]).chain(BRAKES.map(|(key, ..)| key));
    let mut boxes = boxes.chain(FIVE.iter().chain(MORE).map(|row| row.0));
    if boxes.all(|flag| query.get(flag).is_none()) {
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
                message: above_largest_gap(query, &slip).unwrap_or(slip.message),
                field: box_of(query, &slip.field).to_owned(),
            };
            let meant = |slip: Slip| in_another_unit(shop, &whole, slip);
            wrong.extend(slips.into_iter().map(own).map(meant));
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

/// A figure that its box would take in another unit of a tape is asked whether that is meant.
fn in_another_unit(shop: &Shop, query: &Query, slip: Slip) -> Slip {
    let value = query.get(&slip.field).unwrap_or_default();
    let unit = last_unit(value);
    let number = value.strip_suffix(unit).unwrap_or(value).trim_end();
    // Of a plain number the reader asks by itself.
    if unit.is_empty() || number.parse::<f64>().is_err() {
        return slip;
    }
    let others = [Units::Mm, Units::Cm, Units::In].into_iter();
    let others = others.filter(|other| other.word() != unit);
    let meant = others.map(|other| format!("{number} {other}"));
    let meant = meant.filter(|text| {
        let asked = query.keeping(|flag| flag != slip.field);
        let read = shop
            .counter
            .read_bike("new", &frame_file(&asked.with(&slip.field, text)));
        let is_wrong = |slips: &Vec<Slip>| {
            slips
                .iter()
                .any(|one| box_of(query, &one.field) == slip.field)
        };
        !read.as_ref().is_err_and(is_wrong)
    });
    let meant: Vec<_> = meant.collect();
    if meant.is_empty() {
        return slip;
    }
    Slip {
        message: format!("{}; did you mean {}?", slip.message, either(&meant)),
        field: slip.field,
    }
}

/// Lever gaps that no brake of the form has a place for.
fn gaps_without_lever(query: &Query) -> Vec<Slip> {
    let has_lever = |key: &str| query.get(key) == Some("hand");
    let both = BRAKES.iter().any(|(key, _)| has_lever(key));
    let gaps = [
        ("lever_gap_min", both),
        ("lever_gap_max", both),
        ("rear_gap_min", has_lever("rear_brake")),
        ("rear_gap_max", has_lever("rear_brake")),
    ];
    gaps.into_iter()
        .filter(|(gap, has_lever)| !has_lever && query.get(gap).is_some())
        .map(|(gap, _)| {
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

/// The figures as a frame file.
fn frame_file(query: &Query) -> String {
    // Text between double quotes is the same in JSON and YAML.
    let quoted = |key: &str| Some(serde_json::Value::from(query.get(key)?).to_string());
    let mut lines = vec!["# Measured at the counter.".to_owned()];
    let head = ["name", "style"].into_iter();
    lines.extend(head.filter_map(|key| Some(format!("{key}: {}", quoted(key)?))));
    // What is said of the rear wheel alone, or else what is said of both.
    let rear = |key: &str, both: &str| quoted(key).or_else(|| quoted(both));
    let tyres = quoted("tyres").zip(rear("rear_tyre", "tyres"));
    lines.extend(tyres.map(|(front, rear)| format!("tyres: {{front: {front}, rear: {rear}}}")));
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
    let post = [
        ("length", "post_length"),
        ("minimum_insertion", "minimum_insertion"),
    ];
    let post = post.into_iter().filter_map(|(key, flag)| of(key, flag));
    section(&mut lines, "seat_post", post);
    let both = BRAKES.iter().all(|(key, ..)| query.get(key).is_some());
    let brakes = BRAKES.iter().filter(|_| both).filter_map(|(key, ..)| {
        let wheel = key.trim_end_matches("_brake");
        let kind = quoted(key)?;
        let ends: Vec<_> = ["min", "max"]
            .into_iter()
            .filter(|_| query.get(key) == Some("hand"))
            .filter_map(|end| {
                let both = format!("lever_gap_{end}");
                let gap = match wheel {
                    "rear" => rear(&format!("rear_gap_{end}"), &both),
                    _ => quoted(&both),
                };
                Some(format!("{end}: {}", gap?))
            })
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

/// Their kinds; nothing is taken for granted.
const BRAKE_KINDS: [(&str, &str); 4] = [
    ("", "not looked at"),
    ("hand", "hand lever"),
    ("coaster", "back-pedal"),
    ("none", "none"),
];

fn show(
    shop: &Shop,
    query: &Query,
    status: StatusCode,
    read: Option<&Result<Bike, Vec<Slip>>>,
) -> Reply {
    let none = Vec::new();
    let (bike, all) = match read {
        Some(Ok(bike)) => (Some(bike), none),
        Some(Err(slips)) => (None, in_words(in_its_unit(query, slips.clone()))),
        None => (None, none),
    };
    let mut rest: Vec<&Slip> = all.iter().collect();
    let mut field = |row: &Row| {
        let mut slips = take(&mut rest, row.0);
        // Whether to replace is asked about the name.
        if *row == NAME {
            slips.extend(take(&mut rest, "replace"));
        }
        Field::new(query, *row, slips)
    };
    let [name, tyres, rear_tyre] = [NAME, TYRES, REAR_TYRE].each_ref().map(&mut field);
    let five = FIVE.iter().map(&mut field).collect();
    let more = MORE.iter().map(&mut field).collect();
    let mut pick = |flag, label, words: &[(&str, &str)]| Pick {
        flag,
        label,
        choices: chosen(query, flag, words),
        slips: take(&mut rest, flag),
    };
    let brakes = BRAKES.map(|(flag, label)| pick(flag, label, &BRAKE_KINDS));
    let styles: Vec<_> = [Style::Street, Style::Trail, Style::Balance]
        .iter()
        .map(|style| (style.word(), style.word()))
        .collect();
    let style = pick("style", "Style", &styles);
    let question = shop.counter.ask(&query.carried());
    let wrong_child = question.as_ref().err().cloned().unwrap_or_default();
    let wrong_child = in_its_unit(query, wrong_child);
    let question = question.ok();
    let units = query.units();
    let rider = question.as_ref().and_then(|question| {
        let rider = question.rider.as_ref().ok()?;
        Some((Arc::clone(rider), question.options))
    });
    let mut form = Form::new(shop, "/bike", query, question.as_ref(), &wrong_child);
    form.is_open = !wrong_child.is_empty();
    let frame = Frame::new("Add a bike", "/bike", query, form);
    let answer = bike.map(|bike| {
        let picture = rider.is_some().then(|| {
            let query = query.flags().encoded();
            let says = "The child on the new bike, side view to scale";
            Shown::new("new", |path| format!("{path}?{query}"), says).beside_a_form()
        });
        let mut made = made(bike, picture, rider, units);
        if let (Some(verdict), Some(question)) = (made.verdict.take(), &question) {
            made.verdict = Some(if verdict.stop.is_empty() {
                verdict
            } else {
                let instead = question.instead(shop).unwrap_or_default();
                verdict.offering(instead.as_deref(), &frame)
            });
        }
        made
    });
    let page = Page {
        name,
        tyres,
        rear_tyre,
        style,
        five,
        more,
        brakes,
        slips: rest.iter().map(|slip| told_in_form(slip)).collect(),
        wrong: all.iter().map(told_in_form).collect(),
        can_keep: shop.counter.keeps(Kept::Bike),
        asks_to_replace: all.iter().any(|slip| slip.field == "replace"),
        units: unit_choices(units),
        keys: keys(units),
        text: read.is_some().then(|| frame_file(query)),
        cautions: answer
            .as_ref()
            .map_or_else(|| CAUTIONS.to_vec(), |made| cautions(made.judged)),
        answer,
        frame,
    };
    Reply::page(status, &page)
}

/// Slips that name another box as the form does.
fn in_words(mut slips: Vec<Slip>) -> Vec<Slip> {
    for slip in &mut slips {
        slip.message = in_words_of_the_form(&slip.message);
    }
    slips
}

/// What is wrong with a gap of a lever that is above its largest, with the box that the largest was written in.
fn above_largest_gap(query: &Query, slip: &Slip) -> Option<String> {
    let brake = slip.field.strip_suffix(".reach.min")?;
    let (found, limit) = slip.message.split_once("above max, ")?;
    let largest = format!("{brake}.reach.max");
    let flag = box_of(query, &largest);
    let label = MORE.iter().find(|row| row.0 == flag)?.1;
    let label = label.trim_end_matches(", mm");
    Some(format!(
        "{found}above {label}, of {limit}: are the two swapped?"
    ))
}

/// A slip under the name of its box.
fn told_in_form(slip: &Slip) -> String {
    let rows = [NAME, TYRES, REAR_TYRE].into_iter();
    let rows = rows.chain(FIVE.iter().chain(MORE).copied());
    let labels = rows.map(|row| (row.0, row.1));
    let mut labels = labels.chain(BRAKES).chain([("style", "Style")]);
    let label = labels.find(|(flag, _)| *flag == slip.field);
    told_as(slip, label.map(|(_, label)| label))
}

/// What could not be checked for this child and is not said already.
fn open_for(fit: &Fit, told: &[String], units: Units) -> Vec<String> {
    fit.findings()
        .filter(|finding| matches!(finding.status(), Status::NotChecked(_)))
        .map(|finding| fit.told(&finding, units))
        .filter(|line| !told.contains(&in_words_of_the_form(&sentence(line))))
        .collect()
}

fn made(
    bike: &Bike,
    picture: Option<Shown>,
    rider: Option<(Arc<Rider>, Options)>,
    units: Units,
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
    let stop = fit.as_ref().and_then(Stop::of);
    let (set, grows) = fit.as_ref().map_or_else(Default::default, |fit| {
        let set = settings(fit, stop.as_ref(), units);
        (set, growth(fit, stop.is_none(), units))
    });
    // What is open for this child is no matter of middle-sized ones.
    let (verdict, read, open) = if let Some(fit) = &fit {
        let view = VerdictView::new(fit, stop.as_ref(), units);
        let read = read_this(fit, units);
        let open = open_for(fit, &read, units);
        let again = warnings(fit, units).into_iter().chain(open);
        (Some(view), read, sentences_to_look_at(again.collect(), fit))
    } else {
        let own = bike.mismatches.iter().map(|found| found.words(units));
        let own = own.chain(report::left_open(&rack));
        (None, Vec::new(), own.collect())
    };
    Made {
        yet: nobody_yet(&rack).map(|line| in_words_of_the_form(&line)),
        name: bike.spec.name.clone(),
        judged,
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
        settings: set,
        growth: grows,
        verdict,
        assumed: sentences(&assumed::lines(&bike, judged, units, assumed::short))
            .iter()
            .map(|line| in_words_of_the_form(line))
            .collect(),
        read_this: read,
        look_again: slips::of(&bike)
            .iter()
            .map(|slip| sentence(&in_words_of_the_form(slip)))
            .chain(open.iter().map(|line| in_words_of_the_form(line)))
            .collect(),
    }
}
