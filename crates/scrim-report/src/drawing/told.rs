//! A sketch in words, for those who cannot see it.

use scrim_floor::Court;
use scrim_tables::Id;

use super::line;
use super::sketch::{Going, Sketch, Way, WayEnd};
use super::tracks::Spot;
use crate::names::Names;
use crate::words;

/// What happens, in one sentence a deed: `Before: #4 dribbles from top to right slot; #7 screens at right slot.`
pub(crate) fn told(court: &Court, sketch: &Sketch, names: &Names) -> String {
    let who = |player: &Option<Id>| {
        player
            .as_ref()
            .map_or_else(|| "a player".to_owned(), |player| names.called(player))
    };
    let zone = |spot: Spot| words::zone(court.zone_of(spot));
    let mut deeds: Vec<String> = Vec::new();
    if let Some(man) = sketch.men.iter().find(|man| man.has_ball) {
        deeds.push(format!(
            "{} has the ball at the {}",
            who(&man.player),
            zone(man.spot)
        ));
    }
    deeds.extend(sketch.ways.iter().filter_map(|way| deed(way, &who, &zone)));
    for pass in &sketch.passes {
        let verb = if pass.is_handoff {
            "hands it to"
        } else {
            "passes to"
        };
        deeds.push(format!(
            "{} {verb} {} at the {}",
            who(&pass.from.0),
            who(&pass.to.0),
            zone(pass.to.1)
        ));
    }
    if let Some((player, spot)) = &sketch.shot {
        deeds.push(format!("{} shoots from the {}", who(player), zone(*spot)));
    }
    if deeds.is_empty() {
        deeds.push("everyone stays where he is".into());
    }
    format!("{}: {}.", sketch.moment.title(), deeds.join("; "))
}

fn deed(way: &Way, who: &dyn Fn(&Option<Id>) -> String, zone: &dyn Fn(Spot) -> String) -> Option<String> {
    let (first, last) = (*way.path.first()?, *way.path.last()?);
    let name = who(&way.player);
    let from_to = if zone(first) == zone(last) {
        format!("within the {}", zone(last))
    } else {
        format!("from the {} to the {}", zone(first), zone(last))
    };
    Some(match (way.end, way.going) {
        (WayEnd::Bar(_), _) if line::length_m(&way.path) < 1.0 => {
            format!("{name} screens at the {}", zone(last))
        }
        (WayEnd::Bar(_), _) => format!("{name} comes to screen at the {}", zone(last)),
        (WayEnd::Arrow, Going::Cut) => format!("{name} goes {from_to}"),
        (WayEnd::Arrow, Going::Dribble) => format!("{name} dribbles {from_to}"),
        (WayEnd::Arrow, Going::Defends) => format!("defender {name} goes {from_to}"),
    })
}
