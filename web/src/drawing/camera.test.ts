import { expect, it } from 'vitest';
import { Camera } from './camera.svelte';
import { toScreen, type Box } from './view';

const home: Box = { min: [0, 0], max: [2500, 1250] };

function camera(): Camera {
  const made = new Camera();
  made.arrange(840, 440, home, home);
  return made;
}

it('stays fitted to the sheet while the drawing changes its size', () => {
  const c = camera();
  const before = c.view!.scale;
  c.arrange(1680, 880, home, home);
  expect(c.view!.scale).toBeGreaterThan(before * 1.9);
});

it('keeps what a person chose when the drawing changes its size', () => {
  const c = camera();
  c.zoom(3);
  const chosen = c.view!.scale;
  c.arrange(1000, 500, home, home);
  expect(c.view!.scale).toBe(chosen);
  c.showHome();
  expect(c.view!.scale).toBeLessThan(chosen);
});

it('brings a box to the middle, close but with its neighbourhood', () => {
  const c = camera();
  c.bring({ min: [2000, 900], max: [2000, 900] });
  const [x, y] = toScreen(c.view!, [2000, 900]);
  expect(Math.abs(x - 420)).toBeLessThan(15);
  expect(Math.abs(y - 220)).toBeLessThan(15);
  expect(c.view!.scale).toBeGreaterThan(0.5);
  expect(c.view!.scale).toBeLessThanOrEqual(1.2);
});

it('does not zoom out to bring what is already close', () => {
  const c = camera();
  c.zoom(4);
  const near = c.view!.scale;
  c.bring({ min: [100, 100], max: [110, 100] });
  expect(c.view!.scale).toBeGreaterThanOrEqual(Math.min(near, 1));
});
