import { describe, expect, it } from 'vitest';
import { drawingOf, type Stroke } from './testing';
import { INFO_SIZE, strokesOf, toleranceAt } from './tiers';

/** A point of a circle of radius 10 mm. */
const chordEnd = (i: number): [number, number] => [10 * Math.cos(i / 100), 10 * Math.sin(i / 100)];

/** A circle of radius 10 mm in chords of about 0.1 mm. */
function circle(kind = 1, tool = 0): Stroke[] {
  return Array.from({ length: 600 }, (_, i) => ({
    ends: [...chordEnd(i), ...chordEnd(i + 1)] as [number, number, number, number],
    time: i + 1,
    kind,
    tool,
  }));
}

const step = (x: number, time: number, kind: number, tool: number): Stroke => ({
  ends: [x, 0, x + 0.1, 0],
  time,
  kind,
  tool,
});

const starts = (n: number): Float32Array => Float32Array.from({ length: n }, (_, i) => i);

describe('strokesOf', () => {
  it('keeps every segment without a tolerance', () => {
    const strokes = strokesOf(drawingOf(circle(2, 3)), starts(600), 0);
    expect(strokes.count).toBe(600);
    expect(Array.from(strokes.info.subarray(0, 3))).toEqual([0, 1, 2 + 4 * 3]);
  });

  it('draws fewer, none off by more than the tolerance, over the same time', () => {
    const strokes = strokesOf(drawingOf(circle()), starts(600), 1);
    expect(strokes.count).toBeLessThan(65);
    for (let i = 0; i < strokes.count; i++) {
      const [x0, y0, x1, y1] = strokes.ends.subarray(4 * i, 4 * i + 4);
      expect(10 - Math.hypot((x0 + x1) / 2, (y0 + y1) / 2)).toBeLessThan(1);
      if (i > 0) expect(x0).toBe(strokes.ends[4 * i - 2]);
    }
    expect(strokes.info[INFO_SIZE * (strokes.count - 1) + 1]).toBe(600);
  });

  it('never joins another kind, another tool or a gap', () => {
    const drawing = drawingOf([
      step(0, 1, 1, 0),
      step(0.1, 2, 0, 0),
      step(0.2, 3, 0, 1),
      step(9, 4, 0, 1),
    ]);
    expect(strokesOf(drawing, starts(4), 5).count).toBe(4);
  });

  it('takes an empty drawing', () => {
    expect(strokesOf(drawingOf([]), new Float32Array(), 1).count).toBe(0);
  });
});

describe('toleranceAt', () => {
  it('is coarse from afar and exact close by', () => {
    expect(toleranceAt(0.25)).toBe(1);
    expect(toleranceAt(0.02)).toBe(16);
    expect(toleranceAt(4)).toBe(0);
  });
});
