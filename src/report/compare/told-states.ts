/** What changes came to, as tables: lots, vessels, the whole cellar and its months, before and after. */
import type { LotAccount } from '../../cellar/book.ts';
import type { Microlitres } from '../../journal/events.ts';
import type { Settings } from '../../journal/register.ts';
import { dayText, fullDayText, isoDay, monthName } from '../dates.ts';
import { bottlesText, exactVolumeText, massText, shareText } from '../figures.ts';
import { storeText } from '../materials.ts';
import type { Section } from '../month-volumes.ts';
import { CAME, WENT } from '../months.ts';
import { nameList } from '../names.ts';
import { cell, type Sheet, type SheetRow } from '../sheet.ts';
import { stageWord } from '../stages.ts';
import type { Held } from './by-day.ts';
import {
  type LotState,
  type Part,
  type StateComparison,
  sourceKey,
  type Totals,
  type VesselState,
} from './cellar-state.ts';
import type { Touched } from './comparison.ts';

/** Something told of a thing, before and after; a side that has none is empty. */
type Row = readonly [what: string, before: string, after: string];

const ACCOUNT: Readonly<Record<keyof LotAccount, string>> = {
  made: 'made from fruit',
  bought: 'bought in',
  found: 'found on the first day',
  blendedIn: 'came in from other lots',
  liquids: 'water and solutions added',
  dipGains: 'gained at dips',
  settled: 'must settled',
  blendedOut: 'went to other lots',
  setApart: 'set apart',
  bottled: 'bottled',
  dispatched: 'dispatched',
  samples: 'samples',
  lees: 'lees',
  pomace: 'left with the pomace',
  losses: 'lost',
  evaporation: 'evaporated',
  dipLosses: 'lost at dips',
};

const TOTALS: Readonly<Record<keyof Totals, string>> = {
  inVessels: 'in vessels',
  inBottles: 'in bottle',
  fruitWaiting: 'fruit waiting',
  made: ACCOUNT.made,
  bought: ACCOUNT.bought,
  found: ACCOUNT.found,
  liquids: ACCOUNT.liquids,
  dipGains: 'gained at dips and counts',
  settled: ACCOUNT.settled,
  bottled: ACCOUNT.bottled,
  dispatched: ACCOUNT.dispatched,
  samples: ACCOUNT.samples,
  lees: ACCOUNT.lees,
  pomace: ACCOUNT.pomace,
  losses: ACCOUNT.losses,
  evaporation: ACCOUNT.evaporation,
  dipLosses: 'lost at dips and counts',
};

/** A source in words: `Syrah, ledge-2, 2026, free run`. */
function sourceText({ variety, block, vintage, region, grower, estate, run }: Part): string {
  const words = [
    variety,
    block,
    vintage === undefined ? undefined : String(vintage),
    region,
    estate ? 'estate' : grower,
    run === undefined ? undefined : `${run} run`,
  ];
  return words.filter((word) => word !== undefined && word !== '').join(', ');
}

/** Sources whose share differs; shares are compared as they are shown. */
function compositionRows(before: readonly Part[], after: readonly Part[]): Row[] {
  const whole = (parts: readonly Part[]): number => parts.reduce((sum, { volume }) => sum + volume, 0);
  const [all, allNow] = [whole(before), whole(after)];
  const known = new Map(before.map((part) => [sourceKey(part), part]));
  const now = new Map(after.map((part) => [sourceKey(part), part]));
  const share = (part: Part | undefined, of: number): string => (part === undefined ? '' : shareText(part.volume, of));
  return [...new Set([...now.keys(), ...known.keys()])].flatMap((key): Row[] => {
    const [one, other] = [known.get(key), now.get(key)];
    const [was, is] = [share(one, all), share(other, allNow)];
    const part = other ?? one;
    return part === undefined || was === is ? [] : [[`of ${sourceText(part)}`, was, is]];
  });
}

const sideOf = <S>(state: S | undefined, text: (state: S) => string): string =>
  state === undefined ? '' : text(state);

function volumeText(volume: Microlitres, estimated: boolean, settings: Settings): string {
  return `${estimated ? '~' : ''}${exactVolumeText(volume, settings)}`;
}

function lotRows(before: LotState | undefined, after: LotState | undefined, settings: Settings): Row[] {
  const row = (what: string, text: (lot: LotState) => string): Row => [what, sideOf(before, text), sideOf(after, text)];
  const materials = new Map(
    [...(before?.additions ?? []), ...(after?.additions ?? [])].map((one) => [`${one.material} ${one.unit}`, one]),
  );
  const added = (lot: LotState, material: string, unit: string): string => {
    const found = lot.additions.find((one) => one.material === material && one.unit === unit);
    return found === undefined ? 'none' : storeText(found);
  };
  const accounts = (Object.keys(ACCOUNT) as (keyof LotAccount)[]).map((key) =>
    row(ACCOUNT[key], (lot) => exactVolumeText(lot.account[key], settings)),
  );
  const nothing = exactVolumeText(0, settings);
  const rows: Row[] = [
    row('volume', (lot) => volumeText(lot.volume, lot.estimated, settings)),
    row('stage', (lot) => stageWord(lot.stage)),
    row('where', (lot) => (lot.vessels.length === 0 ? 'in no vessel' : nameList(lot.vessels))),
    row('bottles', (lot) => bottlesText(lot.bottles)),
    row('fruit received', (lot) => massText(lot.fruitReceived, settings)),
    row('fruit waiting', (lot) => massText(lot.fruitWaiting, settings)),
    ...compositionRows(before?.composition ?? [], after?.composition ?? []),
    ...[...materials.values()].map(({ material, unit }) =>
      row(`${material} added`, (lot) => added(lot, material, unit)),
    ),
    // what a lot never had is not told of one that is new or gone
    ...accounts.filter(([, was, is]) => (was || nothing) !== (is || nothing)),
  ];
  return rows.filter(([, was, is]) => was !== is && ![was, is].every((text) => isNothing(text, settings)));
}

/** What a side may be without anything being there. */
const isNothing = (text: string, settings: Settings): boolean =>
  ['', 'none', 'in no vessel', exactVolumeText(0, settings), massText(0, settings)].includes(text);

const filled = (vessel: VesselState | undefined): vessel is VesselState => vessel !== undefined && vessel.volume > 0;

function vesselRows(before: VesselState | undefined, after: VesselState | undefined, settings: Settings): Row[] {
  const row = (what: string, text: (vessel: VesselState) => string): Row => [
    what,
    sideOf(before, text),
    sideOf(after, text),
  ];
  return [
    row('volume', (vessel) => volumeText(vessel.volume, vessel.estimated, settings)),
    row('lot', (vessel) => vessel.lot ?? 'none'),
    // what an empty vessel is filled with is told of with the lot
    ...(filled(before) && filled(after) ? compositionRows(before.composition, after.composition) : []),
    row('doubtful', (vessel) => (vessel.doubtful ? 'yes' : 'no')),
    row('retired', (vessel) => (vessel.retired ? 'yes' : 'no')),
    row('capacity', (vessel) => exactVolumeText(vessel.capacity, settings)),
  ].filter(([, was, is]) => was !== is && ![was, is].every((text) => text === 'no' || isNothing(text, settings)));
}

const BEFORE_AFTER = [
  { name: 'Before', kind: 'number' },
  { name: 'After', kind: 'number' },
] as const;

function sheetOf(label: string, caption: string, first: string, rows: readonly SheetRow[]): Sheet | undefined {
  if (rows.length === 0) return undefined;
  return { label, caption, columns: [{ name: first }, { name: 'What' }, ...BEFORE_AFTER], rows, sort: false };
}

/** The rows of one thing; its name stands in the first alone. */
function rowsOf(name: string, rows: readonly Row[], href: string | undefined): SheetRow[] {
  return rows.map(([what, was, is], i) => ({
    cells: [i === 0 ? cell(name, href) : cell(''), cell(what), cell(was), cell(is)],
  }));
}

export interface ToldState {
  readonly title: string;
  readonly iso: string;
  /** Nothing differs on that day. */
  readonly same: boolean;
  readonly sheets: readonly Sheet[];
}

/** A difference with its sign. */
function differenceText(change: number, text: (amount: number) => string): string {
  return `${change < 0 ? '−' : '+'}${text(Math.abs(change))}`;
}

function totalsSheet({ totals }: StateComparison, settings: Settings): Sheet | undefined {
  const rows = totals.differs.map((key): SheetRow => {
    const text = (amount: number): string =>
      key === 'fruitWaiting' ? massText(amount, settings) : exactVolumeText(amount, settings);
    const [was, is] = [totals.before[key], totals.after[key]];
    return { cells: [cell(TOTALS[key]), cell(text(was)), cell(text(is)), cell(differenceText(is - was, text))] };
  });
  if (rows.length === 0) return undefined;
  return {
    label: 'The whole cellar',
    caption: 'The whole cellar: what goes from lot to lot is in none of these',
    columns: [{ name: 'What' }, ...BEFORE_AFTER, { name: 'Difference', kind: 'number' }],
    rows,
    sort: false,
  };
}

function sectionRows(
  place: string,
  before: Section | undefined,
  after: Section | undefined,
  settings: Settings,
): Row[] {
  const row = (what: string, of: (section: Section) => number): Row => {
    const text = (section: Section | undefined): string =>
      exactVolumeText(section === undefined ? 0 : of(section), settings);
    return [`${place}: ${what}`, text(before), text(after)];
  };
  const kinds = (way: 'in' | 'out', names: readonly (readonly [string, string])[]): Row[] => {
    const keys = new Set([...Object.keys(before?.[way] ?? {}), ...Object.keys(after?.[way] ?? {})]);
    const words = new Map(names);
    return [...keys].sort().map((key) => row(words.get(key) ?? `${key}, ${way}`, (section) => section[way][key] ?? 0));
  };
  return [
    row('at the start', ({ start }) => start),
    ...kinds('in', CAME),
    ...kinds('out', WENT),
    row('at the end', ({ end }) => end),
  ].filter(([, was, is]) => was !== is);
}

/** One day, as both ends tell it. `href` gives the place of a lot or a vessel on the page. */
export function toldState(
  state: StateComparison,
  settings: Settings,
  href: (name: string) => string | undefined,
): ToldState {
  const sheets = [
    sheetOf(
      'Lots',
      'Lots that differ',
      'Lot',
      state.lots.flatMap(({ name, before, after }) => rowsOf(name, lotRows(before, after, settings), href(name))),
    ),
    sheetOf(
      'Vessels',
      'Vessels that differ',
      'Vessel',
      state.vessels.flatMap(({ name, before, after }) => rowsOf(name, vesselRows(before, after, settings), href(name))),
    ),
    totalsSheet(state, settings),
    sheetOf(
      'Months',
      'Months whose volumes differ',
      'Month',
      state.months.flatMap(({ month, before, after }) =>
        rowsOf(
          monthName(month),
          [
            ...sectionRows('in vessels', before?.bulk, after?.bulk, settings),
            ...sectionRows('in bottle', before?.bottled, after?.bottled, settings),
          ],
          undefined,
        ),
      ),
    ),
  ].flatMap((sheet) => sheet ?? []);
  return { title: `As of ${fullDayText(state.on)}`, iso: isoDay(state.on), same: sheets.length === 0, sheets };
}

/** A lot or a vessel with the changes that touch it and the days on which it differs. */
export interface ToldThing {
  readonly id: string;
  readonly name: string;
  /** How many changes touch it, and the anchors of those that are shown. */
  readonly count: number;
  readonly changes: readonly string[];
  /** `its volume differs from 3 Oct 2026 on`, or nothing where it does not. */
  readonly first: string;
  readonly days: Sheet | undefined;
}

function heldText(held: Held, settings: Settings): string {
  const words = [held.lot, held.stage === undefined ? undefined : stageWord(held.stage)];
  const beside = words.filter((word) => word !== undefined).join(', ');
  const volume = exactVolumeText(held.volume, settings);
  return beside === '' ? volume : `${volume}, ${beside}`;
}

export function toldThing(thing: Touched, id: string, settings: Settings, shown: ReadonlySet<string>): ToldThing {
  const rows = thing.days.map(
    ({ day, before, after }): SheetRow => ({
      cells: [
        { figures: [{ text: dayText(day) }], iso: isoDay(day) },
        cell(heldText(before, settings)),
        cell(heldText(after, settings)),
      ],
    }),
  );
  return {
    id,
    name: thing.name,
    count: thing.changes.length,
    changes: thing.changes.map((at) => `c${at + 1}`).filter((anchor) => shown.has(anchor)),
    first: thing.firstDay === undefined ? '' : `its volume differs from ${dayText(thing.firstDay)} on`,
    days:
      rows.length === 0
        ? undefined
        : {
            label: `Days of ${thing.name}`,
            caption: 'At the end of each day on which either changed and both differ',
            columns: [{ name: 'Day', kind: 'nowrap' }, ...BEFORE_AFTER],
            rows,
            sort: false,
          },
  };
}
