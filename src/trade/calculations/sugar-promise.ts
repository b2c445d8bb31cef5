/** Calculations on what a must holds and promises: its sugar, and the alcohol of it. */
import { convertDensity } from '../density-reading.ts';
import {
  mustByRefractometer,
  naturalAlcoholByGermanLaw,
  potentialAlcohol,
  potentialAlcoholByFactor,
  refractometerBrixOfMustDensity,
  refractometerBrixOfMustIndex,
} from '../must-sugar.ts';
import { brixOfRefractiveIndex } from '../sucrose.ts';
import { andThen, isRefused, refuse, type Worked } from '../worked.ts';
import type { Answer, Calculation, Figure, Given } from './calculation.ts';
import { ARRETE, brixInput, conventionOf, GERMAN_LAW, NOT_A_LABEL, OIV_MUST, perPercent } from './sugar-inputs.ts';

/** The refractometer reading of a must given by refractometer, by hydrometer or by its refractive index. */
function refractometerReading(given: Given): Worked<number> {
  const [brix, index] = [given.figures.brix, given.figures['refractive-index']];
  if (brix === undefined) {
    return index === undefined
      ? refuse('give one reading: brix or refractive-index')
      : refractometerBrixOfMustIndex(index);
  }
  if (given.words.using !== 'hydrometer') return brix;
  return andThen(convertDensity(brix, 'brix', 'density'), ({ value }) => refractometerBrixOfMustDensity(value));
}

function mustSugar(given: Given): Worked<Answer> {
  const index = given.figures['refractive-index'];
  return andThen(refractometerReading(given), (brix) =>
    andThen(mustByRefractometer(brix), (must): Answer => {
      const sucrose = index === undefined ? undefined : brixOfRefractiveIndex(index);
      return {
        figures: [
          { say: 'sugar', value: must.gramsPerLitre, unit: 'g/L', decimals: 1 },
          { say: 'sugar', value: must.gramsPerKilogram, unit: 'g/kg', decimals: 1 },
          { say: 'density at 20 °C', value: must.density, unit: 'g/L', decimals: 1 },
          { say: 'refractometer reading', value: brix, unit: '°Bx', decimals: 1 },
          { say: 'refractive index at 20 °C', value: must.refractiveIndex, unit: '', decimals: 5 },
        ],
        method: 'OIV-MA-AS2-02, Table II',
        remarks: [
          'Sugar is glucose and fructose; 20 to 30 g/L of acids, salts and the rest are taken off.',
          ...(sucrose === undefined || isRefused(sucrose)
            ? []
            : [
                `As a solution of pure sugar this refractive index is ${sucrose.toFixed(2)} °Bx by the polynomial fitted to ICUMSA's table.`,
              ]),
        ],
      };
    }),
  );
}

function promisedAlcohol(given: Given): Worked<Answer> {
  const convention = conventionOf(given);
  const [sugar, brix, weight, factor] = ['sugar', 'brix', 'oechsle', 'factor'].map((name) => given.figures[name]);
  if (sugar !== undefined) return byConvention(sugar, convention, []);
  if (brix !== undefined) {
    if (factor === undefined)
      return andThen(mustByRefractometer(brix), (must) => byConvention(must.gramsPerLitre, convention, [OIV_TABLE_II]));
    return andThen(
      potentialAlcoholByFactor(brix, factor),
      (percent): Answer => ({
        figures: [promise(percent, 1)],
        method: `${factor} × Brix, a rule of thumb`,
        remarks: [
          '0.55 to 0.60 are in use: common practice, no source. The table of the OIV amounts to 0.580 at 22 °Bx and 0.597 at 26.',
        ],
      }),
    );
  }
  if (weight === undefined) return refuse('give one of sugar, brix, oechsle');
  return andThen(naturalAlcoholByGermanLaw(weight), (percent): Answer => {
    const other = andThen(convertDensity(weight, 'oechsle', 'sugar'), ({ value }) =>
      potentialAlcohol(value, convention),
    );
    return {
      figures: [
        promise(percent, 1),
        ...(isRefused(other)
          ? []
          : [{ say: `by the table of the OIV and ${convention} g/L`, value: other, unit: '%vol', decimals: 1 }]),
      ],
      method: GERMAN_LAW,
      remarks: ['The German table and that of the OIV lie up to 0.4 % vol apart, most below 60 °Oe.'],
    };
  });
}

const OIV_TABLE_II = 'sugar by OIV-MA-AS2-02, Table II';
const promise = (value: number, decimals: number): Figure => ({
  say: 'potential alcohol',
  value,
  unit: '%vol',
  decimals,
});

function byConvention(sugar: number, convention: number, ways: readonly string[]): Worked<Answer> {
  return andThen(
    potentialAlcohol(sugar, convention),
    (percent): Answer => ({
      figures: [promise(percent, 2), { say: 'sugar', value: sugar, unit: 'g/L', decimals: 1 }],
      method: [...ways, `${convention} g/L sugar for 1 % vol, a convention`].join('; '),
      remarks: ['Yeast gives 1 % vol from 16.5 to 18 g/L: a wine may come out half a % vol to either side.'],
    }),
  );
}

export const SUGAR_PROMISE_CALCULATIONS: readonly Calculation[] = [
  {
    name: 'must-sugar',
    say: 'Sugar and density of a grape must from a refractometer.',
    inputs: [
      { ...brixInput('reading of the must at 20 °C'), optional: true },
      { name: 'refractive-index', say: 'refractive index at 20 °C and 589 nm', unit: '', optional: true },
      { name: 'using', say: 'what the Brix was read with', unit: '', choices: ['refractometer', 'hydrometer'] },
    ],
    formula:
      'x = (brix − 20)/10; sugar = 191.8989 + 113.3219 x + 3.5411 x² + 0.0449 x³ + 0.1420 x⁴ g/L, and the like for the other columns',
    range: 'brix 10 to 30 by refractometer, must that has not begun to ferment. Beyond the table: refused.',
    sources: [OIV_MUST, ARRETE],
    example: '--brix 24.6',
    work: mustSugar,
  },
  {
    name: 'potential-alcohol',
    say: 'The alcohol a must promises.',
    inputs: [
      {
        name: 'sugar',
        say: 'glucose and fructose',
        unit: 'g/L',
        dimensions: ['mass per volume'],
        optional: true,
        record: 'glucose fructose',
      },
      { ...brixInput('refractometer reading at 20 °C'), optional: true },
      {
        name: 'oechsle',
        say: 'degrees Oechsle, for the table of German law',
        unit: '°Oe',
        optional: true,
        record: 'oechsle',
      },
      perPercent,
      { name: 'factor', say: 'a factor times Brix instead of the table', unit: '', optional: true },
    ],
    formula: 'alcohol = sugar / per-percent; or factor × brix; or the table of Anlage 8',
    range: 'sugar 0 to 400 g/L; brix 10 to 30; oechsle 40 to 150.',
    sources: [ARRETE, OIV_MUST, GERMAN_LAW, '17 g/L and factors of 0.55 to 0.60: common practice, no source'],
    caution: NOT_A_LABEL,
    example: '--brix 24.6 --per-percent 17',
    work: promisedAlcohol,
  },
];
