/** Fruit into must, must into wine: received, sorted, crushed, pressed. */
import type {
  Crush,
  Cut,
  LotId,
  Micrograms,
  Microlitres,
  Press,
  Receive,
  Sort,
  VesselId,
} from '../../journal/events.ts';
import { formatMass } from '../../trade/convert.ts';
import { mulDivFloor, splitByShares, withoutZeros } from '../../trade/decimal.ts';
import { type LotState, NO_LOT } from '../cellar.ts';
import { contentOf, draw, emptyContent, mapOrigins } from '../content.ts';
import type { Deed } from '../deed.ts';
import { distribute, gather, loseEnds, lotInto, partsOf } from './movements.ts';

/** Pomace weighs about as much as the must it came from, in micrograms a microlitre times a thousand (common practice, no source). */
const POMACE_UG_PER_UL = 1050;

const kilograms = (mass: Micrograms): string => withoutZeros(formatMass(mass, 'kg'));

export function receive(deed: Deed, event: Receive): void {
  const lot = deed.cellar.lot(event.lot);
  deed.touchedLots.add(event.lot);
  if (lot.vessels.size === 0 && lot.stage === 'gone') {
    deed.say({
      code: 'lot-gone',
      message: `${lot.facts.name} is used up already`,
      help: 'give the new fruit a lot of its own',
      mark: lot.facts.name,
      lots: [event.lot],
      vessels: [],
    });
  }
  lot.fruit.received += event.net;
  lot.fruit.waiting.set(event.origin, (lot.fruit.waiting.get(event.origin) ?? 0) + event.net);
}

/** Takes fruit of a lot that waits, every origin in proportion; says so where there is not enough. */
function takeFruit(
  deed: Deed,
  lot: LotState,
  wanted: Micrograms | undefined,
): { origins: number[]; masses: number[]; mass: Micrograms } {
  const waiting = deed.cellar.fruitWaiting(lot);
  let mass = wanted ?? waiting;
  if (mass > waiting) {
    deed.say({
      code: 'fruit-short',
      message: `${kilograms(waiting)} of ${lot.facts.name} wait on ${deed.day} and ${kilograms(mass)} are used: ${kilograms(mass - waiting)} too many`,
      help: 'mend the weight, or write the delivery that is missing',
      mark: lot.facts.name,
      lots: [lot.facts.id],
      vessels: [],
    });
    mass = waiting;
  }
  const origins = [...lot.fruit.waiting.keys()];
  const masses = splitByShares(mass, [...lot.fruit.waiting.values()]);
  for (const [i, origin] of origins.entries()) {
    const left = (lot.fruit.waiting.get(origin) ?? 0) - (masses[i] ?? 0);
    if (left === 0) lot.fruit.waiting.delete(origin);
    else lot.fruit.waiting.set(origin, left);
  }
  return { origins, masses, mass };
}

export function sort(deed: Deed, event: Sort): void {
  const lot = deed.cellar.lot(event.lot);
  deed.touchedLots.add(event.lot);
  const { mass } = takeFruit(deed, lot, event.out);
  lot.fruit.sorted += mass;
}

function nothingWaits(deed: Deed, lot: LotState, vessels: readonly VesselId[]): void {
  deed.say({
    code: 'fruit-short',
    message: `no fruit of ${lot.facts.name} waits on ${deed.day}`,
    help: 'write its delivery first: `receive`',
    mark: lot.facts.name,
    lots: [lot.facts.id],
    vessels: [],
  });
  deed.leaveInDoubt(vessels);
}

/** New must or juice in its vessels, from fruit taken; materials given to the fruit go with it. */
function fromFruit(
  deed: Deed,
  lot: LotState,
  as: LotId,
  parts: ReturnType<typeof partsOf>,
  fruit: { origins: number[]; masses: number[] },
  fruitBefore: Micrograms,
  fruitUsed: Micrograms,
): void {
  const given =
    fruitUsed >= fruitBefore ? draw(lot.onFruit, lot.onFruit.volume) : portionOfFruit(lot, fruitUsed, fruitBefore);
  const volumes = parts.map((part) => part.volume ?? 0);
  const shared = given.amounts.map((amount) => splitByShares(amount, volumes));
  for (const [i, part] of parts.entries()) {
    const volume = volumes[i] ?? 0;
    if (volume === 0) continue;
    const into = lotInto(deed, part.vessel, [{ lot: as, volume }], as === lot.facts.id ? undefined : as);
    const content = contentOf(volume, part.estimate ? deed.estimateSlack(volume) : 0, fruit.origins, fruit.masses);
    content.materials = [...given.materials];
    content.amounts = shared.map((amounts) => amounts[i] ?? 0);
    if (into !== lot.facts.id) deed.carry(into, content);
    deed.make(part.vessel, into, content, 'made');
    deed.cellar.vessel(part.vessel).skins ??= deed.event.verb === 'crush';
    deed.capacity(part.vessel);
  }
}

/** The materials on a part of the fruit. */
function portionOfFruit(lot: LotState, used: Micrograms, before: Micrograms): ReturnType<typeof emptyContent> {
  const part = emptyContent();
  lot.onFruit.materials.forEach((key, i) => {
    const amount = mulDivFloor(lot.onFruit.amounts[i] ?? 0, used, before);
    part.materials.push(key);
    part.amounts.push(amount);
    lot.onFruit.amounts[i] = (lot.onFruit.amounts[i] ?? 0) - amount;
  });
  return part;
}

export function crush(deed: Deed, event: Crush): void {
  const lot = deed.cellar.lot(event.lot);
  deed.touchedLots.add(event.lot);
  const parts = partsOf(deed, event.parts, []);
  const before = deed.cellar.fruitWaiting(lot);
  if (before === 0) {
    nothingWaits(
      deed,
      lot,
      parts.map((part) => part.vessel),
    );
    return;
  }
  const fruit = takeFruit(deed, lot, event.fruit);
  lot.fruit.used += fruit.mass;
  lot.fruit.stems += event.stems ?? 0;
  const into = event.as ?? event.lot;
  if (into !== event.lot) deed.family(event.lot, into, 0);
  fromFruit(deed, lot, into, parts, fruit, before, fruit.mass);
  // where there was not enough fruit that has been said, and its weight says nothing of the must
  if (event.fruit === undefined || event.fruit <= before)
    crushDensity(deed, event, fruit.mass - (event.stems ?? 0), parts);
  const made = deed.cellar.lot(into);
  if (made.stage === 'fruit') made.stage = 'must';
}

/** The density must can have, in micrograms a microlitre times a thousand: 1.05 to 1.10 kg/L (common practice, no source). */
const MUST_LIGHT = 1050;
const MUST_HEAVY = 1100;

/** Fruit less stems over litres of must, against what must can weigh, as far as the estimate lets it be known. */
function crushDensity(deed: Deed, event: Crush, mass: Micrograms, parts: ReturnType<typeof partsOf>): void {
  const volume = parts.reduce((sum, part) => sum + (part.volume ?? 0), 0);
  if (volume === 0) return;
  const slack =
    parts.reduce((sum, part) => sum + (part.estimate ? deed.estimateSlack(part.volume ?? 0) : 0), 0) +
    deed.tolerance(volume, 0);
  const most = mass / MUST_LIGHT;
  const least = mass / MUST_HEAVY;
  if (volume + slack < least || volume - slack > most) {
    const lot = deed.cellar.nameOfLot(event.lot);
    deed.say({
      code: 'crush-density',
      message: `${kilograms(mass)} of ${lot}, stems taken off, give ${deed.litres(Math.round(least / 1e5) * 1e5)} to ${deed.litres(Math.round(most / 1e5) * 1e5)} of must, and ${deed.litres(volume)} are written`,
      help: 'mend a weight or a volume; a volume that is not measured has `~` before it',
      mark: lot,
      lots: [event.lot],
    });
  }
}

export function press(deed: Deed, event: Press): void {
  const head = event.sources[0]?.targets[0];
  const lotWithFruit =
    head?.kind === 'lot' && deed.cellar.fruitWaiting(deed.cellar.lot(head.lot)) > 0
      ? deed.cellar.lot(head.lot)
      : undefined;
  if (lotWithFruit !== undefined) pressFruit(deed, event, lotWithFruit);
  else if (event.fruit !== undefined && head?.kind === 'lot')
    nothingWaits(deed, deed.cellar.lot(head.lot), cutVessels(deed, event.cuts));
  else pressMust(deed, event);
}

const cutVessels = (deed: Deed, cuts: readonly Cut[]): VesselId[] =>
  cuts.flatMap((cut) => deed.sharesVessels(cut.parts));

const cutVolume = (deed: Deed, cut: Cut): Microlitres =>
  partsOf(deed, cut.parts, []).reduce((sum, part) => sum + (part.volume ?? 0), 0);

function pressFruit(deed: Deed, event: Press, lot: LotState): void {
  deed.touchedLots.add(lot.facts.id);
  const before = deed.cellar.fruitWaiting(lot);
  const fruit = takeFruit(deed, lot, event.fruit);
  lot.fruit.used += fruit.mass;
  lot.fruit.pomace += event.pomace ?? 0;
  const { register } = deed.cellar;
  const juice = event.cuts.reduce((sum, cut) => sum + cutVolume(deed, cut), 0);
  let used = 0;
  let volumeBefore = 0;
  for (const cut of event.cuts) {
    const parts = partsOf(deed, cut.parts, []);
    const into = cut.as ?? lot.facts.id;
    if (into !== lot.facts.id) deed.family(lot.facts.id, into, 0);
    volumeBefore += cutVolume(deed, cut);
    // each cut has its part of the fruit, by volume
    const share = juice === 0 ? 0 : mulDivFloor(fruit.mass, volumeBefore, juice) - used;
    used += share;
    const run = cut === event.cuts[0] ? 'free' : 'press';
    const pressed = { origins: fruit.origins.map((origin) => register.withRun(origin, run)), masses: fruit.masses };
    // what the cuts before it took is no longer there
    fromFruit(deed, lot, into, parts, pressed, before - (used - share), juice === 0 ? fruit.mass : share);
    const made = deed.cellar.lot(into);
    if (made.stage === 'fruit') made.stage = 'juice';
    made.fruit.used += into === lot.facts.id ? 0 : share;
  }
  pressedWeight(deed, lot, fruit.mass, juice, event.pomace);
}

/** Juice and pomace against the fruit they came from; juice weighs about 1.09 kg/L (common practice, no source). */
const JUICE_UG_PER_UL = 1090;

function pressedWeight(
  deed: Deed,
  lot: LotState,
  fruit: Micrograms,
  juice: Microlitres,
  pomace: Micrograms | undefined,
): void {
  if (pomace === undefined) return;
  const out = juice * JUICE_UG_PER_UL + pomace;
  const allowed = mulDivFloor(fruit, deed.cellar.register.settings.tolerances.pressing, 1_000_000);
  if (Math.abs(out - fruit) <= allowed) return;
  deed.say({
    code: 'pressing-balance',
    message: `${kilograms(fruit)} of ${lot.facts.name} were pressed; ${deed.litres(juice)} of juice and ${kilograms(pomace)} of pomace make about ${kilograms(Math.round(out / 1e9) * 1e9)}`,
    help: 'mend a weight or a volume',
    mark: lot.facts.name,
    lots: [lot.facts.id],
  });
}

function pressMust(deed: Deed, event: Press): void {
  const named = event.cuts.reduce((sum, cut) => sum + cutVolume(deed, cut), 0);
  const vessels = event.sources.flatMap((share) => deed.vesselsOf(share.targets));
  const { volume: held, slack } = deed.held(vessels);
  const first = vessels.map((id) => deed.cellar.vessel(id).lot).find((id) => id !== NO_LOT);
  if (held === 0 || first === undefined) {
    const head = event.sources[0]?.targets[0];
    const name =
      head?.kind === 'lot'
        ? deed.cellar.nameOfLot(head.lot)
        : head?.kind === 'vessel'
          ? deed.vesselName(head.vessel)
          : '';
    deed.say({
      code: 'vessel-empty',
      message: `nothing of ${name} is there to press on ${deed.day}`,
      help: 'name the lot or the vessels that were pressed',
      mark: name,
      ...(head?.kind === 'lot' ? { lots: [head.lot], vessels: [] } : { vessels }),
    });
    deed.leaveInDoubt(cutVessels(deed, event.cuts));
    return;
  }
  const lot = deed.cellar.lot(first);
  const open = event.sources.every((share) => share.volume === undefined);
  const told = named + (event.lees ?? 0) + (event.loss ?? 0) + (event.leaving ?? 0);
  const weighed = event.pomace === undefined ? undefined : Math.round(event.pomace / POMACE_UG_PER_UL);
  let pomace = weighed ?? Math.max(0, held - told);
  if (open) {
    // what the must held was guessed or has shrunk; wine, lees and pomace settle it
    const off = held - told - pomace;
    const { tolerances } = deed.cellar.register.settings;
    const allowed = Math.max(
      deed.tolerance(held, slack),
      mulDivFloor(Math.max(held, lot.account.made), tolerances.pressing, 1_000_000),
    );
    if (Math.abs(off) > allowed) {
      deed.say({
        code: off < 0 && weighed === undefined ? 'vessel-overdrawn' : 'pressing-balance',
        message: `${deed.litres(held)} of must went into the press on ${deed.day}; ${deed.litres(told)} came out${weighed === undefined ? '' : ` and ${kilograms(event.pomace ?? 0)} of pomace (about ${deed.litres(Math.round(pomace / 1e5) * 1e5)})`}: ${deed.litres(Math.abs(off))} too ${off < 0 ? 'many' : 'few'}`,
        help: 'mend a weight or a volume',
        mark: lot.facts.name,
        vessels,
      });
    }
    deed.correctAll(vessels, told + pomace, 'settled');
  } else pomace = weighed ?? 0;
  lot.fruit.pomace += event.pomace ?? 0;
  const pool = gather(deed, event.sources, named + pomace, false, open, event, []);
  if (pool.length === 0) return;
  loseEnds(deed, pool, event);
  deed.letGoOf(pool, pomace, 'pomace');
  const { register } = deed.cellar;
  for (const drawn of pool) mapOrigins(drawn.content, (origin) => register.withRun(origin, 'press'));
  for (const cut of event.cuts) distribute(deed, pool, partsOf(deed, cut.parts, vessels), cut.as);
  // measures are rounded: what is on its way still goes with the pomace
  if (event.cuts.length > 0) deed.letGoOf(pool, deed.poolVolume(pool), 'pomace');
}
