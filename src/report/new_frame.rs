//! A frame file to fill in: the five figures that decide first, then what sharpens them.
//! Keys, and how each is taken, come from the table in `bike::figure`; which wheel has which tyre from `bike::tyre`.

use std::fmt::Write as _;

use crate::bike::Style;
use crate::bike::figure::{CRANK_HOW, CRANK_NUMBER, DECIDING, Figure, SHARPER};
use crate::bike::tyre::TyreSize;

/// Those that take an angle gauge.
const ANGLES: [Figure; 2] = [Figure::SeatTubeAngle, Figure::HeadAngle];
/// What a maker's chart has.
const CHART: [Figure; 10] = [
    Figure::Chainstay,
    Figure::SeatTubeAngle,
    Figure::HeadAngle,
    Figure::Wheelbase,
    Figure::EffectiveTopTube,
    Figure::Stack,
    Figure::Reach,
    Figure::Standover,
    Figure::BottomBracketHeight,
    Figure::ForkOffset,
];

/// The file's text, ready to be filled in; as it stands it is read, and says what it lacks.
pub fn new_frame(style: Style, tyre: TyreSize, with_chart: bool) -> String {
    let mut text = String::from(
        "# A bike to fill in: write the figure behind its name and take the # in front of the line away, nothing else.\n\
         # Plain numbers are millimetres; `62 cm` and `24 1/2 in` work, too. `inseam check FILE` says what is open.\n\
         name: My bike\n",
    );
    // Writing to a text cannot fail.
    let _ = write!(
        text,
        "style: {style}                    # balance, street or trail\n\
         tyres: {{front: {tyre}, rear: {tyre}}}  # as printed on the sidewall\n"
    );
    text.push_str("measured:\n  # What decides, with a tape (numbers as on the sheet measuring-a-bike.svg):\n");
    rows(&mut text, &DECIDING, style, Some(1));
    text.push_str("  # Sharper, with a tape and a wall:\n");
    rows(&mut text, &SHARPER, style, Some(CRANK_NUMBER + 1));
    text.push_str("  # With an angle gauge:\n");
    rows(&mut text, &ANGLES, style, None);
    if style != Style::Balance {
        let _ = writeln!(
            text,
            "cranks:\n\
             #  length:                        # {CRANK_NUMBER} {CRANK_HOW}\n\
             #  q_factor:                      # across both cranks, outer face to outer face at the pedals\n\
             #  pedal_width:                   # across one pedal's platform"
        );
    }
    text.push_str(
        "seat_post:\n\
         #  length:                        # the whole post, pulled out\n\
         #  minimum_insertion:             # from the mark on the post to its lower end\n\
         #cockpit: {handlebar: {width: }}  # end to end\n",
    );
    if with_chart {
        text.push_str("published:\n  # From the maker's chart, as far as it goes:\n");
        rows(&mut text, &CHART, style, None);
    }
    text.push_str(
        "#brakes:                           # kind: hand, coaster or none; reach: lever to grip, drawn in and let out\n\
         #  front: {kind: , reach: {min: , max: }}\n\
         #  rear: {kind: , reach: {min: , max: }}\n\
         #weight:                           # of the bike, with kg or lb behind it\n\
         #price:                            # a plain number\n",
    );
    text
}

fn rows(text: &mut String, figures: &[Figure], style: Style, first: Option<usize>) {
    // Numbered as on the sheet, which shows a bike with cranks.
    let there = |(_, figure): &(usize, &Figure)| style.has(**figure);
    for (place, figure) in figures.iter().enumerate().filter(there) {
        let number = first.map_or_else(String::new, |first| format!("{} ", first + place));
        let _ = writeln!(
            text,
            "#  {}:{}# {number}{}, {}",
            figure.key(),
            " ".repeat(30_usize.saturating_sub(figure.key().len())),
            figure.how(),
            figure.unit()
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bike::FrameSpec;
    use crate::file::Document;

    #[test]
    fn a_file_is_read_once_the_figures_are_in_and_nothing_but_the_marks_is_away() {
        let tyre = TyreSize::usual(20.0, false).unwrap();
        let text = new_frame(Style::Street, tyre, true);
        let middle = |key: &str| {
            let figure = Figure::ALL.iter().find(|figure| figure.key() == key)?;
            Some(f64::midpoint(
                *figure.range().start(),
                *figure.range().end(),
            ))
        };
        let fill = |line: &str| {
            let Some(line) = line.strip_prefix('#').filter(|line| {
                !line.starts_with(" W") && !line.starts_with(" A") && !line.starts_with(" P")
            }) else {
                return line.to_owned();
            };
            let filled = line
                .replace("kind: ", "kind: hand")
                .replace("min: ", "min: 45")
                .replace("max: ", "max: 60")
                .replace(
                    "length: ",
                    if line.contains("whole post") {
                        "length: 300"
                    } else {
                        "length: 127"
                    },
                )
                .replace("q_factor: ", "q_factor: 150")
                .replace("pedal_width: ", "pedal_width: 85")
                .replace("{width: ", "{width: 560")
                .replace("minimum_insertion: ", "minimum_insertion: 70")
                .replace("weight: ", "weight: 9.5 kg")
                .replace("price: ", "price: 400");
            match line.split_once(':').and_then(|(key, _)| middle(key.trim())) {
                Some(value) => filled.replacen(':', &format!(": {value} "), 1),
                None => filled,
            }
        };
        let filled: Vec<_> = text.lines().map(fill).collect();
        let spec: FrameSpec = Document::from_text("new", filled.join("\n"))
            .read()
            .unwrap_or_else(|why| panic!("{why}\n{}", filled.join("\n")));
        assert!(spec.brakes.is_some() && spec.weight.is_some());
        // No figure stands there that nobody measured.
        let values = |style| {
            let lines = new_frame(style, tyre, true);
            let lines = lines.lines().filter(|line| line.starts_with('#'));
            let values = lines
                .filter_map(|line| Some(line.split_once(": ")?.1.split('#').next()?.to_owned()));
            values.skip(1).collect::<Vec<_>>().concat()
        };
        for style in [Style::Balance, Style::Street, Style::Trail] {
            assert!(
                !values(style).contains(|c: char| c.is_ascii_digit()),
                "{}",
                values(style)
            );
        }
        // What `check` may ask for has its line.
        let cranks = spec.cranks.as_ref().unwrap();
        assert!(cranks.length.is_some() && cranks.q_factor.is_some());
        assert!(cranks.pedal_width.is_some() && spec.cockpit.handlebar.width.is_some());
        assert!(spec.seat_post.minimum_insertion.is_some() && spec.seat_post.length.is_some());
        assert_eq!(
            spec.readings().count(),
            text.lines()
                .filter(|line| line.starts_with("#  ") && line.contains(", mm"))
                .count()
                + text.lines().filter(|line| line.contains(", deg")).count()
        );
    }
}
