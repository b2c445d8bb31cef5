/** What can be reckoned of volumes by dip and by count: a tank, bottles and cases. */
import {
  fillTolerancePerMille,
  isUsStandardFill,
  PRESCRIBED_GALLONS_PER_LITRE,
  prescribedCaseGallonsE5,
} from '../formats.ts';
import {
  bottlesFrom,
  depthOf,
  litresInBox,
  litresLying,
  litresOfCases,
  litresUpright,
  tolerableNegativeError,
} from '../gauging.ts';
import { valueInUnit } from '../rates-of-addition.ts';
import { andThen, isRefused, outside, refuse, type Worked } from '../worked.ts';
import type { Answer, Calculation, Figure, Given, Input } from './calculation.ts';

const SHAPES = ['upright', 'lying', 'box'] as const;
type Shape = (typeof SHAPES)[number];

const length = (name: string, say: string): Input => ({
  name,
  say,
  unit: 'm',
  dimensions: ['length'],
  optional: true,
});

const EXACT = 'Units by their exact definitions: NIST Handbook 44, appendix C';
const AT_A_TANK =
  'A dip is read from a platform with rails, dry boots, both feet on it. The opening of a tank that ferments or was gassed is full of gas without a smell: never lean or reach in, fresh air and a meter first. Limits of NIOSH (carbon dioxide 5000 ppm over eight hours, 40 000 ppm dangerous at once) and 29 CFR 1910.146; local codes and trained people come first.';

/** A vessel of known shape: how deep it can be dipped, and what it holds at a depth. */
interface Vessel {
  readonly deepest: number | undefined;
  readonly litresAt: (metres: number) => Worked;
}

function vesselOf(given: Given, shape: Shape): Worked<Vessel> {
  const { diameter, length: along, width, height } = given.figures;
  if (shape === 'upright') {
    if (diameter === undefined) return refuse('an upright tank needs its inner diameter');
    return { deepest: height, litresAt: (metres) => litresUpright(diameter, metres) };
  }
  if (shape === 'lying') {
    if (diameter === undefined || along === undefined) {
      return refuse('a lying tank needs its inner diameter and its inner length');
    }
    return { deepest: diameter, litresAt: (metres) => litresLying(diameter, along, metres) };
  }
  if (along === undefined || width === undefined) return refuse('a box needs its inner length and width');
  return { deepest: height, litresAt: (metres) => litresInBox(along, width, metres) };
}

/** The wet depth: as dipped, or the height less the empty space above. */
function wetDepth(given: Given, deepest: number | undefined): Worked<number | undefined> {
  const { dip, headspace } = given.figures;
  if (dip !== undefined && headspace !== undefined) return refuse('give the dip or the headspace, not both');
  if (headspace === undefined) return dip;
  if (deepest === undefined) return refuse('a headspace needs the inner height of the tank as well');
  return outside(headspace, 0, deepest, 'a headspace', 'm') ?? deepest - headspace;
}

function volumes(say: string, litres: number): Worked<readonly [Figure, Figure]> {
  return andThen(valueInUnit(litres, 'L', 'gal'), (gallons) => [
    { say, value: litres, unit: 'L', decimals: 1 },
    { say: 'which is', value: gallons, unit: 'gal', decimals: 1 },
  ]);
}

const TANK_VOLUME: Calculation = {
  name: 'tank-volume',
  say: 'the volume in a tank by its dip, or the dip at which it holds a volume',
  inputs: [
    { name: 'shape', say: 'an upright cylinder, a lying one, or a box with level floor', unit: '', choices: SHAPES },
    length('diameter', 'inner diameter of a cylinder'),
    length('length', 'inner length of a lying cylinder or a box'),
    length('width', 'inner width of a box'),
    length('height', 'inner height of an upright cylinder or a box'),
    length('dip', 'depth of the wine'),
    length('headspace', 'or the empty height above it'),
    { name: 'hold', say: 'or a volume, for the dip that shows it', unit: 'L', dimensions: ['volume'], optional: true },
  ],
  formula:
    'upright: π/4 × diameter² × dip; lying: length × (r² acos((r − dip)/r) − (r − dip) √(2 r dip − dip²)), r = diameter/2; box: length × width × dip',
  range:
    'Sides of 1 cm to 50 m; flat floor and ends, level. Cones, dished ends, jackets, manholes and what floats are not in it: a table made by filling the tank is better. US tax payment asks for a certified one (27 CFR 24.167).',
  sources: ['Geometry', EXACT],
  caution: AT_A_TANK,
  example: '--shape lying --diameter "7 ft" --length "20 ft" --dip "51 in"',
  work: (given) => {
    const shape: Shape = SHAPES.find((each) => each === given.words.shape) ?? SHAPES[0];
    return andThen(vesselOf(given, shape), ({ deepest, litresAt }) =>
      andThen(wetDepth(given, deepest), (depth) => {
        const { hold } = given.figures;
        if (depth === undefined) {
          if (hold === undefined) return refuse('give the dip, or the volume to hold');
          if (deepest === undefined) return refuse('the dip of a volume needs the inner height of the tank as well');
          return dipAnswer(hold, deepest, litresAt, shape);
        }
        if (hold !== undefined) return refuse('give the dip or the volume to hold, not both');
        if (deepest !== undefined) {
          const refused = outside(depth, 0, deepest, 'a dip in this tank', 'm');
          if (refused !== undefined) return refused;
        }
        return volumeAnswer(depth, deepest, litresAt, shape);
      }),
    );
  },
};

const METHODS: Readonly<Record<Shape, string>> = {
  upright: 'an upright cylinder with a flat floor',
  lying: 'a level lying cylinder with flat ends',
  box: 'a box with a level floor and upright walls',
};

function volumeAnswer(
  depth: number,
  deepest: number | undefined,
  litresAt: Vessel['litresAt'],
  shape: Shape,
): Worked<Answer> {
  return andThen(litresAt(depth), (litres) =>
    andThen(volumes('it holds', litres), (held): Worked<Answer> => {
      const full = deepest === undefined ? undefined : litresAt(deepest);
      if (isRefused(full)) return full;
      const fullness: Figure[] =
        full === undefined
          ? []
          : [
              { say: 'full to', value: (litres / full) * 100, unit: '%', decimals: 1 },
              { say: 'of', value: full, unit: 'L', decimals: 1 },
            ];
      // The last millimetre below the surface: what a dip misread by one changes.
      const near = Math.max(depth, 0.001);
      const below = litresAt(near - 0.001);
      const here = litresAt(near);
      const gauge: Figure[] =
        isRefused(below) || isRefused(here)
          ? []
          : [{ say: 'a millimetre of dip there is', value: here - below, unit: 'L', decimals: 2 }];
      return { figures: [...held, ...fullness, ...gauge], method: METHODS[shape], remarks: [] };
    }),
  );
}

function dipAnswer(litres: number, deepest: number, litresAt: Vessel['litresAt'], shape: Shape): Worked<Answer> {
  return andThen(
    depthOf(litres, deepest, litresAt),
    (metres): Worked<Answer> => ({
      figures: [
        { say: 'the dip', value: metres * 100, unit: 'cm', decimals: 1 },
        { say: 'the headspace', value: (deepest - metres) * 100, unit: 'cm', decimals: 1 },
      ],
      method: METHODS[shape],
      remarks: [],
    }),
  );
}

const BOTTLES_AND_CASES: Calculation = {
  name: 'bottles-and-cases',
  say: 'bottles and cases that a volume fills, or the volume in bottles and cases, with US wine gallons',
  inputs: [
    { name: 'volume', say: 'the wine to bottle', unit: 'L', dimensions: ['volume'], optional: true, record: 'volume' },
    { name: 'cases', say: 'or full cases', unit: '', optional: true },
    { name: 'bottles', say: 'and loose bottles', unit: '', optional: true },
    { name: 'size', say: 'a bottle, as its label states it', unit: 'mL', dimensions: ['volume'], usual: 750 },
    { name: 'per-case', say: 'bottles in a case', unit: '', usual: 12 },
    { name: 'loss', say: 'lost on the line', unit: '%', dimensions: ['percent'], usual: 0 },
  ],
  formula: 'bottles = volume × (1 − loss) / size, whole; wine gallons = litres × 0.26417 in US reports',
  range: 'Bottles of 10 mL to 20 L, 1 to 200 in a case, loss 0 to 50 %.',
  sources: [
    '27 CFR 24.300(a): litres × 0.26417, and gallons a case as printed there',
    '27 CFR 24.255(b) (2015 edition): fill of one bottle',
    'Council Directive 76/211/EEC, Annex I: fill under the e mark',
    EXACT,
  ],
  caution:
    'What a bottle must hold and a report must say is for the law of the place, in the text now in force; the figures here are those read.',
  example: '--volume "2140 L" --loss "1 %"',
  work: (given) => {
    const { volume, cases, bottles } = given.figures;
    const size = given.figures.size ?? 750;
    const perCase = given.figures['per-case'] ?? 12;
    if (cases !== undefined || bottles !== undefined) {
      return andThen(litresOfCases(cases ?? 0, bottles ?? 0, size, perCase), (litres) =>
        andThen(gallonFigures(litres), (gallons) => ({
          figures: [{ say: 'it is', value: litres, unit: 'L', decimals: 3 }, ...gallons],
          method: 'bottles at their stated content',
          remarks: [...caseRemark(cases ?? 0, bottles ?? 0, size, perCase), ...fillRemarks(size)],
        })),
      );
    }
    if (volume === undefined) return refuse('give the volume, or the cases and bottles');
    const loss = given.figures.loss ?? 0;
    const refused = outside(loss, 0, 50, 'a loss', '%');
    if (refused !== undefined) return refused;
    return andThen(bottlesFrom(volume * (1 - loss / 100), size, perCase), (count) =>
      andThen(
        gallonFigures((count.bottles * size) / 1000),
        (gallons): Worked<Answer> => ({
          figures: [
            { say: 'bottles filled', value: count.bottles, unit: '', decimals: 0 },
            { say: 'full cases', value: count.cases, unit: '', decimals: 0 },
            { say: 'loose bottles', value: count.loose, unit: '', decimals: 0 },
            { say: 'left over', value: count.leftLitres, unit: 'L', decimals: 3 },
            { say: 'bottled', value: (count.bottles * size) / 1000, unit: 'L', decimals: 3 },
            ...gallons,
          ],
          method: `whole bottles of ${size} mL, ${perCase} to the case`,
          remarks: [...caseRemark(count.cases, count.loose, size, perCase), ...fillRemarks(size)],
        }),
      ),
    );
  },
};

/** Wine gallons twice: by the exact gallon, and by the factor that US reports prescribe. */
function gallonFigures(litres: number): Worked<readonly Figure[]> {
  const { num, den } = PRESCRIBED_GALLONS_PER_LITRE;
  return andThen(valueInUnit(litres, 'L', 'gal'), (gallons) => [
    { say: 'wine gallons, by the exact gallon', value: gallons, unit: 'gal', decimals: 3 },
    {
      say: 'wine gallons, by the factor of 27 CFR 24.300',
      value: (litres * Number(num)) / Number(den),
      unit: 'gal',
      decimals: 3,
    },
  ]);
}

function caseRemark(cases: number, loose: number, size: number, perCase: number): readonly string[] {
  const perCaseE5 = prescribedCaseGallonsE5(perCase, size);
  if (perCaseE5 === undefined || cases === 0) return [];
  const total = ((cases * perCaseE5) / 100_000).toFixed(3);
  const beside = loose === 0 ? '' : ', loose bottles beside them';
  return [
    `27 CFR 24.300(a) prints ${(perCaseE5 / 100_000).toFixed(5)} gal for a case of ${perCase} × ${size} mL: ${total} gal for the ${cases} cases${beside}.`,
  ];
}

function fillRemarks(size: number): readonly string[] {
  const perMille = fillTolerancePerMille(size);
  const negative = tolerableNegativeError(size);
  return [
    ...(isUsStandardFill(size) ? [] : [`${size} mL is no US standard of fill (27 CFR 4.72).`]),
    ...(perMille === undefined
      ? []
      : [
          `US: one bottle may hold ${((size * perMille) / 1000).toFixed(1)} mL more or less (27 CFR 24.255(b), 2015 edition).`,
        ]),
    ...(isRefused(negative)
      ? []
      : [`EU, e mark: one bottle may lack ${negative.toFixed(1)} mL, and on average none (Directive 76/211/EEC).`]),
  ];
}

export const GAUGING_CALCULATIONS: readonly Calculation[] = [TANK_VOLUME, BOTTLES_AND_CASES];
