/** The names a line mentions: which words are names, of what kind, and whether the line gives them. */
import type { Cell, Entry, Item, Line, Part, Row, Word } from '../../grammar/entries.ts';
import { COMMON, FRAMES, type NameKind, type Slot } from '../../grammar/frames.ts';
import { MATERIAL_KINDS, SPELLINGS, VESSEL_KINDS, type VerbWord } from '../../grammar/words.ts';
import { analyteAt } from '../journal/measures.ts';
import { WINE_KINDS } from '../journal/plans.ts';
import { UNTREATED } from '../journal/trials.ts';

/** Names of one space are told apart from one another, and not from those of another space. */
export type Space = 'place' | 'material' | 'hand' | 'plan';

export interface Mention {
  readonly space: Space;
  readonly word: Word;
  /** The line gives the name, to something new or to what has it already. */
  readonly gives: boolean;
  /** It may be a word like any other: it is a name where one is known. */
  readonly maybe: boolean;
}

const isText = (part: Part | Cell | undefined): part is Word => part?.type === 'word' || part?.type === 'string';

/** What a verb gives a name to. */
const GIVES: Readonly<Partial<Record<VerbWord, Space>>> = {
  material: 'material',
  prepare: 'material',
  hand: 'hand',
  plan: 'plan',
};

function spaceOf(kind: NameKind, verb: VerbWord): Space {
  switch (kind) {
    case 'material':
    case 'hand':
    case 'plan':
      return kind;
    case 'new':
      return GIVES[verb] ?? 'place';
    default:
      return 'place';
  }
}

class Collector {
  readonly mentions: Mention[] = [];

  add(part: Part | Cell | undefined, space: Space, how: { gives?: boolean; maybe?: boolean } = {}): void {
    if (isText(part)) this.mentions.push({ space, word: part, gives: how.gives === true, maybe: how.maybe === true });
  }

  slot(items: readonly Item[], slot: Slot, verb: VerbWord): void {
    const { names } = slot;
    if (names === undefined) return;
    for (const item of items) {
      const [head] = item.parts;
      this.add(head, spaceOf(names, verb), { gives: names === 'new' });
    }
  }

  /** Words that may be names of a space, or of two. */
  words(parts: readonly (Part | Cell)[], ...spaces: readonly Space[]): void {
    for (const part of parts) for (const space of spaces) this.add(part, space, { maybe: true });
  }
}

/** A vessel's line: names, until kind and capacity have been said; what stands alone after that is a detail. */
function vesselNames(items: readonly Item[], into: Collector): void {
  let known = false;
  for (const item of items) {
    if (!(known && item.parts.length === 1)) into.add(item.parts[0], 'place', { gives: true });
    known ||= item.parts.some((part) => part.type === 'amount' && part.quant === undefined);
  }
}

/** The vessels, lots or samples a reading begins with. */
export function readingPlaces(items: readonly Item[]): Item[] {
  const places: Item[] = [];
  for (const [i, item] of items.entries()) {
    if (item.parts[0].type === 'amount' || (i > 0 && analyteAt(item.parts, 0) !== undefined)) break;
    places.push(item);
    if (item.parts.length > 1) break;
  }
  return places;
}

const GIVING: ReadonlySet<string> = new Set(['add', 'inoculate', 'fine']);
const RHYTHM: ReadonlySet<string> = new Set(['once', 'twice', 'every']);

/** Whether a word, alone or with the next, is a kind of material. */
function isKind(first: Word, second: Part | undefined): boolean {
  const said = first.text.toLowerCase();
  const two = isText(second) ? `${said} ${second.text.toLowerCase()}` : said;
  return MATERIAL_KINDS.some((kind) => kind === said || kind === two);
}

/** What is due: a material stands behind a verb that gives one. */
function dueNames(entry: Entry, into: Collector): void {
  const parts = entry.head.flatMap((item) => [...item.parts]);
  const [work, given, next] = parts;
  const said = isText(work) ? work.text.toLowerCase() : '';
  if (GIVING.has(SPELLINGS[said] ?? said) && isText(given) && !RHYTHM.has(given.text.toLowerCase()))
    into.add(given, 'material', { maybe: isKind(given, next) });
  const [also, more] = entry.phrases.find(({ word }) => word === 'with')?.items[0]?.parts ?? [];
  if (isText(also)) into.add(also, 'material', { maybe: isKind(also, more) });
}

const PLAN_WORDS: ReadonlySet<string> = new Set<string>([
  ...WINE_KINDS,
  ...VESSEL_KINDS,
  ...VESSEL_KINDS.map((kind) => `${kind}s`),
]);

function headNames(entry: Entry, into: Collector): void {
  const { verb, head } = entry;
  switch (verb) {
    case 'vessel':
      vesselNames(head, into);
      break;
    case 'reading':
      for (const item of readingPlaces(head)) into.add(item.parts[0], 'place');
      break;
    case 'due':
      dueNames(entry, into);
      break;
    case 'walk':
      // the place where vessels stand is a word
      for (const item of head) into.add(item.parts[0], 'place', { maybe: true });
      break;
    case 'clean':
      // gear that is no vessel is a word
      for (const item of head) into.add(item.parts[0], 'place', { maybe: true });
      break;
    case 'count':
      for (const item of head)
        into.add(
          item.parts[0],
          item.parts.some((part) => part.type === 'amount' && part.times !== undefined) ? 'place' : 'material',
        );
      break;
    default: {
      const slot = FRAMES[verb].head;
      if (slot !== undefined) into.slot(head, slot, verb);
    }
  }
}

function entryMentions(entry: Entry, into: Collector): void {
  const { verb } = entry;
  headNames(entry, into);
  for (const { word, items } of entry.phrases) {
    const parts = items.flatMap((item) => [...item.parts]);
    if (verb === 'plan' && (word === 'for' || word === 'in'))
      into.words(
        parts.filter((part) => !isText(part) || !PLAN_WORDS.has(part.text.toLowerCase())),
        'place',
      );
    else if (verb === 'trial' && (word === 'with' || word === 'of')) into.words(parts, 'place', 'material');
    else if (verb === 'clean' && word === 'with') into.words(parts, 'material');
    else if (verb === 'label' && word === 'block') into.words(parts, 'place');
    else {
      const slot = FRAMES[verb].phrases[word] ?? COMMON[word];
      if (slot !== undefined) into.slot(items, slot, verb);
    }
  }
}

/** A row of a trial that begins with a hand: rows, codes and scores, and nothing with a unit. */
function isTasting({ cells }: Row): boolean {
  const [first, more] = cells;
  if (first === undefined || (more === undefined && first.type === 'word' && UNTREATED.has(first.text.toLowerCase())))
    return false;
  return cells.every(
    (cell) => cell.type === 'word' || (cell.type === 'amount' && cell.unit === undefined && cell.ask !== true),
  );
}

/** The names of a line, in the order they stand; a line that could not be read has none. `owner` is what a row belongs to. */
export function mentionsOf(line: Line, owner: VerbWord | undefined): readonly Mention[] {
  const into = new Collector();
  if (line.type === 'entry') entryMentions(line, into);
  else if (line.type === 'row') {
    if (owner === 'trial' && isTasting(line)) into.add(line.name, 'hand');
    else if (owner === 'trial') into.words(line.cells, 'place', 'material');
    else into.add(line.name, 'place');
  }
  return into.mentions.sort((a, b) => a.word.start - b.word.start);
}

/** Where the first name of a mention stands, quotes included, and where the last name of a range does. */
export function placesOf({ word }: Mention): { start: number; end: number; name: string }[] {
  if (word.to === undefined) return [{ start: word.start, end: word.end, name: word.text }];
  return [
    { start: word.start, end: word.start + word.text.length, name: word.text },
    { start: word.end - word.to.length, end: word.end, name: word.to },
  ];
}
