/** What lots, vessels and the cellar as a whole come to on a day, as plain figures by name, and where two books differ in them. */
import type { Book, LotAccount, LotRecord, LotStage, VesselRecord } from '../../cellar/book.ts';
import { ADDED_LIQUID } from '../../cellar/content.ts';
import type { Bottles, DayNumber, Micrograms, Microlitres, OriginId } from '../../journal/events.ts';
import { type MonthVolumes, monthVolumes } from '../month-volumes.ts';
import { type Twin, twinLots, twinVessels } from './same-things.ts';

/** A source of wine and how much of it there is. */
export interface Part {
  readonly block: string | undefined;
  readonly variety: string;
  readonly vintage: number | undefined;
  readonly region: string | undefined;
  readonly grower: string | undefined;
  readonly estate: boolean;
  readonly run: 'free' | 'press' | undefined;
  readonly volume: Microlitres;
}

/** A material that went into a lot, and what came in with wine from others; in the unit of the book. */
export interface AddedState {
  readonly material: string;
  readonly unit: 'µg' | 'µL' | 'pieces';
  readonly amount: number;
}

export interface LotState {
  readonly stage: LotStage;
  readonly volume: Microlitres;
  readonly estimated: boolean;
  readonly vessels: readonly string[];
  readonly bottles: readonly Bottles[];
  readonly fruitReceived: Micrograms;
  readonly fruitWaiting: Micrograms;
  readonly composition: readonly Part[];
  readonly additions: readonly AddedState[];
  readonly account: LotAccount;
}

export interface VesselState {
  readonly lot: string | undefined;
  readonly volume: Microlitres;
  readonly estimated: boolean;
  readonly doubtful: boolean;
  readonly retired: boolean;
  readonly capacity: Microlitres;
  readonly composition: readonly Part[];
}

/** Sums over the whole cellar. What goes from lot to lot is in none of them. */
export interface Totals {
  readonly inVessels: Microlitres;
  readonly inBottles: Microlitres;
  readonly fruitWaiting: Micrograms;
  readonly made: Microlitres;
  readonly bought: Microlitres;
  readonly found: Microlitres;
  readonly liquids: Microlitres;
  readonly dipGains: Microlitres;
  readonly settled: Microlitres;
  readonly bottled: Microlitres;
  readonly dispatched: Microlitres;
  readonly samples: Microlitres;
  readonly lees: Microlitres;
  readonly pomace: Microlitres;
  readonly losses: Microlitres;
  readonly evaporation: Microlitres;
  readonly dipLosses: Microlitres;
}

export type LotMatter = 'volume' | 'stage' | 'composition' | 'where' | 'bottles' | 'fruit' | 'additions' | 'account';
export type VesselMatter = 'volume' | 'lot' | 'composition' | 'doubt' | 'retired' | 'capacity';

/** Something in two books on one day; what differs is named. */
export interface StateDifference<S, M> {
  readonly name: string;
  readonly before: S | undefined;
  readonly after: S | undefined;
  readonly differs: readonly M[];
}

export interface MonthDifference {
  readonly month: string;
  readonly before: MonthVolumes | undefined;
  readonly after: MonthVolumes | undefined;
}

/** What two books have of one day, where they differ. */
export interface StateComparison {
  readonly on: DayNumber;
  readonly lots: readonly StateDifference<LotState, LotMatter>[];
  readonly vessels: readonly StateDifference<VesselState, VesselMatter>[];
  readonly totals: { readonly before: Totals; readonly after: Totals; readonly differs: readonly (keyof Totals)[] };
  readonly months: readonly MonthDifference[];
}

function partsOf(book: Book, list: readonly { readonly origin: OriginId; readonly volume: Microlitres }[]): Part[] {
  return list.flatMap(({ origin, volume }) => {
    const facts = book.origins[origin];
    if (facts === undefined || volume === 0) return [];
    const { block, variety, vintage, region, grower, estate, run } = facts;
    return [{ block, variety, vintage, region, grower, estate, run, volume }];
  });
}

/** A source without its volume, as a text. */
export const sourceKey = ({ volume: _, ...source }: Part): string => JSON.stringify(Object.values(source));

const bySource = (a: Part, b: Part): number => b.volume - a.volume || (sourceKey(a) < sourceKey(b) ? -1 : 1);

export function lotState(book: Book, lot: LotRecord): LotState {
  return {
    stage: lot.stage,
    volume: lot.onHand,
    estimated: lot.estimated,
    vessels: lot.vessels.map((id) => book.vessels[id]?.facts.name ?? ''),
    bottles: lot.bottles,
    fruitReceived: lot.fruit.received,
    fruitWaiting: lot.fruit.waiting,
    composition: partsOf(book, lot.composition).sort(bySource),
    additions: lot.additions
      .map(({ material, unit, direct, carriedIn }) => ({
        material: book.materials[material]?.name ?? '',
        unit,
        amount: direct + carriedIn,
      }))
      .sort((a, b) => (a.material < b.material ? -1 : a.material > b.material ? 1 : 0)),
    account: lot.account,
  };
}

function vesselState(book: Book, { facts, lot, content, estimated, doubtful, retired }: VesselRecord): VesselState {
  const list = content.origins.map((origin, i) => ({ origin, volume: content.volumes[i] ?? 0 }));
  return {
    lot: lot === undefined ? undefined : book.lots[lot]?.facts.name,
    volume: content.volume,
    estimated,
    doubtful,
    retired,
    capacity: facts.capacity,
    composition: partsOf(
      book,
      list.filter(({ origin }) => origin !== ADDED_LIQUID),
    ).sort(bySource),
  };
}

const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);

/** What differs, of matters and what each is told by; all that is there at all where one side is missing. */
function differing<S, M extends string>(
  before: S | undefined,
  after: S | undefined,
  matters: Readonly<Record<M, (state: S) => unknown>>,
): M[] {
  const names = Object.keys(matters) as M[];
  const saying = (state: S | undefined, matter: M): unknown => (state === undefined ? null : matters[matter](state));
  return names.filter((matter) => !same(saying(before, matter), saying(after, matter)));
}

/** Where there is nothing there is no difference to a lot that is not there. */
const orNull = <T>(list: readonly T[]): readonly T[] | null => (list.length === 0 ? null : list);

const LOT_MATTERS: Readonly<Record<LotMatter, (lot: LotState) => unknown>> = {
  volume: ({ volume, estimated }) => (volume === 0 ? null : [volume, estimated]),
  stage: ({ stage }) => stage,
  composition: ({ composition }) => orNull(composition),
  where: ({ vessels }) => orNull(vessels),
  bottles: ({ bottles }) => orNull(bottles.filter(({ count }) => count > 0)),
  fruit: ({ fruitReceived, fruitWaiting }) => (fruitReceived === 0 ? null : [fruitReceived, fruitWaiting]),
  additions: ({ additions }) => orNull(additions),
  account: ({ account }) => orNull(Object.entries(account).filter(([, volume]) => volume !== 0)),
};

/** A vessel that is there for the first time, and empty, differs in its capacity alone. */
const VESSEL_MATTERS: Readonly<Record<VesselMatter, (vessel: VesselState) => unknown>> = {
  volume: ({ volume, estimated }) => (volume === 0 ? null : [volume, estimated]),
  lot: ({ lot }) => lot ?? null,
  composition: ({ composition }) => orNull(composition),
  doubt: ({ doubtful }) => doubtful || null,
  retired: ({ retired }) => retired || null,
  capacity: ({ capacity }) => capacity,
};

function totalsOf(book: Book): Totals {
  const sum = (of: (lot: LotRecord) => number): number => book.lots.reduce((all, lot) => all + of(lot), 0);
  const inVessels = book.vessels.reduce((all, { content }) => all + content.volume, 0);
  const account = (key: keyof LotAccount): number => sum((lot) => lot.account[key]);
  return {
    inVessels,
    inBottles: sum((lot) => lot.bottles.reduce((all, { count, size }) => all + count * size, 0)),
    fruitWaiting: sum((lot) => lot.fruit.waiting),
    made: account('made'),
    bought: account('bought'),
    found: account('found'),
    liquids: account('liquids'),
    dipGains: account('dipGains'),
    settled: account('settled'),
    bottled: account('bottled'),
    dispatched: account('dispatched'),
    samples: account('samples'),
    lees: account('lees'),
    pomace: account('pomace'),
    losses: account('losses'),
    evaporation: account('evaporation'),
    dipLosses: account('dipLosses'),
  };
}

function stateDifferences<R, S, M extends string>(
  pairs: readonly Twin<R>[],
  stateOf: (side: 'before' | 'after', record: R) => S,
  matters: Readonly<Record<M, (state: S) => unknown>>,
): StateDifference<S, M>[] {
  return pairs.flatMap((twin) => {
    const before = twin.before === undefined ? undefined : stateOf('before', twin.before);
    const after = twin.after === undefined ? undefined : stateOf('after', twin.after);
    const differs = differing(before, after, matters);
    return differs.length === 0 ? [] : [{ name: twin.name, before, after, differs }];
  });
}

/** Amounts of a month's side by kind, in the order of their words. */
const sorted = (sums: Readonly<Record<string, number>>): [string, number][] =>
  Object.entries(sums)
    .filter(([, volume]) => volume !== 0)
    .sort(([a], [b]) => (a < b ? -1 : 1));

const monthSaying = (month: MonthVolumes | undefined): unknown =>
  [month?.bulk, month?.bottled].map((side) =>
    side === undefined ? [0, 0, [], []] : [side.start, side.end, sorted(side.in), sorted(side.out)],
  );

function monthDifferences(before: Book, after: Book): MonthDifference[] {
  const [ones, others] = [before, after].map(
    (book) => new Map(monthVolumes(book).map((month) => [month.month, month])),
  );
  const months = [...new Set([...(ones?.keys() ?? []), ...(others?.keys() ?? [])])].sort();
  return months.flatMap((month) => {
    const [one, other] = [ones?.get(month), others?.get(month)];
    return same(monthSaying(one), monthSaying(other)) ? [] : [{ month, before: one, after: other }];
  });
}

/** Two books held side by side: both are to tell of the same day. */
export function compareStates(before: Book, after: Book, on: DayNumber): StateComparison {
  const side = { before, after };
  const lots = twinLots(before, after);
  const nameAfter = new Map(
    lots.flatMap((twin) => (twin.before === undefined ? [] : [[twin.before.facts.name, twin.name]])),
  );
  const vessels = twinVessels(before, after);
  const vesselName = new Map(
    vessels.flatMap((twin) => (twin.before === undefined ? [] : [[twin.before.facts.name, twin.name]])),
  );
  const totals = { before: totalsOf(before), after: totalsOf(after) };
  return {
    on,
    lots: stateDifferences(
      lots,
      (which, lot) => {
        const state = lotState(side[which], lot);
        // a name that was given later is no difference
        return which === 'after'
          ? state
          : { ...state, vessels: state.vessels.map((name) => vesselName.get(name) ?? name) };
      },
      LOT_MATTERS,
    ),
    vessels: stateDifferences(
      vessels,
      (which, vessel) => {
        const state = vesselState(side[which], vessel);
        return which === 'after' || state.lot === undefined
          ? state
          : { ...state, lot: nameAfter.get(state.lot) ?? state.lot };
      },
      VESSEL_MATTERS,
    ),
    totals: {
      ...totals,
      differs: (Object.keys(totals.after) as (keyof Totals)[]).filter(
        (key) => totals.before[key] !== totals.after[key],
      ),
    },
    months: monthDifferences(before, after),
  };
}
