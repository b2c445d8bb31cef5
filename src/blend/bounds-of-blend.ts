/** Everything a blend has to keep to, each bound in words and as a row over the litres drawn from each part. */

import type { Settings } from '../journal/register.ts';
import { analyteUnit } from '../report/figures.ts';
import type { Asked, Bounds, ShareAsked } from './asked.ts';
import { type Part, shareIn } from './available.ts';
import { byVolume } from './by-volume.ts';
import type { Row } from './program.ts';

/** Which end of a range a bound is; `both` asks for one figure exactly. */
export type Side = 'low' | 'high' | 'both';

export interface Bound {
  readonly kind: 'make' | 'held' | 'limit' | 'keep' | 'share';
  readonly side: Side;
  /** `alcohol at least 13 % vol`. */
  readonly say: string;
  /** What the row comes to for litres drawn, and what it may be. */
  readonly terms: readonly (readonly [part: number, coefficient: number])[];
  readonly low: number;
  readonly high: number;
  /** The same bound eased by so much, and how that is told; what nature sets has none. */
  readonly eased?: { readonly say: string; readonly bound: Bound };
  /** How much of the row one unit of a shortfall weighs, for the nearest blend: a shortfall is told in `unit`s of the figure. */
  readonly weight?: number;
  /** For `keep` and `share`: what the blend's figure is, from litres drawn. */
  readonly of?: (litres: readonly number[]) => number;
  readonly figure?: { readonly name: string; readonly unit: string; readonly places: number; readonly scale: number };
}

/** A bound as a row of a program whose first columns are the litres of the parts. */
export const rowOf = ({ terms, low, high }: Bound): Row => ({ terms, low, high });

const INFINITY = Number.POSITIVE_INFINITY;

export const plainNumber = (value: number): string => String(Number(value.toFixed(3)));

const litresSaid = (litres: number): string => `${plainNumber(litres)} L`;

const sides = ({ low, high }: Bounds): [Side, number][] => {
  if (low !== undefined && low === high) return [['both', low]];
  return [
    ...(low === undefined ? [] : [['low', low] satisfies [Side, number]]),
    ...(high === undefined ? [] : [['high', high] satisfies [Side, number]]),
  ];
};

const WORDS: Readonly<Record<Side, string>> = { low: 'at least', high: 'at most', both: 'exactly' };

const limitsOf = (side: Side, at: number): { low: number; high: number } => ({
  low: side === 'high' ? -INFINITY : at,
  high: side === 'low' ? INFINITY : at,
});

const sum = (terms: Bound['terms'], litres: readonly number[]): number =>
  terms.reduce((total, [part, coefficient]) => total + coefficient * (litres[part] ?? 0), 0);

/** Litres to draw in all; undefined where as much as can be is asked for. */
export const drawn = ({ make, lees, loss }: Asked): number | undefined =>
  make === undefined ? undefined : make + lees + loss;

export function boundsOfBlend(asked: Asked, parts: readonly Part[], settings: Settings): Bound[] {
  return [
    ...makeBound(asked, parts),
    ...parts.map((part, i) => heldBound(asked, part, i)),
    ...asked.limits.flatMap((limit) => limitBounds(limit, parts)),
    ...asked.keeps.flatMap((keep) =>
      sides(keep).map(([side, at]) => keepBound(keep.analyte, side, at, parts, settings)),
    ),
    ...asked.shares.flatMap((share) => sides(share).map(([side, at]) => shareBound(share, side, at, parts))),
  ];
}

function makeBound(asked: Asked, parts: readonly Part[]): Bound[] {
  const total = drawn(asked);
  if (total === undefined) return [];
  const terms = parts.map((_, i) => [i, 1] as const);
  const told = asked.lees + asked.loss > 0 ? `, ${litresSaid(total)} drawn` : '';
  return [
    {
      kind: 'make',
      side: 'both',
      say: `${litresSaid(asked.make ?? 0)} to make${told}`,
      terms,
      low: total,
      high: total,
      weight: total / 100,
    },
  ];
}

const heldBound = (asked: Asked, part: Part, i: number): Bound => ({
  kind: 'held',
  side: 'high',
  say: `${part.name} holds ${litresSaid(part.litres)}${asked.whole.includes(part.name) ? ', all or nothing of it' : ''}`,
  terms: [[i, 1]],
  low: 0,
  high: part.litres,
});

function limitBounds(limit: Asked['limits'][number], parts: readonly Part[]): Bound[] {
  const terms = parts.flatMap(({ name }, i) => (limit.vessels.includes(name) ? [[i, 1] as const] : []));
  const names = limit.vessels.join(', ');
  return sides(limit).map(([side, at]) => {
    const make = (to: number): Bound => ({
      kind: 'limit',
      side,
      say: `${names}: ${WORDS[side]} ${litresSaid(to)}`,
      terms,
      ...limitsOf(side, to),
      weight: Math.max(1, at / 100),
    });
    const ease = Math.max(1, at / 20);
    const to = side === 'low' ? Math.max(0, at - ease) : at + ease;
    return { ...make(at), ...(side === 'both' ? {} : { eased: { say: litresSaid(to), bound: make(to) } }) };
  });
}

function keepBound(analyte: string, side: Side, at: number, parts: readonly Part[], settings: Settings): Bound {
  const known = byVolume(analyte);
  const unit = analyteUnit(analyte, settings);
  const ease = known?.ease ?? 0;
  const make = (to: number): Bound => ({
    kind: 'keep',
    side,
    say: `${analyte} ${WORDS[side]} ${plainNumber(to)} ${unit}`.trim(),
    // what a litre of the part is off the figure
    terms: parts.map((part, i) => [i, (part.figures.get(analyte)?.value ?? 0) - to] as const),
    ...limitsOf(side, 0),
    weight: known?.uncertainty ?? 1,
    of: (litres) => blended(litres, (i) => parts[i]?.figures.get(analyte)?.value ?? 0),
    figure: { name: analyte, unit, places: known?.places ?? 2, scale: 1 },
  });
  const to = side === 'low' ? Math.max(0, at - ease) : at + ease;
  return {
    ...make(at),
    ...(side === 'both' ? {} : { eased: { say: `${plainNumber(to)} ${unit}`.trim(), bound: make(to) } }),
  };
}

/** Σ V c / Σ V. */
export function blended(litres: readonly number[], figure: (part: number) => number): number {
  let volume = 0;
  let amount = 0;
  for (const [i, one] of litres.entries()) {
    if (one <= 0) continue;
    volume += one;
    amount += one * figure(i);
  }
  return volume > 0 ? amount / volume : 0;
}

/** Of each litre of a part: how much counts, and how much it counts against. */
function countsOf(share: ShareAsked, part: Part): { of: number; whole: number } {
  const { of } = share;
  if (of.kind === 'vessels') return { of: of.vessels.includes(part.name) ? 1 : 0, whole: 1 };
  if (part.litres <= 0) return { of: 0, whole: 0 };
  // water and solutions are no wine of any source: the law's shares leave them out
  const { of: meets, wine } = shareIn(part, of.test);
  return { of: meets / part.litres, whole: wine / part.litres };
}

function shareBound(share: ShareAsked, side: Side, at: number, parts: readonly Part[]): Bound {
  const counts = parts.map((part) => countsOf(share, part));
  const make = (to: number): Bound => ({
    kind: 'share',
    side,
    say: `${share.name} ${WORDS[side]} ${plainNumber(to * 100)} %`,
    terms: counts.map(({ of, whole }, i) => [i, of - to * whole] as const),
    ...limitsOf(side, 0),
    weight: 0.01,
    of: (litres) => {
      const whole = litres.reduce((total, one, i) => total + one * (counts[i]?.whole ?? 0), 0);
      return whole > 0 ? litres.reduce((total, one, i) => total + one * (counts[i]?.of ?? 0), 0) / whole : 0;
    },
    figure: { name: share.name, unit: '%', places: 1, scale: 100 },
  });
  const to = side === 'low' ? Math.max(0, at - 0.01) : Math.min(1, at + 0.01);
  return {
    ...make(at),
    ...(side === 'both' || to === at ? {} : { eased: { say: `${plainNumber(to * 100)} %`, bound: make(to) } }),
  };
}

/** By how much litres drawn miss a bound, in its row's own measure; 0 where they keep to it. */
export function missed(bound: Bound, litres: readonly number[]): number {
  const value = sum(bound.terms, litres);
  return Math.max(0, bound.low - value, value - bound.high);
}

/** Whether nothing is left to give at a bound: within a millionth of a litre's worth. */
export function binds(bound: Bound, litres: readonly number[]): boolean {
  const total = litres.reduce((all, one) => all + one, 0);
  const value = sum(bound.terms, litres);
  const slack = Math.min(
    bound.side === 'high' ? INFINITY : Math.abs(value - bound.low),
    bound.side === 'low' ? INFINITY : Math.abs(bound.high - value),
  );
  const most = bound.terms.reduce((all, [, coefficient]) => Math.max(all, Math.abs(coefficient)), 0);
  return slack <= Math.max(1, most) * Math.max(1, total) * 1e-7;
}
