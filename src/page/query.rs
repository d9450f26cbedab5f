//! The query of an address: pairs of flag and value, as the command line would have them.
//! Also what a form adds: plain numbers get the unit that the form shows, and the address is written anew.
//! What the flags mean is the counter's business.

use form_urlencoded::{Serializer, parse};

use crate::units::Units;
use crate::words::tidy;

/// Flags that describe the rider, and how figures are shown: what goes from screen to screen.
const CARRIED: &[&str] = &[
    "rider",
    "inseam",
    "height",
    "arm-reach",
    "hand-length",
    "knee-height",
    "hip-height",
    "foot-length",
    "age",
    "born",
    "sex",
    "weight",
    "stage",
    "measured-by",
    "measured-on",
    "sole",
    "units",
    "exact",
    "on",
];
/// Those of them that say who is asked about, and so ask for the figures as well.
const OF_A_CHILD: &[&str] = &[
    "hand-length",
    "knee-height",
    "hip-height",
    "foot-length",
    "age",
    "born",
    "weight",
];
/// What only a form sends, which is no flag.
const OF_FORMS: &[&str] = &["form", "keep-as", "replace", "shown-for"];
/// The unit that an empty form starts with: what a parent's tape shows.
const FIRST_UNIT: Units = Units::Cm;
/// A plain number in an age's box below this is in years; above it stands a year.
const MOST_YEARS: f64 = 200.0;
/// Lengths of the rider and of a bike, for a plain number in a form. What the trade stamps or tells in millimetres
/// (cranks, lever gaps) is in millimetres in every form, as it is without one.
const LENGTHS: &[&str] = &[
    "inseam",
    "height",
    "arm-reach",
    "hand-length",
    "knee-height",
    "hip-height",
    "foot-length",
    "sole",
    "bottom_bracket_height",
    "seat_height_lowest",
    "seat_height_highest",
    "standover",
    "grip_height",
    "grip_ahead",
    "front_centre",
    "chainstay",
    "handlebar_width",
    "post_length",
    "minimum_insertion",
    "pedal_width",
];

/// Other boxes that hold figures: where a comma between digits is a decimal point.
const FIGURES: &[&str] = &[
    "age",
    "weight",
    "crank_length",
    "seat_tube_angle",
    "head_angle",
    "q_factor",
    "lever_gap_min",
    "lever_gap_max",
    "rear_gap_min",
    "rear_gap_max",
    "bike_weight",
    "price",
];

/// Flags and values in the order given; empty values are left out.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Query(Vec<(String, String)>);

impl Query {
    /// From the text behind the question mark, or a form's body.
    pub fn parse(text: &str) -> Self {
        let pairs = parse(text.as_bytes()).into_owned();
        Self(
            pairs
                .map(|(flag, value)| (flag, value.trim().to_owned()))
                .filter(|(_, value)| !value.is_empty())
                .collect(),
        )
    }

    /// Every pair.
    pub fn pairs(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0
            .iter()
            .map(|(flag, value)| (flag.as_str(), value.as_str()))
    }

    /// The first value of a flag.
    pub fn get(&self, flag: &str) -> Option<&str> {
        self.pairs()
            .find(|(name, _)| *name == flag)
            .map(|(_, value)| value)
    }

    /// Only what describes the rider and how figures are shown.
    #[must_use]
    pub fn carried(&self) -> Self {
        self.keeping(|flag| CARRIED.contains(&flag))
    }

    /// Only what a command line could say.
    #[must_use]
    pub fn flags(&self) -> Self {
        self.keeping(|flag| !OF_FORMS.contains(&flag))
    }

    /// Only some flags.
    #[must_use]
    pub fn keeping(&self, keeps: impl Fn(&str) -> bool) -> Self {
        let pairs = self.0.iter().filter(|(flag, _)| keeps(flag));
        Self(pairs.cloned().collect())
    }

    /// With one more pair.
    #[must_use]
    pub fn with(mut self, flag: &str, value: &str) -> Self {
        self.0.push((flag.to_owned(), value.to_owned()));
        self
    }

    /// Whether something is said of a child that no other figure needs.
    pub fn describes_a_child(&self) -> bool {
        OF_A_CHILD.iter().any(|flag| self.get(flag).is_some())
    }

    /// Whether a form was sent.
    pub fn is_of_form(&self) -> bool {
        self.get("form").is_some()
    }

    /// What a plain number is in the forms, and what figures are shown in: the unit that was asked for; without one a
    /// form that nobody has filled in has its own, and an address what the command line has.
    pub fn units(&self) -> Units {
        match self.get("units") {
            Some(word) => word.parse().unwrap_or_default(),
            None if self.0.is_empty() => FIRST_UNIT,
            None => Units::default(),
        }
    }

    /// What stands in a box: what has to be put right as it was typed, and never a plain number that the form would
    /// take for another length than the address does.
    pub fn in_box(&self, flag: &str, is_wrong: bool) -> String {
        let value = self.get(flag).unwrap_or_default();
        let unit = self.units();
        let is_length = LENGTHS.contains(&flag);
        if is_length && unit != Units::Mm && is_plain(value) {
            return format!("{value} {}", Units::Mm);
        }
        let typed = value
            .strip_suffix(unit.word())
            .filter(|typed| is_wrong && is_length && is_plain(typed));
        typed.unwrap_or(value).to_owned()
    }

    /// What is said of a box, where the command line has millimetres or months: in the unit of the form.
    pub fn in_its_unit(&self, flag: &str, message: &str) -> String {
        let unit = self.units();
        if flag == "age" {
            return self.age_in_years(message);
        }
        if unit == Units::Mm || !LENGTHS.contains(&flag) {
            return message.to_owned();
        }
        // What stands between backticks was typed, or is to be typed as it stands.
        let mut is_example = false;
        let parts = message.split('`').enumerate().map(|(index, part)| {
            if index % 2 == 0 {
                is_example = part.ends_with("for example ");
                lengths_in(unit, part)
            } else {
                let plain = part.parse().ok().filter(|_| is_example);
                plain.map_or_else(|| part.to_owned(), |mm| unit.bare(mm))
            }
        });
        parts.collect::<Vec<_>>().join("`")
    }

    /// A plain number in the age's box was read in years: out of range it is told as that, and months are asked about.
    fn age_in_years(&self, message: &str) -> String {
        const MONTHS: u32 = 12;
        let years = self.get("age").and_then(|age| age.strip_suffix('y'));
        let years = years.and_then(|years| years.parse::<u16>().ok());
        let Some(years) = years.map(u32::from).filter(|years| *years >= MONTHS) else {
            return message.to_owned();
        };
        let found = format!("found {} months", years * MONTHS);
        match message.strip_prefix(&*found) {
            Some(allowed) => {
                format!("found {years} years{allowed}; did you mean `{years} months`?")
            }
            None => message.to_owned(),
        }
    }

    /// What a form means, as flags: a plain number is in the form's unit, an age in years, and a comma between digits
    /// is a decimal point, because the keys of many a phone have no other. What the boxes showed for
    /// one child is nothing that was said about another who is chosen instead.
    #[must_use]
    pub fn from_form(&self) -> Self {
        let unit = self.units();
        // Only the child's own form says whose figures it shows, a stroke where they are nobody's.
        let is_other = self
            .get("rider")
            .zip(self.get("shown-for"))
            .is_some_and(|(rider, shown)| rider != shown);
        let stays = |flag: &str| {
            !is_other
                || !CARRIED.contains(&flag)
                || ["rider", "units", "exact", "on"].contains(&flag)
        };
        let flags = self.flags().keeping(stays);
        let pairs = flags.0.into_iter().map(|(flag, mut value)| {
            let is_length = LENGTHS.contains(&flag.as_str());
            if is_length || FIGURES.contains(&flag.as_str()) {
                value = with_decimal_points(&value, &flag);
            }
            // Behind feet only inches are left out.
            let ends_plain = value.ends_with(|c: char| c.is_ascii_digit());
            let is_meant = is_plain(&value) || unit == Units::In && ends_plain;
            let is_years = || value.parse().is_ok_and(|years: f64| years < MOST_YEARS);
            if is_length && is_meant {
                value.push_str(unit.word());
            } else if flag == "age" && is_plain(&value) && is_years() {
                value.push('y');
            }
            (flag, value)
        });
        Self(pairs.collect())
    }

    /// As it stands in an address.
    pub fn encoded(&self) -> String {
        let mut text = Serializer::new(String::new());
        text.extend_pairs(self.pairs());
        text.finish()
    }
}

/// Words with their lengths in `unit` instead of millimetres, where a range's ends in that unit stand behind it those.
fn lengths_in(unit: Units, text: &str) -> String {
    // As exact as it may have been typed; inches stand in sixteenths everywhere.
    let bare = |mm: f64| match unit {
        Units::Cm => tidy(mm / 10.0, 3),
        Units::Mm | Units::In => unit.bare(mm),
    };
    let mut told: Vec<String> = Vec::new();
    let mut words = text.split(' ').peekable();
    while let Some(word) = words.next() {
        let figure = told.last().and_then(|word| word.parse::<f64>().ok());
        let behind = word
            .strip_prefix("mm")
            .filter(|rest| !rest.contains(char::is_alphanumeric));
        let (Some(high_mm), Some(mut behind)) = (figure, behind) else {
            told.push(word.to_owned());
            continue;
        };
        told.pop();
        told.push(format!("{} {unit}", bare(high_mm)));
        if let [.., low, to, high] = told.as_mut_slice()
            && to == "to"
            && let Ok(low_mm) = low.parse()
        {
            *low = bare(low_mm);
            let own: Vec<&str> = words.clone().take(4).collect();
            if let [own_low, "to", own_high, own_unit] = own[..]
                && let Some(own_low) = own_low.strip_prefix('(')
                && let Some((own_unit, rest)) = own_unit.split_once(')')
                && own_unit == unit.word()
            {
                own_low.clone_into(low);
                *high = format!("{own_high} {own_unit}");
                behind = rest;
                words.nth(3);
            }
        }
        if let Some(last) = told.last_mut() {
            last.push_str(behind);
        }
    }
    told.join(" ")
}

/// Whether a figure has no unit; its spread may stand behind it.
fn is_plain(text: &str) -> bool {
    let is_of_number = |c: char| c.is_ascii_digit() || " ./±+-−".contains(c);
    text.ends_with(|c: char| c.is_ascii_digit()) && text.chars().all(is_of_number)
}

/// The same with a point in place of the one comma of each number. A price with three digits behind it may mean
/// thousands, and stays as it is.
fn with_decimal_points(text: &str, flag: &str) -> String {
    let is_of_number = |c: char| c.is_ascii_digit() || c == '.' || c == ',';
    let mut read = String::new();
    let mut rest = text;
    while !rest.is_empty() {
        let end = rest.find(|c| !is_of_number(c)).unwrap_or(rest.len());
        let (number, after) = rest.split_at(end);
        match number.split_once(',') {
            Some((whole, part))
                if [whole, part]
                    .iter()
                    .all(|digits| !digits.is_empty() && !digits.contains(['.', ',']))
                    && (flag != "price" || part.len() != 3) =>
            {
                read.push_str(whole);
                read.push('.');
                read.push_str(part);
            }
            _ => read.push_str(number),
        }
        let next = after.find(is_of_number).unwrap_or(after.len());
        read.push_str(&after[..next]);
        rest = &after[next..];
    }
    read
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plain_number_in_a_form_has_the_unit_that_the_form_shows() {
        let form = Query::parse(
            "form=1&units=cm&inseam=66&height=1.38+m&arm-reach=&age=8&weight=30&sole=1.5",
        );
        assert_eq!(
            form.from_form().encoded(),
            "units=cm&inseam=66cm&height=1.38+m&age=8y&weight=30&sole=1.5cm"
        );
    }

    #[test]
    fn a_comma_between_digits_is_a_decimal_point_in_a_form_and_nowhere_else() {
        let form = "units=cm&height=128,5&inseam=60,5+cm+%C2%B1+0,5&age=7,5&weight=27,4&price=1,200&bike_weight=8,9&arm-reach=1,2,3&name=A,1";
        let form = Query::parse(form);
        let read = form.from_form();
        for (flag, value) in [
            ("height", "128.5cm"),
            ("inseam", "60.5 cm ± 0.5"),
            ("age", "7.5y"),
            ("weight", "27.4"),
            ("price", "1,200"),
            ("bike_weight", "8.9"),
            ("arm-reach", "1,2,3"),
            ("name", "A,1"),
        ] {
            assert_eq!(read.get(flag), Some(value), "{flag}");
        }
        assert_eq!(form.get("height"), Some("128,5"));
    }

    #[test]
    fn cranks_and_lever_gaps_are_in_mm_in_every_form_and_a_year_is_no_age() {
        let form = "units=cm&crank_length=127&lever_gap_min=50&standover=52&age=2018";
        assert_eq!(
            Query::parse(form).from_form().encoded(),
            "units=cm&crank_length=127&lever_gap_min=50&standover=52cm&age=2018"
        );
        let inches = Query::parse("units=in&height=4%272&inseam=22+1/2&age=8y6").from_form();
        assert_eq!(inches.get("height"), Some("4'2in"));
        assert_eq!(inches.get("inseam"), Some("22 1/2in"));
        assert_eq!(inches.get("age"), Some("8y6"));
    }

    #[test]
    fn a_box_never_shows_a_number_that_its_form_would_read_otherwise() {
        let shown = |query: &str, is_wrong| Query::parse(query).in_box("standover", is_wrong);
        assert_eq!(shown("units=cm&standover=255", true), "255 mm");
        assert_eq!(shown("standover=255", true), "255");
        // What is wrong is shown as it was typed.
        assert_eq!(shown("units=cm&standover=255cm", true), "255");
        assert_eq!(shown("units=cm&standover=52cm", false), "52cm");
        assert_eq!(shown("units=cm&standover=255in", true), "255in");
        assert_eq!(shown("units=in&standover=4%272in", true), "4'2in");
    }

    #[test]
    fn what_is_wrong_with_a_length_is_told_in_the_unit_of_the_form() {
        let told = |form: &str, flag: &str, message: &str| {
            Query::parse(&format!("form=1&units={form}")).in_its_unit(flag, message)
        };
        let both = "found 900 mm at a height of 1000 mm; allowed 330 to 535 mm at that height; measure both again";
        assert_eq!(
            told("cm", "inseam", both),
            "found 90 cm at a height of 100 cm; allowed 33 to 53.5 cm at that height; measure both again"
        );
        // 900 / 25.4 = 35.43, 1000 / 25.4 = 39.37.
        let inches = told("in", "inseam", both);
        assert!(inches.starts_with("found 35"), "{inches}");
        assert!(
            !inches.contains("mm") && inches.matches(" in").count() == 3,
            "{inches}"
        );
        assert_eq!(told("mm", "inseam", both), both);
        assert_eq!(
            told(
                "cm",
                "height",
                "found 3000 mm; allowed 700 to 2000 mm (70 to 200 cm)"
            ),
            "found 300 cm; allowed 70 to 200 cm"
        );
        assert_eq!(
            told(
                "cm",
                "standover",
                "found 2550 mm; allowed 80 to 1000 mm (8 to 100 cm); did you mean `255 mm`?"
            ),
            "found 255 cm; allowed 8 to 100 cm; did you mean `255 mm`?"
        );
        // A box that is in millimetres in every form.
        let crank = "found 90 mm; allowed 100 to 200 mm";
        assert_eq!(told("cm", "crank_length", crank), crank);
        let swapped = "found 1280 mm with a height of 600 mm: are the two swapped?";
        assert_eq!(
            told("cm", "inseam", swapped),
            "found 128 cm with a height of 60 cm: are the two swapped?"
        );
    }

    #[test]
    fn figures_shown_for_one_child_are_not_sent_for_another() {
        let form =
            "form=1&frame=trail-24&units=cm&stage=confident&measured-by=shop&inseam=66&rider=";
        let as_sent = |rest: &str| Query::parse(&format!("{form}{rest}")).from_form().encoded();
        let alone = "frame=trail-24&units=cm&rider=Lotte";
        assert_eq!(as_sent("Lotte&shown-for=%2F"), alone);
        assert_eq!(as_sent("Lotte&shown-for=Max"), alone);
        let own = "frame=trail-24&units=cm&stage=confident&measured-by=shop&inseam=66cm";
        assert_eq!(
            as_sent("Lotte&shown-for=Lotte"),
            format!("{own}&rider=Lotte")
        );
        // Other forms carry the child along.
        assert_eq!(as_sent("Lotte"), format!("{own}&rider=Lotte"));
        assert_eq!(as_sent("&shown-for=Max"), own);
    }

    #[test]
    fn what_goes_from_screen_to_screen_is_the_rider_and_the_units() {
        let query = Query::parse("frame=trail-24&inseam=66cm&format=json&units=in&only=fits");
        assert_eq!(query.carried().encoded(), "inseam=66cm&units=in");
    }
}
