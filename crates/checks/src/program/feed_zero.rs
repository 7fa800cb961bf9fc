#![doc = include_str!("feed_zero.md")]

use crate::Context;
use crate::excursion::{Excursion, Worst};
use crate::registry::check_info;
use kw_base::FindingLog;
use kw_nc::{Move, MoveKind};

check_info!("feed-zero", Stop, "a move at feed has no feed", "feed_zero.md");

/// Follows runs of moves without feed.
#[derive(Default)]
pub struct FeedZero {
    excursion: Excursion,
}

impl FeedZero {
    /// Takes the next move.
    pub fn visit(&mut self, ctx: &Context<'_>, m: &Move<'_>, log: &mut FindingLog) {
        let stands = m.kind != MoveKind::Rapid && m.feed <= 0.0;
        let run = self.excursion.visit(m.index, if stands { 1.0 } else { 0.0 });
        if let Some(worst) = run {
            report(ctx, worst, log);
        }
    }

    /// Reports a run that lasts to the end of the program.
    pub fn finish(&mut self, ctx: &Context<'_>, log: &mut FindingLog) {
        if let Some(worst) = self.excursion.finish() {
            report(ctx, worst, log);
        }
    }
}

fn report(ctx: &Context<'_>, worst: Worst, log: &mut FindingLog) {
    if !INFO.wanted(log) {
        return;
    }
    let m = ctx.reading.toolpath.get(worst.move_index);
    let more = match worst.moves {
        1 => String::new(),
        2 => "; so is the move after it".to_owned(),
        n => format!("; so are the {} moves after it", n - 1),
    };
    log.push_wanted(
        INFO.finding(
            ctx.place_of_first_word(m.block_at, &['F', 'G']),
            format!("a move at feed runs with feed 0 mm/min or none stated{more}"),
        )
        .with_label("the machine would stand still or alarm here")
        .with_value(0.0, "mm/min")
        .at_move(m.index as u32, m.tip_to_mm().to_array())
        .with_help("state a feed above 0 with F on this block or before it"),
    );
}
