//! The query of an address: pairs of flag and value, as the command line would have them.
//! Also what a form adds: plain numbers get the unit that the form shows, and the address is written anew.
//! What the flags mean is the counter's business.

use form_urlencoded::{Serializer, parse};

/// Flags that describe the rider, and how figures are shown: what goes from screen to screen.
const CARRIED: &[&str] = &[
    "rider",
    "inseam",
    "height",
    "arm-reach",
    "hand-length",
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
/// What only a form sends, which is no flag.
const OF_FORMS: &[&str] = &["form", "keep-as", "replace", "shown-for"];
/// Lengths of the rider and of a bike, for a plain number in a form.
const LENGTHS: &[&str] = &[
    "inseam",
    "height",
    "arm-reach",
    "hand-length",
    "bottom_bracket_height",
    "seat_height_lowest",
    "seat_height_highest",
    "standover",
    "grip_height",
    "grip_ahead",
    "crank_length",
    "handlebar_width",
    "minimum_insertion",
    "q_factor",
    "pedal_width",
    "lever_gap_min",
    "lever_gap_max",
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

    /// Whether a form was sent.
    pub fn is_of_form(&self) -> bool {
        self.get("form").is_some()
    }

    /// What a form means, as flags: a plain number is in the form's unit, an age in years. What the boxes showed for
    /// one child is nothing that was said about another who is chosen instead.
    #[must_use]
    pub fn from_form(&self) -> Self {
        let unit = self.get("units").unwrap_or("mm").to_owned();
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
            let is_plain = value.ends_with(|c: char| c.is_ascii_digit());
            if is_plain && LENGTHS.contains(&flag.as_str()) {
                value.push_str(&unit);
            } else if is_plain && flag == "age" {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plain_number_in_a_form_has_the_unit_that_the_form_shows() {
        let form = Query::parse(
            "form=1&units=cm&inseam=66&height=1.38+m&arm-reach=&age=8&weight=30&sole=15",
        );
        assert_eq!(
            form.from_form().encoded(),
            "units=cm&inseam=66cm&height=1.38+m&age=8y&weight=30&sole=15"
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
