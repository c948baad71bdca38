// What the page was given: words as they are, solids unpacked. What the arrays hold is told in
// solids.py, which packs them.

const given = JSON.parse(document.getElementById('model').textContent);

export const { units, stages, layers, looks, light, towards, withLifts, pieces, plans } = given;

function unpacked(name, Kind) {
  return new Kind(Uint8Array.from(atob(given.solids[name]), (one) => one.charCodeAt(0)).buffer);
}

const MOST_SLENDER = 150; // length of a triangle to its height

const vertices = unpacked('vertices', Float32Array);
const triangles = unpacked('triangles', Uint32Array);
const edges = unpacked('edges', Uint32Array);
const sizes = unpacked('sizes', Uint32Array);
const frames = unpacked('places', Float32Array);
const standing = unpacked('standing', Uint32Array);

// Where the vertices, triangles and edges of each shape begin and end.
const shapes = [];
const end = [0, 0, 0];
for (let k = 0; k < sizes.length; k += 4) {
  const from = [...end];
  for (let j = 0; j < 3; j++) end[j] += sizes[k + j];
  const own = {
    vertices: vertices.subarray(3 * from[0], 3 * end[0]),
    triangles: triangles.subarray(3 * from[1], 3 * end[1]),
    edges: edges.subarray(2 * from[2], 2 * end[2]),
  };
  own.facets = facetsOf(own);
  own.isThin = sizes[k + 3] === 1;
  shapes.push({ ...own, slivers: sliversOf(own) });
}

// Which triangles are the edges of felt or sheet metal: so long for their height that no graphics
// unit knows well how far away they are.
function sliversOf(shape) {
  return shape.facets.map((_, k) => {
    const [a, b, c] = [0, 1, 2].map((j) => {
      const at = 3 * shape.triangles[3 * k + j];
      return shape.vertices.subarray(at, at + 3);
    });
    const far = (p, q) => Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
    const [short, middle, long] = [far(a, b), far(b, c), far(c, a)].sort((p, q) => p - q);
    const half = (short + middle + long) / 2;
    const area = Math.sqrt(Math.max(0, half * (half - short) * (half - middle) * (half - long)));
    return long * long > 2 * MOST_SLENDER * area;
  });
}

// For each triangle the number of its face, from 0: triangles that meet at no real edge share one.
function facetsOf(shape) {
  const key = (a, b) => Math.min(a, b) * shape.vertices.length + Math.max(a, b);
  const real = new Set();
  for (let k = 0; k < shape.edges.length; k += 2) real.add(key(shape.edges[k], shape.edges[k + 1]));
  const count = shape.triangles.length / 3;
  const joined = Array.from({ length: count }, (_, k) => k);
  const root = (k) => {
    while (joined[k] !== k) k = joined[k] = joined[joined[k]];
    return k;
  };
  const met = new Map();
  for (let k = 0; k < shape.triangles.length; k++) {
    const own = Math.floor(k / 3);
    const edge = key(shape.triangles[k], shape.triangles[3 * own + ((k + 1) % 3)]);
    if (real.has(edge)) continue;
    if (met.has(edge)) joined[root(own)] = root(met.get(edge));
    else met.set(edge, own);
  }
  const numbers = new Map();
  return joined.map((_, k) => {
    const one = root(k);
    if (!numbers.has(one)) numbers.set(one, numbers.size);
    return numbers.get(one);
  });
}

function corners(shape, [ox, oy, oz, ux, uy, uz, vx, vy, vz]) {
  const n = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
  const found = new Float32Array(shape.vertices.length);
  for (let k = 0; k < found.length; k += 3) {
    const [a, b, c] = shape.vertices.subarray(k, k + 3);
    found[k] = ox + a * ux + b * vx + c * n[0];
    found[k + 1] = oy + a * uy + b * vy + c * n[1];
    found[k + 2] = oz + a * uz + b * vz + c * n[2];
  }
  return found;
}

function box(points) {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let k = 0; k < points.length; k++) {
    low[k % 3] = Math.min(low[k % 3], points[k]);
    high[k % 3] = Math.max(high[k % 3], points[k]);
  }
  return { low, high };
}

// Every place where a piece stands: its corners (mm, building frame), its triangles and edges by
// the numbers of these, its faces, the first and last stage in which it is there.
export const places = [];
for (let k = 0; k < standing.length / 5; k++) {
  const [piece, number, look, first, last] = standing.subarray(5 * k);
  const points = corners(shapes[number], frames.subarray(9 * k, 9 * k + 9));
  places.push({ ...shapes[number], piece, look, first, last, points, ...box(points) });
}

export const whole = {
  low: [0, 1, 2].map((axis) => Math.min(...places.map((place) => place.low[axis]))),
  high: [0, 1, 2].map((axis) => Math.max(...places.map((place) => place.high[axis]))),
};
