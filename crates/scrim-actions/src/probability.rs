//! A tag's words with how likely each is, as columns.

/// The probability of `word`, where those of `words` are known.
pub(crate) fn probability_of<W: PartialEq, const N: usize>(
    words: &[W; N],
    probabilities: Option<&[f32; N]>,
    word: W,
) -> Option<f32> {
    let place = words.iter().position(|other| *other == word)?;
    probabilities.map(|probabilities| probabilities[place])
}
