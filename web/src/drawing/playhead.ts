import type { TimeSpan } from '../api/types';
import type { DrawingData } from './parse';

/** Where the tool tip is at a moment. */
export interface Playhead {
  segment: number;
  x: number;
  y: number;
  z: number;
  tool: number;
  line: number;
}

/**
 * When each segment starts, s. A segment starts when the one before ends, or, if the machine changes
 * a tool or waits between them, when that is over.
 */
export function startTimes(drawing: DrawingData, spans: readonly TimeSpan[]): Float32Array {
  const starts = new Float32Array(drawing.count);
  const pauses = spans.filter((span) => span.kind !== 'tool');
  let pause = 0;
  let before = 0;
  for (let i = 0; i < drawing.count; i++) {
    const end = drawing.time[i];
    let start = before;
    for (; pause < pauses.length && pauses[pause].to_s <= end; pause++) {
      if (pauses[pause].from_s >= before - PAUSE_SLACK_S)
        start = Math.max(start, pauses[pause].to_s);
    }
    starts[i] = Math.min(start, end);
    before = end;
  }
  return starts;
}

/** Times come as 32-bit numbers: a pause may seem to start this much before the move ends, s. */
const PAUSE_SLACK_S = 0.01;

/** The first segment that is not over at `time`; `count` when all are. */
export function segmentAt(drawing: DrawingData, time: number): number {
  let low = 0;
  let high = drawing.count;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (drawing.time[middle] > time) high = middle;
    else low = middle + 1;
  }
  return low;
}

export function playheadAt(
  drawing: DrawingData,
  starts: Float32Array,
  time: number,
): Playhead | null {
  if (drawing.count === 0) return null;
  const segment = Math.min(segmentAt(drawing, time), drawing.count - 1);
  const span = drawing.time[segment] - starts[segment];
  const raw = span > 0 ? (time - starts[segment]) / span : 1;
  const part = Math.min(Math.max(raw, 0), 1);
  const [x0, y0, x1, y1] = drawing.ends.subarray(4 * segment, 4 * segment + 4);
  const z0 = segment > 0 ? drawing.z[segment - 1] : drawing.z[segment];
  return {
    segment,
    x: x0 + part * (x1 - x0),
    y: y0 + part * (y1 - y0),
    z: z0 + part * (drawing.z[segment] - z0),
    tool: drawing.tool[segment],
    line: drawing.line[segment],
  };
}
