/** Finds the litres to draw from each part: the best recipe that keeps to all bounds, or which bounds conflict. */
import type { Aim, Asked } from './asked.ts';
import type { Part } from './available.ts';
import { type Bound, drawn, rowOf } from './bounds-of-blend.ts';
import type { Column, Program, Row, Solve } from './program.ts';

/** Litres this near to nothing, or to all there is, are taken for it. */
const NEAR = 1e-6;
/** Beyond so many vessels no second look is had for the recipe that opens fewest. */
const MOST_VESSELS_COUNTED = 80;

export type Found =
  | { readonly status: 'found'; readonly litres: readonly number[]; readonly aimed: number }
  | { readonly status: 'impossible' }
  | { readonly status: 'unsolved'; readonly why: string };

/** A program under construction: columns and rows are added, and known by their number. */
class Draft {
  readonly columns: Column[] = [];
  readonly rows: Row[] = [];

  column(low: number, high: number, cost = 0, whole = false): number {
    return this.columns.push({ low, high, cost, whole }) - 1;
  }

  row(terms: Row['terms'], low: number, high: number): void {
    this.rows.push({ terms, low, high });
  }
}

const INFINITY = Number.POSITIVE_INFINITY;

/** The most that may come from a part: what it holds, or what a limit on it alone leaves. */
export function mostOf(part: number, bounds: readonly Bound[]): number {
  let most = INFINITY;
  for (const { kind, terms, high } of bounds) {
    const [only, more] = terms;
    if ((kind === 'held' || kind === 'limit') && more === undefined && only?.[0] === part) most = Math.min(most, high);
  }
  return most;
}

/** Litres of each part as the first columns, whole vessels held to all or nothing, and every bound as a row. */
function draft(asked: Asked, parts: readonly Part[], bounds: readonly Bound[]): Draft {
  const made = new Draft();
  for (const part of parts) made.column(0, part.litres);
  for (const bound of bounds) made.rows.push(rowOf(bound));
  for (const [i, part] of parts.entries()) {
    if (!asked.whole.includes(part.name)) continue;
    const most = Math.min(part.litres, mostOf(i, bounds));
    const taken = made.column(0, 1, 0, true);
    made.row(
      [
        [i, 1],
        [taken, -most],
      ],
      0,
      0,
    );
  }
  return made;
}

interface Cost {
  readonly terms: readonly (readonly [column: number, cost: number])[];
}

/** The aim as costs, with whatever columns it needs. `total` is what is drawn, for the nearest to a trial. */
function aimCost(made: Draft, aim: Aim, parts: readonly Part[]): Cost {
  switch (aim.kind) {
    case 'fewest':
      return fewest(made, parts);
    case 'least':
    case 'most': {
      const sign = aim.kind === 'least' ? 1 : -1;
      return { terms: parts.flatMap(({ name }, i) => (aim.vessels.includes(name) ? [[i, sign] as const] : [])) };
    }
    case 'near':
      return {
        terms: [...lotsOf(parts)].flatMap(([lot, members]) => offCost(made, members, aim.shares.get(lot) ?? 0, parts)),
      };
  }
}

/** Which parts hold a lot. */
export function lotsOf(parts: readonly Part[]): Map<string, number[]> {
  const lots = new Map<string, number[]>();
  for (const [i, { lot }] of parts.entries()) {
    const there = lots.get(lot);
    if (there === undefined) lots.set(lot, [i]);
    else there.push(i);
  }
  return lots;
}

/** Litres by which a lot is above or below its share of what is drawn. */
function offCost(made: Draft, members: readonly number[], share: number, parts: readonly Part[]): Cost['terms'] {
  const above = made.column(0, INFINITY);
  const below = made.column(0, INFINITY);
  made.row(
    [...parts.map((_, i) => [i, (members.includes(i) ? 1 : 0) - share] as const), [above, -1], [below, 1]],
    0,
    0,
  );
  return [
    [above, 1],
    [below, 1],
  ];
}

/** A vessel left part full costs more than all that are opened. */
function fewest(made: Draft, parts: readonly Part[]): Cost {
  const terms: [number, number][] = [];
  for (const [i, part] of parts.entries()) {
    if (part.litres <= 0) continue;
    const opened = made.column(0, 1, 0, true);
    const left = made.column(0, 1, 0, true);
    made.row(
      [
        [i, 1],
        [opened, -part.litres],
      ],
      -INFINITY,
      0,
    );
    // opened and not left part full: all of it is drawn
    made.row(
      [
        [i, 1],
        [opened, -part.litres],
        [left, part.litres],
      ],
      0,
      INFINITY,
    );
    terms.push([opened, 1], [left, parts.length + 1]);
  }
  return { terms };
}

function withCost(made: Draft, cost: Cost): Program {
  const columns = made.columns.map((column) => ({ ...column, cost: 0 }));
  for (const [at, more] of cost.terms) {
    const column = columns[at];
    if (column !== undefined) columns[at] = { ...column, cost: column.cost + more };
  }
  return { columns, rows: made.rows };
}

const clean = (litres: number, part: Part): number => {
  if (litres < NEAR) return 0;
  return part.litres - litres < NEAR ? part.litres : litres;
};

/** What nearness to a trial gives way by, so that no barrel is left with a litre or two: a hundredth of what is drawn. */
export const NEAR_ENOUGH = 0.01;

const roomOf = ({ aim }: Asked, parts: readonly Part[], values: readonly number[]): number =>
  aim.kind === 'near' ? NEAR_ENOUGH * parts.reduce((sum, _, i) => sum + (values[i] ?? 0), 0) : 0;

/** The best by the aim, and of those the one that opens fewest vessels. */
export function findBlend(solve: Solve, asked: Asked, parts: readonly Part[], bounds: readonly Bound[]): Found {
  const made = draft(asked, parts, bounds);
  // as much as can be made comes before any other aim
  const whole: Cost | undefined =
    asked.make === undefined ? { terms: parts.map((_, i) => [i, -1] as const) } : undefined;
  const goals: Cost[] = [];
  if (whole !== undefined) goals.push(whole);
  goals.push(aimCost(made, asked.aim, parts));
  if (asked.aim.kind !== 'fewest' && parts.length <= MOST_VESSELS_COUNTED) goals.push(fewest(made, parts));
  const aimAt = whole === undefined ? 0 : 1;
  let best: { values: readonly number[]; cost: number } | undefined;
  let aimed = 0;
  for (const [i, goal] of goals.entries()) {
    const solved = solve(withCost(made, goal));
    if (solved.status === 'unsolved' && best === undefined) return solved;
    // a later goal only chooses among what the earlier ones leave
    if (solved.status !== 'solved') {
      if (best === undefined) return { status: 'impossible' };
      break;
    }
    best = solved;
    if (i === aimAt) aimed = solved.cost;
    const gives = i === aimAt ? roomOf(asked, parts, solved.values) : 0;
    made.row(goal.terms, -INFINITY, solved.cost + Math.max(gives, 1e-6 * Math.max(1, Math.abs(solved.cost))));
  }
  const { values } = best ?? { values: [] };
  return { status: 'found', aimed, litres: parts.map((part, i) => clean(values[i] ?? 0, part)) };
}

/** The most litres that can be drawn under all bounds but the volume asked for; undefined where none can. */
export function mostDrawn(
  solve: Solve,
  asked: Asked,
  parts: readonly Part[],
  bounds: readonly Bound[],
): number | undefined {
  const made = draft(
    asked,
    parts,
    bounds.filter(({ kind }) => kind !== 'make'),
  );
  const solved = solve(withCost(made, { terms: parts.map((_, i) => [i, -1] as const) }));
  return solved.status === 'solved' ? -solved.cost : undefined;
}

/** Litres that are a blend at all, however little of one; less than a step of pumping. */
const SOME = 1;

/** Enough to be a blend, where so much is drawn or there is so little. */
const someOf = (asked: Asked, parts: readonly Part[]): number =>
  Math.min(SOME, drawn(asked) ?? SOME, parts.reduce((sum, { litres }) => sum + litres, 0) / 10);

/** Whether some blend, however little of it, keeps to these bounds. */
function isPossible(solve: Solve, asked: Asked, parts: readonly Part[], bounds: readonly Bound[]): boolean {
  const made = draft(asked, parts, bounds);
  made.row(
    parts.map((_, i) => [i, 1] as const),
    someOf(asked, parts),
    INFINITY,
  );
  return solve(withCost(made, { terms: [] })).status !== 'impossible';
}

/** A smallest set of bounds that no blend keeps to together: without any one of them the others can be kept to. */
export function conflictOf(solve: Solve, asked: Asked, parts: readonly Part[], bounds: readonly Bound[]): Bound[] {
  let left = [...bounds];
  // what can be changed is kept for the telling: what the vessels hold is tried away first
  const order = [...bounds].sort((a, b) => Number(b.kind === 'held') - Number(a.kind === 'held'));
  for (const bound of order) {
    const without = left.filter((one) => one !== bound);
    if (!isPossible(solve, ...loosened(asked, parts, without), without)) left = without;
  }
  return left;
}

/** Litres no cellar holds: what a vessel could give if it had no end. */
const ENDLESS = 1e7;

/** Parts of which no bound says what they hold give as much as one likes, and by any litre. */
function loosened(asked: Asked, parts: readonly Part[], bounds: readonly Bound[]): [Asked, Part[]] {
  const held = new Set(bounds.flatMap(({ kind, terms }) => (kind === 'held' ? (terms[0]?.[0] ?? -1) : [])));
  const isHeld = (name: string): boolean => parts.some((part, i) => part.name === name && held.has(i));
  return [
    { ...asked, whole: asked.whole.filter(isHeld) },
    parts.map((part, i) => (held.has(i) ? part : { ...part, litres: Math.max(part.litres, ENDLESS) })),
  ];
}

/** Whether bounds that conflict could be kept if no vessel had to be taken whole. */
export function fitsInPart(solve: Solve, asked: Asked, parts: readonly Part[], conflict: readonly Bound[]): boolean {
  const [loose, more] = loosened(asked, parts, conflict);
  return isPossible(solve, { ...loose, whole: [] }, more, conflict);
}

export interface Miss {
  readonly bound: Bound;
  /** In the measure of its row. */
  readonly by: number;
}

/**
 * The litres that miss the bounds by the least, each miss weighed by how well its figure is known; what the vessels hold is
 * kept to. Undefined where all there is would stay behind as lees or be lost.
 */
export function nearestBlend(
  solve: Solve,
  asked: Asked,
  parts: readonly Part[],
  bounds: readonly Bound[],
): { readonly litres: readonly number[]; readonly misses: readonly Miss[] } | undefined {
  const fixed = bounds.filter(({ weight }) => weight === undefined);
  const soft = bounds.filter(({ weight }) => weight !== undefined);
  const made = draft(asked, parts, fixed);
  const total = Math.max(
    1,
    soft.find(({ kind }) => kind === 'make')?.low ?? parts.reduce((sum, { litres }) => sum + litres, 0),
  );
  const terms: [number, number][] = [];
  for (const bound of soft) {
    const { weight = 1, kind } = bound;
    // a figure's row is in litres times its unit: off by one unit in all the litres
    const unit = kind === 'keep' || kind === 'share' ? weight * total : weight;
    const short = made.column(0, INFINITY);
    const over = made.column(0, INFINITY);
    made.row([...bound.terms, [short, 1], [over, -1]], bound.low, bound.high);
    terms.push([short, 1 / unit], [over, 1 / unit]);
  }
  // something is to arrive, however little
  made.row(
    parts.map((_, i) => [i, 1] as const),
    Math.min(asked.lees + asked.loss + someOf(asked, parts), drawn(asked) ?? INFINITY),
    INFINITY,
  );
  const solved = solve(withCost(made, { terms }));
  if (solved.status !== 'solved') return undefined;
  const litres = parts.map((part, i) => clean(solved.values[i] ?? 0, part));
  return {
    litres,
    misses: soft.flatMap((bound) => {
      const value = bound.terms.reduce((sum, [part, coefficient]) => sum + coefficient * (litres[part] ?? 0), 0);
      const by = Math.max(bound.low - value, value - bound.high, 0);
      return by > 1e-6 * total ? [{ bound, by }] : [];
    }),
  };
}
