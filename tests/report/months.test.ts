import { describe, expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { readFolder } from '../../src/cli/journal-files.ts';
import { contextOf } from '../../src/report/context.ts';
import { monthVolumes } from '../../src/report/month-volumes.ts';
import { monthModel, monthPages, monthsModel, yearModel } from '../../src/report/months.ts';
import { columnOf, contextFrom, hrefsIn, present, rowsOf, textOf } from './told.ts';

const JOURNAL = `
vessel T1..T4 tank 1000 L steel
block ledge-2 Syrah region "Lower Teal" 1 ha
block lower-3 Riesling region "Lower Teal" 1 ha

2026-08-30 Sun
08:00 found T1 800 L as OLD of ledge-2, vintage 2025
2026-09-10 Thu
08:00 receive RIES from lower-3, net 1000 kg
09:00 press RIES, pomace 320 kg
      cut 0.5 bar to T2 630 L
2026-09-20 Sun
08:00 rack T2 to T3 600 L, lees 30 L
09:00 bottle T1 to 900 x 750 mL as "25A", loss 5 L, leaving 120 L
2026-09-25 Fri
10:00 dispatch "25A" 20 x 750 mL for sale to "inn at the ford"
      dispatch "25A" 4 x 750 mL for tasting
      dip T1 118 L
2026-11-02 Mon
10:00 loss T3 2.5 L for spill
`;

const context = contextFrom(JOURNAL);
const pages = monthPages(context);
const september = present(pages.months.find(({ volumes }) => volumes.month === '2026-09'));
const model = monthModel(pages, september);

test('a month starts with what the last one ended with, the quiet ones too', () => {
  expect(pages.months.map(({ path }) => path)).toEqual([
    'months/2026-08.html',
    'months/2026-09.html',
    'months/2026-10.html',
    'months/2026-11.html',
  ]);
  const { sheet, lead } = monthsModel(pages);
  expect(columnOf(sheet, 'At the start').reverse().slice(1)).toEqual(
    columnOf(sheet, 'In vessels at the end').reverse().slice(0, -1),
  );
  expect(lead[0]).toEqual({
    text: 'November 2026 holds, so far, 715.5 L in vessels and 657 L in bottle',
    href: 'months/2026-11.html',
  });
});

test('every figure of a month opens into its entries', () => {
  // by hand: 800 + 630 − 30 lees − 675 bottled − 5 handling − 2 at the dip = 718; 675 − 15 − 3 = 657 in bottle
  expect(model.lead).toBe('The month ended with 718 L in vessels and 657 L in bottle.');
  expect(rowsOf(model.sheet)).toEqual([
    ['at the start', '800 L', '0 L'],
    ['must and juice made from fruit', '+630 L', ''],
    ['filled from vessels', '', '+675 L'],
    ['bottled', '−675 L', ''],
    ['dispatched for sale', '', '−15 L'],
    ['dispatched for tasting', '', '−3 L'],
    ['lost with the lees', '−30 L', ''],
    ['lost in handling', '−5 L', ''],
    ['lost at dips and counts, unexplained', '−2 L', ''],
  ]);
  expect(present(model.sheet.foot).cells.map(textOf)).toEqual(['at the end', '718 L', '657 L']);
  const anchors = new Set(model.sections.map(({ id }) => `#${id}`));
  expect(
    hrefsIn(model.sheet)
      .filter((href) => href.startsWith('#'))
      .every((href) => anchors.has(href)),
  ).toBe(true);
  const sale = present(model.sections.find(({ title }) => title === 'Dispatched for sale'));
  expect(rowsOf(sale.sheet)).toEqual([
    ['25 Sep 10:00', '15 L', 'Dispatched 20 bottles of 750 mL of 25A for sale to inn at the ford.', 'a.cellar:16'],
  ]);
});

test('wine that only moved within the cellar is no part of it', () => {
  const lees = present(model.sections.find(({ title }) => title === 'Lost with the lees'));
  expect(columnOf(lees.sheet, 'Volume')).toEqual(['30 L']);
});

test('a month without entries ends as it started', () => {
  const october = monthModel(pages, present(pages.months[2]));
  expect(october.sections).toEqual([]);
  expect(rowsOf(october.sheet)).toEqual([['at the start', '718 L', '657 L']]);
  expect(october.sheet.rows[0]?.cells[0]?.figures[0]?.href).toBe('months/2026-09.html#at-the-end');
});

test('reports in gallons show litres behind', () => {
  const gallons = contextFrom(`report gallons, fahrenheit, pounds\n${JOURNAL}`);
  const made = monthPages(gallons);
  const { sheet } = monthModel(made, present(made.months[1]));
  // NIST Handbook 44, appendix C: 3.785411784 L
  expect(rowsOf(sheet)[0]).toEqual(['at the start', `${(800 / 3.785411784).toFixed(4)} gal 800 L`, '0 gal 0 L']);
});

test('many entries of a figure are told by the day, and lose nothing', () => {
  const lines = Array.from(
    { length: 90 },
    (_, i) =>
      `${String(8 + Math.floor(i / 60)).padStart(2, '0')}:${String(i % 60).padStart(2, '0')} loss T1 1 L for spill`,
  );
  const many = monthPages(
    contextFrom(
      `${JOURNAL}2026-12-01 Tue\n09:00 found T4 500 L as X of ledge-2, vintage 2025\n2026-12-02 Wed\n${lines.join('\n').replaceAll('T1', 'T4')}\n`,
    ),
  );
  const spilled = present(
    monthModel(many, present(many.months.at(-1))).sections.find(({ title }) => title === 'Lost by spilling'),
  );
  expect(rowsOf(spilled.sheet)).toEqual([
    ['2 Dec', '90 L', '90 entries', 'a.cellar:24, a.cellar:25, a.cellar:26 and 87 more'],
  ]);
  expect(present(spilled.sheet?.foot).cells.map(textOf)[1]).toBe('90 L');
});

test('decades of months are folded into a page a year', () => {
  const old = contextFrom(
    `vessel T1 tank 1000 L steel\nblock b Syrah region "R" 1 ha\n1999-03-01 Mon\nfound T1 800 L as OLD of b, vintage 1998\n2026-03-01 Sun\nloss T1 1 L for spill\n`,
  );
  const folded = monthPages(old);
  expect(folded.months.length).toBe(325);
  expect(folded.years.length).toBe(25);
  const first = monthsModel(folded);
  expect(rowsOf(first.sheet).length).toBe(27);
  const listed = folded.years.flatMap((year) => rowsOf(yearModel(folded, year).sheet));
  expect(listed.length + rowsOf(first.sheet).length).toBe(325);
});

test('an empty journal has no month to tell of', () => {
  expect(monthsModel(monthPages(contextFrom('# nothing yet\n')))).toMatchObject({ sheet: undefined, lead: [] });
});

describe('the demo', () => {
  const { files } = readFolder(`${import.meta.dirname}/../../demo-journal`);
  const book = makeBook(files, undefined, checkJournal);
  const made = monthPages(contextOf(book));

  test('ends with what its vessels and bottles hold', () => {
    const last = present(monthVolumes(book).at(-1));
    expect(last.bulk.end).toBe(book.vessels.reduce((sum, { content }) => sum + content.volume, 0));
    const bottles = book.lots.flatMap((lot) => lot.bottles);
    expect(last.bottled.end).toBe(bottles.reduce((sum, { count, size }) => sum + count * size, 0));
  });

  test('has for every figure of every month entries that come to it', () => {
    for (const month of made.months) {
      const { sheet, sections } = monthModel(made, month);
      for (const section of sections) {
        const row = present(sheet.rows.find(({ cells }) => cells[0]?.figures[0]?.href === `#${section.id}`));
        const told = row.cells
          .slice(1)
          .map(textOf)
          .filter((text) => text !== '');
        const inAll = present(section.sheet?.foot)
          .cells.slice(1)
          .map(textOf)
          .filter((text) => text !== '');
        expect(
          inAll.map((text) => text.replace('−', '')),
          `${month.title}: ${section.title}`,
        ).toEqual(told.map((text) => text.replace(/[+−]/u, '')));
      }
    }
  });
});
