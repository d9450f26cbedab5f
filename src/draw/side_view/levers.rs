//! The hand lever: the gap to set, in an inset at three times the drawing's scale.
//! The gap is the setting's; grip and lever are drawn as on the bike.
//! What gap a hand can hook is the fit's.

use crate::draw::bicycle::Bicycle;
use crate::draw::callout::{Callout, Side, Tie};
use crate::draw::facts::CheckId;
use crate::draw::lettering::{NOTE, SMALLEST};
use crate::draw::page::{Align, Page};
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{circle, group, rectangle};
use crate::draw::scene::Scene;
use crate::draw::view::View;
use crate::plane::Point;

/// How much larger than the drawing the inset is.
const TIMES: f64 = 3.0;
/// The inset, mm of paper: width and height.
pub(super) const INSET: [f64; 2] = [36.0, 25.0];

impl Scene<'_> {
    fn lever_label(&self) -> String {
        format!("{} gap to set", self.ride.lever_name())
    }

    /// The gap at the hand lever, led to the lever itself.
    pub(super) fn lever(&self, page: &mut Page) -> Option<Callout> {
        let gap = self.ride.lever_gap_mm()?;
        let (rear, face) = self.machine.lever_face(gap);
        let (rear, face) = (self.spot(rear), self.spot(face));
        page.dimension(
            &self.lever_label(),
            self.tone(CheckId::BrakeLever),
            rear,
            face,
        );
        Some(self.lever_callout(gap, Tie::Leader(vec![face])))
    }

    fn lever_callout(&self, gap: f64, tie: Tie) -> Callout {
        Callout {
            note: self.outcome(CheckId::BrakeLever),
            ..self.length(Side::Right, &self.lever_label(), gap, tie)
        }
    }

    /// The same with an inset in `place` that the call-out is led to.
    pub(super) fn lever_inset(&self, page: &mut Page, place: Rect) -> Option<Callout> {
        /// Round the grip and the lever, mm of bike.
        const AROUND: f64 = 20.0;
        const PAD: f64 = 2.0;
        const CAPTION: f64 = 3.0;
        let gap = self.ride.lever_gap_mm()?;
        let (rear, face) = self.machine.lever_face(gap);
        let middle = Point::from((rear.coords + face.coords) / 2.0);
        let needed = (gap + 2.0 * AROUND) / (place.width - 2.0 * PAD);
        let scale = (self.view().scale / TIMES).max(needed);
        let centre = place.centre().moved(0.0, -CAPTION / 2.0);
        let view = View::new(scale, centre.moved(-middle.x / scale, middle.y / scale));
        let enlarged = Bicycle {
            view,
            ..self.machine
        };
        // A ring round what the inset enlarges.
        let ring = self.view().paper(0.5 * gap + AROUND);
        page.add(
            group("inset")
                .add(circle("detail", self.spot(middle), ring))
                .add(rectangle("frame-line", place).set("rx", "1.2")),
        );
        page.add(enlarged.grip_and_lever(gap));
        let (rear, face) = (view.spot(rear), view.spot(face));
        page.dimension(
            &self.lever_label(),
            self.tone(CheckId::BrakeLever),
            rear,
            face,
        );
        page.mark("inset", place);
        let times = self.view().scale / scale;
        let caption = format!("{} × the drawing", crate::units::tidy(times, 1));
        page.write(
            Spot::new(place.right() - PAD, place.bottom() - 1.4),
            Align::Right,
            NOTE.sized(SMALLEST),
            place.width - 2.0 * PAD,
            &caption,
        );
        let edge = |y: f64| Spot::new(place.right(), place.y + y * place.height);
        Some(self.lever_callout(gap, Tie::Leader([0.5, 0.3, 0.8].map(edge).to_vec())))
    }
}
