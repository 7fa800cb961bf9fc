import type { DrawingData } from './parse';
import { toScreen, type Box, type Point, type View } from './view';

/** The closed outline through points of the table, as an SVG path on the drawing. */
export function outlinePath(view: View, points: readonly (readonly number[])[]): string {
  const shown = points.map(([x, y]) => toScreen(view, [x, y]).map(round).join(' '));
  return shown.length > 0 ? `M${shown.join('L')}Z` : '';
}

export function boxPath(view: View, box: Box): string {
  const [[x0, y0], [x1, y1]] = [box.min, box.max];
  return outlinePath(view, [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
  ]);
}

/** Most segments that are marked at once. */
const MOST_MARKED = 4000;

/** Segments of the toolpath as an SVG path on the drawing. */
export function segmentsPath(
  view: View,
  drawing: DrawingData,
  segments: readonly number[],
): string {
  let path = '';
  let [endX, endY] = [Number.NaN, Number.NaN];
  for (const i of segments.slice(0, MOST_MARKED)) {
    const [x0, y0, x1, y1] = drawing.ends.subarray(4 * i, 4 * i + 4);
    if (x0 !== endX || y0 !== endY) path += `M${toScreen(view, [x0, y0]).map(round).join(' ')}`;
    path += `L${toScreen(view, [x1, y1]).map(round).join(' ')}`;
    [endX, endY] = [x1, y1];
  }
  return path;
}

/** The box around segments; null if there are none. */
export function segmentsBox(drawing: DrawingData, segments: readonly number[]): Box | null {
  return boxOf(
    segments.flatMap((i) => {
      const [x0, y0, x1, y1] = drawing.ends.subarray(4 * i, 4 * i + 4);
      return [
        [x0, y0],
        [x1, y1],
      ];
    }),
  );
}

export function boxOf(points: readonly (readonly number[])[]): Box | null {
  if (points.length === 0) return null;
  const box: Box = { min: [Infinity, Infinity], max: [-Infinity, -Infinity] };
  for (const [x, y] of points) {
    box.min = [Math.min(box.min[0], x), Math.min(box.min[1], y)];
    box.max = [Math.max(box.max[0], x), Math.max(box.max[1], y)];
  }
  return box;
}

export function grow(box: Box, by: number): Box {
  return { min: [box.min[0] - by, box.min[1] - by], max: [box.max[0] + by, box.max[1] + by] };
}

export function shift(
  points: readonly (readonly number[])[],
  [dx, dy]: readonly number[],
): Point[] {
  return points.map(([x, y]) => [x + dx, y + dy]);
}

function round(px: number): number {
  return Math.round(px * 10) / 10;
}
