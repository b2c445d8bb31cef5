/** Which wines a batch of a material went into, and with those into which others: what is asked when a batch is called back. */
import type { Book, Happening, Movement } from '../cellar/book.ts';
import type { LotId, MaterialId, Minute, Place, VesselId } from '../journal/events.ts';
import { Known } from './known.ts';
import { storeOf } from './store.ts';

/**
 * `named`: the line of the addition names the batch. `only`: it names none, and no other batch had been bought by then.
 * `maybe`: it names none, and this was one of several.
 */
export type Certainty = 'named' | 'only' | 'maybe';

export interface BatchWine {
  readonly lot: LotId;
  readonly certainty: Certainty;
  /** Whether it was added to this lot, or came with wine that had it. */
  readonly direct: boolean;
  readonly minute: Minute;
  readonly place: Place;
}

export interface Batch {
  readonly material: MaterialId;
  readonly code: string;
  /** Each lot once, by its surest line, in the order in which it came to it. */
  readonly wines: readonly BatchWine[];
  /** How many lines added it, by certainty. */
  readonly lines: Readonly<Record<Certainty, number>>;
}

const RANK: Readonly<Record<Certainty, number>> = { named: 2, only: 1, maybe: 0 };

interface Tracked {
  readonly material: MaterialId;
  readonly code: string;
  readonly wines: Map<LotId, BatchWine>;
  readonly lines: Record<Certainty, number>;
}

/** What a vessel, some fruit or some bottles have in them. */
type Has = Map<Tracked, Certainty>;

function join(into: Has, from: ReadonlyMap<Tracked, Certainty>): void {
  for (const [batch, certainty] of from) {
    const before = into.get(batch);
    if (before === undefined || RANK[certainty] > RANK[before]) into.set(batch, certainty);
  }
}

const NOTHING: ReadonlyMap<Tracked, Certainty> = new Map();

class Tracer {
  readonly batches: Tracked[] = [];
  private readonly byMaterial = new Map<MaterialId, Tracked[]>();
  private readonly firstBought = new Map<Tracked, Minute>();
  private readonly prepared = new Map<MaterialId, Has>();
  private readonly vessels = new Map<VesselId, { volume: number; has: Has }>();
  private readonly fruit = new Map<LotId, Has>();
  private drawn: ReadonlyMap<Tracked, Certainty> = NOTHING;

  constructor(book: Book) {
    for (const [material, { bought }] of storeOf(book)) {
      for (const { batch, minute } of bought) {
        if (batch === undefined) continue;
        const tracked = this.batch(material, batch);
        const first = this.firstBought.get(tracked);
        if (first === undefined || minute < first) this.firstBought.set(tracked, minute);
      }
    }
  }

  private batch(material: MaterialId, code: string): Tracked {
    let own = this.byMaterial.get(material);
    if (own === undefined) {
      own = [];
      this.byMaterial.set(material, own);
    }
    let batch = own.find((one) => one.code === code);
    if (batch === undefined) {
      batch = { material, code, wines: new Map(), lines: { named: 0, only: 0, maybe: 0 } };
      own.push(batch);
      this.batches.push(batch);
    }
    return batch;
  }

  private vessel(id: VesselId): { volume: number; has: Has } {
    let vessel = this.vessels.get(id);
    if (vessel === undefined) {
      vessel = { volume: 0, has: new Map() };
      this.vessels.set(id, vessel);
    }
    return vessel;
  }

  /** What an addition of a material brings of batches. */
  private brought(material: MaterialId, named: string | undefined, minute: Minute): ReadonlyMap<Tracked, Certainty> {
    const made = this.prepared.get(material);
    if (made !== undefined) return made;
    if (named !== undefined) return new Map([[this.batch(material, named), 'named']]);
    const there = (this.byMaterial.get(material) ?? []).filter(
      (batch) => (this.firstBought.get(batch) ?? Number.POSITIVE_INFINITY) <= minute,
    );
    const certainty = there.length === 1 ? 'only' : 'maybe';
    return new Map(there.map((batch) => [batch, certainty]));
  }

  see(happening: Happening): void {
    const { event } = happening;
    if (event.kind === 'kept' && event.prepared !== undefined) {
      const has: Has = new Map();
      const used = (event.used ?? []).map(({ material }) => material);
      for (const material of used)
        join(has, this.brought(material, this.known(material, event.prepared.batch, used), event.minute));
      this.prepared.set(event.prepared.material, has);
    }
    if (event.kind === 'add') this.add(happening, event);
    const fruit: Has = new Map();
    if (event.kind === 'crush') join(fruit, this.fruit.get(event.lot) ?? NOTHING);
    if (event.kind === 'press') {
      for (const { targets } of event.sources)
        for (const target of targets) if (target.kind === 'lot') join(fruit, this.fruit.get(target.lot) ?? NOTHING);
    }
    for (const movement of happening.movements) this.move(happening, movement, fruit);
  }

  /** A line names one batch for all it adds: where the store knows whose it is, the others are left out. */
  private known(material: MaterialId, named: string | undefined, others: readonly MaterialId[]): string | undefined {
    if (named === undefined) return undefined;
    const has = (id: MaterialId): boolean => this.byMaterial.get(id)?.some(({ code }) => code === named) === true;
    return has(material) || !others.some(has) ? named : undefined;
  }

  private add(happening: Happening, event: Happening['event'] & { readonly kind: 'add' }): void {
    const materials = event.additions.map(({ material }) => material);
    for (const { material, dose } of event.additions) {
      // a question adds nothing
      if (dose.kind === 'asked') continue;
      const brought = this.brought(material, this.known(material, event.batch, materials), event.minute);
      if (brought.size === 0) continue;
      const own = happening.added.filter((one) => one.material === material);
      for (const [batch, certainty] of brought) batch.lines[certainty] += 1;
      for (const { vessel, lot } of own) {
        join(this.vessel(vessel).has, brought);
        this.tell(brought, lot, happening, true);
      }
      if (own.length > 0) continue;
      for (const target of event.targets) {
        if (target.kind !== 'lot') continue;
        const has = this.fruit.get(target.lot) ?? new Map<Tracked, Certainty>();
        join(has, brought);
        this.fruit.set(target.lot, has);
        this.tell(brought, target.lot, happening, true);
      }
    }
  }

  private tell(has: ReadonlyMap<Tracked, Certainty>, lot: LotId, { event }: Happening, direct: boolean): void {
    for (const [{ wines }, certainty] of has) {
      const before = wines.get(lot);
      if (before !== undefined && RANK[before.certainty] >= RANK[certainty]) continue;
      wines.set(lot, { lot, certainty, direct, minute: event.minute, place: event.place });
    }
  }

  private move(happening: Happening, movement: Movement, fruit: ReadonlyMap<Tracked, Certainty>): void {
    switch (movement.kind) {
      case 'in': {
        const vessel = this.vessel(movement.vessel);
        vessel.volume += movement.volume;
        if (movement.how !== 'made') return;
        join(vessel.has, fruit);
        this.tell(fruit, movement.lot, happening, false);
        return;
      }
      case 'out': {
        const vessel = this.vessel(movement.vessel);
        if (movement.how === 'bottled') this.drawn = new Map(vessel.has);
        this.takeFrom(vessel, movement.volume);
        return;
      }
      case 'across': {
        const from = this.vessel(movement.from);
        const to = this.vessel(movement.to);
        join(to.has, from.has);
        to.volume += movement.volume;
        if (movement.toLot !== movement.fromLot) this.tell(from.has, movement.toLot, happening, false);
        this.takeFrom(from, movement.volume);
        return;
      }
      case 'renamed':
        this.tell(this.vessel(movement.vessel).has, movement.toLot, happening, false);
        return;
      case 'bottles':
        if (movement.how === 'filled') this.tell(this.drawn, movement.lot, happening, false);
        return;
    }
  }

  /** A vessel that is emptied has nothing in it. */
  private takeFrom(vessel: { volume: number; has: Has }, volume: number): void {
    vessel.volume -= volume;
    if (vessel.volume <= 0) {
      vessel.volume = 0;
      vessel.has = new Map();
    }
  }
}

const KNOWN = new Known<Book, readonly Batch[]>(batchesOf);

/** Every batch that was bought or named, by material in the order the batches came up. */
export function batchesOf(book: Book): readonly Batch[] {
  const known = KNOWN.get(book);
  if (known !== undefined) return known;
  const tracer = new Tracer(book);
  for (const happening of book.happenings) tracer.see(happening);
  const batches = tracer.batches
    .map(({ material, code, wines, lines }) => ({ material, code, lines, wines: [...wines.values()] }))
    .sort((a, b) => a.material - b.material);
  KNOWN.set(book, batches);
  return batches;
}
