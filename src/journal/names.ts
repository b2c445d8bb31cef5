/** The register: what names stand for at the moment the journal has been read to. */
import { type Colour, fold } from '../../grammar/words.ts';
import type { LotId, MaterialId, Minute, OriginId, Place, VesselId } from './events.ts';
import type { PlanFacts } from './plans.ts';
import type { BlockFacts, LotFacts, MaterialFacts, Origin, Sample, Settings, VesselFacts } from './register.ts';

export type Named =
  | { readonly kind: 'vessel'; readonly id: VesselId }
  | { readonly kind: 'lot'; readonly id: LotId }
  | { readonly kind: 'block'; readonly id: number }
  | { readonly kind: 'sample'; readonly id: number };

/** Most members a range of names may have. */
export const LONGEST_RANGE = 1000;

export type Expanded = { readonly names: readonly string[] } | { readonly problem: string };

const RANGE_END = /^(.*?)(\d+)$/s;

/** The names of a range, by the digits at its ends: `B1..B15`, `FB-01..FB-12`. */
export function rangeNames(from: string, to: string): Expanded {
  const first = RANGE_END.exec(from);
  const last = RANGE_END.exec(to);
  if (first === null || last === null) return { problem: 'both ends of a range end in a number' };
  const [, prefix = '', low = ''] = first;
  const [, otherPrefix = '', high = ''] = last;
  if (fold(prefix) !== fold(otherPrefix)) return { problem: `\`${from}\` and \`${to}\` do not begin alike` };
  const start = Number(low);
  const end = Number(high);
  if (end < start) return { problem: `\`${to}\` comes before \`${from}\`` };
  if (end - start >= LONGEST_RANGE) return { problem: `a range has at most ${LONGEST_RANGE} members` };
  const names: string[] = [];
  for (let i = start; i <= end; i++) names.push(prefix + String(i).padStart(low.length, '0'));
  return { names };
}

/** A name without its digits, in lower case: `LS-p1` and `LS-p2` are of one shape. */
export const shapeOf = (name: string): string => fold(name).replace(/[-_/]?\d+/g, '');

/** A range whose ends stand the wrong way round, mended. */
export function rangeMeant(from: string, to: string): string | undefined {
  return 'problem' in rangeNames(to, from) || from === to ? undefined : `${to}..${from}`;
}

/** What to write instead of a range that cannot be expanded. */
export function rangeHelp(from: string, to: string): string {
  const meant = rangeMeant(from, to);
  if (meant !== undefined) return `write \`${meant}\``;
  const [first, last] = [RANGE_END.exec(from), RANGE_END.exec(to)];
  return first !== null && last !== null && fold(first[1] ?? '') === fold(last[1] ?? '')
    ? 'write it as several ranges, with a comma between them'
    : 'write a range with the numbers at both ends: `B1..B15`';
}

function addAll<T>(to: T[], from: readonly T[]): void {
  for (const one of from) to.push(one);
}

function setAll<K, V>(to: Map<K, V>, from: ReadonlyMap<K, V>): void {
  for (const [key, value] of from) to.set(key, value);
}

/** Every name the journal has given so far; grows as the journal is read in the order of time. */
export class Register {
  readonly vessels: VesselFacts[] = [];
  readonly lots: LotFacts[] = [];
  readonly blocks: BlockFacts[] = [];
  readonly samples: Sample[] = [];
  readonly materials: MaterialFacts[] = [];
  readonly origins: Origin[] = [];
  readonly hands: string[] = [];
  readonly plans: PlanFacts[] = [];
  readonly varieties = new Map<string, Colour>();
  readonly settings: Settings = {
    name: '',
    volume: 'L',
    temperature: 'C',
    mass: 'kg',
    law: 'none',
    methods: new Map(),
    tolerances: {
      dip: 10_000,
      volume: 5_000,
      estimate: 100_000,
      topping: 50_000,
      capacity: 5_000,
      pressing: 100_000,
    },
  };

  private readonly places = new Map<string, Named>();
  private readonly placeSpellings = new Map<string, Named>();
  /** Vessel and lot names without their digits, each with the first name that has that shape. */
  readonly shapes = new Map<string, string>();
  private readonly materialNames = new Map<string, MaterialId>();
  private readonly handNames = new Map<string, string>();
  private readonly ranges = new Map<string, readonly VesselId[] | string>();
  private readonly oldNames = new Map<string, Named>();
  private readonly originKeys = new Map<string, OriginId>();

  /** The register as it stands: what either learns later, the other does not know. */
  copy(): Register {
    const other = new Register();
    for (const facts of this.vessels) other.vessels.push({ ...facts });
    for (const facts of this.lots) other.lots.push({ ...facts, formerly: [...facts.formerly] });
    addAll(other.blocks, this.blocks);
    addAll(other.samples, this.samples);
    addAll(other.materials, this.materials);
    addAll(other.origins, this.origins);
    addAll(other.hands, this.hands);
    addAll(other.plans, this.plans);
    setAll(other.varieties, this.varieties);
    Object.assign(other.settings, {
      ...this.settings,
      methods: new Map(this.settings.methods),
      tolerances: { ...this.settings.tolerances },
    });
    setAll(other.places, this.places);
    setAll(other.shapes, this.shapes);
    setAll(other.materialNames, this.materialNames);
    setAll(other.handNames, this.handNames);
    setAll(other.ranges, this.ranges);
    setAll(other.oldNames, this.oldNames);
    setAll(other.originKeys, this.originKeys);
    return other;
  }

  /** What a vessel, lot, block or sample name stands for. */
  place(name: string): Named | undefined {
    const known = this.placeSpellings.get(name);
    if (known !== undefined) return known;
    const found = this.places.get(fold(name));
    if (found !== undefined) this.placeSpellings.set(name, found);
    return found;
  }

  nameOf(named: Named): string {
    switch (named.kind) {
      case 'vessel':
        return this.vessel(named.id).name;
      case 'lot':
        return this.lot(named.id).name;
      case 'block':
        return this.blocks[named.id]?.name ?? '';
      case 'sample':
        return this.samples[named.id]?.name ?? '';
    }
  }

  /** The line that gave a name. */
  placeOf(named: Named): Place | undefined {
    switch (named.kind) {
      case 'vessel':
        return this.vessels[named.id]?.place;
      case 'lot':
        return this.lots[named.id]?.place;
      case 'block':
        return this.blocks[named.id]?.place;
      case 'sample':
        return this.samples[named.id]?.place;
    }
  }

  vessel(id: VesselId): VesselFacts {
    const facts = this.vessels[id];
    if (facts === undefined) throw new RangeError(`no vessel ${id}`);
    return facts;
  }

  lot(id: LotId): LotFacts {
    const facts = this.lots[id];
    if (facts === undefined) throw new RangeError(`no lot ${id}`);
    return facts;
  }

  /** The declared vessels of a range, or what is wrong with it. */
  range(from: string, to: string): readonly VesselId[] | string {
    const key = `${from}\u0000${to}`;
    const known = this.ranges.get(key);
    if (known !== undefined) return known;
    const expanded = rangeNames(from, to);
    if ('problem' in expanded) return expanded.problem;
    const ends = [from, to].map((name) => this.place(name));
    for (const [i, end] of ends.entries()) {
      if (end?.kind !== 'vessel') return `\`${i === 0 ? from : to}\` is not a vessel`;
    }
    const ids: VesselId[] = [];
    for (const name of expanded.names) {
      const named = this.place(name);
      // a gap in the numbers is a vessel that was never declared, and is passed over
      if (named?.kind === 'vessel') ids.push(named.id);
    }
    this.ranges.set(key, ids);
    return ids;
  }

  addVessel(facts: Omit<VesselFacts, 'id'>): VesselId {
    const id = this.vessels.length;
    this.vessels.push({ ...facts, id });
    this.shape(facts.name);
    this.places.set(fold(facts.name), { kind: 'vessel', id });
    this.ranges.clear();
    return id;
  }

  addLot(name: string, place: Place, since: Minute, bottling = false): LotId {
    const id = this.lots.length;
    this.lots.push({ id, name: name.normalize('NFC'), formerly: [], place, since, bottling });
    this.places.set(fold(name), { kind: 'lot', id });
    this.shape(name);
    return id;
  }

  private shape(name: string): void {
    const key = shapeOf(name);
    if (!this.shapes.has(key)) this.shapes.set(key, name);
  }

  addBlock(facts: BlockFacts): void {
    this.places.set(fold(facts.name), { kind: 'block', id: this.blocks.length });
    this.blocks.push(facts);
  }

  addSample(sample: Sample): void {
    this.places.set(fold(sample.name), { kind: 'sample', id: this.samples.length });
    this.samples.push(sample);
  }

  addMaterial(facts: Omit<MaterialFacts, 'id'>): MaterialId {
    const id = this.materials.length;
    this.materials.push({ ...facts, id });
    this.materialNames.set(fold(facts.name), id);
    return id;
  }

  material(name: string): MaterialId | undefined {
    return this.materialNames.get(name) ?? this.materialNames.get(fold(name));
  }

  addHand(name: string): void {
    this.hands.push(name);
    this.handNames.set(fold(name), name);
  }

  hand(name: string): string | undefined {
    return this.handNames.get(name) ?? this.handNames.get(fold(name));
  }

  /** A plan by its name; one that was written anew under a later day is the later one. */
  plan(name: string): PlanFacts | undefined {
    const key = fold(name);
    return this.plans.findLast((plan) => fold(plan.name) === key);
  }

  addPlan(facts: Omit<PlanFacts, 'id'>): void {
    this.plans.push({ ...facts, id: this.plans.length });
  }

  /** The id of an origin; equal origins are one. */
  origin(facts: Omit<Origin, 'id'>): OriginId {
    const key = JSON.stringify([
      facts.block,
      facts.variety,
      facts.colour,
      facts.vintage,
      facts.region,
      facts.grower,
      facts.estate,
      facts.run,
    ]);
    const known = this.originKeys.get(key);
    if (known !== undefined) return known;
    const id = this.origins.length;
    this.origins.push({ ...facts, id });
    this.originKeys.set(key, id);
    return id;
  }

  /** The same origin, drained or pressed. */
  withRun(id: OriginId, run: 'free' | 'press'): OriginId {
    const origin = this.origins[id];
    if (origin === undefined || origin.run !== undefined) return id;
    const { id: _, ...facts } = origin;
    return this.origin({ ...facts, run });
  }

  /** Gives a vessel or a lot another name. The old one is free again. */
  rename(named: Named, to: string): void {
    const old = this.nameOf(named);
    this.oldNames.set(fold(old), named);
    this.places.delete(fold(old));
    this.placeSpellings.clear();
    this.ranges.clear();
    this.places.set(fold(to), named);
    if (named.kind === 'vessel') this.vessel(named.id).name = to;
    else if (named.kind === 'lot') {
      const facts = this.lot(named.id);
      facts.formerly.push(old);
      facts.name = to;
    }
  }

  /** The vessel with the highest number among those called like a name that is not declared: `FB-12` for `FB-40`. */
  lastOfSeries(name: string): string | undefined {
    const prefix = fold(RANGE_END.exec(name)?.[1] ?? '');
    let last: { name: string; number: number } | undefined;
    for (const vessel of this.vessels) {
      const match = RANGE_END.exec(vessel.name);
      if (match === null || fold(match[1] ?? '') !== prefix) continue;
      const number = Number(match[2]);
      if (last === undefined || number > last.number) last = { name: vessel.name, number };
    }
    return last !== undefined && last.number < Number(RANGE_END.exec(name)?.[2]) ? last.name : undefined;
  }

  /** What something is called now that went by this name before. */
  nowCalled(name: string): string | undefined {
    const named = this.oldNames.get(fold(name));
    return named === undefined ? undefined : this.nameOf(named);
  }

  /** Every vessel and lot name, for suggestions. */
  *placeNames(kinds: readonly Named['kind'][]): Generator<string> {
    for (const named of this.places.values()) if (kinds.includes(named.kind)) yield this.nameOf(named);
  }

  *materialNameList(): Generator<string> {
    for (const material of this.materials) yield material.name;
  }
}
