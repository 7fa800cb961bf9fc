import { NO_TOOL, SegmentClass } from '../parse';
import { ROW_SEGMENTS } from './segments';

/** Most tools that get a colour of their own before colours repeat. */
export const PALETTE_SIZE = 16;

/**
 * Draws each segment as a capsule: a quad wide enough for its line, cut to shape by distance. The
 * moment at which a point of the segment is passed goes into the depth, so that the sheet at any
 * moment can be shown later without drawing the segments again.
 */
export const SEGMENT_VERTEX = `#version 300 es
precision highp float;
precision highp int;
uniform highp sampler2D u_ends;
uniform highp sampler2D u_info;
uniform vec2 u_middle;
uniform vec2 u_size;
uniform float u_scale;
uniform float u_pixel_ratio;
uniform float u_duration;
uniform int u_only;
uniform vec4 u_palette[${PALETTE_SIZE}];
uniform vec4 u_plain;
uniform vec4 u_half_width;
flat out float v_length;
flat out float v_half;
flat out vec4 v_colour;
flat out float v_dotted;
out vec2 v_local;

const int CORNERS[6] = int[6](0, 1, 2, 2, 1, 3);

void main() {
  int segment = gl_VertexID / 6;
  int corner = CORNERS[gl_VertexID - segment * 6];
  ivec2 cell = ivec2(segment % ${ROW_SEGMENTS}, segment / ${ROW_SEGMENTS});
  vec4 ends = texelFetch(u_ends, cell, 0);
  vec4 info = texelFetch(u_info, cell, 0);
  int kind = int(info.z) & 3;
  int tool = int(info.z) >> 2;
  vec2 from = (ends.xy - u_middle) * u_scale;
  vec2 to = (ends.zw - u_middle) * u_scale;
  vec2 along = to - from;
  float length_px = length(along);
  vec2 dir = length_px > 1e-6 ? along / length_px : vec2(1.0, 0.0);
  float half_width = u_half_width[kind] * u_pixel_ratio;
  if (kind == ${SegmentClass.plunge} && length_px < 1.0) half_width *= 2.2;
  float reach = half_width + 1.0;
  float side = float(corner & 1);
  float edge = float(corner >> 1) * 2.0 - 1.0;
  v_local = vec2(mix(-reach, length_px + reach, side), edge * reach);
  vec2 place = from + dir * v_local.x + vec2(-dir.y, dir.x) * v_local.y;

  bool hidden = u_only >= 0 && tool != u_only;
  vec4 colour = tool == ${NO_TOOL} ? u_plain : u_palette[tool % ${PALETTE_SIZE}];
  float strength = kind == ${SegmentClass.cut} || kind == ${SegmentClass.plunge} ? 1.0 : 0.7;
  v_colour = colour * strength * (hidden ? 0.12 : 1.0);
  v_length = length_px;
  v_half = half_width;
  v_dotted = kind == ${SegmentClass.rapid} ? 1.0 : 0.0;
  float moment = mix(info.x, info.y, side) / max(u_duration, 1e-6);
  gl_Position = vec4(place / (u_size * 0.5), clamp(moment, 0.0, 1.0) * 1.998 - 0.999, 1.0);
}`;

export const SEGMENT_FRAGMENT = `#version 300 es
precision highp float;
uniform float u_pixel_ratio;
flat in float v_length;
flat in float v_half;
flat in vec4 v_colour;
flat in float v_dotted;
in vec2 v_local;
out vec4 colour;

void main() {
  float past = max(max(-v_local.x, v_local.x - v_length), 0.0);
  float coverage = clamp(v_half + 0.5 - length(vec2(past, v_local.y)), 0.0, 1.0);
  if (v_dotted > 0.5) {
    float period = 6.0 * u_pixel_ratio;
    float from_dot = abs(mod(v_local.x, period) - period * 0.5);
    coverage *= clamp(1.4 * u_pixel_ratio - from_dot, 0.0, 1.0);
  }
  if (coverage < 0.02) discard;
  colour = v_colour * coverage;
}`;

export const SHOW_VERTEX = `#version 300 es
precision highp float;
uniform vec4 u_place;
out vec2 v_at;

void main() {
  vec2 corner = vec2(float(gl_VertexID & 1), float(gl_VertexID >> 1));
  v_at = corner * u_place.zw + u_place.xy;
  gl_Position = vec4(corner * 2.0 - 1.0, 0.0, 1.0);
}`;

/** Lays the drawn segments on the page: what is cut by now faded, the rest in full. */
export const SHOW_FRAGMENT = `#version 300 es
precision highp float;
uniform sampler2D u_colour;
uniform sampler2D u_moment;
uniform float u_now;
uniform float u_faded;
in vec2 v_at;
out vec4 colour;

void main() {
  if (any(lessThan(v_at, vec2(0.0))) || any(greaterThan(v_at, vec2(1.0)))) discard;
  vec4 drawn = texture(u_colour, v_at);
  float moment = (texture(u_moment, v_at).r * 2.0 - 1.0 + 0.999) / 1.998;
  colour = moment <= u_now ? drawn * u_faded : drawn;
}`;
