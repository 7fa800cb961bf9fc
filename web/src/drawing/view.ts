/** What part of the table the drawing shows, and at which scale. Millimetres, Y upwards. */
export interface View {
  /** Point at the middle of the drawing, machine coordinates, mm. */
  x: number;
  y: number;
  /** Pixels per millimetre. */
  scale: number;
  /** Size of the drawing, pixels. */
  width: number;
  height: number;
}

export interface Box {
  min: [number, number];
  max: [number, number];
}

export type Point = [number, number];

/** Closest and widest look, pixels per millimetre: a tenth of a millimetre is seen, a 20 m table fits. */
export const SCALE_RANGE: [number, number] = [0.01, 120];

export function toScreen(view: View, [x, y]: Point): Point {
  return [view.width / 2 + (x - view.x) * view.scale, view.height / 2 - (y - view.y) * view.scale];
}

export function toTable(view: View, [px, py]: Point): Point {
  return [
    view.x + (px - view.width / 2) / view.scale,
    view.y - (py - view.height / 2) / view.scale,
  ];
}

/** Moves the paper by a distance in pixels, as a finger would. */
export function pan(view: View, dx: number, dy: number): View {
  return { ...view, x: view.x - dx / view.scale, y: view.y + dy / view.scale };
}

/** Zooms so that the table point under `at` (pixels) stays where it is. */
export function zoomAt(view: View, factor: number, at: Point): View {
  const scale = clamp(view.scale * factor, ...SCALE_RANGE);
  const [x, y] = toTable(view, at);
  return {
    ...view,
    scale,
    x: x - (at[0] - view.width / 2) / scale,
    y: y + (at[1] - view.height / 2) / scale,
  };
}

/** The largest view that shows the whole box with some paper around it, pixels. */
export function fit(box: Box, width: number, height: number, padding: Padding): View {
  const wide = Math.max(box.max[0] - box.min[0], 1e-6);
  const high = Math.max(box.max[1] - box.min[1], 1e-6);
  const roomX = Math.max(width - padding.left - padding.right, 1);
  const roomY = Math.max(height - padding.top - padding.bottom, 1);
  const scale = clamp(Math.min(roomX / wide, roomY / high), ...SCALE_RANGE);
  return {
    scale,
    width,
    height,
    x: (box.min[0] + box.max[0]) / 2 + (padding.right - padding.left) / 2 / scale,
    y: (box.min[1] + box.max[1]) / 2 + (padding.top - padding.bottom) / 2 / scale,
  };
}

export interface Padding {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/** Brings a view back so that its middle stays inside the box: nobody loses the table. */
export function keepNear(view: View, box: Box): View {
  return {
    ...view,
    x: clamp(view.x, box.min[0], box.max[0]),
    y: clamp(view.y, box.min[1], box.max[1]),
  };
}

/** The box that holds both. */
export function union(a: Box, b: Box): Box {
  return {
    min: [Math.min(a.min[0], b.min[0]), Math.min(a.min[1], b.min[1])],
    max: [Math.max(a.max[0], b.max[0]), Math.max(a.max[1], b.max[1])],
  };
}

export function sameView(a: View, b: View): boolean {
  return (
    a.x === b.x &&
    a.y === b.y &&
    a.scale === b.scale &&
    a.width === b.width &&
    a.height === b.height
  );
}

/** The longest round length that is at most `maxPx` long on the drawing: 1, 2 or 5 times a power of ten. */
export function roundLength(maxLength: number): number {
  const power = 10 ** Math.floor(Math.log10(maxLength));
  const step = [5, 2, 1].find((s) => s * power <= maxLength * (1 + 1e-9)) ?? 1;
  return step * power;
}

export function clamp(value: number, low: number, high: number): number {
  return Math.min(Math.max(value, low), high);
}
