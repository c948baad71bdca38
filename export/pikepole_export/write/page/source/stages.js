// The slider through the stages of the work, and playing them one after the other.

import { change, onChange, state } from './building.js';
import { byId } from './dom.js';
import { stages } from './model.js';

const STEP_MS = 900;

const slider = byId('slider');
const play = byId('play');
const last = stages.length - 1;
let timer = 0;

function stop() {
  clearInterval(timer);
  timer = 0;
  play.textContent = 'Play';
}

function next() {
  change({ stage: state.stage + 1 });
  if (state.stage >= last) stop();
}

function told() {
  const [number, name] = stages[state.stage];
  return `Stage ${number} of ${stages[last][0]}: ${name}`;
}

export function setUp() {
  slider.max = last;
  slider.oninput = () => {
    stop();
    change({ stage: Number(slider.value) });
  };
  play.onclick = () => {
    if (timer) return stop();
    if (state.stage >= last) change({ stage: 0 });
    play.textContent = 'Stop';
    timer = setInterval(next, STEP_MS);
  };
  byId('work').hidden = last < 1;
  byId('stage').className = '';
  onChange(() => {
    slider.value = state.stage;
    slider.setAttribute('aria-valuetext', told());
    byId('stage').textContent = told();
  });
}
