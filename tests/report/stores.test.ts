/** Materials received and used by year: purchases, uses, acid before and after, and balances that close. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { storeOf } from '../../src/report/store.ts';
import { storeModel, storePages } from '../../src/report/store-pages.ts';
import { storeYears } from '../../src/report/store-years.ts';
import { contextFrom, present, rowsOf } from './told.ts';

const JOURNAL = `law us
vessel T1..T2 tank 1200 L
block ledge-2 Syrah
material kms is potassium metabisulfite
material tartaric is tartaric acid
hand ana

2026-09-01 Tue
08:00 buy kms 1 kg batch K-1 from "Far Supplies", until 2027-08-31
08:10 buy tartaric 5 kg from "Far Supplies"
09:00 found T1 800 L as SY of ledge-2, vintage 2025
09:30 reading T1 TA 5.2 g/L
10:00 add tartaric 80 g/hL to T1 by ana
10:30 add kms 100 g to T1 batch K-1 by ana
12:00 transfer T1 800 L to T2 as SYB

2026-12-30 Wed
10:00 reading T2 TA 5.9 g/L
11:00 count kms 880 g

2027-01-10 Sun
10:00 add kms 30 g to T2 by ana
11:00 add tartaric 10 g/hL to T2
`;

describe('a small store', () => {
  const context = contextFrom(JOURNAL);
  const pages = storePages(context);
  const model = (at: number) => storeModel(context, pages, present(pages[at]));
  const rows = (at: number, id: string): string[][] =>
    rowsOf(model(at).sections.find((section) => section.id === id)?.sheet);

  test('a page a year, the newest first', () => {
    expect(pages.map(({ path }) => path)).toEqual(['stores.html', 'stores/2026.html']);
    expect(model(1).years.map(({ text, here }) => [text, here])).toEqual([
      ['2027', false],
      ['2026', true],
    ]);
  });

  test('received: from whom, which batch, until when it keeps', () => {
    expect(rows(1, 'received')).toEqual([
      ['1 Sep 2026', 'kms', 'potassium metabisulfite', '1 kg', 'Far Supplies', 'K-1', '31 Aug 2027'],
      ['1 Sep 2026', 'tartaric', 'tartaric acid', '5 kg', 'Far Supplies', 'not told', ''],
    ]);
  });

  test('used: the wine, its volume, and acid before and after in the lot or its kin', () => {
    expect(rows(1, 'used')).toEqual([
      ['1 Sep 2026', 'tartaric', '640 g', '', 'SY', '800 L', '5.2 g/L 1 Sep 2026', '5.9 g/L 30 Dec 2026', 'ana'],
      ['1 Sep 2026', 'kms', '100 g', 'K-1', 'SY', '800 L', '', '', 'ana'],
    ]);
    expect(rows(0, 'used')[1]?.slice(6, 8)).toEqual(['5.9 g/L 30 Dec 2026', 'not read']);
  });

  test('the balance: each year starts with what the last one ended with', () => {
    expect(rows(1, 'balance')).toEqual([
      ['kms', '', '1 kg', '100 g', '−20 g', '880 g', '30 Dec 2026'],
      ['tartaric', '', '5 kg', '640 g', '', '4.36 kg', 'not counted'],
    ]);
    expect(rows(0, 'balance')).toEqual([
      ['kms', '880 g', '', '30 g', '', '850 g', 'not counted'],
      ['tartaric', '4.36 kg', '', '80 g', '', '4.28 kg', 'not counted'],
    ]);
  });

  test('without purchases and uses there is a page that says so', () => {
    const empty = contextFrom('vessel T1 tank 100 L\n');
    expect(storePages(empty)).toEqual([]);
    expect(storeModel(empty, [], undefined).sections).toEqual([]);
  });
});

test('at random the balances of all years close, and end with what should be there', () => {
  const line = fc.record({
    day: fc.integer({ min: 0, max: 1500 }),
    minute: fc.integer({ min: 0, max: 1439 }),
    what: fc.constantFrom('buy', 'add', 'count'),
    grams: fc.integer({ min: 1, max: 900 }),
  });
  fc.assert(
    fc.property(fc.array(line, { minLength: 1, maxLength: 40 }), (lines) => {
      const clock = (minute: number): string =>
        `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
      const written = lines.map(({ day, minute, what, grams }) => {
        const date = new Date(Date.UTC(2020, 0, 2 + day)).toISOString().slice(0, 10);
        return `${date}\n${clock(minute)} ${what} kms ${grams} g${what === 'add' ? ' to T1' : ''}\n`;
      });
      const text = `vessel T1 tank 1200 L\nblock ledge-2 Syrah\nmaterial kms is potassium metabisulfite\n2020-01-01\nfound T1 800 L as SY of ledge-2, vintage 2019\n${written.join('')}`;
      const book = makeBook([{ path: 'a.cellar', text }], undefined, checkJournal);
      let end = 0;
      for (const { balances } of storeYears(book)) {
        for (const one of balances) {
          expect(one.start).toBe(end);
          expect(one.start + one.received - one.used + one.difference).toBe(one.end);
          end = one.end;
        }
      }
      expect(end).toBe([...storeOf(book).values()][0]?.onHand[0]?.amount);
    }),
    { numRuns: 60 },
  );
});
