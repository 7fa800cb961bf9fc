/** Height of one row of program text, pixels. */
export const ROW_PX = 30;

/** Browsers cut elements that are higher than this, pixels; longer programs scroll faster than they read. */
export const MOST_SCROLL_PX = 8_000_000;

/** How a program of `total` lines is scrolled. */
export interface Rows {
  /** Height of all rows as the scroll bar sees it, pixels. */
  height: number;
  /** First line that is at least partly in sight, from 1. */
  first: number;
  /** Number of rows to show. */
  count: number;
  /** Where the first row stands, pixels from the top of all. */
  top: number;
}

export function rowsAt(scrollTop: number, viewHeight: number, total: number): Rows {
  const full = total * ROW_PX;
  const height = Math.min(full, MOST_SCROLL_PX);
  const room = Math.max(height - viewHeight, 1);
  const part = Math.min(Math.max(scrollTop / room, 0), 1);
  const ideal = full === height ? scrollTop : part * Math.max(full - viewHeight, 0);
  const first = Math.min(Math.floor(Math.max(ideal, 0) / ROW_PX) + 1, Math.max(total, 1));
  const count = Math.min(Math.ceil(viewHeight / ROW_PX) + 1, total - first + 1);
  const top = scrollTop - (ideal - (first - 1) * ROW_PX);
  return { height, first, count: Math.max(count, 0), top };
}

/** Where to scroll so that a line stands in the middle. */
export function scrollFor(line: number, viewHeight: number, total: number): number {
  const full = total * ROW_PX;
  const height = Math.min(full, MOST_SCROLL_PX);
  const ideal = (line - 0.5) * ROW_PX - viewHeight / 2;
  const most = Math.max(full - viewHeight, 1);
  const part = Math.min(Math.max(ideal / most, 0), 1);
  return part * Math.max(height - viewHeight, 0);
}
