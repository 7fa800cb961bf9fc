//! `kerfwright edit`: words of a program changed, shown and compared before anything is written.

use crate::Outcome;
use crate::changes::{self, Job, JobArguments};
use anyhow::{Context, Result, bail};
use clap::Args;
use kw_base::Sources;
use kw_change::{
    Amount, Edit, EditRequest, Edited, FeedPart, History, Revision, Scope, Signature, compare,
};
use kw_nc::ReadContext;
use serde_json::json;
use std::io::Write;
use std::time::{SystemTime, UNIX_EPOCH};

/// Options of `edit`.
#[derive(Args)]
pub struct EditArguments {
    #[command(flatten)]
    job: JobArguments,
    /// Feeds, speeds and depths change while this tool is in work only.
    #[arg(long, value_name = "N", conflicts_with_all = ["lines", "moves"])]
    tool: Option<u32>,
    /// Changes hold in this range of lines only.
    #[arg(long, value_name = "A-B", conflicts_with = "moves")]
    lines: Option<String>,
    /// Feeds, speeds and depths change in this range of moves only, from 0.
    #[arg(long, value_name = "A-B")]
    moves: Option<String>,
    /// Feed of cuts: x0.8 or 80% of what it is, or a value in mm/min.
    #[arg(long, value_name = "AMOUNT")]
    cut_feed: Option<String>,
    /// Feed of moves that go down, and of cycles.
    #[arg(long, value_name = "AMOUNT")]
    plunge_feed: Option<String>,
    /// Spindle speed: x0.8 or 80% of what it is, or a value in 1/min.
    #[arg(long, value_name = "AMOUNT")]
    speed: Option<String>,
    /// Another tool number, in T words and the H and D words that go with it.
    #[arg(long, value_name = "OLD=NEW")]
    swap_tool: Vec<String>,
    /// Another Z of feed moves and cycles, in the program's unit.
    #[arg(long, value_name = "OLD=NEW", allow_hyphen_values = true)]
    depth: Vec<String>,
    /// A pause before the block of this line.
    #[arg(long, value_name = "LINE")]
    pause_before: Vec<u32>,
    /// The pause of this line taken out.
    #[arg(long, value_name = "LINE")]
    remove_pause: Vec<u32>,
    /// Another datum.
    #[arg(long, value_name = "G54=G55")]
    datum: Vec<String>,
    /// Who makes the change.
    #[arg(long, value_name = "NAME", default_value = "")]
    by: String,
    /// Why.
    #[arg(long, value_name = "TEXT", default_value = "")]
    why: String,
}

/// Edits, proves, compares and prints.
pub fn run(arguments: &EditArguments) -> Result<Outcome> {
    let requests = requests(arguments)?;
    let job = arguments.job.job()?;
    let edited = apply(&job, &requests)?;
    let sources = Sources::single(&arguments.job.out_name(), edited.text.clone())?;
    let analysis = kw_checks::analyse(&sources, &job.setup)?;
    let comparison = compare((&job.analysis, &job.sources), (&analysis, &sources));
    let received = job.sources.files().first().map_or(&[][..], |f| f.bytes());
    let mut history = History::new(received);
    let number = history.push(edited, requests, signature(arguments));
    let Some(revision) = history.revision(number) else { bail!("the change was not recorded") };
    arguments.job.write(revision.text())?;
    if arguments.job.json {
        changes::print_json(&json!({
            "revision": revision_json(revision),
            "comparison": changes::comparison_json(&comparison),
            "written": arguments.job.out,
        }))?;
    } else {
        let mut out = anstream::stdout().lock();
        writeln!(out, "--- {}", arguments.job.program.display())?;
        let target = arguments.job.out.as_ref().map(|p| p.display().to_string());
        writeln!(out, "+++ {}", target.as_deref().unwrap_or("(not written)"))?;
        write!(out, "{}", revision.diff)?;
        writeln!(out)?;
        changes::print_comparison(&mut out, &comparison)?;
    }
    Ok(changes::outcome(&comparison))
}

/// All edits, one on the result of the other.
fn apply(job: &Job, requests: &[EditRequest]) -> Result<Edited> {
    let context = ReadContext::from_setup(&job.setup);
    let mut result: Option<Edited> = None;
    for request in requests {
        let edited = match &result {
            None => kw_change::edit(&job.sources, &context, request)?,
            Some(before) => {
                let name = job.sources.files().first().map_or("", |f| f.name.as_str());
                let sources = Sources::single(name, before.text.clone())?;
                kw_change::edit(&sources, &context, request)?
            }
        };
        result = Some(edited);
    }
    result.context("no change is asked for; see `kerfwright edit --help`")
}

fn signature(arguments: &EditArguments) -> Signature {
    let now = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |d| d.as_secs() as i64);
    Signature { author: arguments.by.clone(), reason: arguments.why.clone(), at_unix_s: now }
}

fn revision_json(revision: &Revision) -> serde_json::Value {
    json!({
        "number": revision.number,
        "parent": revision.parent,
        "author": revision.signature.author,
        "reason": revision.signature.reason,
        "at_unix_s": revision.signature.at_unix_s,
        "edits": revision.edits.len(),
        "diff": revision.diff,
    })
}

/// The edits asked for. Tool numbers change after what is scoped by tool; pauses come last and
/// from the bottom up, so that line numbers keep their meaning.
fn requests(arguments: &EditArguments) -> Result<Vec<EditRequest>> {
    let lines = arguments.lines.as_deref().map(range).transpose()?;
    let moves = arguments.moves.as_deref().map(range).transpose()?;
    let by_lines = lines.map_or(Scope::All, |(first, last)| Scope::Lines { first, last });
    let scope = match (arguments.tool, moves) {
        (Some(tool), _) => Scope::Tool(tool),
        (None, Some((first, last))) => Scope::Moves { first, last },
        (None, None) => by_lines,
    };
    let mut requests = Vec::new();
    for (text, part) in
        [(&arguments.cut_feed, FeedPart::Cut), (&arguments.plunge_feed, FeedPart::Plunge)]
    {
        if let Some(text) = text {
            requests.push(EditRequest { edit: Edit::Feed { part, amount: amount(text)? }, scope });
        }
    }
    if let Some(text) = &arguments.speed {
        requests.push(EditRequest { edit: Edit::Speed(amount(text)?), scope });
    }
    for text in &arguments.depth {
        let (from, to) = change(text)?;
        requests.push(EditRequest { edit: Edit::Depth { from, to }, scope });
    }
    for text in &arguments.datum {
        let (from, to) = change::<String>(text)?;
        let edit = Edit::Datum { from: system(&from)?, to: system(&to)? };
        requests.push(EditRequest { edit, scope: by_lines });
    }
    for text in &arguments.swap_tool {
        let (from, to) = change(text)?;
        requests.push(EditRequest { edit: Edit::SwapTool { from, to }, scope: by_lines });
    }
    let insert = arguments.pause_before.iter();
    let mut pauses: Vec<(u32, Edit)> =
        insert.map(|&line| (line, Edit::InsertPause { before_line: line })).collect();
    pauses.extend(arguments.remove_pause.iter().map(|&line| (line, Edit::RemovePause { line })));
    pauses.sort_by_key(|(line, _)| std::cmp::Reverse(*line));
    requests.extend(pauses.into_iter().map(|(_, edit)| EditRequest { edit, scope: Scope::All }));
    Ok(requests)
}

fn amount(text: &str) -> Result<Amount> {
    let wanted = || format!("{text}: a factor such as x0.8, 80% or a value is wanted");
    let number = |part: &str| part.trim().parse::<f64>().with_context(wanted);
    if let Some(percent) = text.strip_suffix('%') {
        return Ok(Amount::Factor(number(percent)? / 100.0));
    }
    match text.strip_prefix(['x', 'X', '*', '\u{d7}']) {
        Some(factor) => Ok(Amount::Factor(number(factor)?)),
        None => Ok(Amount::Value(number(text)?)),
    }
}

fn range(text: &str) -> Result<(u32, u32)> {
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    match (first.trim().parse(), last.trim().parse()) {
        (Ok(first), Ok(last)) if first <= last => Ok((first, last)),
        _ => bail!("{text}: a range such as 10-40 is wanted"),
    }
}

fn change<T: std::str::FromStr>(text: &str) -> Result<(T, T)> {
    let parts = text.split_once('=').map(|(a, b)| (a.trim().parse(), b.trim().parse()));
    match parts {
        Some((Ok(from), Ok(to))) => Ok((from, to)),
        _ => bail!("{text}: old and new with = between them are wanted"),
    }
}

fn system(text: &str) -> Result<u8> {
    let codes = ["G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"];
    let index = codes.iter().position(|c| c.eq_ignore_ascii_case(text));
    index.map(|i| i as u8 + 1).with_context(|| format!("{text}: G54 to G59.3 are wanted"))
}
