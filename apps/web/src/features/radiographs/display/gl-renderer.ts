import { levelFor, type Level } from "./pyramid.ts";
import type { Renderer } from "./scene.ts";

const VERTEX = `#version 300 es
void main() {
  vec2 corner = vec2((gl_VertexID << 1) & 2, gl_VertexID & 2);
  gl_Position = vec4(corner * 2.0 - 1.0, 0.0, 1.0);
}`;

// Integer textures cannot be filtered by the card, so the four neighbours are mixed here.
const FRAGMENT = `#version 300 es
precision highp float;
precision highp usampler2D;
uniform usampler2D film;
uniform ivec2 size;
uniform int level;
uniform vec3 place;
uniform float height;
uniform vec4 window;
out vec4 shade;
float grey(ivec2 at) {
  return float(texelFetch(film, clamp(at, ivec2(0), size - 1), level).r);
}
void main() {
  vec2 screen = vec2(gl_FragCoord.x, height - gl_FragCoord.y);
  vec2 image = (screen - place.yz) / place.x;
  if (image.x < 0.0 || image.y < 0.0 || image.x >= float(size.x) || image.y >= float(size.y)) {
    shade = vec4(0.055, 0.051, 0.047, 1.0);
    return;
  }
  vec2 at = image - 0.5;
  ivec2 low = ivec2(floor(at));
  vec2 part = place.x > 7.0 ? step(0.5, at - floor(at)) : at - floor(at);
  float value = mix(
    mix(grey(low), grey(low + ivec2(1, 0)), part.x),
    mix(grey(low + ivec2(0, 1)), grey(low + ivec2(1, 1)), part.x),
    part.y);
  float position = (value - window.x) / max(window.y, 1e-3);
  float bright = window.z > 0.5 ? 1.0 / (1.0 + exp(-4.0 * position)) : clamp(position + 0.5, 0.0, 1.0);
  bright = window.w > 0.5 ? 1.0 - bright : bright;
  shade = vec4(vec3(bright), 1.0);
}`;

const compile = (gl: WebGL2RenderingContext): WebGLProgram | undefined => {
  const program = gl.createProgram();
  for (const [type, source] of [
    [gl.VERTEX_SHADER, VERTEX],
    [gl.FRAGMENT_SHADER, FRAGMENT],
  ] as const) {
    const shader = gl.createShader(type);
    if (shader === null) return undefined;
    gl.shaderSource(shader, source);
    gl.compileShader(shader);
    gl.attachShader(program, shader);
  }
  gl.linkProgram(program);
  return gl.getProgramParameter(program, gl.LINK_STATUS) === true ? program : undefined;
};

const upload = (gl: WebGL2RenderingContext, levels: readonly Level[]): WebGLTexture => {
  const texture = gl.createTexture();
  gl.bindTexture(gl.TEXTURE_2D, texture);
  gl.pixelStorei(gl.UNPACK_ALIGNMENT, 1);
  levels.forEach((level, index) => {
    gl.texImage2D(
      gl.TEXTURE_2D,
      index,
      gl.R16UI,
      level.width,
      level.height,
      0,
      gl.RED_INTEGER,
      gl.UNSIGNED_SHORT,
      level.pixels,
    );
  });
  for (const [name, value] of [
    [gl.TEXTURE_MIN_FILTER, gl.NEAREST_MIPMAP_NEAREST],
    [gl.TEXTURE_MAG_FILTER, gl.NEAREST],
    [gl.TEXTURE_MAX_LEVEL, levels.length - 1],
    [gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE],
    [gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE],
  ] as const)
    gl.texParameteri(gl.TEXTURE_2D, name, value);
  return texture;
};

let known: number | undefined;

/** Asked on a canvas of its own: one that was asked for one kind of drawing gives no other kind later. */
const largestTexture = (): number => {
  const gl = known === undefined ? new OffscreenCanvas(1, 1).getContext("webgl2") : null;
  known ??= gl === null ? 0 : (gl.getParameter(gl.MAX_TEXTURE_SIZE) as number);
  gl?.getExtension("WEBGL_lose_context")?.loseContext();
  return known;
};

/** Draws 16-bit grey values with brightness and contrast on the card; undefined where that cannot be. */
export const glRenderer = (
  canvas: HTMLCanvasElement,
  levels: readonly Level[],
): Renderer | undefined => {
  const [full] = levels;
  if (full === undefined || Math.max(full.width, full.height) > largestTexture()) return undefined;
  const gl = canvas.getContext("webgl2", {
    antialias: false,
    alpha: false,
  });
  const program = gl === null ? undefined : compile(gl);
  if (gl === null || program === undefined) return undefined;
  const texture = upload(gl, levels);
  if (gl.getError() !== gl.NO_ERROR) return undefined;
  gl.useProgram(program);
  const at = (name: string) => gl.getUniformLocation(program, name);
  const places = {
    size: at("size"),
    level: at("level"),
    place: at("place"),
    height: at("height"),
    window: at("window"),
  };
  return {
    kind: "gl",
    draw: ({ view, window, isInverted }, size, density) => {
      if (gl.isContextLost()) return;
      const [width, height] = [Math.round(size.width * density), Math.round(size.height * density)];
      if (canvas.width !== width || canvas.height !== height) {
        canvas.width = width;
        canvas.height = height;
      }
      const zoom = view.zoom * density;
      const level = levelFor(zoom, levels.length);
      const shown = levels[level] ?? full;
      gl.viewport(0, 0, width, height);
      gl.uniform2i(places.size, shown.width, shown.height);
      gl.uniform1i(places.level, level);
      gl.uniform3f(
        places.place,
        zoom * 2 ** level,
        view.offset.x * density,
        view.offset.y * density,
      );
      gl.uniform1f(places.height, height);
      gl.uniform4f(
        places.window,
        window.centre,
        window.width,
        window.shape === "sigmoid" ? 1 : 0,
        isInverted ? 1 : 0,
      );
      gl.drawArrays(gl.TRIANGLES, 0, 3);
    },
    dispose: () => {
      gl.deleteTexture(texture);
      gl.deleteProgram(program);
    },
  };
};
