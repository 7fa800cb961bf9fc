import type { Severity } from '../api/types';
import { toScreen, type Point, type View } from './view';

/** A place that a finding points at; machine coordinates, mm. */
export interface Mark {
  /** Index of the finding in the report. */
  id: number;
  x: number;
  y: number;
  severity: Severity;
  chosen: boolean;
}

/** The mark nearest to a place on the drawing within `reach` pixels. */
export function pickMark(
  marks: readonly Mark[],
  view: View,
  at: Point,
  reach: number,
): Mark | null {
  let nearest: Mark | null = null;
  let best = reach;
  for (const mark of marks) {
    const [x, y] = toScreen(view, [mark.x, mark.y]);
    const distance = Math.hypot(x - at[0], y - at[1]);
    if (distance <= best) {
      best = distance;
      nearest = mark;
    }
  }
  return nearest;
}
