//! A sketch in words, for those who cannot see it.

use scrim_floor::Court;
use scrim_season::words::{self, Names};
use scrim_tables::Id;

use super::line;
use super::sketch::{Going, Route, RouteEnd, Sketch};
use super::tracks::Spot;

/// What happens, action by action: `Before: #4 dribbles from top to right slot; #7 screens at right slot.`
pub(crate) fn description(court: &Court, sketch: &Sketch, names: &Names) -> String {
    let who = |player: &Option<Id>| {
        player
            .as_ref()
            .map_or_else(|| "a player".to_owned(), |player| names.called(player))
    };
    let zone = |spot: Spot| words::zone(court.zone_of(spot));
    let mut actions: Vec<String> = Vec::new();
    if let Some(attacker) = sketch.attackers.iter().find(|attacker| attacker.has_ball) {
        actions.push(format!(
            "{} has the ball at the {}",
            who(&attacker.player),
            zone(attacker.spot)
        ));
    }
    actions.extend(
        sketch
            .routes
            .iter()
            .filter_map(|route| action(route, &who, &zone)),
    );
    for pass in &sketch.passes {
        let verb = if pass.is_handoff {
            "hands it to"
        } else {
            "passes to"
        };
        actions.push(format!(
            "{} {verb} {} at the {}",
            who(&pass.from.0),
            who(&pass.to.0),
            zone(pass.to.1)
        ));
    }
    if let Some((player, spot)) = &sketch.shot {
        actions.push(format!("{} shoots from the {}", who(player), zone(*spot)));
    }
    if actions.is_empty() {
        actions.push("nobody moves far".into());
    }
    format!("{}: {}.", sketch.moment.title(), actions.join("; "))
}

fn action(
    route: &Route,
    who: &dyn Fn(&Option<Id>) -> String,
    zone: &dyn Fn(Spot) -> String,
) -> Option<String> {
    let (first, last) = (*route.path.first()?, *route.path.last()?);
    let name = who(&route.player);
    let from_to = if zone(first) == zone(last) {
        format!("within the {}", zone(last))
    } else {
        format!("from the {} to the {}", zone(first), zone(last))
    };
    Some(match (route.end, route.going) {
        (RouteEnd::Bar(_), _) if line::length_m(&route.path) < 1.0 => {
            format!("{name} screens at the {}", zone(last))
        }
        (RouteEnd::Bar(_), _) => format!("{name} comes to screen at the {}", zone(last)),
        (RouteEnd::Arrow, Going::Cut) => format!("{name} goes {from_to}"),
        (RouteEnd::Arrow, Going::Dribble) => format!("{name} dribbles {from_to}"),
        (RouteEnd::Arrow, Going::Defends) => format!("defender {name} goes {from_to}"),
    })
}
