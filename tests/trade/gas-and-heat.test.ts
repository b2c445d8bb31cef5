/** A ferment's gas and heat, and barrels' losses: proportions, ends of the ranges, and the caution that must stand there. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Answer } from '../../src/trade/calculations/calculation.ts';
import { GAS_AND_HEAT_CALCULATIONS } from '../../src/trade/calculations/gas-and-heat.ts';
import { litresPerBarrelMonth, nextTopping, percentPerYear } from '../../src/trade/evaporation.ts';
import {
  airBroughtTo,
  carbonDioxideOf,
  heatingPower,
  heatOf,
  litresOfCarbonDioxide,
  sugarLossOf,
  warmingOf,
} from '../../src/trade/gas-and-heat.ts';
import { isRefused, type Worked } from '../../src/trade/worked.ts';

const sure = <T>(worked: Worked<T>): T => {
  if (isRefused(worked)) throw new Error(worked.refused);
  return worked;
};
const why = (worked: unknown): string => (isRefused(worked) ? worked.refused : `no refusal but ${String(worked)}`);

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const grams = between(0, 1e6);

describe('gas', () => {
  test('goes with the sugar, and is less than half of it by mass', () => {
    fc.assert(
      fc.property(grams, (sugar) => {
        const gas = sure(carbonDioxideOf(sugar));
        expect(gas).toBeLessThanOrEqual(0.489 * sugar);
        expect(gas).toBeGreaterThanOrEqual(0.488 * sugar);
      }),
    );
  });

  test('a mole is 22.414 L at 0 °C (CODATA, molar volume of an ideal gas), and more when warm', () => {
    expect(sure(litresOfCarbonDioxide(44.009, 0))).toBeCloseTo(22.414, 3);
    fc.assert(
      fc.property(between(1, 1e6), between(0, 49), (mass, celsius) => {
        expect(sure(litresOfCarbonDioxide(mass, celsius + 1))).toBeGreaterThan(
          sure(litresOfCarbonDioxide(mass, celsius)),
        );
      }),
    );
  });

  test('air brought to a limit holds just that much of the gas', () => {
    fc.assert(
      fc.property(between(0, 1e6), between(1, 1e6), (litres, limit) => {
        expect((sure(airBroughtTo(litres, limit)) * limit) / 1e6).toBeCloseTo(litres, 3);
      }),
    );
  });
});

describe('heat', () => {
  test('what is set free in an hour is the power times 3600', () => {
    fc.assert(
      fc.property(between(0, 4), between(0, 1e5), (loss, litres) => {
        expect(sure(heatingPower(loss, litres)) * 3600).toBeCloseTo(sure(heatOf(loss * litres)), 4);
      }),
    );
  });

  test('a whole ferment uncooled would warm by about thirty degrees', () => {
    expect(sure(warmingOf(220))).toBeGreaterThan(28);
    expect(sure(warmingOf(220))).toBeLessThan(34);
  });

  test('a fall of a °Bx a day is 9 g/L a day', () => {
    expect(sure(sugarLossOf(1)) * 24).toBeCloseTo(9, 9);
  });
});

describe('what is out of all range is refused', () => {
  test.each([
    ['sugar below nothing', () => carbonDioxideOf(-1), 'sugar of -1 g'],
    ['gas below nothing', () => litresOfCarbonDioxide(-1, 20), 'carbon dioxide of -1 g'],
    ['a frozen cellar', () => litresOfCarbonDioxide(1, -1), 'temperature of -1 °C'],
    ['an oven', () => litresOfCarbonDioxide(1, 51), 'outside 0 to 50 °C'],
    ['no limit at all', () => airBroughtTo(1, 0), 'a limit of 0 ppm'],
    ['more than all', () => airBroughtTo(1, 1e7), 'a limit of 10000000 ppm'],
    ['a rising hydrometer', () => sugarLossOf(-1), 'a fall a day of -1 °Bx'],
    ['a day that ferments all', () => sugarLossOf(11), 'outside 0 to 10 °Bx'],
    ['g/L a day for an hour', () => heatingPower(40, 100), 'a sugar loss of 40'],
    ['volume below nothing', () => heatingPower(1, -1), 'a volume of -1 L'],
    ['syrup', () => warmingOf(501), 'sugar of 501 g/L'],
    ['heat of less than none', () => heatOf(-1), 'sugar of -1 g'],
  ])('%s', (_, work, words) => {
    expect(why(work())).toContain(words);
  });

  test('and so is what is no number', () => {
    for (const none of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]) {
      for (const worked of [
        carbonDioxideOf(none),
        litresOfCarbonDioxide(none, 20),
        litresOfCarbonDioxide(1, none),
        airBroughtTo(none, 5000),
        airBroughtTo(1, none),
        sugarLossOf(none),
        heatOf(none),
        heatingPower(none, 1),
        heatingPower(1, none),
        warmingOf(none),
        litresPerBarrelMonth({ litres: none, days: 30, barrels: 1, barrelLitres: 225 }),
        percentPerYear({ litres: 1, days: none, barrels: 1, barrelLitres: 225 }),
        percentPerYear({ litres: 1, days: 30, barrels: none, barrelLitres: 225 }),
        percentPerYear({ litres: 1, days: 30, barrels: 1, barrelLitres: none }),
        nextTopping({ litres: 1, days: 30, barrels: 1, barrelLitres: 225 }, none),
      ]) {
        expect(isRefused(worked)).toBe(true);
      }
    }
  });
});

describe('topping', () => {
  const topping = fc.record({
    litres: between(0, 1000),
    days: between(1, 3660),
    barrels: fc.integer({ min: 1, max: 1000 }),
    barrelLitres: between(100, 600),
  });

  test('a year of the monthly loss is the yearly per cent of a barrel', () => {
    fc.assert(
      fc.property(topping, (one) => {
        const yearly = 12 * sure(litresPerBarrelMonth(one));
        expect((sure(percentPerYear(one)) * one.barrelLitres) / 100).toBeCloseTo(yearly, 6);
      }),
    );
  });

  test('the same time again wants the same again', () => {
    fc.assert(
      fc.property(
        topping.filter(({ days }) => days <= 366),
        (one) => {
          expect(sure(nextTopping(one, one.days))).toBeCloseTo(one.litres, 6);
        },
      ),
    );
  });

  test.each([
    ['no days', { litres: 1, days: 0, barrels: 1, barrelLitres: 225 }, 'a time of 0 days'],
    ['no barrels', { litres: 1, days: 30, barrels: 0, barrelLitres: 225 }, 'a number of barrels of 0'],
    ['a barrel that holds nothing', { litres: 1, days: 30, barrels: 1, barrelLitres: 0 }, 'what a barrel holds of 0 L'],
    ['wine taken out', { litres: -1, days: 30, barrels: 1, barrelLitres: 225 }, 'a volume topped of -1 L'],
  ])('%s is refused by all three', (_, one, words) => {
    expect(why(litresPerBarrelMonth(one))).toContain(words);
    expect(why(percentPerYear(one))).toContain(words);
    expect(why(nextTopping(one, 30))).toContain(words);
  });

  test('a topping further off than a year is refused', () => {
    const one = { litres: 1, days: 30, barrels: 1, barrelLitres: 225 };
    expect(why(nextTopping(one, 367))).toContain('the time until the next topping of 367 days');
  });
});

describe('the calculations', () => {
  const named = (name: string) => {
    const calculation = GAS_AND_HEAT_CALCULATIONS.find((one) => one.name === name);
    if (calculation === undefined) throw new Error(`no calculation ${name}`);
    return calculation;
  };
  const reckon = (name: string, figures: Record<string, number>): Worked<Answer> =>
    named(name).work({ figures, words: {} });
  const values = (name: string, figures: Record<string, number>): number[] =>
    sure(reckon(name, figures)).figures.map(({ value }) => value);

  test('gas and heat of a ferment both carry the caution about carbon dioxide and entering', () => {
    for (const name of ['ferment-gas', 'ferment-heat']) {
      const { caution } = named(name);
      for (const words of [
        'no smell that warns',
        'Never lean into a tank or bin',
        'never climb in',
        'somebody who has fallen',
        'calibrated meter',
        'permit',
        '5,000 ppm',
        '40,000 ppm',
        '29 CFR 1910.146',
        'local code',
      ]) {
        expect(caution, name).toContain(words);
      }
    }
  });

  test('a must in all, and by the hour where a rate is given, by either way', () => {
    const must = { sugar: 220, volume: 1000 };
    expect(values('ferment-gas', must)).toHaveLength(3);
    const byBrix = values('ferment-gas', { ...must, 'brix-per-day': 3 });
    const bySugar = values('ferment-gas', { ...must, 'sugar-loss': (3 * 9) / 24 });
    expect(byBrix).toEqual(bySugar.map((value) => expect.closeTo(value, 9)));
    expect(byBrix).toHaveLength(5);
    // 107.5 kg, 58.7 m³, and 11,750 m³ of air.
    expect(byBrix[0]).toBeCloseTo(107.48, 1);
    expect((byBrix[1] ?? 0) / (byBrix[2] ?? 1)).toBeCloseTo(0.005, 9);
  });

  test('heat goes with the volume and the rate, and the whole sugar is optional', () => {
    const [power = 0, aDay = 0] = values('ferment-heat', { volume: 5000, 'brix-per-day': 3 });
    const [double = 0, sameDay = 0, whole = 0] = values('ferment-heat', {
      volume: 10_000,
      'brix-per-day': 3,
      sugar: 220,
    });
    expect(double).toBeCloseTo(2 * power, 9);
    expect(sameDay).toBeCloseTo(aDay, 9);
    expect(whole).toBeGreaterThan(aDay);
  });

  test('what barrels lose is held to what is reported', () => {
    const remarks = (topped: number) =>
      sure(reckon('topping-rate', { topped, days: 30.4375, barrels: 10 })).remarks.join(' ');
    expect(remarks(8)).not.toMatch(/more than is reported|less than is reported/);
    expect(remarks(40)).toContain('more than is reported');
    expect(remarks(1)).toContain('less than is reported');
    expect(values('topping-rate', { topped: 24, days: 28, barrels: 30 })[0]).toBeCloseTo(0.87, 2);
  });

  test.each([
    ['both ways at once', 'ferment-gas', { sugar: 200, volume: 10, 'brix-per-day': 3, 'sugar-loss': 1 }, 'not both'],
    ['heat without a rate', 'ferment-heat', { volume: 10 }, 'give the sugar loss'],
    ['too much sugar', 'ferment-gas', { sugar: 600, volume: 10 }, 'sugar of 600 g/L'],
    ['a rate beyond any', 'ferment-gas', { sugar: 200, volume: 10, 'sugar-loss': 9 }, 'a sugar loss of 9'],
    ['no volume', 'ferment-gas', { sugar: 200 }, 'no number'],
    ['no sugar', 'ferment-gas', { volume: 200 }, 'no number'],
    ['no days', 'topping-rate', { topped: 2 }, 'no number'],
  ])('%s is refused', (_, name, figures, words) => {
    expect(why(reckon(name, figures as unknown as Record<string, number>))).toContain(words);
  });
});
