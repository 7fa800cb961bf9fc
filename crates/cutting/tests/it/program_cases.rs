//! Loads of real NC programs, from the text to the columns.

use crate::close::assert_close;
use kw_base::Sources;
use kw_cutting::program::{
    BoundCut, Load, Measure, ProgramLoads, ToolWear, cut_groups, program_loads, tool_wear,
};
use kw_model::shop::SetupChoice;
use kw_model::{Setup, Shop, ShopFile};
use kw_motion::{Limits, PlanOptions, TimePlan};
use kw_nc::{ReadContext, Toolpath};
use kw_stock::{Stock, StockSetup, SweepOptions};
use std::path::Path;

struct Run {
    path: Toolpath,
    plan: TimePlan,
    stock: Stock,
    setup: Setup,
    loads: ProgramLoads,
}

fn setup(sheet: &str) -> Setup {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shop");
    let names = ["shop.toml", "tools.toml", "materials.toml", "sheets.toml", "machines/bench.toml"];
    let read = |name: &&str| ShopFile {
        name: (*name).to_owned(),
        text: std::fs::read_to_string(folder.join(name)).expect("a file of the test shop"),
    };
    let files: Vec<ShopFile> = names.iter().map(read).collect();
    let shop = Shop::read(&files).expect("a sound shop");
    shop.setup(SetupChoice { sheet: Some(sheet), ..SetupChoice::default() }).expect("a setup")
}

fn run(body: &str, sheet: &str) -> Run {
    let setup = setup(sheet);
    let text = format!("G21 G17 G90 G94 G54\n{body}\nM30\n");
    let sources = Sources::single("case.nc", text.into_bytes()).expect("a source");
    let path = kw_nc::read(&sources, &ReadContext::from_setup(&setup)).toolpath;
    let limits = Limits::from_setup(&setup).expect("limits");
    let plan = kw_motion::plan(&path, &limits, &PlanOptions::default());
    let stock = kw_stock::sweep(&path, &StockSetup::of(&setup), &SweepOptions::default())
        .expect("a sheet that can be mapped");
    let cuts = kw_stock::cuts(&path, &stock);
    let loads = program_loads(&path, &plan, &stock, &cuts, &setup);
    Run { path, plan, stock, setup, loads }
}

impl Run {
    fn wear(&self) -> Vec<ToolWear> {
        tool_wear(&self.loads, &self.path, &self.plan, &self.stock, &self.setup)
    }
}

/// A slot of 400 mm with tool 1 or 4, full depth.
fn slot(tool: u32) -> String {
    format!(
        "T{tool} M6\nS18000 M3\nG0 X100 Y100\nG43 H{tool} Z5\nG1 Z-18 F1000\nG1 X500 F6000\nG0 Z5\nM5"
    )
}

#[test]
fn a_slot_in_particleboard_takes_the_power_of_the_closed_form() {
    // TC-09 [P] kc 32.0 (37.6), [C]: 691.2 W (812.2), 61.1 N, 0.3667 N·m.
    let ran = run(&slot(1), "chip");
    assert_eq!((ran.loads.len(), ran.loads.cuts.len()), (1, 1));
    let tool = &ran.loads.tools[0];
    let power = tool.power_w.expect("power");
    assert_close(power.likely, 691.2, 0.02);
    assert_close(power.high, 812.2, 0.02);
    assert_close(tool.torque_nm.expect("torque").likely, 0.3667, 0.02);
    let cut = &ran.loads.cuts[0];
    assert_close(cut.load(Load::Tangential).expect("force").median, 61.1, 0.02);
    assert_close(cut.measure(Measure::Axial).expect("depth").median, 18.0, 0.01);
    // fz = 6000/(18000·2); the move starts and ends slower, so the chip is thinner.
    let chip = cut.load(Load::MaxChip).expect("chip").median;
    assert!(chip < 6000.0 / 36000.0 && chip > 0.9 * 6000.0 / 36000.0, "{chip}");
}

#[test]
fn half_the_width_thins_the_chip_only_below_half() {
    // A second pass 3 mm aside: ae/D = 0.25, hmax/fz = 2·√(0.25·0.75) = 0.866 [C].
    let body =
        "T1 M6\nS18000 M3\nG0 X100 Y100\nG43 H1 Z5\nG1 Z-6 F1000\nG1 X500 F3000\nY103\nX100\nG0 Z5";
    let ran = run(body, "chip");
    let chips = ran.loads.column(Load::MaxChip);
    let last = ran.loads.len() - 1;
    assert_close(f64::from(chips[last]), 0.866 * 3000.0 / 36000.0, 0.03);
    assert!(chips[last] < chips[0]);
}

#[test]
fn a_v_groove_counts_with_its_own_width() {
    // 90°, 3 mm deep: 6 mm wide at the surface, so the edge runs at π·6·n, a slot.
    let body = "T2 M6\nS12000 M3\nG0 X100 Y100\nG43 H2 Z5\nG1 Z-3 F1000\nG1 X500 F2400\nG0 Z5";
    let ran = run(body, "chip");
    let cut = &ran.loads.cuts[0];
    let bound = BoundCut::of(cut, &ran.setup).expect("a turning tool");
    assert!(bound.cutter.diameter_mm < 7.0, "{}", bound.cutter.diameter_mm);
    assert_close(cut.load(Load::MaxChip).expect("chip").median, 0.1, 0.05);
    assert!(cut.load(Load::Deflection).is_none(), "no length out of the holder is stated");
}

#[test]
fn plunges_and_unknown_forces_leave_no_false_figures() {
    let drilled = run("T3 M6\nS6000 M3\nG0 X100 Y100\nG43 H3 Z5\nG1 Z-10 F600\nG0 Z5", "chip");
    assert!(drilled.loads.is_empty() && drilled.loads.tools.is_empty());
    assert_eq!(drilled.loads.cuts.len(), 1);
    let bare = run(&slot(1), "bare");
    assert!(bare.loads.column(Load::Power).is_empty() && !bare.loads.has_forces());
    assert_eq!(bare.loads.column(Load::MaxChip).len(), 1);
    assert_eq!(bare.loads.tools[0].power_w, None);
}

#[test]
fn a_knife_drags_by_toughness_and_depth() {
    // R·t times 1.5 to 3 for friction: 9·4·2 = 72 N, 5·4·1.5 to 15·4·3 [C], friction [CP].
    let body = "T5 M6\nG0 X100 Y100\nG43 H5 Z5\nG1 Z-4 F1000\nG1 X500 F6000\nG0 Z5";
    let ran = run(body, "card");
    let force = ran.loads.cuts[0].knife_force_n.expect("a force");
    for (got, want) in [(force.low, 30.0), (force.likely, 72.0), (force.high, 180.0)] {
        assert_close(got, want, 0.01);
    }
}

#[test]
fn life_used_follows_the_reference_and_its_levels() {
    // At the reference but for abrasion 2 and a hardly lower mean feed: 50 min of life. 400 mm at
    // 6000 mm/min take 4 s and a little.
    let ran = run(&slot(1), "chip");
    let wear = ran.wear()[0];
    let life = wear.life.expect("x_life is stated");
    assert!(wear.cutting_min > 4.0 / 60.0 && wear.cutting_min < 4.5 / 60.0);
    assert_close(life.used_after, wear.cutting_min / 50.0, 0.06);
    // n·D·π/2 a minute in a slot [C].
    assert_close(wear.edge_path_m, 18000.0 * 0.012 * 3.14159 / 2.0 * wear.cutting_min, 0.02);
    assert_eq!((life.crosses_care, life.crosses_stop), (None, None));
    assert_close(life.runs_left.expect("an end") as f64, 1.0 / life.used_after, 0.01);

    let worn = run(&slot(4), "chip");
    let life = worn.wear()[0].life.expect("x_life is stated");
    let care = life.crosses_care.expect("passes its care level");
    assert_eq!((life.crosses_stop, care.move_index), (None, worn.loads.move_index[0]));
    let start_s = worn.plan.start_s(care.move_index as usize);
    let end_s = worn.plan.end_s[care.move_index as usize];
    assert!(start_s < care.time_s && care.time_s < end_s);
}

#[test]
fn like_cuts_share_a_window_and_the_heaviest_stands_for_them() {
    let pass = |y: u32, z: u32| format!("G0 X100 Y{y}\nG1 Z-{z} F1000\nG1 X500 F6000\nG0 Z5\n");
    let body = format!(
        "T1 M6\nS18000 M3\nG0 X100 Y100\nG43 H1 Z5\n{}{}{}",
        pass(100, 6),
        pass(200, 6),
        pass(300, 12)
    );
    let ran = run(&body, "chip");
    let groups = cut_groups(&ran.loads);
    let sizes: Vec<usize> = groups.iter().map(|g| g.cuts.len()).collect();
    assert_eq!(sizes, [2, 1]);
    let bound = BoundCut::of(&ran.loads.cuts[groups[1].heaviest], &ran.setup).expect("a case");
    let bite = bound.bite();
    let case = bound.case(&bite);
    let window = case.window(51);
    assert!(window.is_open(), "{:?}", window.blocked_by());
    let fastest = case.fastest(&window).expect("a setting");
    assert!(case.assess(fastest.setting).expect("loads").is_within());
    assert!(case.cheapest(&window, &bound.costs.expect("costs")).is_some());
}
