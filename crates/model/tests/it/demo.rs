//! The demo shop as it lies in the repository.

use super::*;

fn demo() -> Shop {
    Shop::read(&demo_files()).unwrap_or_else(|errors| panic!("{}", lines(&errors)))
}

#[test]
fn it_is_accepted_and_marked_invented() {
    assert!(demo().head.invented);
    for file in demo_files() {
        assert!(file.text.starts_with("# Invented data"), "{} does not say so", file.name);
    }
}

#[test]
fn every_machine_takes_every_sheet_that_its_programs_name() {
    let shop = demo();
    for entry in &shop.head.program {
        let choice = SetupChoice { program_file: Some(&entry.file), ..SetupChoice::default() };
        let setup = shop.setup(choice).unwrap();
        assert_eq!(Some(&setup.machine.id), entry.machine.as_ref(), "{}", entry.file);
        let table = setup.machine.table_outline();
        for corner in &setup.sheet_outline().points {
            assert!(table.contains(*corner), "{} lies beside the table", setup.sheet.id);
        }
        assert!(!entry.title.is_empty(), "{} has no title", entry.file);
    }
}

#[test]
fn programs_and_entries_match_one_to_one() {
    let mut listed: Vec<_> = demo().head.program.into_iter().map(|entry| entry.file).collect();
    let mut present: Vec<_> = fs::read_dir(repository().join("demo/programs"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".nc"))
        .collect();
    listed.sort();
    present.sort();
    assert_eq!(listed, present);
}

/// With a tool in place its tip reaches the spoilboard's lowest allowed depth and 20 mm above the
/// thickest sheet without leaving the travel of Z.
#[test]
fn the_travel_of_z_suffices_for_every_measured_tool() {
    let shop = demo();
    for (machine, _) in &shop.machines {
        let z = machine.axis(kw_model::machine::AxisLetter::Z).unwrap();
        let choice = SetupChoice { machine: Some(&machine.id), ..SetupChoice::default() };
        for tool in shop.setup(choice).unwrap().tools {
            let Some(length_mm) = tool.tool.length_mm else { continue };
            let head = tool.tool.head.as_deref().map_or(0, |id| machine.head_index(id).unwrap());
            let axis_z = |tip_z: f64| tip_z + length_mm - machine.head[head].offset_mm[2];
            let board = machine.table.spoilboard_top_z_mm;
            let lowest = axis_z(board - machine.table.cut_into_spoilboard_mm);
            let number = tool.tool.number;
            assert!(lowest >= z.min_mm, "tool {number} cannot reach the spoilboard: {lowest}");
            assert!(axis_z(board + 60.0) <= z.max_mm, "tool {number} cannot clear a sheet");
        }
    }
}
