//! The window of speed and feed: limits by name, proposals, override.

use crate::close::assert_close;
use kw_base::{Band, math};
use kw_cutting::chip::{Engagement, surface_speed_m_s};
use kw_cutting::deflection::{Beam, CARBIDE_MODULUS_N_MM2};
use kw_cutting::force::{CuttingLaw, Helix, Layer, LinearLaw, RADIAL_SHARE};
use kw_cutting::loads::{Bite, Cutter, Setting};
use kw_cutting::power::SpindleCurve;
use kw_cutting::speeds::{LimitKind, SpeedCase, SpeedLimits, WINDOW_COLUMNS, WearCosts, WearModel};
use kw_cutting::wear::{CostRates, CuttingCondition, EdgePathWear, ReferenceLife, TaylorExponents};
use kw_cutting::windows::ChipFamily;

const FIBREBOARD: CuttingLaw = CuttingLaw::Linear(LinearLaw {
    area_n_mm2: Band { low: 12.5, likely: 25.0, high: 37.5 },
    edge_n_mm: Band { low: 1.0, likely: 2.0, high: 3.0 },
});

const BOARD: [Layer; 1] = [Layer { thickness_mm: 12.0, law: FIBREBOARD }];

fn cutter() -> Cutter {
    Cutter {
        diameter_mm: 10.0,
        flutes: 2,
        helix: Helix { angle_rad: 0.5, reversed_above_mm: None },
        beam: Some(Beam::fluted(10.0, 40.0, CARBIDE_MODULUS_N_MM2)),
    }
}

fn slot() -> Bite<'static> {
    Bite {
        layers: &BOARD,
        radial_mm: 10.0,
        above_tip_mm: 0.0,
        radial_share: RADIAL_SHARE,
        correction: Band::exact(1.0),
    }
}

/// An invented machine on which nothing but axes and chip limit this cut.
fn ample() -> SpeedLimits {
    let chips = ChipFamily::FibreBoard.window(10.0, 12.0).expect("a diameter");
    SpeedLimits {
        spindle_rpm: [6_000.0, 24_000.0],
        tool_rpm: None,
        feed_mm_min: 25_000.0,
        chip_mm: Some([chips.low_mm, chips.high_mm]),
        rubbing_mm: ChipFamily::FibreBoard.rubbing_chip_mm().map(|chip| chip.high),
        spindle: Some(
            SpindleCurve::new(&[[12_000.0, 9_000.0], [24_000.0, 9_000.0]], &[]).expect("points"),
        ),
        deflection_mm: Some(0.5),
        slide_force_n: None,
        lift_force_n: None,
    }
}

fn with_case<R>(limits: &SpeedLimits, ask: impl FnOnce(SpeedCase<'_>) -> R) -> R {
    let (cutter, bite) = (cutter(), slot());
    ask(SpeedCase { cutter: &cutter, bite: &bite, limits })
}

#[test]
fn columns_hold_exactly_what_is_within() {
    let limits = SpeedLimits { deflection_mm: Some(0.06), ..ample() };
    with_case(&limits, |case| {
        let window = case.window(WINDOW_COLUMNS);
        assert_eq!(window.columns.len(), WINDOW_COLUMNS);
        assert!(window.is_open());
        for column in window.columns.iter().filter(|column| column.is_open()) {
            let at = |feed_mm_min| {
                case.assess(Setting { speed_rpm: column.speed_rpm, feed_mm_min }).expect("a cut")
            };
            assert!(at(column.feed_high_mm_min).is_within(), "{column:?}");
            assert!(at(column.feed_low_mm_min).is_within(), "{column:?}");
            let above = at(column.feed_high_mm_min * 1.001);
            assert!(!above.is_within());
            assert_eq!(above.binding(), Some(column.high_limit));
            let below = at(column.feed_low_mm_min * 0.999);
            assert!(!below.is_within());
            assert_eq!(below.binding(), column.low_limit);
        }
    });
}

#[test]
fn each_limit_can_be_the_one_that_binds() {
    let power = |w: f64| SpindleCurve::new(&[[6_000.0, w], [24_000.0, w]], &[]).ok();
    let torque = SpindleCurve::new(&[], &[[6_000.0, 0.6]]).ok();
    for (kind, limits) in [
        (LimitKind::AxisFeed, SpeedLimits { feed_mm_min: 14_500.0, ..ample() }),
        (LimitKind::ChipTooThick, ample()),
        (LimitKind::Power, SpeedLimits { spindle: power(900.0), chip_mm: None, ..ample() }),
        (LimitKind::Torque, SpeedLimits { spindle: torque, chip_mm: None, ..ample() }),
        (
            LimitKind::Deflection,
            SpeedLimits { deflection_mm: Some(0.02), chip_mm: None, ..ample() },
        ),
        (
            LimitKind::SlideForce,
            SpeedLimits { slide_force_n: Some(120.0), chip_mm: None, ..ample() },
        ),
        (LimitKind::LiftForce, SpeedLimits { lift_force_n: Some(50.0), chip_mm: None, ..ample() }),
    ] {
        with_case(&limits, |case| {
            let column = case.column(14_000.0).expect("a cut");
            assert_eq!(column.high_limit, kind);
            assert!(column.is_open(), "{column:?}");
            assert!(!kind.words().is_empty() && !kind.is_floor());
        });
    }
    let rubs = SpeedLimits { chip_mm: Some([0.01, 0.5]), ..ample() };
    with_case(&rubs, |case| {
        let column = case.column(14_000.0).expect("a cut");
        assert_eq!(column.low_limit, Some(LimitKind::Rubbing));
        assert_close(column.feed_low_mm_min, 0.03 * 2.0 * 14_000.0, 1e-12);
    });
}

#[test]
fn the_power_limit_is_met_in_closed_form() {
    let spindle = SpindleCurve::new(&[[6_000.0, 900.0], [24_000.0, 900.0]], &[]).ok();
    let limits = SpeedLimits { spindle, chip_mm: None, ..ample() };
    with_case(&limits, |case| {
        let column = case.column(14_000.0).expect("a cut");
        // one edge cuts at a time: Ft = 12·(37.5·hm + 3), hm = 2/π·vf/(2·n)
        let force = 900.0 / surface_speed_m_s(10.0, 14_000.0);
        let chip = (force / 12.0 - 3.0) / 37.5;
        let feed = chip * math::PI / 2.0 * 2.0 * 14_000.0;
        assert_close(column.feed_high_mm_min, feed, 1e-9);
    });
}

#[test]
fn a_lighter_cut_may_run_faster_by_chip_thinning() {
    let limits = ample();
    let (cutter, light) = (cutter(), Bite { radial_mm: 1.0, ..slot() });
    let thin = SpeedCase { cutter: &cutter, bite: &light, limits: &limits };
    let full = with_case(&limits, |case| case.column(8_000.0).expect("a cut"));
    let thinned = thin.column(8_000.0).expect("a cut");
    assert_close(thinned.feed_high_mm_min / full.feed_high_mm_min, 1.0 / 0.6, 1e-9);
    let ratio = Engagement::new(10.0, 1.0).expect("a diameter").max_chip_mm(1.0);
    assert_close(thinned.feed_low_mm_min * ratio, full.feed_low_mm_min, 1e-9);
}

#[test]
fn the_tool_rating_caps_the_speed() {
    let limits = SpeedLimits { tool_rpm: Some(18_000.0), ..ample() };
    with_case(&limits, |case| {
        let window = case.window(51);
        let extents = window.extents().expect("open");
        assert_eq!(extents.speed_rpm, [6_000.0, 18_000.0]);
        assert_eq!(window.speed_limits, [LimitKind::SpindleSlowest, LimitKind::ToolRating]);
        let fastest = case.fastest(&window).expect("open");
        assert_eq!(fastest.speed_limit, Some(LimitKind::ToolRating));
        assert_eq!(fastest.feed_limit, Some(LimitKind::ChipTooThick));
        let over = Setting { speed_rpm: 20_000.0, feed_mm_min: 15_000.0 };
        let assessment = case.assess(over).expect("a cut");
        let rated = assessment.margins.iter().find(|m| m.kind == LimitKind::ToolRating);
        assert!(!rated.expect("rated").is_kept());
    });
}

#[test]
fn an_empty_window_names_what_closes_it() {
    // needs at least 0.49 mm a tooth, but the axes are slow
    let slow = SpeedLimits { feed_mm_min: 2_000.0, ..ample() };
    with_case(&slow, |case| {
        let window = case.window(51);
        assert!(!window.is_open());
        assert_eq!(window.extents(), None);
        assert!(window.outlines().is_empty());
        let (low, high) = window.blocked_by().expect("closed");
        assert_eq!((low, high), (Some(LimitKind::ChipTooThin), LimitKind::AxisFeed));
        assert_eq!(case.fastest(&window), None);
        let setting = Setting { speed_rpm: 12_000.0, feed_mm_min: 2_000.0 };
        assert_eq!(case.safe_override(setting), None);
    });
    let unfit = SpeedLimits { tool_rpm: Some(5_000.0), ..ample() };
    with_case(&unfit, |case| {
        let window = case.window(51);
        assert!(window.columns.is_empty());
        let why = window.blocked_by().expect("closed");
        assert_eq!(why, (Some(LimitKind::SpindleSlowest), LimitKind::ToolRating));
    });
    let weak = SpeedLimits { lift_force_n: Some(1.0), ..ample() };
    with_case(&weak, |case| {
        let column = case.column(12_000.0).expect("a cut");
        assert_eq!((column.feed_high_mm_min, column.high_limit), (0.0, LimitKind::LiftForce));
        assert!(!column.is_open());
    });
}

#[test]
fn outlines_run_round_the_window() {
    with_case(&ample(), |case| {
        let window = case.window(25);
        let outlines = window.outlines();
        assert_eq!(outlines.len(), 1);
        let outline = &outlines[0];
        let open = window.columns.iter().filter(|column| column.is_open()).count();
        assert_eq!(outline.len(), 2 * open);
        // counterclockwise with speed to the right and feed up
        let doubled: f64 = (0..outline.len())
            .map(|i| (outline[i], outline[(i + 1) % outline.len()]))
            .map(|(a, b)| a[0] * b[1] - a[1] * b[0])
            .sum();
        assert!(doubled > 0.0);
    });
}

fn costs(edge: f64) -> WearCosts {
    WearCosts {
        wear: WearModel::Reference(ReferenceLife {
            life_min: 240.0,
            at: CuttingCondition {
                speed_m_min: 500.0,
                feed_per_tooth_mm: 0.4,
                depth_mm: 12.0,
                abrasion: 1.0,
            },
            exponents: TaylorExponents { life: 0.25, feed: 0.1, depth: 0.0 },
        }),
        abrasion: 1.2,
        rates: CostRates { machine_per_min: 0.9, edge, change_min: 3.0 },
    }
}

#[test]
fn the_fastest_beats_every_other_setting() {
    let spindle = SpindleCurve::new(&[[12_000.0, 1_800.0], [24_000.0, 1_500.0]], &[]).ok();
    let limits = SpeedLimits { spindle, ..ample() };
    with_case(&limits, |case| {
        let coarse = case.fastest(&case.window(21)).expect("open");
        let fine = case.window(2_001);
        let best = fine.columns.iter().filter(|c| c.is_open()).map(|c| c.feed_high_mm_min);
        let best = best.fold(0.0, f64::max);
        assert_close(coarse.setting.feed_mm_min, best, 1e-3);
        let assessment = case.assess(coarse.setting).expect("a cut");
        assert!(assessment.is_within());
        // where chip and power limits meet, either may be named
        assert!(matches!(coarse.feed_limit, Some(LimitKind::Power | LimitKind::ChipTooThick)));
        assert_eq!(coarse.speed_limit, None);
        assert_eq!(coarse.cost_per_m, None);
    });
}

#[test]
fn where_the_axes_limit_the_slower_spindle_is_kept() {
    let limits = SpeedLimits { feed_mm_min: 9_000.0, ..ample() };
    with_case(&limits, |case| {
        let window = case.window(WINDOW_COLUMNS);
        let fastest = case.fastest(&window).expect("open");
        assert_close(fastest.setting.feed_mm_min, 9_000.0, 1e-12);
        let chips = limits.chip_mm.expect("a window");
        let slowest_that_reaches = 9_000.0 / 2.0 / chips[1];
        assert!(fastest.setting.speed_rpm - slowest_that_reaches < 18_000.0 / 100.0);
    });
}

#[test]
fn the_cheapest_beats_a_grid_of_settings() {
    for edge in [0.0, 40.0, 4_000.0] {
        with_case(&ample(), |case| {
            let window = case.window(WINDOW_COLUMNS);
            let costs = costs(edge);
            let cheapest = case.cheapest(&window, &costs).expect("open");
            let cost = cheapest.cost_per_m.expect("counted");
            assert!(case.assess(cheapest.setting).expect("a cut").is_within());
            assert!(cheapest.life_min.expect("counted") > 0.0);
            for column in window.columns.iter().filter(|c| c.is_open()) {
                for step in 0..=20 {
                    let span = column.feed_high_mm_min - column.feed_low_mm_min;
                    let feed_mm_min = column.feed_low_mm_min + span * f64::from(step) / 20.0;
                    let other = Setting { speed_rpm: column.speed_rpm, feed_mm_min };
                    assert!(case.cost_per_m(&costs, other) >= cost * (1.0 - 1e-5), "{other:?}");
                }
            }
        });
    }
}

#[test]
fn a_dear_tool_is_run_slower() {
    with_case(&ample(), |case| {
        let window = case.window(WINDOW_COLUMNS);
        let at = |edge| case.cheapest(&window, &costs(edge)).expect("open").setting.speed_rpm;
        assert!(at(4_000.0) < at(40.0) && at(40.0) <= at(0.0));
        let fastest = case.fastest(&window).expect("open").setting;
        let free = WearCosts {
            rates: CostRates { machine_per_min: 0.9, edge: 0.0, change_min: 0.0 },
            ..costs(0.0)
        };
        let cheapest = case.cheapest(&window, &free).expect("open").setting;
        assert_close(cheapest.feed_mm_min, fastest.feed_mm_min, 1e-6);
    });
}

#[test]
fn wear_by_path_counts_revolutions() {
    let wear = EdgePathWear { start_mm: 0.0, growth_mm_per_km: 0.02, end_mm: 0.15 };
    let by_path = WearCosts { wear: WearModel::EdgePath(wear), ..costs(40.0) };
    with_case(&ample(), |case| {
        let life =
            |speed_rpm| case.life_min(&by_path, Setting { speed_rpm, feed_mm_min: 12_000.0 });
        assert_close(life(10_000.0) / life(20_000.0), 2.0, 1e-12);
        // 0.15/(0.02·1.2) km at n·π·D/2 per minute
        assert_close(life(10_000.0), 6_250.0 / (math::PI * 10.0 / 2.0 * 10.0), 1e-9);
    });
}

#[test]
fn the_safe_override_ends_where_a_limit_begins() {
    with_case(&ample(), |case| {
        let [low, high] = case.limits.chip_mm.expect("a window");
        let middle = (low + high) / 2.0 * 2.0 * 14_000.0;
        let setting = Setting { speed_rpm: 14_000.0, feed_mm_min: middle };
        let range = case.safe_override(setting).expect("open");
        assert_close(range.low, 2.0 * low / (low + high), 1e-9);
        assert_close(range.high, 2.0 * high / (low + high), 1e-9);
        assert_eq!(range.low_limit, Some(LimitKind::ChipTooThin));
        assert_eq!(range.high_limit, Some(LimitKind::ChipTooThick));
        let steps = case.override_steps(setting);
        assert_eq!(steps.len(), 16);
        for step in &steps {
            let within = range.low <= step.share && step.share <= range.high;
            assert_eq!(step.assessment.is_within(), within, "{}", step.share);
            assert_close(step.time_ratio * step.share, 1.0, 1e-12);
        }
        let power = |i: usize| steps[i].assessment.loads.power_w.high;
        assert!((1..16).all(|i| power(i - 1) < power(i)));
    });
}

#[test]
fn an_override_without_limits_ends_at_its_own_ends() {
    let limits = SpeedLimits { chip_mm: None, rubbing_mm: None, ..ample() };
    with_case(&limits, |case| {
        let setting = Setting { speed_rpm: 14_000.0, feed_mm_min: 3_000.0 };
        let range = case.safe_override(setting).expect("open");
        assert_eq!((range.low, range.high), (0.5, 2.0));
        assert_eq!((range.low_limit, range.high_limit), (None, None));
        let out_of_range = Setting { speed_rpm: 30_000.0, ..setting };
        assert_eq!(case.safe_override(out_of_range), None);
        assert_eq!(case.safe_override(Setting { feed_mm_min: 0.0, ..setting }), None);
    });
}

#[test]
fn nonsense_never_panics() {
    for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0] {
        let limits = SpeedLimits {
            spindle_rpm: [bad, 24_000.0],
            feed_mm_min: bad,
            deflection_mm: Some(bad),
            slide_force_n: Some(bad),
            ..ample()
        };
        with_case(&limits, |case| {
            let window = case.window(11);
            assert!(!window.is_open(), "{bad}");
            assert!(window.blocked_by().is_some());
            let setting = Setting { speed_rpm: 12_000.0, feed_mm_min: bad };
            assert_eq!(case.safe_override(setting), None);
            assert!(case.override_steps(setting).len() <= 16);
        });
    }
}
