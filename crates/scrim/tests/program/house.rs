//! A fresh folder a test, with practice games in it, and the program to run over them.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use scrim_practice::{PracticeGame, PracticeParams, play_game, write_game};
use tempfile::TempDir;

/// A folder with an input, a pipeline and room for outputs.
pub struct House {
    folder: TempDir,
}

impl House {
    pub fn new() -> Self {
        let house = Self {
            folder: tempfile::tempdir().unwrap(),
        };
        std::fs::create_dir(house.at("in")).unwrap();
        house.write("mine.toml", "name = \"mine\"\n");
        house
    }

    pub fn at(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, text: &str) {
        let path = self.at(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }

    /// A source folder `in/NAME` with game `number` of a season of minute-long games.
    pub fn game(&self, name: &str, number: u32) -> PracticeGame {
        self.game_lasting(name, number, 60.0)
    }

    /// The same, of a period of `period_s` seconds of game clock.
    pub fn game_lasting(&self, name: &str, number: u32, period_s: f64) -> PracticeGame {
        let params = PracticeParams {
            seed: 7,
            periods: 1,
            period_s,
            ..PracticeParams::default()
        };
        let game = play_game(&params, number);
        write_game(&game, &self.at("in").join(name)).unwrap();
        game
    }

    /// A source folder whose tracking file is no tracking file.
    pub fn rubbish(&self, name: &str) {
        self.write(
            &format!("in/{name}/tracking.parquet"),
            "PAR1 and then nothing that Parquet knows",
        );
    }

    /// `scrim ARGS`, in the folder.
    pub fn scrim(&self, args: &[&str]) -> Ended {
        self.scrim_with(args, &[])
    }

    /// The same with other variables of the environment; no browser is named unless one of them does.
    pub fn scrim_with(&self, args: &[&str], variables: &[(&str, &str)]) -> Ended {
        let output = Command::new(env!("CARGO_BIN_EXE_scrim"))
            .args(args)
            .env_remove("SCRIM_CHROMIUM")
            .envs(variables.iter().copied())
            .current_dir(self.folder.path())
            .output()
            .unwrap();
        Ended::of(&output)
    }

    /// `scrim run mine.toml --input in --output OUTPUT MORE`
    pub fn run(&self, output: &str, more: &[&str]) -> Ended {
        let args = ["run", "mine.toml", "--input", "in", "--output", output];
        self.scrim(&[&args, more].concat())
    }

    /// Every table's file below `name` but those of `runs`, which says when something was done: two runs differ in it.
    pub fn tables(&self, name: &str) -> BTreeMap<String, Vec<u8>> {
        let mut files = self.files(name);
        files.retain(|name, _| !name.starts_with("runs/") && !name.starts_with("ledger/"));
        files
    }

    /// Every file below `name`, by its path there.
    pub fn files(&self, name: &str) -> BTreeMap<String, Vec<u8>> {
        let root = self.at(name);
        let mut files = BTreeMap::new();
        gather(&root, &root, &mut files);
        files
    }
}

fn gather(root: &Path, folder: &Path, files: &mut BTreeMap<String, Vec<u8>>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            gather(root, &path, files);
        } else {
            let name = path.strip_prefix(root).unwrap().to_str().unwrap().to_owned();
            files.insert(name, std::fs::read(path).unwrap());
        }
    }
}

/// What a run of the program ended.
#[derive(Debug)]
pub struct Ended {
    pub code: i32,
    pub stdout: String,
    pub stderr: String,
}

impl Ended {
    fn of(output: &Output) -> Self {
        let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
        Self {
            code: output.status.code().unwrap(),
            stdout: text(&output.stdout),
            stderr: text(&output.stderr),
        }
    }

    /// Asserts that stdout has a line of exactly these words, however they are spaced.
    #[track_caller]
    pub fn has_line(&self, words: &str) {
        let has = self
            .stdout
            .lines()
            .any(|line| line.split_whitespace().eq(words.split_whitespace()));
        assert!(has, "no line `{words}` in:\n{}", self.stdout);
    }
}
