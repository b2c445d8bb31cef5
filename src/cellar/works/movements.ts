/** Wine that moves: between vessels, into bottles, into and out of the cellar. */
import type { VerbWord } from '../../../grammar/words.ts';
import type {
  Bottle,
  Bottles,
  Bring,
  Found,
  Leave,
  LotId,
  Microlitres,
  Move,
  OriginId,
  Share,
  Top,
  VesselId,
} from '../../journal/events.ts';
import { splitByShares } from '../../trade/decimal.ts';
import type { LossKind } from '../book.ts';
import { NO_LOT } from '../cellar.ts';
import { contentOf, mapOrigins, pour } from '../content.ts';
import type { Deed, Drawn } from '../deed.ts';

/** A part of a movement, one vessel each; no volume takes what comes. */
export interface Part {
  readonly vessel: VesselId;
  readonly volume: Microlitres | undefined;
  readonly estimate: boolean;
}

/** The vessels a movement goes to, with their volumes; `now` is turned into what went in. */
export function partsOf(deed: Deed, shares: readonly Share[], sources: readonly VesselId[]): Part[] {
  const parts: Part[] = [];
  for (const share of shares) {
    for (const vessel of deed.vesselsOf(
      share.targets,
      share.targets.length > 1 || share.targets[0]?.kind === 'lot' ? sources : [],
    )) {
      let volume = share.volume?.microlitres;
      if (volume !== undefined && share.volume?.now === true)
        volume = Math.max(0, volume - deed.cellar.vessel(vessel).content.volume);
      parts.push({ vessel, volume, estimate: share.volume?.estimate === true });
    }
  }
  return parts;
}

/** What is drawn and from where; no volume means all of it. */
interface Source {
  readonly vessel: VesselId;
  readonly volume: Microlitres | undefined;
  readonly estimate: boolean;
}

function sourcesOf(deed: Deed, shares: readonly Share[], targets: readonly VesselId[]): Source[] {
  const sources: Source[] = [];
  for (const share of shares) {
    const ids = deed.vesselsOf(share.targets, share.targets.some((target) => target.kind === 'lot') ? targets : []);
    if (ids.length === 0 && share.targets[0]?.kind === 'lot') {
      const lot = share.targets[0].lot;
      deed.say({
        code: 'lot-gone',
        message: `nothing of ${deed.cellar.nameOfLot(lot)} is in any vessel on ${deed.day}`,
        help: deed.cellar.lot(lot).facts.bottling
          ? `bottles go by number and size: \`${deed.cellar.nameOfLot(lot)} 120 x 750 mL\``
          : 'name the lot or vessel that was meant',
        mark: deed.cellar.nameOfLot(lot),
        lots: [lot],
        vessels: [],
      });
    }
    const said = share.volume;
    if (said === undefined || said.each) {
      for (const vessel of ids) sources.push({ vessel, volume: said?.microlitres, estimate: said?.estimate === true });
    } else {
      const split = deed.inProportion(said.microlitres, ids);
      const [first] = share.targets;
      cover(deed, ids, split, first?.kind === 'lot' ? deed.cellar.nameOfLot(first.lot) : undefined);
      for (const [i, vessel] of ids.entries()) sources.push({ vessel, volume: split[i] ?? 0, estimate: said.estimate });
    }
  }
  return sources;
}

/**
 * Sees that vessels hold what is drawn from them together; says it once, for the sum, where they do not, and then believes
 * the figure.
 */
function cover(deed: Deed, ids: readonly VesselId[], split: readonly Microlitres[], name: string | undefined): void {
  if (ids.length < 2) return;
  const wanted = split.reduce((sum, volume) => sum + volume, 0);
  const { volume: held, slack } = deed.held(ids);
  if (held === 0 || wanted <= held) return;
  if (wanted - held > deed.tolerance(held, slack)) {
    const told = name ?? `${deed.vesselName(ids[0] ?? 0)}..${deed.vesselName(ids[ids.length - 1] ?? 0)}`;
    deed.say({
      code: 'vessel-overdrawn',
      message: `${told} holds ${deed.litres(held)} in ${ids.length} vessels on ${deed.day} and ${deed.litres(wanted)} are ${deed.drawnOut()}: ${deed.litres(wanted - held)} too many`,
      help: 'mend the volume, or write the dip that shows what was there',
      mark: name ?? deed.vesselName(ids[0] ?? 0),
      vessels: ids,
    });
  }
  for (const [i, id] of ids.entries()) {
    const { content } = deed.cellar.vessel(id);
    const volume = split[i] ?? 0;
    if (volume > content.volume) deed.correct(id, volume, content.slack > 0 ? 'settled' : 'dip');
  }
}

/** The lot wine gets in a vessel, by the rules of names; says so where the rules are broken. */
export function lotInto(
  deed: Deed,
  vessel: VesselId,
  incoming: readonly { readonly lot: LotId; readonly volume: Microlitres }[],
  as: LotId | undefined,
): LotId {
  const state = deed.cellar.vessel(vessel);
  const volumes = new Map<LotId, Microlitres>();
  for (const { lot, volume } of incoming) volumes.set(lot, (volumes.get(lot) ?? 0) + volume);
  if (state.lot === NO_LOT) {
    if (as !== undefined) return as;
    if (volumes.size > 1) {
      const names = [...volumes.keys()].map((lot) => deed.cellar.nameOfLot(lot));
      deed.say({
        code: 'lots-meet',
        message: `${names.join(' and ')} meet in ${state.facts.name} without a name`,
        help: 'say what the wine is called from here: `as NAME`',
        mark: state.facts.name,
      });
    }
    let most: LotId = incoming[0]?.lot ?? NO_LOT;
    for (const [lot, volume] of volumes) if (volume > (volumes.get(most) ?? 0)) most = lot;
    return most;
  }
  if (as !== undefined) {
    if (as !== state.lot) deed.rename(vessel, as, false);
    return as;
  }
  let foreign = 0;
  for (const [lot, volume] of volumes) if (lot !== state.lot) foreign += volume;
  const total = state.content.volume + [...volumes.values()].reduce((sum, volume) => sum + volume, 0);
  if (foreign > (total / 1e6) * deed.cellar.register.settings.tolerances.topping) {
    const names = [...volumes.keys()].filter((lot) => lot !== state.lot).map((lot) => deed.cellar.nameOfLot(lot));
    deed.say({
      code: 'lot-diluted',
      message: `${deed.litres(foreign)} of ${names.join(', ')} go into ${deed.cellar.nameOfLot(state.lot)} in ${state.facts.name}: ${Math.round((foreign / total) * 1000) / 10} % of it`,
      help: `say what it is called from here: \`as ${deed.cellar.nameOfLot(state.lot)}\`, or a new name`,
      mark: state.facts.name,
      vessels: [vessel],
    });
  }
  return state.lot;
}

/** Verbs after which wine has no skins in it. */
export const LEAVES_SKINS: ReadonlySet<VerbWord> = new Set<VerbWord>(['drain', 'bleed', 'press', 'rack', 'filter']);

/** Puts drawn wine into its parts. */
export function distribute(deed: Deed, pool: readonly Drawn[], parts: readonly Part[], as: LotId | undefined): void {
  for (const part of parts) {
    const volume = part.volume ?? deed.poolVolume(pool);
    if (volume === 0) continue;
    const slack = part.estimate ? deed.estimateSlack(volume) : 0;
    const portions = deed.portion(pool, volume, slack, part.volume === undefined);
    const lot = lotInto(
      deed,
      part.vessel,
      portions.map((drawn) => ({ lot: drawn.lot, volume: drawn.content.volume })),
      as,
    );
    for (const drawn of portions) deed.put(part.vessel, lot, drawn);
    const state = deed.cellar.vessel(part.vessel);
    // a vessel that was empty takes over what is known of the wine
    const first = portions[0];
    state.brix ??= first?.brix;
    state.skins ??= LEAVES_SKINS.has(deed.event.verb) ? false : first?.skins;
    deed.capacity(part.vessel);
  }
}

/** Draws sources as they say. */
function drawAll(deed: Deed, sources: readonly Source[]): Drawn[] {
  const pool: Drawn[] = [];
  const empty = sources.filter((source) => deed.cellar.vessel(source.vessel).content.volume === 0);
  deed.nothingIn(empty.map((source) => source.vessel));
  for (const source of sources) {
    if (empty.includes(source) || source.volume === 0) continue;
    const held = deed.cellar.vessel(source.vessel).content.volume;
    const drawn = deed.drawFrom(source.vessel, source.volume ?? held, source.estimate);
    if (drawn !== undefined) pool.push(drawn);
  }
  return pool;
}

interface Ends {
  readonly lees?: Microlitres;
  readonly loss?: Microlitres;
  readonly leaving?: Microlitres;
}

/** Lets go of lees and losses. */
export function loseEnds(deed: Deed, pool: readonly Drawn[], ends: Ends): void {
  deed.letGoOf(pool, ends.lees ?? 0, 'lees');
  deed.letGoOf(pool, ends.loss ?? 0, 'handling');
}

/** What no part took, where the two sides do not agree, which is said: it leaves the book as a dip would take it out. */
function letRestGo(deed: Deed, pool: readonly Drawn[], ends: Ends, named: Microlitres): void {
  const rest = deed.poolVolume(pool);
  if (rest === 0) return;
  if (deed.cause === undefined && rest > deed.tolerance(rest + named, deed.poolSlack(pool))) {
    deed.say({
      code: 'remainder-unsaid',
      message: `${deed.litres(rest + named)} are ${deed.drawnOut()}; ${told(deed, named, ends)}: ${deed.litres(rest)} are not accounted for`,
      help:
        deed.event.verb === 'top'
          ? 'mend a volume on either side'
          : 'say what became of the rest: `lees 20 L`, `loss 2 L`, or one more vessel',
      vessels: pool.map((one) => one.vessel),
      mark: deed.vesselName(pool[0]?.vessel ?? 0),
    });
  }
  deed.letGoOf(pool, rest, 'dip');
}

/** `812 L are told: 780 L in T6, 20 L lees` */
function told(deed: Deed, named: Microlitres, ends: Ends): string {
  const parts = [`${deed.litres(named)} are named`];
  if (ends.lees !== undefined) parts.push(`${deed.litres(ends.lees)} lees`);
  if (ends.loss !== undefined) parts.push(`${deed.litres(ends.loss)} loss`);
  if (ends.leaving !== undefined) parts.push(`${deed.litres(ends.leaving)} left behind`);
  return parts.join(', ');
}

/**
 * Draws what a movement needs, so that sources and parts agree: where a source is emptied, what the line tells must be
 * what the book holds; an estimate settles to what is told.
 */
export function gather(
  deed: Deed,
  shares: readonly Share[],
  named: Microlitres,
  openEnd: boolean,
  empties: boolean,
  ends: Ends,
  targets: readonly VesselId[],
): Drawn[] {
  const sources = sourcesOf(deed, shares, targets);
  const open = sources.filter((source) => source.volume === undefined);
  const given = sources.reduce((sum, source) => sum + (source.volume ?? 0), 0);
  const out = named + (ends.lees ?? 0) + (ends.loss ?? 0);
  if (open.length === 0) {
    const pool = drawAll(deed, sources);
    if (!openEnd || deed.poolVolume(pool) < out) agree(deed, pool, out, ends, named);
    return pool;
  }
  const openIds = open.map((source) => source.vessel);
  deed.nothingIn(openIds.filter((id) => deed.cellar.vessel(id).content.volume === 0));
  const filled = openIds.filter((id) => deed.cellar.vessel(id).content.volume > 0);
  if (filled.length === 0)
    return drawAll(
      deed,
      sources.filter((source) => source.volume !== undefined),
    );
  const { volume: held, slack } = deed.held(filled);
  const leaving = ends.leaving ?? 0;
  if (empties && leaving > held + deed.tolerance(held, slack)) {
    const name = deed.vesselName(filled[0] ?? 0);
    deed.say({
      code: 'vessel-overdrawn',
      message: `${name} holds ${deed.litres(held)} on ${deed.day} and ${deed.litres(leaving)} are left behind`,
      help: 'mend the volume, or write the dip that shows what it held',
      mark: name,
      vessels: filled,
    });
    return [];
  }
  const rest = empties ? held - leaving : out - given;
  let wanted = rest;
  if (empties) {
    const short = rest - (out - given);
    // a part without a volume takes what is left, if the others leave any
    if (openEnd ? short < 0 : short !== 0) {
      if (Math.abs(short) > deed.tolerance(held, slack)) {
        const names = filled.map((id) => deed.vesselName(id));
        const who = names.length > 3 ? `${names[0]}..${names[names.length - 1]}` : names.join(', ');
        const holds = names.length === 1 ? 'holds' : 'hold';
        deed.say(
          short > 0
            ? {
                code: 'remainder-unsaid',
                message: `${who} ${holds} ${deed.litres(held)} on ${deed.day}; ${told(deed, named - given, ends)}: ${deed.litres(short)} are not accounted for`,
                help: 'say what became of the rest: `lees 20 L`, `loss 2 L`, `leaving 18 L`, or one more vessel',
                vessels: filled,
                ...(names[0] === undefined ? {} : { mark: names[0] }),
              }
            : {
                code: 'vessel-overdrawn',
                message: `${who} ${holds} ${deed.litres(held)} on ${deed.day} and ${deed.litres(held - short)} are ${deed.drawnOut()}: ${deed.litres(-short)} too many`,
                help: 'mend a volume, or write the dip that shows what was there',
                vessels: filled,
                ...(names[0] === undefined ? {} : { mark: names[0] }),
              },
        );
      }
      // what is told is believed; the book's vessels are set to it, each in proportion
      deed.correctAll(filled, Math.max(0, held - short), slack > 0 ? 'settled' : 'dip');
      wanted = out - given;
    }
  }
  const pool = drawAll(
    deed,
    sources.filter((source) => source.volume !== undefined),
  );
  const split =
    empties && ends.leaving === undefined
      ? filled.map((id) => deed.cellar.vessel(id).content.volume)
      : deed.inProportion(Math.max(0, wanted), filled);
  if (!empties) {
    const [target] = shares[0]?.targets ?? [];
    cover(deed, filled, split, target?.kind === 'lot' ? deed.cellar.nameOfLot(target.lot) : undefined);
  }
  for (const [i, id] of filled.entries()) {
    const volume = split[i] ?? 0;
    if (volume <= 0) continue;
    const drawn = deed.drawFrom(id, volume, false);
    if (drawn !== undefined) pool.push(drawn);
  }
  if (ends.leaving !== undefined)
    for (const id of filled)
      deed.cellar.vessel(id).content.slack = Math.min(
        deed.cellar.vessel(id).content.slack,
        deed.cellar.vessel(id).content.volume,
      );
  return pool;
}

/** Amounts on both sides: what came out must be what is told. */
function agree(deed: Deed, pool: Drawn[], out: Microlitres, ends: Ends, named: Microlitres): void {
  const drawn = deed.poolVolume(pool);
  if (drawn === out || pool.length === 0) return;
  const difference = drawn - out;
  if (Math.abs(difference) > deed.tolerance(drawn, deed.poolSlack(pool))) {
    deed.say(
      difference > 0
        ? {
            code: 'remainder-unsaid',
            message: `${deed.litres(drawn)} are ${deed.drawnOut()}; ${told(deed, named, ends)}: ${deed.litres(difference)} are not accounted for`,
            help: 'say what became of the rest: `lees 20 L`, `loss 2 L`, or one more vessel',
            vessels: pool.map((one) => one.vessel),
            mark: deed.vesselName(pool[0]?.vessel ?? 0),
          }
        : {
            code: 'parts-exceed-sources',
            message: `${deed.litres(drawn)} are ${deed.drawnOut()} and ${deed.litres(out)} arrive: ${deed.litres(-difference)} too many`,
            help: 'mend a volume on either side',
            vessels: pool.map((one) => one.vessel),
            mark: deed.vesselName(pool[0]?.vessel ?? 0),
          },
    );
  }
  const last = pool[pool.length - 1];
  if (last === undefined) return;
  if (difference > 0) {
    deed.letGoOf(pool, difference, 'dip');
    return;
  }
  deed.gainOnTheWay(last, -difference);
}

export function move(deed: Deed, event: Move): void {
  const sourceIds = deed.sharesVessels(event.sources);
  const parts = partsOf(deed, event.parts, sourceIds);
  const open = parts.filter((part) => part.volume === undefined);
  if (open.length > 1) {
    deed.say({
      code: 'parts-open',
      message: `${open.length} vessels have no volume: ${open
        .slice(0, 4)
        .map((part) => deed.vesselName(part.vessel))
        .join(', ')}`,
      help: 'write the volume of each; one at most takes what comes',
      mark: deed.vesselName(open[0]?.vessel ?? 0),
    });
    return;
  }
  const openEnd = open.length === 1;
  // a verb that draws only what is named needs the volume somewhere
  if (
    openEnd &&
    !event.empties &&
    event.sources.some((source) => source.volume === undefined && source.quant !== 'all')
  ) {
    deed.say({
      code: 'amount-missing',
      message: `how much is ${deed.drawnOut()} is missing`,
      help: `write the volume behind the vessel it goes to; \`${event.verb}\` draws only what is named`,
      mark: event.verb,
    });
    return;
  }
  const named = parts.reduce((sum, part) => sum + (part.volume ?? 0), 0);
  const empties = event.empties || event.sources.some((source) => source.quant === 'all');
  const pool = gather(
    deed,
    event.sources,
    named,
    openEnd,
    empties,
    event,
    parts.map((part) => part.vessel),
  );
  if (pool.length === 0) {
    deed.leaveInDoubt(parts.map((part) => part.vessel));
    return;
  }
  if (event.verb === 'drain' || event.verb === 'bleed') {
    const { register } = deed.cellar;
    for (const drawn of pool) mapOrigins(drawn.content, (origin) => register.withRun(origin, 'free'));
  }
  loseEnds(deed, pool, event);
  const told = parts.filter((part) => part.volume !== undefined);
  distribute(deed, pool, [...told, ...open], event.as);
  letRestGo(deed, pool, event, named);
}

export function top(deed: Deed, event: Top): void {
  const targetShares = event.targets;
  const sources = event.sources;
  const sourceIds = deed.sharesVessels(sources);
  const targets = targetShares.flatMap((share) =>
    deed
      .vesselsOf(share.targets, sourceIds)
      .map((vessel) => ({ vessel, volume: share.volume === undefined ? undefined : share.volume.microlitres })),
  );
  const vessels = targets.map(({ vessel }) => vessel);
  deed.nothingIn(vessels.filter((id) => deed.cellar.vessel(id).content.volume === 0));
  const filled = targets.filter(({ vessel }) => deed.cellar.vessel(vessel).content.volume > 0);
  if (filled.length === 0) return;
  const each = sources.find((share) => share.volume?.each === true)?.volume?.microlitres;
  const given = filled.reduce((sum, { volume }) => sum + (volume ?? 0), 0);
  const said = sources.reduce(
    (sum, share) =>
      sum +
      (share.volume === undefined
        ? 0
        : share.volume.each
          ? share.volume.microlitres * filled.length
          : share.volume.microlitres),
    0,
  );
  const total = said > 0 ? said : given;
  const headspace = filled.map(({ vessel }) => {
    const { content, facts } = deed.cellar.vessel(vessel);
    return Math.max(0, facts.capacity - content.volume);
  });
  const space = headspace.reduce((sum, v) => sum + v, 0);
  let into: Microlitres[];
  if (filled.every(({ volume }) => volume !== undefined)) into = filled.map(({ volume }) => volume ?? 0);
  else if (each !== undefined) into = filled.map(() => each);
  else if (total >= space) {
    // beyond the headspace the record knew, what went in is shared by size
    const beyond = splitByShares(
      total - space,
      filled.map(({ vessel }) => deed.cellar.vessel(vessel).facts.capacity),
    );
    into = headspace.map((v, i) => v + (beyond[i] ?? 0));
  } else into = splitByShares(total, headspace);
  const short = filled.map((_, i) => (headspace[i] ?? 0) - (into[i] ?? 0));
  const missing = short.reduce((sum, v) => sum + Math.max(0, v), 0);
  const tolerance = filled.reduce(
    (sum, { vessel }) =>
      sum + deed.tolerance(deed.cellar.vessel(vessel).facts.capacity, deed.cellar.vessel(vessel).content.slack),
    0,
  );
  const fills = missing <= tolerance;
  if (!fills) {
    deed.say({
      code: 'topping-short',
      message: `${deed.litres(total)} cannot fill ${deed.litres(space)} of headspace in ${filled.length === 1 ? deed.vesselName(filled[0]?.vessel ?? 0) : `${filled.length} vessels`}`,
      help: 'mend the volume, or use `transfer` for filling in part',
      vessels: filled.map(({ vessel }) => vessel),
      mark: deed.vesselName(filled[0]?.vessel ?? 0),
    });
  }
  // the vessels evaporated before they were filled
  for (const [i, { vessel }] of filled.entries()) {
    const beyond = -(short[i] ?? 0);
    if (!fills) continue;
    const { content } = deed.cellar.vessel(vessel);
    if (beyond > 0) {
      const settled = Math.min(beyond, content.slack);
      if (settled > 0) deed.correct(vessel, content.volume - settled, 'settled');
      if (beyond > settled) deed.evaporate(vessel, beyond - settled);
    } else if (beyond < 0) deed.correct(vessel, content.volume - beyond, content.slack > 0 ? 'settled' : 'dip');
  }
  const pool = drawForTopping(
    deed,
    sources,
    total,
    filled.map(({ vessel }) => vessel),
  );
  if (pool.length === 0) {
    deed.leaveInDoubt(filled.map(({ vessel }) => vessel));
    return;
  }
  for (const [i, { vessel }] of filled.entries()) {
    const volume = Math.min(into[i] ?? 0, deed.poolVolume(pool));
    if (volume === 0) continue;
    const portions = deed.portion(pool, volume, 0);
    const lot = lotInto(
      deed,
      vessel,
      portions.map((drawn) => ({ lot: drawn.lot, volume: drawn.content.volume })),
      undefined,
    );
    for (const drawn of portions) deed.put(vessel, lot, drawn);
    if (fills) deed.cellar.vessel(vessel).content.slack = 0;
    deed.capacity(vessel);
  }
  letRestGo(
    deed,
    pool,
    {},
    into.reduce((sum, volume) => sum + volume, 0),
  );
}

function drawForTopping(
  deed: Deed,
  shares: readonly Share[],
  total: Microlitres,
  targets: readonly VesselId[],
): Drawn[] {
  const sources = shares.flatMap((share) =>
    deed.vesselsOf(share.targets, targets).map((vessel) => ({ vessel, share })),
  );
  const full = sources.filter(({ vessel }) => deed.cellar.vessel(vessel).content.volume > 0);
  if (full.length === 0) {
    const vessel = sources[0]?.vessel;
    const name = vessel === undefined ? 'the source' : deed.vesselName(vessel);
    const emptied = vessel === undefined ? undefined : deed.cellar.vessel(vessel).emptied;
    deed.say({
      code: 'top-from-empty',
      message: `topping from ${name}, which holds nothing on ${deed.day}`,
      help: 'name the keg that was used',
      mark: name,
      ...(vessel === undefined ? {} : { vessels: [vessel] }),
      ...(emptied === undefined ? {} : { related: { place: emptied, message: 'it was emptied here' } }),
    });
    return [];
  }
  const split = deed.inProportion(
    total,
    full.map(({ vessel }) => vessel),
  );
  const own = full.every(({ share }) => share.volume !== undefined && !share.volume.each);
  return full.flatMap(({ vessel, share }, i) => {
    const volume = own && share.targets.length === 1 ? (share.volume?.microlitres ?? 0) : (split[i] ?? 0);
    const drawn = volume > 0 ? deed.drawFrom(vessel, volume, false) : undefined;
    return drawn === undefined ? [] : [drawn];
  });
}

const volumeOf = (bottles: readonly Bottles[]): Microlitres =>
  bottles.reduce((sum, { count, size }) => sum + count * size, 0);

export function bottle(deed: Deed, event: Bottle): void {
  const named = volumeOf(event.bottles);
  const pool = gather(deed, event.sources, named, false, true, event, []);
  const lot = deed.cellar.lot(event.as);
  deed.touchedLots.add(event.as);
  if (pool.length === 0) return;
  loseEnds(deed, pool, event);
  const volume = Math.min(named, deed.poolVolume(pool));
  for (const drawn of deed.portion(pool, volume, 0)) {
    deed.letGo(drawn, 'bottled');
    lot.account.blendedIn += drawn.content.volume;
    deed.family(drawn.lot, event.as, drawn.content.volume);
    deed.carry(event.as, drawn.content);
    deed.bottlesMoved(lot, 'in', drawn.content.volume, 'filled');
    pour(lot.cellared, { ...drawn.content, slack: 0 });
  }
  deed.fillBottles(lot, event.bottles);
  letRestGo(deed, pool, event, named);
}

/** Wine that comes into vessels from outside, under its lot; a vessel without a volume is full of it. */
function enter(deed: Deed, event: Found | Bring, how: 'found' | 'bought'): void {
  const { origins, shares } = originsOf(event);
  for (const part of partsOf(deed, event.parts, [])) {
    const volume = part.volume ?? deed.cellar.vessel(part.vessel).facts.capacity;
    const lot = lotInto(deed, part.vessel, [{ lot: event.as, volume }], event.as);
    const slack = part.estimate ? deed.estimateSlack(volume) : 0;
    deed.make(part.vessel, lot, contentOf(volume, slack, origins, shares), how);
    deed.capacity(part.vessel);
  }
  const lot = deed.cellar.lot(event.as);
  deed.touchedLots.add(event.as);
  if (lot.stage === 'fruit') lot.stage = 'wine';
}

const originsOf = ({ origins }: Found | Bring): { origins: OriginId[]; shares: number[] } => ({
  origins: origins.map((one) => one.origin),
  shares: origins.map((one) => one.share),
});

export function found(deed: Deed, event: Found): void {
  enter(deed, event, 'found');
  if (event.bottles.length === 0) return;
  const { origins, shares } = originsOf(event);
  const lot = deed.cellar.lot(event.as);
  const volume = volumeOf(event.bottles);
  pour(lot.cellared, contentOf(volume, 0, origins, shares));
  lot.account.found += volume;
  deed.bottlesMoved(lot, 'in', volume, 'found');
  deed.fillBottles(lot, event.bottles);
}

export function bring(deed: Deed, event: Bring): void {
  enter(deed, event, 'bought');
}

const LOSS_KINDS: Readonly<Record<string, LossKind>> = {
  spill: 'spill',
  leak: 'leak',
  evaporation: 'evaporation',
  breakage: 'breakage',
  spoilage: 'spoilage',
  cleaning: 'cleaning',
  theft: 'theft',
};

export function leave(deed: Deed, event: Leave): void {
  const how =
    event.how === 'dispatch' ? 'dispatched' : event.how === 'sample' ? 'sample' : (LOSS_KINDS[event.why] ?? 'other');
  for (const share of event.sources) {
    // a sample without a volume is only a name
    if (event.how === 'sample' && share.volume === undefined) {
      for (const id of deed.vesselsOf(share.targets)) deed.touch(id);
      for (const target of share.targets) if (target.kind === 'lot') deed.touchedLots.add(target.lot);
      continue;
    }
    for (const drawn of drawAll(deed, sourcesOf(deed, [share], []))) deed.letGo(drawn, how);
  }
  for (const { lot: id, bottles } of event.bottles) {
    const lot = deed.cellar.lot(id);
    deed.touchedLots.add(id);
    const there = lot.bottles.get(bottles.size) ?? 0;
    if (bottles.count > there) {
      deed.say({
        code: 'bottles-short',
        message: `${lot.facts.name} has ${there} bottles of ${deed.bottleSize(bottles.size)} on ${deed.day} and ${bottles.count} go: ${bottles.count - there} too many`,
        help: 'mend the number, or write the count that shows what is there',
        mark: lot.facts.name,
        vessels: [],
        lots: [id],
      });
    }
    deed.bottlesGo(lot, bottles, how);
  }
}
