/** One event being carried out: the few movements every verb comes down to, each posted to the accounts as it is made. */
import type { Code } from '../../grammar/codes.ts';
import { sayDay } from '../../grammar/dates.ts';
import type { Bottles, Event, LotId, Microlitres, Place, Share, Target, VesselId } from '../journal/events.ts';
import type { Finding } from '../journal/findings.ts';
import { mulDivFloor, splitByShares, withoutZeros } from '../trade/decimal.ts';
import { formatVolume, MICROLITRES_PER_LITRE, MICROLITRES_PER_MILLILITRE } from '../trade/volume.ts';
import type { Added, Became, Content, LossKind, LotAccount, Movement, Recounted } from './book.ts';
import { type Cellar, type LotState, NO_LOT, type VesselState } from './cellar.ts';
import { ADDED_LIQUID, addLiquid, contentOf, draw, type MaterialUnit, materialKey, pour, scale } from './content.ts';
import { sayTogether } from './together.ts';

export interface Complaint {
  readonly code: Code;
  readonly message: string;
  readonly help?: string;
  readonly place?: Place;
  /** A word of the line to put the marker under. */
  readonly mark?: string;
  /** What may be written instead of that word. */
  readonly instead?: string;
  readonly related?: { readonly place: Place; readonly message: string };
  /** What it is about: where one of these is in doubt, the doubt's cause is told instead. */
  readonly vessels?: readonly VesselId[];
  readonly lots?: readonly LotId[];
}

/** Where complaints of an event go, with the doubt they fall under; gives back the finding that tells of it, be it an earlier one. */
export type Complain = (event: Event, complaint: Complaint, doubt: Finding | undefined) => Finding | undefined;

export interface Dipped {
  readonly vessel: VesselId;
  readonly lot: LotId;
  readonly computed: Microlitres;
  readonly measured: Microlitres;
}

type InKind = (Movement & { kind: 'in' })['how'];
/** How wine leaves; an estimate that settles downwards was never there, and is `correct`'s. */
type OutKind = Exclude<(Movement & { kind: 'out' })['how'], 'settled'>;

const IN_ACCOUNT: Readonly<Record<InKind, keyof LotAccount>> = {
  made: 'made',
  bought: 'bought',
  found: 'found',
  liquid: 'liquids',
  dip: 'dipGains',
  settled: 'settled',
};

const PPM = 1_000_000;

/** Wine drawn from one vessel, on its way. */
export interface Drawn {
  readonly vessel: VesselId;
  readonly lot: LotId;
  readonly content: Content;
  /** What was known of it where it lay: its sugar, and whether skins are in it. */
  readonly brix?: number | undefined;
  readonly skins?: boolean | undefined;
}

const NONE: readonly never[] = [];

/** A handful of ids, each once, in the order they came; lighter than a set where there are few. */
export class Ids {
  private readonly list: number[] = [];
  add(id: number): void {
    if (!this.list.includes(id)) this.list.push(id);
  }
  has(id: number): boolean {
    return this.list.includes(id);
  }
  get size(): number {
    return this.list.length;
  }
  [Symbol.iterator](): IterableIterator<number> {
    return this.list[Symbol.iterator]();
  }
}

export class Deed {
  readonly cellar: Cellar;
  readonly event: Event;
  readonly touchedVessels = new Ids();
  readonly touchedLots = new Ids();
  /** Vessels that hold something else than before, wine or must; told once the event is carried out. */
  became: readonly Became[] = NONE;
  private readonly complain: Complain;
  /** The last finding of this event that was told. */
  cause: Finding | undefined;
  /** The doubt that goes with the wine of this event. */
  private passedOn: Finding | undefined;

  constructor(cellar: Cellar, event: Event, complain: Complain) {
    this.cellar = cellar;
    this.event = event;
    this.complain = complain;
  }

  // most events move nothing: lists are made when something is written into them
  private movementList: Movement[] | undefined;
  private addedList: Added[] | undefined;
  private dippedList: Dipped[] | undefined;
  /** Bottles that were counted; undefined where none were. */
  counted: Recounted[] | undefined;

  get movements(): readonly Movement[] {
    return this.movementList ?? NONE;
  }
  get added(): readonly Added[] {
    return this.addedList ?? NONE;
  }
  get dipped(): readonly Dipped[] {
    return this.dippedList ?? NONE;
  }

  moved(movement: Movement): void {
    if (this.movementList === undefined) this.movementList = [movement];
    else this.movementList.push(movement);
  }
  gave(added: Added): void {
    if (this.addedList === undefined) this.addedList = [added];
    else this.addedList.push(added);
  }
  recounted(bottles: Recounted): void {
    if (this.counted === undefined) this.counted = [bottles];
    else this.counted.push(bottles);
  }
  measured(dipped: Dipped): void {
    if (this.dippedList === undefined) this.dippedList = [dipped];
    else this.dippedList.push(dipped);
  }

  say(complaint: Complaint): void {
    const doubt = this.cellar.doubtAbout(complaint.vessels ?? this.touchedVessels, complaint.lots ?? NONE);
    this.passedOn ??= doubt;
    this.cause = this.complain(this.event, complaint, doubt) ?? this.cause;
  }

  /** Where what was drawn is in doubt, so is what it came to: the vessels and lots it went to. */
  passDoubtOn(): void {
    const { passedOn } = this;
    if (passedOn === undefined) return;
    for (const movement of this.movements) {
      if (movement.kind === 'across') {
        this.cellar.vessel(movement.to).doubt ??= passedOn;
        if (movement.toLot !== movement.fromLot) this.cellar.lot(movement.toLot).doubt ??= passedOn;
      } else if (movement.kind === 'renamed') this.cellar.lot(movement.toLot).doubt ??= passedOn;
      else if (movement.kind === 'bottles' && movement.direction === 'in')
        this.cellar.lot(movement.lot).doubt ??= passedOn;
    }
    if (this.event.kind === 'bottle' || this.event.kind === 'found') this.cellar.lot(this.event.as).doubt ??= passedOn;
    if ((this.event.kind === 'move' || this.event.kind === 'naming') && this.event.as !== undefined) {
      this.cellar.lot(this.event.as).doubt ??= passedOn;
    }
  }

  /** What vessels hold after a movement that could not be made is in doubt, and its finding is the cause. */
  leaveInDoubt(ids: readonly VesselId[]): void {
    for (const id of ids) this.cellar.vessel(id).doubt ??= this.cause;
  }

  // words

  get day(): string {
    return sayDay(Math.floor(this.event.minute / 1440));
  }

  /** A volume in the units of the reports: `812 L`. */
  litres(volume: Microlitres): string {
    const { volume: unit } = this.cellar.register.settings;
    const places =
      unit === 'L' && Math.abs(volume) >= 10 * MICROLITRES_PER_LITRE && volume % MICROLITRES_PER_LITRE === 0
        ? 0
        : undefined;
    return withoutZeros(formatVolume(volume, unit, places));
  }

  vesselName(id: VesselId): string {
    return this.cellar.register.vessel(id).name;
  }

  // tolerances

  private part(volume: Microlitres, ppm: number): Microlitres {
    return mulDivFloor(Math.abs(volume), ppm, PPM);
  }

  /** How far a volume that was computed may be off: its slack, and the tolerance of the house, at least half a litre. */
  tolerance(volume: Microlitres, slack: Microlitres): Microlitres {
    const { tolerances } = this.cellar.register.settings;
    return slack + Math.max(this.part(volume, tolerances.volume), MICROLITRES_PER_LITRE / 2);
  }

  estimateSlack(volume: Microlitres): Microlitres {
    return this.part(volume, this.cellar.register.settings.tolerances.estimate);
  }

  // targets

  /** The vessels a list of targets means at this moment; a lot means all that hold it. */
  vesselsOf(targets: readonly Target[], except: readonly VesselId[] = []): VesselId[] {
    const ids: VesselId[] = [];
    const seen = new Set<VesselId>(except);
    for (const target of targets) {
      if (target.kind === 'vessel') {
        if (!seen.has(target.vessel)) ids.push(target.vessel);
        seen.add(target.vessel);
      } else if (target.kind === 'lot') {
        // in the order they were declared, so that the same journal always gives the same split
        for (const id of [...this.cellar.lot(target.lot).vessels].sort((a, b) => a - b)) {
          if (!seen.has(id)) ids.push(id);
          seen.add(id);
        }
      }
    }
    return ids;
  }

  sharesVessels(shares: readonly Share[]): VesselId[] {
    return shares.flatMap((share) =>
      share.targets.flatMap((target) => (target.kind === 'vessel' ? [target.vessel] : [])),
    );
  }

  touch(id: VesselId): void {
    this.touchedVessels.add(id);
    const { lot } = this.cellar.vessel(id);
    if (lot !== NO_LOT) this.touchedLots.add(lot);
  }

  /** Two files that move wine through one vessel in one minute: which came first is not said. */
  private moving(state: VesselState): void {
    this.touchedVessels.add(state.facts.id);
    const { minute, place } = this.event;
    const before = state.moved;
    if (before !== undefined && before.minute === minute && before.place.file !== place.file) {
      this.say({
        code: 'same-minute',
        message: `two files move wine through ${state.facts.name} in the same minute, and the order matters`,
        help: 'give each a time of its own',
        mark: state.facts.name,
        related: { place: before.place, message: 'the other one' },
        vessels: [],
      });
    }
    state.moved = { minute, place };
    if (state.retired) {
      this.say({
        code: 'vessel-retired',
        message: `${state.facts.name} was retired`,
        help: 'name the vessel that was used',
        mark: state.facts.name,
        vessels: [state.facts.id],
      });
    }
  }

  // accounts

  private post(lot: LotId, account: keyof LotAccount, volume: Microlitres): void {
    if (lot === NO_LOT) return;
    this.touchedLots.add(lot);
    const state = this.cellar.lot(lot);
    state.account[account] += volume;
  }

  lossOf(lot: LotId, kind: LossKind, volume: Microlitres): void {
    const state = this.cellar.lot(lot);
    state.losses[kind] = (state.losses[kind] ?? 0) + volume;
  }

  // movements

  /** Sets a lot in a vessel, or takes it out when the vessel is empty. */
  private settle(state: VesselState, lot: LotId): void {
    if (state.content.volume === 0) {
      if (state.lot !== NO_LOT) {
        const left = this.cellar.lot(state.lot);
        left.vessels.delete(state.facts.id);
        state.emptied = this.event.place;
      }
      state.lot = NO_LOT;
      state.doubt = undefined;
      state.brix = undefined;
      state.skins = undefined;
      return;
    }
    if (state.lot === lot) return;
    if (state.lot !== NO_LOT) this.cellar.lot(state.lot).vessels.delete(state.facts.id);
    state.lot = lot;
    state.since = this.event.minute;
    this.cellar.lot(lot).vessels.add(state.facts.id);
  }

  private remember(state: VesselState): void {
    if (state.lot === NO_LOT || state.content.volume === 0) return;
    const lot = this.cellar.lot(state.lot);
    lot.lastOrigins = { origins: [...state.content.origins], volumes: [...state.content.volumes] };
  }

  /** Draws wine from a vessel; it is on its way until it is put, lost or let go. */
  take(id: VesselId, volume: Microlitres, slack: Microlitres): Drawn {
    const state = this.cellar.vessel(id);
    this.moving(state);
    this.remember(state);
    const { lot, brix, skins } = state;
    if (volume >= state.content.volume) this.passedOn ??= state.doubt;
    const content = draw(state.content, volume, slack);
    this.touchedLots.add(lot);
    this.settle(state, lot);
    return { vessel: id, lot, content, brix, skins };
  }

  /** Puts wine that comes from another vessel; between lots it is blended out of one and into the other. */
  put(id: VesselId, lot: LotId, drawn: Drawn): void {
    const state = this.cellar.vessel(id);
    const { volume } = drawn.content;
    if (volume === 0) return;
    this.moving(state);
    if (drawn.lot !== lot) {
      this.post(drawn.lot, 'blendedOut', volume);
      this.post(lot, 'blendedIn', volume);
      this.family(drawn.lot, lot, volume);
      this.carry(lot, drawn.content);
    } else this.touchedLots.add(lot);
    pour(state.content, drawn.content);
    this.moved({ kind: 'across', from: drawn.vessel, fromLot: drawn.lot, to: id, toLot: lot, volume });
    this.settle(state, lot);
  }

  family(parent: LotId, child: LotId, volume: Microlitres): void {
    const from = this.cellar.lot(parent);
    const to = this.cellar.lot(child);
    from.children.set(child, (from.children.get(child) ?? 0) + volume);
    to.parents.set(parent, (to.parents.get(parent) ?? 0) + volume);
  }

  /** Materials that come into a lot with wine of another. */
  carry(lot: LotId, content: Content): void {
    const state = this.cellar.lot(lot);
    content.materials.forEach((key, i) => {
      const amount = content.amounts[i] ?? 0;
      if (amount > 0) state.carriedIn.set(key, (state.carriedIn.get(key) ?? 0) + amount);
    });
  }

  /** Wine that comes to be: made from fruit, bought, found. */
  make(id: VesselId, lot: LotId, content: Content, how: InKind): void {
    if (content.volume === 0) return;
    const state = this.cellar.vessel(id);
    this.moving(state);
    this.post(lot, IN_ACCOUNT[how], content.volume);
    pour(state.content, content);
    this.moved({ kind: 'in', vessel: id, lot, volume: content.volume, how });
    this.settle(state, lot);
  }

  /** Wine on its way that does not arrive in a vessel: bottled, dispatched, lost. */
  letGo(drawn: Drawn, how: OutKind): void {
    const { volume } = drawn.content;
    if (volume === 0) return;
    this.moved({ kind: 'out', vessel: drawn.vessel, lot: drawn.lot, volume, how });
    switch (how) {
      case 'bottled':
        this.post(drawn.lot, 'bottled', volume);
        break;
      case 'dispatched':
        this.post(drawn.lot, 'dispatched', volume);
        break;
      case 'sample':
        this.post(drawn.lot, 'samples', volume);
        break;
      case 'dip':
        this.post(drawn.lot, 'dipLosses', volume);
        break;
      case 'lees':
      case 'pomace':
      case 'evaporation':
        this.post(drawn.lot, how, volume);
        this.lossOf(drawn.lot, how, volume);
        break;
      default:
        this.post(drawn.lot, 'losses', volume);
        this.lossOf(drawn.lot, how, volume);
    }
  }

  /** Evaporation takes volume and leaves what is dissolved. */
  evaporate(id: VesselId, volume: Microlitres): void {
    const state = this.cellar.vessel(id);
    const { content, lot } = state;
    const gone = Math.min(volume, content.volume);
    if (gone === 0) return;
    this.touchedVessels.add(id);
    this.remember(state);
    scale(content, content.volume - gone);
    this.moved({ kind: 'out', vessel: id, lot, volume: gone, how: 'evaporation' });
    this.post(lot, 'evaporation', gone);
    this.lossOf(lot, 'evaporation', gone);
    this.settle(state, lot);
  }

  /** Corrects what the book says a vessel holds: a gain or a loss by measure, or an estimate that settles. */
  correct(id: VesselId, volume: Microlitres, how: 'dip' | 'settled'): void {
    const state = this.cellar.vessel(id);
    const { content, lot } = state;
    const change = volume - content.volume;
    if (change === 0 || content.volume === 0) return;
    this.touchedVessels.add(id);
    this.remember(state);
    if (change > 0) {
      scale(content, volume);
      this.moved({ kind: 'in', vessel: id, lot, volume: change, how });
      this.post(lot, IN_ACCOUNT[how], change);
      return;
    }
    if (how === 'settled') {
      // the volume was never there, so nothing goes with it
      scale(content, volume);
      this.moved({ kind: 'out', vessel: id, lot, volume: -change, how });
      this.post(lot, 'settled', change);
    } else {
      const { slack } = content;
      const drawn = draw(content, -change);
      content.slack = content.volume === 0 ? 0 : slack;
      this.letGo({ vessel: id, lot, content: drawn }, how);
    }
    this.settle(state, lot);
  }

  /** Water and solutions: volume without origin. */
  addLiquidTo(id: VesselId, volume: Microlitres): void {
    const state = this.cellar.vessel(id);
    if (volume === 0 || state.lot === NO_LOT) return;
    addLiquid(state.content, volume);
    this.moved({ kind: 'in', vessel: id, lot: state.lot, volume, how: 'liquid' });
    this.post(state.lot, 'liquids', volume);
    this.capacity(id);
  }

  direct(lot: LotState, material: number, unit: MaterialUnit, amount: number): void {
    const key = materialKey(material, unit);
    lot.direct.set(key, (lot.direct.get(key) ?? 0) + amount);
  }

  /** The wine in a vessel takes another lot's name where it lies. */
  rename(id: VesselId, lot: LotId, setApart: boolean): void {
    const state = this.cellar.vessel(id);
    const { volume } = state.content;
    const from = state.lot;
    if (from === lot || volume === 0) return;
    this.touchedVessels.add(id);
    this.remember(state);
    this.post(from, setApart ? 'setApart' : 'blendedOut', volume);
    this.post(lot, 'blendedIn', volume);
    this.family(from, lot, volume);
    this.carry(lot, state.content);
    this.moved({ kind: 'renamed', vessel: id, fromLot: from, toLot: lot, volume, setApart });
    this.settle(state, lot);
  }

  /** Says so where a vessel holds more than it takes. */
  capacity(id: VesselId): void {
    const { content, facts } = this.cellar.vessel(id);
    const limit =
      facts.capacity +
      Math.max(
        this.part(facts.capacity, this.cellar.register.settings.tolerances.capacity),
        MICROLITRES_PER_LITRE / 10,
      );
    if (content.volume - content.slack <= limit) return;
    this.say({
      code: 'vessel-overfull',
      message: `${facts.name} takes ${this.litres(facts.capacity)} and would hold ${this.litres(content.volume)} on ${this.day}: ${this.litres(content.volume - facts.capacity)} too many`,
      help: 'mend the volume, or name the vessel the rest went to',
      mark: facts.name,
      vessels: [id],
    });
  }

  /** More arrives than was drawn: a gain of the lot it came from. */
  gainOnTheWay(drawn: Drawn, volume: Microlitres): void {
    scale(drawn.content, drawn.content.volume + volume);
    this.moved({ kind: 'in', vessel: drawn.vessel, lot: drawn.lot, volume, how: 'dip' });
    this.post(drawn.lot, 'dipGains', volume);
  }

  // bottles

  bottleSize(size: Microlitres): string {
    return size >= MICROLITRES_PER_LITRE
      ? `${size / MICROLITRES_PER_LITRE} L`
      : `${size / MICROLITRES_PER_MILLILITRE} mL`;
  }

  /** Bottles leave; what the book did not have is a gain, so that the account stays whole. */
  bottlesGo(lot: LotState, bottles: Bottles, how: 'dispatched' | 'sample' | 'dip' | LossKind): void {
    const volume = bottles.count * bottles.size;
    const there = Math.min(volume, lot.cellared.volume);
    if (there > 0) {
      lot.lastOrigins = { origins: [...lot.cellared.origins], volumes: [...lot.cellared.volumes] };
      draw(lot.cellared, there);
    }
    this.touchedLots.add(lot.facts.id);
    if (volume > there) this.bottlesMoved(lot, 'in', volume - there, 'dip');
    this.bottlesMoved(lot, 'out', volume, how);
    lot.account.dipGains += volume - there;
    const left = Math.max(0, (lot.bottles.get(bottles.size) ?? 0) - bottles.count);
    if (left === 0) lot.bottles.delete(bottles.size);
    else lot.bottles.set(bottles.size, left);
    if (how === 'dispatched') lot.account.dispatched += volume;
    else if (how === 'sample') lot.account.samples += volume;
    else if (how === 'dip') lot.account.dipLosses += volume;
    else {
      lot.account.losses += volume;
      this.lossOf(lot.facts.id, how, volume);
    }
  }

  bottlesMoved(
    lot: LotState,
    direction: 'in' | 'out',
    volume: Microlitres,
    how: (Movement & { kind: 'bottles' })['how'],
  ): void {
    this.moved({ kind: 'bottles', direction, lot: lot.facts.id, volume, how });
  }

  /** Bottles come to stand in a lot, filled or found. */
  fillBottles(lot: LotState, bottles: readonly Bottles[]): void {
    for (const { count, size } of bottles) {
      lot.bottles.set(size, (lot.bottles.get(size) ?? 0) + count);
      lot.filled.set(size, (lot.filled.get(size) ?? 0) + count);
    }
    lot.stage = 'bottled';
  }

  /** Bottles turn up: a gain of what the others hold. */
  bottlesMore(lot: LotState, bottles: Bottles): void {
    const volume = bottles.count * bottles.size;
    if (lot.cellared.volume > 0) scale(lot.cellared, lot.cellared.volume + volume);
    else {
      const { origins, volumes } = lot.lastOrigins;
      pour(
        lot.cellared,
        contentOf(volume, 0, origins.length > 0 ? origins : [ADDED_LIQUID], volumes.length > 0 ? volumes : [1]),
      );
    }
    lot.account.dipGains += volume;
    this.bottlesMoved(lot, 'in', volume, 'dip');
    lot.bottles.set(bottles.size, (lot.bottles.get(bottles.size) ?? 0) + bottles.count);
    this.touchedLots.add(lot.facts.id);
  }

  // several vessels together

  /** What vessels hold in all, and how far that may be off. */
  held(ids: readonly VesselId[]): { readonly volume: Microlitres; readonly slack: Microlitres } {
    let volume = 0;
    let slack = 0;
    for (const id of ids) {
      const { content } = this.cellar.vessel(id);
      volume += content.volume;
      slack += content.slack;
    }
    return { volume, slack };
  }

  /** Sets what vessels hold in all to a volume that is believed, each in proportion. */
  correctAll(ids: readonly VesselId[], volume: Microlitres, how: 'dip' | 'settled'): void {
    const after = splitByShares(
      volume,
      ids.map((id) => this.cellar.vessel(id).content.volume),
    );
    for (const [i, id] of ids.entries()) this.correct(id, after[i] ?? 0, how);
  }

  /** Lets go of so much of what is on its way, or of all there is, in proportion to what came from each source. */
  letGoOf(pool: readonly Drawn[], volume: Microlitres, how: OutKind): void {
    const there = Math.min(volume, this.poolVolume(pool));
    if (there > 0) for (const drawn of this.portion(pool, there, 0)) this.letGo(drawn, how);
  }

  /**
   * Draws a volume from one vessel. An estimate gives way within its slack; beyond it the book is wrong, which is said,
   * and the volume written is believed, so that nothing else need be said of it.
   */
  drawFrom(id: VesselId, volume: Microlitres, estimate: boolean): Drawn | undefined {
    const state = this.cellar.vessel(id);
    const { content } = state;
    if (content.volume === 0) {
      this.nothingIn([id]);
      return undefined;
    }
    if (volume > content.volume) {
      const over = volume - content.volume;
      if (over > this.tolerance(content.volume, content.slack)) {
        this.say({
          code: 'vessel-overdrawn',
          message: `${state.facts.name} holds ${this.litres(content.volume)} on ${this.day} and ${this.litres(volume)} are ${this.drawnOut()}: ${this.litres(over)} too many`,
          help: 'mend the volume, or write the dip that shows what it held',
          mark: state.facts.name,
          vessels: [id],
        });
      }
      this.correct(id, volume, content.slack > 0 ? 'settled' : 'dip');
    }
    return this.take(id, volume, estimate ? this.estimateSlack(volume) : 0);
  }

  /** How a message says what the verb does: `racked out`. */
  drawnOut(): string {
    const words: Readonly<Record<string, string>> = {
      rack: 'racked out',
      transfer: 'transferred',
      drain: 'drained',
      bleed: 'bled',
      filter: 'filtered',
      blend: 'blended',
      press: 'pressed',
      bottle: 'bottled',
      top: 'used for topping',
      dispatch: 'dispatched',
      loss: 'lost',
      sample: 'sampled',
    };
    return words[this.event.verb] ?? 'taken';
  }

  /** Says that vessels are empty which the line takes for filled. */
  nothingIn(ids: readonly VesselId[], help?: string): void {
    sayTogether(this, ids, (names, many) => ({
      code: 'vessel-empty',
      message: `${names} ${many ? 'hold' : 'holds'} nothing on ${this.day}`,
      help: help ?? (many ? 'name the vessels that were meant' : 'name the vessel that was meant'),
    }));
  }

  /** Splits a volume over vessels in proportion to what they hold: whole millilitres, the rest from the last that holds some. */
  inProportion(volume: Microlitres, ids: readonly VesselId[]): Microlitres[] {
    const held = ids.map((id) => this.cellar.vessel(id).content.volume);
    const total = held.reduce((sum, v) => sum + v, 0);
    if (total === 0) return ids.map(() => 0);
    const parts = held.map(
      (v) => Math.floor(mulDivFloor(volume, v, total) / MICROLITRES_PER_MILLILITRE) * MICROLITRES_PER_MILLILITRE,
    );
    const last = held.findLastIndex((v) => v > 0);
    parts[last] = 0;
    parts[last] = volume - parts.reduce((sum, v) => sum + v, 0);
    return parts;
  }

  /**
   * A volume of wine that is on its way: so much from each source, in proportion to what is still there. What is measured
   * has no slack but its own; `open` takes over what doubt is left of the sources. Never more than is on its way.
   */
  portion(pool: readonly Drawn[], wanted: Microlitres, slack: Microlitres, open = false): Drawn[] {
    const volume = Math.min(wanted, this.poolVolume(pool));
    if (volume <= 0) return [];
    const shares = splitByShares(
      volume,
      pool.map((drawn) => drawn.content.volume),
    );
    return pool.flatMap((drawn, i) => {
      const part = shares[i] ?? 0;
      if (part === 0) return [];
      const left = drawn.content.slack;
      const content = draw(drawn.content, part, 0);
      content.slack = open ? left : Math.floor((slack * part) / volume);
      return [{ ...drawn, content }];
    });
  }

  poolVolume(pool: readonly Drawn[]): Microlitres {
    return pool.reduce((sum, drawn) => sum + drawn.content.volume, 0);
  }

  poolSlack(pool: readonly Drawn[]): Microlitres {
    return pool.reduce((sum, drawn) => sum + drawn.content.slack, 0);
  }
}
