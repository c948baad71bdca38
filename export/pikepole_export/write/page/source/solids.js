// The building as one set of triangles, of which those are drawn that are shown.

import { BufferAttribute, BufferGeometry, LineSegments, Mesh } from 'three';
import { light, looks, places } from './model.js';
import { coloured, throughAll } from './shaders.js';

const PICKED = [235, 92, 20];

const count = places.reduce((sum, { triangles }) => sum + triangles.length, 0);
const corners = new Float32Array(3 * count);
const paint = new Uint8Array(4 * count); // colour, and how light the face is
const faces = new Uint8Array(4 * count); // the number of the face, and whether its solid is thick
const wholes = new Uint8Array(4 * count); // the number of the place, and whether it is a sliver

function bytes(number) {
  return [number & 255, (number >> 8) & 255, number >> 16];
}

// How light a face is, by the way it looks: as in the pictures, wherever it is seen from.
function lightness(k) {
  const [a, b, c] = [0, 3, 6].map((one) => corners.subarray(k + one, k + one + 3));
  const [p, q] = [b, c].map((one) => [one[0] - a[0], one[1] - a[1], one[2] - a[2]]);
  const n = [p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]];
  const [x, y, z] = n.map((one) => one / Math.hypot(...n));
  const lit = light[0] * Math.abs(x) + light[1] * Math.abs(y) + light[2] * z;
  return Math.round(255 * Math.min(1, Math.max(0.5, 0.66 + 0.41 * lit)));
}

function painted(place, colour) {
  const end = place.start + place.triangles.length;
  for (let k = place.start; k < end; k++) paint.set(colour, 4 * k);
}

let at = 0;
let face = 1;
for (const [number, place] of places.entries()) {
  place.start = at;
  const inside = bytes(0xffffff - number);
  place.triangles.forEach((corner, k) => {
    corners.set(place.points.subarray(3 * corner, 3 * corner + 3), 3 * at);
    faces.set([...bytes(face + place.facets[Math.floor(k / 3)]), place.isThin ? 0 : 255], 4 * at);
    wholes.set([...inside, place.slivers[Math.floor(k / 3)] ? 255 : 0], 4 * at);
    at++;
  });
  for (let k = place.start; k < at; k += 3) {
    const lit = lightness(3 * k);
    for (let j = 0; j < 3; j++) paint[4 * (k + j) + 3] = lit;
  }
  face += Math.max(...place.facets) + 1;
  painted(place, looks[place.look]);
}

const geometry = new BufferGeometry();
geometry.setAttribute('position', new BufferAttribute(corners, 3));
geometry.setAttribute('paint', new BufferAttribute(paint, 4, true));
geometry.setAttribute('face', new BufferAttribute(faces, 4, true));
geometry.setAttribute('whole', new BufferAttribute(wholes, 4, true));
geometry.setIndex(new BufferAttribute(new Uint32Array(count), 1));

export const solids = new Mesh(geometry, coloured);
solids.frustumCulled = false;

// The edges of the piece that is picked, seen through all that is before it.
export const picked = new LineSegments(new BufferGeometry(), throughAll(PICKED));
picked.frustumCulled = false;

// Draw these places, the piece that is picked in its colour.
export function draw(shown, piece) {
  let to = 0;
  for (const { start, triangles } of shown) {
    for (let k = 0; k < triangles.length; k++) geometry.index.array[to++] = start + k;
  }
  geometry.index.needsUpdate = true;
  geometry.setDrawRange(0, to);
  for (const place of places) {
    const is = place.piece === piece;
    if (is !== !!place.isPicked) painted(place, is ? PICKED : looks[place.look]);
    place.isPicked = is;
  }
  geometry.attributes.paint.needsUpdate = true;
  const own = shown.filter((place) => place.piece === piece);
  const ends = own.flatMap(({ edges, points }) => (
    [...edges].flatMap((k) => [...points.subarray(3 * k, 3 * k + 3)])
  ));
  picked.geometry.dispose();
  picked.geometry = new BufferGeometry();
  picked.geometry.setAttribute('position', new BufferAttribute(new Float32Array(ends), 3));
}

// The place that a triangle belongs to, by the number of its first corner.
export function placeAt(corner) {
  let [low, high] = [0, places.length];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (places[middle].start <= corner) low = middle;
    else high = middle;
  }
  return places[low];
}
