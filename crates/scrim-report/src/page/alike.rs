//! A page of drawings: a possession, and those most like it.

use maud::{Markup, html};
use scrim_season::words::Words;
use scrim_tables::{Partition, ReadStore};

use super::figures::Figures;
use super::frame::{Head, sections_markup, stand_alone};
use super::how_to_read;
use super::view::{Section, with_view};
use crate::read::read_game_of;
use crate::{ReportError, TeamGames};

/// One possession of the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Alike {
    /// Its game.
    pub partition: Partition,
    /// Who has the ball.
    pub team_id: String,
    /// The ball screen or handoff that is drawn.
    pub screen_id: u32,
    /// What stands above its drawing.
    pub title: String,
}

/// What the page is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AlikePage {
    /// The possession's name.
    pub heading: String,
    /// Among which possessions others were looked for.
    pub scope: String,
    /// What the numbers above the drawings mean.
    pub note: String,
    /// The possession.
    pub asked: Alike,
    /// Those most like it, nearest first.
    pub alike: Vec<Alike>,
}

/// The page: one HTML text that stands alone. Of a possession whose game's tables have no such ball screen there is the title alone.
///
/// # Errors
/// [`ReportError`]: a table that cannot be read.
pub fn make_alike_page(
    store: &dyn ReadStore,
    page: &AlikePage,
    words: &Words,
) -> Result<String, ReportError> {
    let mut figures = Figures::new();
    let mut games = Games {
        store,
        words,
        read: Vec::new(),
    };
    let asked = games.figure(&page.asked, &mut figures)?;
    let mut alike = Vec::with_capacity(page.alike.len());
    for one in &page.alike {
        alike.push(games.figure(one, &mut figures)?);
    }
    let sections = [
        Section {
            id: "asked",
            heading: words.text("alike-asked").into(),
            folded: false,
            body: asked,
        },
        Section {
            id: "alike",
            heading: words.text("alike-most").into(),
            folded: false,
            body: html! {
                @if alike.is_empty() { p.none { (words.text("alike-none")) } }
                @for figure in &alike { (figure) }
            },
        },
        Section {
            id: "how-to-read",
            heading: words.text("alike-reading").into(),
            folded: false,
            body: html! { p.note { (page.note) } (how_to_read::key(words)) },
        },
    ];
    let head = Head {
        title: &words.say("alike-title", &[("name", (&page.heading).into())]),
        kicker: words.text("alike-kicker"),
        heading: &page.heading,
        scope: &page.scope,
    };
    stand_alone(&head, &sections_markup(&sections), &figures, words)
}

/// The games that were read so far: several possessions may be of one.
struct Games<'a> {
    store: &'a dyn ReadStore,
    words: &'a Words,
    read: Vec<(Partition, String, TeamGames)>,
}

impl Games<'_> {
    fn place_of(&mut self, one: &Alike) -> Result<usize, ReportError> {
        let is_it = |(partition, team, _): &(Partition, String, TeamGames)| {
            (partition, team) == (&one.partition, &one.team_id)
        };
        if let Some(place) = self.read.iter().position(is_it) {
            return Ok(place);
        }
        let game = read_game_of(self.store, &one.partition, &one.team_id)?;
        self.read.push((one.partition.clone(), one.team_id.clone(), game));
        Ok(self.read.len() - 1)
    }

    fn figure(&mut self, one: &Alike, figures: &mut Figures) -> Result<Markup, ReportError> {
        let place = self.place_of(one)?;
        let (_, _, team) = &self.read[place];
        let of_screen = |play: &&crate::plays::ScreenPlay<'_>| play.screen.screen_id == one.screen_id;
        Ok(with_view(team, self.words, |view| {
            match view.plays.on_ball.iter().find(of_screen) {
                Some(play) => figures.figure(&view, play, &one.title),
                None => html! { h4 { (one.title) } },
            }
        }))
    }
}
