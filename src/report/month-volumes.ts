/** A month's volumes: what was there, what came, what went, what is there, in bulk and in bottles; in microlitres. */
import type { Book, Movement } from '../cellar/book.ts';

export interface MonthVolumes {
  /** `2026-09`. */
  readonly month: string;
  readonly bulk: Section;
  readonly bottled: Section;
}

export interface Section {
  readonly start: number;
  /** By kind: made, bought, found, liquid, gains, filled. */
  readonly in: Readonly<Record<string, number>>;
  /** By kind: bottled, dispatched, sample, losses by kind. */
  readonly out: Readonly<Record<string, number>>;
  readonly end: number;
}

interface Running {
  in: Record<string, number>;
  out: Record<string, number>;
}

const running = (): Running => ({ in: {}, out: {} });

const add = (sums: Record<string, number>, key: string, volume: number): void => {
  sums[key] = (sums[key] ?? 0) + volume;
};

const GAINS: Readonly<Record<string, string>> = { dip: 'gains', settled: 'settled' };
const MISSED: Readonly<Record<string, string>> = { dip: 'unexplained', settled: 'settled' };

/** What a movement is to the volumes of a month. */
export interface Posting {
  readonly of: 'bulk' | 'bottled';
  readonly way: 'in' | 'out';
  /** As `Section` has it. */
  readonly kind: string;
  readonly volume: number;
}

/** `undefined` for what moves within the cellar. */
export function postingOf(movement: Movement): Posting | undefined {
  const { volume } = movement;
  switch (movement.kind) {
    case 'in':
      return { of: 'bulk', way: 'in', kind: GAINS[movement.how] ?? movement.how, volume };
    case 'out':
      return { of: 'bulk', way: 'out', kind: MISSED[movement.how] ?? movement.how, volume };
    case 'bottles': {
      const way = movement.direction;
      const words = way === 'in' ? GAINS : MISSED;
      return { of: 'bottled', way, kind: words[movement.how] ?? movement.how, volume };
    }
    case 'across':
    case 'renamed':
      return undefined;
  }
}

function post(movement: Movement, into: { readonly bulk: Running; readonly bottled: Running }): void {
  const posting = postingOf(movement);
  if (posting !== undefined) add(into[posting.of][posting.way], posting.kind, posting.volume);
}

const total = (sums: Readonly<Record<string, number>>): number =>
  Object.values(sums).reduce((sum, volume) => sum + volume, 0);

/** `2026-09` */
export const monthOf = (minute: number): string => new Date(minute * 60_000).toISOString().slice(0, 7);

/** Every month from the first entry to the day of the book; each starts with what the last one ended with. */
export function monthVolumes(book: Book): MonthVolumes[] {
  const sums = new Map<string, { bulk: Running; bottled: Running }>();
  for (let day = book.firstDay; day <= book.on; day++) {
    const month = monthOf(day * 1440);
    if (!sums.has(month)) sums.set(month, { bulk: running(), bottled: running() });
  }
  for (const happening of book.happenings) {
    const month = monthOf(happening.event.minute);
    let sum = sums.get(month);
    if (sum === undefined) {
      sum = { bulk: running(), bottled: running() };
      sums.set(month, sum);
    }
    for (const movement of happening.movements) post(movement, sum);
  }
  const months: MonthVolumes[] = [];
  let bulkStart = 0;
  let bottledStart = 0;
  for (const month of [...sums.keys()].sort()) {
    const sum = sums.get(month);
    if (sum === undefined) continue;
    const bulkEnd = bulkStart + total(sum.bulk.in) - total(sum.bulk.out);
    const bottledEnd = bottledStart + total(sum.bottled.in) - total(sum.bottled.out);
    months.push({
      month,
      bulk: { start: bulkStart, in: sum.bulk.in, out: sum.bulk.out, end: bulkEnd },
      bottled: { start: bottledStart, in: sum.bottled.in, out: sum.bottled.out, end: bottledEnd },
    });
    bulkStart = bulkEnd;
    bottledStart = bottledEnd;
  }
  return months;
}
