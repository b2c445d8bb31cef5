/** Lots that go into one another again and again: their colour is found in time that grows with the family, not with its paths. */
import { expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal, checkTexts } from '../../src/checks/check-journal.ts';

/** Each blend has the two before it as parents: the paths back to the first lot grow as the numbers of Fibonacci do. */
function blends(count: number): string {
  const lines = [
    'vessel T1..T3 tank 1200 L',
    'block ledge-2 Syrah',
    '2026-01-05',
    'found T1 400 L as L0 of ledge-2, vintage 2025',
    'found T2 400 L as L1 of ledge-2, vintage 2025',
  ];
  let [older, newer, empty] = ['T1', 'T2', 'T3'];
  for (let i = 2; i < count; i++) {
    lines.push(`blend ${older} 200 L, ${newer} 200 L to ${empty} as L${i}`);
    // what is left of the older makes room, and the newer is filled up again
    lines.push(`dispatch ${older} for vinegar`, `bring to ${newer} 200 L as L${i - 1} of ledge-2, vintage 2025`);
    [older, newer, empty] = [newer, empty, older];
  }
  return `${lines.join('\n')}\n`;
}

test('a long family of blends keeps its colour', () => {
  const files = [{ path: 'a.cellar', text: blends(60) }];
  expect(checkTexts(files).findings.filter((finding) => finding.severity === 'error')).toEqual([]);
  const book = makeBook(files, undefined, checkJournal);
  expect(book.lots.length).toBe(60);
  expect(book.lots.every((lot) => lot.colour === 'red')).toBe(true);
});
