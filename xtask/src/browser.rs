//! A browser for the page's tests, by the system's package manager.

use crate::process::{exists, output_of, run};

/// Names under which the browser may be installed.
const NAMES: &[&str] = &["chromium", "chromium-browser"];

/// Installs the browser if it is missing and this person may; else says what to install.
pub fn install_if_missing() -> Result<(), String> {
    if NAMES.iter().any(|name| exists(name)) {
        return Ok(());
    }
    let may_install =
        exists("apt-get") && output_of("", "id", &["-u"]).is_ok_and(|user| user.trim() == "0");
    if !may_install {
        return Err("the browser tests need Chromium: install it with your system's package \
                    manager (Debian: `sudo apt-get install chromium`) and run this again"
            .to_owned());
    }
    run("", "apt-get", &["update"])?;
    run("", "apt-get", &["install", "--yes", "--no-install-recommends", "chromium"])
}
