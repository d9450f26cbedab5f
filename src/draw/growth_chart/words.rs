//! The words to the right of the growth chart: each bike by its name with its window, and the child.
//! Each block stands as near to its place on the chart's edge as the others allow.
//! What is drawn on the chart is `series`.

use crate::draw::chart::Axes;
use crate::draw::growth_chart::layout::{LINE, Room, Track, words_wide};
use crate::draw::growth_chart::months;
use crate::draw::lettering::{Face, LEGEND, Weight};
use crate::draw::page::{Align, Page};
use crate::draw::paper::Spot;
use crate::draw::stack::{Wish, stack};
use crate::fit::forecast::GrownMonth;
use crate::units::Units;

/// A bike's name.
pub(super) const BIKE: Face = Face {
    size: 3.3,
    weight: Weight::Bold,
    class: "ink",
};

/// One block of words, and the height on paper that it points at.
struct Block {
    what: String,
    at: f64,
    lines: Vec<(Face, String)>,
}

/// To the right of the chart, from `left` on.
pub(super) fn write(
    page: &mut Page,
    (room, left): (Room, f64),
    axes: &Axes,
    tracks: &[Track<'_>; 2],
    months: &[GrownMonth],
    units: Units,
) {
    const GAP: f64 = 2.0;
    let plot = room.plot;
    let mut blocks: Vec<Block> = tracks
        .iter()
        .map(|track| bike(axes, track, words_wide(left), units))
        .collect();
    blocks.extend(months.last().map(|last| Block {
        what: "child".to_owned(),
        at: axes.y_at(last.inseam_mm),
        lines: child(last, units).map(|line| (LEGEND, line)).to_vec(),
    }));
    blocks.sort_by(|a, b| a.at.total_cmp(&b.at));
    let wishes: Vec<Wish> = blocks
        .iter()
        .map(|block| Wish {
            height: block.lines.len() as f64 * LINE,
            middle: block.at,
            weight: 1.0,
        })
        .collect();
    let tops = stack(&wishes, plot.y, plot.bottom(), GAP);
    for ((block, wish), top) in blocks.iter().zip(wishes).zip(tops) {
        let edge = Spot::new(plot.right(), block.at);
        let words = Spot::new(left - 1.0, top + wish.height / 2.0);
        page.leader(&block.what, words, edge);
        for (index, (face, line)) in block.lines.iter().enumerate() {
            let y = top + LINE * (index as f64 + 0.5) + face.below_middle();
            page.write_about(
                (&block.what, edge),
                Spot::new(left, y),
                Align::Left,
                *face,
                words_wide(left),
                line,
            );
        }
    }
}

/// The child's inseam at the end of the chart, in two parts.
pub(super) fn child(last: &GrownMonth, units: Units) -> [String; 2] {
    let [low, high] = months::inseam_mm(last);
    [
        "this child's inseam".to_owned(),
        format!("{} to {}", units.bare(low), units.length(high)),
    ]
}

/// The inseams that a bike fits.
pub(super) fn window(track: &Track<'_>, units: Units) -> String {
    match track.window_mm {
        Some([low, high]) => format!(
            "window {} to {} of inseam",
            units.length(low),
            units.length(high)
        ),
        None => "fits no child of average build".to_owned(),
    }
}

fn bike(axes: &Axes, track: &Track<'_>, wide: f64, units: Units) -> Block {
    let name = crate::words::clean(track.name);
    let mut lines: Vec<_> = BIKE
        .wrapped_to(&name, wide, 2)
        .into_iter()
        .map(|line| (BIKE, line))
        .collect();
    let [low, high] = track.window_mm.unwrap_or([axes.y.start; 2]);
    let window = if track.window_mm.is_some() {
        format!("{} to {}", units.bare(low), units.length(high))
    } else {
        "fits no child of average build".to_owned()
    };
    lines.push((LEGEND.shrunk(&window, wide), window));
    let [low, high] = [low, high].map(|mm| mm.clamp(axes.y.start, axes.y.end));
    Block {
        what: track.name.to_owned(),
        at: axes.y_at(f64::midpoint(low, high)),
        lines,
    }
}

/// A bike's window and months, for those who do not see the chart.
pub(super) fn in_words(track: &Track<'_>, units: Units) -> String {
    let window = window(track, units);
    format!("{window}; {}", months::in_words(track).join(" "))
}
