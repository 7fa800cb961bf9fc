import type { Strokes } from '../tiers';

/** Segments in one row of the textures. */
export const ROW_SEGMENTS = 2048;

/**
 * Segments as textures that the vertex shader reads by number. Drawing them as instances would be
 * simpler, but software renderers take each instance for a drawing of its own: seven times slower.
 */
export class SegmentTextures {
  readonly ends: WebGLTexture;
  readonly info: WebGLTexture;
  readonly count: number;

  constructor(
    private readonly gl: WebGL2RenderingContext,
    strokes: Strokes,
  ) {
    this.count = strokes.count;
    this.ends = this.upload(strokes.ends);
    this.info = this.upload(strokes.info);
  }

  dispose(): void {
    this.gl.deleteTexture(this.ends);
    this.gl.deleteTexture(this.info);
  }

  private upload(data: Float32Array): WebGLTexture {
    const { gl } = this;
    const texture = gl.createTexture();
    const rows = Math.max(1, Math.ceil(this.count / ROW_SEGMENTS));
    const full = Math.floor(this.count / ROW_SEGMENTS);
    const rest = this.count - full * ROW_SEGMENTS;
    gl.bindTexture(gl.TEXTURE_2D, texture);
    gl.texStorage2D(gl.TEXTURE_2D, 1, gl.RGBA32F, ROW_SEGMENTS, rows);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.NEAREST);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.NEAREST);
    const put = (row: number, width: number, height: number): void => {
      const part = data.subarray(4 * row * ROW_SEGMENTS);
      gl.texSubImage2D(gl.TEXTURE_2D, 0, 0, row, width, height, gl.RGBA, gl.FLOAT, part);
    };
    if (full > 0) put(0, ROW_SEGMENTS, full);
    if (rest > 0) put(full, rest, 1);
    return texture;
  }
}
