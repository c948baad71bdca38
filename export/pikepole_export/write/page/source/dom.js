// Elements, made with text and never with markup: whatever a name holds, it is shown as it is.

export const byId = (id) => document.getElementById(id);

// A text in which no line ends between feet and inches, or a number and its unit.
export function unbroken(text) {
  return text.replace(/(?<=\d') (?=\d)|(?<=\d) (?=(?:ft|mm|m|lb|kg)\b)/g, '\u00a0');
}

export function make(tag, more = {}, ...inside) {
  const element = Object.assign(document.createElement(tag), more);
  element.append(...inside);
  return element;
}

export function button(text, onclick) {
  return make('button', { type: 'button', onclick }, text);
}
