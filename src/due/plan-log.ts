/** What the plans of a journal need to know of its record: kept from the first plan on, an event at a time. */
import { fold } from '../../grammar/words.ts';
import type { LotStage, Movement } from '../cellar/book.ts';
import { coarseBrix } from '../cellar/stages.ts';
import type { DayNumber, Event, LotId, Minute, Mutable, Place, Reading, Target, VesselId } from '../journal/events.ts';
import { molecularMethod } from '../journal/house-methods.ts';
import type { PlanFacts } from '../journal/plans.ts';
import type { Settings, VesselFacts } from '../journal/register.ts';
import { molecularSulfurDioxide } from '../trade/sulfur-dioxide.ts';
import { isRefused } from '../trade/worked.ts';
import { CAP_WORKS, doneKeys, readingKey, rowAnalytes, rowKeys } from './keys.ts';
import { type Doing, type Figure, type Stay, Stays } from './stays.ts';

/** Where names are looked up: the register while a journal is folded, or a book. */
export interface Ground {
  readonly settings: Settings;
  readonly plans: readonly PlanFacts[];
  readonly vessel: (id: VesselId) => VesselFacts;
  readonly materialKind: (material: number) => string | undefined;
}

/** An event with what it did, as a deed and a happening both have it. */
export interface Seen {
  readonly event: Event;
  readonly vessels: Iterable<VesselId>;
  readonly lots: Iterable<LotId>;
  readonly movements: readonly Movement[];
}

/** A plan while it holds: one that is written anew under its name ends the one before. */
export interface PlanInForce {
  readonly facts: PlanFacts;
  readonly name: string;
  until: Minute | undefined;
}

interface Planned {
  readonly minute: Minute;
  readonly plan: string;
  readonly under: boolean;
}

export interface Away {
  readonly from: DayNumber;
  readonly until: DayNumber;
  readonly hands: readonly string[];
}

/** The key plans of one name share. */
export const planName = (plan: Pick<PlanFacts, 'name'>): string => fold(plan.name);

export class PlanLog {
  readonly stays: Stays;
  readonly plans: PlanInForce[] = [];
  readonly away: Away[] = [];
  /** Plans lots were put under or taken from, in the order of time. */
  readonly plannedLots = new Map<LotId, Planned[]>();
  private readonly ground: Ground;
  private readonly works = new Set<string>();
  private readonly analytes = new Set<string>();
  private readonly wants = new Map<string, Wanted | 'nothing'>();

  constructor(ground: Ground, stays = new Stays()) {
    this.ground = ground;
    this.stays = stays;
  }

  /** All of it anew over another ground that says the same so far: what either sees later, the other does not. */
  copy(ground: Ground): PlanLog {
    const other = new PlanLog(ground, this.stays.copy());
    for (const plan of this.plans) other.plans.push({ ...plan });
    for (const away of this.away) other.away.push(away);
    for (const [lot, planned] of this.plannedLots) other.plannedLots.set(lot, [...planned]);
    for (const key of this.works) other.works.add(key);
    for (const analyte of this.analytes) other.analytes.add(analyte);
    return other;
  }

  vessel(id: VesselId): VesselFacts {
    return this.ground.vessel(id);
  }

  /** Takes in an event: what it did first, then where it left the wine. */
  see(seen: Seen, stageOf: (lot: LotId) => LotStage): void {
    const { event } = seen;
    if (event.kind === 'kept') this.planning(event);
    if (this.plans.length > 0) {
      if (event.kind === 'reading') this.read(event, seen);
      else this.did(event, seen);
    }
    if (seen.movements.length > 0) this.stays.move(event, seen.movements);
    for (const lot of seen.lots) if (lot >= 0) this.stays.stage(lot, event.minute, stageOf(lot));
  }

  /** A plan begins to hold, wine is put under one or taken from it, or somebody is away. */
  private planning(event: Event & { kind: 'kept' }): void {
    if (event.verb === 'plan') {
      const facts = this.ground.plans.find((plan) => samePlace(plan.place, event.place));
      if (facts !== undefined) this.begin(facts);
    }
    if (event.away !== undefined)
      this.away.push({ from: Math.floor(event.minute / 1440), until: event.away.until, hands: event.away.hands });
    const { planned } = event;
    const facts = planned === undefined ? undefined : this.ground.plans[planned.plan];
    if (planned === undefined || facts === undefined) return;
    const said: Planned = { minute: event.minute, plan: planName(facts), under: planned.under };
    for (const target of event.targets) {
      if (target.kind === 'lot') {
        const known = this.plannedLots.get(target.lot);
        if (known === undefined) this.plannedLots.set(target.lot, [said]);
        else known.push(said);
      } else if (target.kind === 'vessel') this.stays.in(target.vessel)?.planned.push(said);
    }
  }

  private begin(facts: PlanFacts): void {
    const name = planName(facts);
    for (const plan of this.plans) if (plan.name === name) plan.until ??= facts.since;
    this.plans.push({ facts, name, until: undefined });
    this.wants.clear();
    for (const row of facts.rows) {
      for (const key of rowKeys(row)) this.works.add(key);
      for (const analyte of rowAnalytes(row)) this.analytes.add(analyte);
    }
    if (CAP_WORKS.some((verb) => this.works.has(`do ${verb}`)))
      for (const verb of CAP_WORKS) this.works.add(`do ${verb}`);
    if (this.analytes.has('molecular SO2'))
      for (const analyte of ['free SO2', 'pH', 'alcohol']) this.analytes.add(analyte);
  }

  private did(event: Event, seen: Seen): void {
    // most events are of no concern: a day's note, what was bought
    if (event.kind === 'day') return;
    const keys = doneKeys(event, this.ground.materialKind).filter((key) => this.works.has(key));
    if (keys.length === 0) return;
    const doing: Doing = {
      minute: event.minute,
      times: event.kind === 'cap' ? event.times : 1,
      place: event.place,
      sic: event.sic,
    };
    for (const vessel of this.workedOn(event, seen)) {
      const stay = this.stays.in(vessel);
      if (stay === undefined) continue;
      for (const key of keys) keep(stay.done, key, doing);
    }
  }

  /** The vessels an event did its work on: those it drew from where it moved wine, those it filled where it topped. */
  private workedOn(event: Event, { vessels, movements }: Seen): Iterable<VesselId> {
    switch (event.kind) {
      case 'top':
        return this.topped(event);
      case 'move':
      case 'press':
      case 'bottle':
        return new Set(
          movements.flatMap((movement) =>
            movement.kind === 'across' ? [movement.from] : movement.kind === 'out' ? [movement.vessel] : [],
          ),
        );
      case 'cap':
      case 'work':
      case 'kept':
      case 'add':
      case 'dip':
      case 'leave':
        return vessels;
      default:
        return [];
    }
  }

  private topped(event: Event & { kind: 'top' }): VesselId[] {
    const named = (targets: readonly Target[]): VesselId[] =>
      targets.flatMap((target) => (target.kind === 'vessel' ? [target.vessel] : []));
    const sources = new Set(event.sources.flatMap((share) => named(share.targets)));
    return event.targets.flatMap(({ targets }) => [
      ...named(targets),
      ...targets.flatMap((target) =>
        target.kind === 'lot'
          ? this.stays
              .ofLot(target.lot)
              .map(({ vessel }) => vessel)
              .filter((vessel) => !sources.has(vessel))
          : [],
      ),
    ]);
  }

  private read(event: Reading, seen: Seen): void {
    const minute = event.sampled ?? event.minute;
    const { place, sic } = event;
    // a sample tells of what lay there when it was drawn
    const sampled = event.sampled === undefined ? undefined : this.sampledStays(event, minute);
    let free: Figure | undefined;
    for (const { analyte, value, high, mark, said } of event.measures) {
      const wanted = this.wanted(analyte);
      if (wanted === undefined) continue;
      const figure: Mutable<Figure> = { minute, times: 1, place, sic, value, mark, said };
      if (high !== undefined) figure.high = high;
      if (analyte === 'free SO2') free = figure;
      if (sampled === undefined) {
        for (const vessel of seen.vessels) {
          const stay = this.stays.in(vessel);
          if (stay !== undefined) note(stay, analyte, wanted, figure);
        }
      } else for (const stay of sampled) note(stay, analyte, wanted, figure);
    }
    if (free === undefined || !this.analytes.has('molecular SO2')) return;
    if (event.measures.some(({ analyte }) => analyte === 'molecular SO2')) return;
    const stays = sampled ?? [...seen.vessels].flatMap((vessel) => this.stays.in(vessel) ?? []);
    for (const stay of stays) this.molecular(stay, free);
  }

  /** What is done with a measurement; nothing where no plan asks for it. */
  private wanted(analyte: string): Wanted | undefined {
    const known = this.wants.get(analyte);
    if (known !== undefined) return known === 'nothing' ? undefined : known;
    const key = readingKey(analyte);
    const wanted: Wanted = {
      figure: this.analytes.has(analyte),
      key: this.works.has(key) ? key : undefined,
      brix: analyte !== 'brix' && this.analytes.has('brix') && coarseBrix(analyte, 1) !== undefined,
    };
    const none = !wanted.figure && wanted.key === undefined && !wanted.brix;
    this.wants.set(analyte, none ? 'nothing' : wanted);
    return none ? undefined : wanted;
  }

  /** The stays a sample was drawn from. */
  private sampledStays(event: Reading, minute: Minute): Stay[] {
    return event.targets.flatMap((target) => {
      if (target.kind === 'lot') return this.stays.ofLotAt(target.lot, minute);
      const stay = target.kind === 'vessel' ? this.stays.inAt(target.vessel, minute) : undefined;
      return stay === undefined ? [] : [stay];
    });
  }

  /** A reading of free sulfur dioxide tells the molecular where the pH is known, by the method of the house. */
  private molecular(stay: Stay, free: Figure): void {
    if (free.mark === '>') return;
    const last = (analyte: string): number | undefined =>
      stay.figures
        .get(analyte)
        ?.findLast((figure) => figure.minute <= free.minute && figure.mark !== '<' && figure.mark !== '>')?.value;
    const pH = last('pH');
    if (pH === undefined) return;
    const method = molecularMethod(this.ground.settings);
    const alcohol = last('alcohol');
    if (method === 'oiv' && alcohol === undefined) return;
    const worked = molecularSulfurDioxide(
      free.value,
      method === 'oiv'
        ? // the tables of the method begin at 20 °C; a cellar is seldom warmer
          { method, pH, percentVolume: alcohol ?? 0, celsius: 20 }
        : { method, pH },
    );
    if (isRefused(worked)) return;
    const { high: _, ...rest } = free;
    const value = worked.molecular;
    const wanted = this.wanted('molecular SO2');
    if (wanted !== undefined) note(stay, 'molecular SO2', wanted, { ...rest, value, said: `${value.toFixed(2)} mg/L` });
  }
}

/** What is done with a measurement: its figure is kept, its reading counts, or it stands for one in degrees Brix. */
interface Wanted {
  readonly figure: boolean;
  readonly key: string | undefined;
  readonly brix: boolean;
}

function note(stay: Stay, analyte: string, { figure: wanted, key, brix }: Wanted, figure: Figure): void {
  if (wanted) keep(stay.figures, analyte, figure);
  if (brix && figure.high === undefined) {
    const value = coarseBrix(analyte, figure.value);
    if (value !== undefined) keep(stay.figures, 'brix', { ...figure, value });
  }
  if (key === undefined) return;
  // sugar read on two scales at once is read once
  const done = stay.done.get(key);
  if (done?.[done.length - 1]?.place !== figure.place) keep(stay.done, key, figure);
}

/** Adds to a list that is kept in the order of time: what a sample told may be earlier than what is there. */
function keep<T extends { readonly minute: Minute }>(lists: Map<string, T[]>, key: string, one: T): void {
  const list = lists.get(key);
  if (list === undefined) {
    lists.set(key, [one]);
    return;
  }
  const { length } = list;
  if ((list[length - 1]?.minute ?? 0) <= one.minute) {
    list.push(one);
    return;
  }
  let at = length - 1;
  while (at > 0 && (list[at - 1]?.minute ?? 0) > one.minute) at--;
  list.splice(at, 0, one);
}

const samePlace = (a: Place, b: Place): boolean => a.file === b.file && a.line === b.line;
