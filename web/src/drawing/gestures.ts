import type { Point } from './view';

/** How the paper moves between two events: by a distance, and by a factor about a point, pixels. */
export interface Change {
  dx: number;
  dy: number;
  factor: number;
  at: Point;
}

/** A pointer that moves less than this between down and up has tapped, pixels: gloves are unsteady. */
export const TAP_SLACK_PX = 10;
/** A pointer that stays down longer than this did not mean to tap, ms. */
export const TAP_TIME_MS = 700;

interface Press {
  at: Point;
  from: Point;
  since: number;
  strayed: boolean;
}

/** Turns pointers into pan, pinch and tap. One finger pans, two pan and zoom, further ones are ignored. */
export class Gestures {
  private readonly presses = new Map<number, Press>();
  private several = false;

  down(id: number, at: Point, time: number): void {
    if (this.presses.size === 0) this.several = false;
    if (this.presses.size >= 2) return;
    this.presses.set(id, { at, from: at, since: time, strayed: false });
    this.several ||= this.presses.size > 1;
  }

  move(id: number, at: Point): Change | null {
    const press = this.presses.get(id);
    if (!press) return null;
    const before = this.spread();
    press.at = at;
    press.strayed ||= distance(press.from, at) > TAP_SLACK_PX;
    if (!press.strayed && !this.several) return null;
    const after = this.spread();
    const factor = before.wide > 0 && after.wide > 0 ? after.wide / before.wide : 1;
    return {
      dx: after.middle[0] - before.middle[0],
      dy: after.middle[1] - before.middle[1],
      factor,
      at: after.middle,
    };
  }

  /** The place of the tap, if this was one. */
  up(id: number, time: number): Point | null {
    const press = this.presses.get(id);
    this.presses.delete(id);
    if (!press || press.strayed || this.several) return null;
    return time - press.since <= TAP_TIME_MS ? press.at : null;
  }

  cancel(id: number): void {
    this.presses.delete(id);
  }

  get active(): boolean {
    return this.presses.size > 0;
  }

  private spread(): { middle: Point; wide: number } {
    const [a, b] = [...this.presses.values()].map((press) => press.at);
    if (!a) return { middle: [0, 0], wide: 0 };
    if (!b) return { middle: a, wide: 0 };
    return { middle: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], wide: distance(a, b) };
  }
}

/** Zoom factor of a turn of the wheel; `pinch` is the finer turn that a touch pad sends for a pinch. */
export function wheelFactor(deltaY: number, deltaMode: number, pinch: boolean): number {
  const pixels = deltaMode === 1 ? deltaY * 16 : deltaMode === 2 ? deltaY * 400 : deltaY;
  const turned = Math.min(Math.max(pixels, -400), 400);
  return Math.exp(-turned * (pinch ? 0.01 : 0.0016));
}

function distance(a: Point, b: Point): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}
