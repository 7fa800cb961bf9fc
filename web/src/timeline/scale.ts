import type { Track } from '../api/types';

/** Steps between marks on the time line that people count in, s. */
const STEPS = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800, 86400];

/** Least room for one mark with its clock, pixels. */
const MARK_PX = 72;

/** Moments to mark so that their clocks do not touch, s. */
export function marksOf(duration: number, width: number): number[] {
  if (!(duration > 0) || !(width > 0)) return [0];
  const least = (duration * MARK_PX) / width;
  const step = STEPS.find((s) => s >= least) ?? Math.ceil(least / 86400) * 86400;
  return Array.from({ length: Math.floor(duration / step + 1e-9) + 1 }, (_, i) => i * step);
}

export function xOf(time: number, duration: number, width: number): number {
  return duration > 0 ? Math.min(Math.max(time / duration, 0), 1) * width : 0;
}

export function timeOf(x: number, duration: number, width: number): number {
  return width > 0 ? Math.min(Math.max(x / width, 0), 1) * duration : 0;
}

/** The moment that a key leads to; null for keys that do not move it. */
export function timeAfterKey(key: string, time: number, duration: number): number | null {
  const small = Math.max(duration / 100, Math.min(1, duration));
  const moves: Record<string, number> = {
    ArrowRight: time + small,
    ArrowUp: time + small,
    ArrowLeft: time - small,
    ArrowDown: time - small,
    PageUp: time + 10 * small,
    PageDown: time - 10 * small,
    Home: 0,
    End: duration,
  };
  return key in moves ? Math.min(Math.max(moves[key], 0), duration) : null;
}

/** The top of a track's scale: its greatest value, or `ceiling` where that is lower. */
export function topOf(track: Track, ceiling: number | null): number {
  const greatest = track.high.reduce((most, value) => (value > most ? value : most), 0);
  return ceiling !== null && ceiling > 0 ? Math.min(ceiling, greatest) : greatest;
}

/** A box that a track is drawn in, pixels, with the value at its upper edge. */
export interface TrackBox {
  width: number;
  height: number;
  top: number;
}

/** The area under the highest values of a track, as an SVG path; what is above the top is cut off. */
export function areaPath(track: Track, duration: number, { width, height, top }: TrackBox): string {
  if (!(top > 0) || !(duration > 0)) return '';
  const parts = [`M0 ${height}`];
  track.high.forEach((value, i) => {
    const y = round(height - Math.min(Math.max(value, 0) / top, 1) * height);
    parts.push(`L${round(xOf(i * track.step_s, duration, width))} ${y}`);
    parts.push(`L${round(xOf((i + 1) * track.step_s, duration, width))} ${y}`);
  });
  parts.push(`L${round(xOf(track.high.length * track.step_s, duration, width))} ${height}Z`);
  return parts.join('');
}

function round(px: number): number {
  return Math.round(px * 10) / 10;
}
