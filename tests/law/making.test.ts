/** What the rules of the United States let into juice, as the data of the set gives it. */
import { describe, expect, test } from 'vitest';
import { EU } from '../../src/law/eu.ts';
import { NONE } from '../../src/law/none.ts';
import { US } from '../../src/law/us.ts';

describe('while wine is made', () => {
  const { making } = US;
  if (making === undefined) throw new Error('the set has no rules of making');

  // 27 CFR 24.176(a), edition of 2015
  test.each([
    [26, 22],
    [23, 22],
    [22.9, 21.9],
    [21, 20],
  ])('water brings %s °Brix to no less than %s', (from, to) => {
    expect(making.watered.leastBrix(from)).toBeCloseTo(to, 9);
  });

  // 27 CFR 24.178, edition of 2015: none at 5.0 g/L, 20 gal in 1000 a 0.1 g/L, 538.4 gal in 1000 from 7.69 on
  test.each([
    [5, 0],
    [5.1, 20],
    [7.69, 538],
    [9, 538.4],
  ])('juice of %s g/L of acid may have %s in 1000', (acid, litres) => {
    expect(making.ameliorated.mostLitres(1000, acid)).toBeCloseTo(litres, 0);
  });

  test('their figures stand among the rules of the set', () => {
    for (const { rule } of [making.watered, making.ameliorated, making.waterWithMaterials, making.sugared])
      expect(US.rules).toContain(rule);
    expect(US.rules).toContain(making.acidRead);
    expect(making.sugared.rule.figure).toContain(String(making.sugared.mostBrix));
    expect(making.waterWithMaterials.rule.figure).toContain(`${making.waterWithMaterials.mostPercent} %`);
  });

  test('other sets have none so far', () => {
    expect([EU.making, NONE.making]).toEqual([undefined, undefined]);
  });

  test('no rule is told twice', () => {
    for (const { rules } of [US, EU]) expect(new Set(rules.map(({ id }) => id)).size).toBe(rules.length);
  });
});
