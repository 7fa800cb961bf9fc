import type { Look, Rgb } from './gl/renderer';

/** Tool colours before they repeat; the names of the tokens are `--tool-1` and so on. */
export const TOOL_COLOURS = 8;

/** The colour token of a tool by its place in the report. */
export function toolToken(index: number): string {
  return `var(--tool-${(index % TOOL_COLOURS) + 1})`;
}

/** Half the width of rapid, cut, plunge, feed above the sheet, pixels. */
const HALF_WIDTHS: Look['halfWidths'] = [0.65, 1.1, 1.3, 0.7];

/** Reads the tokens that hold at an element. */
export function readLook(element: Element): Look {
  const style = getComputedStyle(element);
  const token = (name: string): string => style.getPropertyValue(name).trim();
  return {
    tools: Array.from({ length: TOOL_COLOURS }, (_, i) => parseColour(token(`--tool-${i + 1}`))),
    plain: parseColour(token('--tool-none')),
    halfWidths: HALF_WIDTHS,
    faded: Number(token('--faded')) || 0.3,
  };
}

/** A colour written as `#rrggbb`; black where it is not. */
export function parseColour(hex: string): Rgb {
  const match = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(hex);
  if (!match) return [0, 0, 0];
  return [1, 2, 3].map((i) => Number.parseInt(match[i], 16) / 255) as Rgb;
}
