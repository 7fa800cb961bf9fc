import type { DrawingData } from './parse';

/** What is drawn of each segment, in columns. */
export interface Strokes {
  count: number;
  ends: Float32Array;
  /** Start and end time, s, and kind and tool in one number: kind + 4 · tool. */
  info: Float32Array;
}

/** Numbers of `info` a segment. */
export const INFO_SIZE = 4;

/** Coarsenings of the toolpath, mm; 0 is the toolpath as it came. */
const TOLERANCES_MM = [0, 0.25, 1, 4, 16];

/** A coarser toolpath is drawn where it is off by less than this, pixels: nobody sees it. */
const UNSEEN_PX = 0.4;

/** The coarsest tolerance that nobody sees at a scale, mm. */
export function toleranceAt(scale: number): number {
  return TOLERANCES_MM.findLast((tolerance) => tolerance * scale <= UNSEEN_PX) ?? 0;
}

/**
 * Draws segments of one kind and tool that stay within `tolerance` of the place where they start as
 * one. No point of the toolpath is further from what is drawn than `tolerance`.
 */
export function strokesOf(drawing: DrawingData, starts: Float32Array, tolerance: number): Strokes {
  const ends = new Float32Array(4 * drawing.count);
  const info = new Float32Array(INFO_SIZE * drawing.count);
  const limit = tolerance * tolerance;
  let count = 0;
  for (let first = 0; first < drawing.count; count++) {
    const [x, y] = [drawing.ends[4 * first], drawing.ends[4 * first + 1]];
    let last = first;
    while (runsOn(drawing, last) && near(drawing.ends, last, x, y) < limit) last++;
    ends.set([x, y, drawing.ends[4 * last + 2], drawing.ends[4 * last + 3]], 4 * count);
    const what = drawing.kind[first] + 4 * drawing.tool[first];
    info.set([starts[first], drawing.time[last], what], INFO_SIZE * count);
    first = last + 1;
  }
  return { count, ends: ends.subarray(0, 4 * count), info: info.subarray(0, INFO_SIZE * count) };
}

/** Whether the segment after `i` is of its kind and tool and starts where it ends. */
function runsOn({ count, kind, tool, ends }: DrawingData, i: number): boolean {
  const next = i + 1;
  return (
    next < count &&
    kind[next] === kind[i] &&
    tool[next] === tool[i] &&
    ends[4 * next] === ends[4 * i + 2] &&
    ends[4 * next + 1] === ends[4 * i + 3]
  );
}

/** Square of the distance from the end of segment `i` to a point. */
function near(ends: Float32Array, i: number, x: number, y: number): number {
  const dx = ends[4 * i + 2] - x;
  const dy = ends[4 * i + 3] - y;
  return dx * dx + dy * dy;
}
