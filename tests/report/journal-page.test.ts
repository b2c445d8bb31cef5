import { expect, test } from 'vitest';
import { contextOf } from '../../src/report/context.ts';
import { findingsByLine, journalModel, kindOf } from '../../src/report/journal-page.ts';
import { fixtureBook } from './fixture.ts';

test('a page of the journal leads to the files beside its own', () => {
  const book = fixtureBook();
  const context = contextOf({
    ...book,
    files: ['2026/08.cellar', '2026/09.cellar', '2026/10.cellar'].map((path) => ({ path, text: '' })),
  });
  const beside = [0, 1, 2].map((file) => {
    const model = journalModel(context, file, findingsByLine(context));
    return [model?.before?.text, model?.after?.text];
  });
  expect(beside).toEqual([
    [undefined, '2026/09.cellar'],
    ['2026/08.cellar', '2026/10.cellar'],
    ['2026/09.cellar', undefined],
  ]);
  expect(journalModel(context, 1, findingsByLine(context))?.before?.href).toBe('journal/2026-08.html');
});

test('a struck line is told as one, with times or without, and no other word is taken for it', () => {
  expect(
    ['09:00 struck dip T1 40 L', 'struck vessel T9', '07:40, 13:00 STRUCK note T1', '  struck cut T5 40 L'].map(kindOf),
  ).toEqual(['struck', 'struck', 'struck', 'struck']);
  expect(['09:00 note T1 -- struck', 'struckwine is here', '# struck'].map(kindOf)).toEqual([
    'plain',
    'plain',
    'comment',
  ]);
});
