import { getDrawing, getProgram, getReport, getTimeLine, type Setup } from '../api/client';
import { asTrouble, isAbort, type Trouble } from '../api/trouble';
import type { Finding, ProgramView, Report, TimeLine } from '../api/types';
import type { DrawingData } from '../drawing/parse';
import { segmentsOfLine, segmentsOfMove } from '../drawing/pick';
import { startTimes } from '../drawing/playhead';
import { isQuestion, questionOf, type Question } from '../lib/questions';
import { answersOf, firstQuestion } from '../lib/verdict';
import { connection } from './connection.svelte';
import { router } from './route.svelte';
import { ProgramText } from './text.svelte';

type Part = 'program' | 'report' | 'drawing' | 'timeLine';

/** One program on one machine and sheet: what the server says of it, and what is looked at. */
class Job {
  setup = $state.raw<Setup | null>(null);
  program = $state.raw<ProgramView | null>(null);
  report = $state.raw<Report | null>(null);
  drawing = $state.raw<DrawingData | null>(null);
  timeLine = $state.raw<TimeLine | null>(null);
  text = $state.raw<ProgramText | null>(null);
  troubles = $state<Partial<Record<Part, Trouble>>>({});

  /** Moment shown, s. */
  time = $state(0);
  /** The only tool shown in full, as an index into the report's tools. */
  only = $state<number | null>(null);
  /** A line that a person picked; null while the finding is what is marked. */
  line = $state<number | null>(null);
  textOpen = $state(false);
  /** Segments to bring into view; a new list each time it is asked. */
  focus = $state.raw<readonly number[] | null>(null);

  readonly answers = $derived(this.report && answersOf(this.report));
  readonly duration = $derived(this.timeLine?.duration_s ?? this.report?.summary.time_s ?? 0);
  readonly starts = $derived(
    this.drawing ? startTimes(this.drawing, this.timeLine?.spans ?? []) : new Float32Array(),
  );
  readonly question: Question = $derived.by(() => {
    const asked = router.current.query['question'];
    if (isQuestion(asked)) return asked;
    return this.answers ? firstQuestion(this.answers) : 'release';
  });
  readonly finding: Finding | null = $derived.by(() => {
    const asked = this.report?.findings[Number(router.current.query['finding'] ?? Number.NaN)];
    if (asked) return asked;
    if (this.question === 'release') return null;
    return this.answers?.[this.question].groups[0]?.findings[0] ?? null;
  });
  readonly marked: readonly number[] = $derived.by(() => this.segmentsOf(this.line, this.finding));

  private abort = new AbortController();
  private wanted = 0;

  /** Loads a program in its setup; what the server suggests stands in for what is not said. */
  async open(id: number, machine: string | undefined, sheet: string | undefined): Promise<void> {
    if (this.wanted !== id) this.clear();
    this.wanted = id;
    this.abort.abort();
    this.abort = new AbortController();
    const { signal } = this.abort;
    this.troubles = {};
    this.report = null;
    await this.part('program', signal, async () => {
      if (this.program?.id !== id) this.program = await getProgram(id, signal);
      this.text ??= new ProgramText(id, this.program.lines);
      const setup = {
        id,
        machine: machine || this.program.machine,
        sheet: sheet || this.program.sheet,
      };
      this.setup = setup;
      await Promise.all([
        this.part('report', signal, async () => (this.report = await getReport(setup, signal))),
        this.part('drawing', signal, async () => (this.drawing = await getDrawing(setup, signal))),
        this.part(
          'timeLine',
          signal,
          async () => (this.timeLine = await getTimeLine(setup, signal)),
        ),
      ]);
    });
  }

  /** Asks a question; its worst finding becomes the one shown. */
  ask(question: Question): void {
    this.line = null;
    router.refine({ question, finding: null });
  }

  /** Shows a finding here, in the text and on the drawing. */
  choose(finding: Finding): void {
    this.line = null;
    const index = this.report?.findings.indexOf(finding) ?? -1;
    router.refine({ question: questionOf(finding.check), finding: String(index) });
    this.bring(this.segmentsOf(null, finding));
  }

  /** Shows a line in the text and on the drawing. */
  pick(line: number, bring: boolean): void {
    this.line = line;
    if (bring) this.bring(this.segmentsOf(line, null));
  }

  /** Opens the text at a line. */
  showText(line: number): void {
    this.textOpen = true;
    this.line = null;
    if (this.finding?.line !== line) this.line = line;
  }

  /** Shows the sheet at the moment at which a finding's move ends. */
  showMoment(finding: Finding): void {
    this.time = this.momentOf(finding) ?? this.time;
    this.bring(this.segmentsOf(null, finding));
  }

  /** Loads again what did not come. */
  again(): void {
    const { machine, sheet } = this.setup ?? {};
    this.text?.again();
    void this.open(this.wanted, machine, sheet);
  }

  /** When the move of a finding is over, s; null if it has none. */
  momentOf(finding: Finding): number | null {
    const last = this.segmentsOf(null, finding).at(-1);
    return this.drawing && last !== undefined ? this.drawing.time[last] : null;
  }

  private bring(segments: readonly number[]): void {
    if (segments.length > 0) this.focus = segments;
  }

  private segmentsOf(line: number | null, finding: Finding | null): readonly number[] {
    const { drawing } = this;
    if (!drawing) return [];
    if (line !== null) return segmentsOfLine(drawing, line);
    if (finding && typeof finding.move_index === 'number')
      return segmentsOfMove(drawing, finding.move_index);
    return finding && finding.line > 0 && finding.file === this.report?.program.file
      ? segmentsOfLine(drawing, finding.line)
      : [];
  }

  private async part(part: Part, signal: AbortSignal, load: () => Promise<unknown>): Promise<void> {
    try {
      await load();
    } catch (thrown) {
      if (signal.aborted || isAbort(thrown)) return;
      connection.noticed(thrown);
      this.troubles[part] = asTrouble(thrown);
    }
  }

  private clear(): void {
    this.setup = null;
    this.program = null;
    this.report = null;
    this.drawing = null;
    this.timeLine = null;
    this.text = null;
    this.time = 0;
    this.only = null;
    this.line = null;
    this.focus = null;
  }
}

export const job = new Job();
