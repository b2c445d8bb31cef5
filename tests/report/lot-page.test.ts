/** The page of a lot: its story, its chemistry, its losses and its kin, in the order in which they are asked for. */
import { describe, expect, test } from 'vitest';
import { contextOf } from '../../src/report/context.ts';
import { historyModel, historyPath, lotModel } from '../../src/report/lot.ts';
import type { Sheet } from '../../src/report/sheet.ts';
import { fixtureBook } from './fixture.ts';
import { contextFor, fermentingText, finishedText, present } from './small-cellar.ts';

const context = contextFor(finishedText());
const lot = (name: string, of = context) =>
  present(
    lotModel(
      of,
      of.book.lots.findIndex(({ facts }) => facts.name === name),
    ),
  );
const story = (name: string, of = context): string[] =>
  lot(name, of).story.map((sentence) => sentence.map(({ text }) => text).join(''));
const cells = (sheet: Sheet | undefined): string[][] =>
  (sheet?.rows ?? []).map((row) => row.cells.map(({ figures }) => figures.map(({ text }) => text).join(', ')));

describe('its story', () => {
  test('of a must: the fruit, the ferment, what it became and what was lost', () => {
    expect(story('LS')).toEqual([
      '1500 kg of fruit from ledge-2 came in on 14 Sep 2026 and gave 1340 L of must.',
      'It fermented from 14 Sep 2026 to 24 Sep 2026 (10 days).',
      'It went to LS-free (800 L), LS-p1 (150 L).',
      expect.stringMatching(/^On the way 390 L were lost \(29\.1 %\): /u),
    ]);
  });

  test('of a wine: where it comes from, malolactic, where it is', () => {
    const told = story('LS-free');
    expect(told[0]).toBe('Made of LS (800 L) on 25 Sep 2026.');
    expect(told[1]).toBe('Malolactic finished: 0.1 g/L on 10 Nov 2026.');
    expect(told.at(-1)).toMatch(/^5\d\d(?:\.\d)? L are in FB-02, FB-03, K1, K2\.$/u);
    expect(lot('LS-free').story[0]?.find(({ text }) => text === 'LS')?.href).toBe('lots/ls.html');
  });

  test('of a bottling, and of what still ferments', () => {
    expect(story('26LS')).toEqual(['Filled from LS-free (217.5 L) on 1 Jul 2027.', 'On hand: 250 × 750 mL.']);
    const fermenting = contextFor(fermentingText());
    expect(story('LS', fermenting)[1]).toMatch(/^It ferments since 14 Sep 2026; dry about 25 Sep to \d+ Oct\.$/u);
  });
});

test('while it ferments the ferment stands first, of a wine its chemistry', () => {
  expect(lot('LS', contextFor(fermentingText())).sections.map(({ id }) => id)).toEqual([
    'ferment',
    'cap-work',
    'additions',
    'chemistry',
    'notes',
    'volume',
    'composition',
    'history',
  ]);
  expect(lot('LS-free').sections.map(({ id }) => id)).toEqual([
    'chemistry',
    'family',
    'volume',
    'additions',
    'composition',
    'runs',
    'readings',
    'history',
  ]);
});

test('forecasts tell how each vessel goes, and name no day for one that stands still', () => {
  const rows = cells(lot('LS', contextFor(fermentingText())).forecasts);
  const of = (name: string): string[] => present(rows.find(([vessel]) => vessel === name));
  expect(of('B1')[3]).toMatch(/^25 Sep \(/u);
  expect([of('B3')[1], of('B3')[3]]).toEqual(['stuck', 'stands still']);
});

describe('its chemistry', () => {
  const chemistry = present(lot('LS-free').chemistry);

  test('each figure stands with what it rests on', () => {
    expect(chemistry.strength).toMatchObject({ text: '13.6\u00A0% vol', measured: true, from: 'read on 10 Nov 2026' });
    expect(chemistry.sulfur?.newest).toMatchObject({
      text: '0.45 mg/L molecular',
      read: 'free 28 mg/L on 20 Nov 2026, pH 3.6 (10 Nov)',
    });
    expect(chemistry.sulfurRemark.map(({ text }) => text).join('')).toContain('pH − 1.81');
    expect(cells(chemistry.sulfurSheet)).toEqual([
      ['20 Nov 2026', 'LS-free', '28', '60', '3.6 (10 Nov)', '0.45', '2026.cellar:51'],
    ]);
    expect(chemistry.malolactic?.stage).toBe('finished');
    expect(cells(chemistry.malicSheet)).toEqual([['10 Nov 2026', 'LS-free', '0.1', '', '2026.cellar:45']]);
  });

  test('all the sulfur dioxide it has had, the must’s included, is told in a litre of what there is', () => {
    // 40 mg/L in 1340 L of must, all of it in the 950 L that were drained and pressed: 56.4; and 50 on top.
    expect(chemistry.had?.perLitre).toBeGreaterThan(90);
    expect(chemistry.had?.perLitre).toBeLessThan(110);
    expect(chemistry.had?.from).toEqual(['kms']);
    const bottled = present(lot('26LS').chemistry?.had);
    expect(Math.abs(bottled.perLitre - (chemistry.had?.perLitre ?? 0))).toBeLessThan(3);
  });

  test('malic acid that has not fallen is not said to be under way', () => {
    expect(lot('LS').chemistry?.malolactic?.stage).toBe('not seen to fall yet');
    expect(lot('LS-p1').chemistry?.malolactic?.stage).toBe('not seen to fall yet');
  });
});

test('every loss is told with its day, its kind and its line, and they add up', () => {
  const { losses } = lot('LS-free');
  expect(cells(losses).map(([day, what, volume]) => [day, what, volume])).toEqual([
    ['1 Oct 2026', 'lees', '25 L'],
    ['1 Jun 2027', 'evaporated', '6 L'],
    ['1 Jul 2027', 'lost at dips', '5.5 L'],
    ['1 Jul 2027', 'lost in handling', '2 L'],
  ]);
  expect(losses?.foot?.cells[2]?.figures[0]?.text).toBe('38.5 L');
});

test('free run stands against press run on the pages of both and of their must', () => {
  for (const name of ['LS', 'LS-free', 'LS-p1']) {
    const { runs } = lot(name);
    expect(runs?.of.text).toBe('LS');
    expect(cells(runs?.sheet).map(([of, run, volume, share]) => [of, run, volume, share])).toEqual([
      ['LS-free', 'free run', '800 L', '84.2 %'],
      ['LS-p1', 'press run', '150 L', '15.7 %'],
    ]);
  }
  expect(lot('26LS').runs).toBeUndefined();
});

test('an addition says by whom and of which batch', () => {
  const { rows } = lot('LS', contextFor(fermentingText())).additions;
  expect(rows.find(({ material }) => material.text === 'kms')).toMatchObject({ by: 'ana', batch: { text: '0417' } });
});

test('what was tasted and noted is gathered, the newest first', () => {
  const text = `${fermentingText()}18:00 taste LS -- pepper, still sweet by ana\n`;
  expect(lot('LS', contextFor(text)).notes.map(({ day }) => day)).toEqual(['24 Sep 2026', '14 Sep 2026']);
});

test('a long story has a page of its own, and the lot’s page its last days', () => {
  const long = contextOf(fixtureBook({ bins: 15 }));
  const model = present(lotModel(long, 0));
  expect(model.history).toEqual({ text: 'all 12 days', href: 'history/ls.html' });
  expect(historyPath(long, 0)).toBe('history/ls.html');
  expect(historyModel(long, 0)?.days.length).toBe(12);
  expect(model.days.length).toBe(8);
  expect(historyPath(long, 1)).toBeUndefined();
  expect(historyModel(long, 1)).toBeUndefined();
});
