//! Events between moves.

use crate::support::{Path, even, off, with_jerk};
use kw_model::ToolPlace;
use kw_motion::{PauseKind, PlanOptions, SpindleWait, plan};
use kw_nc::{EventKind, SpindleTurn};

fn start(speed_rpm: f64) -> EventKind {
    EventKind::Spindle { turn: SpindleTurn::Clockwise, speed_rpm }
}

#[test]
fn rapids_and_dwells_run_while_the_spindle_gathers_speed() {
    // Ramp 3 s to 24 000; half speed takes 1.5 s. Rapid of 100 mm: 0.1 / 0.5 + 0.5 = 0.6325 s.
    let path = Path::new().event(start(12_000.0)).rapid(100.0, 0.0, 0.0);
    let path = path.event(EventKind::Dwell(0.5)).line(100.0, 0.0, -5.0, 600.0).0;
    let limits = even(500.0, 1000.0);
    let rapid_s = 2.0 * (100.0_f64 / 1000.0).sqrt();
    let plunge_s = 0.5 + 0.01;
    let waiting = plan(&path, &limits, &PlanOptions::default());
    assert!(off(waiting.total_s, 1.5 + plunge_s) < 1e-12, "{}", waiting.total_s);
    assert!(off(waiting.paused_s(PauseKind::Ramp), 1.0 - rapid_s) < 1e-12);
    let options = PlanOptions { spindle_wait: SpindleWait::AtCode, ..PlanOptions::default() };
    let at_code = plan(&path, &limits, &options);
    assert!(off(at_code.total_s, 1.5 + rapid_s + 0.5 + plunge_s) < 1e-12);
}

#[test]
fn a_change_waits_for_the_spindle_and_counts_persons() {
    let mut limits = even(500.0, 1000.0);
    limits.places = vec![(1, ToolPlace::Pocket(1)), (2, ToolPlace::Pocket(2))];
    let change = |from, to| EventKind::ToolChange { from: Some(from), to: Some(to) };
    let path = Path::new().event(start(24_000.0)).event(change(1, 2)).event(change(2, 7));
    let path = path.event(EventKind::Stop { optional: false }).rapid(1.0, 0.0, 0.0).0;
    let plan = plan(&path, &limits, &PlanOptions::default());
    assert!(off(plan.paused_s(PauseKind::Ramp), 3.0) < 1e-12);
    assert!(off(plan.paused_s(PauseKind::ToolChange), 24.0) < 1e-12);
    assert!(off(plan.paused_s(PauseKind::HandLoad), 90.0) < 1e-12);
    assert_eq!(plan.person_waits(), 2);
    assert!((plan.start_s(0) - 117.0).abs() < 1e-12);
}

#[test]
fn events_without_time_do_not_stop_the_motion() {
    let through = Path::new().line(50.0, 0.0, 0.0, 6000.0).line(100.0, 0.0, 0.0, 6000.0).0;
    let noted = Path::new().line(50.0, 0.0, 0.0, 6000.0).event(EventKind::Coolant(true, false));
    let noted = noted.line(100.0, 0.0, 0.0, 6000.0).0;
    let limits = with_jerk(even(500.0, 1000.0), 50_000.0);
    let options = PlanOptions::default();
    assert_eq!(plan(&noted, &limits, &options), plan(&through, &limits, &options));
    assert!(plan(&noted, &limits, &options).exit_speed[0] > 99.0);
}
