import { describe, expect, it } from 'vitest';
import { fit, keepNear, pan, roundLength, toScreen, toTable, zoomAt, type View } from './view';

const view: View = { x: 500, y: 300, scale: 0.5, width: 800, height: 400 };

describe('view', () => {
  it('puts its middle in the middle and Y upwards', () => {
    expect(toScreen(view, [500, 300])).toEqual([400, 200]);
    expect(toScreen(view, [500, 400])[1]).toBe(150);
  });

  it('comes back from the screen to the same point', () => {
    const [x, y] = toTable(view, toScreen(view, [123.4, -56.7]));
    expect(x).toBeCloseTo(123.4, 9);
    expect(y).toBeCloseTo(-56.7, 9);
  });

  it('keeps the point under the finger while zooming', () => {
    const before = toTable(view, [130, 320]);
    const after = toTable(zoomAt(view, 3.7, [130, 320]), [130, 320]);
    expect(after[0]).toBeCloseTo(before[0], 9);
    expect(after[1]).toBeCloseTo(before[1], 9);
  });

  it('stops at the closest and the widest look', () => {
    expect(zoomAt(view, 1e9, [0, 0]).scale).toBe(120);
    expect(zoomAt(view, 1e-9, [0, 0]).scale).toBe(0.01);
  });

  it('moves the paper with the finger', () => {
    const point = toTable(view, [100, 100]);
    const [px, py] = toScreen(pan(view, 30, -20), point);
    expect(px).toBeCloseTo(130, 9);
    expect(py).toBeCloseTo(80, 9);
  });

  it('shows the whole box inside the padding', () => {
    const padding = { left: 10, right: 90, top: 20, bottom: 40 };
    const box = { min: [0, 0] as [number, number], max: [3100, 1560] as [number, number] };
    const fitted = fit(box, 820, 440, padding);
    const [left, bottom] = toScreen(fitted, box.min);
    const [right, top] = toScreen(fitted, box.max);
    expect(left).toBeGreaterThanOrEqual(10 - 1e-9);
    expect(right).toBeLessThanOrEqual(820 - 90 + 1e-9);
    expect(top).toBeGreaterThanOrEqual(20 - 1e-9);
    expect(bottom).toBeLessThanOrEqual(440 - 40 + 1e-9);
    expect(right - left).toBeCloseTo(720, 6);
  });

  it('survives an empty box and an empty drawing', () => {
    const none = { left: 0, right: 0, top: 0, bottom: 0 };
    const fitted = fit({ min: [5, 5], max: [5, 5] }, 0, 0, none);
    expect(Number.isFinite(fitted.scale)).toBe(true);
    expect(fitted.x).toBe(5);
  });

  it('does not lose the table', () => {
    const kept = keepNear({ ...view, x: -9999, y: 9999 }, { min: [0, 0], max: [100, 50] });
    expect([kept.x, kept.y]).toEqual([0, 50]);
  });
});

describe('roundLength', () => {
  it.each([
    [999, 500],
    [1000, 1000],
    [499, 200],
    [0.37, 0.2],
    [5, 5],
  ])('%f gives %f', (max, round) => expect(roundLength(max)).toBeCloseTo(round, 12));
});
