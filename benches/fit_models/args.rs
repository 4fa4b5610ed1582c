//! What a call names, and the models that it writes.

use std::error::Error;
use std::path::PathBuf;

use scrim_trees::TreeModel;

use crate::GAMES;

/// What a call of the program names.
pub struct Args {
    pub output: PathBuf,
    pub date: String,
    pub name: String,
    pub games: u32,
    pub input: Option<PathBuf>,
    pub labels: Option<PathBuf>,
    pub only: Option<String>,
}

impl Default for Args {
    fn default() -> Self {
        Self {
            output: PathBuf::from("models"),
            date: String::new(),
            name: String::from("labelled scenes"),
            games: GAMES,
            input: None,
            labels: None,
            only: None,
        }
    }
}

impl Args {
    /// Those of this call.
    pub fn read() -> Result<Self, Box<dyn Error>> {
        let mut args = Self::default();
        let mut words = std::env::args().skip(1);
        while let Some(flag) = words.next() {
            let value = words.next().ok_or_else(|| format!("{flag} needs a value"))?;
            match flag.as_str() {
                "--output" => args.output = value.into(),
                "--date" => args.date = value,
                "--name" => args.name = value,
                "--games" => args.games = value.parse()?,
                "--input" => args.input = Some(value.into()),
                "--labels" => args.labels = Some(value.into()),
                "--only" => args.only = Some(value),
                _ => return Err(format!("unknown flag {flag}").into()),
            }
        }
        Ok(args)
    }

    /// Whether the models of this name are to be fitted.
    pub fn fits(&self, models: &str) -> bool {
        self.only.as_ref().is_none_or(|only| only == models)
    }

    /// Writes a model with what it was fitted to.
    pub fn write(
        &self,
        file: &str,
        question: &str,
        mut model: TreeModel,
        data: &[String],
        scores: &[(String, f64)],
    ) -> Result<(), Box<dyn Error>> {
        model.fitted.question = question.to_owned();
        model.fitted.date = self.date.clone();
        model.fitted.data = data.to_vec();
        model.fitted.scores = scores.to_vec();
        std::fs::create_dir_all(&self.output)?;
        let path = self.output.join(format!("{file}.toml"));
        std::fs::write(&path, model.to_toml())?;
        println!("written: {}", path.display());
        Ok(())
    }
}
