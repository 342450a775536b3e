// What the page says, in the language it was given in. English stands in the code; the page carries what it is in another.

let inLanguage = {};

export const speak = (words) => { inLanguage = words || {}; };

// A message in the language of the page, its {names} filled in. What was typed is filled in as it is and never looked up.
export const t = (message, names = {}) =>
  (inLanguage[message] || message).replace(/\{(\w+)\}/g, (whole, name) => (name in names ? String(names[name]) : whole));

// The message itself, marked for the catalogue where it stands in a table that is said later.
export const toSay = (message) => message;

// A count with its noun.
export const counted = (number, one, many) => t(number === 1 ? one : many, { number });
