/** What tidy changes, line by line, and what it leaves as it stands. */
import { describe, expect, test } from 'vitest';
import { tidy } from '../../grammar/tidy.ts';
import { spellingOf } from '../../src/journal/spelling.ts';

/** Lines below a day, tidied; the day is left out again. */
const below = (lines: string): string => tidy(`2026-09-14 Mon\n${lines}`).text.replace('2026-09-14 Mon\n', '');

describe('days', () => {
  test.each([
    ['2026-09-14', '2026-09-14 Mon'],
    ['  2026-09-14   Mon', '2026-09-14 Mon'],
    ['\t2026-09-14 monday', '2026-09-14 Mon'],
    ['2026-09-14 Mon  --  first pick', '2026-09-14 Mon -- first pick'],
    ['2026-09-14 — first pick', '2026-09-14 Mon -- first pick'],
    ['2026-09-14   # a comment', '2026-09-14 Mon # a comment'],
  ])('%j', (written, tidied) => {
    expect(tidy(written).text).toBe(tidied);
  });

  test.each(['2026-09-14  Tue', '2026-9-14', '14.9.2026', '2026-02-30', '2026-09-14 10:00 rack T1 to T2'])(
    '%j may mean another day, and stays',
    (written) => {
      expect(tidy(written)).toEqual({ text: written, left: 1 });
    },
  );
});

describe('words', () => {
  test.each([
    ['10:00  RACK T1   into T2,lees 5 L', '10:00 rack T1 to T2, lees 5 L'],
    ['10:00 pumpover B4 60 min', '10:00 pump-over B4 60 min'],
    ['7:40,13:00 punchdown LS', '07:40, 13:00 punch-down LS'],
    ['23:30 .. +0:30 pump-over B4', '23:30..+00:30 pump-over B4'],
    ['10:00 Struck transfer T1 400 L To T2', '10:00 struck transfer T1 400 L to T2'],
    ['10:00 transfer T1 to T2 Now 500 L, K1 REST', '10:00 transfer T1 to T2 now 500 L, K1 rest'],
    ['10:00 rack T1 to T2, Leave 5 L', '10:00 rack T1 to T2, leaving 5 L'],
    ['10:00 stir FB-01 .. FB-12 , FB-14', '10:00 stir FB-01..FB-12, FB-14'],
  ])('%j', (written, tidied) => {
    expect(below(written)).toBe(tidied);
  });
});

describe('amounts and units', () => {
  test.each([
    ['10:00 dip K5 49L', '10:00 dip K5 49 L'],
    ['10:00 dip K5 ~ 49 litres', '10:00 dip K5 ~49 L'],
    ['10:00 add kms 40mg/l SO2 to T1', '10:00 add kms 40 mg/L SO2 to T1'],
    ['10:00 add kms 57g(40 mg/L SO2) to T1', '10:00 add kms 57 g (40 mg/L SO2) to T1'],
    ['10:00 add kms 2 lbs/1000gal to T1', '10:00 add kms 2 lb/1000 gal to T1'],
    ['10:00 add kms ? to T1', '10:00 add kms ? to T1'],
    ['10:00 bottle T2 to 820x750ml as "26SY-01"', '10:00 bottle T2 to 820 x 750 mL as "26SY-01"'],
    ['10:00 bottle T2 to 40×12×750 mL as "26SY-01"', '10:00 bottle T2 to 40 x 12 x 750 mL as "26SY-01"'],
    ['10:00 reading T1 temp 16°C, alcohol 13.5% vol', '10:00 reading T1 temp 16 C, alcohol 13.5 %vol'],
    ['10:00 reading T1 malic < 0.1 g/l, temp −1.3 C', '10:00 reading T1 malic <0.1 g/L, temp -1.3 C'],
    ['10:00 chill T2 to 54 °F', '10:00 chill T2 to 54 F'],
    [
      '10:00 receive LS from ledge-2, net 1540kg, tag 0010451',
      '10:00 receive LS from ledge-2, net 1540 kg, tag 0010451',
    ],
  ])('%j', (written, tidied) => {
    expect(below(written)).toBe(tidied);
  });

  test('figures, codes, text in quotes and names keep their characters', () => {
    const line = '10:00 buy KMS 05.00 kg batch a--113/é from "two  good\u00a0friends,  1l − ok"';
    expect(below(line)).toBe(line);
  });
});

describe('look-alike characters', () => {
  test.each([
    ['10:00 dispatch T1 6\u00a0L for\ttasting to “the quay”', '10:00 dispatch T1 6 L for tasting to "the quay"'],
    ['10:00 dip T1 ５０ L', '10:00 dip T1 50 L'],
    ['10:00 dip T1 ∼50 L', '10:00 dip T1 ~50 L'],
    ['10:00 stir T1 — “slow”, 5 − 6 min', '10:00 stir T1 -- “slow”, 5 − 6 min'],
    ['10:00 stir T1   # “slow”\u00a0', '10:00 stir T1 # “slow”'],
  ])('%j', (written, tidied) => {
    expect(below(written)).toBe(tidied);
  });
});

describe('where a line begins', () => {
  test('under the verb of the timed line above, at the margin before the first time', () => {
    expect(below('  found T1 800 L as GR of b\n  07:00 rack T1 to T2\ntaste T2\nvessel T9 tank 500 L\n')).toBe(
      'found T1 800 L as GR of b\n07:00 rack T1 to T2\n      taste T2\nvessel T9 tank 500 L\n',
    );
  });

  test('a line that goes on keeps its breaks', () => {
    expect(below('10:00 rack T4 to A 225 L,  # one\n  B 50 L,\nlees 20 L\nrack T5 to A 225 L,\n B 50 L')).toBe(
      '10:00 rack T4 to A 225 L, # one\n      B 50 L,\n      lees 20 L\n      rack T5 to A 225 L,\n        B 50 L',
    );
  });

  test('cuts, trials and lines of a plan stand below theirs', () => {
    expect(below('15:30 press LS\n cut 1 bar to T5 150 L as P1\ntrial T1 as E-1\nA bent 20g/hL\nchoose A')).toBe(
      '15:30 press LS\n      cut 1 bar to T5 150 L as P1\n      trial T1 as E-1\n      A bent 20 g/hL\n      choose A',
    );
    expect(tidy('plan p for must\n due top every 21 day\n      keep temp 22 .. 30 °C').text).toBe(
      'plan p for must\n  due top every 21 days\n  keep temp 22..30 C',
    );
  });

  test('notes stand below their day or entry, their text untouched', () => {
    expect(below('|  cold, \n |\n07:00 stir T1\n| | a | b |  \n|c\n')).toBe(
      '    |  cold, \n    |\n07:00 stir T1\n      | | a | b |  \n      |c\n',
    );
  });
});

describe('tables of readings', () => {
  const table = (head: string, rows: readonly string[]): string[] =>
    below(`07:00 readings ${head}\n${rows.join('\n')}`)
      .split('\n')
      .slice(1);

  test('decimal points stand below one another, a dash at the end of its field', () => {
    expect(table('brix, temp C', ['B1 24.4 16.0', 'FB-01,9 , 7.5', 'B2 - 16', 'B3 -1.2 -', 'B4 ~24.55 16.5'])).toEqual([
      '      B1     24.4   16.0',
      '      FB-01   9      7.5',
      '      B2        -   16',
      '      B3     -1.2      -',
      '      B4    ~24.55  16.5',
    ]);
  });

  test('each column is as wide as its own head asks for', () => {
    expect(table('SG, free SO2 mg/L, pH', ['T1 1.092 28 3.61', 'T2 0.996 - 3.6'])).toEqual([
      '      T1     1.092    28   3.61',
      '      T2     0.996     -   3.6',
    ]);
    expect(table('temp °F, brix', ['T1 60.1 24.4'])).toEqual(['      T1      60.1   24.4']);
    expect(below('07:00 readings temp °C,malic g/l')).toBe('07:00 readings temp C, malic g/L');
  });

  test('a row is laid out the same whatever stands above and below it', () => {
    const rows = ['B1 24.4 16.0 -- warm', 'a-very-long-name 24.4 16.0', 'B2 9 - # hm', 'B3 1234.5 16.0'];
    const together = table('brix, temp C', rows);
    expect(rows.map((row) => table('brix, temp C', [row])[0])).toEqual(together);
    expect(together).toEqual([
      '      B1     24.4   16.0    -- warm',
      '      a-very-long-name 24.4 16.0',
      '      B2      9        -    # hm',
      '      B3   1234.5   16.0',
    ]);
  });

  test('rows of a head that is not understood have one blank between words', () => {
    expect(table('sparkle', ['B1   3'])).toEqual(['      B1 3']);
  });
});

describe('lists of standing facts above the first day', () => {
  test('may be laid out by hand', () => {
    const list = 'vessel   T1      tank     1200 L   steel   # the old one\nhand     ana, bo\n';
    expect(tidy(list).text).toBe(list);
    expect(tidy(`  Vessel   T1..T2  tank\t1200L   steel ,at x`).text).toBe(
      'vessel   T1..T2  tank 1200 L   steel, at x',
    );
  });

  test('under a day they are lines like any other', () => {
    expect(below('vessel   T1      tank     1200 L')).toBe('vessel T1 tank 1200 L');
  });
});

describe('names', () => {
  const text = `vessel T1..T4 tank 1200 L
block ledge-2 Syrah
hand Ana
material KMS is potassium metabisulfite
2026-09-14 Mon
found t1 800 L as "26 GR" of LEDGE-2, vintage 2025
10:00 transfer T1 100 L to t2, T3..t4 50 L each by ana
11:00 add kms 3 g to "26 gr"
12:00 readings pH
      t2 3.5
13:00 reading "26 Gr" ph 3.6, temp 16 C
14:00 note t1 -- t1 by ana
`;

  test('are written as they were first', () => {
    expect(tidy(text, spellingOf([{ path: 'a.cellar', text }])).text).toBe(`vessel T1..T4 tank 1200 L
block ledge-2 Syrah
hand Ana
material KMS is potassium metabisulfite
2026-09-14 Mon
found T1 800 L as "26 GR" of ledge-2, vintage 2025
10:00 transfer T1 100 L to T2, T3..T4 50 L each by Ana
11:00 add KMS 3 g to "26 GR"
12:00 readings pH
      T2     3.5
13:00 reading "26 GR" ph 3.6, temp 16 C
14:00 note T1 -- t1 by ana
`);
  });

  test('that no line gives stay as they are', () => {
    expect(tidy(text).text).toContain('100 L to t2');
  });
});

describe('what is left as it stands', () => {
  test.each([
    ['a line that cannot be read', '10:00  trasnfer T1 100 L  to T2  '],
    ['a figure with a comma', '10:00  transfer T1 1,840 L to T2'],
    ['a unit with more than one meaning', '10:00  receive LS from b, net 2 ton'],
    ['a row of nothing', '  B1   24.4'],
    ['a cut of nothing', '  cut  1 bar to T5 150 L'],
    ['a line of a byte that is no text', '10:00  taste T1\u0000'],
    ['a carriage return within a line', '10:00  taste T1\rstir  T1'],
    ['what a merge left', '<<<<<<< mine'],
  ])('%s', (_, line) => {
    expect(tidy(`2026-09-14 Mon\n${line}\n`)).toEqual({ text: `2026-09-14 Mon\n${line}\n`, left: 1 });
  });

  test('a line that would be two once its unusual blank is mended', () => {
    const text = 'plan p for must\n  due punch-down,\n\u00a0rack 2 a day\n';
    expect(tidy(text)).toEqual({ text, left: 1 });
  });

  test('with the rows and notes below a line that cannot be read', () => {
    const text = '2026-09-14 Mon\n07:00 raedings brix\n  B1   24.4\n   |  foam\n';
    expect(tidy(text)).toEqual({ text, left: 2 });
  });

  test('comments on lines of their own, blank lines, the byte order mark, line breaks and the end of the file', () => {
    const text = '\ufeff   # “list”  \r\n\r\n\r\nvessel T1 tank 1200 L\r\n2026-09-14 Mon\n10:00 stir T1';
    expect(tidy(text)).toEqual({ text, left: 0 });
    expect(tidy('2026-09-14 Mon\n   \n\t\r\n\n').text).toBe('2026-09-14 Mon\n\n\r\n\n');
  });
});
