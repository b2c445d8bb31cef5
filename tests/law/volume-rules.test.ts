/** Classes, losses and periods of the rule sets, at both sides of every figure. Sources stand with the rules themselves. */
import { describe, expect, test } from 'vitest';
import { usedOf, type YearOfClass } from '../../src/law/annual-losses.ts';
import { longestPeriod } from '../../src/law/reporting-periods.ts';
import { RULE_SETS } from '../../src/law/rule-sets.ts';
import { classOf } from '../../src/law/wine-class.ts';

const US = RULE_SETS.us.volumes;
const EU = RULE_SETS.eu.volumes;
const NONE = RULE_SETS.none.volumes;

describe('classes by alcohol', () => {
  // 26 U.S.C. 5041(b), read in 2026: not over 16, 21 and 24 per cent
  test.each([
    [undefined, 'still-16'],
    [0, 'still-16'],
    [160_000, 'still-16'],
    [160_001, 'still-21'],
    [210_000, 'still-21'],
    [210_001, 'still-24'],
    [240_000, 'still-24'],
    [240_001, 'above-24'],
  ])('US: %s parts per million are %s', (strength, id) => {
    expect(classOf(US, strength, undefined, false).id).toBe(id);
  });

  // Regulation (EU) 1308/2013, annex VII part II: from memory
  test.each([
    [150_000, 'still-15'],
    [150_001, 'still-22'],
    [220_000, 'still-22'],
    [220_001, 'above-22'],
  ])('EU: %s parts per million are %s', (strength, id) => {
    expect(classOf(EU, strength, undefined, false).id).toBe(id);
  });

  test('without a law there is one class of still wine', () => {
    expect([0, 160_001, 250_000].map((strength) => classOf(NONE, strength, undefined, false).id)).toEqual([
      'still',
      'still',
      'still',
    ]);
  });
});

describe('classes by gas', () => {
  // 27 CFR 24.245, edition of 2015: still wine has at most 0.392 g/100 mL
  test.each([
    [3920, false, 'still-16'],
    [3921, false, 'carbonated'],
    [3920, true, 'still-16'],
    [3921, true, 'sparkling'],
  ])('US: %s mg/L of carbon dioxide, said to sparkle: %s', (gas, sparkling, id) => {
    expect(classOf(US, 120_000, gas, sparkling).id).toBe(id);
  });
});

describe('losses of a year', () => {
  const year: YearOfClass = { stored: 1_000_000_000, produced: 500_000_000, lostStored: 0, lostProduced: 0 };
  const losses = US.losses;
  const passed = (of: Partial<YearOfClass>): boolean[] =>
    losses === undefined ? [] : usedOf(losses, { ...year, ...of }).map((one) => one.passed);

  // 27 CFR 24.266(b)(2), editions of 2001, 2006 and 2015: 3 % of what was stored, 6 % of what was produced
  test('US: exactly the share is within it, a microlitre more is not', () => {
    expect(passed({ lostStored: 30_000_000, lostProduced: 30_000_000 })).toEqual([false, false]);
    expect(passed({ lostStored: 30_000_001, lostProduced: 30_000_000 })).toEqual([true, false]);
    expect(passed({ lostStored: 30_000_000, lostProduced: 30_000_001 })).toEqual([false, true]);
  });

  test('a share that is no whole microlitre is passed by the next one', () => {
    // 3 % of 33 µL are 0.99 µL
    expect(passed({ stored: 33, lostStored: 0 })).toEqual([false, false]);
    expect(passed({ stored: 33, lostStored: 1 })).toEqual([true, false]);
  });

  test('the Union leaves the shares to its states, and no law has none', () => {
    expect(EU.losses?.allowances).toEqual([]);
    expect(NONE.losses).toBeUndefined();
  });
});

describe('periods', () => {
  // 27 CFR 24.300(g)(2), edition of 2015: 60 000 gallons in any quarter, 20 000 in any month
  test.each([
    [[20_000, 100], [60_000], 'year'],
    [[20_000.01, 100], [60_000], 'quarter'],
    [[20_000.01, 100], [60_000.01], 'month'],
    [[100], [100, 60_000.01], 'year'],
  ])('US: months of %j and quarters of %j gallons may be told by the %s', (month, quarter, of) => {
    expect(longestPeriod(US.periods, { month, quarter })?.of).toBe(of);
  });

  test('without a law there is none', () => {
    expect(longestPeriod(NONE.periods, { month: [1], quarter: [1] })).toBeUndefined();
  });
});

describe('every rule', () => {
  test.each(Object.values(RULE_SETS))('$name: has a section, a date, how it was read, and an id of its own', (set) => {
    const ids = set.rules.map(({ id }) => id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const rule of set.volumes.rules) {
      expect(set.rules).toContain(rule);
      expect([rule.section, rule.dated, rule.read, rule.figure].every((text) => text !== '')).toBe(true);
    }
  });
});
