//! The boxes of a new bike: what each is called, which key of a frame file it is, and that key in a box's words.
//! What is done with them is `add`'s; the child's boxes are `view`'s.

use crate::page::query::Query;
use crate::page::view::{FIGURE, Row};
use crate::words::{key_in_words, key_to_give};

pub(super) const NAME: Row = ("name", "Name", "as on the rack, with the size", "text");
pub(super) const TYRES: Row = (
    "tyres",
    "Tyres",
    "as on the sidewall: 54-507 or 24x1.95",
    "text",
);
pub(super) const REAR_TYRE: Row = (
    "rear_tyre",
    "Rear tyre",
    "only where it differs from the front",
    "text",
);
/// What `measured:` holds, the five first.
pub(super) const FIVE: &[Row] = &[
    (
        "bottom_bracket_height",
        "Bottom bracket height",
        "1 on the sheet: ground to the middle of the cranks' axle",
        FIGURE,
    ),
    (
        "seat_height_lowest",
        "Seat height, lowest",
        "2: ground to the saddle top, post right down",
        FIGURE,
    ),
    (
        "seat_height_highest",
        "Seat height, highest",
        "3: ground to the saddle top, post raised to its mark",
        FIGURE,
    ),
    (
        "standover",
        "Standover",
        "4: ground to the top tube's upper edge, midway along it",
        FIGURE,
    ),
    (
        "crank_length",
        "Crank length, mm",
        "5: as stamped on the crank, middle of the axle to the middle of the pedal's; none on a balance bike",
        FIGURE,
    ),
];
pub(super) const MORE: &[Row] = &[
    (
        "grip_height",
        "Grip height",
        "6: ground to the middle of a grip",
        FIGURE,
    ),
    (
        "grip_ahead",
        "Grip ahead",
        "7: bracket to grip, level; both from the wall, one less the other",
        FIGURE,
    ),
    (
        "front_centre",
        "Front centre",
        "8: middle of the cranks' axle to that of the front axle, straight",
        FIGURE,
    ),
    (
        "chainstay",
        "Chainstay",
        "9: middle of the cranks' axle to that of the rear axle, straight",
        FIGURE,
    ),
    (
        "seat_tube_angle",
        "Seat tube angle",
        "degrees; angle gauge on the seat post",
        FIGURE,
    ),
    (
        "head_angle",
        "Head angle",
        "degrees; angle gauge on the head tube",
        FIGURE,
    ),
    (
        "lever_gap_min",
        "Lever gap, screwed in, mm",
        "hand brakes: lever to grip; decides for a small hand",
        FIGURE,
    ),
    (
        "lever_gap_max",
        "Lever gap, let out, mm",
        "hand brakes: lever to grip",
        FIGURE,
    ),
    (
        "rear_gap_min",
        "Rear lever gap, screwed in, mm",
        "only where it differs from the front",
        FIGURE,
    ),
    (
        "rear_gap_max",
        "Rear lever gap, let out, mm",
        "only where it differs from the front",
        FIGURE,
    ),
    (
        "post_length",
        "Length of the post",
        "the whole post, pulled out",
        FIGURE,
    ),
    (
        "minimum_insertion",
        "Minimum insertion of the post",
        "from the mark on the post to its lower end",
        FIGURE,
    ),
    ("handlebar_width", "Handlebar width", "end to end", FIGURE),
    (
        "q_factor",
        "Q factor, mm",
        "across both cranks, outer face to outer face at the pedals",
        FIGURE,
    ),
    (
        "pedal_width",
        "Pedal width",
        "across one pedal's platform",
        FIGURE,
    ),
    ("bike_weight", "Weight of the bike", "kg", FIGURE),
    ("price", "Price", "a plain number", FIGURE),
];
/// Boxes whose figure does not stand under `measured:`, each with its key; a gap stands at every hand brake.
pub(super) const ELSEWHERE: [(&str, &str); 12] = [
    ("crank_length", "cranks.length"),
    ("q_factor", "cranks.q_factor"),
    ("pedal_width", "cranks.pedal_width"),
    ("handlebar_width", "cockpit.handlebar.width"),
    ("post_length", "seat_post.length"),
    ("minimum_insertion", "seat_post.minimum_insertion"),
    ("bike_weight", "weight"),
    ("price", "price"),
    ("lever_gap_min", "brakes.front.reach.min"),
    ("lever_gap_max", "brakes.front.reach.max"),
    ("rear_gap_min", "brakes.rear.reach.min"),
    ("rear_gap_max", "brakes.rear.reach.max"),
];

/// Both brakes.
pub(super) const BRAKES: [(&str, &str); 2] =
    [("front_brake", "Front brake"), ("rear_brake", "Rear brake")];

/// Keys of the frame file in a sentence, as their boxes are called.
pub(super) fn in_words_of_the_form(line: &str) -> String {
    let gap = "the lever gaps";
    // What is said with its key behind it is said once.
    let both = [
        "cranks.q_factor and cranks.pedal_width",
        "seat_post.minimum_insertion and seat_post.length",
    ];
    let keys = ELSEWHERE.iter().map(|(_, key)| *key);
    let mut line = both
        .into_iter()
        .chain(keys)
        .filter(|key| key.contains('.'))
        .fold(line.to_owned(), |line, key| {
            line.replace(&*key_to_give(key), key)
        });
    line = line.replace(" (`reach` of each hand brake)", "");
    line = line.replace("`reach` of each hand brake", gap);
    for (key, row) in [("tyres.front:", TYRES), ("tyres.rear:", REAR_TYRE)] {
        line = line.replace(key, &format!("{}:", row.1));
    }
    line = line.replace("weight in the frame file", "Weight of the bike");
    for wheel in ["front", "rear"] {
        for end in ["min", "max"] {
            line = line.replace(&format!("brakes.{wheel}.reach.{end}"), gap);
        }
        let reach = format!("brakes.{wheel}.reach");
        line = line
            .replace(&format!("`{reach}`"), gap)
            .replace(&reach, gap);
    }
    for &(flag, label, ..) in FIVE.iter().chain(MORE) {
        let elsewhere = ELSEWHERE.iter().find(|(own, _)| *own == flag);
        let key =
            elsewhere.map_or_else(|| format!("measured.{flag}"), |(_, key)| (*key).to_owned());
        // A figure that was named before its key has its box's name already.
        for named in [")", &key_in_words(&key)] {
            line = line.replace(&format!("{named}: `{key}`"), named);
        }
        // `weight` and `price` are words as well.
        if key.contains('.') {
            let label = label.trim_end_matches(", mm");
            line = line.replace(&format!("`{key}`"), &key).replace(&key, label);
            // A key that is said without its section, and is no word.
            if flag.contains('_') {
                line = line.replace(flag, label);
            }
        }
    }
    line
}

/// The box that a key of the frame file was written in; the key itself where there is none.
pub(super) fn box_of<'k>(query: &Query, key: &'k str) -> &'k str {
    let at = |path: &str| ELSEWHERE.iter().find(|(_, known)| *known == path);
    let is_given = |flag: &str| query.get(flag).is_some();
    // The rear wheel's boxes are filled in only where it differs.
    let elsewhere = at(key)
        .filter(|(flag, _)| is_given(flag))
        .or_else(|| at(&key.replace("brakes.rear.", "brakes.front.")));
    match (elsewhere, key) {
        (Some((flag, _)), _) => flag,
        (None, "tyres.rear") if is_given("rear_tyre") => "rear_tyre",
        (None, "tyres.front" | "tyres.rear") => "tyres",
        (None, "cranks") => "crank_length",
        (None, "brakes.front" | "brakes.front.kind") => "front_brake",
        (None, "brakes.rear" | "brakes.rear.kind") => "rear_brake",
        (None, "brakes.rear.reach") if is_given("rear_gap_min") => "rear_gap_min",
        (None, "brakes.front.reach" | "brakes.rear.reach") => "lever_gap_min",
        (None, key) => key.strip_prefix("measured.").unwrap_or(key),
    }
}
