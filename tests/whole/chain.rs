//! The whole chain in one process: practice games to source folders, those through all stages, the tables scored.

use std::path::Path;
use std::sync::Mutex;

use scrim::source_record::Redo;
use scrim::{Pipeline, RunPlan, RunSummary, run_sources};
use scrim_ingest::find_sources;
use scrim_practice::{NegativeRow, PracticeGame, PracticeParams, Tracking, play_game, write_game};
use scrim_score::{Report, ScoreParams, score};
use scrim_tables::LocalStore;
use scrim_tables::rows::{CoverageRow, OffBallMotionRow, ScreenRow};

/// Two periods of ten minutes, from a seed that no parameter was fitted on.
pub fn unseen(noise_m: f32) -> PracticeParams {
    PracticeParams {
        seed: 7001,
        periods: 2,
        period_s: 600.0,
        noise_m,
        ..PracticeParams::default()
    }
}

/// What the chain made of some practice games.
pub struct Played {
    /// Tags against labels.
    pub report: Report,
    /// The run's own account.
    pub summary: RunSummary,
    /// The games as they were played, in order.
    pub games: Vec<PracticeGame>,
    /// The `screens` rows of all games.
    pub screens: Vec<ScreenRow>,
    /// The `coverages` rows of all games.
    pub coverages: Vec<CoverageRow>,
    /// The `off_ball_motion` rows of all games.
    pub motion: Vec<OffBallMotionRow>,
}

/// Plays two games, lets `spoil` change each and its source folder, runs everything and scores.
pub fn play(
    params: &PracticeParams,
    spoil_game: impl Fn(&mut PracticeGame),
    spoil_folder: impl Fn(&Path),
) -> Played {
    let folder = tempfile::tempdir().expect("a folder for the test");
    let (input, output) = (folder.path().join("in"), folder.path().join("out"));
    let games: Vec<_> = (0..2)
        .map(|number| {
            let mut game = play_game(params, number);
            spoil_game(&mut game);
            let source = input.join(number.to_string());
            write_game(&game, &source).expect("a game is written");
            spoil_folder(&source);
            game
        })
        .collect();
    let pipeline = Pipeline::default();
    let rows = Mutex::new((Vec::new(), Vec::new(), Vec::new()));
    let plan = RunPlan {
        pipeline: &pipeline,
        inputs: &scrim::inputs::Inputs::Here,
        stop: &std::sync::atomic::AtomicBool::new(false),
        run: &pipeline.run_info().expect("the default pipeline can be written"),
        store: &LocalStore::new(&output),
        redo: Redo::All,
        jobs: 2,
        on_game: &|tagged| {
            let mut rows = rows.lock().expect("no run breaks while it holds the rows");
            rows.0.extend(tagged.tables.screens.clone());
            rows.1.extend(tagged.tables.coverages.clone());
            rows.2.extend(tagged.tables.off_ball_motion.clone());
        },
        on_source: &|_| (),
    };
    let sources = find_sources(&input, None).expect("there are sources").sources;
    let summary = run_sources(&sources, &plan).expect("there are threads");
    let report = score(&output, &input, &ScoreParams::default()).expect("tables and labels are read");
    let (screens, coverages, motion) = rows.into_inner().expect("no run broke");
    Played {
        report,
        summary,
        games,
        screens,
        coverages,
        motion,
    }
}

/// Plays two games and changes nothing.
pub fn play_clean(params: &PracticeParams) -> Played {
    play(params, |_| (), |_| ())
}

/// The least that a report may say.
pub struct Floors {
    /// F1 of possessions.
    pub possessions: f64,
    /// Share of player-time with the right matchup.
    pub matchups: f64,
    /// F1 of ball screens and handoffs.
    pub screens: f64,
    /// Share of the found ones with the right outcome.
    pub outcome: f64,
}

impl Played {
    /// Possessions F1, matchups right, ball screens F1, outcome right.
    pub fn figures(&self) -> [f64; 4] {
        let report = &self.report;
        let possessions = report.possessions.scored().expect("possessions were labelled");
        let matchups = report.matchups.scored().expect("matchups were labelled");
        let screens = report.on_ball_screens.scored().expect("screens were labelled");
        let outcome = screens.columns.tag("outcome").expect("outcomes were labelled");
        [
            possessions.detection.f1.expect("there are possessions"),
            matchups.right.as_ref().expect("there are matchups").share,
            screens.detection.f1.expect("there are screens"),
            outcome.accuracy.share,
        ]
    }

    /// Fails unless every figure is at or above its floor; says all of them.
    pub fn assert_at_least(&self, floors: &Floors) {
        assert_eq!(self.summary.all.done.len(), 2, "{:?}", self.summary.all.skipped);
        let found = self.figures();
        let least = [
            floors.possessions,
            floors.matchups,
            floors.screens,
            floors.outcome,
        ];
        assert!(
            found.iter().zip(least).all(|(found, least)| *found >= least),
            "possessions, matchups, screens, outcome: {found:.3?}, at least {least:?}"
        );
    }

    /// Fails if more than `most` of the scripted hard negatives fired, or there are too few to know.
    pub fn assert_negatives_silent(&self, most: usize) {
        let (fired, all) = self.fired_negatives();
        assert!(all >= 35, "only {all} hard negatives");
        assert!(fired.len() <= most, "{} of {all} fired: {fired:#?}", fired.len());
    }

    /// The scripted hard negatives for which a ball screen of the two stands in the tables though none was labelled,
    /// and how many negatives there are.
    pub fn fired_negatives(&self) -> (Vec<&NegativeRow>, usize) {
        let mut fired = Vec::new();
        let mut all = 0;
        for game in &self.games {
            for negative in &game.negatives {
                all += 1;
                let is_pair = |screener: &str, user: &str| {
                    let (handler, mate) = (&*negative.handler_id, &*negative.mate_id);
                    (screener, user) == (mate, handler) || (screener, user) == (handler, mate)
                };
                let labelled = |t_use_s: f64| {
                    game.labels.screens.iter().any(|row| {
                        row.period == negative.period
                            && is_pair(&row.screener_id, &row.user_id)
                            && (row.t_use_s - t_use_s).abs() <= 1.0
                    })
                };
                let fires = self.screens.iter().any(|row| {
                    row.game_id == game.game_id
                        && row.period == negative.period
                        && is_pair(&row.screener_id, &row.user_id)
                        && (negative.t_start_s..=negative.t_end_s).contains(&row.t_use_s)
                        && !labelled(row.t_use_s)
                });
                if fires {
                    fired.push(negative);
                }
            }
        }
        (fired, all)
    }
}

/// The tracking without the rows of one player in some time of a period.
pub fn without_player(tracking: &Tracking, player: u8, period: u8, t_s: std::ops::Range<f64>) -> Tracking {
    let kept: Vec<usize> = (0..tracking.len())
        .filter(|&row| {
            !(tracking.player[row] == Some(player)
                && tracking.period[row] == period
                && t_s.contains(&tracking.t_s[row]))
        })
        .collect();
    fn pick<T: Copy>(column: &[T], kept: &[usize]) -> Vec<T> {
        kept.iter().map(|&row| column[row]).collect()
    }
    Tracking {
        period: pick(&tracking.period, &kept),
        t_s: pick(&tracking.t_s, &kept),
        game_clock_s: pick(&tracking.game_clock_s, &kept),
        shot_clock_s: pick(&tracking.shot_clock_s, &kept),
        player: pick(&tracking.player, &kept),
        x_m: pick(&tracking.x_m, &kept),
        y_m: pick(&tracking.y_m, &kept),
        z_m: pick(&tracking.z_m, &kept),
    }
}
