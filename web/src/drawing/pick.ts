import { SegmentClass, type DrawingData } from './parse';
import { toTable, type Point, type View } from './view';

/** A finger hits what lies within this distance, pixels: half of a touch target. */
export const PICK_RADIUS_PX = 24;
/** A rapid move is taken only if it is nearer than a cut by this much, pixels: people mean the cut. */
const RAPID_HANDICAP_PX = 8;

/** The segment nearest to a place on the drawing; -1 if none is near. */
export function pickSegment(
  drawing: DrawingData,
  view: View,
  at: Point,
  only: number | null = null,
): number {
  const [x, y] = toTable(view, at);
  const handicap = RAPID_HANDICAP_PX / view.scale;
  let nearest = -1;
  let best = PICK_RADIUS_PX / view.scale;
  for (let i = 0; i < drawing.count; i++) {
    if (only !== null && drawing.tool[i] !== only) continue;
    const extra = drawing.kind[i] === SegmentClass.rapid ? handicap : 0;
    const distance = distanceTo(drawing.ends, 4 * i, x, y) + extra;
    if (distance < best) {
      best = distance;
      nearest = i;
    }
  }
  return nearest;
}

function distanceTo(ends: Float32Array, k: number, x: number, y: number): number {
  const dx = ends[k + 2] - ends[k];
  const dy = ends[k + 3] - ends[k + 1];
  const length2 = dx * dx + dy * dy;
  const along = length2 > 0 ? ((x - ends[k]) * dx + (y - ends[k + 1]) * dy) / length2 : 0;
  const part = Math.min(Math.max(along, 0), 1);
  const ex = x - ends[k] - part * dx;
  const ey = y - ends[k + 1] - part * dy;
  return Math.sqrt(ex * ex + ey * ey);
}

/** The segments that show a move; where moves are merged, those of the move that holds it. */
export function segmentsOfMove(drawing: DrawingData, move: number): number[] {
  const found: number[] = [];
  const first = lowerBound(drawing.move, move);
  for (let i = first; i < drawing.count && drawing.move[i] === drawing.move[first]; i++)
    found.push(i);
  return found;
}

/** The segments that a line of the program gives, each time it is run. */
export function segmentsOfLine(drawing: DrawingData, line: number): number[] {
  const found: number[] = [];
  for (let i = drawing.line.indexOf(line); i >= 0; i = drawing.line.indexOf(line, i + 1))
    found.push(i);
  return found;
}

function lowerBound(sorted: Uint32Array, value: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle] < value) low = middle + 1;
    else high = middle;
  }
  return low;
}
