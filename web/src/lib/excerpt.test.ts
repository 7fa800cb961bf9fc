import { describe, expect, it } from 'vitest';
import { excerpt } from './excerpt';

describe('excerpt', () => {
  it('marks columns', () => {
    expect(excerpt('N10 G1 X99', 8, 11)).toEqual({
      before: 'N10 G1 ',
      marked: 'X99',
      after: '',
      cutBefore: 0,
      cutAfter: 0,
    });
  });

  it('shows a line without a mark as it is', () => {
    expect(excerpt('M30')).toMatchObject({ before: '', marked: '', after: 'M30' });
  });

  it('counts characters, not their parts', () => {
    expect(excerpt('(🪚) X9', 5, 7)).toMatchObject({ before: '(🪚) ', marked: 'X9' });
  });

  it('cuts a line of a million characters around the mark', () => {
    const line = `${'a'.repeat(500_000)}XYZ${'b'.repeat(500_000)}`;
    const cut = excerpt(line, 500_001, 500_004, 100);
    expect(cut.marked).toBe('XYZ');
    expect(cut.before.length + cut.marked.length + cut.after.length).toBe(100);
    expect(cut.cutBefore + cut.cutAfter).toBe(1_000_003 - 100);
  });

  it('survives columns beyond the line', () => {
    expect(excerpt('G1', 50, 60)).toMatchObject({ before: 'G1', marked: '', after: '' });
    expect(excerpt('', 1, 1)).toMatchObject({ before: '', marked: '', after: '' });
  });
});
