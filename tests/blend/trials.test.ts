/** Bench trials: what rows come to, blind codes, tasters, and amounts for the cellar that check clean. */
import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { parseDate } from '../../grammar/dates.ts';
import { nearTrial } from '../../src/blend/near-trial.ts';
import { blindCodes, servingOrder } from '../../src/journal/trials.ts';
import { tastingSheets } from '../../src/report/tasting-sheets.ts';
import { blendAmounts } from '../../src/report/trial-amounts.ts';
import { scaleUp } from '../../src/report/trial-scale.ts';
import { panelOf, trialNamed } from '../../src/report/trials.ts';
import { bookOf } from './cellar.ts';

const HEAD = `vessel T1..T3 tank 1200 L
block ledge-2 Syrah
hand ana, bo, cy
material egg fining agent, allergen egg
material kms is potassium metabisulfite

2026-12-01 Tue
08:00 found T1 600 L as LS-free of ledge-2, vintage 2026
08:10 found T2 150 L as LS-p1 of ledge-2, vintage 2026

2026-12-02 Wed
`;

const trial = (lines: string, more = '') => {
  const book = bookOf(`${HEAD}${lines}\n${more}`);
  const found = trialNamed(book, 'E-4');
  if (found === undefined) throw new Error('no trial');
  return { book, trial: found, said: found.said };
};

describe('rows', () => {
  it('are blends by share, by volume, and with the rest for the one wine not named', () => {
    const { said, book } = trial(`14:00 trial LS-free, LS-p1 as E-4
      A LS-free 90 %, LS-p1 10 %
      B LS-free 60 mL, LS-p1 20 mL
      C LS-p1 30 %`);
    expect(book.findings).toEqual([]);
    expect(said.rows.map(({ parts }) => parts.map(({ name, share }) => [name, share]))).toEqual([
      [
        ['LS-free', 900_000],
        ['LS-p1', 100_000],
      ],
      [
        ['LS-free', 750_000],
        ['LS-p1', 250_000],
      ],
      [
        ['LS-p1', 300_000],
        ['LS-free', 700_000],
      ],
    ]);
  });

  it('are treatments at their rates, or the wine as it is', () => {
    const { said } = trial(`14:00 trial T1 as E-4
      A -
      B egg 3 g/hL, kms 20 mg/L SO2 -- softer
      choose B by ana`);
    expect(said.rows.map(({ additions }) => additions.map((one) => one.said))).toEqual([[], ['3 g/hL', '20 mg/L SO2']]);
    expect(said.rows[1]?.remark).toBe('softer');
    expect(said.chosen).toBe(1);
  });

  it('keep their place where one cannot be read', () => {
    const { said, book } = trial(`14:00 trial T1 as E-4
      A decanted
      B egg 3 g/hL
      ana B, A
      choose B`);
    expect(book.findings.map(({ code }) => code)).toEqual(['trial-row-unread']);
    expect([said.rows[0]?.unread, said.chosen, said.tastings[0]?.order]).toEqual([true, 1, [1, 0]]);
  });
});

describe('one voice a hand', () => {
  it('counts the first tasting of a hand, by order or by scores, and tells of every other', () => {
    const { said, book } = trial(`14:00 trial T1 as E-4
      A -
      E egg 3 g/hL
${'      ana A, E\n'.repeat(5)}      ana A 14, E 12`);
    expect(book.findings.map(({ code, where }) => [code, where.line])).toEqual(
      [16, 17, 18, 19, 20].map((line) => ['tasting-unread', line]),
    );
    expect(said.tastings).toHaveLength(1);
    // six rankings of one mind would be p 0.031
    expect(panelOf(said).words).toBe(
      'Too few tasters to say: 1 hand ranked all 2 rows, and ranks can tell 2 rows apart from 6 tasters on.',
    );
  });

  it('counts a hand once in each of two trials', () => {
    const { book } = trial(`14:00 trial T1 as E-4
      A -
      B egg 3 g/hL
      ana A, B
15:00 trial T1 as E-5
      A -
      B egg 3 g/hL
      ana B, A`);
    expect(book.findings).toEqual([]);
  });

  it('counts a tasting after one that could not be read', () => {
    const { said, book } = trial(`14:00 trial T1 as E-4
      A -
      B egg 3 g/hL
      ana A, D
      ana B, A`);
    expect(book.findings.map(({ where }) => where.line)).toEqual([15]);
    expect(said.tastings.map(({ order }) => order)).toEqual([[1, 0]]);
  });

  it('takes the first choice, and tells of a second', () => {
    const { said, book } = trial(`14:00 trial T1 as E-4
      A -
      E egg 3 g/hL
      choose A
      choose E`);
    expect(book.findings.map(({ code, where }) => [code, where.line])).toEqual([['tasting-unread', 16]]);
    expect(said.chosen).toBe(0);
  });
});

describe('less than nothing', () => {
  test.each([
    ['F LS-free -5 %, LS-p1 105 %', '`-5 %` of `LS-free` is less than nothing'],
    ['F LS-p1 105 %, LS-free 10 %', '`105 %` of `LS-p1` is more than all of the blend'],
    ['F LS-free -70 mL, LS-p1 170 mL', '`-70 mL` of `LS-free` is less than nothing'],
    ['F egg -3 g/hL', '`-3 g/hL` of `egg` is less than nothing'],
  ])('%s is told at its row, and gives no amounts', (row, message) => {
    const {
      book,
      trial: one,
      said,
    } = trial(`14:00 trial LS-free, LS-p1 as E-4
      ${row}`);
    expect(book.findings.map((found) => [found.code, found.where.line, found.message])).toEqual([
      ['trial-row-unread', 13, message],
    ]);
    const [first] = said.rows;
    expect(first === undefined ? undefined : scaleUp(book, one, first)).toEqual({
      amounts: [],
      lines: [],
      notes: ['row F could not be read'],
    });
  });

  it('0 % and 100 % are shares, and none is poured of the one', () => {
    const {
      book,
      trial: one,
      said,
    } = trial(`14:00 trial LS-free, LS-p1 as E-4
      A LS-free 100 %, LS-p1 0 %`);
    expect(book.findings).toEqual([]);
    const [row] = said.rows;
    expect(row === undefined ? [] : scaleUp(book, one, row).amounts).toEqual(['LS-free 600 L']);
  });
});

describe('blind codes', () => {
  it('are three digits, all different, and the same every time', () => {
    const rows = Array.from({ length: 26 }, (_, i) => String.fromCharCode(65 + i));
    const codes = blindCodes('E-4', 20_000, rows);
    expect(new Set(codes).size).toBe(26);
    for (const code of codes) expect(code).toMatch(/^[1-9]\d\d$/u);
    expect(blindCodes('e-4', 20_000, rows)).toEqual(codes);
    expect(blindCodes('E-4', 20_001, rows)).not.toEqual(codes);
  });

  it('are taken for the rows in a tasting', () => {
    const day = 20_789;
    const [a, b] = blindCodes('E-4', day, ['A', 'B']);
    const { said, book } = trial(`14:00 trial T1 as E-4
      A -
      B egg 3 g/hL
      ana ${b}, ${a}
      bo ${a} 12, ${b} 14.5`);
    expect(book.findings).toEqual([]);
    expect(said.tastings.map(({ order, scores }) => [order, scores])).toEqual([
      [[1, 0], []],
      [
        [],
        [
          { row: 0, score: 12 },
          { row: 1, score: 14.5 },
        ],
      ],
    ]);
  });
});

describe('the order of serving', () => {
  it('has every glass once, and each of them in every place and after every other over the tasters', () => {
    for (const glasses of [2, 3, 4, 5, 6]) {
      const tasters = glasses % 2 === 0 ? glasses : 2 * glasses;
      const orders = Array.from({ length: tasters }, (_, i) => servingOrder(glasses, i));
      const places = new Map<string, number>();
      const pairs = new Map<string, number>();
      for (const order of orders) {
        expect([...order].sort()).toEqual(Array.from({ length: glasses }, (_, i) => i));
        for (const [i, glass] of order.entries()) {
          places.set(`${glass}@${i}`, (places.get(`${glass}@${i}`) ?? 0) + 1);
          if (i > 0) pairs.set(`${order[i - 1]}>${glass}`, (pairs.get(`${order[i - 1]}>${glass}`) ?? 0) + 1);
        }
      }
      expect(new Set(places.values()).size).toBe(1);
      expect(new Set(pairs.values()).size).toBe(1);
      expect(pairs.size).toBe(glasses * (glasses - 1));
    }
  });

  it('is on each taster’s sheet by codes alone', () => {
    const { book, trial: one } = trial(`14:00 trial T1 as E-4 by ana, bo
      A -
      B egg 3 g/hL
      C egg 6 g/hL`);
    const sheets = tastingSheets(book, one, []);
    expect(sheets.sheets.map(({ hand }) => hand)).toEqual(['ana', 'bo']);
    expect(sheets.sheets[0]?.codes).not.toEqual(sheets.sheets[1]?.codes);
    expect(JSON.stringify(sheets.sheets)).not.toContain('egg');
  });
});

describe('tasters', () => {
  it('too few say so, with how many it takes', () => {
    const { said } = trial(`14:00 trial T1 as E-4
      A -
      B egg 3 g/hL
      C egg 6 g/hL
      ana B, A, C
      bo B`);
    const panel = panelOf(said);
    expect(panel.firsts).toEqual([0, 2, 0]);
    expect(panel.words).toBe(
      'Too few tasters to say: 1 hand ranked all 3 rows, and ranks can tell 3 rows apart from 3 tasters on.',
    );
  });

  it('of one mind tell three glasses apart', () => {
    const { said } = trial(`14:00 trial T1 as E-4
      A -
      B egg 3 g/hL
      C egg 6 g/hL
      ana B, A, C
      bo B 16, A 14, C 12
      cy B, A, C`);
    const panel = panelOf(said);
    expect([panel.sums, panel.verdict?.p.toFixed(3)]).toEqual([[6, 3, 9], '0.028']);
    expect(panel.words).toContain('rank B best');
  });
});

describe('for the cellar', () => {
  it('a treatment is weighed for what is there, and its line checks clean', () => {
    const lines = `14:00 trial T1 as E-4
      A egg 3 g/hL
      B egg 6 g/hL, kms 20 mg/L SO2
      choose B`;
    const { book, trial: one, said } = trial(lines);
    const row = said.rows[1];
    if (row === undefined) throw new Error('no row');
    const scaled = scaleUp(book, one, row);
    // 6 g/hL of 600 L; 20 mg/L of 600 L over 57.6 % of SO2 in the salt
    expect(scaled.amounts).toEqual(['egg 36 g, at 6 g/hL of 600 L', 'kms 20.82 g, at 20 mg/L SO2 of 600 L']);
    const after = bookOf(`${HEAD}${lines}\n\n${scaled.lines.join('\n')}\n`);
    expect(after.findings).toEqual([]);
    expect(scaled.notes.join(' ')).toContain('safety data sheet');
  });

  it('a blend is as much as there is, or what is asked, in whole litres that add up; and its line checks clean', () => {
    const lines = `14:00 trial LS-free, LS-p1 as E-4 for blend
      A LS-free 70 %, LS-p1 30 %
      choose A`;
    const { book, trial: one, said } = trial(lines);
    const [row] = said.rows;
    if (row === undefined) throw new Error('no row');
    expect(scaleUp(book, one, row).amounts).toEqual(['LS-free 350 L', 'LS-p1 150 L']);
    const asked = scaleUp(book, one, row, 333);
    expect(asked.amounts).toEqual(['LS-free 233 L', 'LS-p1 100 L']);
    expect(bookOf(`${HEAD}${lines}\n\n${asked.lines.join('\n')}\n`).findings).toEqual([]);
    expect(scaleUp(book, one, row, 600).notes.join(' ')).toContain('at most 500 L');
  });

  /** The notes of the first row. */
  const notesOf = (lines: string, more = '', on?: number): readonly string[] => {
    const book = bookOf(`${HEAD}${lines}\n${more}`, on);
    const one = trialNamed(book, 'E-4');
    const [row] = one?.said.rows ?? [];
    return one === undefined || row === undefined ? [] : scaleUp(book, one, row).notes;
  };

  it('nothing is told of wine that is gone, but of a day it was there', () => {
    const lines = '14:00 trial T1 as E-4\n      A egg 3 g/hL';
    const gone = '\n2026-12-03 Thu\n09:00 transfer T1 600 L to T3\n';
    expect(notesOf(lines, gone)).toEqual([
      'T1 is empty: amounts are told of a day it was there, ullage trial FOLDER E-4 --on 2026-12-02',
    ]);
    const then = bookOf(`${HEAD}${lines}\n${gone}`, parseDate('2026-12-02'));
    const one = trialNamed(then, 'E-4');
    const [row] = one?.said.rows ?? [];
    expect(one === undefined || row === undefined ? [] : scaleUp(then, one, row).amounts).toEqual([
      'egg 18 g, at 3 g/hL of 600 L',
    ]);
  });

  it('no day is named where none ended with the wine', () => {
    expect(notesOf('14:00 trial T1 as E-4\n      A egg 3 g/hL', '15:00 transfer T1 600 L to T3\n')).toEqual([
      'T1 is empty: the wine that was tried left on the day of the trial, and amounts are told of what is there when a day ends',
    ]);
  });

  it('a vessel that was empty when it was tried is told so, then and later', () => {
    const lines = '14:00 trial T3 as E-4\n      A egg 3 g/hL';
    const untried = ['T3 held nothing when it was tried: there is no wine the amounts could be of'];
    expect(notesOf(lines)).toEqual(untried);
    expect(notesOf(lines, '\n2026-12-03 Thu\n09:00 transfer T1 600 L to T3\n')).toEqual(untried);
    expect(notesOf('14:00 trial LS-free as E-4\n      A LS-free 60 %, T3 40 %')).toEqual(untried);
  });

  it('a wine that only a row names is the wine it holds', () => {
    const { book, trial: one, said } = trial('14:00 trial LS-free as E-4\n      A LS-free 80 %, T2 20 %');
    const [row] = said.rows;
    expect(row === undefined ? [] : scaleUp(book, one, row).amounts).toEqual(['LS-free 600 L', 'T2 150 L']);
  });
});

describe('small amounts', () => {
  const SMALL = `vessel C1..C6 tank 100 L
block ledge-2 Syrah

2026-12-01 Tue
08:00 found C1 20 L as AA of ledge-2, vintage 2026
      found C2 4 L as BB of ledge-2, vintage 2026
      found C3 0.4 L as DD of ledge-2, vintage 2026
14:00 trial AA, BB, DD as E-4
`;
  const scaled = (row: string, make?: number) => {
    const text = `${SMALL}      A ${row}\n`;
    const book = bookOf(text);
    const one = trialNamed(book, 'E-4');
    const [first] = one?.said.rows ?? [];
    if (one === undefined || first === undefined) throw new Error('no trial');
    const found = scaleUp(book, one, first, make);
    return { ...found, findings: bookOf(`${text}\n${found.lines.join('\n')}\n`).findings };
  };

  it('are in steps that keep the shares', () => {
    // 20 L over 0.975 is 20.51 L, of which BB is 0.513 L
    expect(scaled('AA 97.5 %, BB 2.5 %')).toMatchObject({ amounts: ['AA 20 L', 'BB 0.51 L'], findings: [] });
    expect(scaled('AA 97.5 %, BB 2.5 %').notes[0]).toBe(
      'amounts are in steps of 10 mL: none is off its share by more than 0.6 % of itself',
    );
    expect(scaled('AA 90 %, DD 10 %')).toMatchObject({ amounts: ['AA 3.6 L', 'DD 0.4 L'], findings: [] });
  });

  it('hold what is asked for, and say what rounding made of it', () => {
    expect(scaled('AA 90 %, DD 10 %', 1.005)).toMatchObject({ amounts: ['AA 0.9 L', 'DD 0.1 L'] });
    expect(scaled('AA 90 %, DD 10 %', 1.005).notes).toContain('1 L in steps of 0.1 L, for the 1.005 L asked for');
  });

  it('that no cylinder shows are told, and never written as nothing', () => {
    expect(scaled('AA 99.9 %, DD 0.1 %', 0.1)).toMatchObject({
      amounts: [],
      lines: [],
      notes: ['row A: of 0.1 L less than a millilitre is DD: no cylinder shows it'],
    });
    expect(scaled('AA 90 %, DD 10 %', 0).notes).toEqual(['row A: nothing is to be made']);
    expect(scaled('AA 10 %, DD 90 %', 0.5).notes).toEqual([
      'row A: at most 0.44 L can be made of it, and 0.5 L is more',
    ]);
  });

  it('of whatever share are above nothing, within what there is, and as near their shares as is told', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 999 }), fc.integer({ min: 1, max: 24_000 }), (tenths, millilitres) => {
        const shares = [tenths / 1000, 1 - tenths / 1000];
        const held = [20, 4];
        const made = blendAmounts(
          shares.map((share, i) => ({ name: `${i}`, share, held: held[i] ?? 0 })),
          millilitres / 1000,
        );
        if (typeof made === 'string') {
          const most = Math.min(...shares.map((share, i) => (held[i] ?? 0) / share));
          const least = (Math.min(...shares) * millilitres) / 1000;
          expect(millilitres / 1000 > most || least < 0.001).toBe(true);
          return;
        }
        for (const [i, litres] of made.litres.entries()) {
          expect(litres).toBeGreaterThan(0);
          expect(litres).toBeLessThanOrEqual((held[i] ?? 0) + 1e-9);
          const share = shares[i] ?? 0;
          expect(Math.abs(litres / made.total - share)).toBeLessThanOrEqual(share * made.off + 1e-9);
        }
        if (made.step > 0.001) expect(made.off).toBeLessThanOrEqual(0.01);
        expect(Math.abs(made.total - millilitres / 1000)).toBeLessThanOrEqual(
          Math.max(0.001, millilitres / 100_000) + 1e-9,
        );
      }),
      { numRuns: 400, seed: 7 },
    );
  });
});

describe('near a trial', () => {
  it('takes the shares of the row, or of the chosen one', () => {
    const { book } = trial(`14:00 trial LS-free, T2 as E-4
      A LS-free 90 %, T2 10 %
      B T2 30 %
      choose B`);
    expect(nearTrial(book, 'E-4 A')).toMatchObject({
      name: 'E-4 A',
      shares: new Map([
        ['LS-free', 0.9],
        ['LS-p1', 0.1],
      ]),
    });
    expect(nearTrial(book, 'E-4')).toMatchObject({ name: 'E-4 B' });
    expect(nearTrial(book, 'E-5')).toEqual({ refused: 'there is no trial `E-5`; did you mean `E-4`?' });
    expect(nearTrial(book, 'E-4 D')).toEqual({ refused: 'trial E-4 has no row `D`: it has A, B' });
  });
});
