/** A verb's section of the reference, told from its frame: what it is for, what stands after each word, its examples. */
import { COMMON, FRAMES, type Frame, type NameKind, type Need, type Slot } from '../frames.ts';
import type { Dimension } from '../units.ts';
import type { ClauseWord, LinkWord, VerbWord } from '../words.ts';

const NAMES: Readonly<Record<NameKind, string>> = {
  place: 'a vessel, a lot or a sample',
  lot: 'a lot',
  new: 'a new name',
  material: 'a material',
  hand: 'a hand',
  block: 'a block',
  plan: 'a plan',
  any: 'any name',
};

/** A few units of each dimension, the commonest first; the table of units has the others. */
const UNITS_SAID: Readonly<Record<Dimension, string>> = {
  volume: 'a volume (`L`, `hL`, `gal`)',
  mass: 'a weight (`kg`, `g`, `lb`)',
  temperature: 'a temperature (`C`, `F`)',
  length: 'a height (`cm`, `in`)',
  area: 'an area (`ha`, `acre`)',
  duration: 'a length of time (`min`, `h`, `days`)',
  pressure: 'a pressure (`bar`, `psi`)',
  'mass per volume': 'a weight to a volume (`g/hL`, `mg/L`, `lb/1000 gal`)',
  'mass per mass': 'a weight to a weight of fruit (`g/100 kg`, `g/t`)',
  'volume per volume': 'a volume to a volume (`mL/hL`, `fl-oz/1000 gal`)',
  'volume per length': 'a volume to a height (`L/cm`, `gal/in`)',
  'volume per mass': 'a volume to a weight of fruit (`L/t`, `mL/100 kg`)',
  'mass per area': 'a weight to an area (`t/ha`)',
  'volume per area': 'a volume to an area (`hL/ha`)',
  'volume per duration': 'a flow (`L/min`)',
  percent: 'a share (`%`)',
  count: 'a number of pieces or times',
  turbidity: 'a turbidity (`NTU`)',
  power: 'a power (`kW`)',
};

/** A slot that takes all of these takes any rate. */
const RATES: readonly Dimension[] = ['mass per volume', 'mass per mass', 'volume per volume', 'volume per mass'];

const code = (word: string): string => `\`${word}\``;

export const oneOf = (things: readonly string[]): string =>
  things.length <= 1 ? (things[0] ?? '') : `${things.slice(0, -1).join(', ')} or ${things[things.length - 1]}`;

/** How a slot is written, in plain words: a name and what stands behind it, or what may stand by itself. */
export function howWritten(slot: Slot): string {
  if (slot.written !== undefined) return slot.written;
  if (slot.free === true && slot.analytes === undefined) return 'kept as written';
  const openers: string[] = [];
  if (slot.names !== undefined) openers.push(NAMES[slot.names]);
  if (Array.isArray(slot.words)) openers.push(...slot.words.map((word: string) => code(word)));
  const dimensions = slot.amounts ?? [];
  const rated = RATES.every((dimension) => dimensions.includes(dimension));
  const figures = dimensions
    .filter((dimension) => !rated || !RATES.includes(dimension))
    .map((dimension) => UNITS_SAID[dimension]);
  if (rated) figures.push('a rate (`g/hL`, `lb/1000 gal`, `g/100 kg`, `mL/hL`)');
  if (slot.analytes === 'rate') figures.push('such a figure and what it is of (`40 mg/L SO2`)');
  if (slot.times === true) figures.push('a number of a size (`820 x 750 mL`)');
  if (slot.bare === true) figures.push('a number');
  figures.push(...(slot.quants ?? []).map(code));
  const others: string[] = [];
  if (slot.words === true) others.push('words');
  if (slot.strings === true) others.push('text in quotes');
  if (slot.code === true) others.push('a code');
  if (slot.date === true) others.push('a day');
  if (slot.analytes === 'reading') others.push('measurements, each with its figure');
  if (slot.analytes === 'columns') others.push('measurements, each with its unit where it needs one');
  const groups = [openers, figures, others].filter((group) => group.length > 0).map(oneOf);
  if (groups.length === 0) return 'nothing';
  const written = openers.length > 0 ? groups.join('; with it ') : oneOf([...figures, ...others]);
  const must = slot.amountNeeded === true && openers.length > 0 ? ' (the amount must stand)' : '';
  return `${written}${must}${slot.many === true ? '; several, with commas between' : ''}`;
}

/** What stands in a slot, left out where how it is written says the same. */
function whatStands(slot: Slot): string {
  const how = howWritten(slot);
  return how.startsWith(slot.say.replace(', or', ' or')) || how.includes(slot.say.replace(/^a /, 'a new '))
    ? ''
    : slot.say;
}

const needed = (frame: Frame, word: Need): string => {
  for (const need of frame.needs) {
    if (typeof need === 'string' ? need === word : need.length === 1 && need[0] === word) return 'always';
  }
  const choice = frame.needs.find((need) => typeof need !== 'string' && need.includes(word));
  return choice === undefined || typeof choice === 'string'
    ? ''
    : `or ${oneOf(choice.filter((other) => other !== word).map((other) => (other === 'head' ? 'right after the verb' : code(other))))}`;
};

/** Escapes what would break a cell of a Markdown table. */
export const cell = (text: string): string => text.replace(/\|/g, '\\|');

/** A Markdown table with its columns aligned, as the formatter of the repository prints one. */
export function table(heads: readonly string[], rows: readonly (readonly string[])[]): string {
  const lines = [heads, ...rows.map((row) => row.map(cell))];
  const widths = heads.map((_, i) => Math.max(3, ...lines.map((row) => [...(row[i] ?? '')].length)));
  const print = (row: readonly string[]): string =>
    `| ${row.map((text, i) => text + ' '.repeat((widths[i] ?? 0) - [...text].length)).join(' | ')} |`;
  return [print(heads), print(widths.map((width) => '-'.repeat(width))), ...lines.slice(1).map(print)].join('\n');
}

function slots(frame: Frame, verb: string): string {
  const rows: string[][] = [];
  if (frame.head !== undefined) {
    rows.push([`after ${code(verb)}`, whatStands(frame.head), howWritten(frame.head), needed(frame, 'head')]);
  }
  for (const [word, slot] of Object.entries(frame.phrases)) {
    rows.push([code(word), whatStands(slot), howWritten(slot), needed(frame, word as LinkWord | ClauseWord)]);
  }
  return table(['word', 'what stands there', 'how it is written', 'needed'], rows);
}

/** The section of one verb, in Markdown. */
export function verbSection(verb: VerbWord): string {
  const frame = FRAMES[verb];
  const facts: string[] = [];
  if (frame.standing === true && frame.under === undefined) {
    facts.push('A standing fact: before the first day it holds from the start, under a day from that day.');
  }
  if (frame.under !== undefined) facts.push(`Stands in a row under ${code(frame.under)}.`);
  if (frame.rows === true) facts.push('Rows may stand under it.');
  if (frame.event !== 'a standing fact') facts.push(`It becomes: ${frame.event}.`);
  return [
    `### ${code(verb)}`,
    frame.say,
    ...(facts.length === 0 ? [] : [facts.join(' ')]),
    `\`\`\`text\n${frame.examples.join('\n')}\n\`\`\``,
    slots(frame, verb),
  ].join('\n\n');
}

/** The phrases that every verb takes, in Markdown. */
export const commonPhrases = (): string =>
  table(
    ['word', 'what stands there', 'how it is written'],
    Object.entries(COMMON).map(([word, slot]) => [code(word), slot.say, howWritten(slot)]),
  );
