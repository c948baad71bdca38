// The page: each tool sets itself up, and a tap goes to the one that is on.

import { change } from './building.js';
import * as cut from './cut.js';
import { button, byId } from './dom.js';
import * as find from './find.js';
import * as layers from './layers.js';
import * as measure from './measure.js';
import { open } from './panels.js';
import * as piece from './piece.js';
import * as stages from './stages.js';
import * as work from './work.js';
import { towards } from './model.js';
import { lookFrom, onTap, seenAt } from './view.js';

for (const tool of [stages, work, layers, cut, measure, find, piece]) tool.setUp();
byId('tools').append(button('First view', () => lookFrom(towards)));
onTap((x, y) => {
  if (measure.isOn()) return measure.tap(x, y);
  piece.pick(seenAt(x, y)?.place.piece ?? -1);
});
addEventListener('keydown', ({ key }) => {
  if (key !== 'Escape') return;
  piece.pick(-1);
  open(null);
});
change();
