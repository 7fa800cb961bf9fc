import type { Report } from '../api/types';
import type { Formatter } from './format';
import type { Answer, Group } from './verdict';
import type { Words } from './words/en';

/** The few words that a question's card carries. */
export function cardWords(answer: Answer, report: Report, words: Words, format: Formatter): string {
  const { answers } = words;
  const { stop, care, note, groups } = answer;
  if (answer.question === 'time' && stop === 0) return format.duration(report.summary.time_s);
  if (answer.question === 'release') return releaseWords(answer, words, format);
  if (answer.state === 'open') return answers.open;
  if (stop > 0) return answers.no(brief(groups[0], words));
  if (care === 1) return answers.look(brief(groups[0], words));
  if (care > 1) return answers.lookAt(format.number(care));
  if (note > 0) return answers.yesNotes(format.number(note), note === 1);
  return answers.yes;
}

function releaseWords({ stop, care }: Answer, { answers }: Words, format: Formatter): string {
  if (stop > 0) return answers.notYet(format.number(stop), stop === 1);
  if (care > 0) return answers.lookAt(format.number(care));
  return answers.nothingFound;
}

function brief(group: Group, words: Words): string {
  return words.checks[group.check]?.brief ?? words.answers.brief(group.check);
}

/** The verdict in one sentence. */
export function verdictWords(
  { stop, care }: Answer,
  { verdict }: Words,
  format: Formatter,
): string {
  if (stop > 0) return verdict.stop(format.number(stop), stop === 1);
  if (care > 0) return verdict.care(format.number(care), care === 1);
  return verdict.clear;
}
