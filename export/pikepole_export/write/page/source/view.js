// The camera, how it is turned, and when a picture is drawn: only where something changed.

import {
  Mesh, NearestFilter, PerspectiveCamera, PlaneGeometry, Raycaster, Scene, Vector2, Vector3,
  WebGLRenderer, WebGLRenderTarget,
} from 'three';
import { OrbitControls } from 'three/addons/controls/OrbitControls.js';
import { places, towards, whole } from './model.js';
import { coloured, linesOver, numbered, plane, veil } from './shaders.js';
import { picked, placeAt, solids } from './solids.js';

const STILL_PX = 6; // a touch that moves farther turns the building
const ROOM = 1.05; // round the building
const HEADING_PX = 60;
const FINE = devicePixelRatio < 1.5 ? 2 : 1; // where pixels are coarse, lines are smoothed

const canvas = document.getElementById('canvas');
const renderer = new WebGLRenderer({
  canvas, antialias: true, alpha: true, logarithmicDepthBuffer: true,
});
renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
renderer.autoClear = false;
const numbers = new WebGLRenderTarget(1, 1, { minFilter: NearestFilter, magFilter: NearestFilter });
const over = new Mesh(new PlaneGeometry(2, 2), linesOver(numbers.texture, FINE));
over.frustumCulled = false;
const scene = new Scene().add(solids);
const above = new Scene().add(over, picked);
export const camera = new PerspectiveCamera(26, 1, 10, 1e6);
camera.up.set(0, 0, 1);
const controls = new OrbitControls(camera, canvas);
controls.zoomToCursor = true;
controls.listenToKeyEvents(canvas);
const middle = new Vector3(...whole.low).add(new Vector3(...whole.high)).multiplyScalar(0.5);
const drawn = []; // told after each picture
let isAsked = false;
let looked = towards; // where it is looked at from, all of it in sight; null once somebody turns it

export function afterDrawing(told) {
  drawn.push(told);
}

export function redraw() {
  if (isAsked) return;
  isAsked = true;
  requestAnimationFrame(() => {
    isAsked = false;
    const { x, y, z } = plane.value;
    veil.value = camera.position.z > 0 && !(x || y || z) ? -1 : -1e9;
    drawSolids(numbered, numbers);
    drawSolids(coloured, null);
    renderer.render(above, camera);
    for (const told of drawn) told();
  });
}

function drawSolids(material, target) {
  solids.material = material;
  renderer.setRenderTarget(target);
  renderer.clear();
  renderer.render(scene, camera);
}

// Look at all of it from a side, as near as lets all of it be seen under the heading.
//
// Of points (x, y, z), z towards the camera, which is d away and c to the right, all are in sight
// where x + z t <= d t + c and -x + z t <= d t - c, t the tangent of half the angle of view.
export function lookFrom(direction) {
  const ahead = new Vector3(...direction).normalize();
  const right = new Vector3(0, 0, 1).cross(ahead).normalize();
  const up = ahead.clone().cross(right);
  const tangent = Math.tan((camera.fov * Math.PI) / 360) / ROOM;
  const free = 1 - HEADING_PX / canvas.clientHeight;
  const across = sight(right, ahead, tangent * camera.aspect);
  const upward = sight(up, ahead, tangent * free);
  const distance = Math.max(across.distance, upward.distance);
  const depth = ahead.dot(middle);
  controls.target.set(0, 0, 0)
    .addScaledVector(right, across.middle)
    .addScaledVector(up, upward.middle + (distance - depth) * tangent * (1 - free))
    .addScaledVector(ahead, depth);
  camera.position.copy(controls.target).addScaledVector(ahead, distance - depth);
  looked = direction;
  controls.update();
  redraw();
}

function sight(way, ahead, tangent) {
  let [plus, minus] = [-Infinity, -Infinity];
  const along = ({ x, y, z }, points, k) => x * points[k] + y * points[k + 1] + z * points[k + 2];
  for (const { points } of places) {
    for (let k = 0; k < points.length; k += 3) {
      const [x, z] = [along(way, points, k), along(ahead, points, k)];
      plus = Math.max(plus, x + z * tangent);
      minus = Math.max(minus, -x + z * tangent);
    }
  }
  return { distance: (plus + minus) / 2 / tangent, middle: (plus - minus) / 2 };
}

// A point of the building, where it is on the screen, px from the upper left corner of the view.
export function onScreen(point) {
  const { x, y } = new Vector3(...point).project(camera);
  return [((x + 1) / 2) * canvas.clientWidth, ((1 - y) / 2) * canvas.clientHeight];
}

// What is seen at a point of the view: the place whose surface it is, and where that is.
export function seenAt(x, y) {
  const caster = new Raycaster();
  const at = new Vector2((x / canvas.clientWidth) * 2 - 1, 1 - (y / canvas.clientHeight) * 2);
  caster.setFromCamera(at, camera);
  const { value } = plane;
  const hit = caster.intersectObject(solids, false).find(
    ({ point }) => value.x * point.x + value.y * point.y + value.z * point.z <= value.w,
  );
  return hit && { place: placeAt(hit.face.a), point: hit.point.toArray() };
}

// Tell of every tap and click that did not turn the building.
export function onTap(told) {
  let start = null;
  canvas.addEventListener('pointerdown', (event) => {
    start = event.isPrimary && event.button === 0 ? event : null;
  });
  canvas.addEventListener('pointerup', (event) => {
    if (!start || !event.isPrimary) return;
    const far = Math.hypot(event.clientX - start.clientX, event.clientY - start.clientY);
    if (far <= STILL_PX) told(event.offsetX, event.offsetY);
  });
}

function sized() {
  const { clientWidth, clientHeight } = canvas.parentElement;
  renderer.setSize(clientWidth, clientHeight);
  const size = renderer.getDrawingBufferSize(new Vector2());
  numbers.setSize(FINE * size.x, FINE * size.y);
  camera.aspect = clientWidth / clientHeight;
  camera.updateProjectionMatrix();
  if (looked) lookFrom(looked);
  else redraw();
}

controls.addEventListener('start', () => { looked = null; });
controls.addEventListener('change', redraw);
canvas.addEventListener('keydown', (event) => {
  const nearer = { '+': 0.9, '=': 0.9, '-': 1 / 0.9 }[event.key];
  if (!nearer) return;
  looked = null;
  camera.position.sub(controls.target).multiplyScalar(nearer).add(controls.target);
  controls.update();
});
new ResizeObserver(sized).observe(canvas.parentElement);
