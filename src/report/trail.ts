/** Where every litre of a wine comes from: its shares, and the lines from the weigh tag to the bottle that prove them. */
import type { Book, Happening, LotRecord, Movement } from '../cellar/book.ts';
import type { LotId, Micrograms, Microlitres, Minute, OriginId, VesselId } from '../journal/events.ts';
import type { Origin, VesselFacts } from '../journal/register.ts';
import { Known } from './known.ts';

/** What the record tells of a source; free run and press run are parts of one. */
export type SourceKey = 'variety' | 'vintage' | 'region' | 'block' | 'grower';

export interface TrailSource {
  readonly origin: Origin;
  /** Exact, of all that was filled or is in vessels. */
  readonly volume: Microlitres;
  readonly free: Microlitres;
  readonly press: Microlitres;
}

/** Fruit as it was weighed in. */
export interface WeighTag {
  readonly happening: Happening;
  readonly tag: string | undefined;
  readonly net: Micrograms;
  /** Indexes of the sources it is of. */
  readonly sources: readonly number[];
}

/** A line of the journal on the way from the fruit to the wine. */
export interface TrailStep {
  readonly happening: Happening;
  /** What it moved of this wine's forebears, in microlitres. */
  readonly volume: Microlitres;
  readonly sources: readonly number[];
}

/** What is wanting on the way, in words, with its line. */
export interface MissingLink {
  readonly text: string;
  readonly happening: Happening | undefined;
  /** Indexes of the sources whose way it breaks. */
  readonly sources: readonly number[];
}

export interface WoodTime {
  readonly wood: string;
  /** Averaged over the volume of the whole wine. */
  readonly minutes: Minute;
}

export interface Trail {
  readonly lot: LotRecord;
  readonly whole: Microlitres;
  readonly sources: readonly TrailSource[];
  readonly tags: readonly WeighTag[];
  readonly steps: readonly TrailStep[];
  readonly missing: readonly MissingLink[];
  readonly wood: readonly WoodTime[];
}

type Wood = Map<string, Minute>;

/** A movement of wine in or between vessels, as it was played again. */
interface Played {
  readonly happening: number;
  readonly movement: Exclude<Movement, { kind: 'bottles' }>;
  /** The vessel it went to held nothing before. */
  readonly toEmpty: boolean;
}

/** All movements of a book again, with what each vessel's wine has seen of wood. */
interface Playback {
  readonly played: readonly Played[];
  readonly volumes: ReadonlyMap<VesselId, Microlitres>;
  readonly woodOf: ReadonlyMap<VesselId, Wood>;
  /** Wood times volume, of what was bottled, by bottling. */
  readonly bottled: ReadonlyMap<LotId, { readonly volume: Microlitres; readonly wood: Wood }>;
}

const WOODEN: ReadonlySet<VesselFacts['kind']> = new Set<VesselFacts['kind']>(['barrel', 'puncheon', 'foudre']);

/** `barrel, french medium`, as far as it was written down. */
function woodOfVessel({ kind, details }: VesselFacts): string | undefined {
  if (!WOODEN.has(kind)) return undefined;
  return details.length === 0 ? `${kind}, wood not told` : `${kind}, ${details.join(' ')}`;
}

interface Cask {
  volume: Microlitres;
  /** Average minutes in each wood of what it holds, up to `at`. */
  wood: Wood;
  at: Minute;
}

function played(book: Book): Playback {
  const casks = new Map<VesselId, Cask>();
  const list: Played[] = [];
  const bottled = new Map<LotId, { volume: Microlitres; wood: Wood }>();

  const caskOf = (id: VesselId, now: Minute): Cask => {
    let cask = casks.get(id);
    if (cask === undefined) {
      cask = { volume: 0, wood: new Map(), at: now };
      casks.set(id, cask);
    }
    const facts = book.vessels[id]?.facts;
    const wood = facts === undefined ? undefined : woodOfVessel(facts);
    if (wood !== undefined && cask.volume > 0) cask.wood.set(wood, (cask.wood.get(wood) ?? 0) + (now - cask.at));
    cask.at = now;
    return cask;
  };

  /** Wine with its wood joins other wine: both are averaged by volume. */
  const join = (
    into: { volume: Microlitres; wood: Wood },
    volume: Microlitres,
    wood: ReadonlyMap<string, Minute>,
  ): void => {
    const whole = into.volume + volume;
    if (whole <= 0) return;
    for (const key of new Set([...into.wood.keys(), ...wood.keys()]))
      into.wood.set(key, ((into.wood.get(key) ?? 0) * into.volume + (wood.get(key) ?? 0) * volume) / whole);
    into.volume = whole;
  };

  const leave = (cask: Cask, volume: Microlitres): void => {
    cask.volume -= volume;
    if (cask.volume <= 0) cask.wood = new Map();
  };

  for (const { index, event, movements } of book.happenings) {
    for (const movement of movements) {
      if (movement.kind === 'bottles') continue;
      const now = event.minute;
      let toEmpty = false;
      if (movement.kind === 'across') {
        const from = caskOf(movement.from, now);
        const wood = new Map(from.wood);
        leave(from, movement.volume);
        const to = caskOf(movement.to, now);
        toEmpty = to.volume <= 0;
        if (toEmpty) to.wood = new Map();
        join(to, movement.volume, wood);
      } else if (movement.kind === 'in') {
        const cask = caskOf(movement.vessel, now);
        toEmpty = cask.volume <= 0;
        // what a dip finds more is of the same wine
        const wood =
          movement.how === 'dip' || movement.how === 'settled' ? new Map(cask.wood) : new Map<string, Minute>();
        join(cask, movement.volume, wood);
      } else if (movement.kind === 'out') {
        const cask = caskOf(movement.vessel, now);
        if (movement.how === 'bottled' && event.kind === 'bottle') {
          let sum = bottled.get(event.as);
          if (sum === undefined) {
            sum = { volume: 0, wood: new Map() };
            bottled.set(event.as, sum);
          }
          join(sum, movement.volume, cask.wood);
        }
        leave(cask, movement.volume);
      }
      list.push({ happening: index, movement, toEmpty });
    }
  }
  const end = (book.on + 1) * 1440;
  for (const id of casks.keys()) caskOf(id, end);
  return {
    played: list,
    volumes: new Map([...casks].map(([id, { volume }]) => [id, volume])),
    woodOf: new Map([...casks].map(([id, { wood }]) => [id, wood])),
    bottled,
  };
}

const PLAYED = new Known<Book, Playback>(playbackOf);

/** The movements of a book again, worked out once a book. */
export function playbackOf(book: Book): Playback {
  let known = PLAYED.get(book);
  if (known === undefined) {
    known = played(book);
    PLAYED.set(book, known);
  }
  return known;
}

const keyOf = ({ block, variety, vintage, region, grower, estate }: Origin): string =>
  JSON.stringify([block ?? '', variety, vintage ?? '', region ?? '', grower ?? '', estate]);

/** What a lot was filled with or holds, by source, the largest first. */
export function trailSources(book: Book, lot: LotRecord): TrailSource[] {
  const found = new Map<string, { origin: Origin; volume: number; free: number; press: number }>();
  for (const { origin: id, volume } of lot.filledOf ?? lot.composition) {
    const origin = book.origins[id];
    if (origin === undefined || volume <= 0) continue;
    const key = keyOf(origin);
    let source = found.get(key);
    if (source === undefined) {
      source = { origin, volume: 0, free: 0, press: 0 };
      found.set(key, source);
    }
    source.volume += volume;
    if (origin.run !== undefined) source[origin.run] += volume;
  }
  return [...found].sort(([a, x], [b, y]) => y.volume - x.volume || (a < b ? -1 : 1)).map(([, source]) => source);
}

/** Volumes summed over the sources that are alike in some respects: what the law asks of several at once. */
export function sumsBy(
  sources: readonly TrailSource[],
  keys: readonly SourceKey[],
): { readonly of: readonly string[]; readonly volume: Microlitres }[] {
  const sums = new Map<string, { of: string[]; volume: Microlitres }>();
  for (const { origin, volume } of sources) {
    const of = keys.map((key) => tellOf(origin, key));
    const key = JSON.stringify(of);
    const sum = sums.get(key);
    if (sum === undefined) sums.set(key, { of, volume });
    else sum.volume += volume;
  }
  return [...sums].sort(([a, x], [b, y]) => y.volume - x.volume || (a < b ? -1 : 1)).map(([, sum]) => sum);
}

const UNTOLD = 'not told';

/** What the record tells of a source; `not told` where it does not. */
export function tellOf(origin: Origin, key: SourceKey): string {
  switch (key) {
    case 'variety':
      return origin.variety === '' || origin.variety === 'not said' ? UNTOLD : origin.variety;
    case 'vintage':
      return origin.vintage === undefined ? UNTOLD : String(origin.vintage);
    case 'grower':
      return origin.estate ? 'estate' : (origin.grower ?? UNTOLD);
    default:
      return origin[key] ?? UNTOLD;
  }
}

/** The whole trail of a lot, a bottling or a wine in vessels. */
export function trailOf(book: Book, lot: LotRecord): Trail {
  const sources = trailSources(book, lot);
  const whole = sources.reduce((sum, { volume }) => sum + volume, 0);
  const path = pathBack(book, lot);
  const { tags, steps, missing } = pathOn(book, sources, path);
  return { lot, whole, sources, tags, steps, missing: [...untold(sources), ...missing], wood: woodOf(book, lot) };
}

/** The movements that brought wine to a lot, from its last one back to the fruit; in the order of time. */
function pathBack(book: Book, lot: LotRecord): Played[] {
  const { played: list } = playbackOf(book);
  const { id, bottling } = lot.facts;
  const wanted = new Set<VesselId>(bottling ? [] : lot.vessels);
  // a bottling was filled while it has a history: nothing after it matters, and before it only what led there
  const filled = bottling ? lot.happenings : [];
  const first = filled[0] ?? Number.POSITIVE_INFINITY;
  const path: Played[] = [];
  for (let i = lastUpTo(list, filled.at(-1)); i >= 0; i -= 1) {
    const one = list[i];
    if (one === undefined) continue;
    if (wanted.size === 0 && (one.happening < first || !bottling)) break;
    const { movement, toEmpty } = one;
    if (movement.kind === 'out') {
      if (movement.how !== 'bottled') continue;
      const event = book.happenings[one.happening]?.event;
      if (event?.kind !== 'bottle' || event.as !== id) continue;
      wanted.add(movement.vessel);
      path.push(one);
    } else if (movement.kind === 'across') {
      if (!wanted.has(movement.to)) continue;
      path.push(one);
      if (toEmpty) wanted.delete(movement.to);
      wanted.add(movement.from);
    } else if (movement.kind === 'in') {
      if (!wanted.has(movement.vessel)) continue;
      path.push(one);
      if (toEmpty) wanted.delete(movement.vessel);
    } else if (wanted.has(movement.vessel)) path.push(one);
  }
  return path.reverse();
}

/** The place of the last movement of a happening or one before it; without one, of the last of all. */
function lastUpTo(list: readonly Played[], happening: number | undefined): number {
  if (happening === undefined) return list.length - 1;
  let [low, high] = [0, list.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((list[middle]?.happening ?? 0) <= happening) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}

/** The lots whose fruit a line used. */
function fruitLots({ event }: Happening): LotId[] {
  if (event.kind === 'crush') return [event.lot];
  if (event.kind !== 'press') return [];
  return event.sources.flatMap(({ targets }) =>
    targets.flatMap((target) => (target.kind === 'lot' ? [target.lot] : [])),
  );
}

interface Way {
  readonly tags: WeighTag[];
  readonly steps: TrailStep[];
  readonly missing: MissingLink[];
}

const RECEIPTS = new Known<Book, ReadonlyMap<LotId, readonly Happening[]>>(receiptsByLot);

/** The fruit that was received, by its lot. */
function receiptsByLot(book: Book): ReadonlyMap<LotId, readonly Happening[]> {
  const known = RECEIPTS.get(book);
  if (known !== undefined) return known;
  const receipts = new Map<LotId, Happening[]>();
  for (const happening of book.happenings) {
    if (happening.event.kind !== 'receive') continue;
    const list = receipts.get(happening.event.lot);
    if (list === undefined) receipts.set(happening.event.lot, [happening]);
    else list.push(happening);
  }
  RECEIPTS.set(book, receipts);
  return receipts;
}

/** The way again from the fruit on: which sources each line can have carried, and what it lacks. */
function pathOn(book: Book, sources: readonly TrailSource[], path: readonly Played[]): Way {
  const indexOf = new Map(sources.map(({ origin }, i) => [keyOf(origin), i]));
  const sourceOf = (id: OriginId): number | undefined => {
    const origin = book.origins[id];
    return origin === undefined ? undefined : indexOf.get(keyOf(origin));
  };
  const receipts = receiptsByLot(book);
  const has = new Map<VesselId, Set<number>>();
  const tags = new Map<number, WeighTag>();
  const steps = new Map<number, { volume: Microlitres; sources: Set<number> }>();
  const missing: MissingLink[] = [];
  const lacks = new Set<string>();
  const lack = (text: string, happening: Happening, sources: Iterable<number>): void => {
    const key = `${happening.index} ${text}`;
    if (lacks.has(key)) return;
    lacks.add(key);
    missing.push({ text, happening, sources: [...sources] });
  };

  /** Fruit, or wine from outside, by its line: the sources that came with it. */
  function begun(happening: Happening, how: (Movement & { kind: 'in' })['how']): Set<number> {
    const { event } = happening;
    const found = new Set<number>();
    if (event.kind === 'found' || event.kind === 'bring') {
      for (const { origin } of event.origins) {
        const source = sourceOf(origin);
        if (source !== undefined) found.add(source);
      }
      if (event.kind === 'found')
        lack('it was here when the record began: nothing tells of it from before', happening, found);
      else
        lack(
          `it came in as wine${event.seller === undefined ? ', and from whom is not told' : ` from ${event.seller}`}: the record has no weigh tag of it`,
          happening,
          found,
        );
      return found;
    }
    if (how !== 'made') return found;
    for (const lot of fruitLots(happening)) {
      for (const receipt of receipts.get(lot) ?? []) {
        if (receipt.event.kind !== 'receive' || receipt.event.minute > event.minute) continue;
        const source = sourceOf(receipt.event.origin);
        if (source === undefined) continue;
        found.add(source);
        tags.set(receipt.index, {
          happening: receipt,
          tag: receipt.event.tag,
          net: receipt.event.net,
          sources: [source],
        });
        if (receipt.event.tag === undefined) lack('fruit was weighed in without a tag', receipt, [source]);
      }
    }
    return found;
  }

  for (const { happening: index, movement, toEmpty } of path) {
    const happening = book.happenings[index];
    if (happening === undefined) continue;
    let carried: Set<number>;
    if (movement.kind === 'across') {
      carried = new Set(has.get(movement.from));
      has.set(movement.to, toEmpty ? new Set(carried) : new Set([...(has.get(movement.to) ?? []), ...carried]));
    } else if (movement.kind === 'in') {
      if (movement.how === 'liquid') continue;
      if (movement.how === 'dip' || movement.how === 'settled') {
        const there = has.get(movement.vessel) ?? [];
        if (movement.how === 'dip')
          lack('a measure found more wine than the book had: it counts as of the same sources', happening, there);
        else lack('an estimate stood on the way until it was measured', happening, there);
        continue;
      }
      carried = begun(happening, movement.how);
      has.set(movement.vessel, toEmpty ? new Set(carried) : new Set([...(has.get(movement.vessel) ?? []), ...carried]));
    } else carried = new Set(has.get(movement.vessel));
    const step = steps.get(index);
    const volume = movement.kind === 'renamed' ? 0 : movement.volume;
    if (step === undefined) steps.set(index, { volume, sources: carried });
    else {
      step.volume += volume;
      for (const source of carried) step.sources.add(source);
    }
  }
  const inOrder = (set: Set<number>): number[] => [...set].sort((a, b) => a - b);
  return {
    tags: [...tags].sort(([a], [b]) => a - b).map(([, tag]) => tag),
    steps: [...steps]
      .sort(([a], [b]) => a - b)
      .flatMap(([index, step]) => {
        const happening = book.happenings[index];
        return happening === undefined ? [] : [{ happening, volume: step.volume, sources: inOrder(step.sources) }];
      }),
    missing,
  };
}

const ASKED: readonly SourceKey[] = ['variety', 'vintage', 'region', 'block', 'grower'];

/** What the record does not tell of a source itself. */
function untold(sources: readonly TrailSource[]): MissingLink[] {
  return sources.flatMap(({ origin }, i) => {
    const lacks = ASKED.filter((key) => tellOf(origin, key) === UNTOLD);
    if (lacks.length === 0) return [];
    const known = ASKED.filter((key) => !lacks.includes(key)).map((key) => tellOf(origin, key));
    const what = known.length === 0 ? 'of a part of it' : `of ${known.join(', ')}`;
    return [
      { text: `${what} the record does not tell the ${lacks.join(', the ')}`, happening: undefined, sources: [i] },
    ];
  });
}

/** Less than a day and a half, of the whole wine, is no time in wood. */
const LEAST_WOOD: Minute = 36 * 60;

function woodOf(book: Book, lot: LotRecord): WoodTime[] {
  const playback = playbackOf(book);
  let wood: ReadonlyMap<string, Minute>;
  if (lot.facts.bottling) wood = playback.bottled.get(lot.facts.id)?.wood ?? new Map();
  else {
    const sums = new Map<string, number>();
    let whole = 0;
    for (const id of lot.vessels) {
      const volume = playback.volumes.get(id) ?? 0;
      whole += volume;
      for (const [key, minutes] of playback.woodOf.get(id) ?? [])
        sums.set(key, (sums.get(key) ?? 0) + minutes * volume);
    }
    wood = new Map([...sums].map(([key, sum]) => [key, whole === 0 ? 0 : sum / whole]));
  }
  return [...wood]
    .filter(([, minutes]) => minutes >= LEAST_WOOD)
    .sort(([a, x], [b, y]) => y - x || (a < b ? -1 : 1))
    .map(([key, minutes]) => ({ wood: key, minutes }));
}
