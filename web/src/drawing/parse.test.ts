import { describe, expect, it } from 'vitest';
import { parseDrawing } from './parse';
import { drawingBytes } from './testing';

const strokes = [
  { ends: [0, 0, 10, 0] as [number, number, number, number], time: 1, line: 7, kind: 0, tool: 255 },
  {
    ends: [10, 0, 10, 5] as [number, number, number, number],
    time: 2.5,
    z: -12.25,
    line: 9,
    tool: 3,
  },
  { ends: [10, 5, 0, 5] as [number, number, number, number], time: 3, line: 10, kind: 2 },
];

describe('parseDrawing', () => {
  it('reads every column', () => {
    const d = parseDrawing(drawingBytes(strokes, true));
    expect(d.count).toBe(3);
    expect(d.simplified).toBe(true);
    expect(Array.from(d.ends.subarray(4, 8))).toEqual([10, 0, 10, 5]);
    expect(d.z[1]).toBe(-12.25);
    expect([...d.time]).toEqual([1, 2.5, 3]);
    expect([...d.line]).toEqual([7, 9, 10]);
    expect([...d.kind]).toEqual([0, 1, 2]);
    expect([...d.tool]).toEqual([255, 3, 0]);
  });

  it('takes a drawing without any segment', () => {
    expect(parseDrawing(drawingBytes([])).count).toBe(0);
  });

  it('says what is wrong with bytes that are no drawing', () => {
    expect(() => parseDrawing(new ArrayBuffer(3))).toThrow('3 bytes');
    const html = new TextEncoder().encode('<!doctype html><html>').buffer as ArrayBuffer;
    expect(() => parseDrawing(html)).toThrow('starts with "<!do"');
    expect(() => parseDrawing(drawingBytes(strokes).slice(0, 60))).toThrow('118 should come');
  });
});
