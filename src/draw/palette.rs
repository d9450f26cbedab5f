//! The one palette: every colour once, named by what it means, and the rules that put colours and strokes on classes.
//! Hues keep apart for the three common kinds of colour blindness; whatever a colour says, a shape, a dash or a word says too.
//! Which class a stroke has is the pictures' business.

use std::sync::LazyLock;

use plotters::style::RGBColor;

/// A colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Colour(u8, u8, u8);

impl Colour {
    const fn hex(hex: u32) -> Self {
        let [_, red, green, blue] = hex.to_be_bytes();
        Self(red, green, blue)
    }

    /// For charts.
    pub(super) const fn rgb(self) -> RGBColor {
        RGBColor(self.0, self.1, self.2)
    }
}

pub(super) const INK: Colour = Colour::hex(0x1c_2530);
pub(super) const QUIET: Colour = Colour::hex(0x4d_5966);
pub(super) const FAINT: Colour = Colour::hex(0xd0_d4d8);
pub(super) const SHADE: Colour = Colour::hex(0xf3_f4f5);
pub(super) const PAPER: Colour = Colour::hex(0xff_ffff);
pub(super) const OK: Colour = Colour::hex(0x00_684b);
pub(super) const SET: Colour = Colour::hex(0x00_67a5);
pub(super) const CAUTION: Colour = Colour::hex(0xb8_8600);
pub(super) const FAIL: Colour = Colour::hex(0xb8_3a00);
pub(super) const MEASURE: Colour = Colour::hex(0x0a_3557);
pub(super) const CHILD: Colour = Colour::hex(0x1c_2530);
pub(super) const BIKE: Colour = Colour::hex(0x3a_90a0);
pub(super) const BIKE_EDGE: Colour = Colour::hex(0x12_3f4a);
pub(super) const ASSUMED: Colour = Colour::hex(0xcf_e2e6);
/// Two bikes on one chart: a hue, a darkness and a hatch each. After Okabe & Ito 2008.
pub(super) const FIRST: Colour = Colour::hex(0x0b_5fa5);
pub(super) const SECOND: Colour = Colour::hex(0xa3_4700);
/// Riding stages, from the lightest.
pub(super) const LEARNING: Colour = Colour::hex(0xe6_9f00);
pub(super) const STEADY: Colour = Colour::hex(0x00_5a9c);
pub(super) const CONFIDENT: Colour = Colour::hex(0x00_7a5a);

/// Names by which the rules below call the colours.
#[rustfmt::skip]
const NAMED: &[(&str, Colour)] = &[
    ("ink", INK), ("quiet", QUIET), ("faint", FAINT), ("shade", SHADE), ("paper", PAPER),
    ("ok", OK), ("set", SET), ("caution", CAUTION), ("fail", FAIL), ("measure", MEASURE),
    ("child", CHILD), ("bike", BIKE), ("bike-edge", BIKE_EDGE), ("assumed", ASSUMED),
    ("first", FIRST), ("second", SECOND),
    ("learning", LEARNING), ("steady", STEADY), ("confident", CONFIDENT),
    ("first-light", Colour::hex(0xdc_ebf8)), ("second-light", Colour::hex(0xfb_e6d4)),
    ("rubber", Colour::hex(0x36_3c43)), ("tread", Colour::hex(0x79_828b)),
    ("metal", Colour::hex(0xc6_cdd3)), ("metal-edge", Colour::hex(0x52_5c66)),
    ("rim", Colour::hex(0xb9_c1c8)), ("rim-edge", Colour::hex(0x6b_747d)),
    ("dark", Colour::hex(0x45_4c54)), ("dark-edge", Colour::hex(0x14_181c)), ("chain", Colour::hex(0x5b_646d)),
    ("skin", Colour::hex(0xe3_bd9b)), ("skin-edge", Colour::hex(0x9a_6a45)),
    ("shirt", Colour::hex(0xf3_cd74)), ("shirt-edge", Colour::hex(0xa8_7c1e)),
    ("shorts", Colour::hex(0x8d_9bb0)), ("shorts-edge", Colour::hex(0x4a_566a)),
    ("shoe", Colour::hex(0x5a_6470)), ("shoe-edge", Colour::hex(0x2a_3138)),
    ("helmet", Colour::hex(0xc6_5f3d)), ("helmet-edge", Colour::hex(0x7a_3219)),
    ("hair", Colour::hex(0x6b_5240)), ("hair-edge", Colour::hex(0x3f_2f24)),
    ("wall", Colour::hex(0xe7_e9eb)), ("wall-edge", Colour::hex(0x8a_949e)),
];

/// Colours and strokes by class.
#[rustfmt::skip]
const RULES: &[(&[&str], &str)] = &[
    (&["text"], "font-family:'Liberation Sans',Arial,Helvetica,sans-serif;stroke:none"),
    (&["text.ink"], "fill:{ink}"),
    (&["text.quiet"], "fill:{quiet}"),
    (&["text.light"], "fill:{paper}"),
    (&["text.fail"], "fill:{fail}"),
    (&[".sheet"], "fill:{paper}"),
    (&["path", "line", "circle"], "stroke-linecap:round;stroke-linejoin:round"),
    (&[".ground"], "stroke:{ink};stroke-width:.5"),
    (&[".ground-hatch"], "stroke:{wall-edge};stroke-width:.3;fill:none"),
    // The bike.
    (&[".tyre"], "fill:none;stroke:{rubber}"),
    (&[".tread"], "fill:none;stroke:{tread};stroke-width:.35;stroke-linecap:butt"),
    (&[".rim"], "fill:none;stroke:{rim}"),
    (&[".rim-edge"], "fill:none;stroke:{rim-edge};stroke-width:.2"),
    (&[".spokes"], "fill:none;stroke:{rim};stroke-width:.2"),
    (&[".hub", ".metal"], "fill:{metal};stroke:{metal-edge};stroke-width:.3"),
    (&[".tube-edge"], "fill:none;stroke:{bike-edge}"),
    (&[".tube"], "fill:none;stroke:{bike}"),
    (&[".shell"], "fill:{bike};stroke:{bike-edge};stroke-width:.35"),
    (&[".metal-edge"], "fill:none;stroke:{metal-edge}"),
    (&[".metal-tube"], "fill:none;stroke:{metal}"),
    (&[".dark"], "fill:{rubber};stroke:{dark-edge};stroke-width:.25"),
    (&[".dark-edge"], "fill:none;stroke:{dark-edge}"),
    (&[".dark-tube"], "fill:none;stroke:{dark}"),
    (&[".chain"], "fill:none;stroke:{chain};stroke-width:.45;stroke-dasharray:.6 .5;stroke-linecap:butt"),
    (&[".toothed"], "fill:none;stroke:{chain}"),
    (&[".hidden"], "fill:none;stroke:{bike-edge};stroke-width:.25;stroke-dasharray:1 .7;stroke-linecap:butt"),
    (&[".far"], "opacity:.38"),
    // What nobody measured: light inside, the outline broken.
    (&[".assumed .tube", ".assumed .dark-tube", ".assumed .metal-tube"], "stroke:{assumed}"),
    (&[".assumed .tyre"], "stroke:{rim};stroke-dasharray:5 .8;stroke-linecap:butt"),
    (&[".assumed .dark", ".assumed .metal", ".assumed .shell"], "fill:{assumed};stroke:{bike-edge};stroke-dasharray:1.2 .8"),
    (&[".assumed .range"], "stroke:{bike-edge};stroke-dasharray:1.2 .8"),
    (&[".assumed .tube-edge", ".assumed .dark-edge", ".assumed .metal-edge"], "stroke-dasharray:1.6 1;stroke-linecap:butt"),
    // The rider.
    (&[".rider"], "opacity:.74"),
    (&[".edge"], "stroke-width:.7"),
    (&[".skin"], "fill:{skin}"),
    (&[".skin.edge"], "stroke:{skin-edge}"),
    (&[".shirt"], "fill:{shirt}"),
    (&[".shirt.edge"], "stroke:{shirt-edge}"),
    (&[".shorts"], "fill:{shorts}"),
    (&[".shorts.edge"], "stroke:{shorts-edge}"),
    (&[".shoe"], "fill:{shoe};stroke:{shoe-edge};stroke-width:.35"),
    (&[".sole"], "fill:none;stroke:{shade};stroke-width:.5"),
    (&[".helmet"], "fill:{helmet};stroke:{helmet-edge};stroke-width:.35"),
    (&[".vent"], "fill:none;stroke:{helmet-edge};stroke-width:.5"),
    (&[".strap"], "fill:none;stroke:{helmet-edge};stroke-width:.4"),
    (&[".eye"], "fill:{ink};stroke:none"),
    (&[".smile"], "fill:none;stroke:{helmet-edge};stroke-width:.4"),
    (&[".joint"], "fill:{paper};stroke:{ink};stroke-width:.3"),
    (&[".bone"], "fill:none;stroke:{ink};stroke-width:.25;stroke-opacity:.7"),
    (&[".ghost"], "fill:none;stroke:{quiet};stroke-width:.35;stroke-dasharray:1.4 1"),
    (&[".out-of-reach"], "fill:none;stroke:{fail};stroke-width:.5;stroke-dasharray:1.6 1.1"),
    // Dimensions.
    (&[".halo"], "fill:none;stroke:{paper};stroke-width:1.3;stroke-opacity:.75;stroke-linecap:butt"),
    (&[".measure"], "fill:none;stroke:{measure};stroke-width:.4"),
    (&[".head"], "fill:{measure};stroke:{paper};stroke-width:.5;paint-order:stroke"),
    (&[".failing .measure"], "stroke:{fail};stroke-width:.9"),
    (&[".failing .head"], "fill:{fail}"),
    (&[".aid"], "fill:none;stroke:{measure};stroke-width:.22;stroke-dasharray:1.4 .9;stroke-linecap:butt"),
    (&[".aid-halo"], "fill:none;stroke:{paper};stroke-width:.6;stroke-opacity:.7;stroke-linecap:butt"),
    (&[".leader"], "fill:none;stroke:{quiet};stroke-width:.22"),
    (&[".leader-halo"], "fill:none;stroke:{paper};stroke-width:.9;stroke-opacity:.8"),
    (&[".leader-dot"], "fill:{quiet};stroke:{paper};stroke-width:.2"),
    (&[".range"], "fill:{paper};stroke:{ink};stroke-width:.35"),
    (&[".doubt"], "fill:{ink};fill-opacity:.18;stroke:{ink};stroke-width:.2;stroke-dasharray:.8 .6"),
    (&[".wanted"], "stroke:{ok};stroke-width:.35"),
    (&[".wanted-off"], "fill:{ok};stroke:{paper};stroke-width:.2"),
    (&[".wanted-way"], "fill:none;stroke:{ok};stroke-width:.9"),
    (&[".mark"], "fill:none;stroke:{fail};stroke-width:.8;stroke-linecap:butt"),
    (&[".mark-flag"], "fill:{fail};stroke:{paper};stroke-width:.15"),
    (&[".setting"], "fill:{measure};stroke:{paper};stroke-width:.2"),
    (&[".frame-line"], "fill:{paper};stroke:{quiet};stroke-width:.3"),
    (&[".detail"], "fill:none;stroke:{quiet};stroke-width:.3"),
    (&[".level"], "fill:none;stroke:{measure};stroke-width:.3;stroke-dasharray:2.2 1;stroke-linecap:butt"),
    (&[".tick"], "stroke:{ink};stroke-width:.22"),
    (&[".hair-line"], "fill:none;stroke:{wall-edge};stroke-width:.25"),
    // Status signs and the verdict.
    (&[".sign-ok"], "fill:none;stroke:{ok}"),
    (&[".sign-set"], "fill:none;stroke:{set}"),
    (&[".sign-caution"], "fill:{paper};stroke:{caution}"),
    (&[".sign-caution-stroke"], "fill:none;stroke:{ink}"),
    (&[".sign-fail"], "fill:{paper};stroke:{fail}"),
    (&[".sign-unknown"], "fill:none;stroke:{quiet}"),
    (&[".chip"], "fill:{paper};stroke-width:.6"),
    (&[".chip.ok"], "stroke:{ok}"),
    (&[".chip.set"], "stroke:{set}"),
    (&[".chip.caution"], "stroke:{caution}"),
    (&[".chip.fail"], "stroke:{fail};stroke-width:1"),
    (&[".chip.unknown"], "stroke:{quiet};stroke-dasharray:1.6 1"),
    // How to measure.
    (&[".wall"], "fill:{wall};stroke:{wall-edge};stroke-width:.3"),
    (&[".book"], "fill:{bike};stroke:{bike-edge};stroke-width:.35"),
    (&[".hair"], "fill:{hair};stroke:{hair-edge};stroke-width:.35"),
];

/// The same for charts; strokes of a series are in the canvas's units, twenty to a millimetre.
#[rustfmt::skip]
const CHART_RULES: &[(&[&str], &str)] = &[
    (&[".grid line"], "stroke:{faint};stroke-width:.2"),
    (&[".stripe"], "fill:{shade}"),
    (&[".plot"], "fill:none;stroke:{ink};stroke-width:.3"),
    (&[".band.first polygon"], "fill:url(#inseam-first-wide);opacity:1"),
    (&[".band.second polygon"], "fill:url(#inseam-second-wide);opacity:1"),
    (&[".bar-first"], "fill:url(#inseam-first);stroke:{first};stroke-width:.5"),
    (&[".bar-second"], "fill:url(#inseam-second);stroke:{second};stroke-width:.5"),
    (&[".edge-line polyline"], "stroke-width:9"),
    (&[".edge-line.second polyline"], "stroke-dasharray:60 30"),
    (&[".child-band polygon"], "opacity:.22"),
    (&[".child polyline"], "stroke-width:16;stroke-linecap:round;stroke-linejoin:round"),
    (&[".confident rect"], "stroke-width:8"),
    (&[".sample-learning"], "fill:{learning}"),
    (&[".sample-steady"], "fill:{steady}"),
    (&[".sample-confident"], "fill:{paper};stroke:{confident};stroke-width:.4"),
    (&[".whisker"], "fill:none;stroke:{ink};stroke-width:.4"),
];

/// Hatches, told apart by their slope and their strokes: the wanted band, and two bikes at the paper's
/// and at a chart canvas's size.
const PATTERNS: &str = "\
<pattern id=\"inseam-wanted\" width=\"1.6\" height=\"1.6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><path d=\"M0 0V1.6\" stroke=\"{ok}\" stroke-width=\"1.1\"/></pattern>";

/// See [`PATTERNS`]; only charts carry these.
const CHART_PATTERNS: &str = "\
<pattern id=\"inseam-first-wide\" width=\"60\" height=\"60\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"60\" height=\"60\" fill=\"{first-light}\" fill-opacity=\".4\"/><path d=\"M0 0V60\" stroke=\"{first}\" stroke-width=\"7\" stroke-opacity=\".55\"/></pattern>\
<pattern id=\"inseam-second-wide\" width=\"60\" height=\"60\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(-45)\"><rect width=\"60\" height=\"60\" fill=\"{second-light}\" fill-opacity=\".4\"/><path d=\"M0 0V60\" stroke=\"{second}\" stroke-width=\"7\" stroke-opacity=\".55\" stroke-dasharray=\"14 10\"/></pattern>\
<pattern id=\"inseam-first\" width=\"2\" height=\"2\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"2\" height=\"2\" fill=\"{first-light}\"/><path d=\"M0 0V2\" stroke=\"{first}\" stroke-width=\".5\"/></pattern>\
<pattern id=\"inseam-second\" width=\"2\" height=\"2\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(-45)\"><rect width=\"2\" height=\"2\" fill=\"{second-light}\"/><path d=\"M0 0V2\" stroke=\"{second}\" stroke-width=\".5\" stroke-dasharray=\".7 .5\"/></pattern>";

/// Class of the root element; every rule is kept inside it, so that a picture pasted into a page
/// leaves the page's own style alone.
pub(super) const ROOT: &str = "inseam-picture";

/// Writes `text`, each `{name}` as the colour of that name; one pass, since every picture pays for it.
fn put_coloured(sheet: &mut String, text: &str) {
    let mut rest = text;
    while let Some((before, name, after)) = next_name(rest) {
        sheet.push_str(before);
        match NAMED.iter().find(|(known, _)| *known == name) {
            Some((_, Colour(red, green, blue))) => {
                sheet.push('#');
                for channel in [red, green, blue] {
                    let digits = [channel >> 4, channel & 15];
                    sheet.extend(digits.map(|digit| HEX[usize::from(digit)]));
                }
            }
            None => sheet.extend(["{", name, "}"]),
        }
        rest = after;
    }
    sheet.push_str(rest);
}

const HEX: [char; 16] = [
    '0', '1', '2', '3', '4', '5', '6', '7', '8', '9', 'a', 'b', 'c', 'd', 'e', 'f',
];

/// What stands before the next `{name}`, the name, and what follows.
fn next_name(text: &str) -> Option<(&str, &str, &str)> {
    let (before, rest) = text.split_once('{')?;
    let (name, after) = rest.split_once('}')?;
    Some((before, name, after))
}

fn coloured(text: &str) -> String {
    let mut sheet = String::with_capacity(text.len());
    put_coloured(&mut sheet, text);
    sheet
}

fn sheet(rules: &[(&[&str], &str)]) -> String {
    let mut sheet = String::with_capacity(16 * 1024);
    for (selectors, body) in rules {
        for (place, selector) in selectors.iter().enumerate() {
            let comma = if place == 0 { "" } else { "," };
            sheet.extend([comma, ".", ROOT, " ", selector]);
        }
        sheet.push('{');
        put_coloured(&mut sheet, body);
        sheet.push('}');
    }
    sheet
}

/// The style sheet of every picture.
pub(super) static STYLE: LazyLock<String> = LazyLock::new(|| {
    format!(
        "{}@media print{{.{ROOT}{{print-color-adjust:exact;-webkit-print-color-adjust:exact}}.{ROOT} .sheet{{fill:none}}}}",
        sheet(RULES)
    )
});

/// What charts add to it.
pub(super) static CHART_STYLE: LazyLock<String> = LazyLock::new(|| sheet(CHART_RULES));

/// Definitions of every picture.
pub(super) static PATTERN: LazyLock<String> = LazyLock::new(|| coloured(PATTERNS));

/// Definitions of charts besides.
pub(super) static CHART_PATTERN: LazyLock<String> = LazyLock::new(|| coloured(CHART_PATTERNS));

/// Fill of the wanted band.
pub(super) const WANTED_FILL: &str = "url(#inseam-wanted)";

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance: IEC 61966-2-1 transfer, ITU-R BT.709 weights.
    fn luminance(Colour(red, green, blue): Colour) -> f64 {
        let linear = |value: u8| {
            let share = f64::from(value) / 255.0;
            if share <= 0.040_45 {
                share / 12.92
            } else {
                ((share + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
    }

    /// Contrast ratio after WCAG 2.2.
    fn contrast(one: Colour, other: Colour) -> f64 {
        let (one, other) = (luminance(one), luminance(other));
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    #[test]
    fn every_colour_that_a_rule_calls_has_a_name() {
        let definitions = PATTERN.clone() + &CHART_PATTERN;
        assert!(!definitions.contains('{'), "{definitions}");
        for (_, body) in RULES.iter().chain(CHART_RULES) {
            let body = coloured(body);
            assert!(!body.contains('{'), "{body}");
        }
    }

    #[test]
    fn words_and_signs_stand_out_from_the_paper() {
        // WCAG 2.2: 1.4.3 text 4.5, 1.4.11 graphics 3.
        for text in [INK, QUIET, FAIL, MEASURE] {
            assert!(contrast(text, PAPER) >= 4.5);
        }
        for sign in [OK, SET, CAUTION, FAIL, FIRST, SECOND, STEADY, CONFIDENT] {
            assert!(contrast(sign, PAPER) >= 3.0, "{sign:?}");
        }
    }
}
