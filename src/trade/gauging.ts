/** Volumes by dip and by count: upright, lying and square vessels, bottles and cases, and what a bottle may lack. */
import { firstRefusal, isRefused, outside, refuse, type Worked } from './worked.ts';

const LITRES_PER_CUBIC_METRE = 1000;
const LEAST_METRES = 0.01;
const MOST_METRES = 50;

const size = (metres: number, say: string) => outside(metres, LEAST_METRES, MOST_METRES, say, 'm');
const dip = (metres: number, most: number) => outside(metres, 0, most, 'a dip', 'm');

/**
 * Litres in an upright cylinder with a flat floor, filled to a depth: π/4 × diameter² × depth.
 *
 * Inner diameter 0.01 to 50 m, depth 0 to 50 m. A cone, a dished floor and a manhole are not in it.
 */
export function litresUpright(diameterMetres: number, depthMetres: number): Worked {
  return (
    firstRefusal(size(diameterMetres, 'a diameter'), dip(depthMetres, MOST_METRES)) ??
    (Math.PI / 4) * diameterMetres ** 2 * depthMetres * LITRES_PER_CUBIC_METRE
  );
}

/**
 * Litres in a lying cylinder with flat ends, level, filled to a depth h: length × the circle's segment,
 * r² acos((r − h)/r) − (r − h) √(2rh − h²), r half the inner diameter.
 *
 * Depth 0 to the diameter. Dished ends and a slope are not in it: near the bottom a small slope is a large error.
 */
export function litresLying(diameterMetres: number, lengthMetres: number, depthMetres: number): Worked {
  const refused = firstRefusal(
    size(diameterMetres, 'a diameter'),
    size(lengthMetres, 'a length'),
    dip(depthMetres, diameterMetres),
  );
  if (refused !== undefined) return refused;
  const radius = diameterMetres / 2;
  const above = radius - depthMetres;
  const halfChord = Math.sqrt(depthMetres * (diameterMetres - depthMetres));
  // the angle whose cosine is above / radius; the arc cosine itself loses half its digits near the bottom and the top
  const segment = radius ** 2 * Math.atan2(halfChord, above) - above * halfChord;
  return segment * lengthMetres * LITRES_PER_CUBIC_METRE;
}

/** Litres in a vessel with a level rectangular floor and upright walls: length × width × depth. Each 0.01 to 50 m. */
export function litresInBox(lengthMetres: number, widthMetres: number, depthMetres: number): Worked {
  return (
    firstRefusal(size(lengthMetres, 'a length'), size(widthMetres, 'a width'), dip(depthMetres, MOST_METRES)) ??
    lengthMetres * widthMetres * depthMetres * LITRES_PER_CUBIC_METRE
  );
}

/**
 * The depth in metres at which a vessel of a known shape holds so many litres, found by halving to a millionth of a
 * metre. `litresAt` gives the litres at a depth and grows with it. Refused where the vessel cannot hold so much.
 */
export function depthOf(litres: number, deepestMetres: number, litresAt: (metres: number) => Worked): Worked {
  const full = litresAt(deepestMetres);
  if (isRefused(full)) return full;
  const refused = outside(litres, 0, full, 'a volume in this vessel', 'L');
  if (refused !== undefined) return refused;
  let low = 0;
  let high = deepestMetres;
  while (high - low > 1e-7) {
    const middle = (low + high) / 2;
    const there = litresAt(middle);
    if (isRefused(there)) return there;
    if (there < litres) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

export interface BottleCount {
  /** Whole bottles, none of them short. */
  readonly bottles: number;
  readonly cases: number;
  /** Whole bottles beside the full cases. */
  readonly loose: number;
  /** Litres that fill no further bottle. */
  readonly leftLitres: number;
}

/** Below a thousandth of a millilitre a lack is the noise of binary numbers: 0.75 L must fill one bottle. */
const NOISE_MILLILITRES = 1e-3;

/**
 * Whole bottles and cases that a volume fills, and what is left over. Volume 0 to 10 million litres, bottles of 10 to
 * 20 000 mL as their label states it, 1 to 200 in a case.
 */
export function bottlesFrom(litres: number, bottleMillilitres: number, perCase: number): Worked<BottleCount> {
  const refused = bottleSizes(bottleMillilitres, perCase) ?? outside(litres, 0, 10_000_000, 'a volume', 'L');
  if (refused !== undefined) return refused;
  const bottles = Math.floor((litres * 1000 + NOISE_MILLILITRES) / bottleMillilitres);
  return {
    bottles,
    cases: Math.floor(bottles / perCase),
    loose: bottles % perCase,
    leftLitres: Math.max(0, litres - (bottles * bottleMillilitres) / 1000),
  };
}

/** Litres in so many cases and loose bottles, as their labels state it. The reverse of `bottlesFrom`. */
export function litresOfCases(cases: number, loose: number, bottleMillilitres: number, perCase: number): Worked {
  const refused =
    bottleSizes(bottleMillilitres, perCase) ??
    firstRefusal(
      outside(cases, 0, 10_000_000, 'a number of cases', ''),
      outside(loose, 0, 100_000_000, 'a number of bottles', ''),
    );
  if (refused !== undefined) return refused;
  if (!Number.isInteger(cases) || !Number.isInteger(loose)) return refuse('bottles and cases are counted whole');
  return ((cases * perCase + loose) * bottleMillilitres) / 1000;
}

function bottleSizes(bottleMillilitres: number, perCase: number) {
  return (
    firstRefusal(
      outside(bottleMillilitres, 10, 20_000, 'a bottle', 'mL'),
      outside(perCase, 1, 200, 'a number of bottles in a case', ''),
    ) ?? (Number.isInteger(perCase) ? undefined : refuse('bottles in a case are counted whole'))
  );
}

/** Rows of the table: up to so many millilitres, a share of the content or a fixed quantity. */
const NEGATIVE_ERRORS: readonly (readonly [to: number, percent: number | undefined, millilitres: number])[] = [
  [50, 9, 0],
  [100, undefined, 4.5],
  [200, 4.5, 0],
  [300, undefined, 9],
  [500, 3, 0],
  [1000, undefined, 15],
  [10_000, 1.5, 0],
];

/**
 * How far, in millilitres, a bottle packed under the EU's `e` mark may lie below its stated content: Council Directive
 * 76/211/EEC, Annex I, 2.4. Only few of a batch may lack more, none twice as much, and on average they lack nothing.
 *
 * For 5 to 10 000 mL. Rows up to 1000 mL read in the Directive; the last, 1.5 % to 10 L, from memory.
 */
export function tolerableNegativeError(millilitres: number): Worked {
  const refused = outside(millilitres, 5, 10_000, 'a bottle', 'mL');
  if (refused !== undefined) return refused;
  const [, percent, fixed = 0] = NEGATIVE_ERRORS.find(([to]) => millilitres <= to) ?? [];
  return percent === undefined ? fixed : (millilitres * percent) / 100;
}
