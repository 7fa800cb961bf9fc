import type { DrawingData } from '../parse';
import { strokesOf, toleranceAt } from '../tiers';
import { sameView, type View } from '../view';
import { link, uniforms } from './program';
import { SegmentTextures } from './segments';
import {
  PALETTE_SIZE,
  SEGMENT_FRAGMENT,
  SEGMENT_VERTEX,
  SHOW_FRAGMENT,
  SHOW_VERTEX,
} from './shaders';
import { Stopwatch } from './stopwatch';
import { Target } from './target';

export type Rgb = [number, number, number];

/** How the toolpath is drawn; colours from 0 to 1. */
export interface Look {
  tools: Rgb[];
  /** Moves without a tool. */
  plain: Rgb;
  /** Half the width of rapid, cut, plunge, feed above the sheet, pixels. */
  halfWidths: [number, number, number, number];
  /** How much is left of the ink where the cut is made. */
  faded: number;
}

export interface Scene {
  view: View;
  pixelRatio: number;
  /** Moment that is shown, s. */
  time: number;
  duration: number;
  /** The only tool shown in full, or null for all. */
  only: number | null;
}

/** A pass longer than this is not repeated for every frame of a gesture, ms. */
const QUICK_PASS_MS = 28;

/**
 * Draws a toolpath in two passes: all segments into textures whenever the view changes, then the
 * textures onto the canvas for the moment shown. While a finger moves and the first pass is slow, the
 * second shows the last textures at their new place.
 */
export class Renderer {
  private readonly gl: WebGL2RenderingContext;
  private readonly segmentProgram: WebGLProgram;
  private readonly segmentPlaces;
  private readonly showProgram: WebGLProgram;
  private readonly showPlaces;
  private readonly target: Target;
  private drawing: DrawingData | null = null;
  private starts: Float32Array = new Float32Array();
  /** The toolpath at each tolerance that was needed so far. */
  private readonly tiers = new Map<number, SegmentTextures>();
  private look: Look;
  private drawn: Pick<Scene, 'view' | 'pixelRatio' | 'only' | 'duration'> | null = null;
  private readonly stopwatch: Stopwatch;

  constructor(canvas: HTMLCanvasElement, look: Look) {
    const gl = canvas.getContext('webgl2', {
      antialias: false,
      depth: false,
      premultipliedAlpha: true,
    });
    if (!gl) throw new Error('WebGL2 is not available');
    this.gl = gl;
    this.look = look;
    this.segmentProgram = link(gl, SEGMENT_VERTEX, SEGMENT_FRAGMENT);
    this.segmentPlaces = uniforms(gl, this.segmentProgram, SEGMENT_UNIFORMS);
    this.showProgram = link(gl, SHOW_VERTEX, SHOW_FRAGMENT);
    this.showPlaces = uniforms(gl, this.showProgram, SHOW_UNIFORMS);
    this.target = new Target(gl);
    this.stopwatch = new Stopwatch(gl);
  }

  setDrawing(drawing: DrawingData | null, starts: Float32Array): void {
    this.forgetTiers();
    this.drawing = drawing;
    this.starts = starts;
  }

  setLook(look: Look): void {
    this.look = look;
    this.drawn = null;
  }

  /** Shows the scene. False if it is shown from older textures and should be shown again at rest. */
  show(scene: Scene, moving: boolean): boolean {
    const stale = this.isStale(scene);
    if (stale && (!moving || !this.drawn || this.stopwatch.lastMs <= QUICK_PASS_MS)) {
      this.drawSegments(scene);
    }
    this.lay(scene);
    return !this.isStale(scene);
  }

  dispose(): void {
    this.forgetTiers();
    this.target.dispose();
    this.stopwatch.dispose();
    this.gl.deleteProgram(this.segmentProgram);
    this.gl.deleteProgram(this.showProgram);
  }

  private isStale(scene: Scene): boolean {
    const { drawn } = this;
    return (
      !drawn ||
      drawn.only !== scene.only ||
      drawn.duration !== scene.duration ||
      drawn.pixelRatio !== scene.pixelRatio ||
      !sameView(drawn.view, scene.view)
    );
  }

  private drawSegments(scene: Scene): void {
    const { gl, segmentPlaces: at, look } = this;
    const { view, pixelRatio, duration, only } = scene;
    this.target.resize(...deviceSize(scene));
    gl.bindFramebuffer(gl.FRAMEBUFFER, this.target.frame);
    gl.viewport(0, 0, this.target.width, this.target.height);
    gl.clearColor(0, 0, 0, 0);
    gl.enable(gl.DEPTH_TEST);
    gl.depthFunc(gl.ALWAYS);
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.ONE, gl.ONE_MINUS_SRC_ALPHA);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    const segments = this.tierAt(view.scale);
    if (segments && segments.count > 0) {
      gl.useProgram(this.segmentProgram);
      bindTextures(gl, [segments.ends, segments.info], [at.u_ends, at.u_info]);
      gl.uniform2f(at.u_middle, view.x, view.y);
      gl.uniform2f(at.u_size, this.target.width, this.target.height);
      gl.uniform1f(at.u_scale, view.scale * pixelRatio);
      gl.uniform1f(at.u_pixel_ratio, pixelRatio);
      gl.uniform1f(at.u_duration, duration);
      gl.uniform1i(at.u_only, only ?? -1);
      gl.uniform4fv(at.u_palette, paletteOf(look.tools));
      gl.uniform4f(at.u_plain, ...look.plain, 1);
      gl.uniform4f(at.u_half_width, ...look.halfWidths);
      gl.drawArrays(gl.TRIANGLES, 0, 6 * segments.count);
    }
    this.stopwatch.start();
    this.drawn = { view, pixelRatio, only, duration };
  }

  private tierAt(scale: number): SegmentTextures | null {
    if (!this.drawing) return null;
    const tolerance = toleranceAt(scale);
    const known = this.tiers.get(tolerance);
    if (known) return known;
    const made = new SegmentTextures(this.gl, strokesOf(this.drawing, this.starts, tolerance));
    this.tiers.set(tolerance, made);
    return made;
  }

  private forgetTiers(): void {
    for (const tier of this.tiers.values()) tier.dispose();
    this.tiers.clear();
    this.drawn = null;
  }

  private lay(scene: Scene): void {
    const { gl, showPlaces: at } = this;
    const [width, height] = deviceSize(scene);
    const canvas = gl.canvas as HTMLCanvasElement;
    if (canvas.width !== width) canvas.width = width;
    if (canvas.height !== height) canvas.height = height;
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    gl.viewport(0, 0, width, height);
    gl.disable(gl.DEPTH_TEST);
    gl.disable(gl.BLEND);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT);
    if (!this.drawn) return;
    gl.useProgram(this.showProgram);
    bindTextures(gl, [this.target.colour, this.target.moment], [at.u_colour, at.u_moment]);
    gl.uniform1f(at.u_now, scene.time > 0 ? scene.time / Math.max(scene.duration, 1e-6) : -1);
    gl.uniform1f(at.u_faded, this.look.faded);
    gl.uniform4f(at.u_place, ...placeOf(this.drawn.view, scene.view));
    gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
  }
}

function bindTextures(
  gl: WebGL2RenderingContext,
  textures: WebGLTexture[],
  places: (WebGLUniformLocation | null)[],
): void {
  textures.forEach((texture, unit) => {
    gl.activeTexture(gl.TEXTURE0 + unit);
    gl.bindTexture(gl.TEXTURE_2D, texture);
    gl.uniform1i(places[unit], unit);
  });
  gl.activeTexture(gl.TEXTURE0);
}

const SEGMENT_UNIFORMS = [
  'u_ends',
  'u_info',
  'u_middle',
  'u_size',
  'u_scale',
  'u_pixel_ratio',
  'u_duration',
  'u_only',
  'u_palette',
  'u_plain',
  'u_half_width',
] as const;
const SHOW_UNIFORMS = ['u_place', 'u_colour', 'u_moment', 'u_now', 'u_faded'] as const;

function deviceSize({ view, pixelRatio }: Pick<Scene, 'view' | 'pixelRatio'>): [number, number] {
  const size = (px: number): number => Math.max(1, Math.round(px * pixelRatio));
  return [size(view.width), size(view.height)];
}

/** Where the page shows the textures of `drawn`: offset and size in texture coordinates. */
export function placeOf(drawn: View, shown: View): [number, number, number, number] {
  const wide = (shown.width / shown.scale) * (drawn.scale / drawn.width);
  const high = (shown.height / shown.scale) * (drawn.scale / drawn.height);
  const left = 0.5 + ((shown.x - drawn.x) * drawn.scale) / drawn.width - wide / 2;
  const low = 0.5 + ((shown.y - drawn.y) * drawn.scale) / drawn.height - high / 2;
  return [left, low, wide, high];
}

function paletteOf(tools: Rgb[]): Float32Array {
  const palette = new Float32Array(4 * PALETTE_SIZE);
  for (let i = 0; i < PALETTE_SIZE; i++) {
    palette.set([...(tools[i % tools.length] ?? [0, 0, 0]), 1], 4 * i);
  }
  return palette;
}
