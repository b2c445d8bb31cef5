/** The tables: read by another hand's reader of CSV, they hold what the JSON export holds, and nothing that runs. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';
import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { type Cell, csvCell, csvText } from '../../src/report/csv.ts';
import { dictionaryPage, dictionaryTable } from '../../src/report/data-dictionary.ts';
import { exportBook } from '../../src/report/export.ts';
import { bookTables, type Table } from '../../src/report/tables.ts';

const DEMO = resolve(import.meta.dirname, '../../demo-journal');

const files = readdirSync(DEMO, { recursive: true, withFileTypes: true })
  .filter((entry) => entry.name.endsWith('.cellar'))
  .map((entry) => relative(DEMO, join(entry.parentPath, entry.name)))
  .sort()
  .map((path) => ({ path, text: readFileSync(join(DEMO, path), 'utf8') }));

const book = makeBook(files, undefined, checkJournal);
const exported = exportBook(book);
const tables = bookTables(book);
const dictionary = dictionaryTable(tables);

/** Strict: every record as long as the first, quotes only as RFC 4180 has them. */
const read = (text: string): string[][] => parse(text, { record_delimiter: '\r\n', relax_quotes: false });

const textOf = ({ columns, rows }: Table): string =>
  csvText(
    columns.map(({ name }) => name),
    rows,
  );

type Row = Readonly<Record<string, string>>;

/** The rows of a table as the other reader has them, a cell by its column's name. */
function rowsOf(name: string): Row[] {
  const table = tables.find((one) => one.name === name);
  if (table === undefined) throw new Error(`no table ${name}`);
  const [heads = [], ...rows] = read(textOf(table));
  return rows.map((row) => Object.fromEntries(heads.map((head, i) => [head, row[i] ?? ''])));
}

/** The text that was written, from what a reader gives back: the dictionary tells it so. */
const written = (cell: string | undefined): string => (cell ?? '').replace(/^'/, '');

const micro = (litres: string | number | undefined): number => Math.round(Number(litres) * 1e6);
const sum = (numbers: readonly number[]): number => numbers.reduce((all, one) => all + one, 0);

describe('a file', () => {
  it('is read back as it was written, whatever stands in its cells', () => {
    const cell = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 12 }).filter((text) => !/\p{Cs}/u.test(text)),
      fc
        .array(fc.constantFrom('"', ',', '\r', '\n', '=', '-', "'", '#', ' ', 'é', '\t'), { maxLength: 6 })
        .map((all) => all.join('')),
    );
    const rows = fc
      .integer({ min: 1, max: 5 })
      .chain((width) =>
        fc.array(fc.array(cell, { minLength: width, maxLength: width }), { minLength: 1, maxLength: 6 }),
      );
    fc.assert(
      fc.property(rows, (all) => {
        const [heads = [], ...others] = all;
        // a line that is nothing but one empty cell looks like no line
        fc.pre(heads.length > 1 || all.every(([only]) => only !== ''));
        const [, ...back] = read(
          csvText(
            heads.map((_, i) => `head ${i}`),
            others,
          ),
        );
        expect(back.map((row) => row.map(written))).toEqual(others);
      }),
      { seed: 20261125, numRuns: 1000 },
    );
  });

  it('ends every line with a carriage return and a line feed, and has no byte order mark', () => {
    expect(
      csvText(
        ['a', 'b'],
        [
          ['x', 1.5],
          [null, true],
        ],
      ),
    ).toBe('a,b\r\nx,1.5\r\n,yes\r\n');
    for (const table of tables) {
      const text = textOf(table);
      expect(text.charCodeAt(0)).not.toBe(0xfeff);
      expect(text.endsWith('\r\n')).toBe(true);
    }
  });

  it.each<[Cell, string]>([
    ['plain', 'plain'],
    ['a "quoted" word', '"a ""quoted"" word"'],
    ['one, two', '"one, two"'],
    ['two\nlines', '"two\nlines"'],
    [' blank ', '" blank "'],
    ['#1', '"#1"'],
    ['', ''],
    [null, ''],
    [false, 'no'],
    [0, '0'],
    [-1.3, '-1.3'],
    [0.0000005, '0.0000005'],
    [Number.NaN, ''],
  ])('writes %j as %s', (cell, text) => {
    expect(csvCell(cell)).toBe(text);
  });

  it.each(['=1+2', '+1', '-1.3 C', '@SUM(A1)', '\t=1', '\r=1', '\n=1', '＝1', "'=1", '=HYPERLINK("x","y")'])(
    'has an apostrophe before %j, which a spreadsheet could take for a formula',
    (text) => {
      const [[cell = ''] = []] = read(`${csvCell(text)}\r\n`);
      expect(cell).toBe(`'${text}`);
      expect(written(cell)).toBe(text);
    },
  );

  it('leaves no text of a journal a formula', () => {
    const hostile = makeBook(
      [
        {
          path: '=a.cellar',
          text: `vessel "=T1" tank 1200 L, at "-x"
block b Syrah
hand "+ana"
2026-01-12 Mon
found "=T1" 800 L as "@GR" of b, vintage 2025 by "+ana" -- =1+1
      | =cmd()
10:00 reading "=T1" temp -1.3 C
11:00 rack "=nope" to "=T1"
`,
        },
      ],
      undefined,
      checkJournal,
    );
    let risky = 0;
    for (const table of bookTables(hostile)) {
      for (const row of table.rows) {
        for (const cell of row) {
          if (typeof cell !== 'string' || !/^[=+\-@\t\r]/.test(cell)) continue;
          risky++;
          expect(csvCell(cell)).toMatch(/^"?'/);
        }
      }
    }
    expect(risky).toBeGreaterThan(10);
    expect(bookTables(hostile).flatMap(({ rows }) => rows.flat())).toContain(-1.3);
  });
});

describe('the tables of the demo journal', () => {
  it('have the rows of the JSON export', () => {
    const counts = Object.fromEntries(tables.map(({ name, rows }) => [name, rows.length]));
    expect(counts).toEqual({
      events: book.happenings.length,
      readings: sum(exported.readings.map(({ of }) => of.length)),
      additions: exported.additions.length,
      movements: exported.movements.length,
      lots: exported.lots.length,
      vessels: exported.vessels.length,
      'month-volumes': sum(
        exported.months.flatMap(({ bulk, bottled }) =>
          [bulk, bottled].map((one) => 2 + Object.keys(one.in).length + Object.keys(one.out).length),
        ),
      ),
      composition: sum(exported.lots.map(({ composition }) => composition.length)),
      findings: exported.findings.length,
    });
    for (const { name, rows } of tables) expect(rows.length, name).toBeGreaterThan(0);
  });

  it('sum up to the figures of the JSON export, to the microlitre', () => {
    const litres = (name: string, column = 'litres'): number => sum(rowsOf(name).map((row) => micro(row[column])));
    expect(litres('vessels')).toBe(sum(exported.vessels.map((one) => micro(one.litres))));
    expect(litres('movements')).toBe(sum(exported.movements.map((one) => micro(one.litres))));
    expect(litres('lots', 'on_hand_litres')).toBe(sum(exported.lots.map((one) => micro(one.onHandLitres))));
    expect(litres('composition')).toBe(
      sum(exported.lots.flatMap(({ composition }) => composition.map((one) => micro(one.litres)))),
    );
    expect(litres('additions', 'into_litres')).toBe(sum(exported.additions.map((one) => micro(one.intoLitres))));
    expect(litres('additions', 'grams')).toBe(sum(exported.additions.map((one) => micro(one.grams ?? 0))));
    expect(litres('vessels')).toBeGreaterThan(0);
  });

  it('close the account of every lot', () => {
    const came = ['made', 'bought', 'found', 'blended_in', 'liquids', 'dip_gains', 'settled'];
    const went = [
      'blended_out',
      'set_apart',
      'bottled',
      'dispatched',
      'samples',
      'lees',
      'pomace',
      'losses',
      'evaporation',
      'dip_losses',
    ];
    for (const row of rowsOf('lots')) {
      const all = (names: readonly string[]): number => sum(names.map((name) => micro(row[`${name}_litres`])));
      expect(all(came) - all(went), row.lot).toBe(micro(row.on_hand_litres));
    }
  });

  it('have every posting of an account', () => {
    const heads = tables.find(({ name }) => name === 'lots')?.columns.map(({ name }) => name) ?? [];
    const snake = (key: string): string => `${key.replace(/[A-Z]/g, (c) => `_${c.toLowerCase()}`)}_litres`;
    expect(heads).toEqual(expect.arrayContaining(Object.keys(exported.lots[0]?.account ?? {}).map(snake)));
  });

  it('add up a month, and start it with what the last one ended with', () => {
    const rows = rowsOf('month-volumes');
    for (const section of ['bulk', 'bottled'] as const) {
      let last = 0;
      for (const month of exported.months) {
        const of = (direction: string): number =>
          sum(
            rows
              .filter((row) => row.month === month.month && row.section === section && row.direction === direction)
              .map((row) => micro(row.litres)),
          );
        expect(of('start')).toBe(last);
        expect(of('start') + of('in') - of('out'), `${month.month} ${section}`).toBe(of('end'));
        expect(of('end')).toBe(micro(month[section].end));
        last = of('end');
      }
    }
  });

  it('have composition shares that add up to the whole', () => {
    const shares = new Map<string, number>();
    for (const row of rowsOf('composition'))
      shares.set(row.lot ?? '', (shares.get(row.lot ?? '') ?? 0) + Math.round(Number(row.share) * 1e6));
    expect([...new Set(shares.values())]).toEqual([1e6]);
  });

  it('keep every text and every figure of the readings', () => {
    const rows = rowsOf('readings');
    const all = exported.readings.flatMap((reading) => reading.of.map((of) => ({ ...reading, of })));
    expect(rows.map((row) => [row.at, written(row.of), row.measurement, Number(row.value), written(row.said)])).toEqual(
      all.map((one) => [one.at, one.of, one.analyte, one.value, one.said]),
    );
    expect(rows.every((row) => row.unit !== '')).toBe(true);
  });
});

describe('the dictionary', () => {
  it('tells every column of every file, itself in it, and no other', () => {
    const columns = [...tables, dictionary].flatMap(({ name, columns: all }) => all.map((one) => [name, one.name]));
    const [, ...told] = read(textOf(dictionary));
    expect(told.map(([table, column]) => [table, column])).toEqual(columns);
    expect(new Set(columns.map((pair) => pair.join(' '))).size).toBe(columns.length);
    for (const [table, column, , meaning] of told) expect(meaning, `${table} ${column}`).toMatch(/^.{4,}\.$/);
    const page = dictionaryPage([...tables, dictionary], '2027-09-11');
    for (const { name, columns: all } of [...tables, dictionary]) {
      expect(page).toContain(`\n## ${name}.csv\n`);
      for (const column of all) expect(page).toContain(`| \`${column.name}\` | ${column.unit} |`);
    }
  });

  it('gives every column of figures its unit', () => {
    const plain = new Set(['line']);
    for (const { name, columns, rows } of tables) {
      for (const [i, column] of columns.entries()) {
        const holdsFigures = rows.some((row) => typeof row[i] === 'number');
        if (holdsFigures && !plain.has(column.name)) expect(column.unit, `${name} ${column.name}`).not.toBe('');
        if (rows.some((row) => typeof row[i] === 'boolean')) expect(column.unit).toBe('yes or no');
      }
    }
  });
});
