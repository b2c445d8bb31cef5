/** Tables from laboratories and loggers taken into a journal: what is taken, what is known already, what is refused and why. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatDate, parseDate } from '../../grammar/dates.ts';
import { fold } from '../../grammar/words.ts';
import { type ColumnMeaning, columnMeaning } from '../../src/journal/csv-columns.ts';
import type { HandedIn } from '../../src/report/entered-headings.ts';
import { type Entered, type EnterOptions, enterReadings } from '../../src/report/entered-readings.ts';
import { readingsText } from '../../src/report/readings-text.ts';
import { bookOf, CELLAR, MUST } from './journal.ts';

const TEXT = `${CELLAR}${MUST}
2026-10-02 Fri
07:00 readings brix, temp C
      B1 12.4 20
10:00 sample B2 0.1 L as S-1
`;

const meanings = (said: Readonly<Record<string, string>>): ReadonlyMap<string, ColumnMeaning> =>
  new Map(
    Object.entries(said).map(([heading, words]) => {
      const meaning = columnMeaning(words.split(' '));
      if ('problem' in meaning) throw new Error(meaning.problem);
      return [fold(heading), meaning];
    }),
  );

const USUAL = { Tank: 'vessel', Date: 'day', Time: 'time', Brix: 'brix', Temp: 'temp C', TA: 'TA g/L', Note: 'remark' };

const table = (text: string, parted = ','): HandedIn => {
  const [headings = [], ...rows] = text.split('\n').map((line) => line.split(parted));
  return { headings, rows: rows.map((cells, at) => ({ line: at + 2, cells })), parted };
};

const enter = (
  text: string,
  options: Partial<EnterOptions> & { readonly said?: Readonly<Record<string, string>>; readonly journal?: string } = {},
): Entered =>
  enterReadings(bookOf(options.journal ?? TEXT), table(text), {
    columns: meanings(options.said ?? USUAL),
    vessel: options.vessel,
    day: options.day,
    decimal: options.decimal,
  });

const linesOf = (entered: Entered): string[] =>
  readingsText(entered.tables)
    .split('\n')
    .map((line) => line.replace(/\s+/gu, ' ').trim())
    .filter((line) => line !== '');

const whys = (entered: Entered): string[] => entered.refused.map(({ line, why }) => `${line}: ${why}`);

describe('what is taken', () => {
  test('stands in tables by day and time, in the order of time', () => {
    const entered = enter(
      'Tank,Date,Time,Brix,TA,Note\nB2,2026-10-03,,11.8,6.2,lab 7\nB1,2026-10-03,,11.5,,\nB1,2026-10-02,18:05,12,,',
      {},
    );
    expect(linesOf(entered)).toEqual([
      '2026-10-02 Fri',
      '18:05 readings brix',
      'B1 12',
      '2026-10-03 Sat',
      'readings brix, TA g/L',
      'B2 11.8 6.2 -- lab 7',
      'B1 11.5 -',
    ]);
    expect([entered.taken, entered.known, entered.passedOver]).toEqual([4, 0, []]);
  });

  test('can be of one vessel and one day for all', () => {
    const entered = enter('Time,Temp\n06:00,14.5\n06:30,14.75', { vessel: 'b2', day: parseDate('2026-10-04') });
    expect(linesOf(entered)).toEqual([
      '2026-10-04 Sun',
      '06:00 readings temp C',
      'B2 14.5',
      '06:30 readings temp C',
      'B2 14.75',
    ]);
  });

  test('can be of a lot or of a sample, and keeps its marks', () => {
    const entered = enter('Tank,Date,TA\nls,2026-10-03,<0.5\nS-1,2026-10-03,6');
    expect(linesOf(entered).slice(1)).toEqual(['readings TA g/L', 'LS <0.5', 'S-1 6']);
  });

  test('stands where there was something to read of, and not before', () => {
    const entered = enter('Tank,Date,Time,TA\nS-1,2026-10-02,,6\nS-1,2026-10-02,09:00,6\nLS,2026-09-13,,6');
    expect(linesOf(entered)).toEqual(['2026-10-02 Fri', '10:00 readings TA g/L', 'S-1 6']);
    expect(whys(entered)).toEqual([
      '3: S-1 was not there yet: it begins on 2026-10-02 at 10:00',
      '4: LS was not there yet: it begins on 2026-09-14 at 07:00',
    ]);
  });

  test('is the same record in another unit', () => {
    const entered = enter('Tank,Date,Time,Temp\nB1,2026-10-02,07:00,68', { said: { ...USUAL, Temp: 'temp F' } });
    expect([entered.taken, entered.known]).toEqual([0, 1]);
  });

  test('a remark cannot leave its line', () => {
    const entered = enter('Tank,Date,Brix,Note\nB2,2026-10-03,11.8,x\u2028struck\u202e -- y', {});
    expect(linesOf(entered).at(-1)).toBe('B2 11.8 -- x struck -- y');
  });
});

describe('what the journal has already', () => {
  test('is not doubled, and what is not what it has is told with both places', () => {
    const entered = enter('Tank,Date,Time,Brix,Temp\nB1,2026-10-02,07:00,12.4,21');
    expect([entered.taken, entered.known, entered.tables]).toEqual([0, 1, []]);
    expect(entered.differing).toEqual([
      { line: 2, why: 'B1, 2026-10-02: temp is 21 C here and 20 C in journal.cellar:20' },
    ]);
  });

  test('at another time of the day is another reading; without a time it may be any of them', () => {
    expect(enter('Tank,Date,Time,Brix\nB1,2026-10-02,18:00,11.9').taken).toBe(1);
    expect(enter('Tank,Date,Brix\nB1,2026-10-02,12.4').known).toBe(1);
    expect(enter('Tank,Date,Brix\nB1,2026-10-02,11.9').differing).toHaveLength(1);
  });

  test('a row that the table has twice is taken once, and two that disagree are told: neither is in the journal', () => {
    const entered = enter('Tank,Date,Brix\nB2,2026-10-03,11.8\nB2,2026-10-03,11.8\nB2,2026-10-03,11.9');
    expect([entered.taken, entered.known, entered.doubled, entered.differing]).toEqual([1, 0, 1, []]);
    expect(entered.clashing).toEqual([
      { line: 4, why: 'B2, 2026-10-03: brix is 11.9 here and 11.8 in line 2 of the table' },
    ]);
  });

  test('a row that the table has twice and the journal as well is in the journal', () => {
    const entered = enter('Tank,Date,Time,Brix\nB1,2026-10-02,07:00,12.4\nB1,2026-10-02,07:00,12.4');
    expect([entered.taken, entered.known, entered.doubled]).toEqual([0, 2, 0]);
  });

  test('whatever the table: taken in a second time, it adds nothing', () => {
    const row = fc.record({
      tank: fc.constantFrom('B1', 'B2', 'LS', 'S-1', 'B7'),
      day: fc.integer({ min: 0, max: 3 }),
      time: fc.constantFrom('', '06:00', '18:30', '00:00'),
      brix: fc.constantFrom('', '12.4', '12.5', '<1', '24'),
      temp: fc.constantFrom('', '20', '68.5', 'x'),
    });
    fc.assert(
      fc.property(fc.array(row, { maxLength: 12 }), (rows) => {
        const csv = [
          'Tank,Date,Time,Brix,Temp',
          ...rows.map(({ tank, day, time, brix, temp }) =>
            [tank, formatDate(parseDate('2026-10-02') + day), time, brix, temp].join(','),
          ),
        ].join('\n');
        const said = { ...USUAL, Temp: 'temp F' };
        const first = enter(csv, { said });
        const journal = `${TEXT}\n${readingsText(first.tables)}`;
        expect(bookOf(journal).findings.filter(({ severity }) => severity === 'error')).toEqual([]);
        const again = enter(csv, { said, journal });
        expect([again.taken, again.tables]).toEqual([0, []]);
        expect(again.refused).toEqual(first.refused);
        expect([again.doubled, again.clashing]).toEqual([0, []]);
        expect(again.known + again.differing.length).toBe(
          first.taken + first.known + first.doubled + first.differing.length + first.clashing.length,
        );
      }),
      { numRuns: 100 },
    );
  });
});

describe('what is refused', () => {
  test.each([
    ['Tank,Date,Brix\nB9,2026-10-03,1', '2: there is no vessel, lot or sample "B9"; did you mean B1?'],
    ['Tank,Date,Brix\n,2026-10-03,1', '2: there is no vessel, lot or sample ""'],
    ['Tank,Date,Brix\nB1,3/10/2026,1', 'can be read in two ways'],
    ['Tank,Date,Brix\nB1,2026-10-03', 'it has 2 cells, and there are 3 headings'],
    ['Tank,Date,Brix,TA\nB1,2026-10-03,1,see letter', 'TA: "see letter" is no figure'],
    ['Tank,Date,Time,Brix\nB1,2026-10-03,25:00,1', '"25:00" is no time of a day'],
  ])('a row: %s', (text, why) => {
    const entered = enter(text);
    expect(whys(entered)).toEqual([expect.stringContaining(why)]);
    expect(entered.tables).toEqual([]);
  });

  test.each([
    ['Tank,Date,Colour\nB1,2026-10-03,1', 'no column is known to be a measurement'],
    ['Date,Brix\n2026-10-03,1', 'no column tells the vessel'],
    ['Tank,Brix\nB1,1', 'no column tells the day'],
    ['Tank,Date,Brix,Brix\nB1,2026-10-03,1,2', 'stands there twice'],
    ['Tank;Date;Brix\nB1;2026-10-03;1,840', 'may be 1.840 or 1840'],
  ])('a table: %s', (text, why) => {
    const parted = text.includes(';') ? ';' : ',';
    const entered = enterReadings(bookOf(TEXT), table(text, parted), {
      columns: meanings(USUAL),
      vessel: undefined,
      day: undefined,
      decimal: undefined,
    });
    expect(whys(entered)).toEqual([expect.stringMatching(new RegExp(`^0: .*${why}`, 'u'))]);
  });

  test('a heading that says another unit than its meaning', () => {
    const said = { ...USUAL, 'Temp (F)': 'temp C' };
    expect(whys(enter('Tank,Date,Temp (F)\nB1,2026-10-03,68', { said }))).toEqual([
      '0: the heading "Temp (F)" says F, and its figures are said to be in C',
    ]);
  });

  const headed = (heading: string, meaning: string): string[] =>
    whys(
      enterReadings(bookOf(TEXT), table(`Tank;Date;${heading}\nB1;2026-10-03;1`, ';'), {
        columns: meanings({ Tank: 'vessel', Date: 'day', [heading]: meaning }),
        vessel: undefined,
        day: undefined,
        decimal: undefined,
      }),
    );

  test.each([
    ['Temp °C', 'temp F', '°C'],
    ['Temp F', 'temp C', 'F'],
    ['temp_f', 'temp C', 'f'],
    ['Temp/°C', 'temp F', '°C'],
    ['°C', 'temp F', '°C'],
    ['C', 'temp F', 'C'],
    ['Free SO2 g/L', 'free SO2 mg/L', 'g/L'],
    ['Free SO2, g per litre', 'free SO2 mg/L', 'g/litre'],
    ['TA mg/L', 'TA g/L', 'mg/L'],
    ['TA mg / L:', 'TA g/L', 'mg/L'],
    ['TA g/100 mL', 'TA g/L', 'g/100 mL'],
    ['Alcohol g/L', 'alcohol %', 'g/L'],
    ['TA %', 'TA g/L', '%'],
    ['Temp °C', 'brix', '°C'],
    ['Sugar g/L', 'brix', 'g/L'],
    ['Sugar (g/L)', 'brix', 'g/L'],
    ['Must °Oe', 'brix', '°Oe'],
    ['Must °Oe', 'TA g/L', '°Oe'],
  ])('%s as %s', (heading, meaning, says) => {
    expect(headed(heading, meaning)).toEqual([expect.stringContaining(`"${heading}" says ${says}, and its figures`)]);
  });

  test.each([
    ['Temp °C', 'temp C'],
    ['Temp celsius', 'temp °C'],
    ['Temp min', 'temp C'],
    ['Temp day', 'temp C'],
    ['Malic ac', 'malic g/L'],
    ['Free SO2 mg/L', 'free SO2 mg/L'],
    ['Free SO2 ppm', 'free SO2 mg/L'],
    ['Free SO2 mg SO2/L', 'free SO2 mg/L'],
    ['mgN/L', 'YAN mg/L'],
    ['TA (g/L tartaric)', 'TA g/L'],
    ['Alcohol %vol', 'alcohol %'],
    ['Alcohol vol %', 'alcohol %'],
    ['F', 'free SO2 mg/L'],
    ['SG 20/20 °C', 'SG'],
    ['Brix (20 °C)', 'brix'],
    ['Brix %', 'brix'],
    ['Must °Bx', 'brix'],
    ['pH', 'pH'],
    ['Turbidity FNU', 'turbidity NTU'],
  ])('but not %s as %s', (heading, meaning) => {
    expect(headed(heading, meaning)).toEqual([]);
  });

  test('a table without a measurement is told what stands there, and no heading is guessed', () => {
    const [why, ...more] = whys(enter('Tank,Date,Colour,Who\nB1,2026-10-03,1,ana'));
    expect(more).toEqual([]);
    expect(why).toContain('nothing is said of "Colour", "Who"');
    expect(why).not.toMatch(/(?:Tank|Date|Colour|Who)=/u);
    expect(whys(enter('Tank,Date\nB1,2026-10-03'))[0]).toContain('every heading here means something else');
  });

  test('headings that nothing is said of are passed over, and named', () => {
    const entered = enter('Tank,Date,Brix,Analyst\nB2,2026-10-03,11,ana');
    expect([entered.taken, entered.passedOver]).toEqual([1, ['Analyst']]);
  });
});

describe('the journal says once what columns mean', () => {
  const settingsOf = (lines: string) => bookOf(`${CELLAR}${lines}\n`);

  test('by their headings, whatever their case', () => {
    const { settings, findings } = settingsOf(
      'columns "Tank No." vessel, "Sampled" day month/day/year\ncolumns "TEMP" temp F',
    );
    expect(findings.filter(({ severity }) => severity === 'error')).toEqual([]);
    expect([...(settings.columns ?? [])]).toEqual([
      ['tank no.', { kind: 'vessel' }],
      ['sampled', { kind: 'day', order: 'month-day-year' }],
      ['temp', { kind: 'reading', analyte: 'temp', unit: 'F' }],
    ]);
  });

  test.each([
    ['columns Brix brix', 'a heading stands in quotes'],
    ['columns "Brix"', 'what the column means is missing'],
    ['columns "TA" TA', 'TA has no unit'],
    ['columns "Temp" temp C, "temp" temp F', '"temp" stands here twice, and means two things'],
    ['columns "Day" day, "Day" day day/month/year', 'means two things'],
  ])('%s costs the line', (line, why) => {
    const { findings } = settingsOf(line);
    expect(findings.some(({ code, message }) => code === 'word-stray' && message.includes(why))).toBe(true);
  });

  test('a heading may stand twice if it means the same, and a later line says it anew', () => {
    const { settings, findings } = settingsOf('columns "Temp" temp C, "Temp" temp °C\ncolumns "Temp" temp F');
    expect(findings.filter(({ severity }) => severity === 'error')).toEqual([]);
    expect(settings.columns?.get('temp')).toEqual({ kind: 'reading', analyte: 'temp', unit: 'F' });
  });
});
