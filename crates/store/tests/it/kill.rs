//! A writer killed in the middle of writing: what it was told is kept, is kept.

use crate::place::{Place, run};
use crate::stories::program;
use kw_shop::ProgramStore;
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};

/// How often the writer is killed.
const KILLS: u32 = 10;

/// Programs acknowledged before the first kill; each later kill comes one further on.
const BEFORE_KILL: u32 = 3;

/// Set for the child alone: where to write, and the round that names its programs.
const CHILD_PLACE: &str = "KERFWRIGHT_TEST_WRITE_UNTIL_KILLED";

/// Several parts for every third program, so that kills also fall into long transactions.
fn text_of(round: u32, i: u32) -> Vec<u8> {
    let line = format!("({round}:{i})\n");
    line.repeat(if i.is_multiple_of(3) { 600_000 } else { 10 }).into_bytes()
}

/// Does nothing as a test; started again by the story below with a place, it writes until killed.
#[test]
fn child_that_writes_until_killed() {
    let Ok(argument) = std::env::var(CHILD_PLACE) else { return };
    let (round, place) = argument.split_once(' ').unwrap();
    let round: u32 = round.parse().unwrap();
    run(async {
        let store = Place::from_argument(place).open().await;
        for i in 0.. {
            let new = program(&format!("{round}-{i}.nc"), &text_of(round, i), i.into());
            store.add_program(&new).await.unwrap();
            println!("\nkept {i}");
        }
    });
}

pub async fn no_acknowledged_program_is_lost_when_the_writer_is_killed(place: Place) {
    let mut acknowledged = BTreeSet::new();
    for round in 0..KILLS {
        for i in write_and_kill(&place, round) {
            acknowledged.insert(format!("{round}-{i}.nc"));
        }
        let store = place.open().await;
        let programs = store.programs().await.unwrap();
        let kept: BTreeSet<String> = programs.iter().map(|p| p.name.clone()).collect();
        let lost: Vec<&String> = acknowledged.difference(&kept).collect();
        assert!(lost.is_empty(), "lost after kill {round}: {lost:?}");
        for record in programs.iter().filter(|p| p.name.starts_with(&format!("{round}-"))) {
            store.program_text(record.id).await.unwrap();
        }
        store.close().await;
    }
    assert!(acknowledged.len() as u32 >= KILLS * BEFORE_KILL);
}

/// Starts a writer, kills it without warning, and gives the numbers it was told are kept.
fn write_and_kill(place: &Place, round: u32) -> Vec<u32> {
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "kill::child_that_writes_until_killed", "--nocapture"])
        .env(CHILD_PLACE, format!("{round} {}", place.to_argument()))
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let mut kept = Vec::new();
    for line in lines.map_while(Result::ok) {
        let Some(i) = line.strip_prefix("kept ") else { continue };
        kept.push(i.parse().unwrap());
        if kept.len() as u32 == BEFORE_KILL + round {
            child.kill().unwrap();
        }
    }
    assert!(!child.wait().unwrap().success(), "the writer ended by itself");
    kept
}
