//! Turned knives: edge against heading.

use crate::support::{names, near, read_text};
use kw_nc::knife::{KnifeRules, KnifeStep, knife_steps};

fn steps(text: &str, zero_heading_deg: f64) -> Vec<KnifeStep> {
    let reading = read_text(text);
    assert_eq!(names(&reading), Vec::<&str>::new(), "{text}");
    let rules = KnifeRules { turned_heads: vec![true], zero_heading_deg, surface_z_mm: 0.0 };
    knife_steps(&reading.toolpath, &rules)
}

#[test]
fn a_knife_that_follows_the_heading_is_never_off() {
    let text = "G0 C0 Z5\nG1 Z-3 F100\nX50\nG3 X60 Y10 J10 C90\nG1 Y50\nZ5\n\
                G0 C180\nG1 Z-3\nX0\nZ5\nM2\n";
    let steps = steps(text, 0.0);
    steps.iter().for_each(|s| near(s.off_heading_deg, 0.0, 1e-9));
    steps.iter().for_each(|s| near(s.corner_deg, 0.0, 1e-9));
}

#[test]
fn corners_without_lifting_and_turns_on_the_spot_are_measured() {
    let steps = steps("G1 Z-3 F100\nX50\nC60 F3600\nX60 Y17.320508\nM2\n", 0.0);
    near(steps[2].turned_on_spot_deg, 60.0, 1e-9);
    near(steps[3].corner_deg, 60.0, 1e-5);
    near(steps[3].off_heading_deg, 0.0, 1e-5);
}

#[test]
fn a_knife_left_behind_on_an_arc_is_off_at_its_end() {
    let steps = steps("G0 C90\nG1 Z-3 F100\nX50\nG2 X60 Y-10 J-10\nM2\n", -90.0);
    near(steps[1].off_heading_deg, 0.0, 1e-9);
    near(steps[2].off_heading_deg, 90.0, 1e-9);
}

#[test]
fn moves_above_the_sheet_and_of_other_heads_do_not_count() {
    let reading = read_text("G1 X50 F100\nY50\nM2\n");
    let rules = |turned| KnifeRules {
        turned_heads: vec![turned],
        zero_heading_deg: 0.0,
        surface_z_mm: if turned { 0.0 } else { 5.0 },
    };
    assert!(knife_steps(&reading.toolpath, &rules(true)).is_empty());
    assert!(knife_steps(&reading.toolpath, &rules(false)).is_empty());
}
