/** What an editor tells of lots: their story in sentences and what was last read of them, kept as the journal is folded. */
import type { Cellar } from '../cellar/cellar.ts';
import type { Deed } from '../cellar/deed.ts';
import type { Watcher } from '../cellar/fold.ts';
import { tell } from '../cellar/tell.ts';
import type { Event, LotId, Measure, Microlitres, Minute, Place, Target } from '../journal/events.ts';

/** One thing that happened to a lot, and the ones before it. Never changed once it is there, so copies share it. */
export interface Chapter {
  readonly minute: Minute;
  readonly place: Place;
  readonly sentence: string;
  /** On hand afterwards. */
  readonly volume: Microlitres;
  readonly estimated: boolean;
  readonly earlier: Chapter | undefined;
}

/** The last figure of something measured. */
export interface LastRead {
  readonly measure: Measure;
  readonly minute: Minute;
}

export interface Renaming {
  readonly minute: Minute;
  readonly place: Place;
  readonly from: string;
  readonly to: string;
  readonly target: Target | undefined;
  readonly earlier: Renaming | undefined;
}

/** Rounds of work that a story leaves out: there are many of them, and they move nothing. */
const ROUNDS: ReadonlySet<Event['kind']> = new Set<Event['kind']>([
  'cap',
  'reading',
  'day',
  'kept',
  'count',
  'buy',
  'dip',
]);

const NOTHING_READ: ReadonlyMap<string, LastRead> = new Map();

/** Looks on as a journal is folded; what it keeps is shared by its copies, and never changed. */
export class Annals implements Watcher {
  private readonly cellar: Cellar;
  private readonly stories: (Chapter | undefined)[];
  private readonly read: (ReadonlyMap<string, LastRead> | undefined)[];
  renamings: Renaming | undefined;

  constructor(
    cellar: Cellar,
    stories: (Chapter | undefined)[] = [],
    read: (ReadonlyMap<string, LastRead> | undefined)[] = [],
    renamings?: Renaming,
  ) {
    this.cellar = cellar;
    this.stories = stories;
    this.read = read;
    this.renamings = renamings;
  }

  copy(cellar: Cellar): Annals {
    return new Annals(cellar, [...this.stories], [...this.read], this.renamings);
  }

  /** The last thing that happened to a lot; the others hang on it. */
  story(lot: LotId): Chapter | undefined {
    return this.stories[lot];
  }

  lastRead(lot: LotId): ReadonlyMap<string, LastRead> {
    return this.read[lot] ?? NOTHING_READ;
  }

  after(deed: Deed): void {
    const { event } = deed;
    if (event.kind === 'reading') this.keep(deed, event.measures, event.sampled ?? event.minute);
    if (event.kind === 'naming' && event.how === 'rename') {
      const [from = '', to = ''] = event.details.split(' to ');
      const { minute, place } = event;
      this.renamings = { minute, place, from, to, target: event.targets[0], earlier: this.renamings };
    }
    if (ROUNDS.has(event.kind) && deed.movements.length === 0) return;
    let sentence: string | undefined;
    for (const lot of deed.touchedLots) {
      if (lot < 0) continue;
      sentence ??= tell(deed);
      const state = this.cellar.lot(lot);
      this.stories[lot] = {
        minute: event.minute,
        place: event.place,
        sentence,
        volume: this.cellar.onHand(state),
        estimated: this.cellar.estimated(state),
        earlier: this.stories[lot],
      };
    }
  }

  private keep(deed: Deed, measures: readonly Measure[], minute: Minute): void {
    for (const lot of lotsOf(deed, this.cellar)) {
      const known = new Map(this.read[lot] ?? NOTHING_READ);
      for (const measure of measures) {
        const last = known.get(measure.analyte);
        if (last === undefined || last.minute <= minute) known.set(measure.analyte, { measure, minute });
      }
      this.read[lot] = known;
    }
  }
}

/** The lots a reading tells of: those it names, and those in the vessels it names. */
function lotsOf(deed: Deed, cellar: Cellar): Set<LotId> {
  const lots = new Set<LotId>();
  for (const id of deed.touchedLots) if (id >= 0) lots.add(id);
  for (const id of deed.touchedVessels) {
    const { lot } = cellar.vessel(id);
    if (lot >= 0) lots.add(lot);
  }
  return lots;
}
