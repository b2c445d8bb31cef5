/** Which words of a line are names, and how each was first written. */
import type { Entry, Item, Row, Word } from './entries.ts';
import { COMMON, FRAMES, type NameKind, type Slot } from './frames.ts';
import { beginsWithAnalyte } from './tidy-columns.ts';
import { fold, type VerbWord } from './words.ts';

/** Names as they were first written, by the form they are compared in; each kind has a space of its own. */
export interface Spelling {
  readonly places: ReadonlyMap<string, string>;
  readonly materials: ReadonlyMap<string, string>;
  readonly hands: ReadonlyMap<string, string>;
  readonly plans: ReadonlyMap<string, string>;
}

/** Leaves every name as it stands. */
export const AS_WRITTEN: Spelling = {
  places: new Map(),
  materials: new Map(),
  hands: new Map(),
  plans: new Map(),
};

type Space = readonly ReadonlyMap<string, string>[];

/** The spaces a name of a slot is looked for in. */
function spacesOf(kind: NameKind, verb: VerbWord, spelling: Spelling): Space {
  const { places, materials, hands, plans } = spelling;
  switch (kind) {
    case 'place':
    case 'lot':
    case 'block':
      return [places];
    case 'material':
      return [materials];
    case 'hand':
      return [hands];
    case 'any':
      return [places, materials];
    case 'plan':
      return [plans];
    case 'new':
      if (verb === 'material' || verb === 'prepare') return [materials];
      if (verb === 'hand') return [hands];
      return verb === 'plan' ? [plans] : [places];
  }
}

function respell(word: Word, space: Space, into: Map<number, string>): void {
  const known = (name: string): string | undefined => {
    for (const names of space) {
      const first = names.get(fold(name));
      if (first !== undefined) return first;
    }
    return undefined;
  };
  const first = known(word.text);
  if (first !== undefined) into.set(word.start, word.type === 'string' ? `"${first}"` : first);
  if (word.to === undefined) return;
  const last = known(word.to);
  if (last !== undefined) into.set(word.end - word.to.length, last);
}

function respellItems(
  items: readonly Item[],
  slot: Slot,
  verb: VerbWord,
  spelling: Spelling,
  into: Map<number, string>,
) {
  if (slot.names === undefined) return;
  const space = spacesOf(slot.names, verb, spelling);
  for (const [i, item] of items.entries()) {
    // the places of a reading end where what was measured begins
    if (slot.analytes === 'reading' && i > 0 && beginsWithAnalyte(item)) return;
    const head = item.parts[0];
    if (head.type === 'word' || head.type === 'string') respell(head, space, into);
    if (slot.analytes === 'reading' && item.parts.length > 1) return;
  }
}

/** The names of an entry as they were first written, by the offset they stand at. */
export function entryNames(entry: Entry, spelling: Spelling): Map<number, string> {
  const names = new Map<number, string>();
  const frame = FRAMES[entry.verb];
  if (frame.head !== undefined) respellItems(entry.head, frame.head, entry.verb, spelling, names);
  for (const phrase of entry.phrases) {
    const slot = frame.phrases[phrase.word] ?? COMMON[phrase.word];
    if (slot !== undefined) respellItems(phrase.items, slot, entry.verb, spelling, names);
  }
  return names;
}

/** As `entryNames`, for the name a row of readings begins with. */
export function rowNames(row: Row, spelling: Spelling): Map<number, string> {
  const names = new Map<number, string>();
  respell(row.name, [spelling.places], names);
  return names;
}
