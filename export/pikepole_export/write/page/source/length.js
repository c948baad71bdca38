// A length as it is read off a tape: to a sixteenth of an inch, or to a millimetre.

export function lengthText(mm, units) {
  if (units === 'metric') return `${Math.floor(mm + 0.5)} mm`;
  const sixteenths = Math.floor((mm / 25.4) * 16 + 0.5);
  const feet = Math.floor(sixteenths / 192);
  const inches = Math.floor((sixteenths % 192) / 16);
  let [part, of] = [sixteenths % 16, 16];
  while (part && part % 2 === 0) [part, of] = [part / 2, of / 2];
  const whole = inches || feet || !part ? `${inches}` : '';
  const text = [whole, part && `${part}/${of}`].filter(Boolean).join('-');
  return feet ? `${feet}' ${text}"` : `${text}"`;
}
