/** The sheets that a crew is handed: what stands on them, in which order, and where the figures come from. */
import { describe, expect, test } from 'vitest';
import { parseDate } from '../../grammar/dates.ts';
import { contextOf, type ReportContext } from '../../src/report/context.ts';
import { type CrewOrder, type CrewSheet, shortened } from '../../src/report/crew-sheets/crew-sheet.ts';
import { crewSheet, orderOn, siteOrder } from '../../src/report/crew-sheets/crew-sheets.ts';
import { CREW_SHEETS, type CrewSheetKind } from '../../src/report/crew-sheets/kinds.ts';
import { orderFor } from '../../src/report/crew-sheets/order-for.ts';
import { walkOf } from '../../src/report/crew-sheets/walk-order.ts';
import { bookOf, CELLAR, MUST, WINE } from './journal.ts';

const PLANS = `plan red-ferment for must
  due punch-down 3 a day by ana
  due reading brix, temp 2 a day
  due add nutri-a 20 g/hL once
plan barrel-age for wine in barrel
  due top every 21 days by bo
  due reading free SO2 every 21 days
plan tank for T1
  due add kms 30 mg/L SO2 once
`;
const TEXT = `${CELLAR}${PLANS}${MUST}
2026-09-15 Tue
07:40 punch-down LS
08:00 readings brix, temp C
      B1 24.1 16
      B2 23.9 -
`;
const WINES = `${CELLAR}${PLANS}${WINE}09:00 reading FB-01 free SO2 28 mg/L
10:00 found K1 50 L as GR
`;

const contextAt = (text: string, on?: string): ReportContext => contextOf(bookOf(text, on));

function sheetOn(text: string, kind: CrewSheetKind, on: string, change: (order: CrewOrder) => CrewOrder = (o) => o) {
  const context = contextAt(text);
  return crewSheet(context, kind, change(orderOn(context, parseDate(on))));
}

/** The rows of the tables, a cell after another: what is given, then what stands grey; `—` where nothing is asked. */
const rowsOf = ({ tables }: CrewSheet): string[] =>
  tables.flatMap(({ rows }) =>
    rows.map(({ cells }) =>
      cells
        .map(({ figures, quiet, shut }) =>
          shut === true ? '—' : [...figures.map(({ text }) => text), quiet === '' ? '' : `(${quiet})`].join(' ').trim(),
        )
        .join(' | ')
        .replaceAll('\u00A0', ' ')
        .trimEnd(),
    ),
  );

describe('a round', () => {
  test('has a row a vessel, the last values beside the blanks', () => {
    expect(rowsOf(sheetOn(TEXT, 'round', '2026-09-16'))).toEqual([
      'B1 (LS) |  | (24.1 yesterday) | (16 yesterday) |',
      'B2 (LS) |  | (23.9 yesterday) |  |',
    ]);
  });

  test('strikes out what is not due in a vessel', () => {
    const both = `${TEXT}${WINE}`;
    const [barrel, ...bins] = rowsOf(
      sheetOn(both, 'round', '2026-11-23', (order) => ({ ...order, walk: [8, 9, 0, 1] })),
    );
    expect(barrel).toBe('FB-01 (GR) |  | — | — |  |');
    expect(bins.at(-1)).toBe('B2 (LS) |  | (23.9 15 Sep) |  | — |');
  });

  test('follows the walk of the journal, one that is asked for, and else the vessels as declared', () => {
    const names = (text: string, walk?: string): string[] => {
      const context = contextAt(text);
      const order = orderOn(context, parseDate('2026-09-16'));
      const asked = walk === undefined ? order.walk : walkOf(context.book, walk);
      if ('unknown' in asked) throw new Error(asked.unknown);
      return rowsOf(crewSheet(context, 'round', { ...order, walk: asked })).map((row) => row.slice(0, 2));
    };
    expect(names(TEXT)).toEqual(['B1', 'B2']);
    expect(names(`${TEXT}walk B2, B1\n`)).toEqual(['B2', 'B1']);
    expect(names(`${TEXT}walk B2, B1\n`, 'B1..B2')).toEqual(['B1', 'B2']);
    const placed = TEXT.replace(
      'vessel B1..B4 bin 1000 L',
      'vessel B1 bin 1000 L at "far end"\nvessel B2..B4 bin 1000 L at "near end"',
    );
    expect(names(placed.replace('plan red', 'walk "near end", "far end"\nplan red'))).toEqual(['B2', 'B1']);
    expect(names(placed.replace('plan red', 'walk "near end"\nplan red'))).toEqual(['B2', 'B1']);
    expect(names(placed, 'near end, B1')).toEqual(['B2', 'B1']);
  });

  test('a walk that names nothing that is there is told', () => {
    const { book } = contextAt(TEXT);
    expect(walkOf(book, 'B1, attic')).toEqual({ unknown: 'attic' });
    expect(walkOf(book, 'B1..B90x')).toEqual({ unknown: 'B1..B90x' });
    expect(bookOf(`${TEXT}walk B1, attic\n`).findings.map(({ code }) => code)).toContain('name-unknown');
    expect(bookOf(`${TEXT}walk LS\n`).findings.map(({ code }) => code)).toContain('name-wrong-kind');
  });
});

describe('cap work', () => {
  test('has a box for each time a day, and tells those that were done', () => {
    const sheet = sheetOn(TEXT, 'cap-work', '2026-09-15');
    expect(sheet.tables[0]?.columns.map(({ name }) => name)).toEqual([
      'Vessel',
      'Work',
      'Last',
      '1',
      '2',
      '3',
      'Cap temp',
      'Remark',
    ]);
    expect(rowsOf(sheet)[0]).toBe('B1 (LS) | punch-down | 07:40 | (done) |  |  | (16 °C 08:00) |');
  });
});

describe('topping', () => {
  test('tells the room by the record, what went in last, and what there is to top with', () => {
    expect(rowsOf(sheetOn(WINES, 'topping', '2026-11-23'))).toEqual([
      'FB-01 (GR) | not yet | 0 L | K1 50 L, T1 400 L |  |  |  |',
      'FB-02 (GR) | not yet | 0 L | K1 50 L, T1 400 L |  |  |  |',
    ]);
    const topped = `${WINES}2026-11-24 Tue\n09:00 loss FB-02 3 L for evaporation\n10:00 top FB-01 from K1 2 L\n`;
    expect(rowsOf(sheetOn(topped, 'topping', '2026-12-20'))).toEqual([
      'FB-01 (GR) | 24 Nov (took 2 L) | 0 L | K1 48 L, T1 400 L |  |  |  |',
      'FB-02 (GR) | not yet | 3 L | K1 48 L, T1 400 L |  |  |  |',
    ]);
  });
});

describe('additions', () => {
  test('are worked out from the volume and rounded to what a scale shows', () => {
    // 20 g/hL into 680 L is 136 g
    expect(rowsOf(sheetOn(TEXT, 'additions', '2026-09-16'))).toEqual([
      'B1 (LS) | ~680 L | 136 g |  |  |  |  |',
      'B2 (LS) | ~680 L | 136 g |  |  |  |  |',
    ]);
    // 30 mg/L into 400 L is 12 g of sulfur dioxide: 20.8 g of a salt that holds 57.6 % of it by its formula
    const sheet = sheetOn(WINES, 'additions', '2026-11-02');
    expect(rowsOf(sheet)).toEqual(['T1 (GR) | 400 L | 21 g |  |  |  |  |']);
    expect(sheet.tables[0]?.note).toMatch(/local code/u);
    expect(sheet.cautions.map(({ title }) => title)).toEqual(['Sulfur dioxide']);
    expect(sheet.tables[0]?.columns.map(({ name }) => name)).toContain('Seen by');
  });

  test('of which the plan does not say how much are left to whoever decides', () => {
    const open = TEXT.replace('nutri-a 20 g/hL once', 'nutri-a once');
    const sheet = sheetOn(open, 'additions', '2026-09-16');
    expect(rowsOf(sheet)[0]).toBe('B1 (LS) | ~680 L |  |  |  |  |  |');
    expect(sheet.tables[0]?.note).toMatch(/does not say how much/u);
  });

  test('that a line asks for by a question mark stand there with the answer', () => {
    const asked = `${WINES}11:00 reading T1 pH 3.5, free SO2 20 mg/L\n12:00 add kms ? to T1 for 30 mg/L free SO2\n`;
    const question = sheetOn(asked, 'additions', '2026-11-02').tables.at(-1);
    expect(question?.rows[0]?.cells[1]?.figures[0]?.text).toMatch(/^kms: \d+ g for T1/u);
  });
});

describe('pressing and bottling', () => {
  test('a pressing tells what lies on its skins, and has lines for the cuts', () => {
    const sheet = sheetOn(TEXT, 'pressing', '2026-09-16');
    expect(rowsOf(sheet).slice(0, 2)).toEqual([
      'B1 (LS) | ~680 L | 24.1 °Bx yesterday |  |  |  |  |',
      'B2 (LS) | ~680 L | 23.9 °Bx yesterday |  |  |  |  |',
    ]);
    expect(sheet.tables.map(({ title }) => title)).toEqual(['Free run', 'Press run']);
    expect(sheet.cautions.map(({ title }) => title)).toContain('Presses and augers');
  });

  test('a bottling tells the wine that lies ready, and what it gives', () => {
    const [wine] = rowsOf(sheetOn(WINES, 'bottling', '2026-11-03'));
    expect(wine).toBe('T1 (GR) | 400 L | 533 | (not read) | (not read) | (not read) | (not read) |  |');
    const due = WINES.replace('plan tank for T1\n', 'plan tank for FB-01\n  due bottle once\n');
    expect(rowsOf(sheetOn(due, 'bottling', '2026-11-03'))[0]).toMatch(
      /^FB-01 \(GR\) \| 225 L \| 300 \| 28 mg\/L yesterday/u,
    );
  });
});

describe('for whom, and for which day', () => {
  test('only what is a hand’s, of a vessel, of a lot', () => {
    const narrowed = (name: string, kind: CrewSheetKind): string[] =>
      rowsOf(
        sheetOn(TEXT, kind, '2026-09-16', (order) => {
          const found = orderFor(contextAt(TEXT), order, name);
          if ('unknown' in found) throw new Error(found.unknown);
          return found;
        }),
      ).map((row) => row.slice(0, 2));
    expect(narrowed('ana', 'cap-work')).toEqual(['B1', 'B2']);
    expect(narrowed('ana', 'round')).toEqual([]);
    expect(narrowed('b2', 'round')).toEqual(['B2']);
    expect(narrowed('LS', 'round')).toEqual(['B1', 'B2']);
    expect(narrowed('B1', 'pressing')[0]).toBe('B1');
  });

  test('the site has a sheet of the next day with such work where the last day has none left', () => {
    const done = `${TEXT}13:00, 18:30 punch-down LS\n18:40 readings brix, temp C\n      B1 23 18\n      B2 23 18\n      B3 - -\n`;
    const context = contextAt(done.replace('      B3 - -\n', ''));
    const { items, on } = siteOrder(context, 'cap-work');
    expect([on, items.length > 0]).toEqual([parseDate('2026-09-16'), true]);
    expect(siteOrder(context, 'topping').on).toBe(context.book.on);
  });

  test('one with nothing on it says what would put something there, and warns of nothing', () => {
    for (const { kind } of CREW_SHEETS) {
      const sheet = sheetOn(CELLAR, kind, '2026-09-16');
      expect([sheet.tables, sheet.cautions, sheet.none.some(({ code }) => code)]).toEqual([[], [], true]);
    }
  });

  test('a page of the site holds so many rows, and tells how many more there are', () => {
    const sheet = sheetOn(TEXT, 'pressing', '2026-09-16');
    const rows = rowsOf(sheet).length;
    const short = shortened(sheet, 3);
    expect([rowsOf(short), short.further]).toEqual([rowsOf(sheet).slice(0, 3), rows - 3]);
    expect(shortened(sheet, rows)).toEqual(sheet);
  });
});
