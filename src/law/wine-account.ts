/**
 * The account of a cellar by classes of wine: each event as postings from one account to another. Whole microlitres go
 * round: what an account held, with what came and less what went, is what it holds, after every single event.
 */
import { REMOVALS, type Style } from '../../grammar/words.ts';
import type { Became, Movement } from '../cellar/book.ts';
import type { Event, LotId, Microlitres, Minute, VesselId } from '../journal/events.ts';
import type { Settings } from '../journal/register.ts';
import { countsAsLoss, type YearOfClass } from './annual-losses.ts';
import {
  draw,
  emptyHeld,
  type Held,
  inYear,
  isNothing,
  minusShares,
  NO_SHARES,
  type Portion,
  partOfShares,
  plainPortion,
  plusShares,
  pour,
  swell,
  widen,
} from './held-wine.ts';
import type { LineKey, VolumeRules } from './volume-rules.ts';
import { bottledAccount, bulkAccount, effervescenceDiffers } from './wine-class.ts';
import type { Account, Posted, Posting, ShareChange } from './wine-postings.ts';
import { learn } from './wine-readings.ts';

/** What of an event and the cellar the account is kept from. */
export interface Step {
  readonly event: Event;
  readonly movements: readonly Movement[];
  readonly vessels: Iterable<VesselId>;
  readonly lots: Iterable<LotId>;
  readonly became: readonly Became[];
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

const NOTHING: Posted = { postings: [], shares: [] };

/** Posts one event, and remembers what it changed. */
export function postingsOf(memory: AccountMemory, facts: AccountFacts, step: Step): Posted {
  const { event, movements, became } = step;
  const learned =
    event.kind === 'reading' &&
    learn(
      Array.from(heldBy(memory, facts, step), ([held]) => held),
      facts.settings,
      event,
    );
  const moved = movements.length > 0 || became.length > 0 ? new InOneEvent(memory, facts, step).all() : NOTHING;
  if (!learned) return moved;
  const { postings, shares } = reclassed(memory, facts, step);
  return { postings: [...moved.postings, ...postings], shares: [...moved.shares, ...shares] };
}

/** Wine that a reading shows to be of another class. */
function reclassed(memory: AccountMemory, facts: AccountFacts, step: Step): Posted {
  const postings: Posting[] = [];
  const shares: ShareChange[] = [];
  for (const [held, vessel] of heldBy(memory, facts, step)) {
    if (held.account === 'must') continue;
    const { account: from, lot, volume } = held;
    const to = vessel === undefined ? bottledAccount(facts.rules, held) : bulkAccount(facts.rules, held);
    if (to === from) continue;
    const bubbles = vessel !== undefined && effervescenceDiffers(facts.rules, from, to);
    const key = bubbles ? 'effervescent' : 'corrected';
    postings.push({ from, to, key, volume, vessel, lot, estimated: false });
    if (vessel !== undefined) {
      inYear(held, yearOf(step.event.minute));
      shares.push(...goneOver(from, to, held.shares));
    }
    held.account = to;
  }
  return { postings, shares };
}

function goneOver(from: Account, to: Account, shares: YearOfClass): ShareChange[] {
  if (isNothing(shares)) return [];
  return [
    { account: from, ...minusShares(NO_SHARES, shares) },
    { account: to, ...shares },
  ];
}

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

/** A vessel in one event. */
interface InEvent {
  readonly id: VesselId;
  readonly before: Account | undefined;
  readonly held: Held;
  /** What the shares are of that lies here, by the class it is counted in so far. */
  readonly shares: Map<Account, YearOfClass>;
  /** What the event left in each account so far: all but the last is moved on at its end. */
  readonly balance: Map<Account, Microlitres>;
  after: Account | undefined;
  came: boolean;
  estimated: boolean;
}

/** The postings of one event. */
class InOneEvent {
  private readonly memory: AccountMemory;
  private readonly facts: AccountFacts;
  private readonly step: Step;
  private readonly vessels = new Map<VesselId, InEvent>();
  private readonly posted: Posting[] = [];
  private readonly changed: ShareChange[] = [];
  /** What each movement out of a vessel took along, and how much there was before it. */
  private readonly drawn = new Map<Movement, { readonly portion: Portion; readonly of: Microlitres }>();
  private readonly year: number;

  constructor(memory: AccountMemory, facts: AccountFacts, step: Step) {
    this.memory = memory;
    this.facts = facts;
    this.step = step;
    this.year = yearOf(step.event.minute);
  }

  all(): Posted {
    for (const movement of this.step.movements) this.mix(movement);
    for (const { vessel, wine, estimated } of this.step.became) {
      const one = this.vessel(vessel);
      one.after = wine ? bulkAccount(this.facts.rules, one.held) : 'must';
      one.estimated = estimated;
    }
    for (const one of this.vessels.values()) {
      if (one.held.volume === 0) one.after = undefined;
      else if (one.after === undefined)
        one.after = one.before === 'must' ? 'must' : bulkAccount(this.facts.rules, one.held);
    }
    for (const movement of this.step.movements) this.post(movement);
    for (const one of this.vessels.values()) if (one.after === undefined) this.handOn(one);
    for (const one of this.vessels.values()) this.close(one);
    return { postings: this.posted, shares: this.changed };
  }

  private vessel(id: VesselId): InEvent {
    let one = this.vessels.get(id);
    if (one === undefined) {
      let held = this.memory.vessels.get(id);
      if (held === undefined) {
        held = emptyHeld();
        this.memory.vessels.set(id, held);
      }
      inYear(held, this.year);
      const before = held.volume > 0 ? held.account : undefined;
      one = {
        id,
        before,
        held,
        shares: new Map(before === undefined || before === 'must' ? [] : [[before, held.shares]]),
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
        if (same) swell(held, movement.volume);
        else pour(held, plainPortion(movement.volume), facts.styleOf(movement.lot) === 'sparkling');
        held.lot = movement.lot;
        break;
      }
      case 'out':
        this.take(this.vessel(movement.vessel), movement);
        break;
      case 'across': {
        const from = this.vessel(movement.from);
        const to = this.vessel(movement.to);
        const portion = this.take(from, movement);
        pour(to.held, portion, facts.styleOf(movement.toLot) === 'sparkling');
        if (from.before === 'must' && this.isJuiceIn(to)) widen(to.held, to.held.volume - movement.volume);
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

  private take(one: InEvent, movement: Movement & { kind: 'out' | 'across' }): Portion {
    const of = one.held.volume;
    const portion = draw(one.held, movement.volume);
    this.drawn.set(movement, { portion, of });
    return portion;
  }

  /** Must that goes into such a vessel is poured into wine; else it becomes wine. */
  private isJuiceIn({ before }: InEvent): boolean {
    return before !== undefined && before !== 'must' && !LEAVES_FERMENTER.has(this.step.event.verb);
  }

  /** What goes out of a vessel takes its part of what the shares are of along. */
  private sharesDrawn(one: InEvent, movement: Movement): Map<Account, YearOfClass> {
    const { of } = this.drawn.get(movement) ?? { of: 0 };
    const volume = movement.volume;
    const parts = new Map<Account, YearOfClass>();
    for (const [account, shares] of one.shares) {
      const part = partOfShares(shares, volume, of);
      parts.set(account, part);
      one.shares.set(account, minusShares(shares, part));
    }
    return parts;
  }

  /** What wine of a class came to be held against, or was lost of it. */
  private count(one: InEvent, account: Account, change: Partial<YearOfClass>): void {
    if (account === 'must') return;
    const shares = { ...NO_SHARES, ...change };
    if (isNothing(shares)) return;
    this.changed.push({ account, ...shares });
    give(one.shares, account, shares);
  }

  /** A vessel that was emptied leaves what is left of its shares to those its wine went to. */
  private handOn(one: InEvent): void {
    const across = this.step.movements.filter((movement) => movement.kind === 'across' && movement.from === one.id);
    let of = across.reduce((sum, { volume }) => sum + volume, 0);
    for (const movement of across) {
      if (movement.kind !== 'across') continue;
      const to = this.vessel(movement.to);
      for (const [account, shares] of one.shares) {
        const part = partOfShares(shares, movement.volume, of);
        give(to.shares, account, part);
        one.shares.set(account, minusShares(shares, part));
      }
      of -= movement.volume;
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
        for (const [account, part] of this.sharesDrawn(from, movement)) give(to.shares, account, part);
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
        : how === 'bought' && one.before === undefined && one.after === 'must'
          ? (['must', how] as const)
          : how === 'bought' || how === 'found'
            ? ([wine, how] as const)
            : ([now, how === 'dip' ? 'gain' : how] as const);
    this.write({ from: undefined, to, key, volume, vessel, lot, estimated: false });
    if (key === 'found' || key === 'bought') this.count(one, to, { stored: volume });
    add(one.balance, to, volume);
  }

  private wentOut(movement: Movement & { kind: 'out' }): void {
    const { vessel, lot, volume, how } = movement;
    const one = this.vessel(vessel);
    const { event } = this.step;
    const from = one.before ?? one.after ?? this.weakest();
    add(one.balance, from, -volume);
    const portion = this.drawn.get(movement)?.portion ?? plainPortion(volume);
    if (how === 'bottled') {
      this.sharesDrawn(one, movement);
      if (event.kind === 'bottle') this.fill(event.as, one, from, portion, lot);
      return;
    }
    const key: LineKey =
      how === 'dispatched' ? removal(event) : how === 'dip' ? 'short' : how === 'settled' ? 'settled' : how;
    this.write({ from, to: undefined, key, volume, vessel, lot, estimated: false });
    const { losses } = this.facts.rules;
    if (losses !== undefined && countsAsLoss(losses, key)) this.count(one, from, lossOf(portion, one.shares.get(from)));
    else this.sharesDrawn(one, movement);
  }

  /** Bottles hold one class: what is filled of another becomes it on the way. */
  private fill(bottling: LotId, one: InEvent, from: Account, portion: Portion, lot: LotId): void {
    const { volume } = portion;
    const held = this.bottles(bottling);
    const first = held.volume === 0;
    pour(held, portion, held.sparkling || one.held.sparkling);
    if (first) held.account = bottledAccount(this.facts.rules, held);
    const bulk: Account = `bulk ${held.account.slice('bottled '.length)}`;
    this.transfer(from, bulk, volume, one, lot, false);
    this.write({
      from: bulk,
      to: held.account,
      key: 'bottled',
      volume,
      vessel: one.id,
      lot,
      estimated: false,
    });
  }

  private bottlesMoved({ direction, lot, volume, how }: Movement & { kind: 'bottles' }): void {
    if (how === 'filled') return;
    const held = this.bottles(lot);
    if (held.account === 'must') held.account = bottledAccount(this.facts.rules, held);
    const common = { volume, vessel: undefined, lot, estimated: false };
    if (direction === 'in') {
      swell(held, volume);
      const key = how === 'found' ? 'found' : 'gain';
      this.write({ from: undefined, to: held.account, key, ...common });
      return;
    }
    draw(held, volume);
    const key: LineKey =
      how === 'dispatched' ? removal(this.step.event) : how === 'dip' || how === 'found' ? 'short' : how;
    this.write({ from: held.account, to: undefined, key, ...common });
  }

  /** What goes from one account to another within the cellar, under the name of what it is. */
  private transfer(from: Account, to: Account, volume: Microlitres, one: InEvent, lot: LotId, stays = true): void {
    if (from === to) return;
    const key = this.transferKey(from, to, one);
    if (key === 'produced') {
      const produced = { ...NO_SHARES, produced: volume };
      this.changed.push({ account: to, ...produced });
      if (stays) {
        one.held.made = Math.min(one.held.made + volume, Math.max(one.held.volume, 0));
        give(one.shares, to, produced);
      }
    }
    this.write({
      from,
      to,
      key,
      volume,
      vessel: one.id,
      lot,
      estimated: one.estimated && from === 'must',
    });
  }

  private transferKey(from: Account, to: Account, one: InEvent): LineKey {
    const { event } = this.step;
    if (from === 'must') return this.isJuiceIn(one) ? 'juice' : 'produced';
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
    if (after === undefined) {
      this.memory.vessels.delete(one.id);
      return;
    }
    held.account = after;
    held.shares = NO_SHARES;
    if (after === 'must') held.made = 0;
    // what was received turns out to be must: no share of wine is reckoned of it
    const neverWine = after === 'must' && this.step.event.kind === 'reading';
    for (const [account, shares] of one.shares) {
      if (account === after) held.shares = plusShares(held.shares, shares);
      else if (neverWine) this.changed.push(...goneOver(account, after, shares).filter((to) => to.account !== after));
      else if (after !== 'must') {
        this.changed.push(...goneOver(account, after, shares));
        held.shares = plusShares(held.shares, shares);
      }
    }
  }

  private write(posting: Posting): void {
    if (posting.volume > 0) this.posted.push(posting);
  }
}

/** With these wine leaves its fermenter, wherever it goes; with others must that goes into wine is poured in. */
const LEAVES_FERMENTER: ReadonlySet<Event['verb']> = new Set<Event['verb']>(['press', 'drain', 'bottle']);

const yearOf = (minute: Minute): number => new Date(minute * 60_000).getUTCFullYear();

const add = (balance: Map<Account, Microlitres>, account: Account, volume: Microlitres): void => {
  balance.set(account, (balance.get(account) ?? 0) + volume);
};

function give(shares: Map<Account, YearOfClass>, account: Account, more: YearOfClass): void {
  if (!isNothing(more)) shares.set(account, plusShares(shares.get(account) ?? NO_SHARES, more));
}

/**
 * A loss split in proportion to what of the wine was of the year and what was stored. Where there was nothing of the one,
 * all is of the other: no microlitre that comes of rounding is held against nothing.
 */
function lossOf({ volume, made }: Portion, { stored, produced } = NO_SHARES): Partial<YearOfClass> {
  const lostProduced = produced === 0 ? 0 : stored === 0 ? volume : made;
  return { lostStored: volume - lostProduced, lostProduced };
}

/** What wine was dispatched for; where nothing is said, for sale. */
function removal(event: Event): LineKey {
  const why = event.kind === 'leave' ? REMOVALS.find((known) => known === event.why) : undefined;
  return `for ${why ?? 'sale'}`;
}
