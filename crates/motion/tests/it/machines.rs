//! Limits from the demo shop's machines.

use kw_model::shop::{SetupChoice, Shop, ShopFile};
use kw_model::{Machine, ToolPlace};
use kw_motion::{Limits, LimitsError};

macro_rules! demo_files {
    ($($name:literal),+) => {
        [$(ShopFile {
            name: $name.to_owned(),
            text: include_str!(concat!("../../../../demo/shop/", $name)).to_owned(),
        }),+]
    };
}

fn shop() -> Shop {
    let files = demo_files![
        "shop.toml",
        "tools.toml",
        "materials.toml",
        "sheets.toml",
        "machines/long-table.toml",
        "machines/small-table.toml"
    ];
    Shop::read(&files).expect("the demo shop")
}

fn long_table() -> Machine {
    let setup = shop().setup(SetupChoice { machine: Some("long-table"), ..SetupChoice::default() });
    setup.expect("the long table").machine
}

#[test]
fn the_long_table_states_its_limits() {
    let setup = shop().setup(SetupChoice { machine: Some("long-table"), ..SetupChoice::default() });
    let setup = setup.expect("the long table");
    let limits = Limits::from_setup(&setup).expect("limits");
    assert_eq!(limits.axis[0].speed, 1000.0);
    assert_eq!(limits.axis[2].acceleration, 2000.0);
    assert!(limits.limits_jerk());
    assert_eq!(limits.rotary.expect("a rotary axis").speed, 1200.0);
    assert_eq!(limits.heads.len(), setup.machine.head.len());
    assert_eq!(limits.hand_load_s, 120.0);
    let number = setup.tools[0].tool.number;
    assert_eq!(limits.place(number), setup.tools[0].tool.place);
    assert_eq!(limits.place(987_654), ToolPlace::HandLoad);
}

#[test]
fn both_demo_machines_have_limits() {
    for machine in ["long-table", "small-table"] {
        let choice = SetupChoice { machine: Some(machine), ..SetupChoice::default() };
        let setup = shop().setup(choice).expect("the machine");
        assert!(Limits::from_setup(&setup).is_ok(), "{machine}");
    }
}

#[test]
fn limits_that_cannot_be_meant_are_refused_by_name() {
    let mut machine = long_table();
    machine.axis[1].max_acceleration_mm_s2 = 0.0;
    let error = Limits::from_machine(&machine, &[]).expect_err("no acceleration");
    assert_eq!(
        error.to_string(),
        "axis.Y.max_acceleration_mm_s2 is 0; it must be between 0.0001 and 1000000000"
    );
    let mut machine = long_table();
    machine.axis[0].max_speed_mm_min = -5.0;
    let error = Limits::from_machine(&machine, &[]).expect_err("no speed");
    assert_eq!(
        error.to_string(),
        "axis.X.max_speed_mm_min is -5; it must be between 0.006 and 60000000000"
    );
    let mut machine = long_table();
    machine.hand_load_s = f64::NAN;
    let error = Limits::from_machine(&machine, &[]).expect_err("no time");
    assert!(matches!(error, LimitsError::BadTime { .. }));
    let mut machine = long_table();
    machine.axis.retain(|a| a.max_mm < 1000.0);
    let error = Limits::from_machine(&machine, &[]).expect_err("no X");
    assert_eq!(error.to_string(), "the machine has no axis X");
}
