import { expect, test } from 'vitest';
import { litresPerTonne, mustYield, offTheSkins, wineYield } from '../../src/trade/fruit-yield.ts';

const LITRE = 1_000_000;
const KILOGRAM = 1_000_000_000;
const gave = { used: 1000 * KILOGRAM, made: 900 * LITRE, settled: -20 * LITRE, pomace: 150 * LITRE };

test('must yield counts what was crushed, wine yield what left the skins', () => {
  expect(litresPerTonne(mustYield(gave) ?? 0)).toBe(900);
  // by hand: 900 − 20 − 150
  expect(offTheSkins(gave)).toBe(730 * LITRE);
  expect(litresPerTonne(wineYield(gave) ?? 0)).toBe(730);
});

test('what the trade counts at the press is a wine yield', () => {
  // American Journal of Enology and Viticulture 34 (1983): 130 to 185 US gallons a short ton; 542 to 772 L/t by the exact
  // gallon and short ton of NIST Handbook 44, appendix C.
  const gallon = 3.785411784 * LITRE;
  const shortTon = 907.18474 * KILOGRAM;
  const yieldOf = (gallons: number): number =>
    Math.round(litresPerTonne(wineYield({ used: shortTon, made: gallons * gallon, settled: 0, pomace: 0 }) ?? 0));
  expect([yieldOf(130), yieldOf(185)]).toEqual([542, 772]);
});

test('where nothing was used or nothing came of it there is none', () => {
  expect(mustYield({ used: 0, made: LITRE })).toBeUndefined();
  expect(mustYield({ used: KILOGRAM, made: 0 })).toBeUndefined();
  expect(wineYield({ ...gave, used: 0 })).toBeUndefined();
  expect(wineYield({ ...gave, pomace: 900 * LITRE })).toBeUndefined();
});
