/** The state of the cellar at a moment: vessels, lots, their accounts, and what is in doubt. */
import type { LotId, Minute, OriginId, Place, VesselId } from '../journal/events.ts';
import type { Finding } from '../journal/findings.ts';
import type { Register } from '../journal/names.ts';
import type { LotFacts, VesselFacts } from '../journal/register.ts';
import type { Content, LossKind, LotAccount, LotStage } from './book.ts';
import { emptyContent } from './content.ts';

export const NO_LOT = -1;

export interface VesselState {
  readonly facts: VesselFacts;
  readonly content: Content;
  lot: LotId;
  /** When the lot now in it came in. */
  since: Minute;
  retired: boolean;
  /** The unread line that may have touched it. */
  doubt: Finding | undefined;
  /** The line that last emptied it, for findings to point at. */
  emptied: Place | undefined;
  /** The last movement that touched it, to see two files act in one minute. */
  moved: { minute: Minute; place: Place } | undefined;
  /** Whether skins are in it; undefined where the record does not tell. */
  skins: boolean | undefined;
  /** The last sugar reading in degrees Brix, for stages. */
  brix: number | undefined;
  /** Whether it holds wine, or must and juice that are a material still; undefined while it is empty. */
  wine: boolean | undefined;
}

export interface LotState {
  readonly facts: LotFacts;
  readonly account: LotAccount;
  readonly losses: Partial<Record<LossKind, number>>;
  readonly vessels: Set<VesselId>;
  readonly fruit: {
    received: number;
    sorted: number;
    stems: number;
    used: number;
    pomace: number;
    waiting: Map<OriginId, number>;
  };
  /** Materials given to waiting fruit: they go with the must. */
  readonly onFruit: Content;
  readonly bottles: Map<number, number>;
  readonly filled: Map<number, number>;
  /** What the bottles hold. */
  readonly cellared: Content;
  readonly parents: Map<LotId, number>;
  readonly children: Map<LotId, number>;
  readonly direct: Map<number, number>;
  readonly carriedIn: Map<number, number>;
  stage: LotStage;
  /** The highest sugar seen, in degrees Brix. */
  brixMost: number | undefined;
  yeasted: boolean;
  /** When it began to ferment. */
  fermentSince: Minute | undefined;
  doubt: Finding | undefined;
  /** Composition when it last held anything. */
  lastOrigins: { origins: OriginId[]; volumes: number[] };
  firstPlace: Place;
}

export const emptyAccount = (): LotAccount => ({
  made: 0,
  bought: 0,
  found: 0,
  blendedIn: 0,
  liquids: 0,
  dipGains: 0,
  settled: 0,
  blendedOut: 0,
  setApart: 0,
  bottled: 0,
  dispatched: 0,
  samples: 0,
  lees: 0,
  pomace: 0,
  losses: 0,
  evaporation: 0,
  dipLosses: 0,
});

const copyOfContent = (content: Content): Content => ({
  volume: content.volume,
  slack: content.slack,
  origins: [...content.origins],
  volumes: [...content.volumes],
  materials: [...content.materials],
  amounts: [...content.amounts],
});

const copyOfVessel = (state: VesselState, facts: VesselFacts): VesselState => ({
  ...state,
  facts,
  content: copyOfContent(state.content),
});

const copyOfLot = (state: LotState, facts: LotFacts): LotState => ({
  ...state,
  facts,
  account: { ...state.account },
  losses: { ...state.losses },
  vessels: new Set(state.vessels),
  fruit: { ...state.fruit, waiting: new Map(state.fruit.waiting) },
  onFruit: copyOfContent(state.onFruit),
  bottles: new Map(state.bottles),
  filled: new Map(state.filled),
  cellared: copyOfContent(state.cellared),
  parents: new Map(state.parents),
  children: new Map(state.children),
  direct: new Map(state.direct),
  carriedIn: new Map(state.carriedIn),
});

type WineColour = 'red' | 'white' | 'rosé';

export class Cellar {
  readonly register: Register;
  private readonly vesselStates: VesselState[];
  private readonly lotStates: LotState[];
  /** States that a copy has as well, by number: each is copied when it is first asked for. */
  private lentVessels: Set<VesselId> | undefined;
  private lentLots: Set<LotId> | undefined;

  constructor(register: Register, vesselStates: VesselState[] = [], lotStates: LotState[] = []) {
    this.register = register;
    this.vesselStates = vesselStates;
    this.lotStates = lotStates;
  }

  /** The cellar as it stands, over a copy of its register: what is done in either later, the other does not see. */
  copy(register: Register): Cellar {
    const other = new Cellar(register, [...this.vesselStates], [...this.lotStates]);
    for (const cellar of [this, other]) {
      cellar.lentVessels = new Set(this.vesselStates.keys());
      cellar.lentLots = new Set(this.lotStates.keys());
    }
    return other;
  }

  vessel(id: VesselId): VesselState {
    let state = this.vesselStates[id];
    if (this.lentVessels?.delete(id) === true && state !== undefined) {
      state = copyOfVessel(state, this.register.vessel(id));
      this.vesselStates[id] = state;
    }
    if (state === undefined) {
      state = {
        facts: this.register.vessel(id),
        content: emptyContent(),
        lot: NO_LOT,
        since: 0,
        retired: false,
        doubt: undefined,
        emptied: undefined,
        moved: undefined,
        skins: undefined,
        brix: undefined,
        wine: undefined,
      };
      this.vesselStates[id] = state;
    }
    return state;
  }

  lot(id: LotId): LotState {
    let state = this.lotStates[id];
    if (this.lentLots?.delete(id) === true && state !== undefined) {
      state = copyOfLot(state, this.register.lot(id));
      this.lotStates[id] = state;
    }
    if (state === undefined) {
      const facts = this.register.lot(id);
      state = {
        facts,
        account: emptyAccount(),
        losses: {},
        vessels: new Set(),
        fruit: { received: 0, sorted: 0, stems: 0, used: 0, pomace: 0, waiting: new Map() },
        onFruit: emptyContent(),
        bottles: new Map(),
        filled: new Map(),
        cellared: emptyContent(),
        parents: new Map(),
        children: new Map(),
        direct: new Map(),
        carriedIn: new Map(),
        stage: facts.bottling ? 'bottled' : 'fruit',
        brixMost: undefined,
        yeasted: false,
        fermentSince: undefined,
        doubt: undefined,
        lastOrigins: { origins: [], volumes: [] },
        firstPlace: facts.place,
      };
      this.lotStates[id] = state;
    }
    return state;
  }

  /** Every declared vessel and lot, to be read and not to be changed. */
  *vessels(): Generator<Readonly<VesselState>> {
    for (let id = 0; id < this.register.vessels.length; id++) {
      const lent = this.lentVessels?.has(id) === true ? this.vesselStates[id] : undefined;
      yield lent === undefined ? this.vessel(id) : { ...lent, facts: this.register.vessel(id) };
    }
  }
  *lots(): Generator<Readonly<LotState>> {
    for (let id = 0; id < this.register.lots.length; id++) {
      const lent = this.lentLots?.has(id) === true ? this.lotStates[id] : undefined;
      yield lent === undefined ? this.lot(id) : { ...lent, facts: this.register.lot(id) };
    }
  }

  /** What a lot has in vessels and bottles, in microlitres. */
  onHand(lot: LotState): number {
    let volume = lot.cellared.volume;
    for (const id of lot.vessels) volume += this.vessel(id).content.volume;
    return volume;
  }

  fruitWaiting(lot: LotState): number {
    let sum = 0;
    for (const mass of lot.fruit.waiting.values()) sum += mass;
    return sum;
  }

  estimated(lot: LotState): boolean {
    for (const id of lot.vessels) if (this.vessel(id).content.slack > 0) return true;
    return false;
  }

  /** The unread line that leaves one of these in doubt. */
  doubtAbout(vessels: Iterable<VesselId>, lots: Iterable<LotId>): Finding | undefined {
    for (const id of vessels) {
      const { doubt } = this.vessel(id);
      if (doubt !== undefined) return doubt;
    }
    for (const id of lots) {
      const { doubt } = this.lot(id);
      if (doubt !== undefined) return doubt;
    }
    return undefined;
  }

  nameOfLot(id: LotId): string {
    return id === NO_LOT ? 'nothing' : this.register.lot(id).name;
  }

  /** The wine's colour class: rosé by its style, else by the fruit. */
  colourOf(lot: LotState): WineColour | undefined {
    const known = new Map<LotId, WineColour | undefined>();
    // parents first, each once and without recursion: families may be long, and lots may have gone into one another
    const asked = [lot];
    for (let last = asked[0]; last !== undefined; last = asked[asked.length - 1]) {
      const { id } = last.facts;
      const fresh = !known.has(id);
      if (fresh) {
        known.set(id, undefined);
        const before = asked.length;
        if (this.hasParentsColour(last)) {
          for (const parent of last.parents.keys()) if (!known.has(parent)) asked.push(this.lot(parent));
        }
        if (asked.length > before) continue;
      }
      asked.pop();
      known.set(id, this.colourAmong(last, known));
    }
    return known.get(lot.facts.id);
  }

  /** Wine made of other lots has their colour, unless it was said. */
  private hasParentsColour(lot: LotState): boolean {
    const { style } = lot.facts;
    return style !== 'rosé' && style !== 'red' && style !== 'white' && lot.fruit.received === 0 && lot.parents.size > 0;
  }

  private colourAmong(lot: LotState, known: ReadonlyMap<LotId, WineColour | undefined>): WineColour | undefined {
    const { style } = lot.facts;
    if (style === 'rosé' || style === 'red' || style === 'white') return style;
    if (this.hasParentsColour(lot)) {
      const sums = new Map<WineColour, number>();
      for (const [parent, volume] of lot.parents) {
        const colour = known.get(parent);
        if (colour !== undefined) sums.set(colour, (sums.get(colour) ?? 0) + Math.max(1, volume));
      }
      const [most] = [...sums].sort((x, y) => y[1] - x[1]);
      if (most !== undefined) return most[0];
    }
    let red = 0;
    let white = 0;
    const weigh = (origin: number, amount: number): void => {
      const colour = this.register.origins[origin]?.colour;
      if (colour === 'red') red += amount;
      else if (colour !== undefined) white += amount;
    };
    const weighAll = (origins: readonly number[], volumes: readonly number[]): void => {
      for (let i = 0; i < origins.length; i++) weigh(origins[i] ?? -1, volumes[i] ?? 0);
    };
    for (const id of lot.vessels) weighAll(this.vessel(id).content.origins, this.vessel(id).content.volumes);
    if (red + white === 0) weighAll(lot.cellared.origins, lot.cellared.volumes);
    if (red + white === 0) for (const [origin, mass] of lot.fruit.waiting) weigh(origin, mass);
    if (red + white === 0) weighAll(lot.lastOrigins.origins, lot.lastOrigins.volumes);
    if (red + white === 0) return undefined;
    return red >= white ? 'red' : 'white';
  }
}
