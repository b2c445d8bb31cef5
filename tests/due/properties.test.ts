/** What holds of any record under any plan: a day's list is that day's, what is done leaves it, what was missed stays so. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatDate, parseDate } from '../../grammar/dates.ts';
import type { Book } from '../../src/cellar/book.ts';
import { askedBy } from '../../src/due/demands.ts';
import { type DueItem, dueWork } from '../../src/due/due-work.ts';
import { logOf } from '../../src/due/from-book.ts';
import { type Missed, missedWork } from '../../src/due/missed.ts';
import { bookOf, CELLAR, sayItem } from './journal.ts';

const FIRST = parseDate('2026-09-14');
const DAYS = 24;

/** Lines of a plan for tasting, topping and reading: any of them may hold, and any may have the say. */
const ROWS = [
  'due taste 2 a day',
  'due taste 1 a day while brix above 5',
  'due taste 1 a day when half gone',
  'due taste 3 a week',
  'due top every 5 days',
  'due top every 3 days after 6 days',
  'due top every 36 h',
  'due reading brix 1 a day',
  'due reading brix, temp every 2 days',
  'due reading brix 2 a day while brix above 10 until temp under 12 C',
  'due add nutri-a once when a third gone',
  'due add nutrient once after 4 days',
  'due stir once',
];
const HEADS = ['plan a for wine', 'plan b for wine in tank', 'plan c for T1..T2', 'plan d'];
/** What a crew may write; `@` is a vessel or the lot. */
const ENTRIES = [
  'taste @',
  'taste @',
  'top @ from T4 0.1 L',
  'reading @ brix #',
  'reading @ brix #, temp # C',
  'add nutri-a 5 g/hL to @',
  'stir @',
  'put @ under d',
  'take @ from b',
  'away bo until 2026-09-26',
];

const some = <T>(list: readonly T[], most: number): fc.Arbitrary<T[]> =>
  fc
    .uniqueArray(fc.nat(list.length - 1), { maxLength: most })
    .map((picks) => picks.flatMap((pick) => list[pick] ?? []));

const plans = fc
  .tuple(...HEADS.map((head) => some(ROWS, 5).map((rows) => ({ head, rows }))))
  .map((all) => all.map(({ head, rows }) => [head, ...rows.map((row) => `  ${row}`)].join('\n')).join('\n'));

interface Written {
  readonly day: number;
  readonly minute: number;
  readonly line: string;
}

const written: fc.Arbitrary<Written> = fc
  .record({
    day: fc.integer({ min: 1, max: DAYS - 1 }),
    // before eleven in the evening, when what is due is done
    minute: fc.integer({ min: 0, max: 1379 }),
    entry: fc.nat(ENTRIES.length - 1),
    what: fc.constantFrom('T1', 'T2', 'T3', 'GR'),
    figure: fc.integer({ min: 0, max: 24 }),
  })
  .map(({ day, minute, entry, what, figure }) => ({
    day,
    minute,
    line: (ENTRIES[entry] ?? '').replaceAll('@', what).replaceAll('#', String(figure)),
  }));

const clock = (minute: number): string =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;

/** The plans stand above the first day, or under a later one: then what comes before cannot name them. */
function journalOf(plan: string, entries: readonly Written[], since = -1): string {
  const days = Array.from({ length: DAYS }, (_, day) => {
    const lines = entries
      .filter((one) => one.day === day && (one.day > since || !/^(put|take)/.test(one.line)))
      .sort((a, b) => a.minute - b.minute)
      .map(({ minute, line }) => `${clock(minute)} ${line}`);
    const found =
      day === 0
        ? [
            '08:00 found T1..T3 100 L each as GR of ledge-2, vintage 2025',
            '08:30 found T4 300 L as OLD of ledge-2, vintage 2024',
          ]
        : [];
    return [formatDate(FIRST + day), ...found, ...(day === since ? [plan] : []), ...lines].join('\n');
  });
  return `${CELLAR}\n${since < 0 ? plan : ''}\n\n${days.join('\n\n')}\n`;
}

const records = fc.tuple(plans, fc.array(written, { minLength: 5, maxLength: 40 }));
const day = fc.integer({ min: 0, max: DAYS - 1 }).map((after) => FIRST + after);

const listOf = (book: Book, on: number): string[] => dueWork(book, on, 5).map((item) => sayItem(book, item));

/** One line that does what an item asks for, as often as it asks. */
function doing(book: Book, { row, what, vessel, left }: DueItem): string {
  const name = book.vessels[vessel]?.facts.name ?? '';
  const { work } = row;
  const times = Array.from({ length: left ?? 1 }, (_, i) => clock(1380 + i)).join(', ');
  if (work.kind === 'reading') {
    const figures = what
      .replace('reading ', '')
      .split(', ')
      .map((analyte) => `${analyte} 20${analyte === 'temp' ? ' C' : ''}`);
    return `${times} reading ${name} ${figures.join(', ')}`;
  }
  if (work.kind === 'verb')
    return `${times} ${work.verb} ${name}${work.verb === 'top' ? ` from ${name === 'T4' ? 'T3' : 'T4'} 0.1 L` : ''}`;
  return `${times} add nutri-a 5 g/hL to ${name}`;
}

function missedOf(book: Book, on: number): Missed[] {
  const log = logOf(book, on);
  return missedWork(log, askedBy(log, on), on);
}

const RUNS = { numRuns: 120 };

test('a day gives the same list whatever is written for later days', () => {
  fc.assert(
    fc.property(records, day, ([plan, entries], on) => {
      const text = journalOf(plan, entries);
      expect(listOf(bookOf(text), on)).toEqual(listOf(bookOf(text, formatDate(on)), on));
    }),
    RUNS,
  );
});

describe('an item that is done', () => {
  test('leaves the list, and comes back when it is due again', () => {
    let tried = 0;
    fc.assert(
      fc.property(records, day, fc.nat(), ([plan, entries], on, which) => {
        const kept = entries.filter((one) => one.day <= on - FIRST);
        const before = bookOf(journalOf(plan, kept));
        const items = dueWork(before, on, 0).filter(({ row }) => row.conditions.length === 0);
        const item = items[which % Math.max(1, items.length)];
        if (item === undefined) return;
        tried++;
        const text = journalOf(plan, kept).replace(
          new RegExp(`(\\n${formatDate(on)}(?=\\n)[\\s\\S]*?)(\\n\\n|\\n$)`),
          (_, record: string, end: string) => `${record}\n${doing(before, item)}${end}`,
        );
        const after = bookOf(text);
        const same = ({ row, vessel, what }: DueItem): boolean =>
          row.place.line === item.row.place.line && vessel === item.vessel && what === item.what;
        expect(dueWork(after, on, 0).filter(same), text).toEqual([]);
        const { rhythm } = item.row;
        if (rhythm.kind !== 'every' || rhythm.minutes % 1440 !== 0) return;
        const again = on + rhythm.minutes / 1440;
        const next = dueWork(after, again, 0).filter(same);
        // a line with more conditions may have taken the say over by then
        if (next.length > 0) expect(next.map(({ status, due }) => [status, due])).toEqual([['now', again]]);
        expect(dueWork(after, again - 1, 0).filter(same), text).toEqual([]);
      }),
      { numRuns: 250 },
    );
    expect(tried).toBeGreaterThan(60);
  });
});

describe('what was missed', () => {
  const keysOf = (book: Book, on: number): Set<string> =>
    new Set(
      missedOf(book, on).map(({ row, stay, key, day: missed }) => `${row.place.line} ${stay.vessel} ${key} ${missed}`),
    );

  test('stays missed on every later day', () => {
    fc.assert(
      fc.property(records, day, day, ([plan, entries], one, other) => {
        const book = bookOf(journalOf(plan, entries));
        const [earlier, later] = [Math.min(one, other), Math.max(one, other)];
        const then = keysOf(book, later);
        for (const key of keysOf(book, earlier)) expect([...then]).toContain(key);
      }),
      RUNS,
    );
  });

  test('is found by the check, which looks on while the journal is folded, wherever the plans stand', () => {
    fc.assert(
      fc.property(records, fc.constantFrom(-1, 0, 4), ([plan, entries], since) => {
        const book = bookOf(journalOf(plan, entries, since));
        const on = FIRST + Math.max(since, 0, ...entries.map((entry) => entry.day));
        const lines = new Set(missedOf(book, on).map(({ row, stay }) => `${row.place.line} ${stay.lot}`));
        const found = book.findings.filter(({ code }) => code === 'work-missed');
        expect(found.map(({ related }) => related[0]?.where.line).sort()).toEqual(
          [...lines].map((one) => Number(one.split(' ')[0])).sort(),
        );
      }),
      RUNS,
    );
  });
});
