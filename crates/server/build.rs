//! Puts a placeholder page where the built page is missing, so that the server builds without Node.

use std::path::Path;

fn main() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../web/dist");
    println!("cargo:rerun-if-changed=../../web/dist");
    let page = folder.join("index.html");
    if page.exists() {
        return;
    }
    let placeholder = "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\">\
        <title>Kerfwright</title><p>The page is not built yet. Run <code>cargo start</code>.</p>";
    if let Err(error) =
        std::fs::create_dir_all(&folder).and_then(|()| std::fs::write(&page, placeholder))
    {
        println!("cargo:warning=no placeholder page could be written: {error}");
    }
}
