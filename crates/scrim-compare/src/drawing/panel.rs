//! One panel: a measure against the varied parameter.

use maud::{Markup, html};

use super::axis::{Axis, short};

/// Room for the words left of the plot, above, right and below it.
const ROOM: (f64, f64, f64, f64) = (52.0, 34.0, 14.0, 38.0);

pub(super) struct Panel<'a> {
    pub(super) title: String,
    /// What else is so; empty for nothing.
    pub(super) note: String,
    pub(super) x_words: String,
    pub(super) y_words: &'static str,
    pub(super) points: Vec<(f64, f64)>,
    /// The pipeline's own value, and what is measured with it.
    pub(super) own: (f64, Option<f64>),
    pub(super) x: &'a Axis,
    pub(super) y: Axis,
}

fn number(value: f64) -> String {
    format!("{value:.1}")
}

pub(super) fn panel_markup(panel: &Panel<'_>, (width, height): (f64, f64)) -> Markup {
    let (left, top) = (ROOM.0, ROOM.1);
    let (right, bottom) = (width - ROOM.2, height - ROOM.3);
    let x = |value: f64| left + panel.x.share(value) * (right - left);
    let y = |value: f64| bottom - panel.y.share(value) * (bottom - top);
    let line: Vec<String> = panel
        .points
        .iter()
        .map(|&(at, value)| format!("{} {}", number(x(at)), number(y(value))))
        .collect();
    let middle = number((top + bottom) / 2.0);
    let (own_x, own_y) = (x(panel.own.0), panel.own.1.map(y));
    html! {
        g class="panel" {
            text x=(number(left)) y="14" font-weight="600" fill="currentColor" { (panel.title) }
            text x=(number(left)) y="26" font-size="9" fill="currentColor" { (panel.note) }
            g fill="none" stroke="currentColor" stroke-width="0.8" {
                path d=(format!("M{} {} V{} H{}", number(left), number(top), number(bottom), number(right))) {}
                @for tick in panel.x.ticks() { path d=(format!("M{} {} v4", number(x(tick)), number(bottom))) {} }
                @for tick in panel.y.ticks() {
                    path d=(format!("M{} {} h-4", number(left), number(y(tick)))) {}
                    path d=(format!("M{} {} H{}", number(left), number(y(tick)), number(right))) stroke="#c9ced6" stroke-width="0.5" {}
                }
                path d=(format!("M{} {} V{}", number(own_x), number(top), number(bottom))) stroke-dasharray="3 3" {}
                @if !line.is_empty() { path d=(format!("M{}", line.join(" L"))) stroke-width="1.4" stroke-linejoin="round" {} }
            }
            @for &(at, value) in &panel.points { circle cx=(number(x(at))) cy=(number(y(value))) r="2.4" fill="currentColor" {} }
            @if let Some(own_y) = own_y {
                path d=(format!("M{x} {} L{} {y} L{x} {} L{} {y} Z", number(own_y - 5.0), number(own_x + 5.0), number(own_y + 5.0), number(own_x - 5.0), x = number(own_x), y = number(own_y))) fill="#fff" stroke="currentColor" stroke-width="1.2" {}
            }
            g font-size="9" fill="currentColor" {
                @for tick in panel.x.ticks() { text x=(number(x(tick))) y=(number(bottom + 14.0)) text-anchor="middle" { (short(tick)) } }
                @for tick in panel.y.ticks() { text x=(number(left - 6.0)) y=(number(y(tick) + 3.0)) text-anchor="end" { (short(tick)) } }
                text x=(number((left + right) / 2.0)) y=(number(bottom + 28.0)) text-anchor="middle" { (panel.x_words) }
                text x="12" y=(middle) text-anchor="middle" transform=(format!("rotate(-90 12 {middle})")) { (panel.y_words) }
            }
        }
    }
}
