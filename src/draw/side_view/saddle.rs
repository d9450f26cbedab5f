//! What a tape reads at the saddle: saddle height, seat height, post showing, and the post's mark.
//! Each draws its arrows and returns the call-out that goes with them.
//! The saddle's range and the wanted band are `gauge`.

use crate::draw::arrows::aid;
use crate::draw::callout::{Callout, Note, Side, Tie};
use crate::draw::facts::CheckId;
use crate::draw::page::Page;
use crate::draw::paper::Spot;
use crate::draw::pen::{circle, group};
use crate::draw::scene::Scene;
use crate::draw::sign::Sign;
use crate::plane::Point;

impl Scene<'_> {
    /// The tape from the bottom bracket to the saddle top; nothing where there is no bracket.
    pub(super) fn saddle_height(&self, page: &mut Page) -> Option<Callout> {
        const NAME: &str = "saddle height";
        let machine = self.ride.machine;
        // Where nobody knows the bracket, the doubt is told with the figure, or neither.
        if !machine.has_cranks() || (!self.shows_all() && machine.tells_saddle_from_ground()) {
            return None;
        }
        let bracket = self.spot(Point::origin());
        let top = self.saddle_top();
        page.dimension(NAME, self.tone(CheckId::SaddleHeight), bracket, top);
        page.add(group("dimension").add(circle("leader-dot", bracket, 0.9)));
        let places = [0.42, 0.32, 0.22, 0.12, 0.52].map(|share| bracket.towards(top, share));
        let (ride, setting) = (self.ride, self.ride.setting());
        Some(Callout {
            note: self.outcome(CheckId::SaddleHeight),
            ..self.doubtful_length(
                Side::Left,
                NAME,
                setting.shown_mm(self.units(), ride.saddle_height_mm()),
                setting.doubt_mm(ride.saddle_height_sd_mm()),
                Tie::Leader(places.to_vec()),
            )
        })
    }

    /// From the ground to the saddle top, behind the bike.
    pub(super) fn seat_height(&self, page: &mut Page) -> Callout {
        const NAME: &str = "seat height above ground";
        let saddle = self.saddle_top();
        let top = Spot::new(self.behind, saddle.y);
        let ground = Spot::new(self.behind, self.ground_y());
        page.add(aid(top.moved(-1.5, 0.0), saddle));
        page.dimension(NAME, self.tone(CheckId::GroundContact), ground, top);
        Callout {
            note: self.outcome(CheckId::GroundContact).map(|note| Note {
                text: self.ride.contact().words().to_owned(),
                ..note
            }),
            ..self.length_to_set(
                Side::Left,
                NAME,
                self.ride.seat_height_mm(),
                Tie::Beside(top.towards(ground, 0.5)),
            )
        }
    }

    /// The post showing, beside it; nothing where post or tube are assumed.
    pub(super) fn exposed_post(&self, page: &mut Page) -> Option<Callout> {
        const NAME: &str = "post showing";
        const ASIDE: f64 = 3.6;
        let (ride, machine) = (self.ride, self.ride.machine);
        let shows = ride.exposed_post_mm()?;
        let tube_top = machine.seat_tube_mm();
        let up = machine.post_up();
        let angle = up.y.atan2(up.x) + std::f64::consts::FRAC_PI_2;
        let aside = |along: f64, by: f64| self.spot(machine.on_post(along)).polar(angle, by);
        let clear = ASIDE + self.view().paper(16.0);
        let (low, high) = (tube_top, tube_top + shows);
        for along in [low, high] {
            page.add(aid(aside(along, 0.0), aside(along, clear + 1.2)));
        }
        page.dimension(NAME, "", aside(low, clear), aside(high, clear));
        let places =
            [0.5, 0.75, 0.3, 0.95, 0.1].map(|share| aside(low + share * (high - low), clear));
        Some(Callout {
            note: Some(if self.is_mark_at_top() {
                self.mark_note()
            } else {
                let inside = ride
                    .setting()
                    .length_inside(self.units(), ride.insertion_mm());
                Note::plain(format!("{inside} more in the tube"))
            }),
            ..self.length_to_set(Side::Left, NAME, shows, Tie::Leader(places.to_vec()))
        })
    }

    /// How far the post may still rise to its mark, mm; None where the mark is nobody's.
    fn mark_left_mm(&self) -> Option<f64> {
        let ride = self.ride;
        let left = ride.insertion_mm() - ride.machine.minimum_insertion_mm();
        ride.machine.knows_mark().then_some(left.max(0.0))
    }

    /// Whether the mark lies so near the tube's top that its flag hides behind the post showing's
    /// dimension, which then speaks of it.
    fn is_mark_at_top(&self) -> bool {
        const HIDDEN: f64 = 8.0;
        self.mark_left_mm()
            .is_some_and(|left| self.view().paper(left) < HIDDEN)
    }

    /// The same as the handover and the check tell it.
    fn mark_left_told(&self, left_mm: f64) -> String {
        let (ride, units) = (self.ride, self.units());
        let mark = ride.machine.minimum_insertion_mm();
        let shown = ride.setting().room_shown_mm(units, mark);
        units.length_at_most(shown.unwrap_or(left_mm))
    }

    fn mark_note(&self) -> Note {
        const NEVER: &str = "never above the tube";
        let text = match self.mark_left_mm() {
            Some(left) if self.is_mark_at_top() => {
                let left = self.mark_left_told(left);
                format!("{left} left to the mark: {NEVER}")
            }
            _ => NEVER.to_owned(),
        };
        match self.outcome(CheckId::PostInsertion) {
            Some(note) if note.sign == Some(Sign::Ok) => Note { text, ..note },
            Some(note) => note,
            None => Note::plain(text),
        }
    }

    /// The minimum-insertion mark, and how far the post may still rise to it; no call-out of its own
    /// where the post showing's speaks of it. Nothing where post or tube are assumed.
    pub(super) fn mark(&self, page: &mut Page) -> Option<Callout> {
        let left = self.mark_left_mm()?;
        // Above the tape, so that it is seen whatever lies under it.
        page.add(self.machine.mark(self.ride.position()));
        let flags = self.machine.mark_flag_ends(self.ride.position());
        (!self.is_mark_at_top()).then(|| Callout {
            side: Side::Left,
            name: "mark below tube top".to_owned(),
            figure: self.checked(CheckId::PostInsertion, self.mark_left_told(left)),
            note: Some(self.mark_note()),
            tie: Tie::Leader(flags.to_vec()),
        })
    }
}
