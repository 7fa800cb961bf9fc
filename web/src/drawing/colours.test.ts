import { expect, it } from 'vitest';
import { parseColour, toolToken } from './colours';

it('reads a colour', () => {
  expect(parseColour('#ff8000')).toEqual([1, 128 / 255, 0]);
  expect(parseColour('red')).toEqual([0, 0, 0]);
});

it('repeats colours after the eighth tool', () => {
  expect(toolToken(0)).toBe('var(--tool-1)');
  expect(toolToken(8)).toBe('var(--tool-1)');
});
