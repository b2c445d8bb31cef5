/** A journal's outcome in short: what every lot came to and what every vessel holds. */
import type { Book, LotRecord } from '../../src/cellar/book.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import type { SourceFile } from '../../src/journal/files.ts';
import { findingJson } from '../../src/report/findings-json.ts';

const MICRO = 1e6;
const KILO = 1e9;

export const bookOf = (files: readonly SourceFile[]): Book => makeBook(files, undefined, checkJournal);

/** Figures that are not nothing, in units of so many parts. */
const told = (figures: Readonly<Record<string, number>>, per: number): Record<string, number> =>
  Object.fromEntries(
    Object.entries(figures)
      .filter(([, figure]) => figure !== 0)
      .map(([name, figure]) => [name, figure / per]),
  );

/** `ledge-2 2026`, with what was drained or pressed apart. */
function originName(book: Book, id: number): string {
  const origin = book.origins[id];
  return [origin?.block ?? origin?.variety, origin?.vintage, origin?.run]
    .filter((part) => part !== undefined)
    .join(' ');
}

function lotSummary(book: Book, lot: LotRecord) {
  const material = (id: number): string => book.materials[id]?.name ?? '';
  const additions = (which: 'direct' | 'carriedIn') =>
    Object.fromEntries(
      lot.additions
        .filter((addition) => addition[which] > 0)
        .map((addition) => [`${material(addition.material)} ${addition.unit}`, addition[which]]),
    );
  return {
    stage: lot.stage,
    ...(lot.colour === undefined ? {} : { colour: lot.colour }),
    litres: lot.onHand / MICRO,
    ...(lot.estimated ? { estimated: true } : {}),
    account: told({ ...lot.account }, MICRO),
    fruit: told(lot.fruit, KILO),
    origins: told(
      Object.fromEntries(lot.composition.map(({ origin, volume }) => [originName(book, origin), volume])),
      MICRO,
    ),
    added: additions('direct'),
    carried: additions('carriedIn'),
    bottles: Object.fromEntries(lot.bottles.map(({ count, size }) => [`${size / 1000} mL`, count])),
  };
}

/** Lots, full vessels and findings by name, in the order they were named. */
export function summary(book: Book) {
  return {
    lots: Object.fromEntries(book.lots.map((lot) => [lot.facts.name, lotSummary(book, lot)])),
    vessels: Object.fromEntries(
      book.vessels
        .filter((vessel) => vessel.lot !== undefined)
        .map((vessel) => [
          vessel.facts.name,
          { lot: book.lots[vessel.lot ?? -1]?.facts.name, litres: vessel.content.volume / MICRO },
        ]),
    ),
    findings: book.findings.map((finding) => findingJson(finding, book.files)),
  };
}
