//! The four players of a candidate: user, screener, and who guards each of them.

use scrim_play::{Attacker, Defender, Scene};

/// Who plays which part, by places in the scene.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Four {
    /// Who may use the screen.
    pub user: Attacker,
    /// Who may set it.
    pub screener: Attacker,
    /// Who guards the user, if that is known.
    pub user_defender: Option<Defender>,
    /// Who guards the screener, if that is known.
    pub screener_defender: Option<Defender>,
}

/// The defenders are those of this long before the closest approach, s: at the screen itself they may change.
const BEFORE_S: f32 = 0.4;
/// Matchups change seldom and late: where the two defenders stand in this last time says who guards whom, too, s.
const STAND_S: f32 = 1.0;
/// The two defenders stand so much nearer to each other's attacker than to their own, both together and on average, that it
/// is the matchups that are wrong, m. Common practice, no source.
const EXCHANGED_M: f32 = 1.0;

impl Four {
    /// The four of `user` and `screener` who are nearest at frame `at`. Where a matchup is not known, the nearest defender
    /// who guards nobody stands in.
    pub fn of(scene: &Scene, user: Attacker, screener: Attacker, at: usize) -> Self {
        let k = at.saturating_sub(scene.frames_in(BEFORE_S));
        let of = |attacker: Attacker| scene.guard[k][attacker].or(scene.guard[at][attacker]);
        let (user_defender, mut screener_defender) = (of(user), of(screener));
        if user_defender == screener_defender {
            // They changed in between: the screener's is looked for again.
            screener_defender = scene.guard[at][screener].filter(|&defender| Some(defender) != user_defender);
        }
        let guards_another = |defender: Defender| scene.guard[k].values().contains(&Some(defender));
        let nearest = |attacker: Attacker, but: Option<Defender>| {
            let here = scene.attackers[attacker].at(k);
            let defenders = scene.defenders.placed();
            defenders
                .filter(|&(place, _)| Some(place) != but && !guards_another(place))
                .map(|(place, mover)| (place, mover.at(k).distance_m(here)))
                .filter(|(_, gap)| gap.is_finite())
                .min_by(|a, b| a.1.total_cmp(&b.1))
                .map(|(place, _)| place)
        };
        let user_defender = user_defender.or_else(|| nearest(user, screener_defender));
        let screener_defender = screener_defender.or_else(|| nearest(screener, user_defender));
        let (user_defender, screener_defender) = match (user_defender, screener_defender) {
            (Some(one), Some(other)) if stand_exchanged(scene, (user, one), (screener, other), k) => {
                (Some(other), Some(one))
            }
            (_, _) => (user_defender, screener_defender),
        };
        Self {
            user,
            screener,
            user_defender,
            screener_defender,
        }
    }
}

/// Whether two defenders stand as if each guarded the other's attacker, up to frame `k`; pairs are (attacker, defender).
fn stand_exchanged(scene: &Scene, one: (Attacker, Defender), other: (Attacker, Defender), k: usize) -> bool {
    let (mut nearer, mut seen) = (0.0, 0.0);
    for k in k.saturating_sub(scene.frames_in(STAND_S))..=k {
        let own = scene.gap_m(one.0, one.1, k) + scene.gap_m(other.0, other.1, k);
        let exchanged = scene.gap_m(one.0, other.1, k) + scene.gap_m(other.0, one.1, k);
        if (own - exchanged).is_finite() {
            nearer += own - exchanged;
            seen += 1.0;
        }
    }
    seen > 0.0 && nearer > EXCHANGED_M * seen
}
