import { describe, expect, it } from 'vitest';
import type { Report } from '../api/types';
import { cardWords, verdictWords } from './answer-words';
import { Formatter } from './format';
import type { Answer } from './verdict';
import de from './words/de';
import en from './words/en';

const format = new Formatter('en', 'mm');
const report = { summary: { time_s: 2472 } } as Report;
const none: Answer = { question: 'fit', state: 'clear', groups: [], stop: 0, care: 0, note: 0 };
const group = (check: string, severity: 'stop' | 'care') => ({
  check,
  severity,
  findings: [],
  count: 1,
});
const words = (answer: Partial<Answer>, catalogue = en): string =>
  cardWords({ ...none, ...answer }, report, catalogue, format);

describe('the words on a card', () => {
  it('say yes only where checks looked and found nothing', () => {
    expect(words({})).toBe('Yes');
    expect(words({ note: 1, state: 'note' })).toBe('Yes, 1 note');
    expect(words({ question: 'hold', state: 'open' })).toBe('Not computed yet');
  });

  it('name the worst', () => {
    expect(words({ stop: 2, groups: [group('outside-sheet', 'stop')] })).toBe(
      'No: beside the sheet',
    );
    expect(words({ care: 1, groups: [group('tool-not-measured', 'care')] })).toBe(
      'Look: not measured',
    );
    expect(words({ care: 3, groups: [group('tool-not-measured', 'care')] })).toBe('3 to look at');
    expect(words({ stop: 1, groups: [group('brand-new-check', 'stop')] })).toBe(
      'No: brand new check',
    );
  });

  it('tell the time, and whether the run may be released', () => {
    expect(words({ question: 'time' }).replaceAll('\u202f', ' ')).toBe('41 min 12 s');
    expect(words({ question: 'release', stop: 1 })).toBe('Not yet: 1 stop');
    expect(words({ question: 'release' })).toBe('Nothing found');
  });

  it('speak German', () => {
    expect(words({ stop: 2, groups: [group('outside-sheet', 'stop')] }, de)).toBe(
      'Nein: neben der Platte',
    );
  });
});

it('gives the verdict in one sentence', () => {
  expect(verdictWords({ ...none, stop: 3 }, en, format)).toBe('3 findings must stop this run.');
  expect(verdictWords({ ...none, care: 1 }, en, format)).toContain('one finding needs a look');
  expect(verdictWords(none, en, format)).toBe('No check found a fault.');
});
