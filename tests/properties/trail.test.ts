/** Random seasons against the trail: what it says of shares is what the exact ledger has, and order that means nothing changes nothing. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Book } from '../../src/cellar/book.ts';
import { ADDED_LIQUID } from '../../src/cellar/content.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import type { SourceFile } from '../../src/journal/files.ts';
import { playbackOf, sumsBy, trailOf, trailSources } from '../../src/report/trail.ts';
import { WATER } from './ledger.ts';
import { journalOf, ledgerOf, originKey, seasons } from './season.ts';

const LENGTH = { minLength: 5, maxLength: 60 };

const runs = (numRuns: number) => ({ numRuns, interruptAfterTimeLimit: 60_000, markInterruptAsFailure: true });
const bookOf = (files: readonly SourceFile[]): Book => makeBook(files, undefined, checkJournal);

describe('random seasons', () => {
  test('played again, every vessel holds to the microlitre what the book has', () => {
    fc.assert(
      fc.property(seasons(LENGTH), (season) => {
        const book = bookOf(journalOf(season));
        const { volumes } = playbackOf(book);
        for (const { facts, content } of book.vessels) expect(volumes.get(facts.id) ?? 0).toBe(content.volume);
      }),
      runs(100),
    );
  });

  test('all wine of an origin in the cellar is what the exact ledger has, to one part in a thousand million of all wine', () => {
    fc.assert(
      fc.property(seasons(LENGTH), (season) => {
        const book = bookOf(journalOf(season));
        const ledger = ledgerOf(season);
        const have = new Map<string, bigint>();
        let whole = 0n;
        for (const { content } of book.vessels) {
          whole += BigInt(content.volume);
          content.origins.forEach((id, i) => {
            const origin = book.origins[id];
            const key = id === ADDED_LIQUID ? WATER : originKey(origin?.block ?? '', origin?.vintage ?? 0);
            have.set(key, (have.get(key) ?? 0n) + BigInt(content.volumes[i] ?? 0));
          });
        }
        const want = new Map<string, { numerator: bigint; denominator: bigint }>();
        for (const { name } of ledger.vessels)
          for (const [key, { numerator, denominator }] of ledger.originsOf(name)) {
            const sum = want.get(key);
            // the ledger has one denominator for the whole cellar
            want.set(key, { numerator: (sum?.numerator ?? 0n) + numerator, denominator });
          }
        for (const key of new Set([...have.keys(), ...want.keys()])) {
          const { numerator, denominator } = want.get(key) ?? { numerator: 0n, denominator: 1n };
          const off = (have.get(key) ?? 0n) * denominator - numerator;
          const size = off < 0n ? -off : off;
          // a microlitre is the least there is: what little wine is there is off by no more than one a movement that leaves
          const most = whole / 1_000_000_000n + BigInt(season.entries.length);
          expect(size <= most * denominator).toBe(true);
        }
      }),
      runs(100),
    );
  });

  test('the sources of a bottling add up to what was filled, however few bottles are left', () => {
    fc.assert(
      fc.property(seasons(LENGTH), (season) => {
        const book = bookOf(journalOf(season));
        for (const lot of book.lots) {
          if (!lot.facts.bottling) continue;
          const filled = lot.bottlesFilled.reduce((sum, { count, size }) => sum + count * size, 0);
          const trail = trailOf(book, lot);
          const watered = lot.account.blendedIn - trail.whole;
          expect(lot.account.blendedIn).toBe(filled);
          expect(watered).toBeGreaterThanOrEqual(0);
          expect(sumsBy(trail.sources, ['block', 'vintage']).reduce((sum, { volume }) => sum + volume, 0)).toBe(
            trail.whole,
          );
          // every source comes by some line of the way
          const carried = new Set(trail.steps.flatMap(({ sources }) => sources));
          expect([...carried].sort((a, b) => a - b)).toEqual(trail.sources.map((_, i) => i));
        }
      }),
      runs(100),
    );
  });
});

const STANDING = [
  'vessel B1..B6 barrel 225 L',
  'vessel K1 keg 50 L',
  'vessel T1..T6 tank 1200 L',
  'block ledge-2 Syrah region "Lower Teal"',
  'block lower-3 Grenache region "Lower Teal"',
  'block far-1 Roussanne region "Far Ridge"',
  '2026-11-02',
  'found B1..B6 200 L each as A of ledge-2, vintage 2025',
  'found K1 50 L as K of lower-3 61 %, far-1 39 %, vintage 2024',
];

const sharesIn = (book: Book): Record<string, Record<string, number>> =>
  Object.fromEntries(
    book.vessels.map(({ facts, content }) => [
      facts.name,
      Object.fromEntries(
        content.origins.map((id, i) => [book.origins[id]?.block ?? '', content.volumes[i] ?? 0] as const).sort(),
      ),
    ]),
  );

function inOrder(lines: readonly string[]): Book {
  const book = bookOf([{ path: 'a.cellar', text: `${[...STANDING, ...lines].join('\n')}\n` }]);
  expect(book.findings.filter(({ severity }) => severity === 'error').map(({ message }) => message)).toEqual([]);
  return book;
}

describe('the order of what commutes', () => {
  const tops = fc.array(fc.integer({ min: 1, max: 80 }), { minLength: 6, maxLength: 6 });

  test('barrels topped from one keg have the same shares in any order, the cuts of the book aside', () => {
    fc.assert(
      fc.property(tops, fc.shuffledSubarray([0, 1, 2, 3, 4, 5], { minLength: 6 }), (tenths, order) => {
        const lines = tenths.map((volume, i) => `transfer K1 ${(volume / 10).toFixed(1)} L to B${i + 1}, sic`);
        const straight = sharesIn(inOrder(lines));
        const shuffled = sharesIn(inOrder(order.map((i) => lines[i] ?? '')));
        for (const [vessel, blocks] of Object.entries(straight))
          for (const [block, volume] of Object.entries(blocks))
            expect(Math.abs(volume - (shuffled[vessel]?.[block] ?? 0))).toBeLessThanOrEqual(6);
      }),
      runs(60),
    );
  });

  test('transfers that share no vessel come to the same in any order, to the microlitre', () => {
    fc.assert(
      fc.property(fc.tuple(tops, tops), fc.shuffledSubarray([0, 1, 2], { minLength: 3 }), ([first, second], order) => {
        const lines = [0, 1, 2].map(
          (i) =>
            `transfer B${i * 2 + 1} ${first[i]} L to T${i + 1} as N${i}\ntransfer B${i * 2 + 2} ${second[i]} L to T${i + 1} as N${i}`,
        );
        expect(sharesIn(inOrder(order.map((i) => lines[i] ?? '')))).toEqual(sharesIn(inOrder(lines)));
      }),
      runs(40),
    );
  });

  test('of a blend, which source is poured first changes no share', () => {
    const said = 'found T1 300 L as P of ledge-2, vintage 2025\nfound T2 200 L as Q of far-1, vintage 2024';
    const shares = (line: string) => {
      const book = inOrder([said, line]);
      const lot = book.lots.find(({ facts }) => facts.name === 'R');
      return lot === undefined ? [] : trailSources(book, lot).map(({ origin, volume }) => [origin.block, volume]);
    };
    expect(shares('blend T1, T2 to T3 as R')).toEqual([
      ['ledge-2', 300_000_000],
      ['far-1', 200_000_000],
    ]);
    expect(shares('blend T2, T1 to T3 as R')).toEqual(shares('blend T1, T2 to T3 as R'));
  });
});
