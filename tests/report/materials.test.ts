import { expect, test } from 'vitest';
import { batchesOf } from '../../src/report/batch-trace.ts';
import {
  batchModel,
  batchPages,
  bringsText,
  materialModel,
  materialsModel,
  shownMaterials,
  storeText,
} from '../../src/report/materials.ts';
import { storeOf } from '../../src/report/store.ts';
import { columnOf, contextFrom, present, rowsOf } from './told.ts';

const JOURNAL = `
vessel B1..B2 bin 1000 L plastic
vessel T1..T6 tank 1000 L steel
vessel FB-01 barrel 225 L wood french
block ledge-2 Syrah region "Lower Teal" 1 ha
hand ana, bo
material kms is potassium metabisulfite
material so2-tab 5 g SO2 each
material ey-7 yeast
material bent fining agent
material soda cleaner
material pec enzyme

2026-09-01 Tue
08:00 buy kms 5 kg batch A-113 from "dry goods", until 2028-01-31
      buy ey-7 10 x 500 g batch 7-1
      buy bent 2 kg batch BE-4
      buy soda 10 kg
09:00 clean T1 with soda 700 g by bo
      found T1 800 L as OLD of ledge-2, vintage 2025
2026-09-02 Wed
08:00 receive RED from ledge-2, net 1000 kg
08:10 add kms 50 g to RED by ana
09:00 crush RED to B1 ~450 L, B2 ~450 L, destemmed, stems 40 kg
10:00 add kms 100 g to T1 batch A-113 by ana
11:00 prepare starter of ey-7 250 g, water 5 L
12:00 add starter 5 L to B1
2026-09-10 Thu
08:00 buy kms 1 kg batch A-114
09:00 count kms 5.8 kg by bo
10:00 add kms 10 g to T1
2026-09-20 Sun
08:00 drain RED to T2 560 L as RED-free
09:00 press RED, pomace 200 kg
      cut 1.0 bar to T3 140 L as RED-p
2026-10-01 Thu
08:00 fine T1 with bent 50 g/hL by ana
2026-10-10 Sat
08:00 rack T1 to T4 700 L, FB-01 90 L, lees 10 L
2026-10-20 Tue
08:00 transfer T4 100 L to T2 as MIX
2026-11-01 Sun
08:00 bottle T4 to 700 x 750 mL as "25A", leaving 75 L
`;

const context = contextFrom(JOURNAL);
const { book } = context;
const material = (name: string) => present(book.materials.find((one) => one.name === name));
const record = (name: string) => present(storeOf(book).get(material(name).id));

test('what should be there is what was counted, and bought since, less what was used since', () => {
  // bought 5 kg and 1 kg, used 50 g on the fruit and 100 g before the count: the book has 5.85 kg
  expect(record('kms').counted).toMatchObject([{ said: '5.8 kg', difference: -50e6 }]);
  // after the count 10 g more were used
  expect(record('kms').onHand).toEqual([{ unit: 'µg', amount: 5790e6, counted: true }]);
  expect(record('soda').onHand).toEqual([{ unit: 'µg', amount: 9300e6, counted: false }]);
  // 10 packets of 500 g, a half of one into the starter
  expect(record('ey-7').onHand).toEqual([{ unit: 'µg', amount: 4750e6, counted: false }]);
  // what was made of it was all used
  expect(record('starter').onHand).toEqual([{ unit: 'µL', amount: 0, counted: false }]);
});

test('what went on the fruit counts as used by its lot', () => {
  const onFruit = present(record('kms').used[0]);
  expect(onFruit.lots).toEqual([{ lot: 1, amount: { unit: 'µg', amount: 50e6 } }]);
  expect(columnOf(materialModel(context, material('kms')).uses, 'Into')).toEqual([
    'RED on the fruit',
    'OLD 800 L in T1',
    'OLD 800 L in T1',
  ]);
});

test('the list tells what each is, brings, and whether it is an allergen', () => {
  const { sheet, batches } = materialsModel(context);
  const row = (name: string) => rowsOf(sheet).find(([first]) => first === name);
  expect(row('kms')?.slice(0, 7)).toEqual([
    'kms',
    'sulfite: potassium metabisulfite',
    '57.6 % SO2, 35.2 % K',
    'sulfites',
    '6 kg',
    '160 g',
    '5.79 kg',
  ]);
  expect(row('so2-tab')?.slice(2, 4)).toEqual(['5 g SO2 each', '']);
  expect(columnOf(batches, 'Batch')).toEqual(['A-113', 'A-114', '7-1', 'BE-4']);
  expect(columnOf(batches, 'Keeps until')[0]).toBe('31 Jan 2028');
  expect(rowsOf(sheet).some(([name]) => name === 'water')).toBe(false);
});

test('a count tells by how much the store was off', () => {
  const { store } = materialModel(context, material('kms'));
  expect(rowsOf(store).map(([, what, amount, words]) => [what, amount, words])).toEqual([
    ['bought', '5 kg', 'from dry goods, batch A-113, keeps until 31 Jan 2028'],
    ['bought', '1 kg', 'batch A-114'],
    ['counted', '5.8 kg', '50 g less than the 5.85 kg that should be there'],
  ]);
});

test('a batch is followed into every wine it came into, and how sure that is', () => {
  const sure = (code: string) =>
    present(batchesOf(book).find((one) => one.code === code)).wines.map(
      ({ lot, certainty, direct }) => `${book.lots[lot]?.facts.name} ${certainty}${direct ? '' : ' with wine'}`,
    );
  // on the fruit when no other had been bought; named for OLD; then by wine into what was drained, blended and filled
  expect(sure('A-113').sort()).toEqual(
    [
      'RED only',
      'OLD named',
      'RED-free only with wine',
      'RED-p only with wine',
      'MIX named with wine',
      '25A named with wine',
    ].sort(),
  );
  // bought later: it may have been what went into OLD then
  expect(sure('A-114')).toEqual(['OLD maybe', 'MIX maybe with wine', '25A maybe with wine']);
  // by way of the starter
  expect(sure('7-1')).toContain('RED only');
  expect(sure('BE-4').sort()).toEqual(['25A only with wine', 'MIX only with wine', 'OLD only']);
});

test('each batch has a page, with its purchase and its wines', () => {
  const pages = batchPages(context);
  expect(pages.map(({ path }) => path)).toEqual([
    'batches/kms-a-113.html',
    'batches/kms-a-114.html',
    'batches/ey-7-7-1.html',
    'batches/bent-be-4.html',
  ]);
  const { batch, path, title } = present(pages[0]);
  const model = batchModel(context, batch, path, title);
  expect(model.lead).toBe(
    '1 addition names it; 1 addition when no other batch had been bought; 1 addition of it or of another batch.',
  );
  expect(model.bought[0]?.text).toBe('1 Sep 2026: 5 kg from dry goods, keeps until 31 Jan 2028');
  expect(columnOf(model.wines, 'What the wine is now')).toContain('700 × 750 mL on hand');
});

test('more used than bought is told, not hidden', () => {
  const short = contextFrom(`vessel T1 tank 1000 L steel
block b Syrah region "R" 1 ha
material kms is potassium metabisulfite
2026-09-01 Tue
found T1 800 L as OLD of b, vintage 2025
add kms 40 g to T1
2026-09-02 Wed
count kms 1 kg
`);
  const [facts] = shownMaterials(short);
  const { sheet } = materialsModel(
    contextFrom(`vessel T1 tank 1000 L steel
block b Syrah region "R" 1 ha
material kms is potassium metabisulfite
2026-09-01 Tue
found T1 800 L as OLD of b, vintage 2025
add kms 40 g to T1
`),
  );
  expect(columnOf(sheet, 'Should be there')).toEqual(['40 g more used than bought']);
  // the first count of what was never bought differs from nothing
  expect(columnOf(materialModel(short, present(facts)).store, 'From, batch; what a count found')).toEqual([
    'the first that is known of it',
  ]);
});

test('a journal without materials says what would put one there', () => {
  expect(materialsModel(contextFrom('# nothing\n'))).toMatchObject({ sheet: undefined, batches: undefined });
});

test('amounts and strengths read as they are said', () => {
  expect(storeText({ unit: 'µL', amount: 350_000 })).toBe('350\u00A0mL');
  expect(storeText({ unit: 'µL', amount: 4_940_000 })).toBe('4.94\u00A0L');
  expect(storeText({ unit: 'pieces', amount: 1 })).toBe('1 piece');
  expect(storeText({ unit: 'pieces', amount: 12.5 })).toBe('12.5 pieces');
  expect(bringsText([{ analyte: 'SO2', per: 'volume', amount: 50_000_000_000 }])).toBe('50\u00A0g/L SO2');
});
