//! The small game in forms that want a mapping, and the manual's mappings for them.

use crate::small_game::{Row, TEAMS};

/// The manual's mapping of that number, from 1.
pub fn manual(number: usize) -> &'static str {
    let manual = include_str!("../../../../docs/mapping.md");
    let after = manual.split("```toml\n").nth(number).unwrap();
    after.split("```").next().unwrap()
}

/// A CSV in feet from a corner, with frame numbers: for the third mapping.
pub fn feet_csv(rows: &[Row]) -> String {
    let mut text = String::from("game,quarter,frame,clock,shot_clock,team,player,x_ft,y_ft,z_ft\n");
    for row in rows {
        let (team, player) = row
            .who
            .as_ref()
            .map_or(("ball", "ball"), |(t, p)| (t, p.as_str()));
        let feet = |m: f32, half_m: f64| (f64::from(m) + half_m) / 0.3048;
        let z = row.z_m.map_or(String::new(), |z| feet(z, 0.0).to_string());
        text.push_str(&format!(
            "{},{},{},{},{},{team},{player},{},{},{z}\n",
            row.game,
            row.period,
            // Numbers that run on through the game: each period's first frame is its instant 0.
            row.frame + 1000 * u32::from(row.period),
            row.game_clock_s,
            row.shot_clock_s,
            feet(row.x_m, 14.0),
            feet(row.y_m, 7.5),
        ));
    }
    text
}

/// The rows of each instant.
pub fn instants(rows: &[Row]) -> Vec<&[Row]> {
    rows.chunk_by(|a, b| (a.period, a.frame) == (b.period, b.frame))
        .collect()
}

/// A row an instant: for the fourth mapping.
pub fn wide_csv(rows: &[Row]) -> String {
    let mut text = String::from("game_id,period,t_s,game_clock_s,shot_clock_s,ball_x,ball_y,ball_z");
    for team in TEAMS {
        for n in 1..=5 {
            text.push_str(&format!(",{team}_{team}{n}_x,{team}_{team}{n}_y"));
        }
        // A player of the bench has columns and no place.
        text.push_str(&format!(",{team}_{team}9_x,{team}_{team}9_y"));
    }
    text.push('\n');
    for instant in instants(rows) {
        let (ball, players) = instant.split_last().unwrap();
        text.push_str(&format!(
            "{},{},{},{},{},{},{},{}",
            ball.game,
            ball.period,
            ball.t_s(),
            ball.game_clock_s,
            ball.shot_clock_s,
            ball.x_m,
            ball.y_m,
            ball.z_m.unwrap()
        ));
        for team in players.chunks(5) {
            for row in team {
                text.push_str(&format!(",{},{}", row.x_m, row.y_m));
            }
            text.push_str(",,");
        }
        text.push('\n');
    }
    text
}

/// A document with the instants below their periods: for [`nested_mapping`].
pub fn nested_document(rows: &[Row]) -> serde_json::Value {
    let mut periods = Vec::new();
    for period in rows.chunk_by(|a, b| a.period == b.period) {
        let mut frames = Vec::new();
        for instant in instants(period) {
            let (ball, players) = instant.split_last().unwrap();
            let player =
                |row: &Row| serde_json::json!({"id": row.who.as_ref().unwrap().1, "xyz": [row.x_m, row.y_m]});
            let seconds = f64::from(ball.game_clock_s);
            frames.push(serde_json::json!({
                "ms": ball.frame * 40,
                "clock": format!("{}:{:05.2}", (seconds / 60.0).floor(), seconds % 60.0),
                "home": players[..5].iter().map(player).collect::<Vec<_>>(),
                "away": players[5..].iter().map(player).collect::<Vec<_>>(),
                "ball": {"xyz": [ball.x_m, ball.y_m, ball.z_m]},
            }));
        }
        // The period's number stands after its frames, and the game's id after its periods: nothing may hang on order.
        periods.push(serde_json::json!({"frames": frames, "number": period[0].period}));
    }
    serde_json::json!({"periods": periods, "zz": {"game": "G1", "home": "KH", "away": "SM"}})
}

/// The manual's sixth mapping, where the document's facts stand last.
pub fn nested_mapping() -> String {
    manual(6)
        .replace("document:/game", "document:/zz/game")
        .replace("document:/home_id", "document:/zz/home")
        .replace("document:/away_id", "document:/zz/away")
}
