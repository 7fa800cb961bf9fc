//! Starting the executable in the repository's root.

use std::path::{Path, PathBuf};
use std::process::Command;

/// What a run gave.
pub struct Ran {
    /// Exit code.
    pub code: i32,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

/// The repository's root.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().unwrap()
}

/// Runs `kerfwright` with these arguments in the repository's root.
pub fn kerfwright(arguments: &[&str]) -> Ran {
    let output = Command::new(env!("CARGO_BIN_EXE_kerfwright"))
        .args(arguments)
        .current_dir(root())
        .output()
        .unwrap();
    Ran {
        code: output.status.code().unwrap_or(-1),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

/// A file with these bytes in a folder of its own, removed by the system in time.
pub fn file(name: &str, bytes: &[u8]) -> PathBuf {
    let folder =
        Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("input-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join(name);
    std::fs::write(&path, bytes).unwrap();
    path
}
