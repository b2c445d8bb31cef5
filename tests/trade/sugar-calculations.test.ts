/** The calculations on sugar as a user runs them: what they ask, what they answer, what they say beside it. */
import { describe, expect, test } from 'vitest';
import { findAnalyte } from '../../grammar/analytes.ts';
import { findUnit } from '../../grammar/units.ts';
import type { Answer, Calculation } from '../../src/trade/calculations/calculation.ts';
import { SUGAR_CALCULATIONS } from '../../src/trade/calculations/sugar.ts';
import { isRefused } from '../../src/trade/worked.ts';

function called(name: string): Calculation {
  const found = SUGAR_CALCULATIONS.find((calculation) => calculation.name === name);
  if (found === undefined) throw new Error(`no calculation ${name}`);
  return found;
}

function ask(name: string, figures: Record<string, number>, words: Record<string, string> = {}): Answer {
  const worked = called(name).work({ figures, words });
  if (isRefused(worked)) throw new Error(worked.refused);
  return worked;
}

const figure = (answer: Answer, say: string): number => {
  const found = answer.figures.find((each) => each.say.includes(say));
  if (found === undefined) throw new Error(`no figure ${say}`);
  return found.value;
};

/** The figures and words of an example line: every number in the unit the calculation takes. */
function givenBy({ example, inputs }: Calculation): { figures: Record<string, number>; words: Record<string, string> } {
  const figures: Record<string, number> = {};
  const words: Record<string, string> = {};
  for (const [, name = '', quoted, bare = ''] of example.matchAll(/--([a-z-]+) (?:"([^"]*)"|(\S+))/gu)) {
    const input = inputs.find((each) => each.name === name);
    if (input === undefined) throw new Error(`no input ${name}`);
    const value = quoted ?? bare;
    if (input.choices === undefined) figures[name] = Number.parseFloat(value);
    else words[name] = value;
  }
  return { figures, words };
}

const named = SUGAR_CALCULATIONS.map((calculation) => [calculation.name, calculation] as const);

describe.each(named)('%s', (_, calculation) => {
  test('its example runs and answers with figures', () => {
    const given = givenBy(calculation);
    expect(Object.keys(given.figures).length).toBeGreaterThan(0);
    const worked = calculation.work(given);
    if (isRefused(worked)) throw new Error(worked.refused);
    for (const { value } of worked.figures) expect(Number.isFinite(value)).toBe(true);
    expect(worked.method).not.toBe('');
  });

  test('without any figure, or with what is no number, it refuses in words', () => {
    const none = calculation.work({ figures: {}, words: {} });
    expect(isRefused(none) && none.refused.length > 10).toBe(true);
    const { figures, words } = givenBy(calculation);
    for (const name of Object.keys(figures)) {
      expect(isRefused(calculation.work({ figures: { ...figures, [name]: Number.NaN }, words }))).toBe(true);
    }
  });

  test('its inputs are of known units, and what the record answers is a measurement', () => {
    for (const input of calculation.inputs) {
      if (input.dimensions !== undefined) {
        const dimension = findUnit(input.unit)?.dimension;
        expect(dimension !== undefined && input.dimensions.includes(dimension)).toBe(true);
      }
      if (input.record !== undefined && input.record !== 'volume') {
        expect(findAnalyte(input.record)?.key).toBe(input.record);
      }
    }
  });
});

test('names are there once', () => {
  expect(new Set(named.map(([name]) => name)).size).toBe(SUGAR_CALCULATIONS.length);
});

test('what touches the law or a tank carries its caution', () => {
  for (const name of ['add-sugar', 'add-water', 'add-concentrate']) {
    expect(called(name).caution).toMatch(/law/u);
    expect(called(name).caution).toMatch(/carbon dioxide/u);
  }
  for (const name of ['potential-alcohol', 'refractometer-in-ferment']) expect(called(name).caution).toMatch(/label/u);
});

describe('convert-density', () => {
  test('of two readings takes one and says so', () => {
    const answer = ask('convert-density', { brix: 24, oechsle: 50 });
    expect(figure(answer, 'Oechsle')).toBeGreaterThan(90);
    expect(answer.remarks.join(' ')).toContain('not looked at: oechsle');
  });
  test('leaves out a scale beyond its range, and says why', () => {
    const answer = ask('convert-density', { sg: 0.995 });
    expect(answer.figures.some(({ say }) => say.includes('Brix'))).toBe(false);
    expect(answer.remarks.join(' ')).toContain('No Brix by hydrometer');
    expect(figure(answer, 'Oechsle')).toBeCloseTo(-5, 9);
  });
  test('weighed in air is what the sugar tables print (USDA 135-A-50: 7.9 °Bx, 1.03139)', () => {
    expect(figure(ask('convert-density', { brix: 7.9 }), 'weighed in air')).toBeCloseTo(1.03139, 5);
  });
});

describe('correct-hydrometer', () => {
  test('answers on the scale that was read', () => {
    expect(ask('correct-hydrometer', { brix: 20, temp: 30 }).figures[0].unit).toBe('°Bx');
    expect(ask('correct-hydrometer', { sg: 1.08, temp: 30 }).figures[0].unit).toBe('SG');
  });
  test('a hydrometer made for 60 °F is corrected more at the same warmth', () => {
    const at = (made: string) =>
      figure(ask('correct-hydrometer', { sg: 1.08, temp: 30 }, { 'made-for': made }), 'correction');
    expect(at('60F')).toBeGreaterThan(at('20C'));
  });
});

test('correct-refractometer says which rows are from memory', () => {
  expect(ask('correct-refractometer', { brix: 22, temp: 26 }).remarks.join(' ')).toContain('from memory');
  expect(ask('correct-refractometer', { brix: 22, temp: 12 }).remarks.join(' ')).not.toContain('from memory');
});

test('must-sugar: the same Brix by hydrometer is less sugar than by refractometer', () => {
  const by = (using: string) => figure(ask('must-sugar', { brix: 24 }, { using }), 'sugar');
  // OIV-MA-AS2-02, Table II: 24.0 by refractometer is 237.8 g/L.
  expect(by('refractometer')).toBeCloseTo(237.8, 1);
  expect(by('hydrometer')).toBeLessThan(by('refractometer'));
});

describe('potential-alcohol', () => {
  test('by convention, by factor, by German law', () => {
    expect(ask('potential-alcohol', { sugar: 170 }, { 'per-percent': '17' }).figures[0].value).toBeCloseTo(10, 9);
    expect(ask('potential-alcohol', { brix: 24, factor: 0.58 }).figures[0].value).toBeCloseTo(13.92, 9);
    // Weinverordnung 1995, Anlage 8.
    expect(ask('potential-alcohol', { oechsle: 80 }).figures[0].value).toBeCloseTo(10.6, 9);
  });
});

describe('add-sugar', () => {
  const remarks = (rise: number, zone: string) =>
    ask('add-sugar', { volume: 1000, rise }, { zone, 'per-percent': '17' }).remarks.join(' ');
  test('compares with the cap of the zone named', () => {
    expect(remarks(1.5, 'C')).toContain('within the cap');
    expect(remarks(1.6, 'C')).toContain('above the cap');
    expect(remarks(1.6, 'none')).not.toContain('the cap');
  });
});

describe('add-water', () => {
  const remarks = (to: number, ta?: number) =>
    ask('add-water', { volume: 1000, brix: 27, 'to-brix': to, ...(ta === undefined ? {} : { ta }) }).remarks.join(' ');
  test('says where the law of the United States draws its lines', () => {
    expect(remarks(23)).toContain('within that');
    expect(remarks(21)).toContain('below that');
    expect(remarks(26, 8)).toContain('within it');
    expect(remarks(20, 5.5)).toContain('above it');
  });
});

test('add-concentrate: the rise of the volume against the cap of the zone', () => {
  const of = (to: number) =>
    ask(
      'add-concentrate',
      { volume: 1000, brix: 18, 'to-brix': to, 'concentrate-brix': 68 },
      { zone: 'C' },
    ).remarks.join(' ');
  expect(of(20)).toContain('within the cap');
  expect(of(23)).toContain('above the cap');
});
