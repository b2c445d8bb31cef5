/** The alcohol told of wine that was found or brought in counts as a reading of it. */
import { expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { exportBook } from '../../src/report/export.ts';

const SETTING = `vessel T1..T2 tank 1200 L
block ledge-2 Syrah region "Lower Teal"
2026-10-01
`;

test.each([
  ['found T1 100 L as OLD of ledge-2, vintage 2025, alcohol 16.1 %', 16.1],
  ['bring 100 L to T1 as OLD, variety Syrah, vintage 2025, alcohol 13 %, from "grower 9"', 13],
  ['found 12 x 750 mL as "25SY-9" of ledge-2, vintage 2025, alcohol 14.5 %', 14.5],
])('%s', (line, percent) => {
  const book = makeBook([{ path: 'a.cellar', text: `${SETTING}${line}\n` }], undefined, checkJournal);
  expect(book.findings).toEqual([]);
  const readings = book.happenings.flatMap(({ event }) => (event.kind === 'reading' ? event.measures : []));
  expect(readings).toEqual([{ analyte: 'alcohol', value: percent, mark: '', said: `${percent} %` }]);
  expect(exportBook(book).readings).toHaveLength(1);
});

test('without it there is none', () => {
  const text = `${SETTING}found T1 100 L as OLD of ledge-2, vintage 2025\n`;
  const book = makeBook([{ path: 'a.cellar', text }], undefined, checkJournal);
  expect(book.happenings.map(({ event }) => event.kind)).not.toContain('reading');
});
