// What the stage that is shown asks for: its note, its pieces, its fasteners, the sheets that it is built by.

import { onChange, state } from './building.js';
import { button, byId, make, unbroken } from './dom.js';
import { show } from './drawing.js';
import { plans, stages } from './model.js';
import { addTool, isOpen, onOpened } from './panels.js';

const panel = byId('asked');

const lines = (texts) => texts.map((one) => make('div', {}, unbroken(one)));
const named = (titles) => titles.map((one) => button(one, () => show(one)));

function tell() {
  if (!isOpen('asked')) return;
  const [number, name, note, parts, fasteners, sheets] = stages[state.stage];
  const list = make('dl');
  const say = (term, ...what) => list.append(make('dt', {}, term), make('dd', {}, ...what));
  if (note) say('Note', unbroken(note));
  if (parts.length) say('Pieces', ...lines(parts));
  if (fasteners.length) say('Fasteners', ...lines(fasteners));
  if (sheets.length) say('Sheets', ...named(sheets));
  if (plans.length) say('Plans', ...named(plans));
  panel.replaceChildren(make('h2', {}, `${number}  ${name}`), list);
  panel.scrollTop = 0;
}

export function setUp() {
  addTool('Stage', 'asked');
  onOpened(tell);
  onChange(tell);
}
