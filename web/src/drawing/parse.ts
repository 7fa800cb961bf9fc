/** What a segment of the drawing is. */
export const SegmentClass = { rapid: 0, cut: 1, plunge: 2, above: 3 } as const;

/** Tool index of a segment that no tool of the report runs. */
export const NO_TOOL = 255;

/** The toolpath as columns of equal length; machine coordinates of the tool tip, mm. */
export interface DrawingData {
  count: number;
  /** Moves of the program. */
  moves: number;
  /** Whether detail was left out to keep the number of segments bounded. */
  simplified: boolean;
  /** x0, y0, x1, y1 of each segment. */
  ends: Float32Array;
  /** Height at the end above the sheet's upper face, mm. */
  z: Float32Array;
  /** Time at the end, s, never falling. */
  time: Float32Array;
  /** Last move in the segment. */
  move: Uint32Array;
  /** Line of the program. */
  line: Uint32Array;
  kind: Uint8Array;
  /** Index into the report's tools. */
  tool: Uint8Array;
}

export class DrawingError extends Error {
  override name = 'DrawingError';
}

const HEADER_BYTES = 16;
const BYTES_PER_SEGMENT = 16 + 4 + 4 + 4 + 4 + 1 + 1;
const MAGIC = 'KWD1';

/** Reads the drawing as the server sends it. The columns stay views of the same bytes. */
export function parseDrawing(bytes: ArrayBuffer): DrawingData {
  if (bytes.byteLength < HEADER_BYTES) {
    throw new DrawingError(`the drawing has ${bytes.byteLength} bytes; its head alone needs 16`);
  }
  const magic = String.fromCharCode(...new Uint8Array(bytes, 0, 4));
  if (magic !== MAGIC) {
    throw new DrawingError(`the drawing starts with "${magic}" where "${MAGIC}" should stand`);
  }
  const head = new DataView(bytes);
  const count = head.getUint32(4, true);
  const needed = HEADER_BYTES + count * BYTES_PER_SEGMENT;
  if (bytes.byteLength < needed) {
    throw new DrawingError(`the drawing has ${bytes.byteLength} bytes where ${needed} should come`);
  }
  return {
    ...columns(bytes, count),
    moves: head.getUint32(8, true),
    simplified: head.getUint32(12, true) !== 0,
  };
}

function columns(bytes: ArrayBuffer, n: number): Omit<DrawingData, 'moves' | 'simplified'> {
  let at = HEADER_BYTES;
  const next = (size: number): number => {
    const start = at;
    at += size;
    return start;
  };
  return {
    count: n,
    ends: new Float32Array(bytes, next(16 * n), 4 * n),
    z: new Float32Array(bytes, next(4 * n), n),
    time: new Float32Array(bytes, next(4 * n), n),
    move: new Uint32Array(bytes, next(4 * n), n),
    line: new Uint32Array(bytes, next(4 * n), n),
    kind: new Uint8Array(bytes, next(n), n),
    tool: new Uint8Array(bytes, next(n), n),
  };
}
