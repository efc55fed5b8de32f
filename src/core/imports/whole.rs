//! Which panels a surface has on every vehicle (common practice): what was coated where nothing else is said.

use crate::core::words::NamedPanel as P;
use crate::core::words::{NamedPanel, Surface};

impl Surface {
    /// The panels of this surface that every vehicle has; none where that differs from one to the next.
    ///
    /// ```
    /// use lustrum::core::words::{NamedPanel, Surface};
    /// assert!(Surface::Glass.whole().contains(&NamedPanel::Windscreen));
    /// assert!(Surface::Trim.whole().is_empty());
    /// ```
    pub const fn whole(self) -> &'static [NamedPanel] {
        match self {
            Self::Paint => &[
                P::Bonnet,
                P::Roof,
                P::Boot,
                P::FrontBumper,
                P::RearBumper,
                P::LeftSill,
                P::RightSill,
                P::LeftMirror,
                P::RightMirror,
                P::FrontLeftDoor,
                P::FrontRightDoor,
                P::RearLeftDoor,
                P::RearRightDoor,
                P::FrontLeftWing,
                P::FrontRightWing,
                P::RearLeftWing,
                P::RearRightWing,
            ],
            Self::Glass => &[
                P::Windscreen,
                P::RearWindow,
                P::FrontLeftWindow,
                P::FrontRightWindow,
                P::RearLeftWindow,
                P::RearRightWindow,
            ],
            Self::Wheels => &[P::FrontLeftWheel, P::FrontRightWheel, P::RearLeftWheel, P::RearRightWheel],
            Self::Headlights => &[P::LeftHeadlight, P::RightHeadlight],
            Self::SoftTop => &[P::SoftTop],
            Self::Leather | Self::Fabric => &[P::Cabin],
            Self::Trim | Self::Film | Self::Metal => &[],
        }
    }
}
