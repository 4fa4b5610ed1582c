//! A section of parameters is declared, checked and listed.

use super::*;

parameters! {
    /// How far somebody goes.
    pub struct Walk {
        /// Length of a step,
        /// on the level.
        step_m: f32 = 0.7, in 0.1..=2.0, source "measured";
        /// How many.
        steps: u32 = 10, in 1..=1000;
        /// How far in the first and in the second hour.
        hours_share: Numbers<2> = Numbers([0.6, 0.3]), list falling(0.0..=1.0);
        /// How tired after each.
        tired_share: Numbers<2> = Numbers([0.2, 0.2]), list rising(0.0..=1.0);
        /// Where to.
        to: String = "home".into(), either ["home", "away"];
        /// In what weather.
        weather: Weather;
        fixed {
            /// Whoever walks rests this long, s.
            rest_s: f32 = 9.0;
        }
    }
}

parameters! {
    constant;
    /// The weather.
    pub struct Weather {
        /// Share of the way in the rain.
        wet_share: f64 = 0.25, in 0.0..=1.0;
    }
}

fn refused(walk: &Walk) -> String {
    walk.check_in("walk").unwrap_err().to_string()
}

#[test]
fn defaults_are_within_their_bounds_and_bounds_may_be_reached() {
    assert_eq!(Walk::default().check_in(""), Ok(()));
    assert_eq!(Weather::DEFAULT, Weather::default());
    for step_m in [0.1, 2.0] {
        let walk = Walk {
            step_m,
            ..Walk::default()
        };
        assert_eq!(walk.check_in(""), Ok(()));
    }
}

#[test]
fn a_value_out_of_bounds_is_refused_with_its_whole_key_itself_and_the_bounds() {
    let mut walk = Walk {
        steps: 0,
        ..Walk::default()
    };
    assert_eq!(
        refused(&walk),
        "parameter `walk.steps` is 0; it must be from 1 to 1000"
    );
    walk = Walk::default();
    walk.weather.wet_share = -0.5;
    assert_eq!(
        refused(&walk),
        "parameter `walk.weather.wet_share` is -0.5; it must be from 0 to 1"
    );
    walk.weather.wet_share = f64::NAN;
    assert!(refused(&walk).contains("is NaN"));
    walk.to = "nowhere".into();
    assert_eq!(
        refused(&walk),
        "parameter `walk.to` is nowhere; it must be one of home, away"
    );
}

#[test]
fn a_list_out_of_bounds_or_out_of_order_is_refused() {
    let with = |hours_share, tired_share| Walk {
        hours_share: Numbers(hours_share),
        tired_share: Numbers(tired_share),
        ..Walk::default()
    };
    assert_eq!(with([0.5, 0.5], [0.0, 1.0]).check_in(""), Ok(()));
    for (walk, message) in [
        (
            with([0.3, 0.6], [0.2, 0.2]),
            "`walk.hours_share` is [0.3, 0.6]; it must be 2 numbers from 0 to 1, none above the one before",
        ),
        (
            with([1.5, 0.6], [0.2, 0.2]),
            "`walk.hours_share` is [1.5, 0.6]; it must be 2 numbers from 0 to 1, none above the one before",
        ),
        (
            with([0.6, f64::NAN], [0.2, 0.2]),
            "`walk.hours_share` is [0.6, NaN]; it must be 2 numbers from 0 to 1, none above the one before",
        ),
        (
            with([0.6, 0.3], [0.2, 0.1]),
            "`walk.tired_share` is [0.2, 0.1]; it must be 2 numbers from 0 to 1, none below the one before",
        ),
    ] {
        assert_eq!(refused(&walk), format!("parameter {message}"));
    }
}

#[test]
fn the_list_has_every_key_with_unit_bounds_meaning_and_source() {
    let mut list = Vec::new();
    Walk::list_in("walk", &mut list);
    let keys: Vec<&str> = list.iter().map(|parameter| parameter.key.as_str()).collect();
    assert_eq!(
        keys,
        [
            "walk.step_m",
            "walk.steps",
            "walk.hours_share",
            "walk.tired_share",
            "walk.to",
            "walk.weather.wet_share"
        ]
    );
    let step = &list[0];
    assert_eq!(
        (
            step.unit,
            step.values.as_str(),
            step.meaning.as_str(),
            step.source
        ),
        ("m", "0.1 to 2", "Length of a step, on the level.", "measured")
    );
    assert_eq!(step.bounds, Some((0.1, 2.0)));
    assert_eq!(
        (list[2].values.as_str(), list[2].bounds, list[2].unit),
        (
            "2 numbers from 0 to 1, none above the one before",
            Some((0.0, 1.0)),
            "share of 1"
        )
    );
    assert_eq!(
        (list[4].values.as_str(), list[4].source),
        ("home, away", COMMON_PRACTICE)
    );
    assert_eq!(list[5].unit, "share of 1");
}
