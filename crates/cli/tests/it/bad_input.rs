//! Bad input gives a clear error that names file, line and field; nothing panics.

use crate::run::{Ran, file, kerfwright, root};

fn check(name: &str, bytes: &[u8]) -> Ran {
    let path = file(name, bytes);
    let ran = kerfwright(&["check", path.to_str().unwrap(), "--shop", "demo/shop"]);
    assert!(!ran.err.contains("panicked"), "{}", ran.err);
    ran
}

#[test]
fn unusable_files_are_named_with_the_reason() {
    for (name, bytes, reason) in [
        ("empty.nc", &b""[..], "empty"),
        ("blank.nc", &b"\n \r\n"[..], "empty"),
        ("binary.nc", &b"\x7fELF\x02\x01\x01\x00\x00\x00\x00\x00\x03\x00"[..], "not text"),
        ("utf16.nc", &b"\xff\xfeG\x000\x00"[..], "UTF-16"),
    ] {
        let ran = check(name, bytes);
        assert_eq!(ran.code, 2, "{name}");
        assert!(ran.err.contains(name) && ran.err.contains(reason), "{}", ran.err);
    }
    let missing = kerfwright(&["check", "no/such.nc", "--shop", "demo/shop"]);
    assert_eq!(missing.code, 2);
    assert!(missing.err.contains("no/such.nc"), "{}", missing.err);
}

#[test]
fn comments_in_windows_1252_survive() {
    let ran = check("older.nc", b"(Gr\xf6\xdfe 5)\nG21 G17 X\xf6\nM30\n");
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("older.nc:2"), "{}", ran.out);
    assert!(ran.out.contains("X\u{f6}"), "{}", ran.out);
}

#[test]
fn lone_carriage_returns_end_lines() {
    let ran = check("mac.nc", b"G21 G17 G90 G54\rG0 X99999\rM30\r");
    assert!(ran.out.contains("mac.nc:2"), "{}", ran.out);
}

#[test]
fn a_line_of_a_million_characters_is_told_shortly() {
    let mut text = b"G21 G17 G90\nG1 ".to_vec();
    text.extend(std::iter::repeat_n(b'X', 1_000_000));
    let ran = check("long.nc", &text);
    assert_eq!(ran.code, 1);
    assert!(ran.out.len() < 200_000, "{} bytes", ran.out.len());
}

#[test]
fn numbers_that_are_none_are_findings() {
    for text in
        ["G1 XNAN F100", "G1 X1e999 F100", "G1 X--1 F100", "G1 X.", "G1 X999999999999999999"]
    {
        let program = format!("G21 G17 G90\n{text}\nM30\n");
        let ran = check("numbers.nc", program.as_bytes());
        assert_eq!(ran.code, 1, "{text}: {}", ran.out);
        assert!(ran.out.contains("numbers.nc:2"), "{text}: {}", ran.out);
    }
}

#[test]
fn faults_of_a_shop_name_file_line_and_field() {
    let shop = root().join("demo/shop");
    for (target, from, to, said) in [
        ("machines/long-table.toml", "max_speed_mm_min", "max_speed_in_min", "max_speed_in_min"),
        ("sheets.toml", "thickness_mm = ", "# thickness_mm = ", "thickness_mm"),
        ("tools.toml", "DC = 12", "DC = \"12 inch\"", "12 inch"),
    ] {
        let folder = copy_of(&shop, target.replace(['/', '.'], "-").as_str());
        let path = folder.join(target);
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.contains(from), "{target} lacks {from}");
        std::fs::write(&path, text.replacen(from, to, 1)).unwrap();
        let program = "demo/programs/hive-body.nc";
        let ran = kerfwright(&["check", program, "--shop", folder.to_str().unwrap()]);
        assert_eq!(ran.code, 2, "{target}");
        assert!(ran.err.contains(&format!("{target}:")) && ran.err.contains(said), "{}", ran.err);
    }
}

#[test]
fn unknown_machines_and_sheets_are_told_with_those_there_are() {
    for option in ["--machine", "--sheet"] {
        let ran = kerfwright(&[
            "check",
            "demo/programs/hive-body.nc",
            "--shop",
            "demo/shop",
            option,
            "nowhere",
        ]);
        assert_eq!(ran.code, 2);
        assert!(ran.err.contains("nowhere") && ran.err.contains("there are"), "{}", ran.err);
    }
}

fn copy_of(folder: &std::path::Path, name: &str) -> std::path::PathBuf {
    let target = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join(format!("shop-{name}-{}", std::process::id()));
    for part in ["", "machines"] {
        std::fs::create_dir_all(target.join(part)).unwrap();
        for entry in std::fs::read_dir(folder.join(part)).unwrap() {
            let path = entry.unwrap().path();
            if path.is_file() {
                std::fs::copy(&path, target.join(part).join(path.file_name().unwrap())).unwrap();
            }
        }
    }
    target
}
