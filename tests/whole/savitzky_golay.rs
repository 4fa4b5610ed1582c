//! Savitzky–Golay weights and cleaned tracks against the paper's tables and against SciPy.
//!
//! A. Savitzky, M. J. E. Golay, "Smoothing and Differentiation of Data by Simplified Least Squares Procedures",
//! Analytical Chemistry 36 (1964) 1627. The 5-point rows are in this project's own brief; the longer rows are typed from
//! memory of the paper's tables I, II, III and V, and the second test holds all of them against SciPy besides.

use scrim_tracks::savitzky_golay::weights;

/// Half width, order, derivative, the table's integers, their norm.
type TableRow = (usize, usize, usize, &'static [i32], f64);

const TABLE: [TableRow; 12] = [
    // Smoothing, quadratic and cubic.
    (2, 2, 0, &[-3, 12, 17, 12, -3], 35.0),
    (2, 3, 0, &[-3, 12, 17, 12, -3], 35.0),
    (3, 2, 0, &[-2, 3, 6, 7, 6, 3, -2], 21.0),
    (4, 2, 0, &[-21, 14, 39, 54, 59, 54, 39, 14, -21], 231.0),
    (5, 2, 0, &[-36, 9, 44, 69, 84, 89, 84, 69, 44, 9, -36], 429.0),
    // Smoothing, quartic and quintic.
    (3, 4, 0, &[5, -30, 75, 131, 75, -30, 5], 231.0),
    // First derivative, quadratic.
    (2, 2, 1, &[-2, -1, 0, 1, 2], 10.0),
    (3, 2, 1, &[-3, -2, -1, 0, 1, 2, 3], 28.0),
    (5, 2, 1, &[-5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5], 110.0),
    // First derivative, cubic and quartic.
    (2, 3, 1, &[1, -8, 0, 8, -1], 12.0),
    (3, 3, 1, &[22, -67, -58, 0, 58, 67, -22], 252.0),
    // Second derivative, quadratic and cubic.
    (2, 2, 2, &[2, -1, -2, -1, 2], 7.0),
];

#[test]
fn weights_are_the_1964_papers() {
    for (half_width, order, derivative, integers, norm) in TABLE {
        let ours = weights(half_width, order, derivative);
        assert_eq!(ours.len(), integers.len());
        for (ours, integer) in ours.iter().zip(integers) {
            let theirs = f64::from(*integer) / norm;
            assert!(
                (ours - theirs).abs() < 1e-12,
                "{half_width} {order} {derivative}: {ours}, in the table {theirs}"
            );
        }
    }
}

#[cfg(feature = "reference")]
mod against_scipy {
    use scrim_floor::Court;
    use scrim_tracks::savitzky_golay::weights;
    use scrim_tracks::{
        GameInfo, Player, PlayerIx, RawGame, RawPeriod, RawTrack, TeamSlot, TrackParams, clean,
    };
    use serde::Deserialize;
    use serde_json::json;

    use crate::python::ask;

    #[derive(Deserialize)]
    struct Signal {
        value: Vec<f64>,
        slope: Vec<f64>,
    }

    #[derive(Deserialize)]
    struct Answer {
        weights: Vec<Vec<f64>>,
        signals: Vec<Signal>,
    }

    #[test]
    fn weights_are_scipys() {
        let mut asked = Vec::new();
        for half_width in 1..=12 {
            for order in 0..=5.min(2 * half_width) {
                for derivative in 0..=order.min(2) {
                    asked.push((half_width, order, derivative));
                }
            }
        }
        let answer: Answer = ask("savitzky_golay.py", &json!({ "weights": asked, "signals": [] }));
        assert_eq!(answer.weights.len(), asked.len());
        for ((half_width, order, derivative), scipy) in asked.into_iter().zip(answer.weights) {
            let ours = weights(half_width, order, derivative);
            assert_eq!(ours.len(), scipy.len());
            for (ours, theirs) in ours.iter().zip(&scipy) {
                // SciPy solves a least-squares system: its own rounding is of this size for the widest windows.
                let tolerance = 1e-9;
                assert!(
                    (ours - theirs).abs() < tolerance,
                    "{half_width} {order} {derivative}: {ours}, SciPy {theirs}"
                );
            }
        }
    }

    /// Half a minute of a player who bends and brakes, with a jitter of some centimetres that is the same in every run
    /// (two sines of unrelated fast rates).
    fn wandering(t_s: f64, phase: f64) -> f32 {
        let path_m = 9.0 * (0.35 * t_s + phase).sin() + 2.0 * (1.1 * t_s).cos();
        let jitter_m = 0.03 * (61.7 * t_s + phase).sin() + 0.02 * (97.3 * t_s).cos();
        (path_m + jitter_m) as f32
    }

    #[test]
    fn a_cleaned_track_is_scipys_filter_of_the_raw_one() {
        let params = TrackParams {
            grid_hz: 25.0,
            player_window_s: 0.44,
            ..TrackParams::default()
        };
        let hz = params.grid_hz;
        let t_s: Vec<f64> = (0..750).map(|frame| f64::from(frame) / hz).collect();
        let track = RawTrack {
            who: PlayerIx(0),
            x_m: t_s.iter().map(|t| wandering(*t, 0.0)).collect(),
            y_m: t_s.iter().map(|t| 0.6 * wandering(*t, 1.3)).collect(),
            z_m: Vec::new(),
            t_s,
        };
        let (raw_x_m, raw_y_m) = (track.x_m.clone(), track.y_m.clone());
        let raw = RawGame {
            info: GameInfo {
                game_id: "G".into(),
                season: None,
                date: None,
                team_ids: ["A".into(), "B".into()],
                home_is_known: false,
                court: Court::fiba(),
                video_offset_s: Vec::new(),
            },
            players: vec![Player {
                id: "1".into(),
                team: TeamSlot::First,
                jersey: None,
                name: None,
                role: None,
            }],
            periods: vec![RawPeriod {
                number: 1,
                clocks: Vec::new(),
                players: vec![track],
                ball: RawTrack::default(),
                duplicate_rows: 0,
                rows_quarantined: 0,
            }],
            events: None,
        };
        // 0.44 s at 25 Hz: 11 frames, 5 on either side; the smoothing polynomial is a parabola.
        let ask_for = |samples: &[f32]| json!({ "samples": samples, "half_width": 5, "order": 2, "hz": hz });
        let signals = [ask_for(&raw_x_m), ask_for(&raw_y_m)];
        let answer: Answer = ask("savitzky_golay.py", &json!({ "weights": [], "signals": signals }));

        let cleaned = clean(raw, &params).unwrap();
        let track = &cleaned.game.periods[0].tracks[0];
        let pairs = [
            (&track.x_m, &track.vx_mps, &raw_x_m),
            (&track.y_m, &track.vy_mps, &raw_y_m),
        ];
        for ((place_m, velocity_mps, raw_m), scipy) in pairs.into_iter().zip(&answer.signals) {
            assert_eq!(place_m.len(), scipy.value.len());
            // The filter must have had something to do.
            assert!(
                raw_m
                    .iter()
                    .zip(place_m)
                    .any(|(raw, smooth)| (raw - smooth).abs() > 0.02)
            );
            for (frame, (ours, theirs)) in place_m.iter().zip(&scipy.value).enumerate() {
                // Eleven f32 products of up to 11 m: 11 roundings of 1e-6 m at most.
                assert!(
                    (f64::from(*ours) - theirs).abs() < 2e-5,
                    "frame {frame}: {ours} m, SciPy {theirs}"
                );
            }
            for (frame, (ours, theirs)) in velocity_mps.iter().zip(&scipy.slope).enumerate() {
                // The same times the rate and the sum of the weights' sizes (up to a window's end, about 0.5 a sample).
                assert!(
                    (f64::from(*ours) - theirs).abs() < 5e-4,
                    "frame {frame}: {ours} m/s, SciPy {theirs}"
                );
            }
        }
    }
}
