// A plane that cuts the building open from one side and is moved through it.

import { button, byId, make } from './dom.js';
import { whole } from './model.js';
import { addTool } from './panels.js';
import { plane } from './shaders.js';
import { lookFrom, redraw } from './view.js';

// From which side: the axis, which way along it is cut off, and where the camera goes.
const SIDES = {
  Front: [1, -1, [0.3, -1, 0.35]],
  Back: [1, 1, [-0.3, 1, 0.35]],
  Left: [0, -1, [-1, -0.3, 0.35]],
  Right: [0, 1, [1, 0.3, 0.35]],
  Top: [2, 1, [0.2, -0.6, 1]],
};
const STEPS = 1000;

const slider = make('input', { type: 'range', min: 0, max: STEPS, step: 1, ariaLabel: 'How far in' });
const sides = {};
let side = null;

function cut() {
  if (side) {
    const [axis, way] = SIDES[side];
    const [from, to] = way > 0 ? [whole.high, whole.low] : [whole.low, whole.high];
    const at = from[axis] + (slider.value / STEPS) * (to[axis] - from[axis]);
    plane.value.set(0, 0, 0, way * at).setComponent(axis, way);
  } else plane.value.set(0, 0, 0, 1);
  redraw();
}

export function setUp() {
  addTool('Cut open', 'cut');
  const open = (name) => {
    side = side === name ? null : name;
    for (const [one, choice] of Object.entries(sides)) choice.ariaPressed = String(one === side);
    slider.disabled = !side;
    if (side) lookFrom(SIDES[side][2]);
    cut();
  };
  for (const name of Object.keys(SIDES)) {
    sides[name] = button(name, () => open(name));
    sides[name].ariaPressed = 'false';
  }
  slider.value = STEPS / 2;
  slider.disabled = true;
  slider.oninput = cut;
  byId('cut').append(
    make('p', {}, 'Cut away from this side:'), make('div', {}, ...Object.values(sides)), slider,
  );
}

export function close() {
  if (side) sides[side].click();
}

export const isCutAway = (point) => (
  plane.value.x * point[0] + plane.value.y * point[1] + plane.value.z * point[2] > plane.value.w
);
