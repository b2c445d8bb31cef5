/** What a year's losses are held against where wine is blended, or found to be of another class: figures worked out by hand. */
import { describe, expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { tellingPlaces, type Used, usedOf } from '../../src/law/annual-losses.ts';
import { RULE_SETS } from '../../src/law/rule-sets.ts';
import { periodVolumes, toldUnits } from '../../src/report/period-volumes.ts';
import { periodsOf } from '../../src/report/periods.ts';
import { wineFlows } from '../../src/report/wine-flows.ts';
import { yearLosses } from '../../src/report/year-losses.ts';

const STANDING = `law us
vessel T1..T4 tank 1200 L steel
block s Syrah region "Lower Teal" 1 ha
`;
const SEPTEMBER = '2026-09-01 Tue\n';

const bookOf = (days: string) => makeBook([{ path: 'a.cellar', text: STANDING + days }], undefined, checkJournal);

/** `2026 still-16 stored 10 of 1000`, in litres: what was lost, and of what there was. Rows of nothing are left out. */
function held(days: string): string[] {
  const book = bookOf(days);
  expect(book.findings.filter(({ severity }) => severity === 'error')).toEqual([]);
  const flows = wineFlows(book);
  return periodsOf(book, 'year').flatMap((period) =>
    yearLosses(flows.rules, periodVolumes(flows, period, toldUnits(flows.rules))).classes.flatMap(
      ({ wineClass, used }) =>
        used
          .filter(({ base, lost }) => base !== 0 || lost !== 0)
          .map(
            ({ allowance, base, lost }) =>
              `${period.id} ${wineClass?.id} ${allowance.of} ${lost / 1e6} of ${base / 1e6}`,
          ),
    ),
  );
}

/** Findings of the shares, as `line: message`. */
const told = (days: string): string[] =>
  bookOf(days)
    .findings.filter(({ code }) => code === 'loss-above-share')
    .map(({ where, message }) => `${where.line}: ${message}`);

const FOUND = `${SEPTEMBER}08:00 found T1 1000 L as OLD of s, vintage 2025\n`;
/** 300 L of wine produced in the year lie in T1. */
const MADE = `2026-08-01 Sat
07:00 receive SY from s, net 500 kg
08:00 press SY, pomace 100 kg
      cut 1.0 bar to T1 300 L as SYW
09:00 reading SYW brix 23
2026-08-10 Mon
09:00 reading SYW brix 10
2026-08-20 Thu
09:00 reading SYW brix -1.5
`;

describe('wine that goes over to another class', () => {
  test('takes along what there was of it, so that a loss is a share of that', () => {
    const days = `${FOUND}09:00 reading T1 alcohol 16.1 %\n10:00 rack T1 to T2 990 L, lees 10 L\n`;
    expect(held(days)).toEqual(['2026 still-21 stored 10 of 1000']);
    expect(told(days)).toEqual([]);
  });

  test('takes along what was lost of it before, and the finding stands where it was lost', () => {
    const lost = (lees: number): string =>
      `${FOUND}09:00 rack T1 to T2 ${1000 - lees} L, lees ${lees} L\n10:00 reading T2 alcohol 16.1 % sic\n`;
    expect(held(lost(10))).toEqual(['2026 still-21 stored 10 of 1000']);
    expect(told(lost(30))).toEqual([]);
    expect(told(lost(31))).toEqual([
      expect.stringMatching(/^6: Still wine above 16 to 21 %: of 1000\.0 L .* 31\.0 L/u),
    ]);
  });

  test('takes along its part alone: what was sold, and what lies elsewhere, stays', () => {
    const days = `${FOUND}09:00 dispatch T1 400 L for sale
10:00 transfer T1 200 L to T2 as STR
11:00 reading T2 alcohol 17 %
12:00 loss T2 5 L for spill
`;
    expect(held(days)).toEqual(['2026 still-16 stored 0 of 800', '2026 still-21 stored 5 of 200']);
  });

  test('in a blend too, stored and produced alike', () => {
    // (300 × 13.5 + 300 × 19) / 600 = 16.25 %
    const days = `${MADE}${SEPTEMBER}08:00 found T2 300 L as FORT of s, vintage 2025
08:10 reading T1 alcohol 13.5 %
08:20 reading T2 alcohol 19 %
09:00 blend T1 300 L, T2 300 L to T3 as C
10:00 rack T3 to T4 580 L, lees 20 L
`;
    expect(held(days)).toEqual(['2026 still-21 stored 10 of 300', '2026 still-21 produced 10 of 300']);
  });

  test('in a new year all of it was there at the start', () => {
    const days = `${MADE}2027-02-01 Mon
09:00 reading T1 alcohol 16.1 %
10:00 rack T1 to T2 295 L, lees 5 L
`;
    expect(held(days)).toEqual(['2026 still-16 produced 0 of 300', '2027 still-21 stored 5 of 300']);
  });

  test('what went to ferment again leaves what there was of it behind', () => {
    const days = `${FOUND}2026-09-02 Wed
07:00 receive SY from s, net 500 kg
08:00 press SY, pomace 100 kg
      cut 1.0 bar to T2 300 L as SYW
09:00 reading SYW brix 23
2026-09-04 Fri
09:00 reading SYW brix 15
10:00 transfer T1 100 L to T2 as SYW
2026-09-20 Sun
09:00 reading SYW brix -1.5
10:00 reading SYW alcohol 17 %
`;
    expect(held(days)).toEqual(['2026 still-16 stored 0 of 1000', '2026 still-21 produced 0 of 400']);
  });
});

describe('a loss out of a vessel that holds wine of the year and older', () => {
  const three = (litres: number): string =>
    `${MADE}${SEPTEMBER}08:00 found T2 250 L as A of s, vintage 2025
08:10 found T3 250 L as B of s, vintage 2025
09:00 blend T1 300 L, T2 250 L, T3 250 L to T4 as C
10:00 loss T4 ${litres} L for spill
`;

  test('is split in proportion, not by the largest that was poured', () => {
    // 300 of 800 L are of the year: 6 L of 16; 500 were stored: 10 L
    expect(held(three(16))).toEqual(['2026 still-16 stored 10 of 500', '2026 still-16 produced 6 of 300']);
  });

  test('and passes the share of what was stored when its own part does', () => {
    expect(told(three(24))).toEqual([]);
    expect(told(three(24.1))).toEqual([expect.stringMatching(/of 500\.0 L there at its start and received, 15\.1 L/u)]);
  });

  test('juice, solutions and what a dip finds more are of neither, and change no proportion', () => {
    const days = `${MADE}${SEPTEMBER}08:00 dip T1 310 L\n09:00 loss T1 10 L for spill\n`;
    expect(held(days)).toEqual(['2026 still-16 produced 10 of 300']);
  });

  test('in the next year all of it is stored', () => {
    const days = `${MADE}2027-02-01 Mon\n09:00 loss T1 9 L for spill\n`;
    expect(held(days)).toEqual(['2026 still-16 produced 0 of 300', '2027 still-16 stored 9 of 300']);
  });
});

describe('what is told of a share', () => {
  const losses = RULE_SETS.us.volumes.losses;
  const used = (lostStored: number): Used => {
    const [stored] =
      losses === undefined ? [] : usedOf(losses, { stored: 1_000_000_000, produced: 0, lostStored, lostProduced: 0 });
    if (stored === undefined) throw new Error('no share of what was stored');
    return stored;
  };

  test.each([
    [30_000_000, 'L', 1],
    [31_000_000, 'L', 1],
    // 30.04 reads as 30.0, and 0.01 of 30.05 too much as nothing
    [30_040_000, 'L', 2],
    [30_001_000, 'L', 3],
    [29_999_999, 'L', 6],
    [30_000_001, 'hL', 8],
    [30_000_001, 'gal', 7],
  ] as const)('%d µL lost where 30 L may be, in %s, need %d places', (lost, unit, places) => {
    expect(tellingPlaces(used(lost), unit)).toBe(places);
  });

  test('a millilitre too much reads as one', () => {
    expect(told(`${FOUND}10:00 rack T1 to T2 969.999 L, lees 30.001 L\n`)).toEqual([
      expect.stringContaining('30.001 L were lost in 2026; above 3 %, 30.000 L'),
    ]);
  });
});
