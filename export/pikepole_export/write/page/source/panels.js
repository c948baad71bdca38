// The tools under the building, and the panels that they open: one at a time.

import { button, byId } from './dom.js';

const ids = ['piece', 'asked', 'layers', 'cut', 'find', 'measured'];
const tools = {};
const told = [];

// Open a panel, or close all for none; a panel that is told of nothing is closed.
export function open(id) {
  for (const one of ids) byId(one).hidden = one !== id;
  for (const [one, tool] of Object.entries(tools)) tool.ariaPressed = String(one === id);
  for (const tell of told) tell(id);
}

export const isOpen = (id) => !byId(id).hidden;

export function onOpened(tell) {
  told.push(tell);
}

export function addTool(text, id) {
  tools[id] = button(text, () => open(isOpen(id) ? null : id));
  byId('tools').append(tools[id]);
  tools[id].ariaPressed = 'false';
}
