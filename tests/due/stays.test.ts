/** What lay where, worked out from movements alone, is what the fold has: in the demo journal and in random seasons. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Book } from '../../src/cellar/book.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { logOf } from '../../src/due/from-book.ts';
import { journalOf, seasons } from '../properties/season.ts';

/** Every stay of a book as the replay has it, and as the vessels' own records have it. */
function bothWays(book: Book): { replayed: string[]; recorded: string[] } {
  const name = (vessel: number): string => book.vessels[vessel]?.facts.name ?? '';
  const replayed = logOf(book, book.on + 2).stays.all.map(
    ({ vessel, lot, from, until }) => `${name(vessel)} ${lot} ${from} ${until ?? ''}`,
  );
  const recorded = book.vessels.flatMap(({ facts, fills }) =>
    fills.map(({ lot, from, until }) => `${facts.name} ${lot} ${from} ${until ?? ''}`),
  );
  return { replayed: replayed.sort(), recorded: recorded.sort() };
}

test('in the demo journal', () => {
  const folder = resolve(import.meta.dirname, '../../demo-journal');
  const files = readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.name.endsWith('.cellar'))
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)))
    .sort()
    .map((path) => ({ path, text: readFileSync(join(folder, path), 'utf8') }));
  const { replayed, recorded } = bothWays(makeBook(files, undefined, checkJournal));
  expect(replayed.length).toBeGreaterThan(80);
  expect(replayed).toEqual(recorded);
});

test('in random seasons', () => {
  fc.assert(
    fc.property(seasons({ minLength: 5, maxLength: 60 }), (season) => {
      const [first, ...rest] = journalOf(season);
      if (first === undefined) return;
      const files = [{ ...first, text: `plan p for wine\n${first.text}` }, ...rest];
      const { replayed, recorded } = bothWays(makeBook(files, undefined, checkJournal));
      expect(replayed).toEqual(recorded);
    }),
    { numRuns: 60 },
  );
});
