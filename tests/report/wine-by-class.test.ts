/** When must becomes wine, and what wine by class comes to: small journals with answers worked out by hand. */
import { describe, expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { type PeriodVolumes, periodVolumes, toldUnits } from '../../src/report/period-volumes.ts';
import { daysPeriod, readDay } from '../../src/report/periods.ts';
import { wineFlowsTo } from '../../src/report/wine-flows.ts';

const STANDING = `vessel T1..T4 tank 1200 L steel
vessel B1..B2 bin 1000 L plastic
vessel K1..K3 keg 50 L
block ledge-2 Roussanne region "Lower Teal" 1.1 ha
block ledge-5 Syrah region "Lower Teal" 1.1 ha
material so2 solution, brings 50 g/L SO2
`;

const day = (text: string): number => readDay(text) ?? Number.NaN;

/** The volumes of all days up to one, or from one to another. */
function told(days: string, to: string, from = '2026-01-01', law = 'us'): PeriodVolumes {
  const text = `law ${law}\n${STANDING}${days}`;
  const book = makeBook([{ path: 'a.cellar', text }], undefined, checkJournal);
  expect(book.findings.filter(({ severity }) => severity === 'error')).toEqual([]);
  const flows = wineFlowsTo(book, day(to));
  return periodVolumes(flows, daysPeriod(day(from), day(to)), toldUnits(flows.rules));
}

/** `still-16: 0 + produced 500 - lees 6 = 494`, an account a line, in litres. */
function lines({ accounts }: PeriodVolumes): string[] {
  const litres = (exact: number): string => String(exact / 1e6);
  return accounts.map(({ account, start, lines: all, end }) => {
    const parts = all.map(({ way, key, amount }) => `${way === 'in' ? '+' : '-'} ${key} ${litres(amount.exact)}`);
    return [`${account}: ${litres(start.exact)}`, ...parts, `= ${litres(end.exact)}`].join(' ');
  });
}

const PRESSED = `2026-09-14 Mon
07:00 receive RO from ledge-2, net 800 kg
09:00 press RO, pomace 200 kg
      cut 1.0 bar to T1 500 L as JU
10:00 reading T1 brix 22
`;
const FERMENTING = `${PRESSED}2026-09-18 Fri
10:00 reading T1 brix 12
`;

describe('when must becomes wine', () => {
  test('what ferments at the end of a period is must, and stands apart', () => {
    const volumes = told(FERMENTING, '2026-09-30');
    expect(lines(volumes)).toEqual(['must: 0 + made 500 = 500']);
    expect(volumes.notYetWine).toEqual([{ vessel: 0, lot: 1, volume: 500_000_000 }]);
  });

  test('it is produced when its ferment ends, where its volume is known by measure', () => {
    const volumes = told(`${FERMENTING}2026-10-02 Fri\n10:00 reading T1 brix -1.4\n`, '2026-12-31');
    expect(lines(volumes)).toEqual(['must: 0 + made 500 - produced 500 = 0', 'bulk still-16: 0 + produced 500 = 500']);
    expect(volumes.notYetWine).toEqual([]);
  });

  test('a volume that is estimated waits for its dip', () => {
    const estimated = FERMENTING.replace('T1 500 L', 'T1 ~500 L');
    const dry = `${estimated}2026-10-02 Fri\n10:00 reading T1 brix -1.4\n`;
    expect(lines(told(dry, '2026-12-31'))).toEqual(['must: 0 + made 500 = 500']);
    expect(lines(told(`${dry}2026-10-05 Mon\n09:00 dip T1 480 L\n`, '2026-12-31'))).toEqual([
      'must: 0 + made 500 - produced 480 - settled 20 = 0',
      'bulk still-16: 0 + produced 480 = 480',
    ]);
  });

  test('what leaves the fermenter by an estimate counts at once, and is marked', () => {
    const volumes = told(
      `${FERMENTING}2026-10-02 Fri\n10:00 reading T1 brix -1.4\n`.replace('T1 500 L', 'T1 ~500 L') +
        '2026-10-05 Mon\n09:00 rack T1 to T2 ~470 L, lees 10 L\n',
      '2026-12-31',
    );
    const [produced] = volumes.accounts.flatMap(({ lines: all }) => all.filter(({ key }) => key === 'produced'));
    expect(produced?.amount.exact).toBe(470_000_000);
    expect(produced?.entries.map(({ posting }) => posting.estimated)).toEqual([true]);
  });

  const ON_SKINS = `2026-09-14 Mon
07:00 receive SY from ledge-5, net 1200 kg
09:00 crush SY to B1 ~450 L, B2 ~450 L, destemmed, stems 50 kg
10:00 reading SY brix 24
2026-09-17 Thu
10:00 reading SY brix 15
`;
  test('a drain and a pressing near dryness are when a red leaves its fermenter, whatever it is called then', () => {
    const days = `${ON_SKINS}2026-09-25 Fri
10:00 reading SY brix 1
11:00 drain B1 to T1 300 L
12:00 press B1, B2, pomace 250 kg
      cut 1.0 bar to T2 400 L as SY-p
`;
    expect(lines(told(days, '2026-09-24'))).toEqual(['must: 0 + made 900 = 900']);
    const [must, wine] = lines(told(days, '2026-09-30'));
    expect(must).toMatch(/^must: 0 \+ made 900 .*- produced 700 .*= 0$/u);
    expect(wine).toBe('bulk still-16: 0 + produced 700 = 700');
  });

  // common practice, no source: above 5 °Bx a drained must goes on fermenting elsewhere
  test.each([
    ['5', 'bulk still-16: 0 + produced 300 = 300'],
    ['5.1', undefined],
  ])('a drain at %s °Bx', (brix, wine) => {
    const days = `${ON_SKINS}2026-09-25 Fri\n10:00 reading SY brix ${brix}\n11:00 drain B1 to T1 300 L\n`;
    expect(lines(told(days, '2026-09-30'))[1]).toBe(wine);
  });

  test('must that is moved while it is sweet is must still', () => {
    expect(lines(told(`${FERMENTING}11:00 rack T1 to T2 490 L, lees 10 L\n`, '2026-12-31'))).toEqual([
      'must: 0 + made 500 - lees 10 = 490',
    ]);
  });

  test('must that is filled into bottles is produced and bottled at once', () => {
    expect(lines(told(`${PRESSED}12:00 bottle T1 to 660 x 750 mL as "26J", loss 5 L\n`, '2026-12-31'))).toEqual([
      'must: 0 + made 500 - produced 495 - handling 5 = 0',
      'bulk still-16: 0 + produced 495 - bottled 495 = 0',
      'bottled still-16: 0 + bottled 495 = 495',
    ]);
  });

  test('juice in wine is poured in; wine in must goes back to ferment, and comes out of it with the rest', () => {
    const days = `${FERMENTING}11:00 found T2 300 L as OLD of ledge-2, vintage 2025
12:00 transfer T1 10 L to T2 as OLD
13:00 transfer T2 20 L to T1 as JU
2026-10-02 Fri
10:00 reading JU brix -1.4
`;
    expect(lines(told(days, '2026-12-31'))).toEqual([
      'must: 0 + made 500 + refermented 20 - produced 510 - juice 10 = 0',
      'bulk still-16: 0 + found 300 + produced 510 + juice 10 - refermented 20 = 800',
    ]);
  });
});

describe('classes', () => {
  const TWO = `2026-09-01 Tue
08:00 found T1 600 L as DRY of ledge-2, vintage 2025
08:10 found T2 300 L as FORT of ledge-2, vintage 2025
09:00 reading T1 alcohol 13 %
09:10 reading T2 alcohol 19 %
`;
  test('a reading shows the class; what was told before stays told', () => {
    expect(lines(told(TWO, '2026-12-31'))).toEqual([
      'bulk still-16: 0 + found 900 - corrected 300 = 600',
      'bulk still-21: 0 + corrected 300 = 300',
    ]);
  });

  test('a blend across classes is told in both, one within a class in none', () => {
    // (600 × 13 + 300 × 19) / 900 = 15 %
    const across = `${TWO}2026-09-02 Wed\n10:00 blend T1, T2 to T3 as BOTH\n`;
    expect(lines(told(across, '2026-12-31', '2026-09-02'))).toEqual([
      'bulk still-16: 600 + blended 300 = 900',
      'bulk still-21: 300 - blended 300 = 0',
    ]);
    const within = across.replace('alcohol 19 %', 'alcohol 15.9 %');
    expect(lines(told(within, '2026-12-31', '2026-09-02'))).toEqual(['bulk still-16: 900 = 900']);
  });

  test.each([
    // (300 × 19 + x × 13) / (300 + x) = 16 at x = 300: exactly 16 % is the lower class
    ['300 L', 'bulk still-16: 600 + blended 300 = 900', 'bulk still-21: 300 - blended 300 = 0'],
    ['299 L', 'bulk still-16: 600 - blended 299 = 301', 'bulk still-21: 300 + blended 299 = 599'],
  ])('at the very boundary: %s of 13 %% into 300 L of 19 %%', (volume, weak, strong) => {
    const days = `${TWO}2026-09-02 Wed\n10:00 transfer T1 ${volume} to T2 as MORE\n`;
    expect(lines(told(days, '2026-12-31', '2026-09-02'))).toEqual([weak, strong]);
  });

  // (225 × 16.0 + 100 × 16.3 + 100 × 15.7) / 425 = 16 exactly
  test.each(['T1, T2, T3', 'T3, T2, T1', 'T2, T1, T3', 'T3, T1, T2'])(
    'a mean of exactly 16 per cent is not above it, whatever the order of the sources: %s',
    (sources) => {
      const days = (third: string): string => `2026-09-01 Tue
08:00 found T1 225 L as A of ledge-2, vintage 2025
08:10 found T2 100 L as B of ledge-2, vintage 2025
08:20 found T3 100 L as C of ledge-2, vintage 2025
09:00 reading T1 alcohol 16 %
09:10 reading T2 alcohol 16.3 %
09:20 reading T3 alcohol ${third} %
2026-09-02 Wed
10:00 blend ${sources} to T4 as D
`;
      expect(lines(told(days('15.7'), '2026-12-31', '2026-09-02'))[0]).toBe('bulk still-16: 325 + blended 100 = 425');
      expect(lines(told(days('15.71'), '2026-12-31', '2026-09-02')).at(-1)).toBe(
        'bulk still-21: 100 + blended 325 = 425',
      );
    },
  );

  test.each([
    // (490 × 5.0 + 10 × 0.5) / 500 = 4.91 g/L
    ['490 L', '0.5', 'bulk carbonated: 490 + effervescent 10 = 500'],
    // (x × 5.0 + 10 × 0.5) / (x + 10) = 3.92 at x = 31.666…: 31.6 L come to 3.918 g/L, 31.7 L to 3.921
    ['31.6 L', '0.5', 'bulk carbonated: 490 - effervescent 31.6 = 458.4'],
    ['31.7 L', '0.5', 'bulk carbonated: 490 + effervescent 10 = 500'],
  ])('gas is the mean of the parts by volume: %s of 5.0 g/L into 10 L of %s g/L', (volume, gas, carbonated) => {
    const days = `2026-09-01 Tue
08:00 found T2 490 L as A of ledge-2, vintage 2025
08:10 found T3 10 L as B of ledge-2, vintage 2025
09:00 reading T2 CO2 5.0 g/L
09:10 reading T3 CO2 ${gas} g/L
2026-09-02 Wed
10:00 transfer T2 ${volume} to T3 as C
`;
    expect(lines(told(days, '2026-12-31', '2026-09-02')).at(-1)).toBe(carbonated);
  });

  test('a little effervescent wine poured into much that nobody read gas of makes none', () => {
    const days = `2026-09-01 Tue
08:00 found T2 490 L as A of ledge-2, vintage 2025
08:10 found T3 10 L as B of ledge-2, vintage 2025
09:00 reading T3 CO2 5.0 g/L
2026-09-02 Wed
10:00 transfer T3 10 L to T2 as C
`;
    expect(lines(told(days, '2026-12-31', '2026-09-02'))).toEqual([
      'bulk still-16: 490 + effervescent 10 = 500',
      'bulk carbonated: 10 - effervescent 10 = 0',
    ]);
  });

  test('the sugar of its must tells the class of a wine nobody measured', () => {
    // 29.5 °Bx are some 330 g/L of sugar: above 16 % by 16.83 g/L
    const days = `${FERMENTING.replace('brix 22', 'brix 29.5')}2026-10-02 Fri\n10:00 reading T1 brix -1.4\n`;
    expect(lines(told(days, '2026-12-31'))[1]).toBe('bulk still-21: 0 + produced 500 = 500');
  });

  test('gas in a vessel, and bottles that are to sparkle', () => {
    const days = `${TWO}2026-09-03 Thu
09:00 reading T1 CO2 4 g/L
10:00 found T3 100 L as BASE of ledge-2, vintage 2025
11:00 transfer T3 100 L to T4 as CUVEE for sparkling
12:00 bottle T4 to 132 x 750 mL as "26SP", loss 1 L
`;
    const volumes = lines(told(days, '2026-12-31', '2026-09-03'));
    expect(volumes).toEqual([
      'bulk still-16: 600 + found 100 - effervescent 699 - handling 1 = 0',
      'bulk still-21: 300 = 300',
      'bulk sparkling: 0 + effervescent 99 - bottled 99 = 0',
      'bulk carbonated: 0 + effervescent 600 = 600',
      'bottled sparkling: 0 + bottled 99 = 99',
    ]);
  });

  test('what comes, goes and is lost by its kind, in vessels and in bottle', () => {
    const days = `2026-09-01 Tue
08:00 found T1 800 L as OLD of ledge-2, vintage 2025
08:10 found 120 x 750 mL as "25O" of ledge-2, vintage 2024
09:00 bring 200 L to T2 as BUY, variety Roussanne, vintage 2025, region "Lower Teal", from "grower 9"
10:00 add so2 1 L to T1
11:00 dispatch T1 100 L for bond
11:10 dispatch T2 10 L for distilling
11:20 loss T2 5 L for theft
11:30 dip T1 700 L
12:00 dispatch "25O" 12 x 750 mL for export
12:10 loss "25O" 2 x 750 mL for breakage
12:20 count "25O" 105 x 750 mL
`;
    expect(lines(told(days, '2026-12-31'))).toEqual([
      'bulk still-16: 0 + found 800 + bought 200 + liquid 1 - for bond 100 - for distilling 10 - theft 5 - short 1 = 885',
      'bottled still-16: 0 + found 90 - for export 9 - breakage 1.5 - short 0.75 = 78.75',
    ]);
  });
});

describe('gallons', () => {
  const CASES = `2026-09-01 Tue
08:00 found T1 1000 L as OLD of ledge-2, vintage 2025
09:00 bottle T1 to 1200 x 750 mL as "25O", leaving 100 L
`;
  test('1000 L are 264.17 wine gallons by the rule, and 100 cases of 12 x 750 mL 237.75', () => {
    // Industry Circular 76-10: 1000 L are 264.17; 27 CFR 24.300(a): a case of 12 x 750 mL is 2.37753
    const volumes = told(CASES, '2026-12-31');
    const [bulk, bottled] = volumes.accounts;
    expect(bulk?.lines.map(({ key, amount }) => [key, amount.gallons])).toEqual([
      ['found', 26_417],
      ['bottled', 23_775],
    ]);
    expect(bottled?.end.gallons).toBe(23_775);
  });

  test('exactly, a gallon is 3.785411784 L', () => {
    // NIST Handbook 44, appendix C
    const units = toldUnits(wineFlowsTo(makeBook([], undefined, checkJournal), 0).rules, true, 3);
    expect(units.factor.text).toBe('1/3.785411784');
    expect((Number(units.factor.num) / Number(units.factor.den)) * 3.785411784).toBeCloseTo(1, 12);
  });
});
