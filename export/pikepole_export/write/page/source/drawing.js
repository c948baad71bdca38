// The drawings that pieces are cut by: unpacked when the first one is asked for.

import { button, byId, make } from './dom.js';

let unpacked = null;

async function unpack() {
  const { ends, data } = JSON.parse(byId('drawings').textContent);
  const packed = Uint8Array.from(atob(data), (one) => one.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream('deflate'));
  const bytes = new Uint8Array(await new Response(stream).arrayBuffer());
  const found = new Map();
  let start = 0;
  for (const [name, end] of Object.entries(ends)) {
    found.set(name, bytes.subarray(start, end));
    start = end;
  }
  return found;
}

export async function show(name) {
  unpacked ??= unpack();
  const bytes = (await unpacked).get(name);
  const text = new TextDecoder().decode(bytes);
  const drawing = new DOMParser().parseFromString(text, 'image/svg+xml').documentElement;
  const dialog = byId('drawing');
  const head = make('header', {}, make('h2', {}, name), button('Close', () => dialog.close()));
  dialog.replaceChildren(head, make('div', {}, document.importNode(drawing, true)));
  dialog.showModal();
}
