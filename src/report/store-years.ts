/** The store by calendar year: what was there, came, was used, was found to differ, and is there at the end, by material. */
import type { Book } from '../cellar/book.ts';
import type { MaterialId, Minute, Place } from '../journal/events.ts';
import { civil, dayOf } from './dates.ts';
import { Known } from './known.ts';
import { type Bought, type Counted, type MaterialRecord, type StoreUnit, storeOf, type Used } from './store.ts';

/** One material in one unit over a year: start + received − used + difference = end. */
export interface YearBalance {
  readonly material: MaterialId;
  readonly unit: StoreUnit;
  readonly start: number;
  readonly received: number;
  readonly used: number;
  /** What counts found more than the record had, less what they found missing. */
  readonly difference: number;
  readonly end: number;
  /** The last count of the year. */
  readonly counted: Counted | undefined;
}

export interface StoreYear {
  readonly year: number;
  readonly received: readonly { readonly material: MaterialId; readonly bought: Bought }[];
  readonly used: readonly { readonly material: MaterialId; readonly used: Used }[];
  readonly balances: readonly YearBalance[];
}

/** Something that came, went or was counted, in the order of time. */
interface Step {
  readonly minute: Minute;
  readonly place: Place;
  readonly bought?: Bought;
  readonly used?: Used;
  readonly counted?: Counted;
}

const KNOWN = new Known<Book, readonly StoreYear[]>(storeYears);

const yearOf = (minute: Minute): number => civil(dayOf(minute)).year;

function stepsOf({ bought, used, counted }: MaterialRecord): Step[] {
  const steps: Step[] = [
    ...bought.map((one) => ({ minute: one.minute, place: one.place, bought: one })),
    ...used.map((one) => ({ minute: one.happening.event.minute, place: one.happening.event.place, used: one })),
    ...counted.map((one) => ({ minute: one.minute, place: one.place, counted: one })),
  ];
  return steps.sort((a, b) => a.minute - b.minute || a.place.file - b.place.file || a.place.line - b.place.line);
}

interface Running {
  start: number;
  received: number;
  used: number;
  difference: number;
  end: number;
  counted: Counted | undefined;
}

/** The balances of a material by year and unit, from the year it first came up to the last of the book. */
function balancesOf(record: MaterialRecord, last: number): Map<number, YearBalance[]> {
  const years = new Map<number, YearBalance[]>();
  const units = new Map<StoreUnit, { year: number; running: Running }>();
  const fresh = (start: number): Running => ({
    start,
    received: 0,
    used: 0,
    difference: 0,
    end: start,
    counted: undefined,
  });
  const close = (unit: StoreUnit, to: number): void => {
    const open = units.get(unit);
    if (open === undefined) return;
    for (; open.year < to; open.year += 1) {
      const list = years.get(open.year) ?? [];
      years.set(open.year, [...list, { material: record.material, unit, ...open.running }]);
      open.running = fresh(open.running.end);
    }
  };
  for (const step of stepsOf(record)) {
    const amount = (step.bought ?? step.used ?? step.counted)?.amount;
    if (amount === undefined) continue;
    const year = yearOf(step.minute);
    close(amount.unit, year);
    let open = units.get(amount.unit);
    if (open === undefined) {
      open = { year, running: fresh(0) };
      units.set(amount.unit, open);
    }
    const { running } = open;
    if (step.bought !== undefined) running.received += amount.amount;
    if (step.used !== undefined) running.used += amount.amount;
    if (step.counted !== undefined) {
      running.difference += amount.amount - running.end;
      running.counted = step.counted;
    }
    running.end = running.start + running.received - running.used + running.difference;
  }
  for (const unit of units.keys()) close(unit, last + 1);
  return years;
}

/** Every year the store was used in, the oldest first. What the house made itself has no balance: it is used up as it is made. */
export function storeYears(book: Book): readonly StoreYear[] {
  const known = KNOWN.get(book);
  if (known !== undefined) return known;
  const last = civil(book.on).year;
  const years = new Map<
    number,
    { received: StoreYear['received'][number][]; used: StoreYear['used'][number][]; balances: YearBalance[] }
  >();
  const yearAt = (year: number) => {
    let one = years.get(year);
    if (one === undefined) {
      one = { received: [], used: [], balances: [] };
      years.set(year, one);
    }
    return one;
  };
  for (const [material, record] of storeOf(book)) {
    // water comes from the tap
    if (book.materials[material]?.kind === 'water') continue;
    for (const bought of record.bought) yearAt(yearOf(bought.minute)).received.push({ material, bought });
    for (const used of record.used) yearAt(yearOf(used.happening.event.minute)).used.push({ material, used });
    if (record.prepared.length > 0) continue;
    for (const [year, balances] of balancesOf(record, last)) yearAt(year).balances.push(...balances);
  }
  const all = [...years]
    .sort(([a], [b]) => a - b)
    .map(([year, { received, used, balances }]) => ({
      year,
      received: received.sort((a, b) => a.bought.minute - b.bought.minute),
      used: used.sort((a, b) => a.used.happening.index - b.used.happening.index),
      balances,
    }));
  KNOWN.set(book, all);
  return all;
}
