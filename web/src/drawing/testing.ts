import { parseDrawing, type DrawingData } from './parse';

export interface Stroke {
  ends: [number, number, number, number];
  z?: number;
  time: number;
  line?: number;
  kind?: number;
  tool?: number;
}

/** The bytes of a drawing as the server would send them; for tests. */
export function drawingBytes(strokes: Stroke[], simplified = false): ArrayBuffer {
  const n = strokes.length;
  const bytes = new ArrayBuffer(16 + 34 * n);
  const out = new DataView(bytes);
  [...'KWD1'].forEach((c, i) => out.setUint8(i, c.charCodeAt(0)));
  out.setUint32(4, n, true);
  out.setUint32(8, n, true);
  out.setUint32(12, simplified ? 1 : 0, true);
  strokes.forEach((s, i) => {
    s.ends.forEach((v, k) => out.setFloat32(16 + 16 * i + 4 * k, v, true));
    out.setFloat32(16 + 16 * n + 4 * i, s.z ?? -1, true);
    out.setFloat32(16 + 20 * n + 4 * i, s.time, true);
    out.setUint32(16 + 24 * n + 4 * i, i, true);
    out.setUint32(16 + 28 * n + 4 * i, s.line ?? i + 1, true);
    out.setUint8(16 + 32 * n + i, s.kind ?? 1);
    out.setUint8(16 + 33 * n + i, s.tool ?? 0);
  });
  return bytes;
}

export function drawingOf(strokes: Stroke[]): DrawingData {
  return parseDrawing(drawingBytes(strokes));
}
