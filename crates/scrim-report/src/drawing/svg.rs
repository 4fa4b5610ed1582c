//! A sketch as SVG.

use maud::{Markup, html};
use scrim_floor::{AttackFrame, Court, Vector};
use scrim_season::words::Words;

use super::floor::{UNITS, floor_markup, number, place, view_box};
use super::line;
use super::sketch::{Attacker, CIRCLE_M, Defender, Going, Pass, Route, RouteEnd, Sketch};
use super::tracks::Spot;

/// A drawing reaches at least this far from the end line, m: past the three-point arc.
const DEPTH_M: f32 = 11.4;
/// Room below the farthest attacker, m.
const BELOW_M: f32 = 1.2;
/// Length and half width of an arrow's head, m.
const HEAD_M: (f32, f32) = (0.62, 0.28);
/// Half length of a screen's bar, m.
const BAR_M: f32 = 0.75;
/// Half the size of a defender's X, m.
const CROSS_M: f32 = 0.36;
/// An X with a number under it is smaller and stands higher, units: both lie within an attacker's circle.
const LABELLED_ARM: f32 = 2.8;
const LABELLED_UP: f32 = 2.6;

/// The sketch as an `svg` element. `label` says in words what it shows.
pub(crate) fn sketch_svg(court: &Court, sketch: &Sketch, label: &str, words: &Words) -> Markup {
    html! {
        svg.court viewBox=(view_box(court, depth_m(court, sketch))) role="img" aria-label=(label) {
            (inside(court, sketch, words))
        }
    }
}

/// The sketch as a file of its own, dark on white.
pub(crate) fn standalone_svg(court: &Court, sketch: &Sketch, label: &str, words: &Words) -> String {
    let frame = view_box(court, depth_m(court, sketch));
    let mut corners = frame.split(' ');
    let mut next = || corners.next().unwrap_or_default().to_owned();
    let (x, y, width, height) = (next(), next(), next(), next());
    let svg = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(frame) width="480" role="img" aria-label=(label) color="#1b2430" {
            title { (label) }
            rect x=(x) y=(y) width=(width) height=(height) fill="#fff" {}
            (inside(court, sketch, words))
        }
    };
    let mut text = svg.into_string();
    text.push('\n');
    text
}

/// How far the drawing has to reach.
fn depth_m(court: &Court, sketch: &Sketch) -> f32 {
    let attackers = sketch.attackers.iter().map(|attacker| attacker.spot.x_m);
    let routes = sketch
        .routes
        .iter()
        .flat_map(|route| &route.path)
        .map(|spot| spot.x_m);
    let defenders = sketch.defenders.iter().map(|defender| defender.spot.x_m);
    let farthest_m = attackers.chain(defenders).chain(routes).fold(0.0, f32::max);
    DEPTH_M.max(farthest_m + court.hoop_from_end_line_m + BELOW_M)
}

fn inside(court: &Court, sketch: &Sketch, words: &Words) -> Markup {
    html! {
        (floor_markup(court))
        g fill="none" stroke="currentColor" stroke-width="1.1" stroke-linejoin="round" stroke-linecap="round" {
            @for route in &sketch.routes { (route_markup(court, sketch, route)) }
            @for pass in &sketch.passes { (pass_markup(court, pass)) }
            @for defender in &sketch.defenders { (defender_markup(court, defender)) }
            @if let Some((_, spot)) = &sketch.shot { (shot(court, sketch, *spot, words)) }
            @for attacker in &sketch.attackers { (attacker_markup(court, attacker)) }
        }
    }
}

fn attacker_markup(court: &Court, attacker: &Attacker) -> Markup {
    let (x, y) = place(court, attacker.spot);
    let radius = CIRCLE_M * UNITS;
    html! {
        circle cx=(number(x)) cy=(number(y)) r=(number(radius)) fill="var(--paper, #fff)" stroke-width="1.2" {}
        @if attacker.has_ball { circle cx=(number(x)) cy=(number(y)) r=(number(radius + 1.7)) stroke-width="0.9" {} }
        text x=(number(x)) y=(number(y + 2.6)) font-size="7.4" text-anchor="middle" fill="currentColor" stroke="none" font-family="sans-serif" font-weight="600" { (attacker.label) }
    }
}

/// An X, and under it the number of the player they guard.
fn defender_markup(court: &Court, defender: &Defender) -> Markup {
    let (x, y) = place(court, defender.spot);
    html! {
        @match &defender.guards {
            Some(guards) => {
                (cross((x, y - LABELLED_UP), LABELLED_ARM))
                text x=(number(x)) y=(number(y + 5.6)) font-size="5.4" text-anchor="middle" fill="currentColor" stroke="var(--paper, #fff)" stroke-width="1.2" paint-order="stroke" font-family="sans-serif" { (guards) }
            }
            None => { (cross((x, y), CROSS_M * UNITS)) }
        }
    }
}

fn cross((x, y): (f32, f32), arm: f32) -> Markup {
    let (left, right) = (number(x - arm), number(x + arm));
    let (up, down) = (number(y - arm), number(y + arm));
    html! { path d=(format!("M{left} {up}L{right} {down}M{left} {down}L{right} {up}")) stroke-width="1.3" {} }
}

/// A dotted circle where the shot was taken, and the word: no stroke, which would be a screen.
fn shot(court: &Court, sketch: &Sketch, spot: Spot, words: &Words) -> Markup {
    let (x, y) = place(court, spot);
    let word = place(court, sketch.word_beside(spot, court));
    html! {
        circle cx=(number(x)) cy=(number(y)) r=(number(CIRCLE_M * UNITS + 0.6)) stroke-width="2" stroke-dasharray="1.5 2" {}
        text x=(number(word.0)) y=(number(word.1 + 2.2)) font-size="6.4" text-anchor="middle" fill="currentColor" stroke="var(--paper, #fff)" stroke-width="1.6" paint-order="stroke" font-family="sans-serif" { (words.text("shot-mark")) }
    }
}

fn route_markup(court: &Court, sketch: &Sketch, route: &Route) -> Markup {
    // A route that starts at a circle begins at the circle's edge.
    let starts_at_circle = route.path.first().is_some_and(|start| {
        sketch
            .attackers
            .iter()
            .any(|attacker| attacker.spot.distance_m(*start) < CIRCLE_M)
    });
    let path = if starts_at_circle && route.going != Going::Defends {
        line::without_start(&route.path, CIRCLE_M)
    } else {
        route.path.clone()
    };
    let (drawn, curve) = match route.going {
        Going::Dribble => {
            let zigzag = line::zigzag(&path);
            let text = polyline(court, &zigzag);
            (zigzag, text)
        }
        Going::Cut | Going::Defends => {
            let text = smooth(court, &path);
            (path, text)
        }
    };
    let defends = route.going == Going::Defends;
    html! {
        g stroke-opacity=[defends.then_some("0.5")] stroke-width=[defends.then_some("0.8")] {
            @if drawn.len() > 1 { path d=(curve) {} }
            @match route.end {
                RouteEnd::Arrow => { (head(court, &drawn)) }
                RouteEnd::Bar(facing) => { (bar(court, drawn.last().copied().or(route.path.last().copied()), facing, drawn.len() < 2)) }
            }
        }
    }
}

/// The bar of a screen: across the route; beside the circle of a screener who stands there from the start.
fn bar(court: &Court, end: Option<Spot>, facing: Vector<AttackFrame>, stands: bool) -> Markup {
    let off_m = if stands { CIRCLE_M + 0.22 } else { 0.0 };
    html! {
        @if let Some(end) = end {
            @let at = end + facing * off_m;
            @let across = facing.quarter_turn() * BAR_M;
            path d=(polyline(court, &[at + across * -1.0, at + across])) stroke-width="2.2" {}
        }
    }
}

/// An arrow's head at the end of a path.
fn head(court: &Court, path: &[Spot]) -> Markup {
    let direction = match path {
        [.., before, end] => (*end - *before).unit(),
        _ => return html! {},
    };
    let [.., end] = path else { return html! {} };
    let back = *end - direction * HEAD_M.0;
    let side = direction.quarter_turn() * HEAD_M.1;
    html! { path d=(format!("{}Z", polyline(court, &[*end, back + side, back + side * -1.0]))) fill="currentColor" stroke="none" {} }
}

fn pass_markup(court: &Court, pass: &Pass) -> Markup {
    let (from, to) = (pass.from.1, pass.to.1);
    let path = to - from;
    let length_m = path.length();
    let direction = path.unit();
    html! {
        @if pass.is_handoff {
            // Two short strokes between giver and taker.
            @let middle = from.toward(to, 0.5);
            @let across = if length_m > f32::EPSILON { direction.quarter_turn() } else { Vector::new(1.0, 0.0) };
            @let along = if length_m > f32::EPSILON { direction } else { Vector::new(0.0, 1.0) };
            @for side in [-0.16_f32, 0.16] {
                @let at = middle + along * side;
                path d=(polyline(court, &[at + across * -0.55, at + across * 0.55])) stroke-width="1" {}
            }
        } @else if length_m > 2.0 * CIRCLE_M {
            @let (start, end) = (from + direction * CIRCLE_M, to - direction * CIRCLE_M);
            path d=(polyline(court, &[start, end])) stroke-dasharray="3.2 2.4" {}
            (head(court, &[start, end]))
        }
    }
}

fn polyline(court: &Court, path: &[Spot]) -> String {
    let mut text = String::new();
    for (k, spot) in path.iter().enumerate() {
        let (x, y) = place(court, *spot);
        text.push(if k == 0 { 'M' } else { 'L' });
        text.push_str(&format!("{} {}", number(x), number(y)));
    }
    text
}

/// A smooth curve through the points: the spline of E. Catmull and R. Rom, "A class of local interpolating splines",
/// Computer Aided Geometric Design (1974), 317–326, as cubic Bézier pieces (control points a sixth of the chord of the
/// neighbours away).
fn smooth(court: &Court, path: &[Spot]) -> String {
    let spots: Vec<(f32, f32)> = path.iter().map(|spot| place(court, *spot)).collect();
    let Some((&first, rest)) = spots.split_first() else {
        return String::new();
    };
    let mut text = format!("M{} {}", number(first.0), number(first.1));
    for (k, &to) in rest.iter().enumerate() {
        let from = spots[k];
        let before = spots[k.saturating_sub(1)];
        let after = spots[(k + 2).min(spots.len() - 1)];
        // Long and short pieces beside each other would loop: a control point goes no farther than a third of its piece.
        let most = (to.0 - from.0).hypot(to.1 - from.1) / 3.0;
        let control = |at: (f32, f32), chord: (f32, f32), sign: f32| {
            let (dx, dy) = (chord.0 / 6.0, chord.1 / 6.0);
            let scale = (most / dx.hypot(dy).max(f32::MIN_POSITIVE)).min(1.0) * sign;
            (at.0 + dx * scale, at.1 + dy * scale)
        };
        let a = control(from, (to.0 - before.0, to.1 - before.1), 1.0);
        let b = control(to, (after.0 - from.0, after.1 - from.1), -1.0);
        text.push_str(&format!(
            "C{} {} {} {} {} {}",
            number(a.0),
            number(a.1),
            number(b.0),
            number(b.1),
            number(to.0),
            number(to.1)
        ));
    }
    text
}

/// The key to the notation, as one drawing.
pub(crate) fn key_svg(words: &Words) -> String {
    let court = Court::fiba();
    let at = |row: f32, column: f32| {
        // Places in the drawing's own grid: from units back to the floor.
        Spot::new(
            row / UNITS - court.hoop_from_end_line_m,
            column / UNITS - court.width_m / 2.0,
        )
    };
    let attacker = |row, column, label: &str, has_ball| Attacker {
        player: None,
        spot: at(row, column),
        label: label.into(),
        has_ball,
    };
    let route = |row, going, end| Route {
        player: None,
        going,
        path: vec![at(row, 8.0), at(row, 40.0)],
        end,
    };
    let lines = [
        ("key-attacker", 10.0),
        ("key-with-ball", 26.0),
        ("key-defender", 42.0),
        ("key-cut", 58.0),
        ("key-dribble", 74.0),
        ("key-pass", 90.0),
        ("key-screen", 106.0),
        ("key-handoff", 122.0),
        ("key-one-of-two", 138.0),
        ("key-shot", 154.0),
    ];
    let svg = html! {
        svg.court.keyed viewBox="0 0 150 164" role="img" aria-label=(words.text("key-in-words")) {
            g fill="none" stroke="currentColor" stroke-width="1.1" stroke-linejoin="round" stroke-linecap="round" {
                (attacker_markup(&court, &attacker(10.0, 24.0, "5", false)))
                (attacker_markup(&court, &attacker(26.0, 24.0, "5", true)))
                (defender_markup(&court, &Defender { spot: at(42.0, 24.0), guards: Some("5".into()) }))
                @let empty = Sketch { moment: super::Moment::Before, attackers: Vec::new(), defenders: Vec::new(), routes: Vec::new(), passes: Vec::new(), shot: None };
                (route_markup(&court, &empty, &route(58.0, Going::Cut, RouteEnd::Arrow)))
                (route_markup(&court, &empty, &route(74.0, Going::Dribble, RouteEnd::Arrow)))
                (pass_markup(&court, &Pass { from: (None, at(90.0, 2.0)), to: (None, at(90.0, 46.0)), is_handoff: false }))
                (route_markup(&court, &empty, &route(106.0, Going::Cut, RouteEnd::Bar(Vector::new(0.0, 1.0)))))
                (pass_markup(&court, &Pass { from: (None, at(122.0, 18.0)), to: (None, at(122.0, 30.0)), is_handoff: true }))
                (route_markup(&court, &empty, &route(138.0, Going::Defends, RouteEnd::Arrow)))
                (shot(&court, &empty, at(154.0, 16.0), words))
                @for (key, row) in lines {
                    text x="54" y=(number(row + 2.4)) font-size="7" fill="currentColor" stroke="none" font-family="sans-serif" { (words.text(key)) }
                }
            }
        }
    };
    svg.into_string()
}
