/** Figures of a blend that go by volume: what is there before is there after. */
import { firstRefusal, outside, refuse, type Worked } from './worked.ts';

/** The most of anything looked at: more is no figure of a cellar. */
const MOST = 1e9;

/** So many litres with so much in each of them. */
export interface BlendPart {
  readonly litres: number;
  /** In any unit per volume, the same for all parts: g/L, mg/L, % vol. */
  readonly figure: number;
}

/**
 * The figure of parts blended, in their own unit: Σ V c / Σ V.
 *
 * Holds for what is counted by volume and does not react: total acidity, sugar, total SO₂, volatile acidity; for alcohol
 * but for the contraction, which is under 0.1 % vol among wines. Not for pH, free SO₂ and colour. Conservation of mass.
 */
export function blendedFigure(parts: readonly BlendPart[]): Worked {
  let litres = 0;
  let amount = 0;
  for (const part of parts) {
    const wrong = firstRefusal(
      outside(part.litres, 0, MOST, 'a volume', 'L'),
      outside(part.figure, 0, MOST, 'a figure', ''),
    );
    if (wrong !== undefined) return wrong;
    litres += part.litres;
    amount += part.litres * part.figure;
  }
  return litres > 0 ? amount / litres : refuse('there is nothing to blend');
}

/**
 * The share of the second part, 0 to 1, that brings a blend of two figures to a third: (target − first) / (second − first).
 *
 * Pearson's square; as `blendedFigure`, without contraction. Refuses a target outside the two.
 */
export function shareOfSecond(first: number, second: number, target: number): Worked {
  const wrong = firstRefusal(
    outside(first, 0, MOST, 'the first figure', ''),
    outside(second, 0, MOST, 'the second figure', ''),
    outside(target, 0, MOST, 'the target', ''),
  );
  if (wrong !== undefined) return wrong;
  if (first === second) return refuse('two parts with the same figure give no other, in any shares');
  if (target < Math.min(first, second) || target > Math.max(first, second)) {
    return refuse('no blend of these two reaches the target: it does not lie between them');
  }
  return (target - first) / (second - first);
}

/**
 * Litres of the second part to add to so many litres of the first, for a figure between the two: V (target − first) /
 * (second − target). Refuses the second part's own figure: no volume reaches it.
 */
export function litresOfSecond(litres: number, first: number, second: number, target: number): Worked {
  const share = outside(litres, 0, MOST, 'a volume', 'L') ?? shareOfSecond(first, second, target);
  if (typeof share !== 'number') return share;
  if (share === 1)
    return refuse('only the second part alone has the figure asked for: no volume of it brings the blend there');
  return (litres * share) / (1 - share);
}
