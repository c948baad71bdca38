// Finding a piece by its name.

import { button, byId, make } from './dom.js';
import { pieces, places } from './model.js';
import { addTool, onOpened } from './panels.js';
import { close, isCutAway } from './cut.js';
import { find } from './piece.js';

const MOST = 60; // that are listed at once

const names = pieces.map(({ name }) => name.toLowerCase());

// The pieces whose names have every word of a text, those first whose names begin with it.
function named(text) {
  const words = text.split(/\s+/).filter(Boolean);
  const found = pieces.map((_, k) => k).filter((k) => words.every((word) => names[k].includes(word)));
  const rank = (k) => (names[k] === text ? 0 : names[k].startsWith(text) ? 1 : 2);
  return found.sort((a, b) => rank(a) - rank(b));
}

export function setUp() {
  addTool('Find', 'find');
  const field = make('input', { type: 'search', placeholder: 'Name of a piece', ariaLabel: 'Name of a piece' });
  const count = make('p', { ariaLive: 'polite' });
  const list = make('div');
  field.oninput = () => {
    const found = named(field.value.trim().toLowerCase());
    const more = found.length > MOST ? `; the first ${MOST} are listed` : '';
    count.textContent = `${found.length} of ${pieces.length} pieces${more}`;
    list.replaceChildren(...found.slice(0, MOST).map((k) => button(pieces[k].name, () => go(k))));
  };
  field.onkeydown = ({ key }) => {
    if (key === 'Enter') list.firstChild?.click();
  };
  byId('find').append(field, count, list);
  onOpened((id) => {
    if (id !== 'find') return;
    field.oninput();
    field.focus();
  });
}

function go(number) {
  const own = places.filter((place) => place.piece === number);
  if (own.some(({ low, high }) => isCutAway(low) || isCutAway(high))) close();
  find(number);
}
