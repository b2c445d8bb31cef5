/** Which plans cover the wine of a stay, and when; and which of them has the say about a work. */
import type { Minute } from '../journal/events.ts';
import type { PlanRow } from '../journal/plans.ts';
import { rowKeys } from './keys.ts';
import type { PlanInForce, PlanLog } from './plan-log.ts';
import type { Stay } from './stays.ts';

/** How narrow a plan is: the narrowest that says anything of a work says all of it. */
const PUT = 4;
const LOTS = 3;
const VESSELS = 2;
const VESSEL_KINDS = 1;
const KINDS = 0;

interface Covering {
  readonly plan: PlanInForce;
  readonly narrow: number;
  /** When the wine came under the plan, in this vessel or in one it lay in before. */
  readonly since: Minute;
}

/** A stretch of a stay in which the same plans cover it. */
export interface Covered {
  readonly from: Minute;
  /** Not included. */
  readonly to: Minute;
  readonly by: readonly Covering[];
}

/** Every stretch of a stay that a plan covers, up to a horizon. Stays have to be asked for in their order. */
export class Coverings {
  private readonly log: PlanLog;
  private readonly known = new Map<number, readonly Covered[]>();

  constructor(log: PlanLog) {
    this.log = log;
  }

  of(stay: Stay, horizon: Minute): readonly Covered[] {
    const end = Math.min(stay.until ?? horizon, horizon);
    const points = this.points(stay, end);
    const stretches: Covered[] = [];
    let before = this.before(stay);
    for (const [i, from] of points.entries()) {
      const to = points[i + 1] ?? end;
      const by = this.at(stay, from, before);
      before = by;
      if (by.length > 0 && to > from) stretches.push({ from, to, by });
    }
    this.known.set(stay.id, stretches);
    return stretches;
  }

  /** What covered the same wine where it lay just before. */
  private before(stay: Stay): readonly Covering[] {
    const stretches = stay.before === undefined ? undefined : this.known.get(stay.before.id);
    return stretches?.findLast(({ from, to }) => from <= stay.from && to >= stay.from)?.by ?? [];
  }

  /** The minutes at which what covers a stay may change. */
  private points(stay: Stay, end: Minute): Minute[] {
    const points = new Set<Minute>([stay.from]);
    const add = (minute: Minute | undefined): void => {
      if (minute !== undefined && minute > stay.from && minute < end) points.add(minute);
    };
    for (const { facts, until } of this.log.plans) {
      add(facts.since);
      add(until);
    }
    for (const { minute } of stay.planned) add(minute);
    for (const { minute } of this.log.plannedLots.get(stay.lot) ?? []) add(minute);
    for (const minute of this.log.stays.stageChanges(stay.lot)) add(minute);
    return [...points].sort((a, b) => a - b);
  }

  private at(stay: Stay, minute: Minute, before: readonly Covering[]): Covering[] {
    const by: Covering[] = [];
    for (const plan of this.log.plans) {
      if (plan.facts.since > minute || (plan.until !== undefined && plan.until <= minute)) continue;
      const narrow = this.narrow(stay, plan, minute);
      if (narrow === undefined) continue;
      const since = before.find((one) => one.plan.name === plan.name)?.since ?? minute;
      by.push({ plan, narrow, since });
    }
    return by;
  }

  /** How narrowly a plan covers a stay at a moment; undefined where it does not. */
  narrow(stay: Stay, plan: PlanInForce, minute: Minute): number | undefined {
    const said = lastOf(stay.planned, plan.name, minute);
    const saidOfLot = lastOf(this.log.plannedLots.get(stay.lot) ?? [], plan.name, minute);
    // what was said last counts, of the vessel or of the lot
    const last = said !== undefined && (saidOfLot === undefined || said.minute >= saidOfLot.minute) ? said : saidOfLot;
    if (last !== undefined && !last.under) return undefined;
    if (last !== undefined) return PUT;
    const { kinds, lots, vessels, vesselKinds } = plan.facts.cover;
    if (kinds.length + lots.length + vessels.length + vesselKinds.length === 0) return undefined;
    if (kinds.length > 0 && !kinds.includes(this.log.stays.kindAt(stay, minute))) return undefined;
    if (lots.length > 0 && !lots.includes(stay.lot)) return undefined;
    const named = vessels.includes(stay.vessel);
    const ofKind = vesselKinds.includes(this.log.vessel(stay.vessel).kind);
    if (vessels.length + vesselKinds.length > 0 && !named && !ofKind) return undefined;
    return lots.length > 0 ? LOTS : named ? VESSELS : ofKind ? VESSEL_KINDS : KINDS;
  }
}

function lastOf<T extends { readonly minute: Minute; readonly plan: string }>(
  said: readonly T[],
  plan: string,
  minute: Minute,
): T | undefined {
  return said.findLast((one) => one.plan === plan && one.minute <= minute);
}

/** The lines that have the say about one work or bound during a stretch. */
export interface Say {
  readonly from: Minute;
  readonly to: Minute;
  readonly plan: PlanInForce;
  readonly since: Minute;
  readonly rows: readonly PlanRow[];
  /** Every key that any plan over the stay has a line for. */
  readonly asked: ReadonlySet<string>;
}

/** Of the plans over a stretch: every key any of them has a line for, with the plan that has the say and its lines. */
interface Ranked {
  readonly asked: ReadonlySet<string>;
  readonly byKey: readonly { readonly key: string; readonly at: number; readonly rows: readonly PlanRow[] }[];
}

function rank(by: readonly Covering[]): Ranked {
  const asked = new Set(by.flatMap(({ plan }) => plan.facts.rows.flatMap(rowKeys)));
  const order = by
    .map((_, i) => i)
    .sort((a, b) => {
      const [one, other] = [by[a], by[b]];
      if (one === undefined || other === undefined) return 0;
      return other.narrow - one.narrow || other.plan.facts.id - one.plan.facts.id;
    });
  const rowsOf = (i: number, key: string): PlanRow[] =>
    (by[i]?.plan.facts.rows ?? []).filter((row) => rowKeys(row).includes(key));
  return {
    asked,
    byKey: [...asked].flatMap((key) => {
      const at = order.find((i) => rowsOf(i, key).length > 0);
      return at === undefined ? [] : [{ key, at, rows: rowsOf(at, key) }];
    }),
  };
}

/** Tells, stretch by stretch, who has the say about every key: the narrowest plan with a line for it, of equals the later. */
export class Says {
  /** Few sets of plans cover a whole cellar. */
  private readonly known = new Map<string, Ranked>();

  private ranked(by: readonly Covering[]): Ranked {
    const name = by.map(({ plan, narrow }) => `${plan.facts.id} ${narrow}`).join(', ');
    let known = this.known.get(name);
    if (known === undefined) {
      known = rank(by);
      this.known.set(name, known);
    }
    return known;
  }

  byKey(stretches: readonly Covered[]): Map<string, Say[]> {
    const says = new Map<string, Say[]>();
    for (const { from, to, by } of stretches) {
      const { asked, byKey } = this.ranked(by);
      for (const { key, at, rows } of byKey) {
        const one = by[at];
        if (one === undefined) continue;
        const say: Say = { from, to, plan: one.plan, since: one.since, rows, asked };
        const list = says.get(key);
        if (list === undefined) says.set(key, [say]);
        else list.push(say);
      }
    }
    return says;
  }
}
