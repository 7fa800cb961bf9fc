//! Flow of the program: lines, files, `%`, subprograms, end; all bounded.

use super::Interpreter;
use super::listing::{has_percent_line, line_left_over, number_in_name, numbered_lines};
use crate::faults;
use crate::lex::block::Letter;
use crate::lex::{Block, Code, LineContext, LineReader};
use kw_base::Span;
use std::collections::{BTreeMap, BTreeSet};

/// Where the program runs.
#[derive(Clone, Debug, Default)]
pub(crate) struct Flow {
    /// Index of the file.
    file: usize,
    /// Start of the line that runs, in the file.
    at: usize,
    /// Start of the line to run next.
    next: usize,
    /// Calls under way.
    calls: Vec<Call>,
    /// Whether the program has ended.
    pub(crate) ended: bool,
    /// Whether it ended because the text did.
    ran_out: bool,
    /// Whether a block with something to do was run.
    words_seen: bool,
    /// Where the first `%` stands, if it is the first line.
    opened: Option<Span>,
    /// Whether the closing `%` was met.
    closed: bool,
    /// Programs by number; filled at the first call.
    index: Option<BTreeMap<u32, Entry>>,
    /// Programs run to their end once: their blocks are counted no more.
    seen: BTreeSet<Entry>,
    /// Blocks run, repeats counted.
    pub(crate) blocks_run: u64,
    /// Blocks run in subprograms and steps of cycles: what is bounded.
    repeated: u64,
}

/// What a watcher is told about a block beside the block itself.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Shown {
    /// Number of subprograms that it is inside of.
    pub(crate) depth: usize,
    /// Number of motions that it gave.
    pub(crate) moves: usize,
    /// Whether it is in a subprogram that ran before.
    pub(crate) repeated: bool,
}

/// Where a program starts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Entry {
    file: usize,
    at: usize,
}

/// A call under way.
#[derive(Clone, Copy, Debug)]
struct Call {
    entry: Entry,
    repeats_left: u32,
    back_file: usize,
    back_at: usize,
    /// Whether its blocks are counted as read: the first time only.
    counts: bool,
}

impl<'a> Interpreter<'a> {
    /// Runs the program to its end.
    pub(crate) fn run(&mut self) {
        let mut block = Block::default();
        self.look_at_encoding();
        while !self.flow.ended {
            self.step(&mut block);
        }
        self.look_behind_end();
    }

    /// Runs the program to its end and shows every block each time it has run.
    pub(crate) fn run_watched(&mut self, mut watch: impl FnMut(&Self, &Block, Shown)) {
        let mut block = Block::default();
        self.look_at_encoding();
        while !self.flow.ended {
            let repeated = self.flow.calls.last().is_some_and(|call| !call.counts);
            let (depth, moves_before) = (self.flow.calls.len(), self.path.len());
            if self.step(&mut block) {
                let moves = self.path.len() - moves_before;
                watch(self, &block, Shown { depth, moves, repeated });
            }
        }
        self.look_behind_end();
    }

    /// Runs one line; `false` if there is no block on it.
    #[inline]
    fn step(&mut self, block: &mut Block) -> bool {
        if self.flow.at >= self.lines.text.len() {
            self.text_ended();
            return false;
        }
        let mut context =
            LineContext { rules: &self.rules, parameters: &self.parameters, log: &mut self.log };
        self.flow.next = self.lines.read(self.flow.at, block, &mut context);
        if !block.blank {
            self.run_block(block);
        }
        self.flow.at = self.flow.next;
        !block.blank
    }

    #[inline]
    fn run_block(&mut self, block: &Block) {
        if block.percent {
            return self.percent(block);
        }
        if self.flow.calls.is_empty() {
            self.blocks += 1;
        } else if !self.count_in_subprogram(block) {
            return;
        }
        self.flow.blocks_run += 1;
        if block.program_number.is_some() && self.meets_program_number(block) {
            return;
        }
        if block.deletable && self.context.block_delete {
            return;
        }
        self.flow.words_seen |= block.present != 0 || block.groups != 0;
        self.execute(block);
    }

    /// Counts a block in a subprogram; `false` if the bound is reached.
    fn count_in_subprogram(&mut self, block: &Block) -> bool {
        if self.flow.calls.last().is_some_and(|call| call.counts) {
            self.blocks += 1;
        }
        self.count_repeated(1, block)
    }

    /// Counts what is bounded; `false`, reported, if the bound is reached, which ends the reading.
    pub(crate) fn count_repeated(&mut self, count: u64, block: &Block) -> bool {
        self.flow.repeated += count;
        let most = self.context.dialect.max_blocks_run;
        if self.flow.repeated <= most {
            return true;
        }
        if !self.flow.ended {
            let source = self.dialect_setting("max_blocks_run");
            let message = || format!("more than {most} blocks run by repeats");
            self.log.say_with(faults::RUN_TOO_LONG, block.span(), message, |finding| {
                finding.with_limit(most as f64, source)
            });
            self.flow.ended = true;
        }
        false
    }

    /// Passes over the mark that some editors put before UTF-8 text; refuses UTF-16.
    fn look_at_encoding(&mut self) {
        let text = self.lines.text;
        if text.starts_with(b"\xef\xbb\xbf") {
            self.flow.at = 3;
        } else if text.starts_with(b"\xff\xfe") || text.starts_with(b"\xfe\xff") {
            let message = || "the file is in UTF-16, two bytes to a character".to_owned();
            self.log.say(faults::ENCODING_NOT_READABLE, Span::new(0, 2), message);
            self.flow.ended = true;
            self.flow.next = text.len();
        }
    }

    fn percent(&mut self, block: &Block) {
        if !self.flow.calls.is_empty() {
            if self.flow.is_inside_call() {
                self.text_ended();
                self.flow.next = self.flow.at;
            }
        } else if !self.flow.words_seen && self.flow.opened.is_none() {
            self.flow.opened = Some(block.span());
        } else {
            if self.flow.opened.is_some() {
                self.stated.percent_end = Some(block.at);
            }
            self.flow.ran_out = self.flow.opened.is_none();
            self.flow.closed = true;
            self.flow.ended = true;
        }
    }

    /// The text of the file is over, without M2, M30 or M99.
    fn text_ended(&mut self) {
        match self.flow.calls.last() {
            None => {
                self.flow.ended = true;
                self.flow.ran_out = true;
            }
            Some(call) => {
                let file = &self.sources.files()[call.entry.file];
                let start = file.base + call.entry.at as u32;
                let span = crate::spans::block_span(self.sources, start);
                let message = || "the subprogram that starts here has no M99".to_owned();
                self.log.say(faults::SUBPROGRAM_WITHOUT_RETURN, span, message);
                self.return_from_call();
                self.flow.at = self.flow.next;
            }
        }
    }

    /// A program number in the way; `true` if the block is not to be run.
    fn meets_program_number(&mut self, block: &Block) -> bool {
        let at = (block.at - self.lines.base) as usize;
        match self.flow.calls.last() {
            Some(call) if call.entry.at == at => false,
            Some(_) => {
                self.text_ended();
                self.flow.next = self.flow.at;
                true
            }
            None if !self.flow.words_seen => false,
            None => {
                let message = || "the program runs into another one".to_owned();
                self.log.say(faults::PROGRAM_RUNS_INTO_NEXT, block.span(), message);
                self.flow.ended = true;
                true
            }
        }
    }

    /// M98, M99.
    pub(crate) fn call_or_return(&mut self, block: &Block, code: Code, used: &mut u32) {
        if code == Code::M98 {
            *used |= Letter::of(b'P').bit() | Letter::of(b'L').bit();
            self.call(block);
        } else if self.flow.calls.is_empty() {
            let message = || "M99 in the main program".to_owned();
            self.log.say(faults::RETURN_WITHOUT_CALL, block.span(), message);
            self.flow.ended = true;
        } else {
            self.return_from_call();
        }
    }

    fn call(&mut self, block: &Block) {
        let Some(p) = block.get(b'P') else {
            let message = || "M98 without P".to_owned();
            return self.log.say(faults::WORD_MISSING, block.span(), message);
        };
        let Some(number) = self.count_word(block, b'P', p) else { return };
        let repeats = self.repeat_count(block);
        let Some((entry, repeats)) = self.find_program(number, repeats) else {
            let message = || format!("there is no subprogram {number}");
            return self.log.say(faults::SUBPROGRAM_MISSING, self.word(block, 'P'), message);
        };
        let most = self.context.dialect.max_nesting as usize;
        if self.flow.calls.len() >= most {
            let source = self.dialect_setting("max_nesting");
            let message = || format!("subprograms are nested more than {most} deep");
            self.log.say_with(faults::SUBPROGRAMS_TOO_DEEP, block.span(), message, |finding| {
                finding.with_limit(most as f64, source)
            });
            return;
        }
        self.flow.calls.push(Call {
            entry,
            repeats_left: repeats,
            back_file: self.flow.file,
            back_at: self.flow.next,
            counts: !self.flow.seen.contains(&entry),
        });
        self.go_to(entry.file, entry.at);
    }

    /// L of a call or cycle: 1 if left out.
    pub(crate) fn repeat_count(&mut self, block: &Block) -> u32 {
        let Some(value) = block.get(b'L') else { return 1 };
        let nearest = value.round();
        if (value - nearest).abs() > 1e-4 || !(1.0..=f64::from(u32::MAX)).contains(&nearest) {
            let message = || format!("L{value} is not a whole number of 1 or more");
            self.log.say(faults::REPEAT_COUNT_WRONG, self.word(block, 'L'), message);
            return 1;
        }
        nearest as u32
    }

    fn return_from_call(&mut self) {
        let Some(call) = self.flow.calls.last_mut() else { return };
        call.counts = false;
        if call.repeats_left > 1 {
            call.repeats_left -= 1;
            let entry = call.entry;
            return self.go_to(entry.file, entry.at);
        }
        let call = *call;
        self.flow.calls.pop();
        self.flow.seen.insert(call.entry);
        self.go_to(call.back_file, call.back_at);
    }

    fn go_to(&mut self, file: usize, at: usize) {
        if file != self.flow.file {
            let source = &self.sources.files()[file];
            self.lines = LineReader::new(source.bytes(), source.base);
            self.flow.file = file;
        }
        self.flow.next = at;
    }

    /// Finds a program by number, or by number with repeats packed before its last four digits.
    fn find_program(&mut self, number: u32, repeats: u32) -> Option<(Entry, u32)> {
        if self.flow.index.is_none() {
            self.flow.index = Some(self.index_programs());
        }
        let index = self.flow.index.as_ref()?;
        if let Some(&entry) = index.get(&number) {
            return Some((entry, repeats));
        }
        let packed = number / 10_000;
        let entry = *index.get(&(number % 10_000)).filter(|_| packed > 0)?;
        Some((entry, packed.saturating_mul(repeats)))
    }

    /// Every program of the files by its number: lines that begin with `O` or `:`, and files named
    /// by number that hold none.
    fn index_programs(&mut self) -> BTreeMap<u32, Entry> {
        let mut index: BTreeMap<u32, Entry> = BTreeMap::new();
        let sources = self.sources;
        for (file, source) in sources.files().iter().enumerate() {
            let text = source.bytes();
            let mut found = false;
            for (at, number) in numbered_lines(text) {
                found = true;
                let entry = Entry { file, at };
                if index.entry(number).or_insert(entry) != &entry {
                    let start = source.base + at as u32;
                    let span = crate::spans::block_span(sources, start);
                    let message = || format!("program number {number} is there twice");
                    self.log.say(faults::SUBPROGRAM_TWICE, span, message);
                }
            }
            if !found && let Some(number) = number_in_name(&source.name) {
                index.entry(number).or_insert(Entry { file, at: 0 });
            }
        }
        index
    }

    /// What stands behind the end of the program, and whether `%` marks are paired.
    fn look_behind_end(&mut self) {
        let (text, base) = (self.lines.text, self.lines.base);
        let rest = self.flow.next.min(text.len());
        if let Some(span) = self.flow.opened
            && !self.flow.closed
            && !has_percent_line(&text[rest..])
        {
            let message = || "the program begins with % and does not end with %".to_owned();
            self.log.say(faults::PERCENT_UNPAIRED, span, message);
        }
        if !self.rules.strict
            && self.stated.end.is_some()
            && let Some(at) = line_left_over(text, rest)
        {
            let span = crate::spans::block_span(self.sources, base + at as u32);
            let message = || "lines from here on are behind the end of the program".to_owned();
            self.log.say(faults::TEXT_AFTER_END, span, message);
        }
        let unmarked = self.flow.opened.is_none() && self.flow.ran_out;
        if unmarked && !self.context.checks_follow {
            let last = text.iter().rposition(|b| !b.is_ascii_whitespace()).unwrap_or(0);
            let end = base + last as u32 + 1;
            let message = || "the program ends without M2, M30 or %".to_owned();
            self.log.say(faults::END_MISSING, Span::new(end.saturating_sub(1), end), message);
        }
    }
}

impl Flow {
    /// Whether the call under way has run past its first line.
    fn is_inside_call(&self) -> bool {
        self.calls.last().is_some_and(|call| self.at > call.entry.at)
    }
}
