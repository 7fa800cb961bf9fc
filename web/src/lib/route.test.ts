import { expect, it } from 'vitest';
import { parseRoute, writeRoute } from './route';

it('comes back from the address unharmed', () => {
  const route = { path: ['program', 'a/b ü'], query: { machine: 'long-table', sheet: 'x&y' } };
  expect(parseRoute(writeRoute(route))).toEqual(route);
});

it.each(['', '#', '#/', '#//'])('takes %j for the first place', (hash) => {
  expect(parseRoute(hash)).toEqual({ path: [], query: {} });
});

it('survives an address cut short', () => {
  expect(parseRoute('#/program/%E0%A4%A').path).toEqual(['program', '%E0%A4%A']);
});
