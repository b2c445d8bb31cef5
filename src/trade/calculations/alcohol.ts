/** Calculations about alcohol: strength and density, the estimate from a density drop, dry extract, water and spirit. */
import { type AlcoholPart, alcoholFromDrop, type Mixture, mixedByMass, USUAL_SUGAR_PER_ALCOHOL } from '../alcohol.ts';
import {
  ethanolWaterDensity,
  massFractionOf,
  massFractionOfDensity,
  percentVolumeOf,
  STANDARD_CELSIUS,
  US_STANDARD_CELSIUS,
} from '../ethanol-water.ts';
import { densityWithoutSulfurDioxide, dryExtract } from '../extract.ts';
import { andThen, isRefused, refuse, type Worked } from '../worked.ts';
import type { Answer, Calculation, Figure, Given, Input } from './calculation.ts';

const OIML = 'OIML R 22, International Alcoholometric Tables (1973/75) = Council Directive 76/766/EEC = OIV-MA-AS312';
const EXTRACT_METHOD = 'OIV-MA-AS2-03B, Total dry matter (densimetry)';
const SUCROSE = 'ICUMSA SPS-4, density of sucrose solutions';

const NO_LABEL =
  'No basis for a label, for tax or for a limit: those want the alcohol measured by the method your law names, by a laboratory it accepts (27 CFR 4.36; OIV-MA-AS312-01).';

const given = (all: Given, name: string): number => all.figures[name] ?? Number.NaN;

const percentByMass = (massFraction: number): Figure => ({
  say: 'alcohol by mass',
  value: 100 * massFraction,
  unit: '%',
  decimals: 2,
});

/** The strength of one mixture in every measure, after the figure that was asked for. */
function strengths(asked: Figure, massFraction: number): Worked<Answer> {
  const pure = ethanolWaterDensity(1, STANDARD_CELSIUS);
  const percent = percentVolumeOf(massFraction);
  const usPercent = percentVolumeOf(massFraction, US_STANDARD_CELSIUS);
  if (isRefused(pure)) return pure;
  if (isRefused(percent)) return percent;
  if (isRefused(usPercent)) return usPercent;
  return {
    figures: [
      asked,
      percentByMass(massFraction),
      { say: 'alcohol in a litre at 20 °C', value: (percent * pure) / 100, unit: 'g/L', decimals: 1 },
      { say: 'alcohol by volume at 60 °F, as the United States count it', value: usPercent, unit: '%vol', decimals: 2 },
    ],
    method: 'OIML R 22, general formula',
    remarks: ['Alcohol and water only: a distillate or a spirit. In a wine the extract raises the density.'],
  };
}

function alcoholDensity(all: Given): Worked<Answer> {
  const { alcohol, density } = all.figures;
  const celsius = all.figures.temp ?? STANDARD_CELSIUS;
  if ((alcohol === undefined) === (density === undefined)) return refuse('give either the alcohol or the density');
  if (alcohol !== undefined) {
    return andThen(massFractionOf(alcohol), (massFraction) =>
      andThen(ethanolWaterDensity(massFraction, celsius), (value) =>
        strengths({ say: `density at ${celsius} °C`, value, unit: 'g/L', decimals: 2 }, massFraction),
      ),
    );
  }
  return andThen(massFractionOfDensity(density ?? Number.NaN, celsius), (massFraction) =>
    andThen(percentVolumeOf(massFraction), (value) =>
      strengths({ say: 'alcohol by volume at 20 °C', value, unit: '%vol', decimals: 2 }, massFraction),
    ),
  );
}

function fromDrop(all: Given): Worked<Answer> {
  const before = given(all, 'sg-before');
  const after = given(all, 'sg-after');
  const perAlcohol = all.figures['sugar-per-alcohol'] ?? USUAL_SUGAR_PER_ALCOHOL;
  return andThen(alcoholFromDrop(before, after, perAlcohol), (value) =>
    andThen(dryExtract(after, value), (extract) => ({
      figures: [
        { say: 'alcohol, estimated', value, unit: '%vol', decimals: 1 },
        { say: 'dry extract that goes with it', value: extract, unit: 'g/L', decimals: 0 },
      ],
      method: `Tabarié's formula backwards, ${perAlcohol} g/L of sugar a % vol`,
      remarks: [
        'An estimate, good to about half a % vol: how much sugar a % vol takes differs from ferment to ferment.',
        'It does not hold where sugar, concentrate, water, spirit or another wine was added between the two readings.',
        'A dry wine mostly has 17 to 30 g/L of extract: far from it, one of the readings is off.',
      ],
    })),
  );
}

function extractOfWine(all: Given): Worked<Answer> {
  const sg = given(all, 'sg');
  const sulfurDioxide = all.figures['total-so2'];
  const { sugar } = all.figures;
  const corrected = andThen(ethanolWaterDensity(0, STANDARD_CELSIUS), (water) =>
    sulfurDioxide === undefined
      ? sg
      : andThen(
          densityWithoutSulfurDioxide((sg * water) / 1000, sulfurDioxide / 1000),
          (density) => (1000 * density) / water,
        ),
  );
  return andThen(corrected, (relativeDensity) =>
    andThen(dryExtract(relativeDensity, given(all, 'alcohol')), (value): Worked<Answer> => {
      if (sugar !== undefined && sugar > value) return refuse('there is more sugar than extract: look at the readings');
      const rest: Figure[] =
        sugar === undefined ? [] : [{ say: 'extract without sugar', value: value - sugar, unit: 'g/L', decimals: 1 }];
      return {
        figures: [{ say: 'total dry extract', value, unit: 'g/L', decimals: 1 }, ...rest],
        method: `${EXTRACT_METHOD}, with ICUMSA's sucrose densities`,
        remarks: [
          sulfurDioxide === undefined
            ? 'The density was not corrected for sulfur dioxide.'
            : 'The density was corrected for sulfur dioxide (OIV-MA-AS2-01A).',
          'The method first corrects for volatile acidity, a few tenths of a g/L; that is not done here.',
          'The fourth decimal of the relative density is worth 0.26 g/L, a tenth of a % vol 0.3 g/L.',
        ],
      };
    }),
  );
}

function mixtureAnswer(mixture: Mixture, simple: number, remarks: readonly string[]): Answer {
  return {
    figures: [
      { say: 'alcohol of the mixture', value: mixture.percentVolume, unit: '%vol', decimals: 2 },
      { say: 'volume of the mixture', value: mixture.litres, unit: 'L', decimals: 1 },
      { say: 'gained (below 0: lost) by mixing', value: mixture.gained, unit: 'L', decimals: 1 },
      { say: 'alcohol reckoned by volumes alone', value: simple, unit: '%vol', decimals: 2 },
    ],
    method: 'by mass, with the densities of OIML R 22 at 20 °C',
    remarks: [
      'Each part is taken as alcohol and water; good to about 0.1 % vol. Measure after mixing well.',
      ...remarks,
    ],
  };
}

function mixed(parts: readonly [AlcoholPart, AlcoholPart], remarks: readonly string[] = []): Worked<Answer> {
  return andThen(mixedByMass(parts), (mixture) => {
    const litres = parts[0].litres + parts[1].litres;
    const alcohol = parts[0].litres * parts[0].percentVolume + parts[1].litres * parts[1].percentVolume;
    return mixtureAnswer(mixture, alcohol / litres, remarks);
  });
}

const VOLUME: Input = {
  name: 'volume',
  say: 'volume of the wine',
  unit: 'L',
  dimensions: ['volume'],
  record: 'volume',
};
const ALCOHOL: Input = {
  name: 'alcohol',
  say: 'alcohol of the wine, % vol at 20 °C',
  unit: '%vol',
  dimensions: ['percent'],
  record: 'alcohol',
};

export const ALCOHOL_CALCULATIONS: readonly Calculation[] = [
  {
    name: 'alcohol-density',
    say: 'The density of alcohol and water of a strength, or the strength from the density',
    inputs: [
      {
        name: 'alcohol',
        say: 'alcohol, % vol at 20 °C',
        unit: '%vol',
        dimensions: ['percent'],
        optional: true,
      },
      {
        name: 'density',
        say: 'density of the distillate at its temperature',
        unit: 'g/L',
        dimensions: ['mass per volume'],
        optional: true,
      },
      { name: 'temp', say: 'temperature', unit: 'C', dimensions: ['temperature'], usual: STANDARD_CELSIUS },
    ],
    formula:
      'ρ = Σ A p^(k−1) + Σ B (t−20)^k + ΣΣ C p^k (t−20)^i, p the share of alcohol by mass, t the temp; % vol = 100 p ρ(p, 20) / ρ(1, 20); backwards by bracketing',
    range: 'From 0 to 100 % vol and −20 to 40 °C, where the mixture is liquid. Outside, no figure.',
    sources: [OIML, '27 CFR 30.11 for % vol at 60 °F'],
    caution: NO_LABEL,
    example: '--alcohol "12.5 %vol" --temp "15 C"',
    work: alcoholDensity,
  },
  {
    name: 'alcohol-from-drop',
    say: 'An estimate of the alcohol from the density before and after the ferment',
    inputs: [
      { name: 'sg-before', say: 'specific gravity of the must, 20/20 °C', unit: 'SG' },
      { name: 'sg-after', say: 'specific gravity of the wine, 20/20 °C', unit: 'SG', record: 'SG' },
      {
        name: 'sugar-per-alcohol',
        say: 'sugar that gives one % vol, in a litre',
        unit: 'g/L',
        dimensions: ['mass per volume'],
        usual: USUAL_SUGAR_PER_ALCOHOL,
      },
    ],
    formula:
      'the alcohol a at which a × sugar-per-alcohol = E(sg-before) − E(sg-after − d(a) + 1), E the extract of a relative density, d(a) the relative density of alcohol and water',
    range: 'From SG 1.000 to 1.170 before and 0.980 to 1.170 after, to 20 % vol. Outside, no figure.',
    sources: [
      'No published method: worked out from the formulas below',
      EXTRACT_METHOD,
      OIML,
      SUCROSE,
      'French Arrêté of 14 September 2011, annexes I and IV, for 16.83 g/L a % vol, the convention of the EU and the OIV',
    ],
    caution: NO_LABEL,
    example: '--sg-before 1.093 --sg-after 0.994',
    work: fromDrop,
  },
  {
    name: 'dry-extract',
    say: 'The total dry extract of a wine from its density and alcohol',
    inputs: [
      { name: 'sg', say: 'specific gravity of the wine, 20/20 °C', unit: 'SG', record: 'SG' },
      ALCOHOL,
      {
        name: 'total-so2',
        say: 'total sulfur dioxide, for the correction of the density',
        unit: 'mg/L',
        dimensions: ['mass per volume'],
        optional: true,
        record: 'total SO2',
      },
      {
        name: 'sugar',
        say: 'sugar, for the extract without it',
        unit: 'g/L',
        dimensions: ['mass per volume'],
        optional: true,
        record: 'residual sugar',
      },
    ],
    formula:
      'E(sg − d(alcohol) + 1), E the g/L of sucrose with that relative density in water, d the relative density of alcohol and water; sg less 0.0006 g/mL for each g/L of total-so2',
    range:
      'From SG 0.960 to 1.170 and 0 to 25 % vol. Outside, and where the wine would be lighter than water, no figure.',
    sources: [EXTRACT_METHOD, 'OIV-MA-AS2-01A, Density and specific gravity', OIML, SUCROSE],
    example: '--sg 0.9920 --alcohol "12 %vol"',
    work: extractOfWine,
  },
  {
    name: 'alcohol-after-water',
    say: 'Alcohol and volume of a wine or must after water is added',
    inputs: [ALCOHOL, VOLUME, { name: 'water', say: 'water added', unit: 'L', dimensions: ['volume'] }],
    formula:
      'p = m(alcohol) / (m(wine) + m(water)), masses from volume × density; % vol from p; volume = mass / density',
    range: 'From 0 to 100 % vol.',
    sources: [OIML, 'Conservation of mass'],
    caution:
      'Where and how much water may be added is for the law: hardly ever in the EU, within 27 CFR 24.178 and 24.246 in the United States. Ask before, and record it.',
    example: '--alcohol "15.2 %vol" --volume "1000 L" --water "40 L"',
    work: (all) =>
      mixed([
        { litres: given(all, 'volume'), percentVolume: given(all, 'alcohol') },
        { litres: given(all, 'water'), percentVolume: 0 },
      ]),
  },
  {
    name: 'alcohol-blend',
    say: 'Alcohol and volume of two wines, or of wine and spirit, by mass and by volume',
    inputs: [
      ALCOHOL,
      VOLUME,
      {
        name: 'other-alcohol',
        say: 'alcohol of the other part, % vol at 20 °C',
        unit: '%vol',
        dimensions: ['percent'],
      },
      { name: 'other-volume', say: 'volume of the other part', unit: 'L', dimensions: ['volume'] },
    ],
    formula:
      'p = Σ V ρ p / Σ V ρ; % vol from p; volume = Σ V ρ / ρ(p). By volumes alone: Σ V × alcohol / Σ V, contraction left out',
    range: 'From 0 to 100 % vol.',
    sources: [OIML, 'Conservation of mass'],
    caution:
      'Strong spirit and its vapour catch fire and burn unseen: no flame, no sparks, grounded vessels and hoses, fresh air. Adding spirit is licensed and taxed work nearly everywhere; your law, fire code and trained people come first.',
    example: '--alcohol "12 %vol" --volume "1000 L" --other-alcohol "96 %vol" --other-volume "77 L"',
    work: (all) =>
      mixed(
        [
          { litres: given(all, 'volume'), percentVolume: given(all, 'alcohol') },
          { litres: given(all, 'other-volume'), percentVolume: given(all, 'other-alcohol') },
        ],
        ['Between wines the two ways differ by less than 0.1 % vol; with spirit the one by mass is right.'],
      ),
  },
];
