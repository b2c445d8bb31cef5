/** Work after midnight is of the day it was done on, whichever day it is written under. */
import { expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { monthVolumes } from '../../src/report/month-volumes.ts';

const TEXT = `vessel T1 tank 1200 L
block ledge-2 Syrah region "Lower Teal"
2026-09-28
found T1 500 L as OLD of ledge-2, vintage 2025
2026-09-30
20:00 reading T1 pH 3.6
+00:40 dispatch T1 50 L for sale
`;
const LITRE = 1_000_000;
const LAST_OF_SEPTEMBER = Date.UTC(2026, 8, 30) / 86_400_000;

test.each([
  ['as of the day it is written under', LAST_OF_SEPTEMBER, 500],
  ['as of the day after', LAST_OF_SEPTEMBER + 1, 450],
  ['as of the last day of the journal', undefined, 450],
])('%s', (_, on, litres) => {
  const book = makeBook([{ path: 'a.cellar', text: TEXT }], on, checkJournal);
  expect(book.vessels[0]?.content.volume).toBe(litres * LITRE);
  const [september] = monthVolumes(book);
  expect(september?.bulk.end).toBe(500 * LITRE);
});
