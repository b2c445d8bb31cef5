import { expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { readFolder } from '../../src/cli/journal-files.ts';
import { contextOf } from '../../src/report/context.ts';
import { vintageModel, vintagePages, vintagesModel } from '../../src/report/vintages.ts';
import { columnOf, contextFrom, present, rowsOf } from './told.ts';

const JOURNAL = `
vessel B1 bin 1000 L plastic
vessel T1..T6 tank 1000 L steel
block ledge-2 Syrah region "Lower Teal" 1 ha
material ey-7 yeast

2026-09-01 Tue
08:00 found T1 400 L as OLD of ledge-2, vintage 2025
2026-09-10 Thu
08:00 receive RED from ledge-2, net 1000 kg
      reading RED brix 24, pH 3.5
09:00 crush RED to B1 ~900 L, destemmed, stems 40 kg
10:00 inoculate RED with ey-7 25 g/hL
2026-09-14 Mon
08:00 reading B1 brix 12, temp 29 C
2026-09-20 Sun
08:00 drain RED to T2 560 L as RED-free
09:00 press RED, pomace 200 kg
      cut 1.0 bar to T3 140 L as RED-p
2026-10-01 Thu
08:00 blend T1 400 L, T3 100 L to T4 500 L as MIX
2026-10-05 Mon
08:00 loss T4 50 L for spill
09:00 bottle T4 to 500 x 750 mL as "MIXED", leaving 75 L
`;

const context = contextFrom(JOURNAL);
const pages = vintagePages(context);

test('a blend’s losses and bottles fall on its vintages by what it was made of', () => {
  const { sheet, account } = vintagesModel(context, pages);
  expect(columnOf(sheet, 'Vintage')).toEqual(['2026', '2025']);
  expect(columnOf(sheet, 'Wine yield')).toEqual(['700 L/t', '']);
  // 375 L were bottled of four parts of 2025 and one of 2026
  expect(columnOf(sheet, 'Bottled')).toEqual(['75 L', '300 L']);
  const row = (name: string) =>
    rowsOf(account)
      .find(([first]) => first === name)
      ?.slice(1);
  expect(row('spilled')).toEqual(['−10 L', '−40 L']);
  expect(row('must made from fruit')).toEqual(['+900 L', '']);
  expect(row('found or bought in')).toEqual(['', '+400 L']);
  // 560 and 40 left of the pressings; of the blend 75 L are left
  expect(row('now in vessels')).toEqual(['615 L', '60 L']);
});

test('a vintage has its fruit, its ferment and its wines', () => {
  const page = present(pages[0]);
  const model = vintageModel(context, pages, page, { text: 'Fruit of 2026', href: 'fruit.html' });
  expect(model.lead).toBe('1000 kg of fruit in 1 load, 75 L bottled, 615 L in vessels.');
  expect(rowsOf(model.lots)[0]).toEqual([
    'RED',
    'ledge-2',
    '1000 kg',
    'brix 24 °Bx, pH 3.5',
    '10 days, 10 Sep, 20 Sep',
    '29 °C',
    '900 L',
    '700 L',
    '700 L/t',
  ]);
  expect(rowsOf(model.now).map(([lot, , share]) => [lot, share])).toEqual([
    ['RED-free', '100 %'],
    ['RED-p', '100 %'],
    ['MIX', '20 %'],
    ['MIXED', '20 %'],
  ]);
  expect([model.before?.text, model.after]).toEqual(['2025', undefined]);
});

test('what came is what went and what is there, vintage by vintage of the demo', () => {
  const { files } = readFolder(`${import.meta.dirname}/../../demo-journal`);
  const demo = contextOf(makeBook(files, undefined, checkJournal));
  for (const { all, year } of vintagePages(demo)) {
    const lost = Object.values(all.lost).reduce((sum, volume) => sum + volume, 0);
    const left = all.made + all.entered + all.gains + all.settled - lost - all.samples - all.dispatched;
    expect(Math.abs(left - all.inVessels - all.inBottles), String(year)).toBeLessThan(1000);
  }
});

test('without a vintage the page says what would name one', () => {
  const none = contextFrom('vessel T1 tank 1000 L steel\n');
  expect(vintagesModel(none, vintagePages(none))).toMatchObject({ sheet: undefined, account: undefined });
});
