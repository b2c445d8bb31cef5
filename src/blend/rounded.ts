/** A recipe in amounts a cellar measures, which keeps to every bound still. */
import type { Asked } from './asked.ts';
import type { Part } from './available.ts';
import { type Bound, missed } from './bounds-of-blend.ts';
import type { Column, Row, Solve } from './program.ts';

/** Litres of each part in whole steps, but where a vessel is emptied or a limit is met as it was typed. */
export function roundRecipe(
  solve: Solve,
  asked: Asked,
  parts: readonly Part[],
  bounds: readonly Bound[],
  litres: readonly number[],
): { readonly litres: readonly number[]; readonly step: number } | undefined {
  for (const step of [asked.step, asked.step / 10]) {
    const simple = nearestSteps(asked, parts, litres, step);
    if (keepsTo(asked, bounds, simple, step)) return { litres: simple, step };
    const sought = searchSteps(solve, asked, parts, bounds, litres, step);
    if (sought !== undefined && keepsTo(asked, bounds, sought, step)) return { litres: sought, step };
  }
  return undefined;
}

/** Emptied vessels and whole ones give what they give; so do amounts typed. */
const isFixed = (asked: Asked, part: Part, litres: number): boolean =>
  litres <= 0 ||
  litres >= part.litres - 1e-6 ||
  asked.whole.includes(part.name) ||
  asked.limits.some(
    ({ vessels, low, high }) =>
      vessels.length === 1 &&
      vessels[0] === part.name &&
      [low, high].some((one) => one !== undefined && Math.abs(one - litres) < 1e-6),
  );

/** Each to the step below, and what is then missing to those that lost most. */
function nearestSteps(asked: Asked, parts: readonly Part[], litres: readonly number[], step: number): number[] {
  const total = litres.reduce((sum, one) => sum + one, 0);
  const fixed = parts.map((part, i) => isFixed(asked, part, litres[i] ?? 0));
  const steps = litres.map((one, i) => (fixed[i] === true ? 0 : Math.floor(one / step + 1e-9)));
  const given = litres.map((one, i) => (fixed[i] === true ? one : (steps[i] ?? 0) * step));
  let lacking = Math.round((total - given.reduce((sum, one) => sum + one, 0)) / step);
  const order = litres
    .map((one, i) => ({ i, lost: fixed[i] === true ? -1 : one - (given[i] ?? 0) }))
    .filter(({ lost }) => lost >= 0)
    .sort((a, b) => b.lost - a.lost || a.i - b.i);
  for (const { i } of order) {
    if (lacking <= 0) break;
    const more = ((steps[i] ?? 0) + 1) * step;
    if (more > (parts[i]?.litres ?? 0)) continue;
    given[i] = more;
    lacking--;
  }
  return given.map(tidied);
}

/** Of a small volume half a step is much: off by more than this part of what is to be made, a finer step is taken. */
const MOST_OFF = 0.1;

/** No digits that binary arithmetic made up. */
const tidied = (litres: number): number => Number(litres.toFixed(6));

/** Half a step off the volume asked for is what rounding costs; a figure asked for exactly may be off by what is not shown. */
function keepsTo(asked: Asked, bounds: readonly Bound[], litres: readonly number[], step: number): boolean {
  const total = litres.reduce((sum, one) => sum + one, 0);
  if (total <= asked.lees + asked.loss) return false;
  return bounds.every((bound) => missed(bound, litres) <= allowance(asked, bound, total, step));
}

function allowance(asked: Asked, bound: Bound, total: number, step: number): number {
  const grain = Math.max(1, total) * 1e-9;
  if (bound.kind === 'make') return Math.min(step / 2, (asked.make ?? 0) * MOST_OFF) + grain;
  if (bound.side !== 'both' || bound.figure === undefined) return grain;
  const { places, scale } = bound.figure;
  return grain + (total * 0.5 * 10 ** -places) / scale;
}

/** Whole steps searched for where the nearest ones miss a bound: as near as can be to what was found. */
function searchSteps(
  solve: Solve,
  asked: Asked,
  parts: readonly Part[],
  bounds: readonly Bound[],
  litres: readonly number[],
  step: number,
): number[] | undefined {
  const total = litres.reduce((sum, one) => sum + one, 0);
  const columns: Column[] = parts.map((part, i) => {
    const one = litres[i] ?? 0;
    if (one > 0 && isFixed(asked, part, one)) return { low: one, high: one, cost: 0, whole: false };
    if (asked.whole.includes(part.name)) return { low: 0, high: 0, cost: 0, whole: false };
    return { low: 0, high: Math.floor(part.litres / step + 1e-9), cost: 0, whole: true };
  });
  /** Litres of one unit of a column. */
  const unit = columns.map(({ whole }) => (whole ? step : 1));
  const rows: Row[] = bounds.map((bound) => {
    const room = bound.kind === 'make' || bound.side === 'both' ? allowance(asked, bound, total, step) : 0;
    return {
      terms: bound.terms.map(([part, coefficient]) => [part, coefficient * (unit[part] ?? 1)] as const),
      low: bound.low - room,
      high: bound.high + room,
    };
  });
  for (const [i, one] of litres.entries()) {
    if (columns[i]?.whole !== true) continue;
    const above = columns.push({ low: 0, high: Number.POSITIVE_INFINITY, cost: 1, whole: false }) - 1;
    const below = columns.push({ low: 0, high: Number.POSITIVE_INFINITY, cost: 1, whole: false }) - 1;
    rows.push({
      terms: [
        [i, step],
        [above, -1],
        [below, 1],
      ],
      low: one,
      high: one,
    });
  }
  const solved = solve({ columns, rows });
  if (solved.status !== 'solved') return undefined;
  return parts.map((_, i) => {
    const value = solved.values[i] ?? 0;
    return tidied(columns[i]?.whole === true ? Math.round(value) * step : value);
  });
}
