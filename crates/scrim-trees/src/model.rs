//! The model as data, and the probabilities that it gives.

use serde::{Deserialize, Serialize};

use crate::exits::Exits;
use crate::tree::{MOST_LEAVES, Split, Tree, leaf};
use crate::tree_lines;

/// A model: for each word a sum of trees, as it stands in a file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TreeModel {
    /// What the model was fitted to, and how good it was on data that it was not fitted to.
    pub fitted: Provenance,
    /// The words. With two, the trees speak for the second.
    pub words: Vec<String>,
    /// The evidence, by name.
    pub evidence: Vec<String>,
    /// The score of each word before any tree (one number when there are two words), log-odds.
    pub base: Vec<f32>,
    /// The trees, those of a round together.
    pub trees: Vec<Tree>,
}

/// What a model was fitted to.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Provenance {
    /// What the model answers.
    pub question: String,
    /// The day of the fit, ISO 8601.
    pub date: String,
    /// The data: seeds of practice games, names of labelled sets.
    pub data: Vec<String>,
    /// Rows per word.
    pub rows: Vec<u32>,
    /// Figures on rows that a fit had not seen (cross-validated), by name.
    #[serde(default)]
    pub scores: Vec<(String, f64)>,
    /// Share of all gain that each piece of evidence brought, largest first.
    #[serde(default)]
    pub importance: Vec<(String, f64)>,
}

/// Why a model cannot be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ModelError {
    /// The text is no model.
    #[error("not a model: {0}; write one with the fitting command")]
    Format(String),
    /// The model needs evidence that the stage does not measure.
    #[error("the model uses the evidence `{name}`, which this program does not measure; fit the model again")]
    UnknownEvidence {
        /// The name.
        name: String,
    },
    /// The model's words are not those that the stage decides between.
    #[error("the model decides between {found:?}, expected {expected:?}; fit the model again")]
    Words {
        /// The file's.
        found: Vec<String>,
        /// The stage's.
        expected: Vec<String>,
    },
    /// A tree points to something that is not there.
    #[error(
        "tree {tree} of the model is damaged: it points outside itself; take the file from its source again"
    )]
    Damaged {
        /// Place of the tree.
        tree: usize,
    },
    /// A tree is larger than this program can use.
    #[error("tree {tree} of the model has more than {MOST_LEAVES} leaves; fit the model again, with fewer")]
    TooManyLeaves {
        /// Place of the tree.
        tree: usize,
    },
    /// A number is not finite.
    #[error("tree {tree} of the model has a leaf or limit that is not a finite number; fit the model again")]
    NotFinite {
        /// Place of the tree.
        tree: usize,
    },
}

impl TreeModel {
    /// Reads a model from TOML.
    ///
    /// # Errors
    /// [`ModelError::Format`].
    pub fn from_toml(text: &str) -> Result<Self, ModelError> {
        let read = |text: &str| toml::from_str(text).map_err(|error| ModelError::Format(error.to_string()));
        match tree_lines::split(text) {
            Some((trees, rest)) => Ok(Self {
                trees,
                ..read(&rest)?
            }),
            None => read(text),
        }
    }

    /// The model as TOML, a tree a line.
    pub fn to_toml(&self) -> String {
        let quoted = |names: &[String]| {
            let names: Vec<String> = names.iter().map(|name| format!("{name:?}")).collect();
            names.join(", ")
        };
        let numbers = |values: &[f32]| {
            let values: Vec<String> = values.iter().map(|value| format!("{value:?}")).collect();
            values.join(", ")
        };
        let pairs = |pairs: &[(String, f64)]| {
            let pairs: Vec<String> = pairs
                .iter()
                .map(|(name, value)| format!("\n    [{name:?}, {value:.4}]"))
                .collect();
            pairs.join(",")
        };
        let mut text = format!(
            "words = [{}]\nevidence = [{}]\nbase = [{}]\ntrees = [\n",
            quoted(&self.words),
            quoted(&self.evidence),
            numbers(&self.base)
        );
        for tree in &self.trees {
            let splits: Vec<String> = tree
                .splits
                .iter()
                .map(|Split(evidence, limit, low, high, missing)| {
                    format!("[{evidence}, {limit:?}, {low}, {high}, {missing}]")
                })
                .collect();
            text += &format!(
                "  {{ word = {}, splits = [{}], leaves = [{}] }},\n",
                tree.word,
                splits.join(", "),
                numbers(&tree.leaves)
            );
        }
        let rows: Vec<String> = self.fitted.rows.iter().map(u32::to_string).collect();
        text += &format!(
            "]\n\n[fitted]\nquestion = {:?}\ndate = {:?}\ndata = [{}]\nrows = [{}]\nscores = [{}]\nimportance = [{}]\n",
            self.fitted.question,
            self.fitted.date,
            quoted(&self.fitted.data),
            rows.join(", "),
            pairs(&self.fitted.scores),
            pairs(&self.fitted.importance)
        );
        text
    }

    /// The model bound to a stage that decides between `words` and measures evidence by these names, in this order.
    ///
    /// # Errors
    /// When words, evidence or trees do not fit.
    pub fn bind(&self, words: &[&str], names: &[&str]) -> Result<BoundModel, ModelError> {
        if self.words != words {
            return Err(ModelError::Words {
                found: self.words.clone(),
                expected: words.iter().map(|word| (*word).to_owned()).collect(),
            });
        }
        let mut place = Vec::with_capacity(self.evidence.len());
        for name in &self.evidence {
            match names.iter().position(|known| known == name) {
                Some(at) => place.push(at as u16),
                None => return Err(ModelError::UnknownEvidence { name: name.clone() }),
            }
        }
        let outputs = outputs(words.len());
        if self.base.len() != outputs {
            return Err(ModelError::Format(format!(
                "{} base scores for {outputs}",
                self.base.len()
            )));
        }
        for (at, tree) in self.trees.iter().enumerate() {
            tree.check(at, outputs, place.len())?;
        }
        let place_of = |evidence: u16| place[usize::from(evidence)];
        let exits = Exits::of(&self.trees, place_of).map_err(|tree| ModelError::TooManyLeaves { tree })?;
        Ok(BoundModel {
            words: words.len(),
            evidence: names.len(),
            base: self.base.clone(),
            exits,
        })
    }
}

impl Tree {
    /// Whether it is whole, speaks for one of so many scores, and asks for no more than so much evidence.
    fn check(&self, at: usize, outputs: usize, evidence: usize) -> Result<(), ModelError> {
        // Children stand behind their parents, so that no walk can turn in a circle.
        let is_there = |from: usize, to: i16| match usize::try_from(to) {
            Ok(split) => split > from && split < self.splits.len(),
            Err(_) => leaf(to) < self.leaves.len(),
        };
        for (from, &Split(asked, limit, low, high, _)) in self.splits.iter().enumerate() {
            if !limit.is_finite() {
                return Err(ModelError::NotFinite { tree: at });
            }
            if usize::from(asked) >= evidence || !is_there(from, low) || !is_there(from, high) {
                return Err(ModelError::Damaged { tree: at });
            }
        }
        if self.leaves.is_empty() || usize::from(self.word) >= outputs {
            return Err(ModelError::Damaged { tree: at });
        }
        if self.leaves.iter().any(|leaf| !leaf.is_finite()) {
            return Err(ModelError::NotFinite { tree: at });
        }
        Ok(())
    }
}

/// How many scores `words` need: with two, one says it all.
pub(crate) fn outputs(words: usize) -> usize {
    if words == 2 { 1 } else { words }
}

/// A model ready for use: its trees know the stage's evidence by place.
#[derive(Debug, Clone, PartialEq)]
pub struct BoundModel {
    words: usize,
    evidence: usize,
    base: Vec<f32>,
    exits: Exits,
}

impl BoundModel {
    /// The probability of each word, in their order, into `out`.
    ///
    /// # Panics
    /// If `evidence` or `out` has another length than the model was bound to.
    pub fn probabilities(&self, evidence: &[f32], out: &mut [f32]) {
        assert_eq!(evidence.len(), self.evidence, "one value a piece of evidence");
        assert_eq!(out.len(), self.words, "one probability a word");
        if self.words == 2 {
            let mut sum = 0.0;
            self.exits.each(evidence, |_, value| sum += value);
            let score = self.base[0] + sum;
            out[1] = 1.0 / (1.0 + (-score).exp());
            out[0] = 1.0 - out[1];
            return;
        }
        out.copy_from_slice(&self.base);
        self.exits
            .each(evidence, |word, value| out[usize::from(word)] += value);
        softmax(out);
    }
}

/// Scores to probabilities, in place.
pub(crate) fn softmax(scores: &mut [f32]) {
    let highest = scores.iter().copied().fold(f32::NEG_INFINITY, f32::max);
    let mut sum = 0.0;
    for score in scores.iter_mut() {
        *score = (*score - highest).exp();
        sum += *score;
    }
    for score in scores.iter_mut() {
        *score /= sum;
    }
}
