/** What the record has of a vessel or a lot, for a calculation: its volume, its colour, the newest figure of each analyte. */
import { findAnalyte } from '../../grammar/analytes.ts';
import { formatDate } from '../../grammar/dates.ts';
import { fold } from '../../grammar/words.ts';
import type { Book, Happening, LotRecord, VesselRecord } from '../cellar/book.ts';
import type { Measure, Minute, Place } from '../journal/events.ts';
import { nameList } from './names.ts';
import { readingsIn } from './readings.ts';

export interface Recorded {
  /** In `unit`. */
  readonly value: number;
  /** A symbol of the unit table, or the scale of the analyte (`°Bx`, `pH`). */
  readonly unit: string;
  /** Where it comes from, in words: `read on 2027-06-29`. */
  readonly said: string;
  readonly place: Place | undefined;
  /** When it was read; a volume has none. */
  readonly minute?: Minute;
  /** What was done to the wine since that may have changed it, in words; empty where nothing was. */
  readonly since: readonly string[];
}

export interface RecordOf {
  readonly name: string;
  readonly lot: LotRecord | undefined;
  readonly figures: ReadonlyMap<string, Recorded>;
}

/** What is held of the vessel or lot of that name; undefined where there is none. */
export function recordOf(book: Book, name: string): RecordOf | undefined {
  const wanted = fold(name);
  const vessel = book.vessels.find(({ facts }) => fold(facts.name) === wanted);
  if (vessel !== undefined) return ofVessel(book, vessel);
  const lot = book.lots.find(({ facts }) => [facts.name, ...facts.formerly].some((one) => fold(one) === wanted));
  return lot === undefined ? undefined : ofLot(book, lot);
}

const at = (book: Book, indexes: readonly number[], from: Minute): Happening[] =>
  indexes.flatMap((index) => {
    const happening = book.happenings[index];
    return happening === undefined || happening.event.minute < from ? [] : [happening];
  });

function ofVessel(book: Book, vessel: VesselRecord): RecordOf {
  const lot = vessel.lot === undefined ? undefined : book.lots[vessel.lot];
  const since = vessel.since ?? Number.POSITIVE_INFINITY;
  const own = at(book, vessel.happenings, since);
  const figures = newest(own);
  // what nobody read in this vessel may have been read in another of the same wine, or before it came here
  if (lot !== undefined) {
    for (const [analyte, recorded] of newest(at(book, lot.happenings, Number.NEGATIVE_INFINITY)))
      if (!figures.has(analyte)) figures.set(analyte, { ...recorded, said: `${recorded.said}, in ${lot.facts.name}` });
  }
  if (vessel.content.volume > 0) figures.set('volume', volume(book, vessel.content.volume, vessel.estimated));
  return { name: vessel.facts.name, lot, figures };
}

function ofLot(book: Book, lot: LotRecord): RecordOf {
  const figures = newest(at(book, lot.happenings, Number.NEGATIVE_INFINITY));
  if (lot.onHand > 0) figures.set('volume', volume(book, lot.onHand, lot.estimated));
  return { name: lot.facts.name, lot, figures };
}

const volume = (book: Book, microlitres: number, estimated: boolean): Recorded => ({
  value: microlitres / 1e6,
  unit: 'L',
  said: `${estimated ? 'estimated' : 'the book'} on ${formatDate(book.on)}`,
  place: undefined,
  since: [],
});

/** What is below or above what the method sees is no figure to reckon with. */
const usable = ({ mark, value }: Measure): boolean => (mark === '' || mark === '~') && Number.isFinite(value);

function newest(happenings: readonly Happening[]): Map<string, Recorded> {
  const figures = new Map<string, Recorded>();
  for (const { event, minute } of readingsIn(happenings).reverse()) {
    for (const measure of event.measures) {
      if (figures.has(measure.analyte) || !usable(measure)) continue;
      figures.set(measure.analyte, {
        value: measure.high === undefined ? measure.value : (measure.value + measure.high) / 2,
        unit: findAnalyte(measure.analyte)?.unit ?? '',
        said: `read on ${formatDate(Math.floor(minute / 1440))}${measure.mark === '~' ? ' as an estimate' : ''}`,
        place: event.place,
        minute,
        since: doneSince(happenings, minute),
      });
    }
  }
  return figures;
}

/** Verbs that change what a wine reads. */
const CHANGES: ReadonlySet<string> = new Set([
  'add',
  'fine',
  'inoculate',
  'blend',
  'top',
  'rack',
  'filter',
  'transfer',
]);

function doneSince(happenings: readonly Happening[], minute: Minute): string[] {
  const done = happenings.filter(({ event }) => event.minute > minute && CHANGES.has(event.verb));
  if (done.length === 0) return [];
  const verbs = [...new Set(done.map(({ event }) => event.verb))];
  const last = done[done.length - 1];
  const day = last === undefined ? '' : formatDate(Math.floor(last.event.minute / 1440));
  return [`since then there was ${nameList(verbs, 6)}, last on ${day}: read it again before relying on this`];
}
