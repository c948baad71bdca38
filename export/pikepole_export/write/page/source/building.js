// What of the building is shown: up to which stage, which layers, which piece is picked.

import { pieces, places, stages } from './model.js';
import { draw } from './solids.js';
import { redraw } from './view.js';

export const state = { stage: stages.length - 1, off: new Set(), picked: -1 };
const told = [];

const isThere = (place) => place.first <= state.stage && state.stage <= place.last;
const isShown = (place) => isThere(place) && !state.off.has(pieces[place.piece].layer);

export let shown = [];

export function onChange(tell) {
  told.push(tell);
}

export function change(more) {
  Object.assign(state, more);
  shown = places.filter(isShown);
  draw(shown, state.picked);
  for (const tell of told) tell();
  redraw();
}

// Bring a piece into sight, in the stage and the layer where it is.
export function bring(piece) {
  const own = places.filter((place) => place.piece === piece);
  state.off.delete(pieces[piece].layer);
  change(own.some(isThere) ? {} : { stage: own[own.length - 1].first });
}
