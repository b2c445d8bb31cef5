/** Calculations on readings of must: one scale in another, and what temperature and ferment do to a reading. */
import { convertDensity, type DensityScale, type DensityTarget, relativeDensityOfReading } from '../density-reading.ts';
import { CALIBRATED_20C, CALIBRATED_60F, correctBrixHydrometer, correctSgHydrometer } from '../hydrometer.ts';
import { BAUME_MODULI } from '../must-scales.ts';
import { READ_UP_TO_CELSIUS, refractometerCorrection } from '../refractometer.ts';
import { inFerment } from '../refractometer-in-ferment.ts';
import { inAir } from '../sucrose.ts';
import { andThen, isRefused, refuse, type Worked } from '../worked.ts';
import type { Answer, Calculation, Figure, Given, Input } from './calculation.ts';
import { brixInput, conventionOf, ICUMSA, NBS, NOT_A_LABEL, needed, OIV_MUST, perPercent } from './sugar-inputs.ts';

const temp: Input = {
  name: 'temp',
  say: 'temperature of the sample when it was read',
  unit: 'C',
  dimensions: ['temperature'],
  record: 'temp',
};

/** The readings a must may be given by, the one that is taken first. */
const READINGS: readonly (Input & { readonly scale: DensityScale })[] = [
  {
    name: 'brix',
    scale: 'brix',
    say: 'reading of a Brix hydrometer at 20 °C',
    unit: '°Bx',
    optional: true,
    record: 'brix',
  },
  { name: 'sg', scale: 'SG', say: 'specific gravity 20/20 °C', unit: 'SG', optional: true, record: 'SG' },
  {
    name: 'density',
    scale: 'density',
    say: 'density at 20 °C',
    unit: 'g/L',
    dimensions: ['mass per volume'],
    optional: true,
    record: 'density',
  },
  { name: 'oechsle', scale: 'oechsle', say: 'degrees Oechsle', unit: '°Oe', optional: true, record: 'oechsle' },
  { name: 'baume', scale: 'baume', say: 'degrees Baumé', unit: '°Bé', optional: true, record: 'baume' },
  { name: 'plato', scale: 'plato', say: 'degrees Plato', unit: '°P', optional: true, record: 'plato' },
  { name: 'kmw', scale: 'KMW', say: 'degrees of the Klosterneuburg scale', unit: '°KMW', optional: true },
];

interface Reading {
  readonly value: number;
  readonly scale: DensityScale;
  /** Said where more than one was given. */
  readonly remarks: readonly string[];
}

/** The first reading given out of several scales. */
function reading(given: Given): Worked<Reading> {
  const [first, ...rest] = READINGS.flatMap(({ name, scale }) => {
    const value = given.figures[name];
    return value === undefined ? [] : [{ name, scale, value }];
  });
  if (first === undefined) return refuse(`give one reading: ${READINGS.map(({ name }) => name).join(', ')}`);
  const others = rest.map(({ name }) => name).join(', ');
  const remarks = rest.length === 0 ? [] : [`Taken from ${first.name}; not looked at: ${others}.`];
  return { value: first.value, scale: first.scale, remarks };
}

const TARGETS: readonly (readonly [to: DensityTarget, say: string, unit: string, decimals: number])[] = [
  ['SG', 'specific gravity 20/20 °C', 'SG', 4],
  ['density', 'density at 20 °C', 'g/L', 1],
  ['brix', 'Brix by hydrometer', '°Bx', 2],
  ['oechsle', 'degrees Oechsle', '°Oe', 1],
  ['baume', 'degrees Baumé', '°Bé', 2],
  ['plato', 'degrees Plato', '°P', 2],
  ['KMW', 'degrees of the Klosterneuburg scale', '°KMW', 1],
  ['sugar', 'sugar, if it is must that has not begun to ferment', 'g/L', 0],
];

function convert(given: Given): Worked<Answer> {
  const modulus = Number(given.words['baume-modulus'] ?? BAUME_MODULI[0]);
  return andThen(reading(given), ({ value, scale, remarks }) =>
    andThen(relativeDensityOfReading(value, scale, modulus), (relative): Worked<Answer> => {
      const figures: Figure[] = [];
      const routes = new Set<string>();
      const left: string[] = [];
      for (const [to, say, unit, decimals] of TARGETS) {
        const found = convertDensity(value, scale, to, modulus);
        if (isRefused(found)) {
          left.push(`No ${say}: ${found.refused}.`);
        } else {
          figures.push({ say, value: found.value, unit, decimals });
          for (const step of found.route) routes.add(step);
        }
      }
      const air = inAir(relative);
      if (!isRefused(air))
        figures.push({ say: 'specific gravity weighed in air', value: air, unit: 'SG', decimals: 4 });
      const [first, ...rest] = figures;
      if (first === undefined) return refuse('this reading has its like on no other scale');
      return {
        figures: [first, ...rest],
        method: [...routes].join('; '),
        remarks: [
          ...remarks,
          'Brix here is a hydrometer’s: in the same must a refractometer shows 0.2 to 0.4 °Bx less.',
          'Sugar tables print what is weighed in air, 0.0001 (0.02 °Bx) above the true specific gravity at 20 °Bx.',
          ...left,
        ],
      };
    }),
  );
}

const MADE_FOR: Readonly<Record<string, number>> = { '20C': CALIBRATED_20C, '60F': CALIBRATED_60F };

function correctHydrometer(given: Given): Worked<Answer> {
  const word = given.words['made-for'] ?? '20C';
  const madeFor = MADE_FOR[word] ?? CALIBRATED_20C;
  const celsius = needed(given, 'temp');
  const [brix, sg] = [given.figures.brix, given.figures.sg];
  if (brix === undefined && sg === undefined) return refuse('give one reading: brix or sg');
  const corrected =
    brix === undefined
      ? correctSgHydrometer(sg ?? Number.NaN, celsius, madeFor)
      : correctBrixHydrometer(brix, celsius, madeFor);
  return andThen(corrected, (at): Answer => {
    const asBrix: Figure = { say: 'sugar', value: at.brix, unit: '°Bx', decimals: 2 };
    const asSg: Figure = { say: `specific gravity at ${word}`, value: at.relativeDensity, unit: 'SG', decimals: 4 };
    const added: Figure =
      brix === undefined
        ? { say: 'correction', value: at.relativeDensity - (sg ?? Number.NaN), unit: 'SG', decimals: 4 }
        : { say: 'correction', value: at.brix - brix, unit: '°Bx', decimals: 2 };
    return {
      figures: brix === undefined ? [asSg, added, asBrix] : [asBrix, added, asSg],
      method: `glass 25·10⁻⁶ per K, sucrose densities of ICUMSA SPS-4, hydrometer made for ${word}`,
      remarks: [
        ...(brix !== undefined && sg !== undefined ? ['Taken from brix; not looked at: sg.'] : []),
        'For must before the ferment: alcohol grows more with warmth than sugar does, so a sample in ferment is best brought to the temperature on the hydrometer.',
      ],
    };
  });
}

function correctRefractometer(given: Given): Worked<Answer> {
  const brix = needed(given, 'brix');
  const celsius = needed(given, 'temp');
  return andThen(
    refractometerCorrection(brix, celsius),
    (correction): Answer => ({
      figures: [
        { say: 'reading at 20 °C', value: brix + correction, unit: '°Bx', decimals: 2 },
        { say: 'correction', value: correction, unit: '°Bx', decimals: 2 },
      ],
      method:
        celsius < 20 ? 'OIV-MA-AS2-02, Table I' : 'international correction table of 1936 (AOAC 932.14, ISO 2173)',
      remarks: [
        'Not for an instrument that corrects by itself.',
        ...(celsius > READ_UP_TO_CELSIUS
          ? [
              'The rows above 22 °C are from memory; an older one, of the CRC Handbook, gives up to 0.10 °Bx less at 30 °C. Cool the sample where it matters.',
            ]
          : []),
      ],
    }),
  );
}

function refractometerInFerment(given: Given): Worked<Answer> {
  const convention = conventionOf(given);
  return andThen(
    inFerment(needed(given, 'brix-before'), needed(given, 'brix'), convention),
    (now): Answer => ({
      figures: [
        { say: 'sugar left, estimated', value: now.sugarGramsPerLitre, unit: 'g/L', decimals: 0 },
        { say: 'alcohol, estimated', value: now.alcoholPercentVolume, unit: '%vol', decimals: 1 },
        { say: 'specific gravity 20/20 °C, estimated', value: now.relativeDensity, unit: 'SG', decimals: 3 },
      ],
      method: `estimate by physics, no published method; ${convention} g/L sugar for 1 % vol`,
      remarks: [
        'An estimate: sugar to about 10 g/L, alcohol to 0.6 % vol, specific gravity to 0.004. Near dryness a hydrometer, and at the end a sugar analysis, decide.',
        'Both readings at 20 °C, of must without sugar, water or concentrate added in between.',
      ],
    }),
  );
}

export const SUGAR_READING_CALCULATIONS: readonly Calculation[] = [
  {
    name: 'convert-density',
    say: 'One density reading of a must in all the other scales, and its sugar.',
    inputs: [
      ...READINGS.map(({ scale: _, ...input }) => input),
      {
        name: 'baume-modulus',
        say: 'modulus the Baumé hydrometer was made to',
        unit: '',
        choices: BAUME_MODULI.map(String),
      },
    ],
    formula:
      'brix = 182.46007 S³ − 775.68212 S² + 1262.7794 S − 669.56218 (S in air); oechsle = 1000 (d − 1); baume = m − m/d; ' +
      'oechsle = kmw (4.54 + 0.022 kmw); density = d × 998.2067',
    range:
      'sg 0.98 to 1.2; brix 0 to 40; plato 0 to 20; sugar 1039 to 1128 g/L density. A scale beyond its range is left out, and said.',
    sources: [
      NBS,
      'American Society of Brewing Chemists, table of extract, as fitted by a cubic (Plato)',
      'Tanaka et al., Metrologia 38 (2001) 301–309 (water)',
      'definition of degrees Oechsle; legal relation of Austria for the Klosterneuburg scale',
      OIV_MUST,
    ],
    example: '--brix 24.6',
    work: convert,
  },
  {
    name: 'correct-hydrometer',
    say: 'A hydrometer reading at another temperature than the hydrometer was made for.',
    inputs: [
      { ...brixInput('reading of a Brix hydrometer'), optional: true },
      { name: 'sg', say: 'reading of a specific-gravity hydrometer', unit: 'SG', optional: true, record: 'SG' },
      temp,
      { name: 'made-for', say: 'temperature the hydrometer was made for', unit: '', choices: Object.keys(MADE_FOR) },
    ],
    formula: 'density(corrected, temp) = density(reading, made-for) / (1 + 25·10⁻⁶ (temp − made-for))',
    range: 'brix 0 to 40, sg 1 to 1.17, temp 0 to 40 °C. What is lighter than water is refused.',
    sources: [ICUMSA, 'compared with NBS Circular C440 / AOAC 900.03 and Bigelow & Stevenson, Table 8'],
    example: '--brix 24.6 --temp "28 C"',
    work: correctHydrometer,
  },
  {
    name: 'correct-refractometer',
    say: 'A refractometer reading at another temperature than 20 °C.',
    inputs: [brixInput('reading of a refractometer without its own correction'), temp],
    formula: 'reading at 20 °C = brix + correction from the table, in proportion between its rows and columns',
    range: 'brix 10 to 40 at 10 to 30 °C; 10 to 30 from 5 °C.',
    sources: [
      OIV_MUST,
      'International correction table of 1936 (AOAC 932.14, ISO 2173): rows to 22 °C as an interstate standard prints them, from 23 °C from memory',
    ],
    example: '--brix 23.8 --temp "14 C"',
    work: correctRefractometer,
  },
  {
    name: 'refractometer-in-ferment',
    say: 'Sugar, alcohol and specific gravity of a must in ferment from two refractometer readings: an estimate.',
    inputs: [
      { name: 'brix-before', say: 'refractometer reading before the ferment, at 20 °C', unit: '°Bx' },
      brixInput('refractometer reading now, at 20 °C'),
      perPercent,
    ],
    formula:
      'n(brix) = n(brix-before) − sugar part(fermented) + ethanol part(fermented / per-percent) + glycerol part(0.03 × fermented)',
    range: 'brix-before 10 to 30; brix not above it, and not below what the dry wine would read.',
    sources: [
      'no published method: an estimate by physics',
      OIV_MUST,
      'CRC Handbook of Chemistry and Physics, 102nd ed. (2021), Concentrative Properties of Aqueous Solutions',
      'OIML R 22 (1973); OIV-MA-AS2-03B (rule of Tabarié)',
      '3 g glycerol from 100 g sugar: from memory',
    ],
    caution: NOT_A_LABEL,
    example: '--brix-before 24 --brix 12.5',
    work: refractometerInFerment,
  },
];
