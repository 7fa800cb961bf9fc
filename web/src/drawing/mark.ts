import type { Severity } from '../api/types';
import { toScreen, union, type Box, type Point, type View } from './view';

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

/** The box with the marks that lie inside `limit`; one far astray must not make all else tiny. */
export function withMarks(box: Box, marks: readonly Mark[], limit: Box | undefined): Box {
  const near = ({ x, y }: Mark): boolean =>
    limit === undefined ||
    (x >= limit.min[0] && x <= limit.max[0] && y >= limit.min[1] && y <= limit.max[1]);
  return marks
    .filter(near)
    .reduce((all, { x, y }) => union(all, { min: [x, y], max: [x, y] }), box);
}
