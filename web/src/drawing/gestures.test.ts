import { describe, expect, it } from 'vitest';
import { Gestures, wheelFactor } from './gestures';

describe('gestures', () => {
  it('takes a short press in place for a tap, though the finger trembles', () => {
    const g = new Gestures();
    g.down(1, [100, 100], 0);
    expect(g.move(1, [104, 103])).toBeNull();
    expect(g.up(1, 200)).toEqual([104, 103]);
    expect(g.active).toBe(false);
  });

  it('does not take a drag or a long press for a tap', () => {
    const g = new Gestures();
    g.down(1, [0, 0], 0);
    g.move(1, [50, 0]);
    g.move(1, [0, 0]);
    expect(g.up(1, 100)).toBeNull();
    g.down(1, [0, 0], 0);
    expect(g.up(1, 5000)).toBeNull();
  });

  it('pans with one finger', () => {
    const g = new Gestures();
    g.down(1, [0, 0], 0);
    expect(g.move(1, [20, 5])).toEqual({ dx: 20, dy: 5, factor: 1, at: [20, 5] });
    expect(g.move(1, [25, 5])).toMatchObject({ dx: 5, dy: 0 });
  });

  it('zooms about the middle of two fingers', () => {
    const g = new Gestures();
    g.down(1, [100, 100], 0);
    g.down(2, [200, 100], 0);
    const change = g.move(2, [300, 100]);
    expect(change?.factor).toBeCloseTo(2, 12);
    expect(change?.at).toEqual([200, 100]);
    expect(change?.dx).toBe(50);
  });

  it('does not jump or tap when one of two fingers leaves', () => {
    const g = new Gestures();
    g.down(1, [100, 100], 0);
    g.down(2, [200, 100], 0);
    expect(g.up(2, 50)).toBeNull();
    expect(g.move(1, [110, 100])).toMatchObject({ dx: 10, dy: 0, factor: 1 });
    expect(g.up(1, 60)).toBeNull();
    g.down(3, [10, 10], 100);
    expect(g.up(3, 150)).toEqual([10, 10]);
  });

  it('ignores a third finger', () => {
    const g = new Gestures();
    g.down(1, [0, 0], 0);
    g.down(2, [100, 0], 0);
    g.down(3, [500, 500], 0);
    expect(g.move(3, [600, 600])).toBeNull();
  });

  it('never divides by nothing when two fingers lie on one spot', () => {
    const g = new Gestures();
    g.down(1, [50, 50], 0);
    g.down(2, [50, 50], 0);
    expect(g.move(2, [60, 50])?.factor).toBe(1);
  });
});

describe('wheelFactor', () => {
  it('goes in and comes back to the same', () => {
    expect(wheelFactor(-120, 0, false) * wheelFactor(120, 0, false)).toBeCloseTo(1, 12);
    expect(wheelFactor(-120, 0, false)).toBeGreaterThan(1);
  });

  it('is bounded for a wheel that spins', () => {
    expect(wheelFactor(-1e6, 0, true)).toBeLessThan(60);
  });
});
