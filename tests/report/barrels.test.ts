import { expect, test } from 'vitest';
import { barrelOf, barrelsModel, barrelsPages, stripOf, yearsText } from '../../src/report/barrels.ts';
import { vesselModel } from '../../src/report/vessel.ts';
import { vesselsModel, vesselsPages } from '../../src/report/vessels.ts';
import { columnOf, contextFrom, present, rowsOf } from './told.ts';

const JOURNAL = `
vessel T1..T2 tank 1000 L steel
vessel FB-01..FB-05 barrel 225 L wood french, toast medium, first used 2025
vessel K1 keg 50 L
block ledge-2 Syrah region "Lower Teal" 1 ha
material soda cleaner

2026-01-05 Mon
08:00 found T1 900 L as SYR of ledge-2, vintage 2025
      found K1 50 L as SYR of ledge-2, vintage 2025
09:00 rack T1 to FB-01..FB-04 225 L each
2026-01-20 Tue
09:00 reading SYR free SO2 30 mg/L
2026-02-02 Mon
09:00 top FB-01..FB-02 from K1 4 L
2026-02-16 Mon
09:00 top FB-01 from K1 1 L
      reading FB-01 free SO2 27 mg/L
2026-02-20 Fri
09:00 rack FB-04 to T2 225 L
10:00 clean FB-04 with soda 100 g
2026-02-24 Tue
10:00 note T2 -- quiet
`;

const context = contextFrom(JOURNAL);
const vessel = (name: string) => present(context.book.vessels.find(({ facts }) => facts.name === name));

test('those longest untopped stand first; one never topped counts from its filling', () => {
  const pages = barrelsPages(context);
  const model = barrelsModel(context, pages, present(pages[0]));
  expect(model.lead).toBe('3 barrels with 675 L, 2 empty.');
  expect(rowsOf(model.filled).map(([barrel, topped]) => [barrel, topped])).toEqual([
    ['FB-03', '50 days not since it was filled'],
    ['FB-02', '22 days, 2 Feb'],
    ['FB-01', '8 days, 16 Feb'],
  ]);
  expect(model.untoppedCount).toBe(2);
  expect(model.untopped).toEqual([
    { days: '50 days', barrels: 'FB-03' },
    { days: '22 days', barrels: 'FB-02' },
  ]);
});

test('free sulfur dioxide is of the barrel itself, or of its lot since it was filled', () => {
  const pages = barrelsPages(context);
  const { filled } = barrelsModel(context, pages, present(pages[0]));
  expect(columnOf(filled, 'Since free SO2 was read')).toEqual([
    '35 days, 30 mg/L, 20 Jan',
    '35 days, 30 mg/L, 20 Jan',
    '8 days, 27 mg/L, 16 Feb',
  ]);
});

test('what evaporated since it was filled is what toppings took beyond the headspace', () => {
  expect(barrelOf(context, vessel('FB-01')).evaporated).toBe(3_000_000);
  expect(barrelOf(context, vessel('FB-02')).evaporated).toBe(2_000_000);
});

test('empty barrels tell since when, what they held, and when they were cleaned', () => {
  const pages = barrelsPages(context);
  const { empty } = barrelsModel(context, pages, present(pages[0]));
  expect(rowsOf(empty).map((row) => row.slice(0, 4))).toEqual([
    ['FB-04', '4 days since 20 Feb', 'SYR', '4 days, clean 20 Feb'],
    ['FB-05', 'never filled here', '', 'nothing told'],
  ]);
});

test('a barrel’s strip has its stays, toppings and readings', () => {
  const strip = stripOf(context, vessel('FB-01'), 0);
  expect(strip.stays.map(({ name }) => name)).toEqual(['SYR']);
  expect([strip.topped.length, strip.sulfur.length]).toEqual([2, 2]);
  expect(stripOf(context, vessel('FB-05'), 0).stays).toEqual([]);
  const page = present(vesselModel(context, vessel('FB-01').facts.id));
  expect(page.strip?.topped.length).toBe(2);
  expect(page.facts.find(({ name }) => name === 'topped')?.figures.map(({ text }) => text)).toEqual([
    '8 days ago',
    '16 Feb',
  ]);
  expect(vesselModel(context, vessel('T2').facts.id)?.strip).toBeUndefined();
});

test('age is told in years of use', () => {
  const aged = (first: number) =>
    yearsText(context, { ...vessel('FB-01'), facts: { ...vessel('FB-01').facts, firstUsed: first } });
  expect([2026, 2025, 2024, 2023, 2016, 2015, 2005].map(aged)).toEqual([
    '1st year',
    '2nd year',
    '3rd year',
    '4th year',
    '11th year',
    '12th year',
    '22nd year',
  ]);
  expect(yearsText(context, vessel('T1'))).toBe('');
});

test('nothing overdue is said too', () => {
  const fresh = contextFrom(JOURNAL.slice(0, JOURNAL.indexOf('2026-01-20')));
  const pages = barrelsPages(fresh);
  const model = barrelsModel(fresh, pages, present(pages[0]));
  expect(model.untopped).toEqual([]);
  expect(model.lead).toBe(
    '4 barrels with 900 L, 1 empty. All were topped or filled within three weeks, the longest ago today.',
  );
});

test('a cellar of a thousand barrels is turned over pages, none left out', () => {
  const found = Array.from(
    { length: 10 },
    (_, i) => `      found A${i}01..A${i}99 225 L each as L${i} of b, vintage 2025`,
  );
  const many = contextFrom(`block b Syrah region "R" 1 ha
${Array.from({ length: 10 }, (_, i) => `vessel A${i}01..A${i}99 barrel 225 L wood french`).join('\n')}
2026-01-05 Mon
08:00 note -- all there
${found.join('\n')}
`);
  const pages = barrelsPages(many);
  const names = pages.flatMap((page) => columnOf(barrelsModel(many, pages, page).filled, 'Barrel'));
  expect(new Set(names).size).toBe(990);
  expect(pages.map(({ path }) => path).slice(0, 2)).toEqual(['barrels.html', 'barrels/2.html']);
  const listed = vesselsPages(many);
  expect(listed.length).toBe(4);
  expect(listed.flatMap((page) => columnOf(vesselsModel(many, listed, page).sheet, 'Vessel')).length).toBe(990);
});

test('without barrels there is none to tell of', () => {
  const none = contextFrom('vessel T1 tank 1000 L steel\n');
  const pages = barrelsPages(none);
  expect(barrelsModel(none, pages, present(pages[0]))).toMatchObject({
    none: true,
    filled: undefined,
    empty: undefined,
  });
});
