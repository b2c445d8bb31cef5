import { describe, expect, test } from 'vitest';
import { onHandByAccount } from '../../src/cellar/accounts.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { readFolder } from '../../src/cli/journal-files.ts';
import { exportBook } from '../../src/report/export.ts';
import { fruitModel, fruitPages } from '../../src/report/fruit.ts';
import { cropText } from '../../src/report/fruit-loads.ts';
import { fruitOutcomes, sumOutcomes } from '../../src/report/fruit-outcome.ts';
import { columnOf, contextFrom, hrefsIn, present, rowsOf } from './told.ts';

/** Two blocks crushed together, one pressed as it came; the year before there was one load. */
const JOURNAL = `
cellar "Quern Hollow"
vessel B1..B3 bin 1000 L plastic
vessel T1..T6 tank 1200 L steel
block ledge-2 Syrah region "Lower Teal" 0.5 ha, grower "contract 7"
block ledge-5 Grenache region "Lower Teal" 0.25 ha, grower "contract 7"
block lower-3 Riesling region "Lower Teal"
material ey-7 yeast

2025-09-20 Sat
08:00 receive OLD from lower-3, net 500 kg
09:00 press OLD, pomace 150 kg
      cut 0.5 bar to T6 310 L

2026-08-20 Thu
09:00 reading ledge-2 brix 21.9, pH 3.38, TA 7.1 g/L
      reading ledge-5 brix 20.8
2026-09-01 Tue
09:00 reading ledge-2 brix 23.1, pH 3.44, TA 6.5 g/L
2026-09-10 Thu
07:00 receive RED from ledge-2, gross 1000 kg, tare 250 kg, tag 101, in 3 bins
07:30 receive RED from ledge-5, gross 400 kg, tare 150 kg, tag 102
      reading RED brix 24, pH 3.5
08:00 crush RED to B1 ~450 L, B2 ~450 L, destemmed, stems 40 kg
10:00 inoculate RED with ey-7 25 g/hL
12:00 receive RIES from lower-3, net 1000 kg, tag 103
13:00 press RIES, pomace 310 kg
      cut 0.5 bar to T1 560 L
      cut 1.2 bar to T2 70 L as RIES-tail

2026-09-22 Tue
09:00 drain RED to T3 560 L as RED-free
10:00 press RED, pomace 200 kg
      cut 1.0 bar to T4 140 L as RED-press
2026-10-05 Mon
09:00 reading ledge-2 brix 25
`;

const context = contextFrom(JOURNAL);
const pages = fruitPages(context);
const model = fruitModel(context, pages, present(pages[0]));

test('each vintage has a page, the newest first', () => {
  expect(pages.map(({ path, title }) => [path, title])).toEqual([
    ['fruit.html', 'Fruit of 2026'],
    ['fruit/2025.html', 'Fruit of 2025'],
  ]);
  expect(model.others).toEqual([{ text: '2025', href: 'fruit/2025.html' }]);
  expect(model.lead).toBe('2000 kg in 3 loads, on 10 Sep.');
});

test('blocks are told with their crop and yields, fruit crushed together by its weight', () => {
  expect(columnOf(model.blocks, 'Block')).toEqual(['ledge-2', 'ledge-5', 'lower-3']);
  // 750 kg from 0.5 ha, 250 kg from 0.25 ha
  expect(columnOf(model.blocks, 'Crop')).toEqual(['1500 kg/ha', '1000 kg/ha', 'area not declared']);
  // 900 L of 1000 kg were crushed; 700 L came off the skins. 630 L of juice came of 1000 kg.
  expect(columnOf(model.blocks, 'Must yield')).toEqual(['900 L/t', '900 L/t', '630 L/t']);
  expect(columnOf(model.blocks, 'Wine yield')).toEqual(['700 L/t', '700 L/t', '630 L/t']);
  expect(hrefsIn(model.blocks)).toContain('method.html#wine-yield');
});

test('growers have theirs together', () => {
  expect(rowsOf(model.growers).map(([grower, blocks, loads, fruit]) => [grower, blocks, loads, fruit])).toEqual([
    ['contract 7', 'ledge-2, ledge-5', '2', '1000 kg'],
    ['not told', 'lower-3', '1', '1000 kg'],
  ]);
});

test('a lot’s fruit is followed into the names its wine took', () => {
  const lots = rowsOf(model.lots);
  expect(lots.map(([lot, , , , , must, free, press]) => [lot, must, free, press])).toEqual([
    ['RED', '900 L', '560 L', '140 L'],
    ['RIES', '630 L', '560 L', '70 L'],
  ]);
  expect(columnOf(model.lots, 'First readings')).toEqual(['brix 24 °Bx, pH 3.5', '']);
});

test('weigh tags stand in the order they came, each with its line', () => {
  expect(rowsOf(model.tags)[0]).toEqual([
    '10 Sep 07:00',
    '101',
    'RED',
    'ledge-2',
    'Syrah',
    'contract 7',
    '3',
    '1000 kg',
    '250 kg',
    '750 kg',
    'a.cellar:21',
  ]);
  expect(present(model.tags).foot?.cells[9]?.figures[0]?.text).toBe('2000 kg');
});

test('a block ripens until it is picked; what is read later is of fruit to come', () => {
  const { chart, sheet } = present(model.ripening);
  expect(chart.blocks.map(({ name, sugar, acid }) => [name, sugar.map(({ value }) => value), acid.length])).toEqual([
    ['ledge-2', [21.9, 23.1], 2],
    ['ledge-5', [20.8], 0],
  ]);
  const picked = context.book.happenings.find(({ event }) => event.kind === 'receive' && event.tag === '101');
  expect(chart.blocks[0]?.harvest).toBe(present(picked).event.minute);
  expect(columnOf(sheet, 'Line')).toEqual(['a.cellar:16', 'a.cellar:17', 'a.cellar:19']);
  const { chart: toCome } = present(model.toCome);
  expect(toCome.blocks.map(({ name, sugar, harvest }) => [name, sugar[0]?.value, harvest])).toEqual([
    ['ledge-2', 25, undefined],
  ]);
  expect(fruitModel(context, pages, present(pages[1]))).toMatchObject({ ripening: undefined, toCome: undefined });
});

test('the export gives the same wine yield, and none while must is on its skins', () => {
  const lots = exportBook(context.book).lots;
  const perTonne = (name: string) => lots.find((lot) => lot.name === name)?.fruit.litresPerTonne;
  expect([perTonne('RED'), perTonne('RIES'), perTonne('RIES-tail')]).toEqual([700, 630, null]);
  const fresh = contextFrom(JOURNAL.slice(0, JOURNAL.indexOf('2026-09-22')));
  expect(exportBook(fresh.book).lots.find(({ name }) => name === 'RED')?.fruit.litresPerTonne).toBeNull();
  const [page] = fruitPages(fresh);
  expect(columnOf(fruitModel(fresh, fruitPages(fresh), present(page)).blocks, 'Wine yield')[0]).toBe('on its skins');
});

test('without fruit there is one page that says so', () => {
  const empty = contextFrom('vessel T1 tank 1000 L steel\n');
  const [page, ...more] = fruitPages(empty);
  expect(more).toEqual([]);
  expect(fruitModel(empty, [present(page)], present(page))).toMatchObject({
    lead: '',
    tags: undefined,
    blocks: undefined,
  });
});

test('many loads are turned over pages, none left out', () => {
  const loads = Array.from(
    { length: 620 },
    (_, index) => `08:00 receive L${index % 7} from ledge-2, net ${index + 1} kg`,
  );
  const many = contextFrom(`block ledge-2 Syrah region "Lower Teal" 1 ha\n2026-09-10 Thu\n${loads.join('\n')}\n`);
  const turned = fruitPages(many);
  expect(turned.map(({ path }) => path)).toEqual(['fruit.html', 'fruit/2026-2.html', 'fruit/2026-3.html']);
  const rows = turned.flatMap((page) => rowsOf(fruitModel(many, turned, page).tags));
  expect(rows.length).toBe(620);
});

test('a crop in pounds is told in short tons an acre', () => {
  const settings = { ...context.settings, mass: 'lb' as const };
  // by hand: 2241.7 kg/ha is a short ton an acre (907.18474 kg over 0.40468564 ha)
  expect(cropText(2241.702 * 1e9, 1, settings)).toBe('1.00 short tons/acre');
  expect(cropText(1e9, 0, settings)).toBe('');
});

describe('what became of the fruit', () => {
  const { files } = readFolder(`${import.meta.dirname}/../../demo-journal`);
  const book = makeBook(files, undefined, checkJournal);
  const all = sumOutcomes(fruitOutcomes(book));

  test('agrees with what the vessels of the demo hold, origin by origin', () => {
    const origin = (id: number | undefined): string => {
      const facts = id === undefined || id < 0 ? undefined : book.origins[id];
      return JSON.stringify([facts?.block, facts?.variety, facts?.vintage, facts?.grower]);
    };
    const held = new Map<string, number>();
    for (const { content } of book.vessels) {
      for (const [i, id] of content.origins.entries())
        held.set(origin(id), (held.get(origin(id)) ?? 0) + (content.volumes[i] ?? 0));
    }
    const followed = new Map<string, number>();
    for (const { source, inVessels } of fruitOutcomes(book))
      if (inVessels > 0) followed.set(origin(source.origin), (followed.get(origin(source.origin)) ?? 0) + inVessels);
    expect([...followed.keys()].sort()).toEqual([...held.keys()].sort());
    // cuts of whole microlitres and shares that are fractions differ by far less than a millilitre each
    for (const [key, volume] of held) expect(Math.abs((followed.get(key) ?? 0) - volume), key).toBeLessThan(100_000);
  });

  test('leaves nothing unexplained', () => {
    const lost = Object.values(all.lost).reduce((sum, volume) => sum + volume, 0);
    const came = all.made + all.entered + all.settled + all.gains;
    expect(Math.abs(came - lost - all.samples - all.dispatched - all.inVessels - all.inBottles)).toBeLessThan(1000);
    const onHand = book.lots.reduce((sum, lot) => sum + onHandByAccount(lot.account), 0);
    expect(Math.abs(all.inVessels + all.inBottles - onHand)).toBeLessThan(1000);
  });
});
