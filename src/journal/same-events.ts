/** Whether two versions of a journal come to the same events and the same facts, spellings of words and units aside. */
import { UNUSUAL, usualCharacters } from '../../grammar/characters.ts';
import { canonical, cut, RemarkToken, UnitToken } from '../../grammar/tokens.ts';
import { findUnit } from '../../grammar/units.ts';
import { fold } from '../../grammar/words.ts';
import type { Event, Place } from './events.ts';
import type { SourceFile } from './files.ts';
import { Register } from './names.ts';
import { readSequence } from './sequence.ts';

/**
 * What a journal comes to: its events, for each line that does not count the code of what is said of it, and the facts
 * that hold at its end.
 */
type Told =
  | Event
  | { readonly kind: 'unread'; readonly code: string; readonly place: Place }
  | { readonly kind: 'fact'; readonly fact: object; readonly place: Place };

/** Settings are of no one line. */
const NOWHERE: Place = { file: 0, line: 1 };

function factsOf(register: Register): Told[] {
  const { vessels, lots, blocks, samples, materials, plans, settings, hands, varieties, origins } = register;
  const placed: readonly { readonly place?: Place }[] = [
    ...vessels,
    ...lots,
    ...blocks,
    ...samples,
    ...materials,
    ...plans,
  ];
  const columns = [...(settings.columns ?? [])];
  const cellar = { ...settings, methods: [...settings.methods], columns, varieties: [...varieties], hands, origins };
  return [
    ...placed.map((fact): Told => ({ kind: 'fact', fact, place: fact.place ?? NOWHERE })),
    { kind: 'fact', fact: cellar, place: NOWHERE },
  ];
}

function everything(files: readonly SourceFile[]): { events: Told[]; facts: Told[] } {
  const told: Told[] = [];
  const register = new Register();
  readSequence(files, register, {
    event: (event) => told.push(event),
    unread: ({ finding: { code, where } }) => told.push({ kind: 'unread', code, place: where }),
    report: () => {},
    wait: () => {},
  });
  return { events: told, facts: factsOf(register) };
}

const unitOf = (word: string): string => findUnit(word)?.symbol ?? word;

/** A text kept as written, by its words alone: blanks, capitals and the spelling of units and links left out. */
function wordsOf(text: string): string {
  const { tokens } = cut(UNUSUAL.test(text) ? usualCharacters(text).text : text);
  return tokens
    .map(({ tokenType, image }) => {
      if (tokenType === UnitToken) return unitOf(image);
      return tokenType === RemarkToken ? image.replace(/^(?:--|—)\s*/, '-- ') : fold(canonical(image));
    })
    .join(' ');
}

/** A figure in another spelling of its unit may have been rounded on the way: to a thousandth of a degree, at most. */
const ROUNDED = 0.001;
/** What is kept letter for letter. */
const EXACT: ReadonlySet<string> = new Set(['tag', 'batch', 'code', 'note', 'remark']);
const ROUNDED_FIGURES: ReadonlySet<string> = new Set(['value', 'low', 'high']);

function same(a: unknown, b: unknown, key: string): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a === 'string' && typeof b === 'string' && !EXACT.has(key)) {
    return key === 'unit' ? unitOf(a) === unitOf(b) : wordsOf(a) === wordsOf(b);
  }
  if (typeof a === 'number' && typeof b === 'number')
    return ROUNDED_FIGURES.has(key) && Math.abs(a - b) <= ROUNDED + Math.abs(a) * 1e-9;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  const [one, other] = [Object.entries(a), Object.entries(b)];
  return (
    one.length === other.length &&
    one.every(([name, value], i) => other[i]?.[0] === name && same(value, other[i]?.[1], name))
  );
}

/** The place of the first event, or fact, that two versions of a journal do not share; undefined where they come to the same. */
export function firstOtherEvent(before: readonly SourceFile[], after: readonly SourceFile[]): Place | undefined {
  const [one, other] = [everything(before), everything(after)];
  return firstOther(one.events, other.events) ?? firstOther(one.facts, other.facts);
}

function firstOther(ones: readonly Told[], others: readonly Told[]): Place | undefined {
  const at = Array.from({ length: Math.max(ones.length, others.length) }, (_, i) => i).find(
    (i) => !sameTold(ones[i], others[i]),
  );
  return at === undefined ? undefined : (ones[at] ?? others[at])?.place;
}

/** Columns are no part of an event; of what could not be read they are the only thing that may move. */
function sameTold(a: Told | undefined, b: Told | undefined): boolean {
  if (a?.kind === 'unread' && b?.kind === 'unread')
    return a.code === b.code && a.place.file === b.place.file && a.place.line === b.place.line;
  return same(a, b, '');
}
