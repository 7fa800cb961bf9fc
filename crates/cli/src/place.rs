//! `kerfwright place`: a program moved, turned, mirrored, or written in inches.

use crate::Outcome;
use crate::changes::{self, JobArguments, pair};
use anyhow::{Result, bail};
use clap::Args;
use kw_base::Sources;
use kw_change::{Transform, Transformed, WriteOptions, compare, transform, write};
use kw_geometry::{Vec2, Vec3};
use kw_nc::ReadContext;
use serde_json::json;
use std::io::Write;

/// Options of `place`.
#[derive(Args)]
pub struct PlaceArguments {
    #[command(flatten)]
    job: JobArguments,
    /// Shift, mm.
    #[arg(long = "move", value_name = "X,Y", allow_hyphen_values = true)]
    shift: Option<String>,
    /// Turn counterclockwise, degrees.
    #[arg(long, value_name = "DEG", allow_hyphen_values = true)]
    turn: Option<f64>,
    /// Mirror left and right, before turning.
    #[arg(long)]
    mirror: bool,
    /// Point that turning and mirroring leave in place, mm from the sheet's corner.
    #[arg(long, value_name = "X,Y", allow_hyphen_values = true, default_value = "0,0")]
    about: String,
    /// Write the new program in inches.
    #[arg(long)]
    inch: bool,
}

/// Transforms, writes, compares and prints.
pub fn run(arguments: &PlaceArguments) -> Result<Outcome> {
    let nothing = arguments.shift.is_none() && arguments.turn.is_none();
    if nothing && !arguments.mirror && !arguments.inch {
        bail!("nothing to do; see `kerfwright place --help`");
    }
    let job = arguments.job.job()?;
    let (x, y) = arguments.shift.as_deref().map_or(Ok((0.0, 0.0)), pair)?;
    let about = pair(&arguments.about)?;
    let corner = job.setup.sheet_corner_mm;
    let wanted = Transform {
        about_mm: Vec2::new(corner.x + about.0, corner.y + about.1),
        mirror_x: arguments.mirror,
        turn_rad: arguments.turn.unwrap_or(0.0).to_radians(),
        shift_mm: Vec3::new(x, y, 0.0),
        ..Transform::default()
    };
    let context = ReadContext::from_setup(&job.setup);
    let done = transform(&job.analysis.reading.toolpath, &wanted)?;
    let options = WriteOptions {
        inch: arguments.inch,
        comments: Some(&job.sources),
        ..WriteOptions::default()
    };
    let text = write(&done.toolpath, &context, &options)?;
    let sources = Sources::single(&arguments.job.out_name(), text.clone().into_bytes())?;
    let analysis = kw_checks::analyse(&sources, &job.setup)?;
    if let Some(difference) =
        kw_change::first_difference(&done.toolpath, &analysis.reading.toolpath)
    {
        bail!("the new text does not read back as wished: {difference:?}; nothing is written");
    }
    let comparison = compare((&job.analysis, &job.sources), (&analysis, &sources));
    arguments.job.write(text.as_bytes())?;
    if arguments.job.json {
        changes::print_json(&json!({
            "sides_swapped": done.sides_swapped,
            "arcs_as_chords": done.arcs_as_chords,
            "comparison": changes::comparison_json(&comparison),
            "written": arguments.job.out,
        }))?;
    } else {
        let mut out = anstream::stdout().lock();
        say(&mut out, &done, wanted.chord_tolerance_mm)?;
        changes::print_comparison(&mut out, &comparison)?;
        if let Some(path) = &arguments.job.out {
            writeln!(out, "  written to {}", path.display())?;
        }
    }
    Ok(changes::outcome(&comparison))
}

/// What a person must know of the change.
fn say(out: &mut impl Write, done: &Transformed, tolerance_mm: f64) -> Result<()> {
    writeln!(out, "reads back as wished, move for move")?;
    if done.sides_swapped {
        writeln!(
            out,
            "mirrored: climb cutting became conventional cutting and the other way round, and \
             one-handed parts became the other hand"
        )?;
    }
    if done.arcs_as_chords > 0 {
        let arcs = done.arcs_as_chords;
        writeln!(out, "{arcs} upright arcs became chords within {tolerance_mm} mm")?;
    }
    Ok(())
}
