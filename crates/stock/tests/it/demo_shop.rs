//! The demo shop's own tools and sheets.

use kw_model::shop::SetupChoice;
use kw_model::{Shop, ShopFile};
use kw_stock::{Cutter, StockSetup, SweepOptions, sweep};
use std::path::Path;

fn shop() -> Shop {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/shop");
    let mut names: Vec<String> =
        ["shop", "tools", "materials", "sheets"].map(|name| format!("{name}.toml")).to_vec();
    for machine in std::fs::read_dir(folder.join("machines")).unwrap() {
        names.push(format!("machines/{}", machine.unwrap().file_name().to_str().unwrap()));
    }
    let read = |name: String| {
        let text = std::fs::read_to_string(folder.join(&name)).unwrap();
        ShopFile { name, text }
    };
    let files: Vec<ShopFile> = names.into_iter().map(read).collect();
    Shop::read(&files).unwrap()
}

#[test]
fn every_demo_tool_can_be_swept_and_every_sheet_mapped() {
    let shop = shop();
    for (machine, _) in &shop.machines {
        for sheet in &shop.sheets {
            let choice = SetupChoice {
                machine: Some(&machine.id),
                sheet: Some(&sheet.id),
                ..SetupChoice::default()
            };
            let setup = shop.setup(choice).unwrap();
            let stock_setup = StockSetup::of(&setup);
            assert_eq!(stock_setup.tools.len(), setup.tools.len());
            for (tool, of_shop) in stock_setup.tools.iter().zip(&setup.tools) {
                assert!(tool.cutter.is_ok(), "tool {}: {:?}", tool.number, tool.cutter);
                let turns = matches!(tool.cutter, Ok(Cutter::Turning(_)));
                assert_eq!(turns, of_shop.kind.kind.turns());
                assert!(!turns || tool.cutting_radius_mm() > 0.0);
            }
            let options = SweepOptions { step_mm: 2.0, ..SweepOptions::default() };
            let stock = sweep(&kw_nc::Toolpath::default(), &stock_setup, &options).unwrap();
            let area = setup.sheet.outline().signed_area_mm2().abs();
            assert!((stock.map.sheet_area_mm2() / area - 1.0).abs() < 0.01, "{}", sheet.id);
            let middle = setup.sheet_corner_mm;
            assert!(stock.map.grid.cell_at(middle).is_some());
        }
    }
}
