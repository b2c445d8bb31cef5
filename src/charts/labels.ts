/** Words within a drawing: how much room they need, cut or broken to what there is. */
import { eastAsianWidth } from 'get-east-asian-width';
import { tame } from '../report/escape.ts';

/** Sizes of letters in the style sheet, in pixels of the drawing; none is smaller. */
export const NAME_SIZE = 12;
export const TICK_SIZE = 11.5;

/** Widths of a common sans serif in parts of its size; `ROOMY` allows for the broader ones. */
const NARROW = /[ \u202FiljtfIr.,:;!'|()[\]/·’]/u;
const BROAD = /[mwMW@%…—→]/u;
const CAPITAL = /[\p{Lu}&+=<>~−–×]/u;
/** Accents, joiners, and the marks that set words from right to left apart. */
const UNSEEN = /\p{Mn}|\p{Me}|[\u200B-\u200F\u2066-\u2069]/u;
const ROOMY = 1.14;

/** By how much bold letters are wider. */
export const BOLD = 1.12;

/** Room a text needs, in pixels, rather too much than too little. */
export function widthOf(text: string, size = NAME_SIZE): number {
  let ems = 0;
  for (const letter of text) ems += emsOf(letter);
  return ems * size * ROOMY;
}

function emsOf(letter: string): number {
  if (UNSEEN.test(letter)) return 0;
  if (NARROW.test(letter)) return 0.32;
  if (BROAD.test(letter)) return 0.9;
  if (CAPITAL.test(letter)) return 0.7;
  return eastAsianWidth(letter.codePointAt(0) ?? 0) > 1 ? 1 : 0.56;
}

/** A text as much of which is kept as there is room for, with an ellipsis where it was cut; empty where not even one letter fits. */
export function shorten(name: string, room: number, size = NAME_SIZE): string {
  // What is shown by its number takes the room of that number.
  const text = tame(name);
  if (widthOf(text, size) <= room) return text;
  const letters = [...text];
  let left = room / size / ROOMY - emsOf('…');
  let kept = 0;
  for (const letter of letters) {
    left -= emsOf(letter);
    if (left < 0) break;
    kept += 1;
  }
  if (kept === 0) return '';
  return `${letters.slice(0, kept).join('').trimEnd()}…`;
}

/** A text broken at its blanks to lines of at most the room there is; what does not fit on the last line is cut. */
export function broken(text: string, room: number, most: number, size = NAME_SIZE): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line === '' || widthOf(longer, size) <= room || lines.length === most - 1) line = longer;
    else {
      lines.push(line);
      line = word;
    }
  }
  return [...lines, line].map((one) => shorten(one, room, size));
}

/** A number for people where no page has worded it: with so many figures at most, or all before the point. */
export function figure(value: number, digits = 3): string {
  const rounded = Number(value.toPrecision(digits));
  return signedText(Math.abs(rounded) >= 10 ** (digits - 1) ? value.toFixed(0) : String(rounded));
}

/** The figures of a number as a page shows them: a true minus, none before nothing, and great ones in groups of three. */
export function signedText(figures: string): string {
  const [whole = '', ...rest] = figures.replace(/^-(?=0(?:\.0+)?$)/u, '').split('.');
  const groups = /[0-9]{5}/u.test(whole) ? whole.replace(/\B(?=(?:[0-9]{3})+$)/gu, '\u202F') : whole;
  return [groups, ...rest].join('.').replace('-', '−');
}
