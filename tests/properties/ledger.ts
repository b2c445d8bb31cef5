/**
 * A second opinion on what every vessel holds: a naive ledger of movements given as plain data, in exact fractions.
 *
 * It shares no code with the program. Everything in the cellar is counted in fractions of one common denominator; to
 * draw a part of a vessel, the whole cellar is first multiplied by that vessel's volume. That is slow and cannot round.
 */

/** Microlitres. */
export type Volume = bigint;

export interface VesselSize {
  readonly name: string;
  readonly capacity: Volume;
}
export interface Into {
  readonly vessel: string;
  readonly volume: Volume;
}

export type Movement =
  /** Wine that is there on the first day, by parts of its origins. */
  | { readonly kind: 'found'; readonly into: Into; readonly lot: string; readonly origins: readonly [string, bigint][] }
  /** Juice pressed from fruit, by the weights of the fruit. */
  | {
      readonly kind: 'pressed';
      readonly into: Into;
      readonly lot: string;
      readonly origins: readonly [string, bigint][];
    }
  | { readonly kind: 'transferred'; readonly from: string; readonly parts: readonly Into[]; readonly as?: string }
  /** Empties its source: the last part takes what the others and the lees leave. */
  | {
      readonly kind: 'racked';
      readonly from: string;
      readonly parts: readonly Into[];
      readonly last: string;
      readonly lees: Volume;
      readonly as?: string;
    }
  /** Drawn from all vessels of a lot in proportion: whole millilitres rounded down, the rest from the last. */
  | { readonly kind: 'drawn'; readonly lot: string; readonly into: Into; readonly as?: string }
  /** Several sources meet; what is lost is of all of them. */
  | {
      readonly kind: 'blended';
      readonly sources: readonly Into[];
      readonly to: string;
      readonly loss: Volume;
      readonly as: string;
    }
  | { readonly kind: 'lost'; readonly from: Into }
  | { readonly kind: 'dispatched'; readonly from: Into }
  /** Fills a vessel; what went in beyond its headspace had evaporated. */
  | { readonly kind: 'topped'; readonly vessel: string; readonly from: Into }
  | { readonly kind: 'dipped'; readonly at: Into }
  | { readonly kind: 'watered'; readonly into: Into }
  | { readonly kind: 'added'; readonly vessel: string; readonly material: string; readonly micrograms: bigint }
  /** Empties its source into bottles. */
  | {
      readonly kind: 'bottled';
      readonly from: string;
      readonly bottles: bigint;
      readonly size: Volume;
      readonly as: string;
      readonly loss: Volume;
    }
  | { readonly kind: 'sold'; readonly lot: string; readonly bottles: bigint; readonly size: Volume };

export const WATER = 'water';
const MATERIAL = 'material ';
const MILLILITRE = 1000n;

interface Held {
  lot: string | undefined;
  volume: Volume;
  /** By origin, or by `material ...`: numerators over the ledger's denominator. */
  parts: Map<string, bigint>;
}

/** A fraction, not in lowest terms. */
export interface Fraction {
  readonly numerator: bigint;
  readonly denominator: bigint;
}

export class Ledger {
  readonly vessels: readonly VesselSize[];
  private readonly held = new Map<string, Held>();
  private readonly bottled = new Map<string, Held>();
  private readonly out = new Map<string, bigint>();
  private denominator = 1n;

  constructor(vessels: readonly VesselSize[]) {
    this.vessels = vessels;
    for (const { name } of vessels) this.held.set(name, { lot: undefined, volume: 0n, parts: new Map() });
  }

  private at(vessel: string): Held {
    const held = this.held.get(vessel);
    if (held === undefined) throw new Error(`the ledger has no vessel ${vessel}`);
    return held;
  }

  volumeOf(vessel: string): Volume {
    return this.at(vessel).volume;
  }
  lotOf(vessel: string): string | undefined {
    return this.at(vessel).lot;
  }
  spaceIn(vessel: string): Volume {
    const size = this.vessels.find(({ name }) => name === vessel);
    return (size?.capacity ?? 0n) - this.volumeOf(vessel);
  }
  bottlesOf(lot: string): Volume {
    return this.bottled.get(lot)?.volume ?? 0n;
  }
  /** The vessels that hold a lot, in the order they were declared. */
  holding(lot: string): string[] {
    return this.vessels.filter(({ name }) => this.lotOf(name) === lot).map(({ name }) => name);
  }

  private fractions(parts: ReadonlyMap<string, bigint>, materials: boolean): Map<string, Fraction> {
    const found = new Map<string, Fraction>();
    for (const [key, numerator] of parts) {
      if (key.startsWith(MATERIAL) !== materials) continue;
      found.set(materials ? key.slice(MATERIAL.length) : key, { numerator, denominator: this.denominator });
    }
    return found;
  }
  originsOf(vessel: string): Map<string, Fraction> {
    return this.fractions(this.at(vessel).parts, false);
  }
  materialsOf(vessel: string): Map<string, Fraction> {
    return this.fractions(this.at(vessel).parts, true);
  }
  /** Materials that left with wine: bottled, sold, lost, dispatched. */
  materialsGone(): Map<string, Fraction> {
    const all = new Map(this.out);
    for (const { parts } of this.bottled.values())
      for (const [key, part] of parts) all.set(key, (all.get(key) ?? 0n) + part);
    return this.fractions(all, true);
  }

  /** What every lot has in vessels and bottles. */
  lotVolumes(): Map<string, Volume> {
    const sums = new Map<string, Volume>();
    const add = (lot: string | undefined, volume: Volume): void => {
      if (lot !== undefined && volume > 0n) sums.set(lot, (sums.get(lot) ?? 0n) + volume);
    };
    for (const { lot, volume } of this.held.values()) add(lot, volume);
    for (const [lot, { volume }] of this.bottled) add(lot, volume);
    return sums;
  }

  /** Multiplies every numerator and the denominator, so that a division by the factor comes out even. */
  private refine(factor: bigint): void {
    this.denominator *= factor;
    const grow = (parts: Map<string, bigint>): void => {
      for (const [key, part] of parts) parts.set(key, part * factor);
    };
    for (const { parts } of this.held.values()) grow(parts);
    for (const { parts } of this.bottled.values()) grow(parts);
    grow(this.out);
  }

  /** Takes a part of what is held, with its part of everything in it. */
  private take(held: Held, volume: Volume): Held {
    if (volume > held.volume || volume < 0n) throw new Error(`${volume} µL of ${held.volume} µL cannot be taken`);
    const whole = held.volume;
    const taken: Held = { lot: held.lot, volume, parts: new Map() };
    if (volume === whole) {
      taken.parts = held.parts;
      held.parts = new Map();
      held.volume = 0n;
      held.lot = undefined;
      return taken;
    }
    if (volume === 0n) return taken;
    this.refine(whole);
    for (const [key, part] of held.parts) {
      const share = (part / whole) * volume;
      taken.parts.set(key, share);
      held.parts.set(key, part - share);
    }
    held.volume -= volume;
    return taken;
  }

  private give(held: Held, given: Held, lot: string | undefined): void {
    if (given.volume === 0n) return;
    for (const [key, part] of given.parts) held.parts.set(key, (held.parts.get(key) ?? 0n) + part);
    held.volume += given.volume;
    held.lot = lot;
  }

  private letGo(taken: Held): void {
    for (const [key, part] of taken.parts) this.out.set(key, (this.out.get(key) ?? 0n) + part);
  }

  /** The name wine has in a vessel: the one said, else the one that is there, else its own. */
  private put(vessel: string, given: Held, as: string | undefined): void {
    const held = this.at(vessel);
    this.give(held, given, as ?? (held.volume > 0n ? held.lot : given.lot));
  }

  /** Another volume of the same wine; what is dissolved stays. */
  private stretch(held: Held, volume: Volume): void {
    const whole = held.volume;
    this.refine(whole);
    for (const [key, part] of held.parts) if (!key.startsWith(MATERIAL)) held.parts.set(key, (part / whole) * volume);
    held.volume = volume;
    if (volume === 0n) held.lot = undefined;
  }

  private make(into: Into, lot: string, origins: readonly [string, bigint][]): void {
    const all = origins.reduce((sum, [, part]) => sum + part, 0n);
    this.refine(all);
    const made: Held = { lot, volume: into.volume, parts: new Map() };
    for (const [origin, part] of origins) {
      made.parts.set(origin, (made.parts.get(origin) ?? 0n) + (this.denominator / all) * part * into.volume);
    }
    this.put(into.vessel, made, undefined);
  }

  apply(movement: Movement): void {
    switch (movement.kind) {
      case 'found':
      case 'pressed':
        this.make(movement.into, movement.lot, movement.origins);
        return;
      case 'transferred':
        for (const { vessel, volume } of movement.parts)
          this.put(vessel, this.take(this.at(movement.from), volume), movement.as);
        return;
      case 'racked': {
        const from = this.at(movement.from);
        this.letGo(this.take(from, movement.lees));
        for (const { vessel, volume } of movement.parts) this.put(vessel, this.take(from, volume), movement.as);
        this.put(movement.last, this.take(from, from.volume), movement.as);
        return;
      }
      case 'drawn': {
        const sources = this.holding(movement.lot).filter((name) => name !== movement.into.vessel);
        const total = sources.reduce((sum, name) => sum + this.volumeOf(name), 0n);
        const volumes = sources.map(
          (name) => ((movement.into.volume * this.volumeOf(name)) / total / MILLILITRE) * MILLILITRE,
        );
        const before = volumes.slice(0, -1).reduce((sum, volume) => sum + volume, 0n);
        volumes[volumes.length - 1] = movement.into.volume - before;
        for (const [i, name] of sources.entries())
          this.put(movement.into.vessel, this.take(this.at(name), volumes[i] ?? 0n), movement.as);
        return;
      }
      case 'blended': {
        const pool: Held = { lot: movement.as, volume: 0n, parts: new Map() };
        for (const { vessel, volume } of movement.sources) {
          const taken = this.take(this.at(vessel), volume);
          // what is on its way is counted with the rest when the ledger is refined
          this.bottled.set(`on its way from ${vessel}`, taken);
        }
        for (const { vessel } of movement.sources) {
          const taken = this.bottled.get(`on its way from ${vessel}`);
          this.bottled.delete(`on its way from ${vessel}`);
          if (taken !== undefined) this.give(pool, taken, movement.as);
        }
        this.bottled.set('the pool', pool);
        this.letGo(this.take(pool, movement.loss));
        this.bottled.delete('the pool');
        pool.lot = movement.as;
        this.put(movement.to, pool, movement.as);
        return;
      }
      case 'lost':
      case 'dispatched':
        this.letGo(this.take(this.at(movement.from.vessel), movement.from.volume));
        return;
      case 'topped': {
        const held = this.at(movement.vessel);
        const beyond = movement.from.volume - this.spaceIn(movement.vessel);
        if (beyond > 0n) this.stretch(held, held.volume - beyond);
        this.put(movement.vessel, this.take(this.at(movement.from.vessel), movement.from.volume), held.lot);
        return;
      }
      case 'dipped': {
        const held = this.at(movement.at.vessel);
        // wine that is missing took its part of everything along; wine that turns up is more of the same
        if (movement.at.volume < held.volume) this.letGo(this.take(held, held.volume - movement.at.volume));
        else this.stretch(held, movement.at.volume);
        return;
      }
      case 'watered': {
        const held = this.at(movement.into.vessel);
        const parts = new Map([[WATER, movement.into.volume * this.denominator]]);
        this.give(held, { lot: held.lot, volume: movement.into.volume, parts }, held.lot);
        return;
      }
      case 'added': {
        const { parts } = this.at(movement.vessel);
        const key = MATERIAL + movement.material;
        parts.set(key, (parts.get(key) ?? 0n) + movement.micrograms * this.denominator);
        return;
      }
      case 'bottled': {
        const from = this.at(movement.from);
        this.letGo(this.take(from, movement.loss));
        const taken = this.take(from, from.volume);
        if (taken.volume !== movement.bottles * movement.size) throw new Error('the bottles are not what was left');
        this.bottled.set(movement.as, { ...taken, lot: movement.as });
        return;
      }
      case 'sold': {
        const held = this.bottled.get(movement.lot);
        if (held === undefined) throw new Error(`the ledger has no bottles of ${movement.lot}`);
        this.letGo(this.take(held, movement.bottles * movement.size));
        return;
      }
    }
  }
}
