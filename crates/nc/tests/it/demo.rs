//! The demo shop's programs against its machines: nothing in them is misread.

use crate::support::names;
use kw_base::Sources;
use kw_model::shop::{SetupChoice, Shop, ShopFile};
use kw_nc::{ReadContext, read};

fn demo(path: &str) -> Vec<u8> {
    let path = format!("{}/../../demo/{path}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read(&path).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn demo_shop() -> Shop {
    let names = [
        "shop.toml",
        "tools.toml",
        "materials.toml",
        "sheets.toml",
        "machines/long-table.toml",
        "machines/small-table.toml",
    ];
    let file = |name: &str| ShopFile {
        name: name.to_owned(),
        text: String::from_utf8(demo(&format!("shop/{name}"))).unwrap(),
    };
    let files: Vec<ShopFile> = names.map(file).into();
    Shop::read(&files).unwrap()
}

#[test]
fn programs_are_read_without_faults_but_for_the_planted_one() {
    let shop = demo_shop();
    let folder = format!("{}/../../demo/programs", env!("CARGO_MANIFEST_DIR"));
    let mut count = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        if !name.ends_with(".nc") {
            continue;
        }
        let choice = SetupChoice { program_file: Some(&name), ..SetupChoice::default() };
        let setup = shop.setup(choice).unwrap();
        let sources = Sources::single(&name, demo(&format!("programs/{name}"))).unwrap();
        let reading = read(&sources, &ReadContext::from_setup(&setup));
        let planted: &[&str] = if name == "mistakes.nc" { &["code-unknown"] } else { &[] };
        assert_eq!(names(&reading), planted, "{name}");
        assert_eq!(reading.stated.end.is_some(), planted.is_empty(), "{name}");
        count += 1;
    }
    assert!(count >= 8, "only {count} programs");
}
