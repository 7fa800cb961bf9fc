//! Writes the larger demo programs. They are made up, and the same on every run; each imitates no
//! real post-processor, only the variety of habits that NC programs show.

use crate::Outcome;
use std::path::{Path, PathBuf};

mod case_foam;
mod display_stand;
mod hive_body;
mod knife;
mod nest_box;
mod number_plates;
mod play_maze;
mod play_windows;
mod post;
mod routing;
mod shape;
mod strokes;

struct Program {
    file: &'static str,
    make: fn() -> String,
}

const PROGRAMS: &[Program] = &[
    Program { file: "hive-body.nc", make: hive_body::program },
    Program { file: "nest-box-set.nc", make: nest_box::program },
    Program { file: "play-panel-maze.nc", make: play_maze::program },
    Program { file: "play-panel-windows.nc", make: play_windows::program },
    Program { file: "case-foam-meters.nc", make: case_foam::program },
    Program { file: "display-stand.nc", make: display_stand::program },
    Program { file: "number-plates.nc", make: number_plates::program },
];

/// Writes all programs, or with `--check` says which differ from what would be written.
pub fn run(args: &[String]) -> Outcome {
    let check = match args {
        [] => false,
        [option] if option == "--check" => true,
        _ => return Err(format!("unknown options {args:?}; the only option is --check")),
    };
    let folder = programs_folder();
    let mut stale = Vec::new();
    for Program { file, make } in PROGRAMS {
        let path = folder.join(file);
        let text = make();
        if std::fs::read(&path).is_ok_and(|present| present == text.as_bytes()) {
            continue;
        }
        if check {
            stale.push(*file);
        } else {
            write(&path, &text)?;
        }
    }
    if stale.is_empty() {
        Ok(())
    } else {
        let names = stale.join(", ");
        Err(format!("not as generated: {names}; run `cargo xtask demo` and commit the result"))
    }
}

fn programs_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo/programs")
}

fn write(path: &Path, text: &str) -> Outcome {
    std::fs::write(path, text).map_err(|error| format!("{}: {error}", path.display()))?;
    println!("wrote {}", path.display());
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn committed_programs_are_as_generated() {
        run(&["--check".to_owned()]).unwrap();
    }
}
