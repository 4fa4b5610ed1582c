//! A pipeline that is accepted runs: no value of any parameter brings a stage down.

use scrim::failure::guarded;
use scrim::game::StageTimes;
use scrim::{Failure, Pipeline, tag_game};
use scrim_floor::Parameters;
use scrim_ingest::{IngestError, find_sources, read_source};
use toml::{Table, Value};

use crate::house::House;

/// Every number (and list of numbers) of a pipeline, by its sections and key.
fn numbers(table: &Table, at: &[String], found: &mut Vec<Vec<String>>) {
    for (key, value) in table {
        let mut at = at.to_vec();
        at.push(key.clone());
        match value {
            Value::Table(inner) => numbers(inner, &at, found),
            Value::Float(_) | Value::Integer(_) => found.push(at),
            Value::Array(list) if list.first().is_some_and(Value::is_float) => found.push(at),
            _ => {}
        }
    }
}

fn set(table: &mut Table, at: &[String], number: f64) {
    let (last, sections) = at.split_last().unwrap();
    let table = sections
        .iter()
        .fold(table, |table, section| table[section].as_table_mut().unwrap());
    table[last] = match &table[last] {
        Value::Integer(_) => Value::Integer(number as i64),
        Value::Array(list) => vec![number; list.len()].into(),
        _ => Value::Float(number),
    };
}

#[test]
fn no_single_number_brings_a_stage_down() {
    let house = House::new();
    house.game("a", 0);
    let source = find_sources(&house.at("in"), None).unwrap().sources.remove(0);
    let mut raw = None;
    read_source::<IngestError>(&source, &Pipeline::default().ingest, &mut |read| {
        raw = Some(read.raw);
        Ok(())
    })
    .unwrap();
    let raw = raw.unwrap();
    let mut table = Table::try_from(Pipeline::default()).unwrap();
    let mut keys = Vec::new();
    numbers(&table, &[], &mut keys);
    assert!(keys.len() > 30, "{keys:?}");
    let mut list = Vec::new();
    Pipeline::list_in("", &mut list);
    let mut accepted = 0;
    let mut broken = Vec::new();
    for key in keys.iter().filter(|key| key[0] != "ingest") {
        let name = key.join(".");
        let of = list.iter().find(|parameter| parameter.key == name);
        // What `scrim tune` writes has no entry a weight.
        let bounds = of.and_then(|parameter| parameter.bounds);
        let (least, most) = bounds.unwrap_or((-100.0, 100.0));
        for number in [-1.0, 0.0, 1e6, least, most] {
            let before = table.clone();
            set(&mut table, key, number);
            house.write("odd.toml", &toml::to_string(&table).unwrap());
            table = before;
            // Refused with a word is well; so is a game that cannot be cleaned that way.
            let Ok(pipeline) = Pipeline::read(&house.at("odd.toml")) else {
                let is_allowed = bounds.is_some_and(|(least, most)| (least..=most).contains(&number));
                assert!(!is_allowed, "{name} = {number} is refused");
                continue;
            };
            assert!(
                bounds.is_none_or(|(least, most)| (least..=most).contains(&number)),
                "{name} = {number} is accepted"
            );
            accepted += 1;
            if let Err(Failure::Panic { what }) =
                guarded(|| tag_game(raw.clone(), &pipeline, &mut StageTimes::default()))
            {
                broken.push(format!("{name} = {number}: {what}"));
            }
        }
    }
    assert!(accepted > 100, "{accepted}");
    assert!(broken.is_empty(), "{broken:#?}");
}
