import { describe, expect, test } from 'vitest';
import type { Happening } from '../../src/cellar/book.ts';
import { cellarModel } from '../../src/report/cellar-today.ts';
import { contextOf } from '../../src/report/context.ts';
import { explanationModels, explanationsModel } from '../../src/report/explanation.ts';
import { findingsModel, sentenceOf } from '../../src/report/finding-list.ts';
import { findingsByLine, journalModel, journalsModel } from '../../src/report/journal-page.ts';
import { historyModel, lotModel } from '../../src/report/lot.ts';
import { lotsModel, lotsPages } from '../../src/report/lots.ts';
import { readingTable } from '../../src/report/readings.ts';
import { vesselModel } from '../../src/report/vessel.ts';
import { fixtureBook } from './fixture.ts';

const book = fixtureBook();
const context = contextOf(book);
const present = <T>(value: T | undefined): T => {
  if (value === undefined) throw new Error('nothing there');
  return value;
};

describe('the cellar today', () => {
  const model = cellarModel(context);

  test('groups vessels by kind and place, and joins barrels of one lot', () => {
    expect(model.title).toBe('The cellar on Wed 30 Sep 2026');
    expect(model.groups.map(({ title }) => title)).toEqual(['Bins, crush pad', 'Tanks, tank room', 'Barrels']);
    expect(model.groups[0]?.cards.map(({ vessel }) => vessel.text)).toEqual(['B1', 'B2', 'B3', 'B4']);
    expect(model.groups[2]?.cards).toEqual([]);
    expect(model.groups[2]?.runs[0]?.volume).toBe('360 L in 3');
    expect(model.groups[2]?.empty?.text).toBe('FB-04');
  });

  test('a card tells how full, which lot, and what was last read', () => {
    const card = model.groups[0]?.cards[0];
    expect(card?.fill.text).toBe('~185 of 1000 L, 19 % full');
    expect(card?.fill.href).toBe('journal/2026-09-harvest.html#L500');
    expect(card?.lot).toEqual({ text: 'LS', href: 'lots/ls.html' });
    expect(card?.readings).toEqual([
      {
        when: '24 Sep',
        figures: [
          { text: 'brix 3.6\u00A0°Bx', href: 'journal/2026-09-harvest.html#L400' },
          { text: 'temp 16.1\u00A0°C', href: 'journal/2026-09-harvest.html#L400' },
        ],
      },
    ]);
  });

  test('errors stand before warnings, notes stand elsewhere, and a ferment brings its cautions', () => {
    const found = model.alerts.find(({ title }) => title === 'In the journal');
    expect(found?.grave).toBe(true);
    expect(found?.rows[0]?.line?.href).toBe('journal/2026-09-harvest.html#L14');
    expect(model.cautions.map(({ title }) => title)).toEqual(['Carbon dioxide', 'Bins and tanks']);
  });

  test('with no ferment and no finding there is neither', () => {
    const quiet = cellarModel(
      contextOf({ ...book, findings: [], lots: book.lots.map((lot) => ({ ...lot, stage: 'wine' as const })) }),
    );
    expect(quiet.alerts.map(({ title }) => title)).toEqual(['Wine with air over it']);
    expect(quiet.fermenting).toEqual([]);
    expect(quiet.cautions).toEqual([]);
  });
});

describe('a lot', () => {
  const model = present(lotModel(context, 0));

  test('tells its fruit, its must and its yield', () => {
    const fact = (name: string): string | undefined => model.facts.find((row) => row.name === name)?.figures[0]?.text;
    expect(fact('fruit received')).toBe('1540 kg');
    // 1340 L from 1516 kg.
    expect(fact('must')).toBe('1340 L (884 L/t)');
    expect(fact('on hand')).toBe('~740 L');
  });

  test('its waterfall adds up to what is on hand', () => {
    const rows = present(model.volumes).waterfall.rows;
    const moved = rows.filter(({ kind }) => kind !== 'level').reduce((sum, { value }) => sum + value, 0);
    expect(moved).toBeCloseTo(rows.at(-1)?.value ?? Number.NaN, 6);
    const wine = present(present(lotModel(context, 1)).volumes).waterfall.rows;
    expect(wine.map(({ label }) => label)).toEqual([
      'came in from other lots',
      'lost in handling',
      'bottled',
      'on hand',
    ]);
  });

  test('its ferment has a line a vessel, and marks beneath', () => {
    const ferment = present(model.ferment);
    expect(ferment.curve.sugar.map(({ name }) => name)).toEqual(['B1', 'B2', 'B3', 'B4']);
    expect(ferment.curve.strips.map(({ name, marks }) => [name, marks.length])).toEqual([
      ['Inoculations', 1],
      ['Additions', 1],
      ['Punch-downs', 30],
    ]);
    expect(ferment.sugar.rows.length).toBe(10);
    expect(ferment.sugar.rows[0]?.cells).toEqual(['24.4', '24.4', '24.4', '24.4']);
    // Its readings are in the tables of the ferment, and not told twice.
    expect(model.readings.rows).toEqual([]);
  });

  test('additions are told in grams and a litre, with what they bring', () => {
    expect(model.additions.rows[0]).toMatchObject({
      material: { text: 'kms', href: 'materials/kms.html' },
      amount: '93.04 g',
      rate: '69\u00A0mg/L',
      brings: '40\u00A0mg/L SO2',
      into: '1340 L in B1..B4',
    });
    expect(model.additions.sulfur).toBe(true);
    expect(model.additions.totals[0]).toMatchObject({
      material: { text: 'kms' },
      direct: '93.04 g',
      allergen: 'sulfites',
    });
  });

  test('rounds of a day fold into a line each, but no remark is folded away', () => {
    const day = present(model.days.find(({ day }) => day === '17 Sep 2026'));
    expect(day.entries.map(({ sentence }) => sentence)).toEqual([
      'Punch-down of B1..B4: 3 times (07:30, 13:30, 18:30).',
      'Readings of B1..B4: brix 21.6 to 21.8\u00A0°Bx, temp 19.6 to 21.7\u00A0°C.',
      'Read B3: brix 21.7, 19.6 °C.',
    ]);
    expect(day.entries[2]?.remark).toBe('float broke');
    expect(day.entries[1]?.lines.map(({ text }) => text)).toEqual(['09-harvest.cellar:260', ':261', ':262', ':263']);
  });

  test('where it went is linked, and what it is made of is told jointly', () => {
    expect(model.children).toEqual([{ lot: { text: 'LS-free', href: 'lots/ls-free.html' }, volume: '600 L' }]);
    const wine = present(lotModel(context, 1));
    expect(wine.parents[0]?.lot.text).toBe('LS');
    expect(wine.composition?.rows.map(({ variety, block, share }) => [variety, block, share])).toEqual([
      ['Syrah', 'ledge-2', '74.3 %'],
      ['Grenache', 'ledge-5', '25.6 %'],
    ]);
    expect(wine.composition?.runs.map(({ name }) => name)).toEqual(['free run', 'press run']);
    // Malic acid stands in a table of its own.
    expect(wine.readings.rows[0]?.cells).toEqual(['18', '3.61']);
    expect(wine.chemistry?.malolactic?.rows[0]?.malic).toBe('<0.1');
  });

  test('a finished wine has no caution about gas', () => {
    expect(model.cautions.length).toBe(2);
    expect(lotModel(context, 1)?.cautions).toEqual([]);
  });

  test('a number that is no lot has no page', () => {
    expect(lotModel(context, 99)).toBeUndefined();
    expect(vesselModel(context, -1)).toBeUndefined();
  });
});

test('a crowded round of readings is told as its span', () => {
  const reading = present(book.happenings.find(({ event }) => event.kind === 'reading'));
  const round = Array.from({ length: 12 }, (_, index): Happening => {
    if (reading.event.kind !== 'reading') throw new Error('no reading');
    const value = 20 + index;
    const measures = [{ analyte: 'free SO2', value, mark: '', said: `${value} mg/L` } as const];
    return { ...reading, event: { ...reading.event, targets: [{ kind: 'vessel', vessel: index % 9 }], measures } };
  });
  expect(readingTable(context, round).rows.map(({ of, cells }) => [of, cells])).toEqual([
    ['B1..B4, T4, FB-01..FB-04 (12 readings)', ['20 to 31']],
  ]);
  expect(readingTable(context, round.slice(0, 8)).rows.length).toBe(8);
});

test('a day of many bins is one line, and the lines it holds are counted', () => {
  const many = contextOf(fixtureBook({ bins: 15 }));
  const vessel = present(vesselModel(many, 0));
  expect(vessel.readings.rows.length).toBe(10);
  const lot = present(lotModel(many, 0));
  expect(lot.ferment?.curve.sugar.length).toBe(15);
  // So many entries have a page of their own; the lot's page has the last days.
  expect(lot.days.length).toBe(8);
  const day = present(historyModel(many, 0)?.days.find(({ day }) => day === '15 Sep 2026'));
  expect(day.entries[1]?.further).toBe(11);
});

test('a vessel tells its fills and what it is made of', () => {
  const barrel = present(vesselModel(context, 5));
  expect(barrel.name).toBe('FB-01');
  expect(barrel.lead).toBe('Barrel of 225 L');
  expect(barrel.facts.find(({ name }) => name === 'made of')?.figures[0]?.text).toBe(
    'french oak, cooper first, toast medium',
  );
  expect(barrel.fills).toEqual([
    {
      lot: { text: 'LS-free', href: 'lots/ls-free.html' },
      from: '14 Sep 2026',
      until: 'still in it',
      length: '16 days',
    },
  ]);
});

test('a vessel’s page stays short however long the vessel serves', () => {
  const tank = book.vessels[4];
  const first = present(book.happenings.at(-1));
  const happenings = Array.from({ length: 400 }, (_, day): Happening => {
    const measures = [{ analyte: 'pH', value: 3.5, mark: '', said: '3.5' } as const];
    const { place, hands, sic } = first.event;
    const minute = first.event.minute + day * 1440;
    const event = {
      kind: 'reading',
      verb: 'reading',
      minute,
      place,
      hands,
      sic,
      measures,
      targets: [{ kind: 'vessel', vessel: 4 }],
    } as const;
    return { ...first, index: day, event };
  });
  const long = contextOf({
    ...book,
    happenings,
    vessels: book.vessels.map((vessel, id) =>
      id === 4 ? { ...present(tank), happenings: happenings.map((_, day) => day) } : vessel,
    ),
  });
  const model = present(vesselModel(long, 4));
  expect([model.days.length, model.earlierDays]).toEqual([80, 320]);
  expect([model.readings.rows.length, model.earlierReadings]).toEqual([60, 340]);
  expect(model.days.at(-1)?.day).toBe('2 Nov 2027');
});

test('a very large group of vessels is told in rows, a lot at a time', () => {
  const large = cellarModel(contextOf(fixtureBook({ bins: 80 })));
  expect(large.groups[0]?.cards).toEqual([]);
  expect(large.groups[0]?.runs[0]?.casks.length).toBe(80);
});

test('lots on hand stand apart from those used up', () => {
  const gone = contextOf({ ...book, lots: book.lots.map((lot, id) => (id === 0 ? { ...lot, onHand: 0 } : lot)) });
  const pages = lotsPages(gone);
  expect(pages.map(({ path }) => path)).toEqual(['lots.html']);
  const { held, gone: usedUp, years } = lotsModel(gone, present(pages[0]), pages);
  expect(held.map(({ lot }) => lot.text)).toEqual(['LS-free', '26SY-01']);
  expect(usedUp.map(({ lot }) => lot.text)).toEqual(['LS']);
  expect(years).toEqual([]);
});

test('of very many lots each year in which they began has a page, and the first tells what is in vessels', () => {
  const [free] = book.lots;
  if (free === undefined) throw new Error('the fixture has no lot');
  const year = (id: number): number => (id % 2 === 0 ? 0 : -400) * 1440;
  const many = contextOf({
    ...book,
    lots: Array.from({ length: 301 }, (_, id) => ({
      ...free,
      onHand: id < 5 ? free.onHand : 0,
      fruit: { ...free.fruit, waiting: 0 },
      facts: { ...free.facts, id, name: `L${id}`, since: free.facts.since + year(id) },
    })),
  });
  const pages = lotsPages(many);
  expect(pages.map(({ path }) => path)).toEqual(['lots.html', 'lots-2026.html', 'lots-2025.html']);
  const models = pages.map((page) => lotsModel(many, page, pages));
  expect(models.map(({ held, gone }) => [held.length, gone.length])).toEqual([
    [5, 0],
    [3, 148],
    [2, 148],
  ]);
  expect(models[1]?.years).toEqual([
    { text: 'In the cellar', href: 'lots.html', here: false },
    { text: '2026', href: 'lots-2026.html', here: true },
    { text: '2025', href: 'lots-2025.html', here: false },
  ]);
});

describe('findings', () => {
  test('are told the gravest first, with the line marked where they are', () => {
    const model = findingsModel(context);
    expect(model.lead).toBe('1 error, 1 warning, 1 note.');
    const rows = model.groups.flatMap((group) => group.rows);
    expect(model.groups.map(({ severity }) => severity)).toEqual(['error', 'warning', 'note']);
    expect(rows[0]?.excerpt).toEqual({ before: '08:30 ', marked: 'crsh LS', after: ' to B1..B4' });
    expect(rows[0]?.explanation).toBe('help/verb-unknown.html');
    expect(rows[0]?.line.href).toBe('journal/2026-09-harvest.html#L14');
  });

  test('are sentences, and what they quote from a journal is set apart', () => {
    expect(sentenceOf('write `sic`, or look again')).toEqual([
      { text: 'Write ', code: false },
      { text: 'sic', code: true },
      { text: ', or look again', code: false },
      { text: '.', code: false },
    ]);
    expect(sentenceOf('b11 read 1.6: twice?')).toEqual([{ text: 'b11 read 1.6: twice?', code: false }]);
    expect(sentenceOf('')).toEqual([]);
  });

  test('beyond what a page can hold they are counted', () => {
    const [one] = book.findings;
    const model = findingsModel(contextOf({ ...book, findings: Array.from({ length: 400 }, () => present(one)) }));
    expect(model.groups.map(({ rows }) => rows.length)).toEqual([150]);
    expect(model.further).toEqual([
      { title: 'A dip differs from the book', explanation: 'help/dip-differs.html', count: 250 },
    ]);
  });

  test('a finding about the folder or beyond the file’s end needs no line', () => {
    const [one] = book.findings;
    const where = { file: -1, line: 0, column: 0, endColumn: 0 };
    const model = findingsModel(
      contextOf({
        ...book,
        findings: [
          { ...present(one), where },
          { ...present(one), where: { file: 0, line: 9999, column: 3, endColumn: 1 } },
        ],
      }),
    );
    const [group] = model.groups;
    expect(group?.rows[0]?.line).toEqual({ text: 'the journal’s folder' });
    expect(group?.rows[1]?.excerpt).toBeUndefined();
  });

  test('every code has a page, written or not', () => {
    const models = explanationModels(new Map([['dip-differs', '# A dip differs\n\nThe measure wins.\n']]));
    expect(models.find(({ code }) => code === 'dip-differs')?.text).toBe('\nThe measure wins.\n');
    expect(models.find(({ code }) => code === 'verb-unknown')?.text).toBe('');
    const listed = explanationsModel(models).groups.reduce((sum, { rows }) => sum + rows.length, 0);
    expect(listed).toBe(models.length);
  });
});

test('the journal has its lines, their kinds and the findings beside them', () => {
  const model = present(journalModel(context, 0, findingsByLine(context)));
  expect(model.path).toBe('journal/2026-09-harvest.html');
  expect(model.lines.slice(8, 14).map(({ kind }) => kind)).toEqual([
    'day',
    'note',
    'comment',
    'plain',
    'comment',
    'plain',
  ]);
  expect(model.lines[13]?.findings).toEqual([
    { severity: 'error', title: 'A line that begins with neither a verb nor a known name', href: 'findings.html#f1' },
  ]);
  const [row] = present(journalsModel(context).sheet).rows;
  expect(row?.cells[0]?.figures).toEqual([{ text: '2026/09-harvest.cellar', href: 'journal/2026-09-harvest.html' }]);
  expect(row?.cells.slice(1).map(({ figures }) => figures[0]?.text)).toEqual([
    '14 Sep 2026',
    '29 Sep 2026',
    '560',
    '3',
  ]);
});
