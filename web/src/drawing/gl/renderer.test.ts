import { describe, expect, it } from 'vitest';
import { placeOf } from './renderer';

describe('placeOf', () => {
  const drawn = { x: 100, y: 50, scale: 2, width: 800, height: 400 };

  it('is the whole texture for the same view', () => {
    expect(placeOf(drawn, drawn)).toEqual([0, 0, 1, 1]);
  });

  it('moves with the paper', () => {
    const [left, low] = placeOf(drawn, { ...drawn, x: 140, y: 70 });
    expect(left).toBeCloseTo(0.1, 12);
    expect(low).toBeCloseTo(0.1, 12);
  });

  it('shows a part when closer', () => {
    expect(placeOf(drawn, { ...drawn, scale: 4 })).toEqual([0.25, 0.25, 0.5, 0.5]);
  });
});
