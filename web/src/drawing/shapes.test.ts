import { describe, expect, it } from 'vitest';
import { boxOf, outlinePath, segmentsBox, segmentsPath } from './shapes';
import { drawingOf } from './testing';
import type { View } from './view';

const view: View = { x: 0, y: 0, scale: 2, width: 100, height: 100 };
const drawing = drawingOf([
  { ends: [0, 0, 10, 0], time: 1 },
  { ends: [10, 0, 10, 10], time: 2 },
  { ends: [20, 20, 5, -5], time: 3 },
]);

describe('paths', () => {
  it('close an outline', () => {
    expect(
      outlinePath(view, [
        [0, 0],
        [10, 0],
        [10, 5],
      ]),
    ).toBe('M50 50L70 50L70 40Z');
    expect(outlinePath(view, [])).toBe('');
  });

  it('join segments that meet and lift the pen where they do not', () => {
    expect(segmentsPath(view, drawing, [0, 1, 2])).toBe('M50 50L70 50L70 30M90 10L60 60');
  });
});

describe('boxes', () => {
  it('hold all ends', () => {
    expect(segmentsBox(drawing, [1, 2])).toEqual({ min: [5, -5], max: [20, 20] });
    expect(segmentsBox(drawing, [])).toBeNull();
    expect(
      boxOf([
        [1, 2],
        [3, -4],
      ]),
    ).toEqual({ min: [1, -4], max: [3, 2] });
    expect(boxOf([])).toBeNull();
  });
});
