// The distance between two points of the building, from corner to corner where they are tapped.

import { byId, unbroken } from './dom.js';
import { lengthText } from './length.js';
import { units } from './model.js';
import { addTool, isOpen, onOpened } from './panels.js';
import { isCutAway } from './cut.js';
import { afterDrawing, onScreen, redraw, seenAt } from './view.js';

const NEAR_PX = 18; // a corner is meant where one is so near to the finger

const over = byId('over');
const told = byId('measured');
let points = [];

function corner(place, x, y) {
  let [best, nearest] = [null, NEAR_PX];
  for (let k = 0; k < place.points.length; k += 3) {
    const at = [...place.points.subarray(k, k + 3)];
    const [a, b] = onScreen(at);
    const far = Math.hypot(a - x, b - y);
    if (far < nearest && !isCutAway(at)) [best, nearest] = [at, far];
  }
  return best;
}

export function tap(x, y) {
  const hit = seenAt(x, y);
  if (!hit) return;
  const at = corner(hit.place, x, y);
  if (points.length === 2) points = [];
  points.push({ at: at ?? hit.point, isCorner: !!at });
  tell();
  redraw();
}

function tell() {
  if (points.length < 2) {
    told.textContent = points.length ? 'Tap the second point.' : 'Tap the first point; near a corner, the corner is taken.';
    return;
  }
  const [a, b] = points.map(({ at }) => at);
  const [along, deep, up] = a.map((one, k) => Math.abs(one - b[k]));
  const rough = points.every(({ isCorner }) => isCorner) ? '' : ' Not from corner to corner: as near as you tapped.';
  const [far, ...ways] = [Math.hypot(along, deep, up), along, deep, up].map((mm) => lengthText(mm, units));
  told.textContent = unbroken(
    `${far}: ${ways[0]} along the front, ${ways[1]} front to back, ${ways[2]} up.${rough}`,
  );
}

function svg(tag, more) {
  const element = document.createElementNS('http://www.w3.org/2000/svg', tag);
  for (const [name, value] of Object.entries(more)) element.setAttribute(name, value);
  return element;
}

function mark() {
  const at = points.map((point) => onScreen(point.at));
  const dots = at.map(([cx, cy], k) => svg('circle', {
    cx, cy, r: 6, class: points[k].isCorner ? 'corner' : 'free',
  }));
  const line = at.length === 2 ? [svg('line', { x1: at[0][0], y1: at[0][1], x2: at[1][0], y2: at[1][1] })] : [];
  over.replaceChildren(...line, ...dots);
}

export const isOn = () => isOpen('measured');

export function setUp() {
  addTool('Measure', 'measured');
  afterDrawing(mark);
  onOpened(() => {
    points = [];
    tell();
    redraw();
  });
}
