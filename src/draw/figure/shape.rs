//! A body on paper: which body, at which scale, in what; limbs grown together to draw it with.
//! Thicknesses are shares of height, for looks only, and nothing is read off them.

use crate::draw::element::Element;

use crate::draw::pen::{Outline, Rod, group};
use crate::draw::view::View;
use crate::plane::Point;
use crate::rider::Body;

/// Hip, knee, ankle, ball of the foot.
#[derive(Debug, Clone, Copy)]
pub(in crate::draw) struct LegPose {
    pub(in crate::draw) hip: Point,
    pub(in crate::draw) knee: Point,
    pub(in crate::draw) ankle: Point,
    pub(in crate::draw) ball: Point,
}

/// Elbow and hand.
#[derive(Debug, Clone, Copy)]
pub(in crate::draw) struct ArmPose {
    pub(in crate::draw) elbow: Point,
    pub(in crate::draw) hand: Point,
}

/// What is on the head and the feet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::draw) enum Dress {
    /// Helmet and shoes.
    Riding,
    /// Bare head and feet.
    Barefoot,
}

/// A body on paper.
#[derive(Debug, Clone, Copy)]
pub(in crate::draw) struct Figure<'a> {
    pub(in crate::draw) body: &'a Body,
    pub(in crate::draw) view: View,
    pub(in crate::draw) dress: Dress,
}

/// A piece of the body: colour class and outline.
pub(super) struct Piece(pub(super) &'static str, pub(super) Outline);

/// All outlines first, then all fills, so that pieces grow together.
pub(super) fn grown_together(pieces: &[Piece]) -> Element {
    let mut flesh = group("flesh");
    for Piece(class, outline) in pieces {
        flesh = flesh.add(outline.clone().path(&format!("{class} edge")));
    }
    for Piece(class, outline) in pieces {
        flesh = flesh.add(outline.clone().path(class));
    }
    flesh
}

impl Figure<'_> {
    pub(super) fn tall(&self) -> f64 {
        self.body.height_mm
    }

    /// Small children are rounder: 1 from 1400 mm up, more below.
    pub(super) fn round(&self) -> f64 {
        const GROWN_MM: f64 = 1400.0;
        const ROUNDER_PER_MM: f64 = 0.18 / 550.0;
        1.0 + ((GROWN_MM - self.tall()) * ROUNDER_PER_MM).clamp(0.0, 0.2)
    }

    /// A limb between two joints; radii as shares of height.
    pub(super) fn limb(&self, from: Point, from_share: f64, to: Point, to_share: f64) -> Outline {
        let radius = |share: f64| self.view.paper(share * self.tall() * self.round());
        Rod {
            from: self.view.spot(from),
            from_radius: radius(from_share),
            to: self.view.spot(to),
            to_radius: radius(to_share),
        }
        .outline()
    }
}
