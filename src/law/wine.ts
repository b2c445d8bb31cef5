/** What of a wine its claims are judged by: its sources, its newest figures, and what went into it. */
import type { LotAccount, Movement } from '../cellar/book.ts';
import type { Cellar, LotState } from '../cellar/cellar.ts';
import { ADDED_LIQUID, materialOf } from '../cellar/content.ts';
import type { Event, LotId, Microlitres, Minute, OriginId, Place } from '../journal/events.ts';
import type { MaterialFacts, Origin } from '../journal/register.ts';

/** A figure as it was read. */
export interface Figure {
  readonly value: number;
  readonly said: string;
  readonly minute: Minute;
  readonly place: Place;
}

const READ = ['alcohol', 'total SO2', 'VA', 'residual sugar'] as const;
type ReadKey = (typeof READ)[number];
export type Figures = Partial<Record<ReadKey, Figure>>;

export interface OriginVolume {
  readonly origin: OriginId;
  readonly volume: Microlitres;
}

export interface Wine {
  /** Added liquids left out. */
  readonly sources: readonly { readonly origin: Origin; readonly volume: Microlitres }[];
  /** It lies in vessels, so that more can be poured in. */
  readonly open: boolean;
  readonly estimated: boolean;
  /** Names of lots in its family that hold wine brought in from elsewhere. */
  readonly broughtIn: readonly string[];
  readonly colour: 'red' | 'white' | 'rosé' | undefined;
  readonly figures: Figures;
  /** Of the materials it was given, its family's counted. */
  readonly allergens: readonly string[];
}

const isRead = (analyte: string): analyte is ReadKey => READ.some((one) => one === analyte);

/**
 * Keeps the newest figures of every lot. A bottling has those of the wine it was filled from, and so has wine that goes
 * whole under a new name.
 */
export function keepFigures(
  kept: Map<LotId, Figures>,
  event: Event,
  lots: Iterable<LotId>,
  movements: readonly Movement[],
): void {
  if (event.kind === 'reading') {
    for (const { analyte, value, mark, said } of event.measures) {
      if (!isRead(analyte) || mark === '<') continue;
      for (const lot of lots)
        kept.set(lot, { ...kept.get(lot), [analyte]: { value, said, minute: event.minute, place: event.place } });
    }
    return;
  }
  if (event.kind === 'bottle') {
    const [most] = mostOf(movements);
    const figures = most === undefined ? undefined : kept.get(most);
    if (figures !== undefined) kept.set(event.as, { ...figures, ...kept.get(event.as) });
    return;
  }
  const as = event.kind === 'move' || event.kind === 'naming' ? event.as : undefined;
  if (as === undefined || kept.has(as)) return;
  const from = new Set<LotId>();
  for (const movement of movements) {
    if (movement.kind === 'renamed' && movement.toLot === as) from.add(movement.fromLot);
    else if (movement.kind === 'across' && movement.toLot === as) from.add(movement.fromLot);
  }
  const [only, more] = from;
  const figures = only === undefined || more !== undefined ? undefined : kept.get(only);
  if (figures !== undefined) kept.set(as, { ...figures });
}

/** The lots bottles were filled from, the largest part first. */
function mostOf(movements: readonly Movement[]): LotId[] {
  const sums = new Map<LotId, Microlitres>();
  for (const movement of movements)
    if (movement.kind === 'out' && movement.how === 'bottled')
      sums.set(movement.lot, (sums.get(movement.lot) ?? 0) + movement.volume);
  return [...sums].sort((a, b) => b[1] - a[1] || a[0] - b[0]).map(([lot]) => lot);
}

/** What a lot holds by origin, in vessels and bottles; added liquids left out. */
export function originsNow(cellar: Cellar, lot: LotState): OriginVolume[] {
  const sums = new Map<OriginId, Microlitres>();
  const add = ({
    origins,
    volumes,
  }: {
    readonly origins: readonly OriginId[];
    readonly volumes: readonly number[];
  }) => {
    for (const [i, origin] of origins.entries())
      if (origin !== ADDED_LIQUID) sums.set(origin, (sums.get(origin) ?? 0) + (volumes[i] ?? 0));
  };
  for (const id of lot.vessels) add(cellar.vessel(id).content);
  add(lot.cellared);
  return [...sums].filter(([, volume]) => volume > 0).map(([origin, volume]) => ({ origin, volume }));
}

/** The origins told apart by what they are, free run and press run put together, and the same each time in the same order. */
export function sourcesOf(origins: readonly Origin[], parts: readonly OriginVolume[]): Wine['sources'] {
  return parts
    .flatMap(({ origin, volume }) => {
      const facts = origins[origin];
      return facts === undefined || volume <= 0 ? [] : [{ origin: facts, volume }];
    })
    .sort((a, b) => b.volume - a.volume || a.origin.id - b.origin.id);
}

/** A lot as both the cellar and the book have it, for the walk through its family. */
interface Kin {
  readonly facts: { readonly name: string };
  readonly account: LotAccount;
  readonly parents: Iterable<LotId>;
}

/** Lots of a family, the lot itself among them, that hold wine brought in. */
export function broughtIn(id: LotId, kinOf: (lot: LotId) => Kin | undefined): string[] {
  const names: string[] = [];
  const seen = new Set<LotId>([id]);
  for (const lot of seen) {
    const kin = kinOf(lot);
    if (kin === undefined) continue;
    if (kin.account.bought > 0) names.push(kin.facts.name);
    for (const parent of kin.parents) seen.add(parent);
  }
  return names.sort();
}

export function allergensOf(materials: readonly MaterialFacts[], keys: Iterable<number>): string[] {
  const found = new Set<string>();
  for (const key of keys) {
    const allergen = materials[key]?.allergen;
    if (allergen !== undefined) found.add(allergen);
  }
  return [...found].sort();
}

/** The wine of a lot as the cellar has it at this moment. */
export function wineNow(cellar: Cellar, id: LotId, parts: readonly OriginVolume[], figures: Figures): Wine {
  const lot = cellar.lot(id);
  const { register } = cellar;
  return {
    sources: sourcesOf(register.origins, parts),
    open: !lot.facts.bottling,
    estimated: cellar.estimated(lot),
    broughtIn: broughtIn(id, (one) => {
      const { facts, account, parents } = cellar.lot(one);
      return { facts, account, parents: parents.keys() };
    }),
    colour: cellar.colourOf(lot),
    figures,
    allergens: allergensOf(register.materials, [...lot.direct.keys(), ...lot.carriedIn.keys()].map(materialOf)),
  };
}
