/** What a stocktake asks for, what comes back, and what differs: from a small journal, and with figures filled in by chance. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { contextOf } from '../../src/report/context.ts';
import { stocktakeModel, stocktakePages, stocktakesModel } from '../../src/report/stocktake-pages.ts';
import { stocktakeText, TO_FILL } from '../../src/report/stocktake-text.ts';
import { stocktakesOf } from '../../src/report/stocktakes.ts';
import { contextFrom, hrefsIn, present, rowsOf } from './told.ts';

const JOURNAL = `cellar "Ledge Barn"
vessel T1..T3 tank 1200 L
vessel "old milk" tank 300 L
block ledge-2 Syrah
material kms is potassium metabisulfite
material bungs other
hand ana

2026-06-01 Mon
08:00 buy kms 5 kg batch A-1
08:00 buy bungs 1000
09:00 found T1 800 L as SY of ledge-2, vintage 2025
09:00 found "old milk" 120 L as GR of ledge-2, vintage 2025
09:00 found T2 ~300 L as RO of ledge-2, vintage 2025
09:30 found 400 x 750 mL, 20 x 1.5 L as "25SY" of ledge-2, vintage 2025
10:00 add kms 100 g to T1

2026-06-30 Tue
12:00 transfer T1 100 L to T3
`;

const bookOf = (text: string) => makeBook([{ path: 'a.cellar', text }], undefined, checkJournal);

describe('what is asked for', () => {
  const lines = stocktakeText(contextFrom(JOURNAL), false);

  test('a line a vessel with something in it, a bottling and size, a material; what is empty is named', () => {
    expect(lines.slice(3)).toEqual([
      '2026-06-30 Tue',
      '# 23:59 dip T1 ____ L for stocktake # the book has 700 L of SY',
      '# 23:59 dip T2 ____ L for stocktake # the book has ~300 L of RO',
      '# 23:59 dip T3 ____ L for stocktake # the book has 100 L of SY',
      '# 23:59 dip "old milk" ____ L for stocktake # the book has 120 L of GR',
      '',
      '# 23:59 count "25SY" ____ x 750 mL for stocktake # the book has 400 bottles',
      '# 23:59 count "25SY" ____ x 1.5 L for stocktake # the book has 20 bottles',
      '',
      '# 23:59 count kms ____ kg for stocktake # the book has 4.9 kg',
      '# 23:59 count bungs ____ for stocktake # the book has 1000 pieces',
    ]);
  });

  test('blind, it says nothing of what should be there', () => {
    const blind = stocktakeText(contextFrom(JOURNAL), true);
    expect(blind.filter((line) => line.includes('the book has'))).toEqual([]);
    expect(blind).toContain('# 23:59 dip T1 ____ L for stocktake');
  });

  test('as it is printed it changes nothing', () => {
    const [before, after] = [bookOf(JOURNAL), bookOf(`${JOURNAL}\n${lines.join('\n')}\n`)];
    expect(after.happenings).toEqual(before.happenings);
    expect(after.findings).toEqual([]);
  });

  test('a line whose figure was forgotten is an error that names it', () => {
    const { findings } = bookOf(`${JOURNAL}\n2026-06-30\n23:59 dip T1 ${TO_FILL} L for stocktake\n`);
    expect(findings.map(({ severity }) => severity)).toEqual(['error']);
  });

  test('filled in at random, partly or wholly, the journal has just those figures', () => {
    const asked = lines.filter((line) => line.includes(TO_FILL) && line.startsWith('# 23:59'));
    fc.assert(
      fc.property(
        fc.array(fc.option(fc.integer({ min: 1, max: 299 })), { minLength: asked.length, maxLength: asked.length }),
        (figures) => {
          let at = 0;
          const filled = lines.map((line) => {
            if (!asked.includes(line)) return line;
            const figure = figures[at++];
            return figure === null ? line : line.replace(/^# /, '').replace(TO_FILL, String(figure));
          });
          const context = contextOf(bookOf(`${JOURNAL}\n${filled.join('\n')}\n`));
          expect(context.book.findings.filter(({ severity }) => severity === 'error')).toEqual([]);
          const [held] = stocktakesOf(context);
          const found = [
            ...(held?.vessels.map(({ measured }) => measured / 1e6) ?? []),
            ...(held?.bottles.map(({ counted }) => counted) ?? []),
            ...(held?.materials.map(({ facts, counted }) =>
              facts.name === 'kms' ? (counted.amount?.amount ?? 0) / 1e9 : (counted.amount?.amount ?? 0),
            ) ?? []),
          ];
          expect(found.toSorted((a, b) => a - b)).toEqual(
            figures.filter((figure) => figure !== null).toSorted((a, b) => a - b),
          );
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe('what was found', () => {
  const context = contextFrom(`${JOURNAL}
16:00 dip T1 690 L, T2 290 L for stocktake by ana
16:30 dip T3 100 L
17:00 count "25SY" 398 x 750 mL, 20 x 1.5 L for stocktake -- two were drunk at lunch
17:30 count kms 4.85 kg for stocktake
`);
  const pages = stocktakePages(context);
  const model = stocktakeModel(context, present(pages[0]));
  const sheetOf = (id: string) => model.sections.find((section) => section.id === id)?.sheet;

  test('wine: what differs by vessel, an estimate settled; a dip of no stocktake is none of it', () => {
    expect(rowsOf(sheetOf('wine')).map((row) => row.slice(0, 6))).toEqual([
      ['T1', 'SY', '700 L', '690 L', '−10 L', 'ana'],
      ['T2', 'RO', '300 L', '290 L', '−10 L settled', 'ana'],
    ]);
    expect(hrefsIn(sheetOf('wine'))).toContain(`journal/a.html#L${JOURNAL.split('\n').length + 1}`);
  });

  test('bottles and materials', () => {
    expect(rowsOf(sheetOf('bottles')).map((row) => row.slice(1, 7))).toEqual([
      ['750 mL', '400', '398', '−2', '−1.5 L', 'two were drunk at lunch'],
      ['1.5 L (magnum)', '20', '20', '0', '', 'two were drunk at lunch'],
    ]);
    expect(rowsOf(sheetOf('materials')).map((row) => row.slice(0, 4))).toEqual([['kms', '4.9 kg', '4.85 kg', '−50 g']]);
  });

  test('what was not looked at is named', () => {
    const missed = model.sections.find(({ id }) => id === 'missed')?.words?.map(({ text }) => text);
    expect(missed).toEqual(['Held wine or must that evening, and was not dipped: T3, old milk.']);
  });

  test('the difference is a loss of that day, but for what was settled', () => {
    const { book } = context;
    const sy = present(book.lots.find(({ facts }) => facts.name === 'SY'));
    const ro = present(book.lots.find(({ facts }) => facts.name === 'RO'));
    expect([sy.account.dipLosses, sy.account.settled]).toEqual([10_000_000, 0]);
    expect([ro.account.dipLosses, ro.account.settled]).toEqual([0, -10_000_000]);
    expect(model.lead).toContain('2 vessels, −10 L in all');
  });

  test('a list of them, the newest first; none where none was held', () => {
    expect(rowsOf(stocktakesModel(context, pages).sheet)).toEqual([['30 Jun 2026', '2', '−10 L', '−2', '1', '2']]);
    expect(stocktakesModel(contextFrom(JOURNAL), []).sheet).toBeUndefined();
  });
});
