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
        "# A bike to fill in: write the figure behind its name and take the # in front away.\n\
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
            "# cranks: {{length: }}              # {CRANK_NUMBER} {CRANK_HOW}"
        );
    }
    if with_chart {
        text.push_str("published:\n  # From the maker's chart, as far as it goes:\n");
        rows(&mut text, &CHART, style, None);
    }
    text.push_str(match style {
        Style::Balance => "# brakes: {front: {kind: none}, rear: {kind: hand, reach: {min: 40, max: 60}}}\n",
        Style::Street | Style::Trail => {
            "# brakes:                          # kind: hand, coaster or none; reach: lever to grip, drawn in and let out\n\
             #   front: {kind: , reach: {min: , max: }}\n\
             #   rear: {kind: , reach: {min: , max: }}\n"
        }
    });
    text.push_str("# weight: 9.5 kg\n# price: 400\n");
    text
}

fn rows(text: &mut String, figures: &[Figure], style: Style, first: Option<usize>) {
    // Numbered as on the sheet, which shows a bike with cranks.
    let there = |(_, figure): &(usize, &Figure)| style.has(**figure);
    for (place, figure) in figures.iter().enumerate().filter(there) {
        let number = first.map_or_else(String::new, |first| format!("{} ", first + place));
        let _ = writeln!(
            text,
            "  # {}:{}# {number}{}, {}",
            figure.key(),
            " ".repeat(30_usize.saturating_sub(figure.key().len())),
            figure.how(),
            figure.unit()
        );
    }
}
