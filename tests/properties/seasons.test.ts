/** Random seasons, read by the program and held against the ledger: nothing is lost, nothing appears, every share is right. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { onHandByAccount } from '../../src/cellar/accounts.ts';
import type { Book } from '../../src/cellar/book.ts';
import { ADDED_LIQUID, materialOf, unitOf } from '../../src/cellar/content.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import type { SourceFile } from '../../src/journal/files.ts';
import { exportBook } from '../../src/report/export.ts';
import { monthVolumes } from '../../src/report/month-volumes.ts';
import { type Fraction, type Ledger, WATER } from './ledger.ts';
import { dayTexts, FIRST_DAY, journalOf, ledgerOf, originKey, type Season, STANDING, seasons } from './season.ts';

const SHORT = { minLength: 5, maxLength: 60 };
const LONG = { minLength: 320, maxLength: 340 };

/** Making a failing season smaller may take long: what was found by then is told. */
const runs = (numRuns: number) => ({ numRuns, interruptAfterTimeLimit: 60_000, markInterruptAsFailure: true });

const bookOf = (files: readonly SourceFile[], on?: number): Book => makeBook(files, on, checkJournal);

/** The seasons are made to be right: a finding would mean that program and ledger no longer tell of the same cellar. */
function readClean(season: Season): Book {
  const book = bookOf(journalOf(season));
  expect(book.findings.map(({ message, where }) => `line ${where.line}: ${message}`)).toEqual([]);
  return book;
}

const close = (value: number, { numerator, denominator }: Fraction): bigint => {
  const off = BigInt(value) * denominator - numerator;
  return (off < 0n ? -off : off) / denominator;
};

/** What the program has of every origin in a vessel, runs of the press put together. */
function originsIn(book: Book, vessel: Book['vessels'][number]): Map<string, number> {
  const sums = new Map<string, number>();
  vessel.content.origins.forEach((id, i) => {
    const origin = book.origins[id];
    const key = id === ADDED_LIQUID ? WATER : originKey(origin?.block ?? '', origin?.vintage ?? 0);
    sums.set(key, (sums.get(key) ?? 0) + (vessel.content.volumes[i] ?? 0));
  });
  return sums;
}

/** What the program has of every material weighed into a vessel, in micrograms. */
function materialsIn(book: Book, vessel: Book['vessels'][number]): Map<string, number> {
  const sums = new Map<string, number>();
  vessel.content.materials.forEach((key, i) => {
    if (unitOf(key) === 'µg') sums.set(book.materials[materialOf(key)]?.name ?? '', vessel.content.amounts[i] ?? 0);
  });
  return sums;
}

const NOTHING: Fraction = { numerator: 0n, denominator: 1n };

/** The largest difference of any part of any vessel, in the units it is counted in. */
function farthest(
  book: Book,
  is: (vessel: Book['vessels'][number]) => Map<string, number>,
  should: (name: string) => Map<string, Fraction>,
): number {
  let most = 0n;
  for (const vessel of book.vessels) {
    const have = is(vessel);
    const want = should(vessel.facts.name);
    for (const key of new Set([...have.keys(), ...want.keys()])) {
      const off = close(have.get(key) ?? 0, want.get(key) ?? NOTHING);
      if (off > most) most = off;
    }
  }
  return Number(most);
}

const volumes = (book: Book): Record<string, string> =>
  Object.fromEntries(book.vessels.map(({ facts, content }) => [facts.name, String(content.volume)]));
const ledgerVolumes = (ledger: Ledger): Record<string, string> =>
  Object.fromEntries(ledger.vessels.map(({ name }) => [name, String(ledger.volumeOf(name))]));

describe('random seasons', () => {
  test('every vessel holds what the ledger has, to the microlitre, under the same name', () => {
    fc.assert(
      fc.property(seasons(SHORT), (season) => {
        const book = readClean(season);
        const ledger = ledgerOf(season);
        expect(volumes(book)).toEqual(ledgerVolumes(ledger));
        for (const { facts, lot } of book.vessels)
          expect(lot === undefined ? undefined : book.lots[lot]?.facts.name).toBe(ledger.lotOf(facts.name));
      }),
      runs(150),
    );
  });

  test('the account of every lot closes, and leaves what the ledger has of it', () => {
    fc.assert(
      fc.property(seasons(SHORT), (season) => {
        const book = readClean(season);
        const wanted = ledgerOf(season).lotVolumes();
        for (const lot of book.lots) {
          expect(onHandByAccount(lot.account)).toBe(lot.onHand);
          expect(BigInt(lot.onHand)).toBe(wanted.get(lot.facts.name) ?? 0n);
        }
        expect([...wanted.keys()].filter((name) => !book.lots.some(({ facts }) => facts.name === name))).toEqual([]);
      }),
      runs(150),
    );
  });

  test('origins add up to the volume exactly, and each is within a microlitre every other movement of the ledger', () => {
    fc.assert(
      fc.property(seasons(SHORT), (season) => {
        const book = readClean(season);
        const ledger = ledgerOf(season);
        for (const { content } of book.vessels)
          expect(content.volumes.reduce((sum, volume) => sum + volume, 0)).toBe(content.volume);
        const off = farthest(
          book,
          (vessel) => originsIn(book, vessel),
          (name) => ledger.originsOf(name),
        );
        expect(off).toBeLessThanOrEqual(4 + season.entries.length / 2);
      }),
      runs(150),
    );
  });

  test('after two hundred movements and more shares are within five parts in a million', () => {
    fc.assert(
      fc.property(seasons(LONG), (season) => {
        fc.pre(season.entries.length >= 200);
        const book = readClean(season);
        const ledger = ledgerOf(season);
        for (const vessel of book.vessels) {
          const { volume } = vessel.content;
          if (volume < 20_000_000) continue;
          const have = originsIn(book, vessel);
          for (const [key, want] of ledger.originsOf(vessel.facts.name))
            expect(Number(close(have.get(key) ?? 0, want)) / volume).toBeLessThanOrEqual(5e-6);
        }
      }),
      runs(12),
    );
  });

  test('what was added is in the vessels or left with wine', () => {
    fc.assert(
      fc.property(seasons(SHORT), (season) => {
        const book = readClean(season);
        const ledger = ledgerOf(season);
        const off = farthest(
          book,
          (vessel) => materialsIn(book, vessel),
          (name) => ledger.materialsOf(name),
        );
        // a draw rounds what goes along down to a whole microgram
        expect(off).toBeLessThanOrEqual(2 * season.entries.length);
        const added = new Map<string, bigint>();
        for (const { movement } of season.entries)
          if (movement.kind === 'added')
            added.set(movement.material, (added.get(movement.material) ?? 0n) + movement.micrograms);
        for (const [name, sum] of added) {
          const id = book.materials.findIndex((material) => material.name === name);
          const direct = book.lots.flatMap(({ additions }) => additions).filter(({ material }) => material === id);
          expect(BigInt(direct.reduce((all, one) => all + one.direct, 0))).toBe(sum);
          const gone = ledger.materialsGone().get(name) ?? NOTHING;
          const there = book.vessels.reduce((all, vessel) => all + (materialsIn(book, vessel).get(name) ?? 0), 0);
          expect(close(Number(sum) - there, gone)).toBeLessThanOrEqual(BigInt(2 * season.entries.length));
        }
      }),
      runs(100),
    );
  });

  test('every month begins as the last one ended, and the last ends with what is on hand', () => {
    fc.assert(
      fc.property(seasons(SHORT), (season) => {
        fc.pre(season.entries.length > 0);
        const book = readClean(season);
        const ledger = ledgerOf(season);
        const months = monthVolumes(book);
        let bulk = 0;
        let bottled = 0;
        for (const month of months) {
          expect(month.bulk.start).toBe(bulk);
          expect(month.bottled.start).toBe(bottled);
          bulk = month.bulk.end;
          bottled = month.bottled.end;
        }
        const inVessels = ledger.vessels.reduce((sum, { name }) => sum + ledger.volumeOf(name), 0n);
        const all = [...ledger.lotVolumes().values()].reduce((sum, volume) => sum + volume, 0n);
        expect(BigInt(bulk)).toBe(inVessels);
        expect(BigInt(bottled)).toBe(all - inVessels);
      }),
      runs(100),
    );
  });

  test('the order of the files and a file a day change nothing', () => {
    fc.assert(
      fc.property(seasons(SHORT), fc.infiniteStream(fc.nat(999)), (season, order) => {
        const days = dayTexts(season);
        const files = days.map(({ day, text }) => ({ path: `day-${day}.cellar`, text }));
        for (let i = files.length - 1; i > 0; i--) {
          const j = (order.next().value ?? 0) % (i + 1);
          const [a, b] = [files[i], files[j]];
          if (a !== undefined && b !== undefined) [files[i], files[j]] = [b, a];
        }
        files.splice(Math.floor(files.length / 2), 0, { path: 'standing.cellar', text: STANDING });
        const told = (book: Book) => {
          const { findings, ...rest } = exportBook(book);
          // findings are told file by file, so their order may differ too
          return { ...rest, findings: findings.map(({ code, message }) => `${code} ${message}`).sort() };
        };
        expect(withoutPlaces(told(bookOf(files)))).toEqual(withoutPlaces(told(bookOf(journalOf(season)))));
      }),
      runs(60),
    );
  });

  test('as of a day, the book is that of the journal cut there', () => {
    fc.assert(
      fc.property(seasons(SHORT), fc.nat(999), (season, which) => {
        fc.pre(season.entries.length > 0);
        const days = dayTexts(season).map(({ day }) => day);
        const day = days[which % days.length] ?? 0;
        const asOf = bookOf(journalOf(season), FIRST_DAY + day);
        expect(exportBook(asOf)).toEqual(exportBook(bookOf(journalOf(season, day))));
        expect(volumes(asOf)).toEqual(ledgerVolumes(ledgerOf(season, day)));
      }),
      runs(60),
    );
  });
});

/** An export without the places of its lines, which are all that may differ. */
function withoutPlaces(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutPlaces);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .filter(([key]) => !['source', 'file', 'line'].includes(key))
      .map(([key, one]) => [key, withoutPlaces(one)]),
  );
}
