import { describe, expect, it } from 'vitest';
import type { TimeSpan } from '../api/types';
import { playheadAt, segmentAt, startTimes } from './playhead';
import { drawingOf } from './testing';

const drawing = drawingOf([
  { ends: [0, 0, 100, 0], time: 10, z: 5, tool: 0, line: 3 },
  { ends: [100, 0, 100, 50], time: 40, z: -5, tool: 1, line: 8 },
  { ends: [100, 50, 0, 50], time: 50, z: -5, tool: 1, line: 9 },
]);
const span = (from_s: number, to_s: number, kind: TimeSpan['kind']): TimeSpan => ({
  from_s,
  to_s,
  kind,
  label: '',
  tool: null,
});

describe('startTimes', () => {
  it('lets a segment start when the one before ends', () => {
    expect([...startTimes(drawing, [])]).toEqual([0, 10, 40]);
  });

  it('waits for a tool change between two segments', () => {
    const spans = [span(0, 10, 'tool'), span(10, 30, 'change'), span(30, 50, 'tool')];
    expect([...startTimes(drawing, spans)]).toEqual([0, 30, 40]);
  });

  it('takes several pauses in a row', () => {
    const spans = [span(10, 20, 'change'), span(20, 35, 'hand-load')];
    expect([...startTimes(drawing, spans)]).toEqual([0, 35, 40]);
  });
});

describe('playheadAt', () => {
  const starts = startTimes(drawing, [span(10, 30, 'change')]);

  it('finds the segment that runs', () => {
    expect(segmentAt(drawing, 0)).toBe(0);
    expect(segmentAt(drawing, 10)).toBe(1);
    expect(segmentAt(drawing, 50)).toBe(3);
  });

  it('stands in proportion on it', () => {
    expect(playheadAt(drawing, starts, 5)).toMatchObject({ x: 50, y: 0, line: 3 });
    expect(playheadAt(drawing, starts, 35)).toMatchObject({ x: 100, y: 25, z: 0, tool: 1 });
  });

  it('stands still while the tool is changed', () => {
    expect(playheadAt(drawing, starts, 20)).toMatchObject({ x: 100, y: 0, segment: 1 });
  });

  it('stays at the end after the end, and is nowhere without a drawing', () => {
    expect(playheadAt(drawing, starts, 999)).toMatchObject({ x: 0, y: 50 });
    expect(playheadAt(drawingOf([]), new Float32Array(), 1)).toBeNull();
  });
});
