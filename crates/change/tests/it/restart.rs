//! A restarted program runs on exactly as the old one, and passes the checks.

use crate::demo::{programs, read};
use kw_change::{Refusal, RestartOptions, restart};
use kw_model::Setup;
use kw_model::machine::AxisLetter;
use kw_nc::{MoveKind, ReadContext};

fn options(setup: &Setup) -> RestartOptions {
    RestartOptions {
        back_mm: 10.0,
        clear_z_mm: setup.sheet_top_z_mm() + 15.0,
        surface_z_mm: setup.sheet_top_z_mm(),
        top_axis_z_mm: setup.machine.axis(AxisLetter::Z).unwrap().max_mm,
    }
}

#[test]
fn the_rest_of_the_program_is_the_same_move_for_move() {
    let mut restarted = 0;
    for (name, sources, setup) in programs() {
        let context = ReadContext::from_setup(&setup);
        let old = kw_nc::read(&sources, &context).toolpath;
        for part in 1..12 {
            let at = old.len() * part / 12;
            let new = match restart(&old, &context, at, &options(&setup)) {
                Ok(new) => new,
                Err(Refusal::NoTool | Refusal::KnifeInMaterial) => continue,
                Err(error) => panic!("{name}, move {at}: {error}"),
            };
            restarted += 1;
            assert!(new.first_move <= at, "{name}: move {at}");
            let (_, again) = read(&new.text, &setup);
            let words: Vec<_> = again.findings.findings().iter().map(|f| &f.message).collect();
            assert!(words.is_empty(), "{name}, move {at}: {words:?}");
            let rest = old.len() - new.first_move;
            let path = &again.toolpath;
            for k in 0..rest {
                let (a, b) = (old.get(new.first_move + k), path.get(path.len() - rest + k));
                assert!(a.to_mm.distance(b.to_mm) < 2e-6, "{name}, move {at}, {k} on");
                assert_eq!(a.kind, b.kind);
                assert_eq!(a.state.tool, b.state.tool);
                assert_eq!(a.state.spindle, b.state.spindle);
                assert!((a.feed - b.feed).abs() < 1e-6);
            }
        }
    }
    assert!(restarted > 60, "{restarted}");
}

#[test]
fn the_tool_enters_into_its_own_kerf_and_passes_the_checks() {
    for (name, sources, setup) in programs() {
        let context = ReadContext::from_setup(&setup);
        let old = kw_nc::read(&sources, &context).toolpath;
        for part in 1..8 {
            let at = old.len() * part / 8;
            let Ok(new) = restart(&old, &context, at, &options(&setup)) else { continue };
            let (text, _) = read(&new.text, &setup);
            let analysis = kw_checks::analyse(&text, &setup).unwrap();
            let stops: Vec<_> = analysis
                .findings
                .findings()
                .iter()
                .filter(|f| f.severity == kw_base::Severity::Stop)
                .map(|f| &f.message)
                .collect();
            assert!(stops.is_empty(), "{name}, move {at}: {stops:?}");
            // Nothing before the entry comes near the material at rapid.
            let path = &analysis.reading.toolpath;
            let first_feed = path.moves().find(|m| m.kind != MoveKind::Rapid).unwrap();
            let entry = new.entry_tip_mm;
            assert!(first_feed.tip_from_mm().xy().distance(entry.xy()) < 1e-5, "{name}, {at}");
        }
    }
}

#[test]
fn what_cannot_be_started_again_is_refused_with_the_reason() {
    let (_, sources, setup) = programs().into_iter().find(|p| p.0 == "hive-body.nc").unwrap();
    let context = ReadContext::from_setup(&setup);
    let path = kw_nc::read(&sources, &context).toolpath;
    let good = options(&setup);
    let beyond = restart(&path, &context, path.len(), &good);
    assert!(matches!(beyond, Err(Refusal::NoSuchMove { .. })));
    assert!(matches!(restart(&path, &context, 0, &good), Err(Refusal::NoTool)));
    let low = RestartOptions { clear_z_mm: good.surface_z_mm - 1.0, ..good };
    let refusal = restart(&path, &context, 100, &low).unwrap_err();
    assert!(refusal.to_string().contains("not above the sheet"), "{refusal}");
}

#[test]
fn zones_pumps_and_extraction_are_switched_again() {
    let (_, sources, setup) = programs().into_iter().find(|p| p.0 == "hive-body.nc").unwrap();
    let context = ReadContext::from_setup(&setup);
    let path = kw_nc::read(&sources, &context).toolpath;
    let new = restart(&path, &context, path.len() / 2, &options(&setup)).unwrap();
    assert!(new.restored.len() >= 3, "{:?}", new.restored);
    insta::assert_snapshot!(
        "restart_of_hive_body",
        new.text.lines().take(24).collect::<Vec<_>>().join("\n")
    );
}
