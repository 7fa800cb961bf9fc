import { expect, it } from 'vitest';
import { MOST_SCROLL_PX, ROW_PX, rowsAt, scrollFor } from './rows';

it('shows the rows in sight', () => {
  expect(rowsAt(0, 300, 1000)).toEqual({ height: 30_000, first: 1, count: 11, top: 0 });
  expect(rowsAt(45, 300, 1000)).toMatchObject({ first: 2, top: 30 });
  expect(rowsAt(29_700, 300, 1000)).toMatchObject({ first: 991, count: 10 });
});

it('does not run past the end of a short or empty program', () => {
  expect(rowsAt(0, 300, 3)).toMatchObject({ first: 1, count: 3 });
  expect(rowsAt(0, 300, 0).count).toBe(0);
});

it.each([5, 400, 1000])('brings line %i of a thousand into sight', (line) => {
  const rows = rowsAt(scrollFor(line, 300, 1000), 300, 1000);
  expect(line).toBeGreaterThanOrEqual(rows.first);
  expect(line).toBeLessThan(rows.first + rows.count);
});

it.each([1, 9_999_999, 20_000_000])('reaches line %i of twenty million', (line) => {
  const total = 20_000_000;
  const rows = rowsAt(scrollFor(line, 600, total), 600, total);
  expect(rows.height).toBe(MOST_SCROLL_PX);
  expect(Math.abs(rows.first + rows.count / 2 - line)).toBeLessThan(600 / ROW_PX);
});
