/**
 * The account of a cellar by classes of wine: each event as postings from one account to another. Whole microlitres go
 * round: what an account held, with what came and less what went, is what it holds, after every single event.
 */
import { REMOVALS, type Style } from '../../grammar/words.ts';
import type { Became, Movement } from '../cellar/book.ts';
import { coarseBrix } from '../cellar/stages.ts';
import type { Event, LotId, Microlitres, Minute, Reading, VesselId } from '../journal/events.ts';
import { alcoholBy, alcoholConvention } from '../journal/house-methods.ts';
import type { Settings } from '../journal/register.ts';
import { convertDensity, type DensityScale } from '../trade/density-reading.ts';
import { isRefused } from '../trade/worked.ts';
import type { AccountKind, LineKey, VolumeRules, WineClass } from './volume-rules.ts';

/** `must`, a class's wine in vessels (`bulk still-16`) or in bottles (`bottled still-16`). */
export type Account = 'must' | `${Exclude<AccountKind, 'must'>} ${string}`;

/** A volume that went from one account to another, or came into the cellar or left it. */
export interface Posting {
  readonly from: Account | undefined;
  readonly to: Account | undefined;
  readonly key: LineKey;
  readonly volume: Microlitres;
  /** The vessel it is of; undefined for bottles. */
  readonly vessel: VesselId | undefined;
  readonly lot: LotId;
  /** It follows from an estimate: nobody measured it. */
  readonly estimated: boolean;
  /** Of wine that most of was produced in the same calendar year, and not there at its start or received. */
  readonly fresh: boolean;
}

/** What of an event and the cellar the account is kept from. */
export interface Step {
  readonly event: Event;
  readonly movements: readonly Movement[];
  readonly vessels: Iterable<VesselId>;
  readonly lots: Iterable<LotId>;
  readonly became: readonly Became[];
}

/** What is known of what a vessel, or the bottles of a lot, hold. */
interface Held {
  account: Account;
  lot: LotId;
  volume: Microlitres;
  /** Parts per million of the volume: as read, or as the must's sugar promises. */
  strength: number | undefined;
  read: boolean;
  /** The highest sugar seen, in degrees Brix, coarsely. */
  brix: number;
  /** Milligrams of carbon dioxide a litre, as last read. */
  gas: number | undefined;
  sparkling: boolean;
  /** The year its larger part was produced in here; undefined: it was found, received, or is must. */
  year: number | undefined;
}

/** All that is remembered between two events, as plain data. */
export interface AccountMemory {
  readonly vessels: Map<VesselId, Held>;
  readonly bottles: Map<LotId, Held>;
}

export const freshAccounts = (): AccountMemory => ({ vessels: new Map(), bottles: new Map() });

export interface AccountFacts {
  readonly rules: VolumeRules;
  readonly settings: Settings;
  readonly styleOf: (lot: LotId) => Style | undefined;
  readonly isBottling: (lot: LotId) => boolean;
}

const NONE: readonly Posting[] = [];
const SCALES: readonly string[] = ['brix', 'SG', 'density', 'oechsle', 'baume', 'plato'];
const isScale = (analyte: string): analyte is DensityScale => SCALES.includes(analyte);

/** The class of wine of so much alcohol and gas; what nothing is known of is taken for the weakest. */
export function classOf(
  rules: VolumeRules,
  strength: number | undefined,
  gas: number | undefined,
  sparkling: boolean,
): WineClass {
  const effervescent = rules.gas === undefined ? sparkling && gas !== undefined : (gas ?? 0) > rules.gas.above;
  if (effervescent) return sparkling ? rules.sparkling : rules.carbonated;
  return rules.classes.find(({ upTo }) => upTo === undefined || (strength ?? 0) <= upTo) ?? rules.classes[0];
}

/** The alcohol that sugar of a must promises by the house's convention, in parts per million; undefined for none. */
function promised(analyte: DensityScale, value: number, settings: Settings): number | undefined {
  const brix = convertDensity(value, analyte, 'brix');
  const sugar = convertDensity(value, analyte, 'sugar');
  if (isRefused(brix) || isRefused(sugar)) return undefined;
  const alcohol = alcoholBy(alcoholConvention(settings), brix.value, sugar.value);
  return isRefused(alcohol) ? undefined : Math.round(alcohol * 10_000);
}

/** Posts one event, and remembers what it changed. */
export function postingsOf(memory: AccountMemory, facts: AccountFacts, step: Step): readonly Posting[] {
  const { event, movements, became } = step;
  const learned = event.kind === 'reading' && learn(memory, facts, step, event);
  const moved = movements.length > 0 || became.length > 0 ? new Posted(memory, facts, step).all() : NONE;
  return learned ? [...moved, ...reclassed(memory, facts, step)] : moved;
}

/** Wine that a reading shows to be of another class. */
function reclassed(memory: AccountMemory, facts: AccountFacts, step: Step): readonly Posting[] {
  const posted: Posting[] = [];
  for (const [held, vessel] of heldBy(memory, facts, step)) {
    if (held.account === 'must') continue;
    const { account: from, lot, volume } = held;
    const to = vessel === undefined ? bottledAccount(facts.rules, held) : bulkAccount(facts.rules, held);
    if (to === from) continue;
    const bubbles = vessel !== undefined && effervescenceDiffers(facts.rules, from, to);
    const key = bubbles ? 'effervescent' : 'corrected';
    posted.push({ from, to, key, volume, vessel, lot, estimated: false, fresh: false });
    held.account = to;
  }
  return posted;
}

const bulkAccount = (rules: VolumeRules, held: Held): Account =>
  `bulk ${classOf(rules, held.strength, held.gas, held.sparkling).id}`;

/** What is to sparkle is sealed in: its gas is read once at most. */
const bottledAccount = (rules: VolumeRules, held: Held): Account =>
  `bottled ${held.sparkling ? rules.sparkling.id : classOf(rules, held.strength, held.gas, false).id}`;

function* heldBy(
  { vessels, bottles }: AccountMemory,
  facts: AccountFacts,
  step: Step,
): Generator<readonly [Held, VesselId | undefined]> {
  for (const id of step.vessels) {
    const held = vessels.get(id);
    if (held !== undefined && held.volume > 0) yield [held, id];
  }
  for (const id of step.lots) {
    const held = facts.isBottling(id) ? bottles.get(id) : undefined;
    if (held !== undefined && held.volume > 0) yield [held, undefined];
  }
}

/** Takes from a reading what tells of a class; whether there was any such figure. */
function learn(memory: AccountMemory, facts: AccountFacts, step: Step, { measures }: Reading): boolean {
  let learned = false;
  for (const { analyte, value, mark, high } of measures) {
    if (mark === '<' || mark === '>' || high !== undefined) continue;
    if (analyte === 'alcohol' || analyte === 'CO2') {
      for (const [held] of heldBy(memory, facts, step)) {
        learned = true;
        if (analyte === 'CO2') held.gas = Math.round(value * 1000);
        else {
          held.strength = Math.round(value * 10_000);
          held.read = true;
        }
      }
    } else if (isScale(analyte)) {
      const brix = coarseBrix(analyte, value) ?? 0;
      let strength: number | undefined;
      for (const [held] of heldBy(memory, facts, step)) {
        if (held.account !== 'must' || brix <= held.brix) continue;
        held.brix = brix;
        strength ??= promised(analyte, value, facts.settings);
        if (!held.read) held.strength = strength;
      }
    }
  }
  return learned;
}

function effervescenceDiffers(rules: VolumeRules, one: Account, other: Account): boolean {
  const fizzy = (account: Account): boolean =>
    [rules.sparkling, rules.carbonated].some(({ id }) => account.endsWith(` ${id}`));
  return fizzy(one) !== fizzy(other);
}

/** A vessel in one event. */
interface InEvent {
  readonly id: VesselId;
  readonly before: Account | undefined;
  /** The year what it held before was produced in. */
  readonly wasOf: number | undefined;
  readonly held: Held;
  /** What the event left in each account so far: all but the last is moved on at its end. */
  readonly balance: Map<Account, Microlitres>;
  after: Account | undefined;
  came: boolean;
  estimated: boolean;
}

/** The postings of one event. */
class Posted {
  private readonly memory: AccountMemory;
  private readonly facts: AccountFacts;
  private readonly step: Step;
  private readonly vessels = new Map<VesselId, InEvent>();
  private readonly posted: Posting[] = [];
  private readonly year: number;

  constructor(memory: AccountMemory, facts: AccountFacts, step: Step) {
    this.memory = memory;
    this.facts = facts;
    this.step = step;
    this.year = yearOf(step.event.minute);
  }

  all(): readonly Posting[] {
    for (const movement of this.step.movements) this.mix(movement);
    for (const { vessel, wine, estimated } of this.step.became) {
      const one = this.vessel(vessel);
      one.after = wine ? bulkAccount(this.facts.rules, one.held) : 'must';
      one.held.year = wine && this.isMade(one) ? this.year : wine ? one.held.year : undefined;
      one.estimated = estimated;
    }
    for (const one of this.vessels.values()) {
      if (one.held.volume === 0) one.after = undefined;
      else if (one.after === undefined)
        one.after = one.before === 'must' ? 'must' : bulkAccount(this.facts.rules, one.held);
    }
    for (const movement of this.step.movements) this.post(movement);
    for (const one of this.vessels.values()) this.close(one);
    return this.posted;
  }

  /** Whether what a vessel holds was must when the event began, where it lay or where it came from. */
  private isMade(one: InEvent): boolean {
    if (one.before === 'must') return true;
    const [most] = this.step.movements
      .filter((movement) => movement.kind === 'across' && movement.to === one.id)
      .toSorted((a, b) => b.volume - a.volume);
    return most?.kind === 'across' && this.vessel(most.from).before === 'must';
  }

  private vessel(id: VesselId): InEvent {
    let one = this.vessels.get(id);
    if (one === undefined) {
      let held = this.memory.vessels.get(id);
      if (held === undefined) {
        held = emptyHeld();
        this.memory.vessels.set(id, held);
      }
      const before = held.volume > 0 ? held.account : undefined;
      one = {
        id,
        before,
        wasOf: held.year,
        held,
        balance: new Map(before === undefined ? [] : [[before, held.volume]]),
        after: undefined,
        came: false,
        estimated: false,
      };
      this.vessels.set(id, one);
    }
    return one;
  }

  private bottles(lot: LotId): Held {
    let held = this.memory.bottles.get(lot);
    if (held === undefined) {
      held = { ...emptyHeld(), lot, sparkling: this.facts.styleOf(lot) === 'sparkling' };
      this.memory.bottles.set(lot, held);
    }
    return held;
  }

  /** Volumes and what is known of them, in the order of the movements. */
  private mix(movement: Movement): void {
    const { facts } = this;
    switch (movement.kind) {
      case 'in': {
        const { held } = this.vessel(movement.vessel);
        const same = movement.how === 'dip' || movement.how === 'settled' || movement.how === 'liquid';
        if (!same) pourInto(held, emptyHeld(), movement.volume, facts.styleOf(movement.lot) === 'sparkling');
        else held.volume += movement.volume;
        held.lot = movement.lot;
        break;
      }
      case 'out':
        this.vessel(movement.vessel).held.volume -= movement.volume;
        break;
      case 'across': {
        const from = this.vessel(movement.from);
        const to = this.vessel(movement.to);
        from.held.volume -= movement.volume;
        pourInto(to.held, from.held, movement.volume, facts.styleOf(movement.toLot) === 'sparkling');
        to.held.lot = movement.toLot;
        to.came = true;
        break;
      }
      case 'renamed':
        this.vessel(movement.vessel).held.lot = movement.toLot;
        break;
      case 'bottles':
        break;
    }
  }

  private post(movement: Movement): void {
    switch (movement.kind) {
      case 'in':
        this.cameIn(movement);
        break;
      case 'out':
        this.wentOut(movement);
        break;
      case 'across': {
        const from = this.vessel(movement.from);
        const to = this.vessel(movement.to);
        const left = from.before ?? from.after ?? to.after ?? to.before ?? this.weakest();
        const arrived = to.after ?? to.before ?? left;
        this.transfer(left, arrived, movement.volume, to, movement.toLot);
        add(from.balance, left, -movement.volume);
        add(to.balance, arrived, movement.volume);
        break;
      }
      case 'renamed':
        break;
      case 'bottles':
        this.bottlesMoved(movement);
        break;
    }
  }

  private weakest(): Account {
    return `bulk ${this.facts.rules.classes[0].id}`;
  }

  private cameIn(movement: Movement & { kind: 'in' }): void {
    const { vessel, lot, volume, how } = movement;
    const one = this.vessel(vessel);
    const now = one.before ?? one.after ?? this.weakest();
    const wine = one.after === undefined || one.after === 'must' ? this.weakest() : one.after;
    const [to, key] =
      how === 'made'
        ? (['must', 'made'] as const)
        : how === 'bought' || how === 'found'
          ? ([wine, how] as const)
          : ([now, how === 'dip' ? 'gain' : how] as const);
    this.write({ from: undefined, to, key, volume, vessel, lot, estimated: false, fresh: false });
    add(one.balance, to, volume);
  }

  private wentOut(movement: Movement & { kind: 'out' }): void {
    const { vessel, lot, volume, how } = movement;
    const one = this.vessel(vessel);
    const { event } = this.step;
    const from = one.before ?? one.after ?? this.weakest();
    add(one.balance, from, -volume);
    if (how === 'bottled') {
      if (event.kind === 'bottle') this.fill(event.as, one, from, volume, lot);
      return;
    }
    const key: LineKey =
      how === 'dispatched' ? removal(event) : how === 'dip' ? 'short' : how === 'settled' ? 'settled' : how;
    this.write({ from, to: undefined, key, volume, vessel, lot, estimated: false, fresh: one.wasOf === this.year });
  }

  /** Bottles hold one class: what is filled of another becomes it on the way. */
  private fill(bottling: LotId, one: InEvent, from: Account, volume: Microlitres, lot: LotId): void {
    const held = this.bottles(bottling);
    const fresh = held.volume === 0;
    pourInto(held, { ...one.held, volume }, volume, held.sparkling || one.held.sparkling);
    if (fresh) held.account = bottledAccount(this.facts.rules, held);
    const bulk: Account = `bulk ${held.account.slice('bottled '.length)}`;
    this.transfer(from, bulk, volume, one, lot);
    this.write({
      from: bulk,
      to: held.account,
      key: 'bottled',
      volume,
      vessel: one.id,
      lot,
      estimated: false,
      fresh: false,
    });
  }

  private bottlesMoved({ direction, lot, volume, how }: Movement & { kind: 'bottles' }): void {
    if (how === 'filled') return;
    const held = this.bottles(lot);
    if (held.account === 'must') held.account = bottledAccount(this.facts.rules, held);
    const common = { volume, vessel: undefined, lot, estimated: false, fresh: false };
    if (direction === 'in') {
      held.volume += volume;
      const key = how === 'found' ? 'found' : 'gain';
      this.write({ from: undefined, to: held.account, key, ...common });
      return;
    }
    held.volume -= volume;
    const key: LineKey =
      how === 'dispatched' ? removal(this.step.event) : how === 'dip' || how === 'found' ? 'short' : how;
    this.write({ from: held.account, to: undefined, key, ...common });
  }

  /** What goes from one account to another within the cellar, under the name of what it is. */
  private transfer(from: Account, to: Account, volume: Microlitres, one: InEvent, lot: LotId): void {
    if (from === to) return;
    const key = this.transferKey(from, to, one);
    this.write({
      from,
      to,
      key,
      volume,
      vessel: one.id,
      lot,
      estimated: one.estimated && from === 'must',
      fresh: false,
    });
  }

  private transferKey(from: Account, to: Account, one: InEvent): LineKey {
    const { event } = this.step;
    if (from === 'must') {
      const poured = one.before !== undefined && one.before !== 'must' && !LEAVES_FERMENTER.has(event.verb);
      return poured ? 'juice' : 'produced';
    }
    if (to === 'must') return 'refermented';
    if (effervescenceDiffers(this.facts.rules, from, to)) return 'effervescent';
    return one.came || event.kind === 'bottle' ? 'blended' : 'corrected';
  }

  /** At its end everything in a vessel is of one account. */
  private close(one: InEvent): void {
    const { after, balance, held } = one;
    const others = [...balance].filter(([account, volume]) => account !== after && volume !== 0);
    const end = after ?? others.find(([, volume]) => volume < 0)?.[0];
    for (const [account, volume] of others) {
      if (end === undefined || account === end) continue;
      if (volume > 0) this.transfer(account, end, volume, one, held.lot);
      else this.transfer(end, account, -volume, one, held.lot);
    }
    if (after === undefined) this.memory.vessels.delete(one.id);
    else held.account = after;
  }

  private write(posting: Posting): void {
    if (posting.volume > 0) this.posted.push(posting);
  }
}

/** With these wine leaves its fermenter, wherever it goes; with others must that goes into wine is poured in. */
const LEAVES_FERMENTER: ReadonlySet<Event['verb']> = new Set<Event['verb']>(['press', 'drain', 'bottle']);

const yearOf = (minute: Minute): number => new Date(minute * 60_000).getUTCFullYear();

const emptyHeld = (): Held => ({
  account: 'must',
  lot: -1,
  volume: 0,
  strength: undefined,
  read: false,
  brix: Number.NEGATIVE_INFINITY,
  gas: undefined,
  sparkling: false,
  year: undefined,
});

const add = (balance: Map<Account, Microlitres>, account: Account, volume: Microlitres): void => {
  balance.set(account, (balance.get(account) ?? 0) + volume);
};

/** What wine was dispatched for; where nothing is said, for sale. */
function removal(event: Event): LineKey {
  const why = event.kind === 'leave' ? REMOVALS.find((known) => known === event.why) : undefined;
  return `for ${why ?? 'sale'}`;
}

/** Alcohol by volume, contraction left aside; of two wines one of which nobody knows, the other's is taken. */
function pourInto(held: Held, from: Held, volume: Microlitres, sparkling: boolean): void {
  const there = held.volume;
  if (there <= 0) {
    held.strength = from.strength;
    held.read = from.read;
    held.brix = from.brix;
    held.gas = from.gas;
    held.sparkling = sparkling || from.sparkling;
    held.year = from.year;
  } else {
    if (volume > there) held.year = from.year;
    if (from.strength !== undefined) {
      held.strength =
        held.strength === undefined
          ? from.strength
          : (held.strength * there + from.strength * volume) / (there + volume);
      held.read &&= from.read;
    }
    held.brix = Math.max(held.brix, from.brix);
    held.sparkling ||= sparkling;
  }
  held.volume = there + volume;
}
