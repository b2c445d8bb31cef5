/** The wines of a bench blend in amounts to pump, by a step that suits them: no wine is rounded away. */
import { litresWritten } from './paste-lines.ts';

export interface Poured {
  readonly name: string;
  /** 0 to 1, of the blend. */
  readonly share: number;
  /** Litres there are. */
  readonly held: number;
}

export interface BlendAmounts {
  /** Of each wine, none of them 0. */
  readonly litres: readonly number[];
  readonly total: number;
  /** Litres the amounts are in steps of. */
  readonly step: number;
  /** How far an amount is off its share of the blend at most, as a part of itself. */
  readonly off: number;
}

/** Steps by how many of them are a litre, the coarsest first. */
const PER_LITRE = [1, 10, 100];
/** The finest step, a millilitre: what a measuring cylinder shows (common practice, no source). */
const MILLILITRE = 1000;
/** So much of itself an amount may be off for the rounding before a finer step is taken (common practice, no source). */
const HUNDREDTH = 0.01;
/** What binary arithmetic makes up, in steps. */
const GRAIN = 1e-6;

/** `1 L`, `0.1 L`, `10 mL`. */
export const stepText = (step: number): string =>
  step < 0.1 ? `${Math.round(step * MILLILITRE)} mL` : litresWritten(step);

/** So much that at most a hundredth of it is left, in the coarsest step that does. */
function downTo(litres: number): number {
  for (const per of PER_LITRE) {
    const down = Math.floor(litres * per + GRAIN) / per;
    if (down >= litres * (1 - HUNDREDTH)) return down;
  }
  return Math.floor(litres * MILLILITRE + GRAIN) / MILLILITRE;
}

/** Litres of each wine for so many in all, as many as there are where it is left out; or why there are none. */
export function blendAmounts(wines: readonly Poured[], make: number | undefined): BlendAmounts | string {
  const most = Math.min(...wines.map(({ share, held }) => held / share));
  if (make !== undefined && make <= 0) return 'nothing is to be made';
  if (make !== undefined && make > most + GRAIN)
    return `at most ${litresWritten(downTo(most))} can be made of it, and ${litresWritten(make)} is more`;
  const wanted = make ?? most;
  const amountsBy = (per: number): BlendAmounts => inSteps(wines, wanted, make === undefined, most, per);
  for (const per of PER_LITRE) {
    const amounts = amountsBy(per);
    const near = amounts.off <= HUNDREDTH && Math.abs(amounts.total - wanted) <= wanted * HUNDREDTH;
    if (near && amounts.litres.every((litres) => litres > 0)) return amounts;
  }
  const finest = amountsBy(MILLILITRE);
  const lost = wines[finest.litres.findIndex((litres) => litres <= 0)];
  return lost === undefined
    ? finest
    : `of ${litresWritten(wanted)} less than a millilitre is ${lost.name}: no cylinder shows it`;
}

/** Each wine to the step below, and what is then lacking to those that lost most and have it. */
function inSteps(
  wines: readonly Poured[],
  wanted: number,
  asMuchAsThereIs: boolean,
  most: number,
  per: number,
): BlendAmounts {
  const can = Math.floor(most * per + GRAIN);
  const steps = asMuchAsThereIs ? can : Math.min(can, Math.round(wanted * per));
  const exact = wines.map(({ share }) => share * steps);
  const taken = exact.map((one) => Math.floor(one + GRAIN));
  let lacking = steps - taken.reduce((sum, one) => sum + one, 0);
  const order = exact.map((one, i) => ({ i, cut: one - (taken[i] ?? 0) })).sort((a, b) => b.cut - a.cut || a.i - b.i);
  for (const { i } of order) {
    const more = (taken[i] ?? 0) + 1;
    if (lacking <= 0 || more > (wines[i]?.held ?? 0) * per + GRAIN) continue;
    taken[i] = more;
    lacking--;
  }
  const sum = taken.reduce((all, one) => all + one, 0);
  const off = wines.map(({ share }, i) => Math.abs((taken[i] ?? 0) / (share * sum) - 1));
  return {
    litres: taken.map((one) => one / per),
    total: sum / per,
    step: 1 / per,
    off: Math.max(...off),
  };
}
