//! Findings of a folder of faulty programs (fixtures/faults/SOURCE.md), as snapshots.

use crate::support::{fixture, fixtures_in, rendered};
use kw_base::Sources;
use kw_model::Dialect;
use kw_nc::{ReadContext, ReadTool, Reading, faults, read};
use std::collections::BTreeSet;

fn read_faulty(folder: &str, name: &str) -> (Sources, Reading) {
    let sources = Sources::single(name, fixture(&format!("faults/{folder}/{name}"))).unwrap();
    let strict = folder == "strict";
    let base = if strict { Dialect::published() } else { Dialect::default() };
    let dialect = Dialect { max_blocks_run: 1000, ..base };
    let mut context = ReadContext::plain(&dialect);
    context.tools.insert(1, ReadTool::measured(Some(50.0), Some(10.0)));
    context.tools.insert(2, ReadTool::measured(Some(40.0), Some(6.0)));
    context.tools_are_complete = true;
    context.start_tool = Some(1);
    context.highest_slot = Some(20);
    let reading = read(&sources, &context);
    (sources, reading)
}

fn snapshot_folder(folder: &str) {
    for name in fixtures_in(&format!("faults/{folder}")) {
        let (sources, reading) = read_faulty(folder, &name);
        let stem = name.trim_end_matches(".nc");
        insta::assert_snapshot!(format!("{folder}-{stem}"), rendered(&sources, &reading));
    }
}

#[test]
fn findings_with_widely_used_habits() {
    snapshot_folder("habits");
}

#[test]
fn findings_by_the_published_rules() {
    snapshot_folder("strict");
}

#[test]
fn each_fault_has_a_program_that_shows_it() {
    let mut shown = BTreeSet::new();
    for folder in ["habits", "strict"] {
        for name in fixtures_in(&format!("faults/{folder}")) {
            let (_, reading) = read_faulty(folder, &name);
            let found: BTreeSet<&str> =
                reading.findings.findings().iter().map(|f| f.check).collect();
            let stem = name.trim_end_matches(".nc");
            if kw_nc::faults::fault(stem).is_some() {
                assert!(found.contains(stem), "{folder}/{name} gives only {found:?}");
            }
            shown.extend(found);
        }
    }
    // These need a dialect or machine of their own; see `machine.rs` and `habits.rs`.
    shown.extend(["work-offset-unknown", "start-code-unknown", "spindle-step-unknown"]);
    let missing: Vec<&str> =
        faults().iter().map(|f| f.name).filter(|n| !shown.contains(n)).collect();
    assert!(missing.is_empty(), "no program shows {missing:?}");
}
