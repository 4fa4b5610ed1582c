//! A sketch in words, for those who cannot see it.

use scrim_floor::Court;
use scrim_season::words::{Arg, Names, Words};
use scrim_tables::Id;

use super::line;
use super::sketch::{Going, Route, RouteEnd, Sketch};
use super::tracks::Spot;

/// What happens, action by action: `Before: #4 dribbles from top to right slot; #7 screens at right slot.`
pub(crate) fn description(court: &Court, sketch: &Sketch, names: &Names, words: &Words) -> String {
    let says = Says { court, names, words };
    let mut actions: Vec<String> = Vec::new();
    if let Some(attacker) = sketch.attackers.iter().find(|attacker| attacker.has_ball) {
        let args = [
            ("player", says.who(&attacker.player)),
            ("zone", says.zone(attacker.spot)),
        ];
        actions.push(words.say("sketch-has-ball", &args));
    }
    actions.extend(sketch.routes.iter().filter_map(|route| says.action(route)));
    for pass in &sketch.passes {
        let key = if pass.is_handoff {
            "sketch-hands"
        } else {
            "sketch-passes"
        };
        let args = [
            ("from", says.who(&pass.from.0)),
            ("to", says.who(&pass.to.0)),
            ("zone", says.zone(pass.to.1)),
        ];
        actions.push(words.say(key, &args));
    }
    if let Some((player, spot)) = &sketch.shot {
        let args = [("player", says.who(player)), ("zone", says.zone(*spot))];
        actions.push(words.say("sketch-shoots", &args));
    }
    if actions.is_empty() {
        actions.push(words.text("sketch-nobody").into());
    }
    let moment = sketch.moment.title(words);
    words.say(
        "sketch",
        &[("moment", moment.into()), ("actions", actions.join("; ").into())],
    )
}

struct Says<'a> {
    court: &'a Court,
    names: &'a Names,
    words: &'a Words,
}

impl Says<'_> {
    fn who(&self, player: &Option<Id>) -> Arg {
        match player {
            Some(player) => self.names.called(player).into(),
            None => self.words.text("sketch-player").into(),
        }
    }

    fn zone(&self, spot: Spot) -> Arg {
        self.words.zone(self.court.zone_of(spot)).into()
    }

    fn action(&self, route: &Route) -> Option<String> {
        let (first, last) = (*route.path.first()?, *route.path.last()?);
        let player = ("player", self.who(&route.player));
        let at = ("zone", self.zone(last));
        let key = match (route.end, route.going) {
            (RouteEnd::Bar(_), _) if line::length_m(&route.path) < 1.0 => {
                return Some(self.words.say("sketch-screens", &[player, at]));
            }
            (RouteEnd::Bar(_), _) => {
                return Some(self.words.say("sketch-comes-to-screen", &[player, at]));
            }
            (RouteEnd::Arrow, Going::Cut) => "sketch-goes",
            (RouteEnd::Arrow, Going::Dribble) => "sketch-dribbles",
            (RouteEnd::Arrow, Going::Defends) => "sketch-defender-goes",
        };
        let from_to = if self.court.zone_of(first) == self.court.zone_of(last) {
            self.words.say("sketch-within", &[at])
        } else {
            let ends = [("from", self.zone(first)), ("to", self.zone(last))];
            self.words.say("sketch-from-to", &ends)
        };
        Some(self.words.say(key, &[player, ("from-to", from_to.into())]))
    }
}
