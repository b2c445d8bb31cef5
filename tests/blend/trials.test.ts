/** Bench trials: what rows come to, blind codes, tasters, and amounts for the cellar that check clean. */
import { describe, expect, it } from 'vitest';
import { nearTrial } from '../../src/blend/near-trial.ts';
import { blindCodes, servingOrder } from '../../src/journal/trials.ts';
import { tastingSheets } from '../../src/report/tasting-sheets.ts';
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

  it('nothing is told of wine that is gone', () => {
    const {
      book,
      trial: one,
      said,
    } = trial(
      `14:00 trial T1 as E-4
      A egg 3 g/hL`,
      '15:00 transfer T1 600 L to T3\n',
    );
    const [row] = said.rows;
    expect(row === undefined ? [] : scaleUp(book, one, row).notes).toEqual([
      'T1 is empty: amounts are told of a day it was there, ullage trial FOLDER E-4 --on 2026-12-02',
    ]);
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
