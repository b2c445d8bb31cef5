/** Which lot lay in which vessel, from when to when, and what it was: worked out from the movements of the book. */
import type { LotStage, Movement } from '../cellar/book.ts';
import { LONGEST_FERMENT } from '../cellar/stages.ts';
import { LEAVES_SKINS } from '../cellar/works/movements.ts';
import type { Event, LotId, Minute, Place, VesselId } from '../journal/events.ts';
import type { WineKind } from '../journal/plans.ts';

/** Work done once or more at a moment. */
export interface Doing {
  readonly minute: Minute;
  readonly times: number;
  readonly place: Place;
  readonly sic: boolean;
}

/** A figure of the record, which is a reading done as well. */
export interface Figure extends Doing {
  readonly value: number;
  readonly high?: number;
  readonly mark: '' | '~' | '<' | '>';
  /** As written, for people. */
  readonly said: string;
}

/** One lot in one vessel, from its coming to its going. */
export interface Stay {
  readonly id: number;
  readonly vessel: VesselId;
  readonly lot: LotId;
  readonly from: Minute;
  /** When it ended; undefined while the wine lies there. */
  until: Minute | undefined;
  /** The line that brought it, and whether that line says `sic`. */
  readonly place: Place;
  readonly sic: boolean;
  /** Where the same wine lay just before: it goes on from there. */
  readonly before: Stay | undefined;
  /** It took another name where it lay. */
  readonly renamed: boolean;
  /** It lies on its skins. */
  readonly skins: boolean;
  /** What was read of it, by analyte, in the order of time; the first may have been read before it came here. */
  readonly figures: Map<string, Figure[]>;
  /** What was done to it, by key of the work, in the order of time. */
  readonly done: Map<string, Doing[]>;
  /** The highest sugar read before it came here, in degrees Brix. */
  readonly brixBefore: number | undefined;
  /** Plans it was put under or taken from by the vessel's name, in the order of time. */
  readonly planned: { readonly minute: Minute; readonly plan: string; readonly under: boolean }[];
  /** Lines that could not be read and may have told of work on it. */
  readonly missing: Minute[];
}

/** A stage a lot had from a minute on. */
interface StageSince {
  readonly minute: Minute;
  readonly stage: LotStage;
}

interface Arrival {
  readonly lot: LotId;
  readonly source: Stay | undefined;
  readonly renamed: boolean;
  readonly skins: boolean;
}

export class Stays {
  readonly all: Stay[] = [];
  private readonly current = new Map<VesselId, Stay>();
  private readonly volumes = new Map<VesselId, number>();
  private readonly byVessel = new Map<VesselId, Stay[]>();
  private readonly stages = new Map<LotId, StageSince[]>();

  /** All of it anew, so that what either sees later the other does not. Figures and doings never change, and are shared. */
  copy(): Stays {
    const other = new Stays();
    const lists = <T>(from: ReadonlyMap<string, readonly T[]>): Map<string, T[]> =>
      new Map([...from].map(([key, list]) => [key, [...list]]));
    for (const stay of this.all) {
      other.all.push({
        ...stay,
        before: stay.before === undefined ? undefined : other.all[stay.before.id],
        figures: lists(stay.figures),
        done: lists(stay.done),
        planned: [...stay.planned],
        missing: [...stay.missing],
      });
    }
    const same = (stay: Stay): Stay => other.all[stay.id] ?? stay;
    for (const [vessel, stay] of this.current) other.current.set(vessel, same(stay));
    for (const [vessel, stays] of this.byVessel) other.byVessel.set(vessel, stays.map(same));
    for (const [vessel, volume] of this.volumes) other.volumes.set(vessel, volume);
    for (const [lot, stages] of this.stages) other.stages.set(lot, [...stages]);
    return other;
  }

  /** What lies in a vessel at the moment the record has been read to. */
  in(vessel: VesselId): Stay | undefined {
    return this.current.get(vessel);
  }

  /** What lay in a vessel at a moment. */
  inAt(vessel: VesselId, minute: Minute): Stay | undefined {
    const stays = this.byVessel.get(vessel) ?? [];
    return stays.findLast((stay) => stay.from <= minute && (stay.until === undefined || minute <= stay.until));
  }

  /** All that lies of a lot, by vessel. */
  ofLot(lot: LotId): Stay[] {
    return [...this.current.values()].filter((stay) => stay.lot === lot).sort((a, b) => a.vessel - b.vessel);
  }

  /** All stays of a lot at a moment, by vessel. */
  ofLotAt(lot: LotId, minute: Minute): Stay[] {
    return this.all
      .filter((stay) => stay.lot === lot && stay.from <= minute && (stay.until === undefined || minute <= stay.until))
      .sort((a, b) => a.vessel - b.vessel);
  }

  /** Wine that lay somewhere before the record was looked at. */
  found(vessel: VesselId, lot: LotId, volume: number, from: Minute, place: Place, skins: boolean): void {
    this.volumes.set(vessel, volume);
    this.open(vessel, from, place, false, { lot, source: undefined, renamed: false, skins });
  }

  private open(vessel: VesselId, from: Minute, place: Place, sic: boolean, arrival: Arrival): void {
    const { lot, source, renamed, skins } = arrival;
    const figures = new Map<string, Figure[]>();
    for (const [analyte, read] of source?.figures ?? []) {
      const last = read[read.length - 1];
      if (last !== undefined) figures.set(analyte, [last]);
    }
    const stay: Stay = {
      id: this.all.length,
      vessel,
      lot,
      from,
      until: undefined,
      place,
      sic,
      before: source,
      renamed,
      skins,
      figures,
      done: new Map(),
      brixBefore: source === undefined ? undefined : mostBrix(source),
      planned: renamed ? [...(source?.planned ?? [])] : [],
      missing: [],
    };
    this.all.push(stay);
    this.current.set(vessel, stay);
    const list = this.byVessel.get(vessel);
    if (list === undefined) this.byVessel.set(vessel, [stay]);
    else list.push(stay);
  }

  /** Carries the movements of an event out: what they leave is what lies where. */
  move(event: Event, movements: readonly Movement[]): void {
    const touched = new Set<VesselId>();
    const arrivals = new Map<VesselId, Arrival>();
    const change = (vessel: VesselId, volume: number): void => {
      touched.add(vessel);
      this.volumes.set(vessel, (this.volumes.get(vessel) ?? 0) + volume);
    };
    const arrive = (vessel: VesselId, arrival: Arrival): void => {
      const known = arrivals.get(vessel);
      // of several portions the first of the same wine is what goes on; any of them may bring skins
      if (known === undefined) arrivals.set(vessel, arrival);
      else
        arrivals.set(vessel, {
          lot: arrival.lot,
          source: known.source ?? arrival.source,
          renamed: known.renamed || arrival.renamed,
          skins: known.skins || arrival.skins,
        });
    };
    for (const movement of movements) {
      switch (movement.kind) {
        case 'in':
          change(movement.vessel, movement.volume);
          arrive(movement.vessel, {
            lot: movement.lot,
            source: undefined,
            renamed: false,
            skins: movement.how === 'made' && event.kind === 'crush',
          });
          break;
        case 'out':
          change(movement.vessel, -movement.volume);
          break;
        case 'across': {
          change(movement.from, -movement.volume);
          change(movement.to, movement.volume);
          const source = this.current.get(movement.from);
          arrive(movement.to, {
            lot: movement.toLot,
            source: movement.fromLot === movement.toLot ? source : undefined,
            renamed: false,
            skins: source?.skins === true && !LEAVES_SKINS.has(event.verb),
          });
          break;
        }
        case 'renamed': {
          touched.add(movement.vessel);
          const source = this.current.get(movement.vessel);
          arrive(movement.vessel, { lot: movement.toLot, source, renamed: true, skins: source?.skins === true });
          break;
        }
        case 'bottles':
          break;
      }
    }
    for (const vessel of touched) {
      const stay = this.current.get(vessel);
      const arrival = arrivals.get(vessel);
      const empty = (this.volumes.get(vessel) ?? 0) <= 0;
      const other = !empty && arrival !== undefined && arrival.lot !== stay?.lot;
      if (stay !== undefined && (empty || other)) {
        stay.until = event.minute;
        this.current.delete(vessel);
      }
      if (other) this.open(vessel, event.minute, event.place, event.sic, arrival);
    }
  }

  // stages

  /** Says what stage a lot is in from a minute on. */
  stage(lot: LotId, minute: Minute, stage: LotStage): void {
    const known = this.stages.get(lot);
    if (known === undefined) this.stages.set(lot, [{ minute, stage }]);
    else if (known[known.length - 1]?.stage !== stage) known.push({ minute, stage });
  }

  /** The stage of a lot at a moment; a ferment nobody ended is wine once it has lasted longer than ferments do. */
  stageAt(lot: LotId, minute: Minute): LotStage {
    const last = this.stages.get(lot)?.findLast((one) => one.minute <= minute);
    if (last === undefined) return 'wine';
    return last.stage === 'fermenting' && minute - last.minute > LONGEST_FERMENT ? 'wine' : last.stage;
  }

  /** The minutes at which a lot changed its stage, or will if nobody writes anything. */
  stageChanges(lot: LotId): Minute[] {
    return (this.stages.get(lot) ?? []).flatMap(({ minute, stage }) =>
      stage === 'fermenting' ? [minute, minute + LONGEST_FERMENT + 1] : [minute],
    );
  }

  /** What wine a stay is to a plan at a moment. */
  kindAt(stay: Stay, minute: Minute): WineKind {
    if (stay.skins) return 'must';
    const stage = this.stageAt(stay.lot, minute);
    return stage === 'wine' || stage === 'bottled' || stage === 'gone' ? 'wine' : 'juice';
  }
}

/** The highest sugar read of a stay, in degrees Brix. */
function mostBrix(stay: Stay): number | undefined {
  let most = stay.brixBefore;
  for (const figure of stay.figures.get('brix') ?? []) {
    if (most === undefined || figure.value > most) most = figure.value;
  }
  return most;
}
