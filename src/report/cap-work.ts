/** Work on the cap, counted from the entries: how often a vessel was punched down or pumped over, by day and in all. */
import type { Happening, LotRecord } from '../cellar/book.ts';
import type { CapWork, DayNumber, Minute, VesselId } from '../journal/events.ts';
import { type ReportContext, vesselNames, vesselOf } from './context.ts';
import { clock, dayOf, isoDay, shortDayText, weekday } from './dates.ts';
import type { Link } from './links.ts';
import { capital, counted, nameList } from './names.ts';

/** Work of one kind: how often, and for how many minutes in all where the entries say so. */
interface Done {
  readonly times: number;
  readonly minutes: number;
}

type CapVerb = 'punch-down' | 'pump-over' | 'rack-and-return';

const KINDS: readonly (readonly [verb: CapVerb, many: string, title: string])[] = [
  ['punch-down', 'punch-downs', 'Punch-downs'],
  ['pump-over', 'pump-overs', 'Pump-overs'],
  ['rack-and-return', 'rackings and returns', 'Rack and return'],
];

const NONE: Done = { times: 0, minutes: 0 };

function add(done: Done, { times, minutes }: CapWork): Done {
  return { times: done.times + times, minutes: done.minutes + times * (minutes ?? 0) };
}

const isCap = (happening: Happening): happening is Happening & { readonly event: CapWork } =>
  happening.event.kind === 'cap';

/** What was done to the cap of a vessel on a day: `2 punch-downs, 1 pump-over (20 min)`, or `none`. */
export function capWorkOn(happenings: readonly Happening[], vessel: VesselId, day: DayNumber): string {
  const sums = new Map<string, Done>();
  for (const happening of happenings) {
    if (!isCap(happening) || dayOf(happening.event.minute) !== day || !happening.vessels.includes(vessel)) continue;
    sums.set(happening.event.verb, add(sums.get(happening.event.verb) ?? NONE, happening.event));
  }
  return sumText(sums);
}

function sumText(sums: ReadonlyMap<string, Done>): string {
  const told = KINDS.flatMap(([verb, many]) => {
    const done = sums.get(verb);
    if (done === undefined || done.times === 0) return [];
    const one = verb === 'rack-and-return' ? 'racking and return' : verb;
    return [counted(done.times, one, many) + (done.minutes === 0 ? '' : ` (${done.minutes} min)`)];
  });
  return told.length === 0 ? 'none' : told.join(', ');
}

/** Whether there is a cap to work on: red must and what still lies on its skins, or wherever somebody did. */
export function capDoneIn({
  lot,
  happenings,
}: {
  readonly lot: LotRecord;
  readonly happenings: readonly Happening[];
}): boolean {
  if (happenings.some(isCap)) return true;
  return lot.colour === 'red' && lot.fruit.used > 0 && lot.fruit.pomace === 0;
}

/** The last time somebody worked on the cap of a vessel: `punch-down Fri 12:55`, with its line. */
export interface LastCapWork {
  readonly text: string;
  readonly minute: Minute;
  readonly line: Link;
}

export function lastCapWork(
  context: ReportContext,
  happenings: readonly Happening[],
  vessel: VesselId,
): LastCapWork | undefined {
  const last = happenings.findLast((happening) => isCap(happening) && happening.vessels.includes(vessel));
  if (last === undefined) return undefined;
  const { verb, minute, place } = last.event;
  const day = dayOf(minute);
  const near = day > context.book.on - 7 ? weekday(day) : shortDayText(day);
  return { text: `${verb} ${near} ${clock(minute)}`, minute, line: context.links.line(place) };
}

/** One kind of cap work of a lot: a row a day, a column a vessel; vessels that were treated alike share a column. */
export interface CapTable {
  readonly title: string;
  readonly columns: readonly string[];
  readonly rows: readonly {
    readonly day: string;
    readonly iso: string;
    readonly cells: readonly string[];
    readonly all: string;
    readonly line: Link;
  }[];
  readonly totals: readonly string[];
  readonly total: string;
}

export interface CapModel {
  /** `Punch-downs: 23 to 26 a vessel. Pump-overs: …` */
  readonly lead: string;
  readonly tables: readonly CapTable[];
}

/** More columns make no table that anybody reads: then the least and the most of any vessel are told. */
const MOST_COLUMNS = 16;

/** `undefined` where nobody ever worked on its cap. */
export function capWorkOf(
  context: ReportContext,
  lot: LotRecord,
  happenings: readonly Happening[],
): CapModel | undefined {
  const works = happenings.filter(isCap);
  const tables: CapTable[] = [];
  const told: string[] = [];
  for (const [verb, , title] of KINDS) {
    const of = works.filter(({ event }) => event.verb === verb);
    const byVessel = countsOf(context, lot, of);
    if (byVessel.size === 0) continue;
    tables.push(tableOf(context, title, byVessel, of));
    told.push(`${title}: ${spanOf([...byVessel.values()].map(totalOf))} a vessel`);
  }
  return tables.length === 0 ? undefined : { lead: `${told.join('. ')}.`, tables };
}

type Days = ReadonlyMap<DayNumber, Done>;

function countsOf(context: ReportContext, lot: LotRecord, works: readonly (Happening & { event: CapWork })[]) {
  const byVessel = new Map<VesselId, Map<DayNumber, Done>>();
  for (const { event, vessels } of works) {
    for (const vessel of vessels) {
      if (!held(context, vessel, lot.facts.id, event.minute)) continue;
      const days = byVessel.get(vessel) ?? new Map<DayNumber, Done>();
      days.set(dayOf(event.minute), add(days.get(dayOf(event.minute)) ?? NONE, event));
      byVessel.set(vessel, days);
    }
  }
  return byVessel;
}

/** One entry may tell of vessels of several lots: what counts is what lay in the vessel then. */
function held(context: ReportContext, vessel: VesselId, lot: number, minute: Minute): boolean {
  const fills = vesselOf(context, vessel)?.fills ?? [];
  return fills.some((fill) => fill.lot === lot && fill.from <= minute && (fill.until ?? minute) >= minute);
}

const totalOf = (days: Days): Done => sumOf([...days.values()]);

const sumOf = (parts: readonly Done[]): Done =>
  parts.reduce((sum, { times, minutes }) => ({ times: sum.times + times, minutes: sum.minutes + minutes }), NONE);

const cellText = ({ times, minutes }: Done): string =>
  times === 0 ? '' : minutes === 0 ? String(times) : `${times} (${minutes} min)`;

/** `23`, or `23 to 26 (20 to 60 min)`. */
function spanOf(totals: readonly Done[]): string {
  const span = (values: readonly number[]): string => {
    const [low, high] = [Math.min(...values), Math.max(...values)];
    return low === high ? String(low) : `${low} to ${high}`;
  };
  const minutes = totals.map((total) => total.minutes);
  return span(totals.map(({ times }) => times)) + (Math.max(...minutes) === 0 ? '' : ` (${span(minutes)} min)`);
}

function tableOf(
  context: ReportContext,
  title: string,
  byVessel: ReadonlyMap<VesselId, Days>,
  works: readonly (Happening & { event: CapWork })[],
): CapTable {
  const alike = new Map<string, { vessels: VesselId[]; days: Days }>();
  for (const [vessel, days] of byVessel) {
    const key = JSON.stringify([...days]);
    const known = alike.get(key);
    if (known === undefined) alike.set(key, { vessels: [vessel], days });
    else known.vessels.push(vessel);
  }
  const columns = [...alike.values()];
  const crowded = columns.length > MOST_COLUMNS;
  const dates = [...new Set([...byVessel.values()].flatMap((days) => [...days.keys()]))].sort((a, b) => a - b);
  const all = [...byVessel.values()];
  return {
    title,
    columns: crowded
      ? ['fewest', 'most']
      : columns.map(({ vessels }) => capital(nameList(vesselNames(context, vessels), 6))),
    rows: dates.map((day) => ({
      day: `${weekday(day)} ${shortDayText(day)}`,
      iso: isoDay(day),
      cells: crowded
        ? extremesOf(all.map((days) => days.get(day) ?? NONE))
        : columns.map(({ days }) => cellText(days.get(day) ?? NONE)),
      all: cellText(sumOf(all.map((days) => days.get(day) ?? NONE))),
      line: context.links.line(
        works.find(({ event }) => dayOf(event.minute) === day)?.event.place ?? { file: -1, line: 0 },
      ),
    })),
    totals: crowded ? extremesOf(all.map(totalOf)) : columns.map(({ days }) => cellText(totalOf(days))),
    total: cellText(sumOf(all.map(totalOf))),
  };
}

function extremesOf(parts: readonly Done[]): string[] {
  const sorted = [...parts].sort((a, b) => a.times - b.times || a.minutes - b.minutes);
  const tell = (done: Done | undefined): string => (done === undefined || done.times === 0 ? '0' : cellText(done));
  return [tell(sorted[0]), tell(sorted.at(-1))];
}
