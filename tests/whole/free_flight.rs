//! The simulator's ball in free flight against g = 9.80665 m/s², the standard acceleration of free fall (3rd General
//! Conference on Weights and Measures, 1901, resolution 2; ISO 80000-3), seen from outside: in its tracking.

use scrim_practice::{Faults, PracticeParams, TimeStamps, play_game};

const STANDARD_GRAVITY_MPS2: f64 = 9.806_65;

/// Above rim (3.05 m) and ball (0.12 m radius) nothing touches a ball: no hand, no iron.
const NOTHING_TOUCHES_M: f64 = 3.3;

/// A ball at an instant: x, y, z in metres.
type Spot = [f64; 3];

/// The ball's flights above [`NOTHING_TOUCHES_M`], frame by frame, of at least five frames, that come down at a hoop. A high
/// pass is none of them: it is led to the receiver's hands, wherever they run.
fn flights(params: &PracticeParams) -> Vec<Vec<Spot>> {
    let game = play_game(params, 0);
    let tracking = &game.tracking;
    let mut flights: Vec<Vec<Spot>> = Vec::new();
    let mut last: Option<(u8, f64)> = None;
    for row in (0..tracking.len()).filter(|row| tracking.player[*row].is_none()) {
        let z_m = f64::from(tracking.z_m[row].expect("the height of the ball is known"));
        if z_m < NOTHING_TOUCHES_M {
            last = None;
            continue;
        }
        let spot = [f64::from(tracking.x_m[row]), f64::from(tracking.y_m[row]), z_m];
        let now = (tracking.period[row], tracking.t_s[row]);
        let goes_on = last.is_some_and(|(period, t_s)| period == now.0 && now.1 - t_s < 1.5 / params.hz);
        match flights.last_mut() {
            Some(flight) if goes_on => flight.push(spot),
            _ => flights.push(vec![spot]),
        }
        last = Some(now);
    }
    let hoop_x_m = f64::from(params.court.hoop_x_m());
    flights.retain(|flight| {
        let [x_m, y_m, _] = flight[flight.len() - 1];
        flight.len() >= 5 && (x_m.abs() - hoop_x_m).hypot(y_m) < 1.0
    });
    flights
}

/// The tracking holds millimetres: half of one is lost at most.
const ROUNDING_M: f64 = 0.5e-3;

/// The values less the straight line that fits them best.
fn less_their_line(values: &[f64]) -> Vec<f64> {
    let middle = (values.len() - 1) as f64 / 2.0;
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let from_middle = |k: usize| k as f64 - middle;
    let slope = values
        .iter()
        .enumerate()
        .map(|(k, v)| from_middle(k) * v)
        .sum::<f64>()
        / (0..values.len()).map(|k| from_middle(k).powi(2)).sum::<f64>();
    values
        .iter()
        .enumerate()
        .map(|(k, v)| v - mean - slope * from_middle(k))
        .collect()
}

#[test]
fn nothing_but_gravity_bends_a_shot() {
    for hz in [25.0, 60.0] {
        let params = PracticeParams {
            hz,
            noise_m: 0.0,
            periods: 2,
            period_s: 300.0,
            faults: Faults {
                time_stamps: TimeStamps::Regular,
                ..Faults::default()
            },
            ..PracticeParams::default()
        };
        let flights = flights(&params);
        // Ten minutes have some 40 shots, and most rise well over the rim.
        assert!(flights.len() >= 10, "{} flights at {hz} Hz", flights.len());

        // Least squares over all flights at once: z = line − g t²/2, each flight with a line of its own.
        let (mut product, mut weight) = (0.0, 0.0);
        for flight in &flights {
            let fall_m: Vec<f64> = (0..flight.len())
                .map(|k| -(k as f64 / hz).powi(2) / 2.0)
                .collect();
            let fall_m = less_their_line(&fall_m);
            for (axis, gravity_mps2) in [0.0, 0.0, STANDARD_GRAVITY_MPS2].into_iter().enumerate() {
                let height_m: Vec<f64> = flight.iter().map(|spot| spot[axis]).collect();
                let height_m = less_their_line(&height_m);
                // Rounding moves a sample by half a millimetre, and the fitted line by no more than that.
                for (height, fall) in height_m.iter().zip(&fall_m) {
                    let off_m = height - gravity_mps2 * fall;
                    assert!(
                        off_m.abs() < 2.0 * ROUNDING_M,
                        "axis {axis} at {hz} Hz: {off_m} m off in {flight:?}"
                    );
                }
                if gravity_mps2 > 0.0 {
                    product += height_m
                        .iter()
                        .zip(&fall_m)
                        .map(|(height, fall)| height * fall)
                        .sum::<f64>();
                    weight += fall_m.iter().map(|fall| fall * fall).sum::<f64>();
                }
            }
        }
        // Rounding is uniform: its standard deviation is half its width over √3.
        let (gravity_mps2, error_mps2) = (product / weight, ROUNDING_M / 3.0_f64.sqrt() / weight.sqrt());
        println!(
            "{} flights at {hz} Hz: {gravity_mps2} ± {error_mps2} m/s²",
            flights.len()
        );
        assert!(
            error_mps2 < 1e-3 * STANDARD_GRAVITY_MPS2,
            "too little flight to know: ± {error_mps2}"
        );
        assert!(
            (gravity_mps2 - STANDARD_GRAVITY_MPS2).abs() < 4.0 * error_mps2,
            "{gravity_mps2} ± {error_mps2}"
        );
    }
}
