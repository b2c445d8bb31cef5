/** Pages of bench trials: the list, the rows with what the tasters made of them, the amounts, and empty states. */
import { describe, expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { contextOf } from '../../src/report/context.ts';
import { trialModel, trialPages, trialsModel } from '../../src/report/trial-pages.ts';

const contextFor = (lines: string) =>
  contextOf(
    makeBook(
      [
        {
          path: 'a.cellar',
          text: `vessel T1..T3 tank 1200 L
block ledge-2 Syrah
hand ana, bo, cy
material egg fining agent, allergen egg

2026-12-01 Tue
08:00 found T1 600 L as LS-free of ledge-2, vintage 2026

2026-12-02 Wed
${lines}`,
        },
      ],
      undefined,
      checkJournal,
    ),
  );

const textOf = (cells: readonly { figures: readonly { text: string }[]; quiet?: string }[]): string[] =>
  cells.map(({ figures, quiet }) => [...figures.map(({ text }) => text), quiet ?? ''].join(' ').trim());

const context = contextFor(`14:00 trial T1 as E-5 for grip by ana
      A -
      B egg 3 g/hL -- softer
      C egg 6 g/hL
      ana B, A, C -- not close
      bo B, C, A
      cy B 16, A 14.5, C 13
      choose B
15:00 trial T1 as "E/5 <b>"
      A egg 1 g/hL
`);
const pages = trialPages(context);

describe('the list', () => {
  test('has every trial, the newest first, each with its page', () => {
    const { sheet } = trialsModel(context, pages);
    expect(sheet?.rows.map(({ cells }) => textOf(cells))).toEqual([
      ['E/5 <b>', '2 Dec 2026', 'T1', '1', '', ''],
      ['E-5', '2 Dec 2026', 'T1', '3', '3', 'B: egg 3 g/hL'],
    ]);
    expect(pages.map(({ path }) => path)).toEqual([
      'trials/e-5.html',
      expect.stringMatching(/^trials\/[a-z0-9-]+\.html$/u),
    ]);
  });

  test('says where there is none', () => {
    const empty = contextFor('');
    expect(trialsModel(empty, trialPages(empty)).sheet).toBeUndefined();
  });
});

describe('a trial', () => {
  const [first, second] = pages.map((page) => trialModel(context, page));

  test('shows what was tried and how it was liked, each row leading to its line', () => {
    expect(first?.rows?.rows.map(({ cells }) => textOf(cells).filter((_, i) => i !== 1))).toEqual([
      ['A', 'as it is', '0', '7', ''],
      ['B chosen', 'egg 3 g/hL', '3', '3', 'softer'],
      ['C', 'egg 6 g/hL', '0', '8', ''],
    ]);
    expect(first?.rows?.rows[1]?.cells[0]?.figures[0]?.href).toBe('journal/a.html#L12');
    expect(first?.tastings?.rows.map(({ cells }) => textOf(cells))).toEqual([
      ['ana', 'B, A, C', 'not close'],
      ['bo', 'B, C, A', ''],
      ['cy', 'B 16, A 14.5, C 13', ''],
    ]);
    // 7, 3 and 8 of three tasters: Q = 4.67, and chance does as much 42 times in 216
    expect(first?.verdict).toContain('statistic 4.67, p 0.194, chance counted out');
  });

  test('has the chosen row in amounts, as of the day the book tells of', () => {
    expect(first?.chosen).toEqual({
      text: 'B: egg 3 g/hL',
      amounts: ['egg 18 g, at 3 g/hL of 600 L'],
      paste: '2026-12-02 Wed\n15:01 fine T1 with egg 3 g/hL',
      notes: [],
    });
    expect(first?.asOf).toBe('2 Dec 2026');
  });

  test('of one row, untasted, nothing chosen, says so', () => {
    expect([second?.verdict, second?.tastings, second?.chosen]).toEqual([
      'A trial of one row compares nothing.',
      undefined,
      undefined,
    ]);
  });
});
