import { expect, it } from 'vitest';
import type { Box } from './view';
import { pickMark, withMarks, type Mark } from './mark';

const view = { x: 0, y: 0, scale: 1, width: 200, height: 200 };
const mark = (id: number, x: number): Mark => ({ id, x, y: 0, severity: 'stop', chosen: false });

it('takes the nearest mark that a finger covers', () => {
  const marks = [mark(1, 0), mark(2, 15), mark(3, 90)];
  expect(pickMark(marks, view, [112, 100], 24)?.id).toBe(2);
  expect(pickMark(marks, view, [150, 100], 24)).toBeNull();
});

it('holds the marks beside the sheet, but not one far astray', () => {
  const box = { min: [0, 0], max: [10, 10] } as Box;
  const limit = { min: [-50, -50], max: [50, 50] } as Box;
  expect(withMarks(box, [mark(1, 40), mark(2, 1e9)], limit)).toEqual({
    min: [0, 0],
    max: [40, 10],
  });
});
