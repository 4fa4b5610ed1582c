//! The court, and how a source's coordinates lie on it.

use scrim_floor::Court;
use serde::{Deserialize, Serialize};

/// A court by name or by its measures.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum CourtChoice {
    /// A built-in court.
    Name(String),
    /// All measures, metres.
    Measures(Court),
}

/// Where. The court is seen from above with its length from left to right: the court frame has its origin in the
/// middle, x to the right and y up.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PlaceMapping {
    /// The column of the first coordinate. Default `x_m`.
    pub x: Option<String>,
    /// The column of the second coordinate. Default `y_m`.
    pub y: Option<String>,
    /// The column of the height. Default `z_m`, when there is one.
    pub z: Option<String>,
    /// Unit of all three. Default metres.
    pub unit: LengthUnit,
    /// Where both coordinates are 0. Default the middle of the court.
    pub origin: Origin,
    /// Where the first coordinate grows to. Default right.
    pub x_points: Points,
    /// Where the second coordinate grows to. Default up.
    pub y_points: Option<Points>,
}

impl PlaceMapping {
    /// Where the second coordinate grows to.
    pub fn y_points(&self) -> Points {
        self.y_points.unwrap_or(Points::Up)
    }
}

/// Declares words of the mapping, the first of them the default, each with what it stands for.
macro_rules! words {
    ($(#[doc = $about:literal])+ $name:ident; $(#[doc = $meaning:literal])+ $vis:vis $of:ident: $type:ty;
     $($(#[doc = $doc:literal])+ $word:ident = $text:literal: $value:expr),+ $(,)?) => {
        $(#[doc = $about])+
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
        pub enum $name {
            $($(#[doc = $doc])+ #[serde(rename = $text)] $word),+
        }

        impl $name {
            /// All of them.
            pub(crate) const ALL: [Self; [$($text),+].len()] = [$(Self::$word),+];

            /// How it is written in a mapping.
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$word => $text),+ }
            }

            $(#[doc = $meaning])+
            $vis const fn $of(self) -> $type {
                match self { $(Self::$word => $value),+ }
            }
        }

        impl Default for $name {
            fn default() -> Self {
                Self::ALL[0]
            }
        }
    };
}

words! {
    /// A unit of length.
    LengthUnit;
    /// Its length, metres (foot, inch and yard: international yard of 1959, exactly 0.9144 m).
    pub in_m: f64;
    /// Metres.
    M = "m": 1.0,
    /// Centimetres.
    Cm = "cm": 0.01,
    /// Millimetres.
    Mm = "mm": 0.001,
    /// Feet of 0.3048 m.
    Ft = "ft": 0.3048,
    /// Inches of 0.0254 m.
    In = "in": 0.0254,
    /// Yards of 0.9144 m.
    Yd = "yd": 0.9144,
}

words! {
    /// Where coordinates are 0, on the court seen from above with its length from left to right.
    Origin;
    /// Its place in the court frame, in half lengths and half widths.
    pub(crate) halves: (f64, f64);
    /// The middle of the court.
    Centre = "centre": (0.0, 0.0),
    /// The corner at bottom left.
    BottomLeft = "bottom_left": (-1.0, -1.0),
    /// The corner at bottom right.
    BottomRight = "bottom_right": (1.0, -1.0),
    /// The corner at top left.
    TopLeft = "top_left": (-1.0, 1.0),
    /// The corner at top right.
    TopRight = "top_right": (1.0, 1.0),
}

/// A direction on the court seen from above with its length from left to right.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Points {
    /// Along the court, to the right: +x of the court frame.
    #[default]
    Right,
    /// Along the court, to the left.
    Left,
    /// Across the court, up: +y of the court frame.
    Up,
    /// Across the court, down.
    Down,
}

impl Points {
    /// Whether it lies along the court's length.
    pub const fn is_along(self) -> bool {
        matches!(self, Self::Right | Self::Left)
    }

    /// The unit vector in the court frame.
    pub(crate) const fn vector(self) -> (f64, f64) {
        match self {
            Self::Right => (1.0, 0.0),
            Self::Left => (-1.0, 0.0),
            Self::Up => (0.0, 1.0),
            Self::Down => (0.0, -1.0),
        }
    }
}
