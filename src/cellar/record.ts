/** Records what a fold does, so that pages and exports can tell it: the book. */
import { parseDate } from '../../grammar/dates.ts';
import type { DayNumber, LotId, Minute, VesselId } from '../journal/events.ts';
import type { SourceFile } from '../journal/files.ts';
import type { Became, Book, Happening, LotRecord, LotStage, VesselRecord, VolumeStep } from './book.ts';
import { type Cellar, type LotState, NO_LOT } from './cellar.ts';
import { ADDED_LIQUID, materialOf, PIECE, unitOf } from './content.ts';
import type { Deed } from './deed.ts';
import type { Folded, Watcher } from './fold.ts';
import { tell } from './tell.ts';

interface LotTrail {
  happenings: number[];
  steps: VolumeStep[];
  stages: { minute: Minute; stage: LotStage; happening: number }[];
  filledOf?: LotRecord['composition'];
}
interface VesselTrail {
  happenings: number[];
  fills: { lot: LotId; from: Minute; until: Minute | undefined }[];
}

const NO_LOT_TRAIL: LotTrail = { happenings: [], steps: [], stages: [] };
const NO_VESSEL_TRAIL: VesselTrail = { happenings: [], fills: [] };

const copyOfLotTrail = (trail: LotTrail): LotTrail => ({
  ...trail,
  happenings: [...trail.happenings],
  steps: [...trail.steps],
  stages: [...trail.stages],
});

const copyOfVesselTrail = (trail: VesselTrail): VesselTrail => ({
  happenings: [...trail.happenings],
  fills: trail.fills.map((fill) => ({ ...fill })),
});

/** Looks on and keeps everything; `book` gives it in one piece once the fold is done. */
export class Recorder implements Watcher {
  private readonly cellar: Cellar;
  private readonly happenings: Happening[];
  private readonly lots: LotTrail[];
  private readonly vessels: VesselTrail[];
  /** Trails that a copy has as well, by number: each is copied when it first grows. */
  private lentLots: Set<LotId> | undefined;
  private lentVessels: Set<VesselId> | undefined;

  constructor(cellar: Cellar, happenings: Happening[] = [], lots: LotTrail[] = [], vessels: VesselTrail[] = []) {
    this.cellar = cellar;
    this.happenings = happenings;
    this.lots = lots;
    this.vessels = vessels;
  }

  /** The same record over a copy of its cellar: what either sees later, the other does not. */
  copy(cellar: Cellar): Recorder {
    const other = new Recorder(cellar, [...this.happenings], [...this.lots], [...this.vessels]);
    for (const recorder of [this, other]) {
      recorder.lentLots = new Set(this.lots.keys());
      recorder.lentVessels = new Set(this.vessels.keys());
    }
    return other;
  }

  private lot(id: LotId): LotTrail {
    let trail = this.lots[id];
    if (trail === undefined) {
      trail = { happenings: [], steps: [], stages: [] };
      this.lots[id] = trail;
    } else if (this.lentLots?.delete(id) === true) {
      trail = copyOfLotTrail(trail);
      this.lots[id] = trail;
    }
    return trail;
  }

  private vessel(id: VesselId): VesselTrail {
    let trail = this.vessels[id];
    if (trail === undefined) {
      trail = { happenings: [], fills: [] };
      this.vessels[id] = trail;
    } else if (this.lentVessels?.delete(id) === true) {
      trail = copyOfVesselTrail(trail);
      this.vessels[id] = trail;
    }
    return trail;
  }

  after(deed: Deed): void {
    const { event } = deed;
    const index = this.happenings.length;
    // a lot that only passed through an event still has it in its history
    const lots = [...deed.touchedLots].filter((id) => id >= 0).sort((a, b) => a - b);
    const vessels = [...deed.touchedVessels].sort((a, b) => a - b);
    // a reading makes nothing must that was not must when it came
    const became = event.kind === 'reading' ? deed.became.filter(({ wine }) => wine) : deed.became;
    if (became.length < deed.became.length) this.provedMust(deed);
    this.happenings.push({
      index,
      event,
      sentence: tell(deed),
      vessels,
      lots,
      movements: deed.movements,
      added: deed.added,
      dipped: deed.dipped,
      ...(deed.counted === undefined ? {} : { counted: deed.counted }),
      ...(became.length === 0 ? {} : { became }),
    });
    for (const id of lots) {
      const trail = this.lot(id);
      trail.happenings.push(index);
      const state = this.cellar.lot(id);
      const lastStage = trail.stages[trail.stages.length - 1]?.stage;
      if (state.stage !== lastStage) trail.stages.push({ minute: event.minute, stage: state.stage, happening: index });
      const volume = this.cellar.onHand(state);
      const last = trail.steps[trail.steps.length - 1];
      const estimated = this.cellar.estimated(state);
      if (last === undefined ? volume > 0 : last.volume !== volume || last.estimated !== estimated) {
        trail.steps.push({ minute: event.minute, volume, estimated, happening: index });
      }
    }
    if ((event.kind === 'bottle' || event.kind === 'found') && this.cellar.lot(event.as).facts.bottling)
      this.lot(event.as).filledOf = composition(this.cellar, this.cellar.lot(event.as));
    for (const id of vessels) {
      const trail = this.vessel(id);
      trail.happenings.push(index);
      const { lot } = this.cellar.vessel(id);
      const fill = trail.fills[trail.fills.length - 1];
      if (fill !== undefined && fill.until === undefined && fill.lot !== lot) fill.until = event.minute;
      if (lot !== NO_LOT && (fill === undefined || fill.until !== undefined))
        trail.fills.push({ lot, from: event.minute, until: undefined });
    }
  }

  /** What counted as wine since it came is must, as a reading showed: it is told so from where it came. */
  private provedMust({ became, touchedLots }: Deed): void {
    for (const { vessel, wine } of became) {
      if (wine) continue;
      const isHere = (one: Became): boolean => one.vessel === vessel && one.wine;
      const at = this.vessel(vessel).happenings.findLast((index) => this.happenings[index]?.became?.some(isHere));
      const happening = at === undefined ? undefined : this.happenings[at];
      if (at === undefined || happening === undefined) continue;
      const told = happening.became?.map((one) => (isHere(one) ? { ...one, wine: false } : one));
      this.happenings[at] = { ...happening, ...(told === undefined ? {} : { became: told }) };
    }
    for (const id of touchedLots) {
      const { stages } = this.lot(id);
      const last = stages[stages.length - 1];
      if (last?.stage === 'wine' && this.cellar.lot(id).stage === 'must')
        stages[stages.length - 1] = { ...last, stage: 'must' };
    }
  }

  /** The whole book of a fold, as of a day. */
  book(folded: Folded, files: readonly SourceFile[], on: DayNumber | undefined): Book {
    const { cellar } = this;
    const { register } = cellar;
    const vessels: VesselRecord[] = [];
    for (const state of cellar.vessels()) {
      const trail = this.vessels[state.facts.id] ?? NO_VESSEL_TRAIL;
      vessels.push({
        facts: state.facts,
        retired: state.retired,
        lot: state.lot === NO_LOT ? undefined : state.lot,
        content: state.content,
        estimated: state.content.slack > 0,
        doubtful: state.doubt !== undefined,
        since: state.lot === NO_LOT ? undefined : state.since,
        fills: trail.fills,
        happenings: trail.happenings,
      });
    }
    const lots: LotRecord[] = [];
    const last = on ?? folded.lastDay ?? 0;
    for (const state of cellar.lots()) lots.push(this.lotRecord(state));
    return {
      settings: register.settings,
      files: files.map((file) => ({ path: file.path, text: file.text })),
      on: last,
      firstDay: folded.firstDay ?? last,
      vessels,
      lots,
      blocks: register.blocks,
      origins: register.origins,
      materials: register.materials,
      hands: register.hands,
      plans: register.plans,
      happenings: this.happenings,
      struck: folded.struck,
      findings: folded.findings,
    };
  }

  private lotRecord(state: LotState): LotRecord {
    const { cellar } = this;
    const trail = this.lots[state.facts.id] ?? NO_LOT_TRAIL;
    const { fruit } = state;
    return {
      facts: state.facts,
      stage: state.stage,
      stages: trail.stages,
      colour: cellar.colourOf(state),
      account: state.account,
      losses: state.losses,
      onHand: cellar.onHand(state),
      estimated: cellar.estimated(state),
      vessels: [...state.vessels].sort((a, b) => a - b),
      bottles: sizes(state.bottles),
      bottlesFilled: sizes(state.filled),
      fruit: {
        received: fruit.received,
        sorted: fruit.sorted,
        stems: fruit.stems,
        used: fruit.used,
        waiting: cellar.fruitWaiting(state),
        pomace: fruit.pomace,
      },
      composition: composition(cellar, state),
      ...(trail.filledOf === undefined ? {} : { filledOf: trail.filledOf }),
      additions: additions(state),
      parents: family(state.parents),
      children: family(state.children),
      happenings: trail.happenings,
      steps: trail.steps,
    };
  }
}

const sizes = (bottles: ReadonlyMap<number, number>) =>
  [...bottles].map(([size, count]) => ({ count, size })).sort((a, b) => a.size - b.size);

const family = (lots: ReadonlyMap<LotId, number>) =>
  [...lots].map(([lot, volume]) => ({ lot, volume })).sort((a, b) => b.volume - a.volume || a.lot - b.lot);

/** By origin: what is on hand, or where nothing is, what it was last. */
function composition(cellar: Cellar, state: LotState): { origin: number; volume: number }[] {
  const sum = new Map<number, number>();
  const add = (origins: readonly number[], volumes: readonly number[]): void => {
    origins.forEach((origin, i) => {
      if (origin !== ADDED_LIQUID) sum.set(origin, (sum.get(origin) ?? 0) + (volumes[i] ?? 0));
    });
  };
  for (const id of state.vessels) {
    const { content } = cellar.vessel(id);
    add(content.origins, content.volumes);
  }
  add(state.cellared.origins, state.cellared.volumes);
  if (sum.size === 0) add(state.lastOrigins.origins, state.lastOrigins.volumes);
  return [...sum]
    .map(([origin, volume]) => ({ origin, volume }))
    .sort((a, b) => b.volume - a.volume || a.origin - b.origin);
}

function additions(state: LotState): LotRecord['additions'] {
  const keys = [...new Set([...state.direct.keys(), ...state.carriedIn.keys()])].sort((a, b) => a - b);
  return keys.map((key) => {
    const unit = unitOf(key);
    const by = unit === 'pieces' ? PIECE : 1;
    return {
      material: materialOf(key),
      direct: (state.direct.get(key) ?? 0) / by,
      carriedIn: (state.carriedIn.get(key) ?? 0) / by,
      unit,
    };
  });
}

/** The day a text names, for `--on`; undefined where there is none. */
export function dayOf(text: string): DayNumber | undefined {
  const day = parseDate(text);
  return Number.isNaN(day) ? undefined : day;
}
