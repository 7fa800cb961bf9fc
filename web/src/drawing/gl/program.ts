/** Compiles and links; throws with the driver's words, which only a developer will see. */
export function link(gl: WebGL2RenderingContext, vertex: string, fragment: string): WebGLProgram {
  const program = gl.createProgram();
  gl.attachShader(program, compile(gl, gl.VERTEX_SHADER, vertex));
  gl.attachShader(program, compile(gl, gl.FRAGMENT_SHADER, fragment));
  gl.linkProgram(program);
  if (!gl.getProgramParameter(program, gl.LINK_STATUS) && !gl.isContextLost()) {
    throw new Error(`shaders do not link: ${gl.getProgramInfoLog(program) ?? ''}`);
  }
  return program;
}

function compile(gl: WebGL2RenderingContext, type: GLenum, source: string): WebGLShader {
  const shader = gl.createShader(type);
  if (!shader) throw new Error('the drawing context is lost');
  gl.shaderSource(shader, source);
  gl.compileShader(shader);
  if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS) && !gl.isContextLost()) {
    throw new Error(`shader does not compile: ${gl.getShaderInfoLog(shader) ?? ''}`);
  }
  return shader;
}

/** Looks up uniforms by name once. */
export function uniforms<Name extends string>(
  gl: WebGL2RenderingContext,
  program: WebGLProgram,
  names: readonly Name[],
): Record<Name, WebGLUniformLocation | null> {
  const entries = names.map((name) => [name, gl.getUniformLocation(program, name)] as const);
  return Object.fromEntries(entries) as Record<Name, WebGLUniformLocation | null>;
}
