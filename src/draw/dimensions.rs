//! The dimensions of a side view: each draws its arrows and returns the call-out that goes with them.
//! Figures, wanted ranges and outcomes are the fit's own; nothing is judged here.
//! How call-outs are placed is `callout`.

use crate::draw::callout::{self, Callout, Key, Note, Side};
use crate::draw::ink::{Outline, Spot, aid, angle_mark, circle, dimension, group, line};
use crate::draw::sheet::{HATCH, Sheet};
use crate::draw::side_view::Scene;
use crate::fit::{Misfit, Status, Unit};
use crate::plane::{Point, Vector};
use crate::rider::Stage;

/// How far beside the wheels the upright dimensions stand, mm.
const BESIDE: f64 = 6.0;

impl Scene<'_> {
    /// A call-out of a length.
    fn length(&self, side: Side, name: &str, mm: f64, at: Spot) -> Callout {
        Callout {
            side,
            name: name.to_owned(),
            figure: self.picture.units.length(mm),
            note: None,
            at: Some(at),
        }
    }

    /// A call-out of a length with its standard deviation, where it has one.
    fn doubtful_length(
        &self,
        side: Side,
        name: &str,
        mm: f64,
        sd_mm: Option<f64>,
        at: Spot,
    ) -> Callout {
        let units = self.picture.units;
        let plain = self.length(side, name, mm, at);
        match sd_mm.filter(|_| self.shows_all()) {
            Some(sd) => Callout {
                figure: format!("{} ± {}", units.bare(mm), units.length(sd)),
                ..plain
            },
            None => plain,
        }
    }

    /// How one check came out, as a call-out's last line.
    fn outcome(&self, check: &str) -> Option<Note> {
        let finding = self.fit().finding(check)?;
        let wanted = match finding.status {
            Status::NotChecked(needs) => format!("needs {needs}"),
            _ => self.wanted(finding.unit, finding.low, finding.high)?,
        };
        Some(Note {
            status: Some(finding.status),
            text: wanted,
        })
    }

    /// A wanted range in few words.
    fn wanted(&self, unit: Unit, low: Option<f64>, high: Option<f64>) -> Option<String> {
        let units = self.picture.units;
        let show = |value| unit.show(value, units);
        match (low, high) {
            (Some(low), Some(high)) if unit == Unit::Millimetre => {
                Some(format!("wanted {} to {}", units.bare(low), show(high)))
            }
            (Some(low), Some(high)) => Some(format!("wanted {} to {}", show(low), show(high))),
            (Some(low), None) => Some(format!("wanted at least {}", show(low))),
            (None, Some(high)) => Some(format!("wanted at most {}", show(high))),
            (None, None) => None,
        }
    }

    /// Draws every dimension and returns what there is to say about them.
    pub(super) fn dimensions(&self, sheet: &mut Sheet) -> Vec<Callout> {
        let mut callouts = vec![
            self.saddle_height(sheet),
            self.seat_height(sheet),
            self.exposed_post(sheet),
            self.mark(sheet),
        ];
        if self.shows_all() {
            callouts.extend(self.gauge(sheet));
            callouts.extend(self.standover(sheet));
            callouts.push(self.torso_lean(sheet));
            callouts.extend(self.knee(sheet));
            callouts.extend(self.toe_clearance(sheet));
        }
        callouts.extend(self.levers(sheet));
        callouts
    }

    /// The tape from the bottom bracket to the saddle top.
    fn saddle_height(&self, sheet: &mut Sheet) -> Callout {
        let bracket = self.spot(Point::origin());
        let top = self.spot(self.bike().layout.post.saddle_top(self.position));
        sheet.add(dimension(bracket, top).add(circle("leader-dot", bracket, 0.9)));
        Callout {
            note: self
                .shows_all()
                .then(|| self.outcome("saddle_height"))
                .flatten(),
            ..self.doubtful_length(
                Side::Left,
                "saddle height",
                self.fit().setting.saddle_height_mm,
                self.fit().setting.saddle_height_sd_mm,
                bracket.towards(top, 0.42),
            )
        }
    }

    /// Where the upright dimension behind the rear wheel stands.
    fn behind(&self) -> f64 {
        let bike = self.bike();
        let rear = bike.layout.points.rear_axle.x - bike.layout.wheel_radius_rear_mm;
        self.spot(Point::new(rear, 0.0)).x - BESIDE
    }

    fn seat_height(&self, sheet: &mut Sheet) -> Callout {
        let saddle = self.spot(self.bike().layout.post.saddle_top(self.position));
        let top = Spot::new(self.behind(), saddle.y);
        let ground = Spot::new(top.x, self.ground_y());
        sheet.add(group("aids").add(aid(top.moved(-1.5, 0.0), saddle)));
        sheet.add(dimension(ground, top));
        self.length(
            Side::Left,
            "seat height above ground",
            self.fit().setting.seat_height_mm,
            top.towards(ground, 0.35),
        )
    }

    /// The exposed post, beside it.
    fn exposed_post(&self, sheet: &mut Sheet) -> Callout {
        const ASIDE: f64 = 3.6;
        let (bike, setting) = (self.bike(), &self.fit().setting);
        let tube_top = bike.spec.frame.seat_tube.length.mm();
        let angle = bike.layout.post.up.y.atan2(bike.layout.post.up.x);
        let aside = |along: f64, by: f64| {
            let on_axis = self.spot(bike.layout.post.saddle_top(along));
            on_axis.polar(angle + std::f64::consts::FRAC_PI_2, by)
        };
        let clear = ASIDE + self.machine.view.paper(16.0);
        let (low, high) = (tube_top, tube_top + setting.exposed_post_mm);
        sheet.add(
            group("aids")
                .add(aid(aside(low, 0.0), aside(low, clear + 1.2)))
                .add(aid(aside(high, 0.0), aside(high, clear + 1.2))),
        );
        sheet.add(dimension(aside(low, clear), aside(high, clear)));
        Callout {
            note: Some(Note {
                status: None,
                text: format!(
                    "{} more in the tube",
                    self.picture.units.length(setting.insertion_mm)
                ),
            }),
            ..self.length(
                Side::Left,
                "exposed post",
                setting.exposed_post_mm,
                aside(f64::midpoint(low, high), clear),
            )
        }
    }

    /// The minimum-insertion mark, and how far the post may still rise to it.
    fn mark(&self, sheet: &mut Sheet) -> Callout {
        const NEVER: &str = "never above the tube";
        let (bike, setting) = (self.bike(), &self.fit().setting);
        let left = (setting.insertion_mm - bike.layout.post.minimum_insertion_mm).max(0.0);
        // Above the tape, so that it is seen whatever lies under it.
        sheet.add(self.machine.mark(self.position));
        let outcome = self.outcome("post_insertion");
        let note = match outcome.filter(|_| self.shows_all()) {
            Some(note) if note.status == Some(Status::Ok) => Note {
                text: NEVER.to_owned(),
                ..note
            },
            Some(note) => note,
            None => Note::plain(NEVER),
        };
        Callout {
            note: Some(note),
            ..self.length(
                Side::Left,
                "mark below tube top",
                left,
                self.machine.mark_flag_end(self.position),
            )
        }
    }

    /// The saddle's permitted range and the wanted band, as two strips behind the saddle.
    fn gauge(&self, sheet: &mut Sheet) -> Vec<Callout> {
        const CLEAR: f64 = 4.0;
        const STRIP: f64 = 2.8;
        /// Farthest that a wanted band is drawn beyond the post's range, mm of bike.
        const BEYOND: f64 = 90.0;
        let (bike, fit, units) = (self.bike(), self.fit(), self.picture.units);
        let post = &bike.layout.post;
        let (_, tail) = self.machine.saddle_ends(self.position);
        let buttock = self.hip.x - 0.085 * fit.body.height_mm;
        let rearmost = self.spot(Point::new(tail.x.min(buttock), 0.0)).x - CLEAR;
        let shift = self.spot(post.saddle_top(self.position)).x - rearmost;
        let at =
            |along: f64, aside: f64| self.spot(post.saddle_top(along)).moved(-shift - aside, 0.0);
        let strip = |from: f64, to: f64, aside: f64| {
            Outline::from(at(from, aside))
                .line(at(to, aside))
                .line(at(to, aside + STRIP))
                .line(at(from, aside + STRIP))
                .close()
        };
        let (low, high) = (post.lowest_mm, post.highest_mm);
        let mut gauge = group("gauge")
            .add(strip(low, high, 0.0).path("range"))
            .add(line("mark", at(high, -0.8), at(high, STRIP + 0.8)));
        let mut callouts = Vec::new();
        if let Some(band) = fit.saddle {
            let along = |tape: f64| self.along(tape).clamp(low - BEYOND, high + BEYOND);
            let (from, to) = (along(band.low_mm), along(band.high_mm));
            let aside = STRIP + 0.7;
            if to - from > 0.5 {
                gauge = gauge.add(
                    strip(from, to, aside)
                        .path("wanted")
                        .set("fill", format!("url(#{HATCH})")),
                );
            } else {
                // The whole band lies beyond what is drawn: an arrow to where it is.
                let up = if to > high { 1.0 } else { -1.0 };
                let tip = at(to, aside + STRIP / 2.0);
                gauge = gauge.add(
                    Outline::from(tip.moved(0.0, -2.0 * up))
                        .line(tip.moved(STRIP / 2.0, 2.0 * up))
                        .line(tip.moved(-STRIP / 2.0, 2.0 * up))
                        .close()
                        .path("wanted")
                        .set("fill", format!("url(#{HATCH})")),
                );
            }
            callouts.push(Callout {
                side: Side::Left,
                name: format!("wanted when {}", self.stage()),
                figure: format!(
                    "{} to {}",
                    units.bare(band.low_mm),
                    units.length(band.high_mm)
                ),
                note: Some(Note::plain("saddle height, hatched strip")),
                at: Some(at(f64::midpoint(from, to), aside + STRIP / 2.0)),
            });
        }
        if let (Some(sd), Some(band)) = (fit.setting.saddle_height_sd_mm, fit.saddle) {
            // What the tape and the estimates leave open about the wanted height, inside the post's range.
            let along = |tape: f64| self.along(tape).clamp(low, high);
            let (from, to) = (along(band.target_mm - sd), along(band.target_mm + sd));
            if to > from {
                gauge = gauge.add(strip(from, to, 0.0).path("doubt"));
            }
        }
        let setting = at(self.position, -0.4);
        gauge = gauge.add(
            Outline::from(setting)
                .line(setting.moved(2.4, -1.2))
                .line(setting.moved(2.4, 1.2))
                .close()
                .path("setting"),
        );
        sheet.add(gauge);
        callouts.push(Callout {
            side: Side::Left,
            name: "post permits".to_owned(),
            figure: format!(
                "{} to {}",
                units.bare(fit.bike.saddle_height_min_mm),
                units.length(fit.bike.saddle_height_max_mm)
            ),
            note: Some(Note::plain("saddle height, open strip")),
            at: Some(at(high, STRIP / 2.0)),
        });
        callouts
    }

    /// The stage that the fit was judged at: without cranks it is always the first.
    fn stage(&self) -> Stage {
        if self.bike().is_balance() {
            Stage::Learning
        } else {
            self.fit().rider.stage
        }
    }

    /// Position along the post's line of a tape figure from the bottom bracket.
    fn along(&self, tape_mm: f64) -> f64 {
        let post = &self.bike().layout.post;
        // |foot + up·s| = tape: the larger root.
        let across = post.foot.coords.dot(&post.up);
        let under = across * across - post.foot.coords.norm_squared() + tape_mm * tape_mm;
        under.max(0.0).sqrt() - across
    }

    /// Standover and the clearance above it, beside the front wheel.
    fn standover(&self, sheet: &mut Sheet) -> Vec<Callout> {
        const ASIDE: f64 = 4.0;
        let (bike, fit) = (self.bike(), self.fit());
        let front = bike.layout.points.front_axle.x + bike.layout.wheel_radius_front_mm;
        let x = self.spot(Point::new(front, 0.0)).x + BESIDE;
        let (Some(straddle), Some(standover)) = (bike.layout.straddle, bike.layout.standover_mm()) else {
            return vec![Callout {
                side: Side::Right,
                name: "standover clearance".to_owned(),
                figure: "not checked".to_owned(),
                note: self.outcome("standover"),
                at: None,
            }];
        };
        let top = self.spot(straddle);
        let crotch_y = self
            .spot(Point::new(
                0.0,
                bike.layout.ground_y + fit.body.inseam_in_shoes_mm(),
            ))
            .y;
        let (ground, tube) = (Spot::new(x, self.ground_y()), Spot::new(x, top.y));
        // Below the top tube the clearance would lie on the standover: it moves aside.
        let aside = if crotch_y > top.y { -ASIDE } else { 0.0 };
        let crotch = Spot::new(x + aside, crotch_y);
        sheet.add(
            group("aids")
                .add(aid(top, tube.moved(1.5, 0.0)))
                .add(aid(Spot::new(top.x, crotch_y), crotch.moved(1.5, 0.0)))
                .add(circle("leader-dot", top, 0.8)),
        );
        let standover_finding = fit.finding("standover");
        if let Some(sd) = standover_finding.and_then(|finding| finding.sd) {
            /// Half the width of the soft band about the crotch line.
            const HALF: f64 = 1.6;
            let half = sd / self.machine.view.scale;
            let corner = |x: f64, y: f64| crotch.moved(x, y);
            let band = Outline::from(corner(-HALF, -half))
                .line(corner(HALF, -half))
                .line(corner(HALF, half))
                .line(corner(-HALF, half))
                .close();
            sheet.add(group("doubt-band").add(band.path("doubt")));
        }
        sheet.add(dimension(ground, tube));
        sheet.add(dimension(tube.moved(aside, 0.0), crotch));
        let clearance = fit.body.inseam_in_shoes_mm() - standover;
        vec![
            Callout {
                note: self.outcome("standover"),
                ..self.doubtful_length(
                    Side::Right,
                    "standover clearance",
                    standover_finding
                        .and_then(|finding| finding.value)
                        .unwrap_or(clearance),
                    standover_finding.and_then(|finding| finding.sd),
                    tube.moved(aside, 0.0).towards(crotch, 0.5),
                )
            },
            self.length(
                Side::Right,
                "standover, top tube",
                standover,
                ground.towards(tube, 0.5),
            ),
        ]
    }

    fn torso_lean(&self, sheet: &mut Sheet) -> Callout {
        let note = self.outcome("reach");
        let Some(lean) = self.fit().pose.torso_lean_deg else {
            return Callout {
                side: Side::Right,
                name: "reach to the grips".to_owned(),
                figure: "out of reach".to_owned(),
                note,
                at: Some(self.spot(self.bike().layout.points.grip)),
            };
        };
        let hip = self.spot(self.hip);
        let radius = self.machine.view.paper(0.62 * self.fit().body.torso_mm);
        let end = lean.to_radians();
        sheet.add(group("aids").add(aid(hip, hip.moved(radius + 3.0, 0.0))));
        sheet.add(angle_mark(hip, radius, 0.0, end));
        Callout {
            side: Side::Right,
            name: "torso lean".to_owned(),
            figure: Unit::Degree.show(lean, self.picture.units),
            note,
            at: Some(hip.polar(end * 0.45, radius)),
        }
    }

    /// Knee flexion where the leg is straightest.
    fn knee(&self, sheet: &mut Sheet) -> Option<Callout> {
        let pose = &self.fit().pose;
        let Some(flexion) = pose.knee_flexion_min_deg else {
            return self.bike().spec.cranks.as_ref().map(|_| Callout {
                side: Side::Right,
                name: "leg round the turn".to_owned(),
                figure: "does not reach".to_owned(),
                note: self.outcome("saddle_height").map(|note| Note {
                    text: "at this saddle height".to_owned(),
                    ..note
                }),
                at: self
                    .machine
                    .pedal(self.crank_angle)
                    .map(|pedal| self.spot(pedal)),
            });
        };
        let leg = self.leg?;
        let (hip, knee, ankle) = (
            self.spot(self.hip),
            self.spot(leg.knee),
            self.spot(leg.ankle),
        );
        let radius = self.machine.view.paper(0.42 * self.fit().body.shank_mm);
        let straight_on = hip.angle_to(knee);
        let mut shank = knee.angle_to(ankle);
        // The shank turns back from the straight line, clockwise on paper.
        if shank > straight_on {
            shank -= std::f64::consts::TAU;
        }
        sheet.add(group("aids").add(aid(knee, knee.polar(straight_on, radius + 3.0))));
        sheet.add(angle_mark(knee, radius, straight_on, shank));
        Some(Callout {
            side: Side::Right,
            name: "knee bend, leg longest".to_owned(),
            figure: Unit::Degree.show(flexion, self.picture.units),
            note: pose.knee_flexion_max_deg.map(|most| {
                Note::plain(&format!(
                    "at most {} over the turn",
                    Unit::Degree.show(most, self.picture.units)
                ))
            }),
            at: Some(knee.polar(f64::midpoint(straight_on, shank), radius)),
        })
    }

    /// From the pedal's foremost place straight ahead towards the turned tyre.
    fn toe_clearance(&self, sheet: &mut Sheet) -> Option<Callout> {
        let finding = self.fit().finding("toe_clearance")?;
        let pedal = self.machine.pedal(std::f64::consts::FRAC_PI_2)?;
        let from = self.spot(pedal);
        let mut callout = Callout {
            side: Side::Right,
            name: "toe clearance".to_owned(),
            figure: "never meets".to_owned(),
            note: self.outcome("toe_clearance"),
            at: Some(from),
        };
        sheet.add(group("aids").add(circle("aid", from, self.machine.view.paper(14.0))));
        match finding.value {
            Some(clearance) => {
                let to = self.spot(pedal + Vector::new(clearance, 0.0));
                let (above, below) = (to.moved(0.0, -3.0), to.moved(0.0, 3.0));
                sheet.add(
                    group("aids")
                        .add(line("halo", above, below))
                        .add(line("measure", above, below)),
                );
                sheet.add(dimension(from, to));
                callout.figure = self.picture.units.length(clearance);
                callout.at = Some(from.towards(to, 0.6));
            }
            None if matches!(finding.status, Status::NotChecked(_)) => {
                "not checked".clone_into(&mut callout.figure);
            }
            None => {}
        }
        Some(callout)
    }

    /// The gap at the hand lever.
    fn levers(&self, sheet: &mut Sheet) -> Option<Callout> {
        let gap = self.fit().setting.lever_gap_mm?;
        let (rear, face) = self.machine.lever_face(gap);
        let (rear, face) = (self.spot(rear), self.spot(face));
        if !self.shows_all() {
            sheet.add(dimension(rear, face));
        }
        Some(Callout {
            note: self
                .shows_all()
                .then(|| self.outcome("brake_lever"))
                .flatten(),
            ..self.length(Side::Right, "lever gap to set", gap, face)
        })
    }

    pub(super) fn legend(&self, sheet: &mut Sheet) {
        callout::scale_bar(sheet, self.machine.view.scale, self.picture.units);
        let mut keys: Vec<Key> = vec![Key::Mark];
        if self.shows_all() {
            keys.extend([
                Key::Range,
                Key::Wanted,
                Key::Setting,
                Key::Doubt,
                Key::Status(Status::Ok),
                Key::Status(Status::Caution),
                Key::Status(Status::Adjust),
                Key::Status(Status::Fail(Misfit::NotSize)),
            ]);
        }
        callout::legend(sheet, &keys);
    }
}
