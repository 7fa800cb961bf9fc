import { describe, expect, it } from 'vitest';
import { pickSegment, segmentsOfLine, segmentsOfMove } from './pick';
import { drawingOf } from './testing';
import type { View } from './view';

const view: View = { x: 0, y: 0, scale: 1, width: 400, height: 400 };
const drawing = drawingOf([
  { ends: [-100, 0, 100, 0], time: 1, kind: 0, tool: 0, line: 4 },
  { ends: [-100, 10, 100, 10], time: 2, kind: 1, tool: 1, line: 5 },
  { ends: [100, 10, 100, 10], time: 3, kind: 2, tool: 1, line: 5 },
  { ends: [100, 10, 90, 80], time: 4, kind: 1, tool: 2, line: 9 },
]);

describe('pickSegment', () => {
  it('prefers a cut to a rapid move that is a little nearer', () => {
    expect(pickSegment(drawing, view, [200, 196])).toBe(1);
    expect(pickSegment(drawing, view, [200, 204])).toBe(0);
  });

  it('finds nothing where nothing is', () => {
    expect(pickSegment(drawing, view, [10, 390])).toBe(-1);
  });

  it('leaves out other tools when one is looked at', () => {
    expect(pickSegment(drawing, view, [292, 150], 1)).toBe(-1);
    expect(pickSegment(drawing, view, [292, 150])).toBe(3);
  });
});

describe('segments of a move or a line', () => {
  it('finds every run', () => {
    expect(segmentsOfLine(drawing, 5)).toEqual([1, 2]);
    const again = { ...drawing, line: new Uint32Array([7, 5, 7, 5]) };
    expect(segmentsOfLine(again, 7)).toEqual([0, 2]);
    expect(segmentsOfLine(drawing, 6)).toEqual([]);
    expect(segmentsOfMove(drawing, 3)).toEqual([3]);
  });

  it('takes the segment that a move was merged into', () => {
    const merged = { ...drawing, move: new Uint32Array([2, 9, 9, 20]) };
    expect(segmentsOfMove(merged, 5)).toEqual([1, 2]);
    expect(segmentsOfMove(merged, 99)).toEqual([]);
  });
});
