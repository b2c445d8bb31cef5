/** What a vessel or a lot was just before a line and just after it. */
import type { LotStage } from '../cellar/book.ts';
import { type Cellar, NO_LOT } from '../cellar/cellar.ts';
import { ADDED_LIQUID } from '../cellar/content.ts';
import type { Deed } from '../cellar/deed.ts';
import type { Onlooker } from '../cellar/fold.ts';
import { stageOn } from '../cellar/stages.ts';
import type { LotId, Microlitres, Minute, VesselId } from '../journal/events.ts';
import { Annals } from './annals.ts';
import { compareMoments, type Moment } from './spots.ts';
import type { Study } from './study.ts';

/** One source of what a vessel holds. */
export interface Source {
  readonly name: string;
  readonly volume: Microlitres;
}

export interface VesselSeen {
  readonly lot: string | undefined;
  readonly volume: Microlitres;
  readonly estimated: boolean;
  readonly doubtful: boolean;
  readonly retired: boolean;
  /** When the lot came in. */
  readonly since: Minute | undefined;
  /** The most first. */
  readonly sources: readonly Source[];
}

export interface LotSeen {
  readonly stage: LotStage;
  readonly onHand: Microlitres;
  readonly estimated: boolean;
  /** Fruit that waits, in micrograms. */
  readonly waiting: number;
  readonly vessels: readonly { readonly name: string; readonly volume: Microlitres }[];
}

export interface Seen<T> {
  readonly before: T;
  readonly after: T;
  readonly annals: Annals | undefined;
}

export function vesselIn(cellar: Cellar, id: VesselId): VesselSeen {
  const { lot, content, doubt, retired, since } = cellar.vessel(id);
  const { register } = cellar;
  const sums = new Map<string, number>();
  for (const [i, origin] of content.origins.entries()) {
    const facts = register.origins[origin];
    const vintage = facts?.vintage === undefined ? '' : ` ${facts.vintage}`;
    const name =
      origin === ADDED_LIQUID
        ? 'water and solutions'
        : `${facts?.variety ?? ''}${vintage}${facts?.block === undefined ? '' : `, ${facts.block}`}`;
    sums.set(name, (sums.get(name) ?? 0) + (content.volumes[i] ?? 0));
  }
  return {
    lot: lot === NO_LOT ? undefined : register.lot(lot).name,
    volume: content.volume,
    estimated: content.slack > 0,
    doubtful: doubt !== undefined,
    retired,
    since: lot === NO_LOT ? undefined : since,
    sources: [...sums].map(([name, volume]) => ({ name, volume })).sort((a, b) => b.volume - a.volume),
  };
}

export function lotIn(cellar: Cellar, id: LotId, minute: Minute): LotSeen {
  const lot = cellar.lot(id);
  return {
    stage: stageOn(cellar, lot, minute),
    onHand: cellar.onHand(lot),
    estimated: cellar.estimated(lot),
    waiting: cellar.fruitWaiting(lot),
    vessels: [...lot.vessels]
      .sort((a, b) => a - b)
      .map((vessel) => ({
        name: cellar.register.vessel(vessel).name,
        volume: cellar.vessel(vessel).content.volume,
      })),
  };
}

/** Looks at one thing whenever an event may have changed it, and keeps how it was before a line and after it. */
class Look<T> implements Onlooker {
  before: T;
  last: T;
  private readonly see: () => T;
  private readonly concerns: (deed: Deed) => boolean;
  private readonly from: Moment;
  private readonly to: Moment;

  constructor(see: () => T, concerns: (deed: Deed) => boolean, from: Moment, to: Moment) {
    this.see = see;
    this.concerns = concerns;
    this.from = from;
    this.to = to;
    this.before = see();
    this.last = this.before;
  }

  after(deed: Deed): void {
    if (!this.concerns(deed)) return;
    const { minute, place } = deed.event;
    const moment = { minute, ...place };
    if (compareMoments(moment, this.to) > 0) return;
    this.last = this.see();
    if (compareMoments(moment, this.from) < 0) this.before = this.last;
  }
}

function look<T>(
  study: Study,
  from: Moment,
  to: Moment,
  see: (cellar: Cellar) => T,
  concerns: (deed: Deed) => boolean,
): Seen<T> | undefined {
  let looking: Look<T> | undefined;
  const folded = study.watch(Math.floor(to.minute / 1440), (cellar) => {
    looking = new Look(() => see(cellar), concerns, from, to);
    return looking;
  });
  if (looking === undefined) return undefined;
  const annals = folded.watchers.find((watcher): watcher is Annals => watcher instanceof Annals);
  return { before: looking.before, after: looking.last, annals };
}

const NO_VESSEL: VesselSeen = {
  lot: undefined,
  volume: 0,
  estimated: false,
  doubtful: false,
  retired: false,
  since: undefined,
  sources: [],
};

const NO_LOT_YET: LotSeen = { stage: 'fruit', onHand: 0, estimated: false, waiting: 0, vessels: [] };

/** A vessel before the first of some moments and after the last; empty where it was not there yet. */
export const glimpseVessel = (study: Study, id: VesselId, from: Moment, to: Moment): Seen<VesselSeen> | undefined =>
  look(
    study,
    from,
    to,
    (cellar) => (id < cellar.register.vessels.length ? vesselIn(cellar, id) : NO_VESSEL),
    (deed) => deed.touchedVessels.has(id),
  );

/** As `glimpseVessel`, for a lot. */
export const glimpseLot = (study: Study, id: LotId, from: Moment, to: Moment): Seen<LotSeen> | undefined =>
  look(
    study,
    from,
    to,
    (cellar) => (id < cellar.register.lots.length ? lotIn(cellar, id, to.minute) : NO_LOT_YET),
    (deed) =>
      deed.touchedLots.has(id) || [...deed.touchedVessels].some((vessel) => deed.cellar.vessel(vessel).lot === id),
  );
