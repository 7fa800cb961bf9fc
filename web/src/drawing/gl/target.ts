/** Textures that the segments are drawn into: colour, and the moment each pixel is passed as depth. */
export class Target {
  readonly frame: WebGLFramebuffer;
  readonly colour: WebGLTexture;
  readonly moment: WebGLTexture;
  width = 0;
  height = 0;

  constructor(private readonly gl: WebGL2RenderingContext) {
    this.frame = gl.createFramebuffer();
    this.colour = gl.createTexture();
    this.moment = gl.createTexture();
  }

  resize(width: number, height: number): void {
    if (width === this.width && height === this.height) return;
    const { gl } = this;
    this.width = width;
    this.height = height;
    gl.bindTexture(gl.TEXTURE_2D, this.colour);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA8, width, height, 0, gl.RGBA, gl.UNSIGNED_BYTE, null);
    this.sampling(gl.LINEAR);
    gl.bindTexture(gl.TEXTURE_2D, this.moment);
    const depth = gl.DEPTH_COMPONENT;
    gl.texImage2D(
      gl.TEXTURE_2D,
      0,
      gl.DEPTH_COMPONENT24,
      width,
      height,
      0,
      depth,
      gl.UNSIGNED_INT,
      null,
    );
    this.sampling(gl.NEAREST);
    gl.bindFramebuffer(gl.FRAMEBUFFER, this.frame);
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, this.colour, 0);
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.DEPTH_ATTACHMENT, gl.TEXTURE_2D, this.moment, 0);
  }

  private sampling(filter: GLenum): void {
    const { gl } = this;
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, filter);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, filter);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE);
  }

  dispose(): void {
    this.gl.deleteFramebuffer(this.frame);
    this.gl.deleteTexture(this.colour);
    this.gl.deleteTexture(this.moment);
  }
}
