/** What was lost of the wine in a year: against what the law lets a cellar lose, by kind, vessel and work, and what is missing of bottles. */
import type { Microlitres, VesselId } from '../journal/events.ts';
import { countsAsLoss, type Used, usedOf } from '../law/annual-losses.ts';
import type { LineKey, LossRules, VolumeRules, WineClass } from '../law/volume-rules.ts';
import type { AccountEntry, AccountVolumes, Amount, PeriodVolumes } from './period-volumes.ts';
import { sumOf, type ToldUnits, toldOf } from './period-volumes.ts';

export interface ClassLosses {
  readonly wineClass: WineClass | undefined;
  /** By the lines of the class. */
  readonly lost: Amount;
  /** What was lost before wine was found to be of the class is counted in it here. */
  readonly used: readonly Used[];
  /** By kind, the most first. */
  readonly kinds: readonly { readonly key: LineKey; readonly amount: Amount }[];
}

export interface LossesOf<Of> {
  readonly of: Of;
  readonly amount: Amount;
  /** The entry that lost most of it. */
  readonly most: AccountEntry;
}

export interface YearLosses {
  readonly classes: readonly ClassLosses[];
  readonly vessels: readonly LossesOf<VesselId>[];
  /** By the verb of the entry. */
  readonly works: readonly LossesOf<string>[];
  /** Bottles that counts did not find, and nobody says why. */
  readonly missing: readonly AccountEntry[];
  /** Bottles lost in a way that is told. */
  readonly told: readonly { readonly key: LineKey; readonly amount: Amount }[];
}

/** Kinds of loss where no law says which count. */
const ANY: LossRules = {
  counted: ['lees', 'spill', 'leak', 'evaporation', 'cleaning', 'handling', 'breakage', 'other', 'short'],
  allowances: [],
  shortage: undefined,
};

const TOLD_OF_BOTTLES: readonly LineKey[] = ['breakage', 'spoilage', 'theft', 'leak', 'spill', 'cleaning', 'other'];

export const lossRules = ({ losses }: VolumeRules): LossRules => losses ?? ANY;

export function yearLosses(rules: VolumeRules, { accounts, units }: PeriodVolumes): YearLosses {
  const counted = lossRules(rules);
  const bulk = accounts.filter(({ kind }) => kind === 'bulk');
  const bottled = accounts.filter(({ kind }) => kind === 'bottled').flatMap(({ lines }) => lines);
  const entries = bulk.flatMap((account) => lossLines(counted, account).flatMap((line) => line.entries));
  return {
    classes: bulk.map((account) => classLosses(counted, account)),
    vessels: most(entries, units, ({ posting }) => posting.vessel),
    works: most(entries, units, ({ happening }) => happening.event.verb),
    missing: bottled.filter(({ way, key }) => way === 'out' && key === 'short').flatMap((line) => line.entries),
    told: bottled
      .filter(({ way, key }) => way === 'out' && TOLD_OF_BOTTLES.includes(key))
      .map(({ key, amount }) => ({ key, amount })),
  };
}

const lossLines = (rules: LossRules, { lines }: AccountVolumes) =>
  lines.filter(({ way, key }) => way === 'out' && countsAsLoss(rules, key));

function classLosses(rules: LossRules, account: AccountVolumes): ClassLosses {
  const lines = lossLines(rules, account);
  return {
    wineClass: account.wineClass,
    lost: sumOf(lines.map(({ amount }) => amount)),
    used: usedOf(rules, account.shares),
    kinds: lines.map(({ key, amount }) => ({ key, amount })).sort((a, b) => b.amount.exact - a.amount.exact),
  };
}

/** Sums by what an entry is of, the largest first. */
function most<Of>(
  entries: readonly AccountEntry[],
  units: ToldUnits,
  of: (entry: AccountEntry) => Of | undefined,
): LossesOf<Of>[] {
  const sums = new Map<Of, { exact: Microlitres; most: AccountEntry }>();
  for (const entry of entries) {
    const key = of(entry);
    if (key === undefined) continue;
    const known = sums.get(key);
    if (known === undefined) sums.set(key, { exact: entry.amount.exact, most: entry });
    else {
      known.exact += entry.amount.exact;
      if (entry.amount.exact > known.most.amount.exact) known.most = entry;
    }
  }
  return [...sums]
    .map(([key, { exact, most: largest }]) => ({ of: key, amount: toldOf(exact, units), most: largest }))
    .sort((a, b) => b.amount.exact - a.amount.exact);
}
