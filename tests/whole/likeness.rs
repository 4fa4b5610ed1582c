//! Are the possessions most like one of the same script? Held against what drew a practice season, which no comparison sees.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::atomic::AtomicBool;

use scrim::likeness::index_of;
use scrim::source_record::Redo;
use scrim::{Pipeline, RunPlan, run_sources};
use scrim_ingest::find_sources;
use scrim_likeness::{Asked, Index, ShapeRow, find_like};
use scrim_practice::{
    LookRunRow, NextAction, PracticeGame, PracticeParams, Season, play_season_game, write_game,
    write_season_truth,
};
use scrim_tables::LocalStore;

/// A seed that nothing was chosen on.
const SEED: u64 = 606;
const GAMES: u32 = 6;
const NEAREST: usize = 10;

/// What drew a possession: alignment and tokens.
type Script = String;

/// The script of each possession of an index that ran one, by game and possession, and whether its ball screen came of it.
type Scripts = BTreeMap<(String, u32), (Script, bool)>;

/// The script of each look of each team, as `truth/looks.csv` has it.
fn looks_of(season: &Season, games: &[PracticeGame], folder: &Path) -> BTreeMap<(String, String), Script> {
    let runs: Vec<LookRunRow> = games.iter().flat_map(|game| game.look_runs.clone()).collect();
    write_season_truth(season, &runs, folder).expect("the truth is written");
    let text = std::fs::read_to_string(folder.join("looks.csv")).expect("the looks are there");
    let mut lines = text.lines();
    assert!(
        lines
            .next()
            .is_some_and(|head| head.starts_with("team_id,look,alignment,tokens,"))
    );
    let looks = lines.map(|line| {
        let cells: Vec<&str> = line.split(',').collect();
        (
            (cells[0].into(), cells[1].into()),
            format!("{} {}", cells[2], cells[3]),
        )
    });
    looks.collect()
}

/// A possession belongs to the labelled one in which its ball screen was used.
fn scripts_of(looks: &BTreeMap<(String, String), Script>, games: &[PracticeGame], index: &Index) -> Scripts {
    let mut scripts = Scripts::new();
    for game in games {
        let shapes = index
            .games()
            .iter()
            .find(|shapes| shapes.game_id == *game.game_id)
            .expect("every game is in the index");
        for run in &game.look_runs {
            let label = game
                .labels
                .possessions
                .iter()
                .find(|label| label.possession_id == run.possession_id)
                .expect("a run is of a labelled possession");
            let script = &looks[&(run.team_id.to_string(), run.look.to_string())];
            let is_it = |row: &&ShapeRow| {
                row.period == label.period && (label.t_start_s..=label.t_end_s).contains(&row.t_use_s)
            };
            let is_screen = run.next == Some(NextAction::BallScreen) && run.is_played;
            for row in shapes.rows.iter().filter(is_it) {
                scripts.insert(
                    (shapes.game_id.clone(), row.possession_id),
                    (script.clone(), is_screen),
                );
            }
        }
    }
    scripts
}

#[test]
fn of_the_ten_nearest_eight_are_of_the_same_script() {
    let season = Season::of_seed(SEED);
    let params = PracticeParams {
        seed: SEED,
        games: GAMES,
        ..PracticeParams::default()
    };
    let games: Vec<PracticeGame> = (0..GAMES)
        .map(|number| play_season_game(&params, &season, number))
        .collect();
    let folder = tempfile::tempdir().expect("a folder for the test");
    let (input, output) = (folder.path().join("in"), folder.path().join("out"));
    for game in &games {
        write_game(game, &input.join(&*game.game_id)).expect("a game is written");
    }
    let pipeline = Pipeline::default();
    let store = LocalStore::new(&output);
    let plan = RunPlan {
        pipeline: &pipeline,
        inputs: &scrim::inputs::Inputs::Here,
        stop: &AtomicBool::new(false),
        run: &pipeline.run_info().expect("the pipeline can be written"),
        store: &store,
        redo: Redo::All,
        jobs: 2,
        on_game: &|_| (),
        on_source: &|_| (),
    };
    let sources = find_sources(&input, None).expect("there are sources").sources;
    run_sources(&sources, &plan).expect("there are threads");
    let (index, failed) = index_of(&store, None, 2).expect("the tables can be read");
    assert_eq!(failed, [""; 0]);
    let looks = looks_of(&season, &games, &folder.path().join("truth"));
    let scripts = scripts_of(&looks, &games, &index);

    let (mut asked, mut same) = (0, 0);
    let mut by_script: BTreeMap<&str, (usize, usize, BTreeMap<&str, usize>)> = BTreeMap::new();
    for ((game_id, possession_id), (script, is_screen)) in &scripts {
        if !is_screen {
            continue;
        }
        let likes = find_like(
            &index,
            &Asked {
                game_id,
                period: None,
                possession_id: *possession_id,
                team: None,
                last: None,
                count: NEAREST,
            },
        )
        .expect("the possession is in the index");
        assert_eq!(likes.alike.len(), NEAREST);
        let of_script = by_script.entry(script).or_default();
        for found in &likes.alike {
            let key = (found.game.game_id.clone(), found.row.possession_id);
            let theirs = scripts.get(&key).map_or("none", |(script, _)| script);
            same += usize::from(theirs == script);
            of_script.1 += usize::from(theirs == script);
            *of_script.2.entry(theirs).or_default() += 1;
        }
        of_script.0 += 1;
        asked += 1;
    }
    for (script, (asked, same, found)) in &by_script {
        println!(
            "{script}: {asked} asked, {:.2} of ten; {found:?}",
            *same as f64 / *asked as f64
        );
    }
    // By chance: as often as the commonest script comes up.
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for (script, _) in scripts.values() {
        *counts.entry(script).or_default() += 1;
    }
    let chance = *counts.values().max().expect("there are scripts") as f64 / index.possessions() as f64;
    let share = same as f64 / (asked * NEAREST) as f64;
    println!(
        "{asked} asked among {}: {:.2} of ten; by chance at most {:.2}",
        index.possessions(),
        10.0 * share,
        10.0 * chance
    );
    assert!(asked > 100, "{asked} are too few to tell");
    assert!(chance < 0.3, "{chance}");
    assert!(share >= 0.8, "{share}");
}
