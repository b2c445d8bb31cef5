/** What the plans ask of each stay, and when: which line is in force about a work, and what waits to be done once. */
import type { DayNumber, Minute } from '../journal/events.ts';
import type { DueRow, PlanRow } from '../journal/plans.ts';
import { Coverings, type Say, Says } from './covering.ts';
import { type Switch, switches } from './holding.ts';
import { countingKeys } from './keys.ts';
import { dayOf, MINUTES_A_DAY } from './periods.ts';
import type { PlanInForce, PlanLog } from './plan-log.ts';
import type { Doing, Stay } from './stays.ts';

/** A stretch in which one line is in force about a key; none where the plan has a line but none that holds. */
export interface Force<R extends PlanRow = PlanRow> {
  readonly from: Minute;
  readonly to: Minute;
  readonly plan: PlanInForce;
  readonly row: R | undefined;
  /** The keys whose work counts. */
  readonly counting: readonly string[];
}

/** A line that asks for something once, and how far it has come. */
export interface Once {
  readonly plan: PlanInForce;
  readonly row: DueRow;
  /** The part of its work this tells of: each measurement of a reading is done by itself. */
  readonly key: string;
  /** When it came to be due; undefined while it waits. */
  readonly met: Minute | undefined;
  /** When it ceased to be due, because what it asks no longer holds or the wine is gone. */
  readonly ended: Minute | undefined;
  readonly doing: Doing | undefined;
  readonly last: Doing | undefined;
  /** It goes on from what the same line asked of the wine where it lay before. */
  readonly goesOn: boolean;
}

/** All that is asked of one stay. */
export interface Demand {
  readonly stay: Stay;
  /** By key of the work, lines with a rhythm; stretches follow one another with gaps where no plan covers. */
  readonly rhythms: ReadonlyMap<string, readonly Force<DueRow>[]>;
  readonly onces: readonly Once[];
  /** By key of the bound, lines of `keep` and `warn`. */
  readonly bounds: ReadonlyMap<string, readonly Force[]>;
}

/** A day early is not too early: what is added in the morning, before the reading that asks for it, counts. */
const EARLY_DAYS = 1;

/** What the plans asked for up to the end of a day. */
export const askedBy = (log: PlanLog, on: DayNumber): Demand[] => [...demands(log, (on + 1) * MINUTES_A_DAY)];

/** Every stay that a plan ever covered, with what is asked of it up to a horizon, in the order of their beginning. */
export function* demands(log: PlanLog, horizon: Minute): Generator<Demand, void, undefined> {
  if (log.plans.length === 0) return;
  const coverings = new Coverings(log);
  const whoSays = new Says();
  const onces = new Map<number, readonly Once[]>();
  for (const stay of log.stays.all) {
    const stretches = coverings.of(stay, horizon);
    if (stretches.length === 0) continue;
    const look = new Look(log, stay, horizon);
    const rhythms = new Map<string, readonly Force<DueRow>[]>();
    const bounds = new Map<string, readonly Force[]>();
    const waiting: OnceSay[] = [];
    for (const [key, says] of whoSays.byKey(stretches)) {
      if (says.every(({ rows }) => rows.every((row) => row.kind !== 'due'))) {
        bounds.set(
          key,
          says.flatMap((say) => look.forces(key, say, say.rows)),
        );
        continue;
      }
      const forces = says.flatMap((say) => look.forces(key, say, say.rows.filter(isRhythm)));
      if (forces.some(({ row }) => row !== undefined)) rhythms.set(key, forces);
      waiting.push(...onceSays(key, says));
    }
    const before = stay.before === undefined ? [] : (onces.get(stay.before.id) ?? []);
    const mine = look.onces(waiting, before);
    if (mine.length > 0) onces.set(stay.id, mine);
    yield { stay, rhythms, onces: mine, bounds };
  }
}

const isDue = (row: PlanRow): row is DueRow => row.kind === 'due';
const isRhythm = (row: PlanRow): row is DueRow => isDue(row) && row.rhythm.kind !== 'once';

interface OnceSay {
  readonly row: DueRow;
  readonly key: string;
  /** The first and the last stretch in which its plan has the say. */
  readonly first: Say;
  readonly last: Say;
}

function onceSays(key: string, says: readonly Say[]): OnceSay[] {
  const found: OnceSay[] = [];
  for (const say of says) {
    for (const row of say.rows) {
      if (!isDue(row) || row.rhythm.kind !== 'once') continue;
      const at = found.findIndex((one) => one.row === row);
      const known = found[at];
      if (known === undefined) found.push({ row, key, first: say, last: say });
      else found[at] = { ...known, last: say };
    }
  }
  return found;
}

/** What was done to a stay by any of several keys, in the order of time. */
export function doingsOf(stay: Stay, keys: readonly string[]): readonly Doing[] {
  const [only] = keys;
  if (keys.length === 1 && only !== undefined) return stay.done.get(only) ?? [];
  return keys.flatMap((key) => stay.done.get(key) ?? []).sort((a, b) => a.minute - b.minute);
}

/** One stay looked at line by line. */
class Look {
  private readonly log: PlanLog;
  private readonly stay: Stay;
  private readonly horizon: Minute;

  constructor(log: PlanLog, stay: Stay, horizon: Minute) {
    this.log = log;
    this.stay = stay;
    this.horizon = horizon;
  }

  private switches(row: PlanRow, since: Minute): Switch[] {
    const { stay } = this;
    return switches(this.log.stays, stay, row, Math.max(stay.from, since), this.horizon, since);
  }

  /** The line in force about a key: of those that hold the one with the most conditions, of equals the later. */
  forces<R extends PlanRow>(key: string, say: Say, rows: readonly R[]): Force<R>[] {
    const { from, to, plan, asked } = say;
    const counting = countingKeys(key, asked);
    const timed = rows.map((row) => ({ row, list: this.switches(row, say.since) }));
    const points = new Set<Minute>([from]);
    for (const { list } of timed) for (const { minute } of list) if (minute > from && minute < to) points.add(minute);
    const sorted = [...points].sort((a, b) => a - b);
    const cursors = timed.map(() => 0);
    const forces: Force<R>[] = [];
    for (const [i, minute] of sorted.entries()) {
      let best: R | undefined;
      for (const [j, { row, list }] of timed.entries()) {
        let at = cursors[j] ?? 0;
        while ((list[at + 1]?.minute ?? Number.POSITIVE_INFINITY) <= minute) at++;
        cursors[j] = at;
        if (list[at]?.holds !== true) continue;
        if (best === undefined || row.conditions.length >= best.conditions.length) best = row;
      }
      const last = forces[forces.length - 1];
      const end = sorted[i + 1] ?? to;
      if (last !== undefined && last.row === best && last.to === minute)
        forces[forces.length - 1] = { ...last, to: end };
      else forces.push({ from: minute, to: end, plan, row: best, counting });
    }
    return forces;
  }

  /** What waits to be done once, in the order in which it comes to be due; one doing answers one line. */
  onces(says: readonly OnceSay[], before: readonly Once[]): Once[] {
    const { stay } = this;
    const used = new Set<Doing>();
    const timed = says.map((say) => {
      // only where the plan covered the wine without a break does it go on from there
      const earlier =
        say.first.since < stay.from ? before.find(({ row, key }) => row === say.row && key === say.key) : undefined;
      const list = this.switches(say.row, say.first.since);
      const own = list.find(({ holds }) => holds)?.minute;
      const met = earlier?.met ?? own;
      const over = met === undefined ? undefined : list.find(({ minute, holds }) => minute >= met && !holds)?.minute;
      return { say, earlier, met, over, goesOn: earlier !== undefined };
    });
    timed.sort((a, b) => (a.met ?? Number.POSITIVE_INFINITY) - (b.met ?? Number.POSITIVE_INFINITY));
    const found: Once[] = [];
    for (const { say, earlier, met, over, goesOn } of timed) {
      const { key, row, first, last } = say;
      const doings = doingsOf(stay, countingKeys(key, last.asked));
      const earliest = met === undefined ? Number.POSITIVE_INFINITY : (dayOf(met) - EARLY_DAYS) * MINUTES_A_DAY;
      const gone = last.to < (stay.until ?? this.horizon) ? last.to : stay.until;
      const ended = over === undefined ? gone : gone === undefined ? over : Math.min(over, gone);
      const inTime = ({ minute }: Doing): boolean =>
        minute >= Math.max(earliest, first.from) && minute <= (ended ?? Number.POSITIVE_INFINITY);
      const doing = earlier?.doing ?? doings.find((one) => inTime(one) && !used.has(one));
      if (doing !== undefined) used.add(doing);
      found.push({
        plan: last.plan,
        row,
        key,
        met,
        ended,
        doing,
        last: doings[doings.length - 1] ?? earlier?.last,
        goesOn,
      });
    }
    return found;
  }
}
