/** Decades of records: every page still opens at once. */
import { expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { generateJournal } from '../bench/generate.mjs';
import { siteOf } from './build.ts';

test('no page of a long record is large but the journal and what the search reads', async () => {
  const files = await siteOf(makeBook(generateJournal(60_000).files, undefined, checkJournal));
  expect(files.length).toBeGreaterThan(2000);
  const large = files
    .filter(({ path }) => path.endsWith('.html') && !path.startsWith('journal/'))
    .map(({ path, text }) => ({ path, bytes: Buffer.byteLength(text) }))
    .filter(({ bytes }) => bytes >= 150_000);
  expect(large).toEqual([]);
});
