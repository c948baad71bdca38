// How solids are coloured, and where the dark lines go: wherever two faces meet in the picture.
//
// Faces are drawn a second time, each in a number of its own; where the numbers of neighbouring
// pixels differ, there is a line. The inside of a solid is only seen where it is cut open: it has
// one number and the flat tone of a cut face, and so no line of its own.

import { DoubleSide, ShaderMaterial, Vector4 } from 'three';

const INK = 'vec3(0.118, 0.110, 0.102)';
const CUT_TONE = '0.72';
const VEIL = '0.72'; // over what is in the ground

// The edges of felt and sheet metal are drawn so much farther away, mm: they would show through what
// lies on them.
const SLIVER_MM = '4.0';

// The inside of a thick solid that is cut open goes before what lies against it: by a millimetre and
// by this share of how far a pixel reaches in depth, more than corners are off where they are drawn.
const OF_A_PIXEL = '0.15';

// All that is beyond the plane is taken away: nothing, where it is not set.
export const plane = { value: new Vector4(0, 0, 0, 1) };
// Below this height everything is veiled, mm: what is in the ground, where it is not cut open.
export const veil = { value: 0 };

const VERTEX = `
  #include <common>
  #include <logdepthbuf_pars_vertex>
  attribute vec4 paint;
  attribute vec4 face;
  attribute vec4 whole;
  varying vec4 vPaint;
  varying vec4 vFace;
  varying vec4 vWhole;
  varying vec3 at;
  void main() {
    vPaint = paint;
    vFace = face;
    vWhole = whole;
    at = position;
    gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
    #include <logdepthbuf_vertex>
    vFragDepth += whole.a * ${SLIVER_MM};
  }`;

const FRAGMENT = `
  #include <logdepthbuf_pars_fragment>
  uniform vec4 plane;
  uniform float veil;
  varying vec4 vPaint;
  varying vec4 vFace;
  varying vec4 vWhole;
  varying vec3 at;
  void main() {
    if (dot(plane.xyz, at) > plane.w) discard;
    bool isVeiled = at.z < veil;
    COLOUR
    float nearer = gl_FrontFacing ? 0.0 : vFace.a * (1.0 + ${OF_A_PIXEL} * fwidth(vFragDepth));
    gl_FragDepth = log2(vFragDepth - nearer) * logDepthBufFC * 0.5;
  }`;

function ofSolids(colour, more) {
  return new ShaderMaterial({
    vertexShader: VERTEX,
    fragmentShader: FRAGMENT.replace('COLOUR', colour),
    uniforms: { plane, veil },
    side: DoubleSide,
    ...more,
  });
}

export const coloured = ofSolids(`
    vec3 colour = vPaint.rgb * (gl_FrontFacing ? vPaint.a : ${CUT_TONE});
    gl_FragColor = vec4(isVeiled ? mix(colour, vec3(1.0), ${VEIL}) : colour, 1.0);`);

export const numbered = ofSolids(`
    gl_FragColor = vec4(gl_FrontFacing ? vFace.rgb : vWhole.rgb, isVeiled ? 0.5 : 1.0);`);

// One colour, seen through all that is before it.
export function throughAll(colour) {
  const parts = colour.map((byte) => (byte / 255).toFixed(3));
  return ofSolids(`gl_FragColor = vec4(${parts}, 1.0);`, { depthTest: false, depthWrite: false });
}

// Lines over a picture, from its numbers drawn so many times as fine each way. What is one pixel wide
// has none: a face that is seen edge on shows in single pixels through what lies on its edge.
export function linesOver(numbers, fine) {
  return new ShaderMaterial({
    vertexShader: 'void main() { gl_Position = vec4(position.xy, 0.0, 1.0); }',
    fragmentShader: `
      uniform sampler2D numbers;
      vec4 number(ivec2 at) {
        return texelFetch(numbers, clamp(at, ivec2(0), textureSize(numbers, 0) - 1), 0);
      }
      bool differ(vec4 a, vec4 b) {
        return distance(a.rgb, b.rgb) > 0.001;
      }
      bool isThin(ivec2 at, vec4 own, ivec2 way) {
        vec4 before = number(at - way);
        return differ(before, own) && !differ(before, number(at + way));
      }
      bool isThin(ivec2 at, vec4 own) {
        return isThin(at, own, ivec2(1, 0)) || isThin(at, own, ivec2(0, 1));
      }
      void main() {
        ivec2 first = ivec2(gl_FragCoord.xy) * FINE;
        float found = 0.0;
        float plain = 0.0;
        for (int k = 0; k < FINE * FINE; k++) {
          ivec2 here = first + ivec2(k % FINE, k / FINE);
          vec4 own = number(here);
          for (int j = 0; j < 4; j++) {
            ivec2 next = here + ivec2(j == 0 ? 1 : j == 1 ? -1 : 0, j == 2 ? 1 : j == 3 ? -1 : 0);
            vec4 other = number(next);
            if (!differ(own, other) || isThin(here, own) || isThin(next, other)) continue;
            found += 1.0;
            plain = max(plain, max(own.a, other.a));
          }
        }
        // Two lines that meet in a pixel are hardly darker than one: ribs far off stay ribs.
        float share = min(FINE == 1 ? 0.6 : 1.0, found * 0.5 / float(FINE));
        gl_FragColor = vec4(${INK}, share * (plain > 0.75 ? 1.0 : 0.25));
      }`,
    defines: { FINE: fine },
    uniforms: { numbers: { value: numbers } },
    transparent: true,
    depthTest: false,
    depthWrite: false,
  });
}
