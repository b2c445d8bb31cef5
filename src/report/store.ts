/** The store: what was bought of each material, what was used and counted, and what should be there. */
import type { Book, Happening } from '../cellar/book.ts';
import type { Dose, LotId, MaterialId, MaterialSaid, Minute, Place, StoreAmount } from '../journal/events.ts';
import { Known } from './known.ts';

export type StoreUnit = StoreAmount['unit'];

export interface Bought {
  readonly minute: Minute;
  readonly place: Place;
  readonly said: string;
  readonly amount: StoreAmount | undefined;
  readonly supplier: string | undefined;
  readonly batch: string | undefined;
  /** The last day it keeps. */
  readonly keeps: number | undefined;
}

/** One line that used a material. */
export interface Used {
  readonly happening: Happening;
  readonly amount: StoreAmount | undefined;
  /** What went into each lot; empty where it went into none, as for cleaning. */
  readonly lots: readonly { readonly lot: LotId; readonly amount: StoreAmount }[];
  /** Microlitres of must or wine it went into; 0 for fruit and for work that treats no wine. */
  readonly into: number;
  readonly batch: string | undefined;
}

export interface Counted {
  readonly minute: Minute;
  readonly place: Place;
  readonly said: string;
  readonly amount: StoreAmount | undefined;
  /** What was counted less what should have been there, where the store knew of any before. */
  readonly difference: number | undefined;
}

/** What should be there of a material in one unit. */
export interface OnHand {
  readonly unit: StoreUnit;
  readonly amount: number;
  /** It was counted once: before that nobody knows what stood there already. */
  readonly counted: boolean;
}

export interface MaterialRecord {
  readonly material: MaterialId;
  readonly bought: readonly Bought[];
  readonly used: readonly Used[];
  readonly counted: readonly Counted[];
  /** Made in the house, by `prepare`. */
  readonly prepared: readonly Happening[];
  readonly onHand: readonly OnHand[];
}

interface Shelf {
  readonly material: MaterialId;
  readonly bought: Bought[];
  readonly used: Used[];
  readonly counted: Counted[];
  readonly prepared: Happening[];
  /** By unit. */
  readonly held: Map<StoreUnit, { amount: number; known: boolean; counted: boolean }>;
}

class Store {
  private readonly shelves = new Map<MaterialId, Shelf>();
  /** By lot, material and unit: what lots were given that no vessel got, and no line has told yet: it went on their fruit. */
  private readonly onFruit = new Map<string, number>();

  constructor(book: Book) {
    for (const { facts, additions } of book.lots) {
      for (const { material, unit, direct } of additions) this.onFruit.set(keyOf(facts.id, material, unit), direct);
    }
    for (const { added } of book.happenings) {
      for (const one of added) {
        const amount = amountAdded(one);
        if (amount === undefined) continue;
        const key = keyOf(one.lot, one.material, amount.unit);
        this.onFruit.set(key, (this.onFruit.get(key) ?? 0) - amount.amount);
      }
    }
  }

  private shelf(material: MaterialId): Shelf {
    let shelf = this.shelves.get(material);
    if (shelf === undefined) {
      shelf = { material, bought: [], used: [], counted: [], prepared: [], held: new Map() };
      this.shelves.set(material, shelf);
    }
    return shelf;
  }

  private held(material: MaterialId, unit: StoreUnit) {
    const { held } = this.shelf(material);
    let there = held.get(unit);
    if (there === undefined) {
      there = { amount: 0, known: false, counted: false };
      held.set(unit, there);
    }
    return there;
  }

  see(happening: Happening): void {
    const { event } = happening;
    switch (event.kind) {
      case 'buy':
        for (const { material, said, amount } of event.materials) {
          this.shelf(material).bought.push({
            minute: event.minute,
            place: event.place,
            said,
            amount,
            supplier: event.supplier,
            batch: event.batch,
            keeps: event.keeps,
          });
          if (amount !== undefined) this.put(material, amount);
        }
        return;
      case 'count':
        for (const one of event.materials) this.count(happening, one);
        return;
      case 'add':
        this.add(happening, event);
        return;
      case 'kept':
        this.work(happening, event);
        return;
      default:
        return;
    }
  }

  private put(material: MaterialId, { unit, amount }: StoreAmount): void {
    const there = this.held(material, unit);
    there.amount += amount;
    there.known = true;
  }

  private take(material: MaterialId, { unit, amount }: StoreAmount): void {
    this.held(material, unit).amount -= amount;
  }

  private count({ event: { minute, place } }: Happening, { material, said, amount }: MaterialSaid): void {
    const there = amount === undefined ? undefined : this.held(material, amount.unit);
    const difference =
      amount === undefined || there === undefined || !there.known ? undefined : amount.amount - there.amount;
    this.shelf(material).counted.push({ minute, place, said, amount, difference });
    if (amount === undefined || there === undefined) return;
    there.amount = amount.amount;
    there.known = true;
    there.counted = true;
  }

  /** Materials given to must, wine or fruit, a record a material. */
  private add(happening: Happening, event: Happening['event'] & { readonly kind: 'add' }): void {
    const { added } = happening;
    const materials = [...new Set(event.additions.map(({ material }) => material))];
    for (const material of materials) {
      const own = added.filter((one) => one.material === material);
      const lots = new Map<LotId, StoreAmount>();
      let into = 0;
      for (const one of own) {
        const amount = amountAdded(one);
        into += one.into;
        if (amount === undefined) continue;
        const before = lots.get(one.lot);
        lots.set(one.lot, { unit: amount.unit, amount: (before?.amount ?? 0) + amount.amount });
      }
      const amount = [...lots.values()].reduce<StoreAmount | undefined>(
        (all, one) => ({ unit: one.unit, amount: (all?.amount ?? 0) + one.amount }),
        undefined,
      );
      if (own.length === 0) this.addToFruit(happening, event, material);
      if (amount === undefined) continue;
      this.use(material, {
        happening,
        amount,
        lots: [...lots].map(([id, one]) => ({ lot: id, amount: one })),
        into,
        batch: event.batch,
      });
    }
  }

  private use(material: MaterialId, used: Used): void {
    this.shelf(material).used.push(used);
    if (used.amount !== undefined) this.take(material, used.amount);
  }

  private work(happening: Happening, event: Happening['event'] & { readonly kind: 'kept' }): void {
    for (const { material, amount } of event.used ?? [])
      this.use(material, { happening, amount, lots: [], into: 0, batch: event.prepared?.batch });
    if (event.prepared === undefined) return;
    const { material } = event.prepared;
    this.shelf(material).prepared.push(happening);
    const volume = (event.used ?? []).reduce((sum, { amount }) => sum + (amount?.unit === 'µL' ? amount.amount : 0), 0);
    if (volume > 0) this.put(material, { unit: 'µL', amount: volume });
  }

  /** On fruit: an amount as the line gives it; of a rate, what the lot was given that no other line tells. */
  private addToFruit(
    happening: Happening,
    event: Happening['event'] & { readonly kind: 'add' },
    material: MaterialId,
  ): void {
    const lot = event.targets.flatMap((target) => (target.kind === 'lot' ? [target.lot] : []))[0];
    const said = event.additions.find((one) => one.material === material)?.dose;
    if (lot === undefined || said === undefined) return;
    for (const unit of UNITS) {
      const key = keyOf(lot, material, unit);
      const rest = this.onFruit.get(key) ?? 0;
      if (rest <= 0) continue;
      const amount = { unit, amount: Math.min(rest, absolute(said, unit) ?? rest) };
      this.onFruit.set(key, rest - amount.amount);
      this.use(material, { happening, amount, lots: [{ lot, amount }], into: 0, batch: event.batch });
    }
  }

  records(): ReadonlyMap<MaterialId, MaterialRecord> {
    const records = new Map<MaterialId, MaterialRecord>();
    for (const [material, { held, ...shelf }] of [...this.shelves].sort(([a], [b]) => a - b)) {
      records.set(material, {
        ...shelf,
        onHand: [...held].map(([unit, { amount, counted }]) => ({ unit, amount, counted })),
      });
    }
    return records;
  }
}

const UNITS: readonly StoreUnit[] = ['µg', 'µL', 'pieces'];

const keyOf = (lot: LotId, material: MaterialId, unit: StoreUnit): string => `${lot} ${material} ${unit}`;

/** A dose that is no rate, in that unit. */
function absolute(dose: Dose, unit: StoreUnit): number | undefined {
  if (dose.kind === 'mass' && unit === 'µg') return dose.micrograms;
  if (dose.kind === 'volume' && unit === 'µL') return dose.microlitres;
  return dose.kind === 'count' && unit === 'pieces' ? dose.count : undefined;
}

function amountAdded(added: Happening['added'][number]): StoreAmount | undefined {
  if (added.micrograms !== undefined) return { unit: 'µg', amount: added.micrograms };
  if (added.microlitres !== undefined) return { unit: 'µL', amount: added.microlitres };
  return added.pieces === undefined ? undefined : { unit: 'pieces', amount: added.pieces };
}

const KNOWN = new Known<Book, ReadonlyMap<MaterialId, MaterialRecord>>(storeOf);

/** The store's records by material, for those that were ever bought, used, counted or made. */
export function storeOf(book: Book): ReadonlyMap<MaterialId, MaterialRecord> {
  const known = KNOWN.get(book);
  if (known !== undefined) return known;
  const store = new Store(book);
  for (const happening of book.happenings) store.see(happening);
  const records = store.records();
  KNOWN.set(book, records);
  return records;
}
