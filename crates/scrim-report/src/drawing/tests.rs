//! Drawings of the staged play against files that were looked at: `golden/*.svg`. To write them again after a change that was
//! looked at: `SCRIM_WRITE_GOLDEN=1 cargo test -p scrim-report golden`.

use std::path::Path;

use scrim_season::words::{Names, Words};
use scrim_tables::tags::{Entity, Entry};

use super::sketch::{Going, RouteEnd};
use super::{Moment, PlayTracks, description, medoid, moments_of, sketch_of, standalone_svg};
use crate::TeamGames;
use crate::plays::{Plays, ScreenPlay, clocks_of};
use crate::staging::{staged_game, staged_team};

fn with_play(possession: usize, test: impl Fn(&TeamGames, &ScreenPlay<'_>)) {
    let team = staged_team(vec![staged_game("G1", 2)]);
    let clocks = clocks_of(&team);
    let plays = Plays::of(&team, &clocks);
    test(&team, &plays.offense.all()[possession]);
}

#[test]
fn the_frames_are_before_the_screen_and_after() {
    with_play(0, |_, play| {
        let tracks = PlayTracks::of(play.game, 0).unwrap();
        let moments = moments_of(play, &tracks);
        let words: Vec<Moment> = moments.iter().map(|moment| moment.0).collect();
        assert_eq!(words, [Moment::Before, Moment::Screen, Moment::After]);
        // The cut off the down screen is the last action before, from 3.0 s; 0.6 s earlier the frame begins.
        assert!((moments[0].1 - 2.4).abs() < 1e-9);
        // The second begins 0.6 s before the set at 6.0 and ends half a second after the use at 6.8; the shot at 8.8 ends the last.
        assert!((moments[1].1 - 5.4).abs() < 1e-9 && (moments[1].2 - 7.3).abs() < 1e-9);
        assert!((moments[2].2 - 8.8).abs() < 1e-9);
    });
}

#[test]
fn an_action_that_was_first_is_drawn_and_where_there_was_none_no_frame_is() {
    let moments = |look: &str| {
        let mut game = staged_game("G1", 1);
        game.entries[0].entry = Entry::None;
        game.entries[0].look = look.into();
        // The down screen is one of team-mates.
        game.screens[0].screener_id = "h3".into();
        let team = staged_team(vec![game]);
        let clocks = clocks_of(&team);
        let plays = Plays::of(&team, &clocks);
        let play = &plays.offense.all()[0];
        moments_of(play, &PlayTracks::of(play.game, 0).unwrap())
    };
    // Set at 3.0 s; the frame begins 0.6 s before.
    let first = moments("box down:right");
    assert_eq!((first.len(), first[0].0), (3, Moment::Before));
    assert!((first[0].1 - 2.4).abs() < 1e-9);
    assert_eq!(moments("box")[0].0, Moment::Screen);
}

#[test]
fn each_frame_shows_what_was_done_in_it() {
    with_play(0, |team, play| {
        let names = Names::of(team.games.iter().flat_map(|game| &game.players));
        let tracks = PlayTracks::of(play.game, 0).unwrap();
        let sketches: Vec<_> = moments_of(play, &tracks)
            .into_iter()
            .map(|moment| sketch_of(play, &tracks, &names, moment))
            .collect();
        let bars = |k: usize| {
            let routes = sketches[k].routes.iter();
            routes
                .filter(|route| matches!(route.end, RouteEnd::Bar(_)))
                .count()
        };
        let goes = |k: usize, going| {
            sketches[k]
                .routes
                .iter()
                .filter(|route| route.going == going)
                .count()
        };
        // Before: one screen; the cutter, the screener's route there and on.
        assert_eq!((bars(0), goes(0, Going::Cut), goes(0, Going::Dribble)), (1, 3, 0));
        // The ball screen: one screen, one dribble.
        assert_eq!((bars(1), goes(1, Going::Dribble)), (1, 1));
        // After: the drive, the roll, the pass and the shot.
        assert_eq!(
            (bars(2), goes(2, Going::Dribble), sketches[2].passes.len()),
            (0, 1, 1)
        );
        assert!(sketches[2].shot.is_some());
        for sketch in &sketches {
            assert_eq!((sketch.attackers.len(), sketch.defenders.len()), (5, 5));
            assert!(
                sketch
                    .attackers
                    .iter()
                    .filter(|attacker| attacker.has_ball)
                    .count()
                    == 1
            );
        }
        // No X covers a circle.
        for (defender, attacker) in sketches.iter().flat_map(|s| {
            s.defenders
                .iter()
                .flat_map(|g| s.attackers.iter().map(move |m| (g, m)))
        }) {
            assert!(
                defender.spot.distance_m(attacker.spot) > 1.2,
                "{defender:?} {attacker:?}"
            );
            assert!(defender.guards.is_some(), "{defender:?}");
        }
    });
}

#[test]
fn a_drawing_has_a_description() {
    with_play(0, |team, play| {
        let names = Names::of(team.games.iter().flat_map(|game| &game.players));
        let tracks = PlayTracks::of(play.game, 0).unwrap();
        let moment = moments_of(play, &tracks)[0];
        let sketch = sketch_of(play, &tracks, &names, moment);
        let text = description(&play.game.court(), &sketch, &names, &Words::english());
        for part in [
            "Before: KH 4 has the ball at the top",
            // That ends at x 6.8, y 5.4: 5.4 / 6.8 = 0.79, less than tan 42° = 0.90, so that it is the slot.
            "KH 5 goes from the right corner to the right slot",
            "KH 8 comes to screen at the",
        ] {
            assert!(text.contains(part), "no `{part}` in: {text}");
        }
    });
}

#[test]
fn golden_drawings() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/drawing/golden");
    for (possession, moment) in [(0, 0), (0, 1), (1, 2)] {
        with_play(possession, |team, play| {
            let names = Names::of(team.games.iter().flat_map(|game| &game.players));
            let tracks = PlayTracks::of(play.game, possession as u32).unwrap();
            let moment = moments_of(play, &tracks)[moment];
            let sketch = sketch_of(play, &tracks, &names, moment);
            let court = play.game.court();
            let words = Words::english();
            let text = description(&court, &sketch, &names, &words);
            let svg = standalone_svg(&court, &sketch, &text, &words);
            let name = format!("{}-{possession}.svg", moment.0.file_name());
            let path = folder.join(&name);
            if std::env::var_os("SCRIM_WRITE_GOLDEN").is_some() {
                std::fs::create_dir_all(&folder).unwrap();
                std::fs::write(&path, &svg).unwrap();
            }
            let golden = std::fs::read_to_string(&path).unwrap();
            assert!(svg == golden, "{name} is drawn otherwise:\n{svg}");
        });
    }
}

#[test]
fn mirror_images_are_as_typical_as_each_other() {
    let team = staged_team(vec![staged_game("G1", 5)]);
    let clocks = clocks_of(&team);
    let plays = Plays::of(&team, &clocks);
    let runs: Vec<_> = plays.offense.all().iter().collect();
    // All five are one run or its mirror image: every sum is the same, and the first is taken.
    assert_eq!(medoid(&runs), Some(0));
}

#[test]
fn the_typical_run_is_none_that_nobody_else_ran() {
    let mut game = staged_game("G1", 5);
    // In the first possession the screener stands 3 m off in all samples.
    for row in game.tracks.iter_mut().filter(|row| row.possession_id == 0) {
        if row.entity == Entity::Offense {
            for x in row.x_cm.iter_mut().flatten() {
                *x += 300;
            }
        }
    }
    let team = staged_team(vec![game]);
    let clocks = clocks_of(&team);
    let plays = Plays::of(&team, &clocks);
    let runs: Vec<_> = plays.offense.all().iter().collect();
    // The other four are one run or its mirror image; instants may be rounded to neighbouring samples, so any may be taken.
    assert!(medoid(&runs).is_some_and(|typical| typical != 0));
}

#[test]
fn without_tracks_nothing_is_typical_and_nothing_is_drawn() {
    let mut game = staged_game("G1", 2);
    game.tracks.clear();
    let team = staged_team(vec![game]);
    let clocks = clocks_of(&team);
    let plays = Plays::of(&team, &clocks);
    assert_eq!(medoid(&plays.offense.all().iter().collect::<Vec<_>>()), None);
    assert!(PlayTracks::of(&team.games[0], 0).is_none());
}
