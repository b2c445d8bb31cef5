/** Readings outside what a plan keeps to, and past what it warns of: figures, paces, and what is worked out from others. */
import { describe, expect, test } from 'vitest';
import { CELLAR, foundIn, MUST, WINE } from './journal.ts';

const found = (plan: string, record: string): string[] =>
  foundIn(`${CELLAR}\n${plan}${record}`).map((one) => one.replace(/^\d+ /, ''));

describe('keep', () => {
  const KEEP = 'plan red-ferment for must in bin\n  keep temp 20..30 C\n';
  const read = (...temps: string[]): string =>
    `${MUST}${temps.map((temp, i) => `\n2026-09-${16 + i} ${['Wed', 'Thu', 'Fri'][i]}\n07:00 reading B1 temp ${temp}\n`).join('')}`;

  test('what lies on a bound is kept', () => {
    expect(found(KEEP, read('20 C', '30 C'))).toEqual([]);
    expect(found(KEEP, read('68 F', '86 F'))).toEqual([]);
    expect(found(KEEP, read('19.9 C'))).toEqual([
      'bounds-left LS in B1 has temp 19.9 C; red-ferment keeps `temp 20..30 C`',
    ]);
  });

  test('one finding for a line and a lot, at the first reading', () => {
    expect(found(KEEP, read('25 C', '31 C', '32 C'))).toEqual([
      'bounds-left LS in B1 has temp 31 C; red-ferment keeps `temp 20..30 C`, and 1 more reading of the lot',
    ]);
  });

  test('a range of figures leaves the bounds at either end', () => {
    expect(found(KEEP, read('21..29 C'))).toEqual([]);
    expect(found(KEEP, read('21..31 C'))).toHaveLength(1);
    expect(found(KEEP, read('19..29 C'))).toHaveLength(1);
  });

  test('what is below what the method sees is not above a bound', () => {
    const malic = 'plan p for wine\n  keep malic under 0.1 g/L\n';
    expect(found(malic, `${WINE}09:00 reading GR malic <0.1 g/L\n`)).toEqual([]);
    const least = 'plan p for wine\n  keep malic above 0.1 g/L\n';
    expect(found(least, `${WINE}09:00 reading GR malic <0.1 g/L\n`)).toHaveLength(1);
  });

  test('a later line takes its own side over, and leaves the other', () => {
    const lines = `${KEEP}  keep temp above 10 C\n`;
    expect(found(lines, read('15 C'))).toEqual([]);
    expect(found(lines, read('9 C'))).toHaveLength(1);
    expect(found(lines, read('31 C'))).toEqual([
      'bounds-left LS in B1 has temp 31 C; red-ferment keeps `temp 20..30 C`',
    ]);
  });

  test('only while its conditions are met, and while the plan covers the wine', () => {
    const cold = KEEP.replace('20..30 C', '20..30 C while fermenting');
    expect(found(cold, read('12 C'))).toEqual([]);
    expect(found(KEEP.replace('must in bin', 'wine'), read('12 C'))).toEqual([]);
  });

  test('`sic` answers a reading, and the next is told of', () => {
    const record = read('31 C', '33 C').replace('31 C', '31 C, sic');
    expect(found(KEEP, record)).toEqual(['bounds-left LS in B1 has temp 33 C; red-ferment keeps `temp 20..30 C`']);
    expect(found(KEEP.replace('30 C', '30 C sic'), record)).toEqual([]);
  });
});

describe('molecular sulfur dioxide', () => {
  const KEEP = 'plan barrel-age for wine in barrel\n  keep molecular SO2 above 0.6 mg/L\n';

  // University of California Cooperative Extension, Enology Briefs I (1982): 1 / (1 + 10^(pH - 1.81)) of the free; at pH
  // 3.6 that is 1.60 %, so that 37 mg/L hold 0.59 and 38 mg/L 0.61
  test('is worked out from the free and the last pH by the constant 1.81', () => {
    const record = (free: number): string =>
      `${WINE}09:00 reading GR pH 3.6\n10:00 reading FB-01 free SO2 ${free} mg/L\n`;
    expect(found(KEEP, record(38))).toEqual([]);
    expect(found(KEEP, record(37))).toEqual([
      'bounds-left GR in FB-01 has molecular SO2 0.59 mg/L (pKa 1.81, water at 20 °C); barrel-age keeps `molecular SO2 above 0.6 mg/L`',
    ]);
  });

  test('is not guessed where the pH is not known', () => {
    expect(found(KEEP, `${WINE}10:00 reading FB-01 free SO2 5 mg/L\n`)).toEqual([]);
  });

  test('goes by the method of the house, which needs the alcohol', () => {
    const house = `method molecular SO2 oiv\n${KEEP}`;
    const record = (more: string): string =>
      `${WINE}09:00 reading GR pH 3.6${more}\n10:00 reading FB-01 free SO2 20 mg/L\n`;
    expect(found(house, record(''))).toEqual([]);
    const [told] = found(house, record(', alcohol 13 %'));
    expect(told).toContain('OIV-MA-AS323-04C');
  });
});

describe('warn', () => {
  test('of a figure past another, which itself is not past', () => {
    const plan = 'plan red-ferment for must\n  warn temp above 32 C\n  warn temp under 10 C\n';
    const record = (temp: string): string => `${MUST}10:00 reading B1 temp ${temp}\n`;
    expect(found(plan, record('32 C'))).toEqual([]);
    expect(found(plan, record('32.1 C'))).toEqual([
      'plan-warns LS in B1 has temp 32.1 C; red-ferment warns of `temp above 32 C`',
    ]);
    expect(found(plan, record('9 C'))).toEqual([
      'plan-warns LS in B1 has temp 9 C; red-ferment warns of `temp under 10 C`',
    ]);
  });

  describe('of a pace', () => {
    const FALL = 'plan red-ferment for must\n  warn brix falling under 1 a day\n';
    const sugar = (...readings: [day: string, time: string, brix: number][]): string =>
      `${MUST}${readings.map(([day, time, brix]) => `\n2026-09-${day}\n${time} reading B1 brix ${brix}\n`).join('')}`;

    test('reckoned from the reading about a day before, not from the one of the morning', () => {
      const steady = sugar(
        ['15 Tue', '07:00', 24],
        ['16 Wed', '07:00', 22],
        ['17 Thu', '07:00', 20],
        ['17 Thu', '17:00', 19.9],
        ['18 Fri', '07:00', 19],
      );
      expect(found(FALL, steady)).toEqual([]);
      const slow = sugar(
        ['15 Tue', '07:00', 24],
        ['16 Wed', '07:00', 22],
        ['17 Thu', '07:00', 20],
        ['18 Fri', '07:00', 19.2],
      );
      expect(found(FALL, slow)).toEqual([
        'plan-warns LS in B1 has brix 19.2, 0.8 down in a day; red-ferment warns of `brix falling under 1 a day`',
      ]);
    });

    test('not before the ferment shows, nor once the wine is dry', () => {
      const lag = sugar(
        ['15 Tue', '07:00', 24],
        ['16 Wed', '07:00', 24],
        ['17 Thu', '07:00', 23.9],
        ['18 Fri', '07:00', 22.9],
      );
      expect(found(FALL, lag)).toEqual([]);
      const dry = sugar(
        ['15 Tue', '07:00', 24],
        ['20 Sun', '07:00', 1],
        ['21 Mon', '07:00', -1],
        ['22 Tue', '07:00', -1.2],
      );
      expect(found(FALL, dry)).toEqual([]);
    });

    test('over several days the mean counts, and sugar that rises falls slowly', () => {
      const gap = sugar(['15 Tue', '07:00', 24], ['16 Wed', '07:00', 22], ['20 Sun', '07:00', 18.4]);
      expect(found(FALL, gap)).toEqual([
        'plan-warns LS in B1 has brix 18.4, 0.9 down in a day; red-ferment warns of `brix falling under 1 a day`',
      ]);
      const rise = sugar(['15 Tue', '07:00', 24], ['16 Wed', '07:00', 22], ['17 Thu', '07:00', 22.2]);
      expect(found(FALL, rise)).toEqual([
        'plan-warns LS in B1 has brix 22.2, -0.2 down in a day; red-ferment warns of `brix falling under 1 a day`',
      ]);
    });

    test('other measurements rise and fall at any time; a difference of Fahrenheit has no zero point', () => {
      const plan = 'plan red-ferment for must\n  warn temp rising over 9 F a day\n';
      const temp = (second: number): string =>
        `${MUST}10:00 reading B1 temp 20 C\n\n2026-09-15 Tue\n10:00 reading B1 temp ${second} C\n`;
      // 9 F are 5 C
      expect(found(plan, temp(25))).toEqual([]);
      expect(found(plan, temp(25.2))).toEqual([
        'plan-warns LS in B1 has temp 25.2 C, 5.2 up in a day; red-ferment warns of `temp rising over 9 F a day`',
      ]);
      const weekly = 'plan p for wine\n  warn VA rising over 0.1 g/L a week\n';
      const va = (second: number): string =>
        `${WINE}09:00 reading GR VA 0.4 g/L\n\n2026-11-16 Mon\n09:00 reading GR VA ${second} g/L\n`;
      expect(found(weekly, va(0.6))).toEqual([]);
      expect(found(weekly, va(0.62))).toHaveLength(1);
    });
  });
});
