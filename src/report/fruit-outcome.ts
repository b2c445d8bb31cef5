/**
 * What became of the fruit: every movement of the book told apart by the loads of fruit, the finds and the purchases its wine
 * came from, each movement taking of all of them in proportion, as the book itself does.
 */
import type { Book, LossKind, Movement } from '../cellar/book.ts';
import { LEAVES_SKINS } from '../cellar/works/movements.ts';
import type { Event, LotId, Micrograms, Microlitres, OriginId, OriginShare, VesselId } from '../journal/events.ts';
import { mustYield, wineYield } from '../trade/fruit-yield.ts';
import { Known } from './known.ts';

/** Where wine came from: a block's fruit in a lot, wine found or bought; water and solutions have neither lot nor origin. */
export interface Source {
  readonly kind: 'fruit' | 'found' | 'bought' | 'liquid';
  /** The lot the fruit was received in. */
  readonly lot: LotId | undefined;
  readonly origin: OriginId | undefined;
}

/** What is lost, differences at dips and counts among it. */
export type LostBy = LossKind | 'unexplained';

/** Volumes in microlitres, fractions of one included; the weight of the fruit in micrograms. */
export interface Outcome {
  readonly source: Source;
  used: Micrograms;
  made: Microlitres;
  /** Found, bought in, or added as water and solutions. */
  entered: Microlitres;
  /** May be below zero. */
  settled: Microlitres;
  gains: Microlitres;
  /** Free run and pressings, where the journal tells them apart. */
  free: Microlitres;
  press: Microlitres;
  readonly lost: Partial<Record<LostBy, Microlitres>>;
  samples: Microlitres;
  dispatched: Microlitres;
  bottled: Microlitres;
  /** Still with its skins. */
  onSkins: Microlitres;
  inVessels: Microlitres;
  inBottles: Microlitres;
}

/** Parts of a volume by source. */
type Parts = Map<Outcome, Microlitres>;

interface Held {
  parts: Parts;
  skins: boolean;
}

const sum = (parts: Parts): number => {
  let total = 0;
  for (const volume of parts.values()) total += volume;
  return total;
};

/** Takes a volume, every source in proportion; all where the volume is all there is, but for rounding. */
function take(parts: Parts, volume: number): Parts {
  const total = sum(parts);
  if (total <= 0) return new Map();
  const share = volume >= total - 1 ? 1 : volume / total;
  const taken: Parts = new Map();
  for (const [source, there] of parts) {
    taken.set(source, there * share);
    if (share === 1) parts.delete(source);
    else parts.set(source, there * (1 - share));
  }
  return taken;
}

function pour(into: Parts, added: Parts): void {
  for (const [source, volume] of added) into.set(source, (into.get(source) ?? 0) + volume);
}

function grow(parts: Parts, by: number): Parts {
  const total = sum(parts);
  const added: Parts = new Map();
  if (total <= 0) return added;
  for (const [source, there] of parts) {
    added.set(source, (there / total) * by);
    parts.set(source, there * (1 + by / total));
  }
  return added;
}

class Follower {
  readonly outcomes: Outcome[] = [];
  private readonly known = new Map<string, Outcome>();
  private readonly vessels = new Map<VesselId, Held>();
  private readonly bottles = new Map<LotId, Parts>();
  /** Fruit that waits, by lot. */
  private readonly waiting = new Map<LotId, Map<OriginId, Micrograms>>();
  /** What the last movement took for bottling. */
  private drawn: Parts = new Map();

  private of(source: Source): Outcome {
    const name = `${source.kind} ${source.lot ?? ''} ${source.origin ?? ''}`;
    let outcome = this.known.get(name);
    if (outcome === undefined) {
      outcome = {
        source,
        used: 0,
        made: 0,
        entered: 0,
        settled: 0,
        gains: 0,
        free: 0,
        press: 0,
        lost: {},
        samples: 0,
        dispatched: 0,
        bottled: 0,
        onSkins: 0,
        inVessels: 0,
        inBottles: 0,
      };
      this.known.set(name, outcome);
      this.outcomes.push(outcome);
    }
    return outcome;
  }

  private held(id: VesselId): Held {
    let held = this.vessels.get(id);
    if (held === undefined) {
      held = { parts: new Map(), skins: false };
      this.vessels.set(id, held);
    }
    return held;
  }

  private cellared(lot: LotId): Parts {
    let parts = this.bottles.get(lot);
    if (parts === undefined) {
      parts = new Map();
      this.bottles.set(lot, parts);
    }
    return parts;
  }

  private post(field: 'made' | 'entered' | 'settled' | 'gains' | 'free' | 'press', parts: Parts, sign = 1): void {
    for (const [outcome, volume] of parts) outcome[field] += sign * volume;
  }

  private lose(how: LostBy, parts: Parts): void {
    for (const [{ lost }, volume] of parts) lost[how] = (lost[how] ?? 0) + volume;
  }

  /** Follows an event: fruit first, then its movements in their order. */
  see(event: Event, movements: readonly Movement[]): void {
    if (event.kind === 'receive') {
      const fruit = this.waiting.get(event.lot) ?? new Map<OriginId, Micrograms>();
      fruit.set(event.origin, (fruit.get(event.origin) ?? 0) + event.net);
      this.waiting.set(event.lot, fruit);
    } else if (event.kind === 'sort') this.takeFruit(event.lot, event.out);
    const made = movements.reduce(
      (total, one) => total + (one.kind === 'in' && one.how === 'made' ? one.volume : 0),
      0,
    );
    const fruit = made > 0 ? this.crushed(event) : new Map<Outcome, Micrograms>();
    for (const movement of movements) this.move(event, movement, fruit);
  }

  /** Takes fruit of a lot, every origin in proportion. */
  private takeFruit(lot: LotId, wanted: Micrograms | undefined): Map<OriginId, Micrograms> {
    const fruit = this.waiting.get(lot);
    const taken = new Map<OriginId, Micrograms>();
    if (fruit === undefined) return taken;
    let total = 0;
    for (const mass of fruit.values()) total += mass;
    const share = wanted === undefined || wanted >= total ? 1 : wanted / total;
    for (const [origin, mass] of fruit) {
      taken.set(origin, mass * share);
      fruit.set(origin, mass * (1 - share));
    }
    return taken;
  }

  /** The fruit a crushing or a pressing used, by source. */
  private crushed(event: Event): Map<Outcome, Micrograms> {
    const bySource = new Map<Outcome, Micrograms>();
    const use = (lot: LotId, fruit: Micrograms | undefined): void => {
      for (const [origin, mass] of this.takeFruit(lot, fruit)) {
        if (mass <= 0) continue;
        const outcome = this.of({ kind: 'fruit', lot, origin });
        bySource.set(outcome, (bySource.get(outcome) ?? 0) + mass);
        outcome.used += mass;
      }
    };
    if (event.kind === 'crush') use(event.lot, event.fruit);
    if (event.kind === 'press') {
      const [head] = event.sources.flatMap(({ targets }) => targets);
      if (head?.kind === 'lot') use(head.lot, event.fruit);
    }
    return bySource;
  }

  private move(event: Event, movement: Movement, fruit: ReadonlyMap<Outcome, Micrograms>): void {
    switch (movement.kind) {
      case 'in':
        this.enter(event, movement, fruit);
        return;
      case 'out':
        this.leave(movement);
        return;
      case 'across': {
        const from = this.held(movement.from);
        const to = this.held(movement.to);
        const { skins } = from;
        const empty = sum(to.parts) <= 0;
        const parts = take(from.parts, movement.volume);
        if (sum(from.parts) <= 0) from.skins = false;
        if (skins && event.kind === 'press') this.post('press', parts);
        else if (skins && (event.verb === 'drain' || event.verb === 'bleed')) this.post('free', parts);
        pour(to.parts, parts);
        if (empty) to.skins = LEAVES_SKINS.has(event.verb) ? false : skins;
        return;
      }
      case 'renamed':
        return;
      case 'bottles':
        this.moveBottles(event, movement);
        return;
    }
  }

  private enter(
    event: Event,
    movement: Movement & { readonly kind: 'in' },
    fruit: ReadonlyMap<Outcome, Micrograms>,
  ): void {
    const held = this.held(movement.vessel);
    switch (movement.how) {
      case 'made': {
        const added = new Map(fruit);
        if (added.size === 0) added.set(this.of({ kind: 'fruit', lot: movement.lot, origin: undefined }), 1);
        const mass = sum(added);
        for (const [outcome, part] of added) added.set(outcome, (part / mass) * movement.volume);
        this.post('made', added);
        if (event.kind === 'press') this.post(isFirstCut(event, movement.vessel) ? 'free' : 'press', added);
        pour(held.parts, added);
        if (event.kind === 'crush') held.skins = true;
        return;
      }
      case 'found':
      case 'bought': {
        const origins = event.kind === 'found' || event.kind === 'bring' ? event.origins : [];
        const added = this.shared(movement.how, origins, movement.volume);
        this.post('entered', added);
        pour(held.parts, added);
        return;
      }
      case 'liquid': {
        const added = new Map([[this.of({ kind: 'liquid', lot: undefined, origin: undefined }), movement.volume]]);
        this.post('entered', added);
        pour(held.parts, added);
        return;
      }
      case 'dip':
        this.post('gains', grow(held.parts, movement.volume));
        return;
      case 'settled':
        this.post('settled', grow(held.parts, movement.volume));
    }
  }

  private shared(kind: 'found' | 'bought', origins: readonly OriginShare[], volume: number): Parts {
    const whole = origins.reduce((total, { share }) => total + share, 0);
    const parts: Parts = new Map();
    for (const { origin, share } of origins)
      pour(parts, new Map([[this.of({ kind, lot: undefined, origin }), (share / whole) * volume]]));
    return parts;
  }

  private leave(movement: Movement & { readonly kind: 'out' }): void {
    const held = this.held(movement.vessel);
    const parts = take(held.parts, movement.volume);
    if (sum(held.parts) <= 0) held.skins = false;
    switch (movement.how) {
      case 'bottled':
        for (const [outcome, volume] of parts) outcome.bottled += volume;
        this.drawn = parts;
        return;
      case 'settled':
        this.post('settled', parts, -1);
        return;
      default:
        this.gone(movement.how, parts);
    }
  }

  private gone(how: 'dispatched' | 'sample' | 'dip' | LossKind, parts: Parts): void {
    if (how === 'dispatched') for (const [outcome, volume] of parts) outcome.dispatched += volume;
    else if (how === 'sample') for (const [outcome, volume] of parts) outcome.samples += volume;
    else this.lose(how === 'dip' ? 'unexplained' : how, parts);
  }

  private moveBottles(event: Event, movement: Movement & { readonly kind: 'bottles' }): void {
    const { lot, volume, how } = movement;
    const parts = this.cellared(lot);
    if (movement.direction === 'in') {
      if (how === 'filled') {
        pour(parts, this.drawn);
        this.drawn = new Map();
      } else if (how === 'found') {
        const added = this.shared('found', event.kind === 'found' ? event.origins : [], volume);
        this.post('entered', added);
        pour(parts, added);
      } else this.post('gains', grow(parts, volume));
      return;
    }
    if (how !== 'filled' && how !== 'found') this.gone(how, take(parts, volume));
  }

  /** What lies in vessels and bottles now. */
  settle(): void {
    for (const { parts, skins } of this.vessels.values()) {
      for (const [outcome, volume] of parts) {
        outcome.inVessels += volume;
        if (skins) outcome.onSkins += volume;
      }
    }
    for (const parts of this.bottles.values()) {
      for (const [outcome, volume] of parts) outcome.inBottles += volume;
    }
  }
}

function isFirstCut({ cuts }: Event & { readonly kind: 'press' }, vessel: VesselId): boolean {
  return (
    cuts[0]?.parts.some(({ targets }) =>
      targets.some((target) => target.kind === 'vessel' && target.vessel === vessel),
    ) === true
  );
}

/** Worked out once a book: several pages ask. */
const KNOWN = new Known<Book, readonly Outcome[]>(fruitOutcomes);

/** The outcome of every source, in the order in which they came. */
export function fruitOutcomes(book: Book): readonly Outcome[] {
  const known = KNOWN.get(book);
  if (known !== undefined) return known;
  const follower = new Follower();
  for (const { event, movements } of book.happenings) follower.see(event, movements);
  follower.settle();
  KNOWN.set(book, follower.outcomes);
  return follower.outcomes;
}

/** Several outcomes as one. The weight and volumes are sums; `lost` by kind. */
export interface OutcomeSum extends Omit<Outcome, 'source' | 'lost'> {
  readonly lost: Readonly<Partial<Record<LostBy, Microlitres>>>;
}

export function sumOutcomes(outcomes: readonly Outcome[]): OutcomeSum {
  const lost: Partial<Record<LostBy, Microlitres>> = {};
  for (const one of outcomes) {
    for (const [how, volume] of Object.entries(one.lost) as [LostBy, number][]) lost[how] = (lost[how] ?? 0) + volume;
  }
  const total = (field: Exclude<keyof Outcome, 'source' | 'lost'>): number =>
    outcomes.reduce((all, one) => all + one[field], 0);
  return {
    used: total('used'),
    made: total('made'),
    entered: total('entered'),
    settled: total('settled'),
    gains: total('gains'),
    free: total('free'),
    press: total('press'),
    lost,
    samples: total('samples'),
    dispatched: total('dispatched'),
    bottled: total('bottled'),
    onSkins: total('onSkins'),
    inVessels: total('inVessels'),
    inBottles: total('inBottles'),
  };
}

/** What fruit gave, in nanolitres a kilogram. */
export interface Yields {
  readonly must: number | undefined;
  /** Unknown while some of it lies with its skins. */
  readonly wine: number | undefined;
}

export function yieldsOf({ used, made, settled, lost, onSkins }: OutcomeSum): Yields {
  const pomace = lost.pomace ?? 0;
  return {
    must: mustYield({ used, made }),
    wine: onSkins > 0 ? undefined : wineYield({ used, made, settled, pomace }),
  };
}

const BY_LOT = new Known<Book, ReadonlyMap<LotId, readonly Outcome[]>>(outcomesByFruitLot);

/** Outcomes of fruit, by the lot it was received in. */
export function outcomesByFruitLot(book: Book): ReadonlyMap<LotId, readonly Outcome[]> {
  const known = BY_LOT.get(book);
  if (known !== undefined) return known;
  const lots = new Map<LotId, Outcome[]>();
  for (const outcome of fruitOutcomes(book)) {
    const { kind, lot } = outcome.source;
    if (kind !== 'fruit' || lot === undefined) continue;
    const already = lots.get(lot);
    if (already === undefined) lots.set(lot, [outcome]);
    else already.push(outcome);
  }
  BY_LOT.set(book, lots);
  return lots;
}
