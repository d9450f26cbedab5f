//! The bike: what a frame file says, where that puts everything, and how close the moving parts come.
//! `spec` is the file, `figure` what tape and chart say, `complete` makes both a full `drawing`, `layout` the side
//! view with `steering` and `post`, `clearance` the turned wheel and the leaning bike, `tyre` and `torque` what is printed,
//! `parts` the kinds of its parts. No rider in here: how the two meet lives in `fit`.

pub mod chart;
pub mod class;
pub mod clearance;
pub mod complete;
pub mod drawing;
pub mod figure;
pub mod layout;
pub mod library;
pub mod mismatch;
pub mod parts;
pub mod post;
pub mod slips;
pub mod spec;
pub mod steering;
pub mod torque;
pub mod tyre;

pub use class::Class;
pub use complete::{Doubt, Prior};
pub use drawing::Drawing;
pub use figure::{Figure, Given};
pub use layout::{BikePoints, Layout};
pub use mismatch::Mismatch;
pub use parts::BrakeKind;
pub use post::PostRange;
pub use spec::{FrameSpec, Style};
pub use tyre::TyreSize;

use std::borrow::Cow;

use crate::file::{Error, Problem};
use crate::units::Length;
use crate::words::{self, key_in_words, key_to_give};

/// What decides how much of the post shows: the post, and what stands above and under it.
const POST_LENGTH: &str = "seat_post.length";
const ABOVE_TUBE: [&str; 2] = ["frame.seat_tube.length", "saddle.stack"];
/// Where the post's mark is on it.
const MARK: &str = "seat_post.minimum_insertion";

/// A bike: what its file says, and where that puts everything.
#[derive(Debug, Clone, PartialEq)]
pub struct Bike {
    /// The file's name without its ending, or the embedded sample's name.
    pub id: String,
    /// What the file says.
    pub spec: FrameSpec,
    /// Every number of the geometry, what the file leaves out filled in.
    pub drawing: Drawing,
    /// Where everything is.
    pub layout: Layout,
    /// What the file leaves open; None with a full drawing.
    pub doubt: Option<Box<Doubt>>,
    /// Figures that contradict the geometry or one another.
    pub mismatches: Vec<Mismatch>,
}

impl Bike {
    /// Closes the geometry of a file.
    ///
    /// # Errors
    /// Every contradiction that leaves no bike to draw.
    pub fn new(id: impl Into<String>, spec: FrameSpec) -> Result<Self, Error> {
        Self::under(Prior::built_in(), id, spec)
    }

    /// The same, with another prior in place of the program's own for what the file leaves out.
    ///
    /// # Errors
    /// Every contradiction that leaves no bike to draw.
    pub fn under(prior: &Prior, id: impl Into<String>, mut spec: FrameSpec) -> Result<Self, Error> {
        // Everything that is shown of a bike comes from here, also when no file was read.
        spec.name = words::clean(&spec.name).into_owned();
        if spec.name.is_empty() {
            let message = "has nothing that can be seen; write letters or digits";
            return Err(Problem::at_key("name", message).into());
        }
        let contradictions = spec.contradictions();
        if !contradictions.is_empty() {
            return Err(contradictions.into());
        }
        let (drawing, doubt) = complete::complete(&spec, prior);
        let layout = Layout::close(&drawing).map_err(|contradictions| {
            // Where two figures contradict each other, what they lead to is no use to anyone.
            match doubt.as_ref().and_then(|doubt| doubt.quarrel) {
                Some(quarrel) => vec![mismatch::refusal(&quarrel)],
                None => contradictions,
            }
        })?;
        Ok(Self {
            id: id.into(),
            mismatches: mismatch::of(&spec, &drawing, &layout, doubt.as_ref(), prior),
            spec,
            drawing,
            layout,
            doubt: doubt.map(Box::new),
        })
    }

    /// How many alike there are.
    pub fn alike(&self) -> usize {
        let count = self.spec.count.unwrap_or(1);
        usize::try_from(count).unwrap_or(usize::MAX)
    }

    /// Whether a figure is known as well as a tape on the built bike gives it.
    pub fn knows(&self, figure: Figure) -> bool {
        /// One reading of a tape by anyone, mm (common practice); angles are not asked for.
        const TAPE_SD_MM: f64 = 5.0;
        let known = |doubt: &Doubt| doubt.sd(figure) <= TAPE_SD_MM;
        self.doubt.as_deref().is_none_or(known)
    }

    /// Whether how much of the post shows and how much is inside says anything.
    pub fn knows_post_showing(&self) -> bool {
        self.wants_of_post().is_none()
    }

    /// What is missing to know how much of the post shows, by its key; None where that is known. Which post must not be
    /// assumed, nor where the saddle stands over ground and bracket; nor which tube and saddle, unless a tape says how
    /// high the saddle is at the post's mark: there as much shows as the post is longer than its mark asks for.
    pub fn wants_of_post(&self) -> Option<&'static str> {
        let assumed = |key: &&str| self.assumes(key);
        if self.assumes(POST_LENGTH) {
            return Some(POST_LENGTH);
        }
        if let Some(key) = ABOVE_TUBE.into_iter().find(assumed) {
            // A tape at the saddle tells of post and mark together: here each must be in the file by itself.
            let post = &self.spec.seat_post;
            return if !self.measures_highest_saddle() {
                Some(key)
            } else if post.length.is_none() {
                Some(POST_LENGTH)
            } else if post.minimum_insertion.is_none() {
                Some(MARK)
            } else {
                None
            };
        }
        let hangs_on = [
            (Figure::SeatHeightLowest, "measured.seat_height_lowest"),
            (Figure::SaddleHeightLowest, "measured.bottom_bracket_height"),
        ];
        let open = hangs_on
            .into_iter()
            .find(|(figure, _)| !self.knows(*figure));
        open.map(|(_, key)| key)
    }

    /// Whether somebody measured how high the saddle is with the post at its mark.
    fn measures_highest_saddle(&self) -> bool {
        let highest = [Figure::SeatHeightHighest, Figure::SaddleHeightHighest];
        let is_measured = |reading: figure::Reading| highest.contains(&reading.figure);
        self.spec.readings().any(is_measured) && self.knows(Figure::SeatHeightHighest)
    }

    /// Whether it is known where the post's mark is: which post, which tube, and the mark must not be assumed.
    pub fn knows_mark(&self) -> bool {
        self.knows_post_showing() && !self.assumes(MARK)
    }

    /// Whether it is known how high the saddle may go: by the post and its mark, or because somebody measured that.
    pub fn knows_highest_saddle(&self) -> bool {
        self.knows_mark() || self.measures_highest_saddle()
    }

    /// Whether the file gives a figure of chart or tape, by its key.
    pub fn gives(&self, path: &str) -> bool {
        self.spec.readings().any(|reading| reading.path() == path)
    }

    /// Whether the file has a figure that is asked for all the same, by its key.
    fn has(&self, path: &str) -> bool {
        self.gives(path) || self.mismatches.iter().any(|found| found.key == path)
    }

    /// Whether a tape or the drawing says how far down the saddle goes.
    pub fn knows_lowest_saddle(&self) -> bool {
        self.knows(Figure::SeatHeightLowest)
    }

    /// What is missing, by its key, as a shop says it: a figure that is there already is too uncertain where it stands.
    pub fn lacks<'k>(&self, path: &'k str) -> Cow<'k, str> {
        let words = key_in_words(path);
        if self.has(path) {
            format!("{words} once more").into()
        } else {
            words
        }
    }

    /// The same with the key, for whoever writes it into the file.
    pub fn wants<'k>(&self, path: &'k str) -> Cow<'k, str> {
        if self.has(path) {
            self.lacks(path)
        } else {
            key_to_give(path)
        }
    }

    /// Whether nobody gave a number of the drawing, by its key.
    pub fn assumes(&self, key: &str) -> bool {
        let doubt = self.doubt.as_ref();
        doubt.is_some_and(|doubt| doubt.assumed.contains(&key))
    }

    /// Whether a saddle is told by its height above the ground: without cranks, and where nobody knows the bracket well
    /// enough to measure from.
    pub fn tells_saddle_from_ground(&self) -> bool {
        /// What a tape on bracket and saddle leaves open of the height between them, mm; a bracket that nobody measured
        /// leaves 10 and more.
        const MEASURED_SD_MM: f64 = 7.0;
        let is_open = |doubt: &Doubt| doubt.sd(Figure::SaddleHeightLowest) > MEASURED_SD_MM;
        self.is_balance() || self.doubt.as_deref().is_some_and(is_open)
    }

    /// What a saddle at this position is told by, mm: see [`Self::tells_saddle_from_ground`].
    pub fn saddle_told_mm(&self, position_mm: f64) -> f64 {
        if self.tells_saddle_from_ground() {
            self.layout.seat_height_mm(position_mm)
        } else {
            self.layout.told_mm(position_mm)
        }
    }

    /// Spacers under the stem, mm; none where nobody counted them, for none can be moved then.
    pub fn spacers_mm(&self) -> f64 {
        self.spec.cockpit.spacers.map_or(0.0, Length::mm)
    }

    /// Whether the bike is ridden without pedals.
    pub fn is_balance(&self) -> bool {
        self.spec.style == Style::Balance
    }
}
