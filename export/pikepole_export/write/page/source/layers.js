// A box to tick for each layer that the building has.

import { change, onChange, state } from './building.js';
import { byId, make } from './dom.js';
import { layers, pieces } from './model.js';
import { addTool } from './panels.js';

export function setUp() {
  addTool('Layers', 'layers');
  const boxes = layers.flatMap((name, layer) => {
    if (!pieces.some((piece) => piece.layer === layer)) return [];
    const box = make('input', { type: 'checkbox' });
    box.onchange = () => {
      state.off[box.checked ? 'delete' : 'add'](layer);
      change();
    };
    byId('layers').append(make('label', {}, box, name));
    return [[layer, box]];
  });
  onChange(() => {
    for (const [layer, box] of boxes) box.checked = !state.off.has(layer);
  });
}
