//! What the staff may want to ask itself, where a number stands out.

use scrim_season::words::{Arg, sentence};
use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{Question, ScreenerAction, TeamSide};

use super::{Side, find, is_less, is_more};

impl Side<'_> {
    /// A question about a row: its number, and the league's.
    fn ask(&self, key: &str, row: &AgainstLeagueRow, more: Vec<(&str, Arg)>) -> String {
        let numbers = [
            ("ours", self.words.number(row, row.value).into()),
            ("league", self.words.number(row, row.league).into()),
        ];
        let args: Vec<(&str, Arg)> = more.into_iter().chain(numbers).collect();
        self.words.say(key, &args)
    }

    /// What the defence may want to ask itself.
    pub(super) fn questions_of_defense(&self) -> Vec<String> {
        let words = self.words;
        let mut questions = Vec::new();
        let coverages = self.coverages();
        for &coverage in &coverages {
            let noun = || ("coverage", words.noun(coverage).into());
            let Some(played) = self.played(coverage) else {
                continue;
            };
            if let Some(beat) = find(self.attack, TeamSide::Offense, Question::CoverageBeat, coverage)
                .filter(|beat| is_more(beat))
            {
                let who = ("who", sentence(self.defense_is).into());
                let often = ("often", words.number(played, played.value).into());
                questions.push(self.ask("question-stay", beat, vec![who, noun(), often]));
            }
            for action in [
                ScreenerAction::Slip,
                ScreenerAction::Ghost,
                ScreenerAction::Pop,
                ScreenerAction::ShortRoll,
            ] {
                let does = self.attack.iter().find(|row| {
                    row.side == TeamSide::Offense
                        && row.question == Question::ScreenerAction
                        && row.coverage == Some(coverage)
                        && row.answer.as_deref() == Some(action.as_str())
                        && is_more(row)
                });
                if let Some((row, does)) = does.zip(words.screener(action)) {
                    let does = ("does", does.into());
                    questions.push(self.ask("question-who-has", row, vec![noun(), does]));
                }
            }
        }
        let least = coverages
            .iter()
            .filter_map(|&coverage| find(self.attack, TeamSide::Offense, Question::CoverageBeat, coverage))
            .filter(|row| is_less(row))
            .min_by(|a, b| a.value.total_cmp(&b.value));
        if let Some((row, coverage)) = least.and_then(|row| Some((row, row.coverage?))) {
            let noun = ("coverage", words.noun(coverage).into());
            questions.push(self.ask("question-play-more", row, vec![noun]));
        }
        questions
    }

    /// What the attack may want to ask itself.
    pub(super) fn questions_of_attack(&self) -> Vec<String> {
        let words = self.words;
        let mut questions = Vec::new();
        for coverage in self.coverages() {
            let Some(played) = self.played(coverage) else {
                continue;
            };
            let of_coverage = || {
                vec![
                    ("coverage", words.noun(coverage).into()),
                    ("often", words.number(played, played.value).into()),
                ]
            };
            let give = find(self.defense, TeamSide::Defense, Question::CoverageBeat, coverage);
            let get = find(self.attack, TeamSide::Offense, Question::CoverageBeat, coverage);
            if let Some(give) = give.filter(|row| is_more(row)) {
                questions.push(self.ask("question-get-into", give, of_coverage()));
            }
            if let Some(get) = get.filter(|row| is_less(row)) {
                let mut args = of_coverage();
                args.push(("who", sentence(self.attack_is).into()));
                questions.push(self.ask("question-answer", get, args));
            }
        }
        questions
    }
}
