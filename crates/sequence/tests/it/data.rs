//! Reads the open instances; see `folder` for where they are looked for.
//!
//! Also used by `examples/reference_table.rs`.
#![allow(clippy::disallowed_methods, reason = "tests read instances from a folder")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::print_stdout, reason = "test support")]
#![allow(dead_code, reason = "shared by a test binary and an example that use different parts")]

use kw_sequence::magazine::{Job, Queue};
use kw_sequence::tour::{CostMatrix, Problem, Rules};
use std::path::{Path, PathBuf};

/// The data folder: `KERFWRIGHT_DATA`, else `../shared/data` beside the workspace; `None`, with a
/// message, if it is not there.
pub fn folder() -> Option<PathBuf> {
    let beside = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../shared/data");
    let folder = std::env::var("KERFWRIGHT_DATA").map_or(beside, PathBuf::from);
    if folder.is_dir() {
        return Some(folder);
    }
    println!("skipped: no data folder at {}; set KERFWRIGHT_DATA", folder.display());
    None
}

/// A tour instance with its reference.
pub struct TourInstance {
    pub name: String,
    pub problem: Problem,
    pub best_known: i64,
    pub best_tour: Vec<usize>,
}

/// All tour instances, in the order of `reference.csv`.
pub fn tours(folder: &Path) -> Vec<TourInstance> {
    let folder = folder.join("precedence-tour");
    let best: serde_json::Value = json(&folder.join("best-tours.json"));
    let csv = std::fs::read_to_string(folder.join("reference.csv")).unwrap();
    csv.lines()
        .skip(1)
        .map(|line| {
            let fields: Vec<&str> = line.split(',').collect();
            let name = fields[0].to_string();
            let text =
                std::fs::read_to_string(folder.join(format!("instances/{name}.sop"))).unwrap();
            TourInstance {
                problem: read_tour(&text),
                best_known: fields[3].parse().unwrap(),
                best_tour: from_one(&best[&name]["tour"]),
                name,
            }
        })
        .collect()
}

fn json(path: &Path) -> serde_json::Value {
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// Numbers from 1 made numbers from 0.
fn from_one(list: &serde_json::Value) -> Vec<usize> {
    list.as_array().unwrap().iter().map(|node| node.as_u64().unwrap() as usize - 1).collect()
}

/// Matrix with -1 where the column must come before the row.
fn read_tour(text: &str) -> Problem {
    let section = text.split_once("EDGE_WEIGHT_SECTION").unwrap().1;
    let mut numbers = section.split_whitespace().map_while(|word| word.parse::<i64>().ok());
    let nodes = numbers.next().unwrap() as usize;
    let values: Vec<i64> = numbers.collect();
    assert_eq!(values.len(), nodes * nodes);
    let value = |from: usize, to: usize| values[from * nodes + to];
    let pairs = (0..nodes).flat_map(|a| (0..nodes).map(move |b| (a, b)));
    let before = pairs.filter(|&(a, b)| a != b && value(a, b) == -1).map(|(a, b)| (b, a)).collect();
    Problem {
        costs: CostMatrix::from_fn(nodes, value).unwrap(),
        rules: Rules { before, first: Some(0), last: Some(nodes - 1), ..Rules::default() },
    }
}

/// A tool switching instance with its reference.
pub struct MagazineInstance {
    pub name: String,
    pub queue: Queue,
    pub best_known: usize,
    pub optimal: bool,
    pub best_order: Vec<usize>,
}

/// All tool switching instances, in the order of `reference.csv`.
pub fn magazines(folder: &Path) -> Vec<MagazineInstance> {
    let folder = folder.join("tool-switching");
    let best: serde_json::Value = json(&folder.join("best-sequences.json"));
    let csv = std::fs::read_to_string(folder.join("reference.csv")).unwrap();
    csv.lines()
        .skip(1)
        .map(|line| {
            let fields: Vec<&str> = line.split(',').collect();
            let name = fields[0].to_string();
            let text =
                std::fs::read_to_string(folder.join(format!("instances/{name}.txt"))).unwrap();
            MagazineInstance {
                queue: read_magazine(&text),
                best_known: fields[7].parse().unwrap(),
                optimal: fields[9].trim() == "optimal",
                best_order: from_one(&best[&name]["sequence"]),
                name,
            }
        })
        .collect()
}

/// Jobs, tools, capacity, then one row for each tool: 1 where the job of the column needs it.
fn read_magazine(text: &str) -> Queue {
    let numbers: Vec<usize> = text.split_whitespace().map(|word| word.parse().unwrap()).collect();
    let (jobs, tools, capacity) = (numbers[0], numbers[1], numbers[2]);
    assert_eq!(numbers.len(), 3 + jobs * tools);
    let needs = |job: usize, tool: usize| numbers[3 + tool * jobs + job] == 1;
    let tools_of = |job| (0..tools).filter(move |&tool| needs(job, tool)).map(|tool| tool as u32);
    let job = |job| Job { tools: tools_of(job).collect(), ..Job::default() };
    Queue { jobs: (0..jobs).map(job).collect(), capacity, ..Queue::default() }
}
