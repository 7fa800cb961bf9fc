/** How often to look whether the drawing is done, ms. */
const LOOK_MS = 4;

/** Measures how long the graphics side takes, without making the page wait for it. */
export class Stopwatch {
  /** What the last measured work took, ms. */
  lastMs = 0;
  private fence: WebGLSync | null = null;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly gl: WebGL2RenderingContext) {}

  /** Starts after work was handed over; while another measurement runs, nothing is started. */
  start(): void {
    if (this.fence) return;
    const begin = performance.now();
    this.fence = this.gl.fenceSync(this.gl.SYNC_GPU_COMMANDS_COMPLETE, 0);
    this.gl.flush();
    this.look(begin);
  }

  dispose(): void {
    clearTimeout(this.timer);
    if (this.fence) this.gl.deleteSync(this.fence);
    this.fence = null;
  }

  private look(begin: number): void {
    const { gl, fence } = this;
    if (!fence) return;
    const state = gl.clientWaitSync(fence, 0, 0);
    if (state === gl.TIMEOUT_EXPIRED) {
      this.timer = setTimeout(() => this.look(begin), LOOK_MS);
      return;
    }
    this.lastMs = performance.now() - begin;
    gl.deleteSync(fence);
    this.fence = null;
  }
}
