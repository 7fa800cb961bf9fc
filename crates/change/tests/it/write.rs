//! Writing a toolpath and reading it again gives the same toolpath.

use crate::demo::{programs, read};
use kw_change::{WriteOptions, first_difference, write};
use kw_nc::ReadContext;

#[test]
fn every_demo_program_comes_back_the_same() {
    for (name, sources, setup) in programs() {
        let context = ReadContext::from_setup(&setup);
        let original = kw_nc::read(&sources, &context);
        for inch in [false, true] {
            let options = WriteOptions { inch, comments: Some(&sources), ..Default::default() };
            let text = write(&original.toolpath, &context, &options).unwrap();
            let (_, again) = read(&text, &setup);
            let stops: Vec<_> = again.findings.findings().iter().map(|f| &f.message).collect();
            assert!(stops.is_empty(), "{name}: {stops:?}");
            let difference = first_difference(&original.toolpath, &again.toolpath);
            assert_eq!(difference, None, "{name}, inch: {inch}");
        }
    }
}

#[test]
fn comments_are_kept_in_order() {
    let (_, sources, setup) = programs().into_iter().find(|p| p.0 == "hive-floor.nc").unwrap();
    let context = ReadContext::from_setup(&setup);
    let original = kw_nc::read(&sources, &context);
    let options = WriteOptions { comments: Some(&sources), ..Default::default() };
    let text = write(&original.toolpath, &context, &options).unwrap();
    let bare = write(&original.toolpath, &context, &WriteOptions::default()).unwrap();
    let comments = |t: &str| t.lines().filter(|l| l.starts_with('(')).count();
    assert!(comments(&text) > 5, "{text}");
    assert_eq!(comments(&bare), 0);
    assert_eq!(text.lines().filter(|l| !l.starts_with('(')).count(), bare.lines().count());
}
