/** What is asked as a person types it: figures, units, names, and words for what does not fit. */
import { describe, expect, it, test } from 'vitest';
import { readAsked, readLitres, vesselsOf, type Words } from '../../src/blend/read-asked.ts';
import { isRefused } from '../../src/trade/worked.ts';
import { bookOf } from './cellar.ts';

const book = bookOf(`vessel T1..T3 tank 1200 L
vessel FB-01..FB-04 barrel 225 L
block ledge-2 Syrah region "Lower Teal"
block lower-3 Grenache region "Upper Teal"

2026-12-01 Tue
08:00 found T1 600 L as GR of lower-3, vintage 2025
      found FB-01..FB-03 225 L each as SY of ledge-2, vintage 2026
`);

const NOTHING: Words = { from: ['T1', 'SY'], limit: [], whole: [], keep: [], share: [], reading: [] };

function asked(words: Partial<Words>) {
  const question = readAsked(book, { ...NOTHING, ...words });
  if (isRefused(question)) throw new Error(question.refused);
  return question.asked;
}

function refused(words: Partial<Words>): string {
  const question = readAsked(book, { ...NOTHING, ...words });
  return isRefused(question) ? question.refused : 'not refused';
}

describe('names', () => {
  it('are vessels, ranges and lots, each vessel once', () => {
    expect(vesselsOf(book, 'T1, FB-02..FB-03')).toEqual(['T1', 'FB-02', 'FB-03']);
    expect(vesselsOf(book, 'SY,FB-01')).toEqual(['FB-01', 'FB-02', 'FB-03']);
    expect(vesselsOf(book, '"T1"')).toEqual(['T1']);
  });

  it('that are not there are told, with the nearest', () => {
    expect(vesselsOf(book, 'T4')).toMatchObject({
      refused: expect.stringContaining('there is no vessel and no lot `T4`'),
    });
    expect(vesselsOf(book, 'FB-03..FB-01')).toMatchObject({ refused: expect.stringContaining('no range of vessels') });
  });
});

describe('figures', () => {
  test.each([
    ['900L', 900],
    ['900 L', 900],
    ['9 hL', 900],
    ['100 gal', 378.5411784],
  ])('%s', (text, litres) => {
    expect(readLitres(text)).toBeCloseTo(litres, 9);
  });

  test.each(['900', '900 kg', 'much', '', '1,000 L', '-5 L', '0L', '0.0 L'])('no volume: %s', (text) => {
    expect(isRefused(readLitres(text))).toBe(true);
  });

  it('bound on both sides, on one, or ask for exactly that', () => {
    expect(
      asked({ keep: ['alcohol 13..13.5 %', 'TA above 5.5 g/L', 'VA under 0.6 g/L', 'residual sugar 2 g/L'] }).keeps,
    ).toMatchObject([
      { analyte: 'alcohol', low: 13, high: 13.5 },
      { analyte: 'TA', low: 5.5 },
      { analyte: 'VA', high: 0.6 },
      { analyte: 'residual sugar', low: 2, high: 2 },
    ]);
  });

  it('come in any unit of their kind', () => {
    expect(asked({ keep: ['total SO2 under 0.08 g/L'] }).keeps[0]?.high).toBeCloseTo(80, 9);
    expect(asked({ limit: ['T1 2 hL', 'FB-01=100L', 'T1 50..300 L'] }).limits).toMatchObject([
      { vessels: ['T1'], high: 200 },
      { vessels: ['FB-01'], high: 100 },
      { low: 50, high: 300 },
    ]);
  });

  it('are shares of what is all of several things at once', () => {
    const [share] = asked({ share: ['variety Syrah, vintage 2026, region "Lower Teal" above 85 %'] }).shares;
    expect(share).toMatchObject({ low: 0.85, of: { kind: 'source' } });
    const test = share?.of.kind === 'source' ? share.of.test : () => false;
    expect(book.origins.map(test)).toEqual(book.origins.map(({ variety }) => variety === 'Syrah'));
  });
});

describe('lees and losses', () => {
  it('may be none', () => {
    expect(asked({ make: '900 L', lees: '0 L', loss: '0 L' })).toMatchObject({ make: 900, lees: 0, loss: 0 });
  });
});

describe('what does not fit is told in words', () => {
  test.each([
    [{ from: [] }, '--from names the vessels or lots'],
    [{ keep: ['pH 3.5'] }, 'pH does not blend by volume'],
    [{ keep: ['alcohol above 13'] }, 'the unit is missing'],
    [{ keep: ['alcohol above 13 g'] }, '`g` is no unit of alcohol'],
    [{ keep: ['sweetness 2 g/L'] }, '`sweetness` is nothing that is measured'],
    [{ keep: ['TA 6..5 g/L'] }, '5 is less than 6'],
    [{ keep: ['TA'] }, 'has no figure at its end'],
    [{ share: ['variety Merlot above 85 %'] }, 'the record knows no variety `Merlot`'],
    [{ share: ['T1 above 120 %'] }, 'a share is at most 100 %'],
    [{ share: ['T1 above 5 L'] }, 'a share is written in %'],
    [{ share: ['variety Syrah, T1 above 5 %'] }, 'name sources alone'],
    [{ limit: ['T2 20 L'] }, '`T2` is not among the wines of --from'],
    [{ make: '0 L' }, 'nothing is to be made'],
    [{ step: '0 L' }, '--step is from'],
    [{ least: 'T1', most: 'SY' }, 'a blend has one aim'],
    [{ reading: ['T2 pH 3'] }, '`T2` is not among the wines of --from, and its reading would serve nothing'],
    [{ from: ['FB-01'], reading: ['SY TA 6 g/L'] }, '`FB-02` is not among the wines of --from'],
    [{ reading: ['T1 5.5 g/L'] }, 'is nothing that is reckoned with here'],
  ] as const)('%o', (words, said) => {
    expect(refused(words)).toContain(said);
  });
});
