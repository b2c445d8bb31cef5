/** What a formula gives: a figure, or a refusal that says why there is none. Formulas never guess outside their range. */

/** Why a formula gives no figure, in words for the winemaker. */
export interface Refused {
  readonly refused: string;
}

export type Worked<T = number> = T | Refused;

export function refuse(why: string): Refused {
  return { refused: why };
}

export function isRefused(worked: unknown): worked is Refused {
  return typeof worked === 'object' && worked !== null && 'refused' in worked;
}

/**
 * A refusal where a value lies outside the range a formula holds for, or is no number; else undefined.
 *
 * `say` names the value and `unit` its unit, so that the refusal reads `sugar of 52 °Bx is outside 0 to 45 °Bx`.
 */
export function outside(value: number, low: number, high: number, say: string, unit: string): Refused | undefined {
  if (value >= low && value <= high) return undefined;
  const shown = Number.isFinite(value) ? String(Number(value.toPrecision(6))) : 'what is no number';
  const of = unit === '' ? '' : ` ${unit}`;
  return refuse(`${say} of ${shown}${of} is outside ${low} to ${high}${of}, where this formula holds`);
}

/** The first refusal among several looks at the inputs, else undefined. */
export function firstRefusal(...looks: readonly (Refused | undefined)[]): Refused | undefined {
  return looks.find((look) => look !== undefined);
}

/** Goes on with a figure, or passes the refusal on. */
export function andThen<A, B>(worked: Worked<A>, next: (value: A) => Worked<B>): Worked<B> {
  return isRefused(worked) ? worked : next(worked);
}
