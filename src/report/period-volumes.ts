/**
 * The volumes of a period by classes of wine: what each account held, what came and went, and what it holds, exactly and
 * as it is told. A line is told as the difference of two rounded running sums of what ever went that way, and what an
 * account holds is told as the sum of its lines: so no sum disagrees with its parts, in whatever way they are put together.
 */
import type { Bottles, DayNumber, Microlitres } from '../journal/events.ts';
import type { YearOfClass } from '../law/annual-losses.ts';
import { NO_SHARES, plusShares } from '../law/held-wine.ts';
import type { AccountKind, GallonFactor, LineKey, VolumeRules, WineClass } from '../law/volume-rules.ts';
import type { Account } from '../law/wine-postings.ts';
import { rounded, type ToldUnit, toldUnit } from '../trade/running-sums.ts';
import type { Period } from './periods.ts';
import type { Flow, FlowEntry, NotYetWine, ShareEntry, WineFlows } from './wine-flows.ts';

/** A volume exactly, and in whole last places of the units it is told in. */
export interface Amount {
  readonly exact: Microlitres;
  readonly litres: number;
  readonly gallons: number;
}

export interface ToldUnits {
  readonly litres: ToldUnit;
  readonly gallons: ToldUnit;
  readonly factor: GallonFactor;
}

export interface AccountEntry extends Omit<FlowEntry, 'before'> {
  readonly amount: Amount;
}

export interface AccountLine {
  readonly key: LineKey;
  readonly way: 'in' | 'out';
  readonly amount: Amount;
  /** In the order of time. */
  readonly entries: readonly AccountEntry[];
  /** The flows it is made of, by name: lines of two accounts may be the same. */
  readonly flows: readonly string[];
}

export interface AccountVolumes {
  readonly account: Account;
  readonly kind: AccountKind;
  readonly wineClass: WineClass | undefined;
  readonly start: Amount;
  readonly lines: readonly AccountLine[];
  /** What was there at the start and all that came; what went and what is there at the end come to the same. */
  readonly toAccountFor: Amount;
  /**
   * By how much the lines, each rounded by itself, miss the levels, which are rounded from the exact ones; with its sign, and
   * nothing in microlitres. The end is what was to be accounted for, less what went, and this.
   */
  readonly rounding: Amount;
  readonly end: Amount;
  /** What the shares of losses are of, and what was lost of it. Of wine in vessels, and of a calendar year, only. */
  readonly shares: YearOfClass;
}

export interface PeriodVolumes {
  readonly period: Period;
  readonly units: ToldUnits;
  /** Must, wine in vessels by class, wine in bottles by class: those with anything in them. */
  readonly accounts: readonly AccountVolumes[];
  readonly notYetWine: readonly NotYetWine[];
  /** On hand at the end, by size. */
  readonly bottles: readonly Bottles[];
}

/** The US gallon is 3.785411784 L: NIST Handbook 44, appendix C. */
export const EXACT_GALLONS: GallonFactor = { num: 1_000_000_000n, den: 3_785_411_784n, text: '1/3.785411784' };

/** Decimal places volumes are told to where nobody asks for others. */
export const TOLD_PLACES = 2;

/** The units volumes are told in: the rule's own gallons, or exact ones where it has none or they are asked for. */
export function toldUnits(rules: VolumeRules, exact = false, places = TOLD_PLACES): ToldUnits {
  const factor = exact ? EXACT_GALLONS : (rules.gallons ?? EXACT_GALLONS);
  const perLitre = 1_000_000n;
  return {
    litres: toldUnit(1n, perLitre, places),
    gallons: toldUnit(factor.num, factor.den * perLitre, places),
    factor,
  };
}

const NOTHING: Amount = { exact: 0, litres: 0, gallons: 0 };
export const plus = (a: Amount, b: Amount): Amount => ({
  exact: a.exact + b.exact,
  litres: a.litres + b.litres,
  gallons: a.gallons + b.gallons,
});
const minus = (a: Amount, b: Amount): Amount => ({
  exact: a.exact - b.exact,
  litres: a.litres - b.litres,
  gallons: a.gallons - b.gallons,
});
export const sumOf = (amounts: readonly Amount[]): Amount => amounts.reduce(plus, NOTHING);

/** A volume by itself, as part of no sum. */
export const toldOf = (exact: Microlitres, { litres, gallons }: ToldUnits): Amount => ({
  exact,
  litres: rounded(exact, litres),
  gallons: rounded(exact, gallons),
});

/** A flow with every entry as it is told, and the running sum before each and after the last. */
interface ToldFlow extends Omit<Flow, 'entries'> {
  readonly name: string;
  readonly entries: readonly AccountEntry[];
  readonly sums: readonly Amount[];
}

/** All flows as they are told in some units: any number of periods may be cut from them. */
export interface ToldFlows extends Omit<WineFlows, 'flows'> {
  readonly units: ToldUnits;
  readonly flows: readonly ToldFlow[];
}

export function toldFlows({ flows, ...rest }: WineFlows, units: ToldUnits): ToldFlows {
  return {
    ...rest,
    units,
    flows: flows.map(({ from, to, key, entries }) => {
      const sums: Amount[] = [NOTHING];
      const told = entries.map(({ happening, posting, day, before }): AccountEntry => {
        const sum = toldOf(before + posting.volume, units);
        const amount = minus(sum, sums.at(-1) ?? NOTHING);
        sums.push(sum);
        return { happening, posting, day, amount };
      });
      return { from, to, key, name: `${from ?? ''}-${to ?? ''}-${key}`, entries: told, sums };
    }),
  };
}

/** The first entry of a day or later. */
function firstFrom(entries: readonly { readonly day: DayNumber }[], day: DayNumber): number {
  let low = 0;
  let high = entries.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((entries[middle]?.day ?? 0) < day) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The volumes of a period alone; for many of them see `periodOf`. */
export const periodVolumes = (flows: WineFlows, period: Period, units: ToldUnits): PeriodVolumes =>
  periodOf(toldFlows(flows, units), period);

export function periodOf(flows: ToldFlows, period: Period): PeriodVolumes {
  const open = new Map<Account, Opened>();
  const account = (name: Account): Opened => {
    let one = open.get(name);
    if (one === undefined) {
      one = { start: NOTHING, lines: new Map() };
      open.set(name, one);
    }
    return one;
  };
  for (const flow of flows.flows) {
    const from = firstFrom(flow.entries, period.from);
    const until = firstFrom(flow.entries, period.to + 1);
    const before = flow.sums[from] ?? NOTHING;
    if (flow.to !== undefined) account(flow.to).start = plus(account(flow.to).start, before);
    if (flow.from !== undefined) account(flow.from).start = minus(account(flow.from).start, before);
    if (until === from) continue;
    const amount = minus(flow.sums[until] ?? NOTHING, before);
    const entries = flow.entries.slice(from, until);
    if (flow.to !== undefined) addTo(account(flow.to), 'in', flow, amount, entries);
    if (flow.from !== undefined) addTo(account(flow.from), 'out', flow, amount, entries);
  }
  const shares = flows.shares.slice(firstFrom(flows.shares, period.from), firstFrom(flows.shares, period.to + 1));
  const accounts = [...open].flatMap(([name, one]) => closed(flows, name, one, shares));
  return {
    period,
    units: flows.units,
    accounts: inOrder(flows.rules, accounts),
    notYetWine: asOf(flows.notYetWine, period.to),
    bottles: asOf(flows.bottles, period.to),
  };
}

/** What there is at the end of a day; of a day nobody asked for, as at the last that is known before it. */
function asOf<One>(known: ReadonlyMap<DayNumber, readonly One[]>, day: DayNumber): readonly One[] {
  const exactly = known.get(day);
  if (exactly !== undefined) return exactly;
  let found: readonly One[] = [];
  for (const [at, list] of known) if (at <= day) found = list;
  return found;
}

interface Opened {
  start: Amount;
  readonly lines: Map<string, OpenLine>;
}

interface OpenLine {
  readonly way: 'in' | 'out';
  readonly key: LineKey;
  amount: Amount;
  entries: readonly AccountEntry[];
  readonly flows: string[];
}

function addTo(
  { lines }: Opened,
  way: 'in' | 'out',
  { key, name }: ToldFlow,
  amount: Amount,
  entries: readonly AccountEntry[],
): void {
  const line = lines.get(`${way} ${key}`);
  if (line === undefined) lines.set(`${way} ${key}`, { way, key, amount, entries, flows: [name] });
  else {
    line.amount = plus(line.amount, amount);
    line.entries = [...line.entries, ...entries];
    line.flows.push(name);
  }
}

function closed(
  { rules, units }: ToldFlows,
  account: Account,
  { start: before, lines }: Opened,
  shares: readonly ShareEntry[],
): AccountVolumes[] {
  const made = [...lines.values()].map(({ way, key, amount, entries, flows }): AccountLine => {
    const inTime = flows.length === 1 ? entries : entries.toSorted((a, b) => a.happening.index - b.happening.index);
    return { key, way, amount, entries: inTime, flows };
  });
  if (made.length === 0 && before.exact === 0) return [];
  const came = sumOf(made.filter(({ way }) => way === 'in').map(({ amount }) => amount));
  const went = sumOf(made.filter(({ way }) => way === 'out').map(({ amount }) => amount));
  const start = toldOf(before.exact, units);
  const toAccountFor = plus(start, came);
  const end = toldOf(toAccountFor.exact - went.exact, units);
  const ordered = made.toSorted((a, b) => place(a) - place(b));
  const [kind = '', id = ''] = account.split(' ');
  return [
    {
      account,
      kind: kind === 'must' || kind === 'bulk' ? kind : 'bottled',
      wineClass: classesOf(rules).find((one) => one.id === id),
      start,
      lines: ordered,
      toAccountFor,
      rounding: minus(end, minus(toAccountFor, went)),
      end,
      shares: shares
        .filter((one) => one.account === account)
        .reduce<YearOfClass>(plusShares, { ...NO_SHARES, stored: before.exact }),
    },
  ];
}

export const classesOf = ({ classes, sparkling, carbonated }: VolumeRules): readonly WineClass[] => [
  ...classes,
  sparkling,
  carbonated,
];

/** Lines in the order they are told in. */
const CAME: readonly LineKey[] = [
  'found',
  'made',
  'produced',
  'bottled',
  'bought',
  'refermented',
  'juice',
  'blended',
  'effervescent',
  'liquid',
  'gain',
  'settled',
  'corrected',
];
const WENT: readonly LineKey[] = [
  'produced',
  'juice',
  'bottled',
  'for sale',
  'for bond',
  'for export',
  'for tasting',
  'for samples',
  'sample',
  'for distilling',
  'for vinegar',
  'for destroyed',
  'blended',
  'effervescent',
  'refermented',
  'lees',
  'pomace',
  'evaporation',
  'spill',
  'leak',
  'handling',
  'cleaning',
  'breakage',
  'spoilage',
  'theft',
  'other',
  'short',
  'settled',
  'corrected',
];
const place = ({ way, key }: AccountLine): number =>
  way === 'in' ? CAME.indexOf(key) : CAME.length + WENT.indexOf(key);

function inOrder(rules: VolumeRules, accounts: readonly AccountVolumes[]): AccountVolumes[] {
  const order = [
    'must',
    ...(['bulk', 'bottled'] as const).flatMap((kind) => classesOf(rules).map(({ id }) => `${kind} ${id}`)),
  ];
  return accounts.toSorted((a, b) => order.indexOf(a.account) - order.indexOf(b.account));
}
