import type { Finding, Report, Severity } from '../api/types';
import { QUESTIONS, questionOf, type Question } from './questions';

/** All findings of one check and one weight, in the order of the program. */
export interface Group {
  check: string;
  severity: Severity;
  findings: Finding[];
  /** How many there are, those included that the report does not list. */
  count: number;
}

/** What the report says to one question. */
export interface Answer {
  question: Question;
  /** `open`: nothing computes this yet. */
  state: Severity | 'clear' | 'open';
  /** Worst first. */
  groups: Group[];
  stop: number;
  care: number;
  note: number;
}

const WEIGHT: Record<Severity, number> = { stop: 0, care: 1, note: 2 };

/** Questions that no check answers yet; nobody must read silence as a yes. */
export const OPEN_QUESTIONS: readonly Question[] = ['hold'];

export function groupsOf(report: Report): Group[] {
  const groups = new Map<string, Group>();
  const groupFor = (check: string, severity: Severity): Group => {
    const key = `${severity} ${check}`;
    const group = groups.get(key) ?? { check, severity, findings: [], count: 0 };
    groups.set(key, group);
    return group;
  };
  for (const finding of report.findings) {
    const group = groupFor(finding.check, finding.severity);
    group.findings.push(finding);
    group.count += 1;
  }
  for (const rest of report.left_out) groupFor(rest.check, rest.severity).count += rest.count;
  return [...groups.values()].toSorted((a, b) => WEIGHT[a.severity] - WEIGHT[b.severity]);
}

export function answersOf(report: Report): Record<Question, Answer> {
  const groups = groupsOf(report);
  const answers = QUESTIONS.map((question) => {
    const own =
      question === 'release' ? groups : groups.filter((g) => questionOf(g.check) === question);
    return [question, answerFrom(question, own)] as const;
  });
  return Object.fromEntries(answers) as Record<Question, Answer>;
}

function answerFrom(question: Question, groups: Group[]): Answer {
  const sum = (severity: Severity): number =>
    groups.filter((g) => g.severity === severity).reduce((n, g) => n + g.count, 0);
  const open = OPEN_QUESTIONS.includes(question) && groups.length === 0;
  return {
    question,
    state: open ? 'open' : (groups[0]?.severity ?? 'clear'),
    groups,
    stop: sum('stop'),
    care: sum('care'),
    note: sum('note'),
  };
}

/** The question to open first: where the worst finding is, else the release. */
export function firstQuestion(answers: Record<Question, Answer>): Question {
  const [worst] = answers.release.groups;
  return worst && worst.severity !== 'note' ? questionOf(worst.check) : 'release';
}
