//! What a section of the page may look at, and what it is.

use maud::{Markup, html};
use scrim_season::words::{Arg, Names, Said, SampleSize, Shown, Words, sentence, team_name};
use scrim_tables::Id;

use super::table::unbroken;
use crate::TeamGames;
use crate::plays::{Plays, clocks_of};

/// All that a section may look at.
pub(super) struct View<'a> {
    pub(super) team: &'a TeamGames,
    pub(super) plays: Plays<'a>,
    pub(super) names: Names,
    /// The team's name and the reader's, as far as they are known.
    team_names: [Option<String>; 2],
    pub(super) words: &'a Words,
}

/// Makes something of what there is to see of a team.
pub(super) fn with_view<T>(team: &TeamGames, words: &Words, make: impl FnOnce(View<'_>) -> T) -> T {
    let clocks = clocks_of(team);
    make(View {
        plays: Plays::of(team, &clocks),
        names: Names::of(team.games.iter().flat_map(|game| &game.players)),
        team_names: [Some(&team.choice.team), team.choice.reader.as_ref()].map(|id| {
            let rows = team.games.iter().flat_map(|game| &game.players);
            team_name(rows.filter(|row| Some(row.team_id.as_ref()) == id.map(String::as_str))).map(Into::into)
        }),
        team,
        words,
    })
}

impl View<'_> {
    pub(super) fn team_id(&self) -> &str {
        &self.team.choice.team
    }

    /// The team's name and its id; the id alone where no name is known.
    pub(super) fn team_called(&self) -> String {
        match &self.team_names[0] {
            Some(name) if name != self.team_id() => {
                let args = [("name", name.into()), ("team", self.team_id().into())];
                self.words.say("page-team", &args)
            }
            _ => self.team_id().to_owned(),
        }
    }

    /// A player of the team or of the reader's, where it is clear of which: without the team's name.
    pub(super) fn player(&self, player: &Id) -> String {
        let called = self.names.called(player);
        let mut names = self.team_names.iter().flatten();
        let short = names.find_map(|name| called.strip_prefix(name.as_str())?.strip_prefix(' '));
        short.map_or_else(|| called.clone(), Into::into)
    }

    /// A message that takes no argument.
    pub(super) fn text(&self, key: &str) -> &str {
        self.words.text(key)
    }

    /// A message as it stands on the page.
    pub(super) fn html(&self, key: &str, args: &[(&str, Arg)]) -> Markup {
        markup(&self.words.said(key, args))
    }

    /// The caution of a small sample, as a sentence after another.
    pub(super) fn caution(&self, size: SampleSize) -> Markup {
        html! { @if let Some(caution) = size.caution(self.words) { " " span.weak { (sentence(caution)) "." } } }
    }

    /// A word and how often it came up.
    pub(super) fn tag_times(&self, tag: &str, times: usize) -> String {
        self.words
            .say("tag-times", &[("tag", tag.into()), ("n", times.into())])
    }

    /// `0.4 s`
    pub(super) fn seconds(&self, seconds: f64) -> String {
        let number = self.words.decimal(seconds, 1);
        self.words.say("seconds", &[("number", number.into())])
    }

    /// Which games the page's own counts are of, as against those of the season's tables.
    pub(super) fn these_games(&self) -> String {
        self.words.count("these-games", self.team.games.len())
    }

    /// The games that the season's tables count.
    pub(super) fn whole_season(&self) -> String {
        match &self.team.season.season {
            Some(season) => self.words.say("whole-season", &[("season", season.into())]),
            None => self.text("whole-season-unknown").to_owned(),
        }
    }

    pub(super) fn lacks(&self, table: &str) -> bool {
        self.team
            .absent
            .get(table)
            .is_some_and(|games| *games == self.team.games.len())
    }
}

/// A text as it stands on the page.
pub(super) fn markup(said: &Said) -> Markup {
    html! {
        @for (shown, text) in said.pieces() {
            @match shown {
                Shown::Plain => { (unbroken(text)) }
                Shown::Strong => { strong { (text) } }
                Shown::Clip => { span.clip { (text) } }
                Shown::Code => { code { (text) } }
            }
        }
    }
}

/// What stands folded in a part of the page, behind a line that says what it is; paper has the line alone.
pub(super) fn more(called: &str, body: &Markup) -> Markup {
    html! { details.more { summary { (called) } (body) } }
}

/// One part of the page.
pub(super) struct Section {
    /// Its anchor.
    pub(super) id: &'static str,
    /// Its heading.
    pub(super) heading: String,
    /// Whether it is folded: a reader opens it, and paper leaves it out until then.
    pub(super) folded: bool,
    /// What stands under it.
    pub(super) body: Markup,
}
