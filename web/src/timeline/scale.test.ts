import { describe, expect, it } from 'vitest';
import type { Track } from '../api/types';
import { areaPath, marksOf, timeAfterKey, timeOf, topOf, xOf } from './scale';

describe('marks', () => {
  it('stand at round moments with room for their clocks', () => {
    const marks = marksOf(2472, 1000);
    expect(marks.slice(0, 3)).toEqual([0, 300, 600]);
    expect(marks.at(-1)).toBe(2400);
  });

  it('are few on a narrow time line and for a run of days', () => {
    expect(marksOf(2472, 200)).toEqual([0, 900, 1800]);
    expect(marksOf(40 * 86400, 400).length).toBeLessThan(7);
  });

  it('survive a run that takes no time', () => {
    expect(marksOf(0, 500)).toEqual([0]);
    expect(xOf(1, 0, 500)).toBe(0);
  });
});

it('comes back from a place to the same moment and never leaves the run', () => {
  expect(timeOf(xOf(600, 2400, 900), 2400, 900)).toBeCloseTo(600, 9);
  expect(timeOf(-50, 2400, 900)).toBe(0);
  expect(timeOf(5000, 2400, 900)).toBe(2400);
});

describe('keys', () => {
  it('go in hundredths and tenths, and to both ends', () => {
    expect(timeAfterKey('ArrowRight', 0, 1000)).toBe(10);
    expect(timeAfterKey('PageDown', 500, 1000)).toBe(400);
    expect(timeAfterKey('End', 5, 1000)).toBe(1000);
    expect(timeAfterKey('ArrowLeft', 3, 1000)).toBe(0);
    expect(timeAfterKey('a', 3, 1000)).toBeNull();
  });
});

const track = (high: number[]): Track => ({
  name: 'feed',
  unit: 'mm/min',
  step_s: 5,
  low: high,
  high,
});

describe('the area of a track', () => {
  it('steps from value to value', () => {
    expect(areaPath(track([10, 0]), 10, { width: 100, height: 40, top: 10 })).toBe(
      'M0 40L0 0L50 0L50 40L100 40L100 40Z',
    );
  });

  it('is empty where nothing happens', () => {
    expect(areaPath(track([0, 0]), 10, { width: 100, height: 40, top: 0 })).toBe('');
  });

  it('is cut off at a ceiling, so that rapid moves do not hide the feed', () => {
    expect(topOf(track([6000, 60000]), 6000)).toBe(6000);
    expect(topOf(track([3000, 2000]), 6000)).toBe(3000);
    expect(topOf(track([3000]), null)).toBe(3000);
    expect(areaPath(track([20, 5]), 10, { width: 100, height: 40, top: 10 })).toBe(
      'M0 40L0 0L50 0L50 20L100 20L100 40Z',
    );
  });
});
