//! Every column that labels and contract share, judged by its kind over matched rows.

use serde::Serialize;

use crate::contract::Kind;
use crate::table::Table;
use crate::{Judged, MeasureScore, Rate, TagScore, Warning};

/// How often an id (or a text) was right, over matched rows whose label has it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ValueScore {
    /// The column.
    pub column: String,
    /// The judged rows, of the label rows that could have been.
    pub judged: Option<Judged>,
    /// Share that was right.
    pub accuracy: Rate,
    /// Rows on which the tables were empty.
    pub no_answer: usize,
}

/// What the labels say of matched rows, column by column in the contract's order. Columns without labels are not
/// there.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ColumnScores {
    /// Words, flags and small counts.
    pub tags: Vec<TagScore>,
    /// Players, teams and texts.
    pub values: Vec<ValueScore>,
    /// Times, lengths, speeds, angles.
    pub measures: Vec<MeasureScore>,
}

impl ColumnScores {
    /// The score of one tag.
    pub fn tag(&self, name: &str) -> Option<&TagScore> {
        self.tags.iter().find(|tag| tag.tag == name)
    }

    /// The score of one id or text.
    pub fn value(&self, name: &str) -> Option<&ValueScore> {
        self.values.iter().find(|value| value.column == name)
    }

    /// The errors of one number.
    pub fn measure(&self, name: &str) -> Option<&MeasureScore> {
        self.measures.iter().find(|measure| measure.measure == name)
    }
}

/// Judges all columns over pairs of a labelled row and the row of the tables that stands for it, if there is one.
/// `label_rows` is how many label rows there would be if all were found with every column.
pub(crate) fn judge_columns(
    labels: &Table,
    found: &Table,
    pairs: &[(usize, Option<usize>)],
    label_rows: usize,
    warnings: &mut Vec<Warning>,
) -> ColumnScores {
    let mut scores = ColumnScores::default();
    for column in labels
        .spec
        .columns
        .iter()
        .filter(|column| labels.has(column.name))
    {
        let name = column.name;
        let is_judged = match column.kind {
            Kind::Key | Kind::KeyNumber | Kind::KeyFlag | Kind::Link => false,
            Kind::Tag(_) | Kind::Flag | Kind::Count | Kind::Id | Kind::Phrase | Kind::Number => {
                pairs.iter().any(|(label, _)| labels.is_filled(name, *label))
            }
        };
        if !is_judged {
            continue;
        }
        let missing = Warning::ColumnNotInTables {
            table: labels.spec.name,
            column: name,
        };
        if !found.has(name) && !warnings.contains(&missing) {
            warnings.push(missing);
        }
        match column.kind {
            Kind::Key | Kind::KeyNumber | Kind::KeyFlag | Kind::Link => {}
            Kind::Tag(_) => {
                let (label, predicted) = (labels.text(name), found.text(name));
                let words = pairs
                    .iter()
                    .map(|(l, f)| (label.at(*l), f.and_then(|f| predicted.at(f))));
                scores.tags.extend(TagScore::of(name, label_rows, words));
            }
            Kind::Flag => {
                let (label, predicted) = (labels.flags(name), found.flags(name));
                let word = |flag: bool| if flag { "true" } else { "false" };
                let words = pairs
                    .iter()
                    .map(|(l, f)| (label.at(*l).map(word), f.and_then(|f| predicted.at(f)).map(word)));
                scores.tags.extend(TagScore::of(name, label_rows, words));
            }
            Kind::Count => {
                let (label, predicted) = (labels.numbers(name), found.numbers(name));
                let texts: Vec<(Option<String>, Option<String>)> = pairs
                    .iter()
                    .map(|(l, f)| {
                        let text = |count: f64| format!("{count:.0}");
                        (label.at(*l).map(text), f.and_then(|f| predicted.at(f)).map(text))
                    })
                    .collect();
                scores.tags.extend(TagScore::of(
                    name,
                    label_rows,
                    texts.iter().map(|(l, f)| (l.as_deref(), f.as_deref())),
                ));
            }
            Kind::Id | Kind::Phrase => {
                let (label, predicted) = (labels.text(name), found.text(name));
                scores.values.extend(value_score(
                    name,
                    label_rows,
                    pairs,
                    |l| label.at(l),
                    |f| predicted.at(f),
                ));
            }
            Kind::Number => {
                let (label, predicted) = (labels.numbers(name), found.numbers(name));
                let error = |l, f| Some(predicted.at(f)? - label.at(l)?);
                scores.measures.extend(measure_score(
                    name,
                    label_rows,
                    pairs,
                    |l| label.at(l).is_some(),
                    error,
                ));
            }
        }
    }
    for (name, x, y) in labels.spec.spots {
        let (label_x, label_y) = (labels.numbers(x), labels.numbers(y));
        let (predicted_x, predicted_y) = (found.numbers(x), found.numbers(y));
        let is_labelled = |l| label_x.at(l).is_some() && label_y.at(l).is_some();
        let distance_m =
            |l, f| Some((predicted_x.at(f)? - label_x.at(l)?).hypot(predicted_y.at(f)? - label_y.at(l)?));
        scores
            .measures
            .extend(measure_score(name, label_rows, pairs, is_labelled, distance_m));
    }
    scores
}

fn value_score<'a>(
    name: &str,
    label_rows: usize,
    pairs: &[(usize, Option<usize>)],
    label: impl Fn(usize) -> Option<&'a str>,
    predicted: impl Fn(usize) -> Option<&'a str>,
) -> Option<ValueScore> {
    let (mut n, mut right, mut no_answer) = (0, 0, 0);
    for (l, f) in pairs {
        let Some(label) = label(*l) else { continue };
        let predicted = f.and_then(&predicted);
        n += 1;
        right += usize::from(predicted == Some(label));
        no_answer += usize::from(predicted.is_none());
    }
    Some(ValueScore {
        column: name.to_owned(),
        judged: Judged::of(n, label_rows),
        accuracy: Rate::of(right, n)?,
        no_answer,
    })
}

fn measure_score(
    name: &str,
    label_rows: usize,
    pairs: &[(usize, Option<usize>)],
    is_labelled: impl Fn(usize) -> bool,
    error: impl Fn(usize, usize) -> Option<f64>,
) -> Option<MeasureScore> {
    let mut errors = Vec::new();
    let mut no_answer = 0;
    for (label, found) in pairs.iter().filter(|(label, _)| is_labelled(*label)) {
        match found.and_then(|found| error(*label, found)) {
            Some(error) => errors.push(error),
            None => no_answer += 1,
        }
    }
    MeasureScore::of(name, label_rows, &errors, no_answer)
}
