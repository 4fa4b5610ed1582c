//! A mapping file is read, and its parts are held against each other.

use std::path::Path;

use scrim_floor::Court;

use super::layout::{Form, NestedMapping, WidePlayers};
use super::place::CourtChoice;
use super::time::{ClockSense, TimeUnit};
use super::{GameFrom, Mapping};
use crate::IngestError;
use crate::open_file::read_text;
use crate::template::pieces_of;

/// A mapping is a page of text; a file longer than this is none, bytes.
const MAX_MAPPING_BYTES: u64 = 1024 * 1024;

impl Mapping {
    /// The mapping of a source: its file's, or the canonical one.
    ///
    /// # Errors
    /// As [`Mapping::read`].
    pub(crate) fn of(path: Option<&Path>) -> Result<Self, IngestError> {
        path.map_or_else(|| Ok(Self::default()), Self::read)
    }

    /// Reads a mapping file.
    ///
    /// # Errors
    /// [`IngestError::Unreadable`], [`IngestError::Mapping`] when it is no TOML, has an unknown key or a wrong value,
    /// or [`IngestError::MappingContradiction`] when its parts do not fit together.
    pub fn read(path: &Path) -> Result<Self, IngestError> {
        let text = read_text(path, MAX_MAPPING_BYTES, "a mapping")?;
        let mut mapping: Self = toml::from_str(&text).map_err(|source| IngestError::Mapping {
            path: path.into(),
            source: Box::new(source),
        })?;
        mapping
            .check()
            .map_err(|problem| IngestError::MappingContradiction {
                path: path.into(),
                problem,
            })?;
        mapping.settle();
        Ok(mapping)
    }

    /// Follows what one part means for another: a placeholder in the files' pattern gives the game.
    fn settle(&mut self) {
        let game = &mut self.game;
        if self.files.name_the_game() && game.column.is_none() && game.id.is_none() {
            game.from = game.from.or(Some(GameFrom::FileName));
        }
    }

    /// Whether the parts fit together.
    fn check(&self) -> Result<(), String> {
        let given = |present: bool| usize::from(present);
        let game = &self.game;
        if given(game.column.is_some()) + given(game.id.is_some()) + given(game.from.is_some()) > 1 {
            return Err("[game] has more than one of `column`, `id` and `from`; keep one".into());
        }
        self.files.check()?;
        for (key, column) in [
            ("[game] column", &self.game.column),
            ("[team] column", &self.team.column),
            ("[player] column", &self.player.column),
        ] {
            if let Some(column) = column.as_ref().filter(|column| column.contains(['{', '}']))
                && !is_template(column)
            {
                return Err(format!(
                    "{key} = {column:?}; expected a column, or columns between braces such as \"{{team}}-{{jersey}}\""
                ));
            }
        }
        if self.period.column.is_some() && self.period.number.is_some() {
            return Err("[period] has both `column` and `number`; keep one".into());
        }
        if self.period.number == Some(0) || self.period.words.values().any(|&n| n == 0) {
            return Err("[period] has a period 0; periods count from 1".into());
        }
        if self.team.column.is_some() && self.team.from.is_some() {
            return Err("[team] has both `column` and `from`; keep one".into());
        }
        match (self.time.unit, self.time.rate_hz) {
            (TimeUnit::Frame, None) => {
                return Err("[time] unit = \"frame\" needs `rate_hz`, the frames a second".into());
            }
            (TimeUnit::Frame, Some(rate)) if !(rate > 0.0 && rate <= 1000.0) => {
                return Err(format!(
                    "[time] rate_hz = {rate}; expected a number above 0, up to 1000"
                ));
            }
            (TimeUnit::Frame, Some(_)) | (_, None) => {}
            (_, Some(_)) => {
                return Err("[time] `rate_hz` is for unit = \"frame\" only; leave it out".into());
            }
        }
        for (name, clock) in [("game_clock", &self.game_clock), ("shot_clock", &self.shot_clock)] {
            match (clock.counts, clock.length_s) {
                (ClockSense::Up, None) => {
                    return Err(format!(
                        "[{name}] counts = \"up\" needs `length_s`, what it counts up to"
                    ));
                }
                (ClockSense::Down, Some(_)) => {
                    return Err(format!(
                        "[{name}] `length_s` is for counts = \"up\" only; leave it out"
                    ));
                }
                (ClockSense::Up, Some(_)) | (ClockSense::Down, None) => {}
            }
        }
        if self.place.x_points.is_along() == self.place.y_points().is_along() {
            return Err(
                "[place] `x_points` and `y_points` lie on one line; one must be left or right, the other \
                        up or down (y_points is up when not given)"
                    .into(),
            );
        }
        let ball = &self.ball;
        if ball.column.is_some() == ball.values.is_empty() {
            return Err("[ball] `column` and `values` go together".into());
        }
        if ball.x.is_some() != ball.y.is_some() || (ball.z.is_some() && ball.x.is_none()) {
            return Err("[ball] `x` and `y` go together, and `z` with them".into());
        }
        if !matches!(self.text.decimal, '.' | ',') {
            return Err(format!(
                "[text] decimal = {:?}; expected \".\" or \",\"",
                self.text.decimal
            ));
        }
        if self
            .text
            .delimiter
            .is_some_and(|d| !d.is_ascii() || matches!(d, '"' | '\n' | '\r'))
        {
            return Err(format!(
                "[text] delimiter = {:?}; expected one ASCII character",
                self.text.delimiter
            ));
        }
        if let Some(CourtChoice::Measures(court)) = &self.court {
            court.clone().checked().map_err(|error| error.to_string())?;
        }
        if let Some(CourtChoice::Name(name)) = &self.court {
            Court::by_name(name).map_err(|error| error.to_string())?;
        }
        match self.form {
            Form::Long => {}
            Form::Wide => self.check_wide()?,
            Form::Nested => self.check_nested()?,
        }
        if self.form != Form::Wide && !self.wide.players.is_empty() {
            return Err("[[wide.players]] is for form = \"wide\" only".into());
        }
        if self.form != Form::Nested && self.nested != NestedMapping::default() {
            return Err("[nested] is for form = \"nested\" only".into());
        }
        Ok(())
    }

    fn check_wide(&self) -> Result<(), String> {
        if self.wide.players.is_empty() {
            return Err("form = \"wide\" needs at least one [[wide.players]]".into());
        }
        for group in &self.wide.players {
            let both = format!("[[wide.players]] x = {:?}, y = {:?}", group.x, group.y);
            let (slot, player) = (group.x.contains("{slot}"), group.x.contains("{player}"));
            if slot == player {
                return Err(format!("{both}: a pattern has either {{player}} or {{slot}}"));
            }
            if slot != group.player_in.is_some() {
                return Err(format!("{both}: {{slot}} and `player_in` go together"));
            }
            if group.x.contains("{team}") && group.team_id.is_some() {
                return Err(format!("{both}: `team_id` beside {{team}}; keep one"));
            }
            let holders = |p: &str| ["{slot}", "{player}", "{team}"].map(|h| p.matches(h).count());
            let others = [Some(&group.y), group.z.as_ref(), group.player_in.as_ref()];
            if others
                .into_iter()
                .flatten()
                .any(|p| holders(p) != holders(&group.x))
            {
                return Err(format!(
                    "{both}: all patterns of a group have the same placeholders"
                ));
            }
            if let Some(id) = &group.player_id
                && (!is_template(id)
                    || !player
                    || !id.contains("{player}")
                    || (id.contains("{team}") && !knows_team(group)))
            {
                return Err(format!(
                    "{both}: `player_id` is composed of {{player}} and, where the group names the team, {{team}}"
                ));
            }
            if holders(&group.x).iter().any(|&n| n > 1) {
                return Err(format!("{both}: a placeholder stands once in a pattern"));
            }
            if group.x.contains("}{") || group.y.contains("}{") {
                return Err(format!(
                    "{both}: between two placeholders there must be some text"
                ));
            }
        }
        Ok(())
    }

    fn check_nested(&self) -> Result<(), String> {
        let walks = self
            .nested
            .walk
            .iter()
            .map(|w| ("[[nested.walk]] at", w.at.as_str()));
        let players = self
            .nested
            .players
            .iter()
            .map(|p| ("[[nested.players]] at", p.at.as_str()));
        let ball = self
            .nested
            .ball_at
            .iter()
            .map(|b| ("[nested] ball_at", b.as_str()));
        for (key, at) in walks.chain(players).chain(ball) {
            if !at.is_empty() && !at.starts_with('/') {
                return Err(format!(
                    "{key} = {at:?}; a JSON Pointer is empty or begins with `/`"
                ));
            }
        }
        for (i, walk) in self.nested.walk.iter().enumerate() {
            let again = self.nested.walk[..i].iter().any(|w| w.name == walk.name);
            if again || walk.name == "document" || walk.name.is_empty() || walk.name.contains([':', '/']) {
                return Err(format!(
                    "[[nested.walk]] name = {:?}; expected a name of its own, without `:` and `/`, other than `document`",
                    walk.name
                ));
            }
        }
        for group in &self.nested.players {
            if group.team.is_some() && group.team_id.is_some() {
                return Err("[[nested.players]] has both `team` and `team_id`; keep one".into());
            }
        }
        if self.ball.x.is_some() && self.nested.ball_at.is_none() {
            return Err("[ball] `x` and `y` need [nested] `ball_at` here; they count from there".into());
        }
        Ok(())
    }
}

/// Whether it is text with columns between braces, each with a name.
fn is_template(text: &str) -> bool {
    let plain = text.replace("{}", "{").replace("{{", "");
    pieces_of(text).is_some() && plain == text && text.matches('{').count() == text.matches('}').count()
}

/// Whether a group's pattern or its own key names the team.
fn knows_team(group: &WidePlayers) -> bool {
    group.x.contains("{team}") || group.team_id.is_some()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn checked(text: &str) -> Result<Mapping, String> {
        let mapping: Mapping = toml::from_str(text).map_err(|error| error.to_string())?;
        mapping.check().map(|()| mapping)
    }

    #[test]
    fn every_example_of_the_manual_is_a_mapping() {
        let manual = include_str!("../../../../docs/mapping.md");
        let examples: Vec<&str> = manual
            .split("```toml\n")
            .skip(1)
            .map(|rest| rest.split("```").next().unwrap())
            .collect();
        assert_eq!(examples.len(), 8);
        for example in examples {
            checked(example).unwrap_or_else(|error| panic!("{error}\n{example}"));
        }
    }

    #[test]
    fn an_empty_mapping_is_the_canonical_one() {
        assert_eq!(checked("").unwrap(), Mapping::default());
    }

    #[test]
    fn what_does_not_fit_together_is_refused_with_how_to_fix_it() {
        for (text, message) in [
            (
                "[game]\ncolumn = \"g\"\nid = \"x\"",
                "[game] has more than one of `column`, `id` and `from`; keep one",
            ),
            (
                "[time]\nunit = \"frame\"",
                "[time] unit = \"frame\" needs `rate_hz`, the frames a second",
            ),
            (
                "[time]\nrate_hz = 25",
                "[time] `rate_hz` is for unit = \"frame\" only; leave it out",
            ),
            (
                "[time]\nunit = \"frame\"\nrate_hz = 0",
                "[time] rate_hz = 0; expected a number above 0, up to 1000",
            ),
            (
                "[game_clock]\ncounts = \"up\"",
                "[game_clock] counts = \"up\" needs `length_s`, what it counts up to",
            ),
            (
                "[ball]\ncolumn = \"b\"",
                "[ball] `column` and `values` go together",
            ),
            (
                "[period]\nnumber = 0",
                "[period] has a period 0; periods count from 1",
            ),
            (
                "form = \"wide\"",
                "form = \"wide\" needs at least one [[wide.players]]",
            ),
            (
                "[files]\ntracking = \"day/*.csv\"",
                "[files] tracking = \"day/*.csv\"; expected a pattern of file names in the folder, without `/`",
            ),
            (
                "[files]\ngames = \"{game}.csv\"",
                "[files] games = \"{game}.csv\"; expected `*`, `?` and, once and in `tracking` and `events` alone, `{game}`",
            ),
            (
                "[player]\ncolumn = \"{team-{jersey}\"",
                "[player] column = \"{team-{jersey}\"; expected a column, or columns between braces such as \"{team}-{jersey}\"",
            ),
            (
                "[nested]\nball_at = \"/b\"",
                "[nested] is for form = \"nested\" only",
            ),
            (
                "form = \"nested\"\n[[nested.walk]]\nname = \"f\"\nat = \"frames\"",
                "[[nested.walk]] at = \"frames\"; a JSON Pointer is empty or begins with `/`",
            ),
        ] {
            assert_eq!(checked(text).unwrap_err(), message);
        }
        let message = checked("[place]\nx_points = \"down\"").unwrap_err();
        assert!(
            message.starts_with("[place] `x_points` and `y_points` lie on one line"),
            "{message}"
        );
        let message = checked("[plaice]\nx = \"a\"").unwrap_err();
        assert!(message.contains("unknown field `plaice`"), "{message}");
        let message = checked("[time]\nunit = \"frames\"").unwrap_err();
        assert!(message.contains("unknown variant `frames`"), "{message}");
    }

    proptest! {
        #[test]
        fn no_text_makes_a_mapping_panic(text in "\\PC{0,80}") {
            let _ = checked(&text);
        }
    }
}
