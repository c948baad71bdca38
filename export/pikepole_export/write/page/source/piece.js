// What is said of the piece that was tapped.

import { bring, change, onChange, shown, state } from './building.js';
import { button, byId, make, unbroken } from './dom.js';
import { show } from './drawing.js';
import { pieces, withLifts } from './model.js';
import { open } from './panels.js';

const panel = byId('piece');

export function pick(number) {
  change({ picked: number });
  if (number < 0) return open(null);
  const { name, rows, drawings, lifts } = pieces[number];
  const list = make('dl', {}, ...rows.flatMap(([term, text]) => said(term, unbroken(text))));
  if (drawings.length) {
    const named = drawings.map((one) => button(one, () => show(one)));
    list.append(...said(drawings.length > 1 ? 'Drawings' : 'Drawing', ...named));
  }
  for (const lift of lifts) list.append(...said('Lift', unbroken(lift)));
  if (lifts.length) list.append(...said('At any lift', withLifts));
  const closer = button('Close', () => pick(-1));
  panel.replaceChildren(make('h2', {}, name), closer, list);
  panel.scrollTop = 0;
  open('piece');
}

export function find(number) {
  bring(number);
  pick(number);
}

function said(term, ...what) {
  return [make('dt', {}, term), make('dd', {}, ...what)];
}

export function setUp() {
  onChange(() => {
    if (state.picked >= 0 && !shown.some((place) => place.piece === state.picked)) pick(-1);
  });
}
