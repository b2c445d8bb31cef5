/** What changes come to: two journals and the exact difference, worked by hand. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, test } from 'vitest';
import { formatDate, parseDate } from '../../grammar/dates.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import type { SourceFile } from '../../src/journal/files.ts';
import type { Held } from '../../src/report/compare/by-day.ts';
import schema from '../../src/report/compare/comparison.schema.json' with { type: 'json' };
import type { Comparison, Touched } from '../../src/report/compare/comparison.ts';
import { comparisonJson } from '../../src/report/compare/comparison-json.ts';
import type { ComparisonReport } from '../../src/report/compare/comparison-report.ts';
import { toldComparison } from '../../src/report/compare/comparison-told.ts';
import { compare, files } from './compared.ts';

const BEFORE = `vessel T1..T3 tank 1200 L
vessel K1 keg 50 L
block ledge-2 Syrah
block ledge-5 Grenache
material kms is potassium metabisulfite
plan racked for wine in tank
  due rack every 60 days

2026-01-12 Mon
09:00 found T1 800 L as GR of ledge-5, vintage 2025
09:00 found T2 200 L as SY of ledge-2, vintage 2025

2026-01-14 Wed
10:00 transfer T1 100 L to T3
11:00 add kms 10 g to T3

2026-01-20 Tue
09:00 dip T3 100 L
`;

/** The transfer was 110 L, a note was put down late, and work went on. */
const AFTER = `${BEFORE.replace('T1 100 L to T3', 'T1 110 L to T3')
  .replace('11:00 add', '10:30 note T1 -- clear\n11:00 add')
  .replace('dip T3 100 L', 'dip T3 110 L')}
2026-01-22 Thu
09:00 blend T1 690 L, T2 200 L to T1 as CUVEE
`;

const held = ({ volume, stage, lot }: Held): string =>
  [`${volume / 1e6} L`, stage, lot].filter((word) => word !== undefined).join(' ');
const days = ({ name, firstDay, days: list }: Touched): string[] => [
  `${name} from ${firstDay === undefined ? 'no day' : formatDate(firstDay)}`,
  ...list.map(({ day, before, after }) => `${formatDate(day)}: ${held(before)} → ${held(after)}`),
];

const differs = ({ lots, vessels }: Comparison['states'][number]): string[] =>
  [...lots, ...vessels].map((one) => `${one.name}: ${one.differs.join(', ')}`);

describe('a correction, a late note and a day of new work', () => {
  const found = compare(files(BEFORE), files(AFTER));

  test('are told apart, with the lots and vessels they touch', () => {
    expect(found.changes.map((one) => [one.class, one.lots.join(' '), one.vessels.join(' ')])).toEqual([
      ['correction', 'GR', 'T1 T3'],
      ['late', 'GR', 'T1'],
      ['new', 'GR', 'T3'],
      ['new', 'GR SY CUVEE', 'T1 T2'],
    ]);
    expect([found.newest.before, found.newest.after]).toEqual([parseDate('2026-01-20'), parseDate('2026-01-22')]);
  });

  test('by lot: what differs at the end of which day', () => {
    expect(found.lots.map(days)).toEqual([
      ['GR from 2026-01-22', '2026-01-22: 800 L wine → 110 L wine'],
      ['SY from 2026-01-22', '2026-01-22: 200 L wine → 0 L gone'],
      ['CUVEE from 2026-01-22', '2026-01-22: 0 L → 890 L wine'],
    ]);
    expect(found.lots.map(({ name, changes }) => [name, ...changes])).toEqual([
      ['GR', 0, 1, 2, 3],
      ['SY', 3],
      ['CUVEE', 3],
    ]);
  });

  test('by vessel: what differs at the end of which day', () => {
    expect(found.vessels.map(days)).toEqual([
      ['T1 from 2026-01-14', '2026-01-14: 700 L GR → 690 L GR', '2026-01-22: 700 L GR → 890 L CUVEE'],
      ['T2 from 2026-01-22', '2026-01-22: 200 L SY → 0 L'],
      // 100 L were dipped, and 110 L
      ['T3 from 2026-01-14', '2026-01-14: 100 L GR → 110 L GR'],
    ]);
  });

  test('as of the newest day of the older: what the correction did', () => {
    const [then] = found.states;
    expect(then?.on).toBe(parseDate('2026-01-20'));
    expect(then === undefined ? [] : differs(then)).toEqual(['T1: volume, composition', 'T3: volume, composition']);
    expect(then?.totals.differs).toEqual([]);
    expect(then?.months).toEqual([]);
  });

  test('as of the newest day of all: what there is now', () => {
    const now = found.states[1];
    expect(now?.on).toBe(parseDate('2026-01-22'));
    expect(now === undefined ? [] : differs(now)).toEqual([
      'GR: volume, composition, where, account',
      'SY: volume, stage, where, account',
      'CUVEE: volume, stage, composition, where, account',
      'T1: volume, lot, composition',
      'T2: volume, lot, composition',
      'T3: volume, composition',
    ]);
    const cuvee = now?.lots.find(({ name }) => name === 'CUVEE');
    expect(cuvee?.before).toBeUndefined();
    expect(cuvee?.after?.composition.map(({ block, volume }) => [block, volume / 1e6])).toEqual([
      ['ledge-5', 690],
      ['ledge-2', 200],
    ]);
    expect(now?.totals.differs).toEqual([]);
  });

  test('work due: the blend is no racking, but other wine lies in T1 and none in T2', () => {
    expect(found.work.on).toBe(parseDate('2026-01-22'));
    expect([found.work.gone, found.work.come, found.work.changed]).toEqual([[], [], []]);
    const soon = BEFORE.replace('every 60 days', 'every 10 days');
    const { work } = compare(
      files(soon),
      files(soon.replace('10:00 transfer', '10:00 rack T2 to K1 50 L, T1 150 L as GR, lees 0 L\n10:00 transfer')),
    );
    expect(work.gone.map(({ what, vessel, lot }) => [what, vessel, lot])).toContainEqual(['rack', 'T2', 'SY']);
  });
});

describe('totals, months, materials and findings', () => {
  test('wine that was found otherwise is in the account, the total and the month', () => {
    const { states } = compare(files(BEFORE), files(BEFORE.replace('T1 800 L', 'T1 820 L')));
    expect(states).toHaveLength(1);
    expect(states.map(differs)).toEqual([['GR: volume, composition, account', 'T1: volume, composition']]);
    const [{ totals, months } = { totals: undefined, months: [] }] = states;
    expect(totals?.differs).toEqual(['inVessels', 'found']);
    expect([totals?.before.found, totals?.after.found]).toEqual([1_000_000_000, 1_020_000_000]);
    expect(months.map(({ month, before, after }) => [month, before?.bulk.end, after?.bulk.end])).toEqual([
      ['2026-01', 1_000_000_000, 1_020_000_000],
    ]);
  });

  test('an addition of another amount is of the lot', () => {
    const { states, lots } = compare(files(BEFORE), files(BEFORE.replace('kms 10 g', 'kms 12 g')));
    const [state] = states;
    expect(state === undefined ? [] : differs(state)).toEqual(['GR: additions']);
    expect(state?.lots[0]?.before?.additions).toEqual([{ material: 'kms', unit: 'µg', amount: 10_000_000 }]);
    expect(state?.lots[0]?.after?.additions).toEqual([{ material: 'kms', unit: 'µg', amount: 12_000_000 }]);
    expect(lots.map(({ name, firstDay, days: list }) => [name, firstDay, list.length])).toEqual([['GR', undefined, 0]]);
  });

  test('findings: gone, found, and of the same line with other words; a line that moved is no other', () => {
    const wrong = BEFORE.replace('dip T3 100 L', 'dip T3 120 L');
    const worse = wrong.replace('T1 100 L to T3', 'T1 90 L to T3').replace('2026-01-14', '# a comment\n\n2026-01-14');
    const codes = (before: string, after: string) => {
      const { gone, found, changed } = compare(files(before), files(after)).findings;
      return [gone.map(({ code }) => code), found.map(({ code }) => code), changed.map(({ after: { code } }) => code)];
    };
    expect(codes(BEFORE, wrong)).toEqual([[], ['dip-differs'], []]);
    expect(codes(wrong, BEFORE)).toEqual([['dip-differs'], [], []]);
    expect(codes(wrong, worse)).toEqual([[], [], ['dip-differs']]);
    expect(codes(wrong, `# a comment\n${wrong}`)).toEqual([[], [], []]);
  });
});

describe('names that were changed', () => {
  const RENAMED = `${BEFORE}
2026-01-21 Wed
09:00 rename GR to GREN
09:10 rename T3 to T9
`;

  test('a renamed lot or vessel is the same', () => {
    const found = compare(files(BEFORE), files(RENAMED));
    expect(found.states.flatMap(differs)).toEqual([]);
    expect(found.lots.map(({ name, days: list }) => [name, list.length])).toEqual([['GREN', 0]]);
    expect(found.vessels.map(({ name, days: list }) => [name, list.length])).toEqual([
      // the lot in it was given another name
      ['T1', 0],
      ['T9', 0],
    ]);
  });
});

const DEMO = resolve(import.meta.dirname, '../../demo-journal');
const demo: SourceFile[] = readdirSync(DEMO, { recursive: true, withFileTypes: true })
  .filter((entry) => entry.name.endsWith('.cellar'))
  .map((entry) => relative(DEMO, join(entry.parentPath, entry.name)))
  .sort()
  .map((path) => ({ path, text: readFileSync(join(DEMO, path), 'utf8') }));

describe('told to people and to programs', () => {
  const end = (list: readonly SourceFile[], name: string): ComparisonReport['before'] => ({
    kind: 'folder',
    name,
    commit: undefined,
    book: makeBook(list, undefined, checkJournal),
  });
  const report = (before: readonly SourceFile[], after: readonly SourceFile[]): ComparisonReport => ({
    before: end(before, 'a'),
    after: end(after, 'b'),
    unseen: [],
    comparison: compare(before, after),
    history: undefined,
  });
  const validate = new Ajv2020({ allErrors: true, strict: true, allowUnionTypes: true }).compile(schema);

  test('the JSON fits its schema: hand-worked cases, and the demo against its first half', () => {
    for (const [one, other] of [
      [files(BEFORE), files(AFTER)],
      [files(AFTER), []],
      [demo.filter(({ path }) => !path.startsWith('2027/')), demo],
    ] as const) {
      const plain: unknown = JSON.parse(JSON.stringify(comparisonJson(report(one, other))));
      expect(validate(plain), JSON.stringify(validate.errors?.slice(0, 3))).toBe(true);
    }
    const { changes: _, ...without } = comparisonJson(report(files(BEFORE), files(AFTER)));
    expect(validate(JSON.parse(JSON.stringify(without)))).toBe(false);
  });

  test('in words: what each class holds, and the figures of the tables', () => {
    const told = toldComparison(report(files(BEFORE), files(AFTER)), 1);
    expect(told.lead).toBe('1 correction of the past, 1 late entry, 2 changes of new work.');
    expect(told.classes.map(({ title, count, further }) => [title, count, further])).toEqual([
      ['Corrections of the past', 1, 0],
      ['Late entries', 1, 0],
      ['New work, and changes to the newest day', 2, 1],
    ]);
    expect(told.classes[0]?.days[0]?.changes[0]).toEqual({
      id: 'c1',
      what: 'changed',
      where: 'a.cellar:14',
      lines: [
        { sign: '−', text: '10:00 transfer T1 100 L to T3' },
        { sign: '+', text: '10:00 transfer T1 110 L to T3' },
      ],
      lots: 'GR',
      vessels: 'T1, T3',
      made: [],
    });
    const rows = told.states.map(({ sheets }) =>
      sheets.map(({ label, rows: list }) => [
        label,
        ...list.map(({ cells }) => cells.map(({ figures }) => figures.map(({ text }) => text).join(' ')).join('; ')),
      ]),
    );
    expect(rows[0]).toEqual([['Vessels', 'T1; volume; 700 L; 690 L', 'T3; volume; 100 L; 110 L']]);
    expect(rows[1]?.[0]).toEqual([
      'Lots',
      'GR; volume; 800 L; 110 L',
      '; where; T1, T3; T3',
      '; went to other lots; 0 L; 690 L',
      'SY; volume; 200 L; 0 L',
      '; stage; wine; used up',
      '; where; T2; in no vessel',
      '; went to other lots; 0 L; 200 L',
      'CUVEE; volume; ; 890 L',
      '; stage; ; wine',
      '; where; ; T1',
      '; of Grenache, ledge-5, 2025; ; 77.5 %',
      '; of Syrah, ledge-2, 2025; ; 22.4 %',
      '; came in from other lots; ; 890 L',
    ]);
    // what is left out has no place to be led to
    expect(told.lots.map(({ name, count, changes }) => [name, count, ...changes])).toEqual([
      ['GR', 4, 'c1', 'c2', 'c3'],
      ['SY', 1],
      ['CUVEE', 1],
    ]);
  });

  test('two that tell the same say so', () => {
    expect(toldComparison(report(files(BEFORE), files(`# first\n${BEFORE}`)), 9)).toMatchObject({
      lead: 'Both tell the same.',
      classes: [],
      lots: [],
      vessels: [],
      findings: [],
      work: undefined,
    });
  });
});
