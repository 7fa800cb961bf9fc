import type { DrawingData } from '../parse';

/** The columns of a drawing on the graphics side, one instance a segment. */
export class SegmentBuffers {
  readonly array: WebGLVertexArrayObject;
  private readonly buffers: WebGLBuffer[] = [];
  private readonly starts: WebGLBuffer;

  constructor(
    private readonly gl: WebGL2RenderingContext,
    readonly count: number,
    drawing: DrawingData,
    starts: Float32Array,
  ) {
    this.array = gl.createVertexArray();
    gl.bindVertexArray(this.array);
    this.column(0, 4, drawing.ends);
    this.starts = this.column(1, 1, starts);
    this.column(2, 1, drawing.time);
    this.column(3, 1, drawing.kind);
    this.column(4, 1, drawing.tool);
    gl.bindVertexArray(null);
  }

  /** Takes start times that became known later. */
  setStarts(starts: Float32Array): void {
    this.gl.bindBuffer(this.gl.ARRAY_BUFFER, this.starts);
    this.gl.bufferSubData(this.gl.ARRAY_BUFFER, 0, starts);
  }

  private column(location: number, size: number, data: Float32Array | Uint8Array): WebGLBuffer {
    const { gl } = this;
    const buffer = gl.createBuffer();
    gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
    gl.bufferData(gl.ARRAY_BUFFER, data, gl.STATIC_DRAW);
    gl.enableVertexAttribArray(location);
    if (data instanceof Uint8Array) gl.vertexAttribIPointer(location, size, gl.UNSIGNED_BYTE, 0, 0);
    else gl.vertexAttribPointer(location, size, gl.FLOAT, false, 0, 0);
    gl.vertexAttribDivisor(location, 1);
    this.buffers.push(buffer);
    return buffer;
  }

  dispose(): void {
    for (const buffer of this.buffers) this.gl.deleteBuffer(buffer);
    this.gl.deleteVertexArray(this.array);
  }
}
