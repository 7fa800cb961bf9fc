import { describe, expect, it } from 'vitest';
import type { Finding, Report, Severity } from '../api/types';
import { QUESTIONS } from './questions';
import { answersOf, firstQuestion, groupsOf } from './verdict';

function finding(check: string, severity: Severity, line = 1): Finding {
  const empty = {
    file: 'a.nc',
    column: 1,
    end_column: 2,
    message: '',
    label: '',
    unit: '',
    help: '',
  };
  return { ...empty, check, severity, line, notes: [] };
}

function report(findings: Finding[], left_out: Report['left_out'] = []): Report {
  return { findings, left_out } as unknown as Report;
}

describe('answers to the six questions', () => {
  it('puts a finding under its question, and all under release', () => {
    const answers = answersOf(
      report([
        finding('travel-exceeded', 'stop'),
        finding('tool-not-measured', 'care'),
        finding('feed-zero', 'stop'),
      ]),
    );
    expect(answers.fit).toMatchObject({ state: 'stop', stop: 1, care: 0 });
    expect(answers.tools).toMatchObject({ state: 'care', care: 1 });
    expect(answers.cut.stop).toBe(1);
    expect(answers.time.state).toBe('clear');
    expect(answers.release).toMatchObject({ state: 'stop', stop: 2, care: 1 });
  });

  it('does not lose a check that it has never heard of', () => {
    expect(answersOf(report([finding('made-up', 'care')])).cut.care).toBe(1);
  });

  it('never calls what is not computed clear', () => {
    expect(answersOf(report([])).hold.state).toBe('open');
  });

  it('has an answer to every question', () => {
    expect(Object.keys(answersOf(report([])))).toEqual([...QUESTIONS]);
  });
});

describe('groups', () => {
  it('come worst first and count what the report leaves out', () => {
    const groups = groupsOf(
      report(
        [
          finding('units-not-stated', 'note'),
          finding('too-deep', 'stop', 3),
          finding('too-deep', 'stop', 9),
        ],
        [{ check: 'too-deep', severity: 'stop', count: 400 }],
      ),
    );
    expect(groups.map((g) => [g.check, g.count, g.findings.length])).toEqual([
      ['too-deep', 402, 2],
      ['units-not-stated', 1, 1],
    ]);
  });
});

describe('the question opened first', () => {
  it('is where the worst finding is', () => {
    const answers = answersOf(
      report([finding('units-not-stated', 'note'), finding('feed-zero', 'stop')]),
    );
    expect(firstQuestion(answers)).toBe('cut');
  });

  it('is the release when there is nothing to look at', () => {
    expect(firstQuestion(answersOf(report([finding('units-not-stated', 'note')])))).toBe('release');
  });
});
