/** Tells an event as a plain sentence, in the units of the reports. */
import type { Cut, Share, Target, VesselId } from '../journal/events.ts';
import { formatMass } from '../trade/convert.ts';
import { withoutZeros } from '../trade/decimal.ts';
import type { Deed } from './deed.ts';
import { runsOf } from './name-runs.ts';

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function mass(deed: Deed, micrograms: number): string {
  const { mass: unit } = deed.cellar.register.settings;
  return micrograms >= 1e9 ? withoutZeros(formatMass(micrograms, unit)) : withoutZeros(formatMass(micrograms, 'g'));
}

/** Names in the order given; three or more neighbours in a row are told as a range. */
export function nameList(names: readonly string[]): string {
  const told = runsOf(names).flatMap((run) => (run.length >= 3 ? [`${run[0]} to ${run.at(-1)}`] : run));
  return told.length <= 1 ? (told[0] ?? '') : `${told.slice(0, -1).join(', ')} and ${told[told.length - 1]}`;
}

function targetName(deed: Deed, target: Target): string {
  if (target.kind === 'vessel') return deed.vesselName(target.vessel);
  if (target.kind === 'lot') return deed.cellar.nameOfLot(target.lot);
  return deed.cellar.register.blocks[target.block]?.name ?? '';
}

const targetNames = (deed: Deed, targets: readonly Target[]): string =>
  nameList(targets.map((target) => targetName(deed, target)));

const shareNames = (deed: Deed, shares: readonly Share[]): string =>
  targetNames(
    deed,
    shares.flatMap((share) => share.targets),
  );

function except(deed: Deed, targets: readonly Target[]): string {
  return targets.length === 0 ? '' : ` except ${targetNames(deed, targets)}`;
}

/** Volumes that arrived, by vessel. */
function arrivals(deed: Deed): string {
  const into = new Map<VesselId, number>();
  for (const movement of deed.movements) {
    if (movement.kind === 'across') into.set(movement.to, (into.get(movement.to) ?? 0) + movement.volume);
    else if (
      movement.kind === 'in' &&
      (movement.how === 'made' || movement.how === 'bought' || movement.how === 'found')
    )
      into.set(movement.vessel, (into.get(movement.vessel) ?? 0) + movement.volume);
  }
  const volumes = [...into.values()];
  const first = volumes[0];
  if (volumes.length > 1 && first !== undefined && volumes.every((volume) => volume === first)) {
    return `${nameList([...into.keys()].map((id) => deed.vesselName(id)))}, ${deed.litres(first)} each`;
  }
  return nameList([...into].map(([id, volume]) => `${deed.vesselName(id)} (${deed.litres(volume)})`));
}

function lost(deed: Deed): string {
  const sums = new Map<string, number>();
  const words: Readonly<Record<string, string>> = {
    handling: 'lost in handling',
    lees: 'lees',
    pomace: 'with the pomace',
    evaporation: 'evaporated',
    settled: 'settled',
    dip: 'unexplained',
  };
  for (const movement of deed.movements) {
    if (movement.kind !== 'out') continue;
    const word = words[movement.how];
    if (word !== undefined) sums.set(word, (sums.get(word) ?? 0) + movement.volume);
  }
  return [...sums].map(([word, volume]) => `, ${deed.litres(volume)} ${word}`).join('');
}

const PAST: Readonly<Record<string, string>> = {
  bleed: 'bled',
  drain: 'drained',
  transfer: 'transferred',
  rack: 'racked',
  blend: 'blended',
  filter: 'filtered',
  chill: 'chilled',
  warm: 'warmed',
  aerate: 'aerated',
  stir: 'stirred the lees of',
  taste: 'tasted',
  gas: 'gassed',
  'punch-down': 'punched down',
  'pump-over': 'pumped over',
  'rack-and-return': 'racked and returned',
};

function cutPart(deed: Deed, cut: Cut): string {
  const volume = cut.parts.reduce((sum, part) => sum + (part.volume?.microlitres ?? 0), 0);
  const at = cut.pressure === undefined || cut.pressure === '' ? '' : ` at ${cut.pressure}`;
  const as = cut.as === undefined ? '' : ` as ${deed.cellar.nameOfLot(cut.as)}`;
  return `${deed.litres(volume)}${at} to ${shareNames(deed, cut.parts)}${as}`;
}

/** What an event says and did, as one sentence with a full stop. */
export function tell(deed: Deed): string {
  const text = sentence(deed).trim();
  return text === '' ? '' : `${capital(text)}.`;
}

function sentence(deed: Deed): string {
  const { event, cellar } = deed;
  const { register } = cellar;
  switch (event.kind) {
    case 'receive': {
      const origin = register.origins[event.origin];
      const tag = event.tag === undefined ? '' : `, tag ${event.tag}`;
      return `received ${mass(deed, event.net)} of ${origin?.variety ?? 'fruit'} from ${origin?.block ?? 'outside'} as ${cellar.nameOfLot(event.lot)}${tag}`;
    }
    case 'sort':
      return `sorted ${cellar.nameOfLot(event.lot)}, ${mass(deed, event.out)} taken out`;
    case 'crush': {
      const stems = event.stems === undefined ? '' : `, ${mass(deed, event.stems)} of stems`;
      return `crushed ${cellar.nameOfLot(event.lot)} to ${arrivals(deed)}${event.details === '' ? '' : `, ${event.details}`}${stems}`;
    }
    case 'press': {
      const pomace = event.pomace === undefined ? '' : `, ${mass(deed, event.pomace)} of pomace`;
      return `pressed ${shareNames(deed, event.sources)}: ${event.cuts.map((cut) => cutPart(deed, cut)).join('; ')}${pomace}`;
    }
    case 'move': {
      const as = event.as === undefined ? '' : ` as ${cellar.nameOfLot(event.as)}`;
      const using = event.using === undefined ? '' : ` using ${event.using}`;
      return `${PAST[event.verb] ?? event.verb} ${shareNames(deed, event.sources)} to ${arrivals(deed)}${as}${lost(deed)}${using}`;
    }
    case 'top': {
      const volume = deed.movements.reduce(
        (sum, movement) => sum + (movement.kind === 'across' ? movement.volume : 0),
        0,
      );
      return `topped ${shareNames(deed, event.targets)} with ${deed.litres(volume)} from ${shareNames(deed, event.sources)}${lost(deed)}`;
    }
    case 'bottle':
      return `bottled ${shareNames(deed, event.sources)} as ${cellar.nameOfLot(event.as)}: ${nameList(event.bottles.map((one) => `${one.count} bottles of ${deed.bottleSize(one.size)}`))}${lost(deed)}${event.closure === undefined ? '' : `, closed with ${event.closure}`}`;
    case 'found':
      return `found ${[event.parts.length === 0 ? '' : arrivals(deed), ...event.bottles.map((one) => `${one.count} bottles of ${deed.bottleSize(one.size)}`)].filter((part) => part !== '').join(', ')} of ${cellar.nameOfLot(event.as)}`;
    case 'bring':
      return `brought in ${arrivals(deed)} as ${cellar.nameOfLot(event.as)}${event.seller === undefined ? '' : ` from ${event.seller}`}`;
    case 'leave': {
      const volume = deed.movements.reduce((sum, movement) => sum + (movement.kind === 'out' ? movement.volume : 0), 0);
      const things = [
        ...event.bottles.map(
          (one) =>
            `${one.bottles.count} bottles of ${deed.bottleSize(one.bottles.size)} of ${cellar.nameOfLot(one.lot)}`,
        ),
        ...(volume > 0
          ? [`${deed.litres(volume)} of ${shareNames(deed, event.sources)}`]
          : event.how === 'sample'
            ? [shareNames(deed, event.sources)]
            : []),
      ];
      if (event.how === 'dispatch')
        return `dispatched ${nameList(things)} for ${event.why}${event.to === undefined ? '' : ` to ${event.to}`}`;
      if (event.how === 'sample') return `sampled ${nameList(things)} as ${event.sample ?? ''}`;
      return `lost ${nameList(things)}: ${event.why}`;
    }
    case 'add': {
      const verb = event.verb === 'inoculate' ? 'inoculated' : event.verb === 'fine' ? 'fined' : 'added';
      const names = event.additions.map(
        (addition) => `${register.materials[addition.material]?.name ?? ''} ${addition.said}`,
      );
      const to = `${targetNames(deed, event.targets)}${except(deed, event.except)}`;
      return verb === 'added'
        ? `added ${nameList(names)} to ${to}${inAll(deed)}`
        : `${verb} ${to} with ${nameList(names)}${inAll(deed)}`;
    }
    case 'cap': {
      const how = [
        event.times > 1 ? `${event.times} times` : '',
        event.minutes === undefined ? '' : `${event.minutes} min`,
        event.moved === undefined ? '' : deed.litres(event.moved),
        event.aerated && event.verb !== 'rack-and-return' ? 'with air' : '',
      ].filter((part) => part !== '');
      return `${PAST[event.verb] ?? event.verb} ${targetNames(deed, event.targets)}${except(deed, event.except)}${how.length === 0 ? '' : `, ${how.join(', ')}`}`;
    }
    case 'work': {
      if (event.verb === 'note') return event.targets.length === 0 ? '' : `note on ${targetNames(deed, event.targets)}`;
      return `${PAST[event.verb] ?? event.verb} ${targetNames(deed, event.targets)}${except(deed, event.except)}${event.details === '' ? '' : ` ${event.details}`}`;
    }
    case 'reading': {
      const values = event.measures.map((measure) => `${measure.analyte} ${measure.said}`).join(', ');
      const where =
        event.sample === undefined
          ? targetNames(deed, event.targets)
          : `sample ${event.sample} of ${targetNames(deed, event.targets)}`;
      return `read ${where}: ${values}${event.using === undefined ? '' : ` (${event.using})`}`;
    }
    case 'dip':
      return `dipped ${nameList(event.dips.map((one) => `${deed.vesselName(one.vessel)} at ${deed.litres(one.volume.microlitres)}${one.volume.estimate ? ', estimated' : ''}`))}`;
    case 'count':
      return `counted ${nameList([...event.bottles.map((one) => `${one.bottles.count} bottles of ${deed.bottleSize(one.bottles.size)} of ${cellar.nameOfLot(one.lot)}`), ...event.materials.map((one) => `${one.said} of ${register.materials[one.material]?.name ?? ''}`)])}`;
    case 'buy': {
      const from = event.supplier === undefined ? '' : ` from ${event.supplier}`;
      const batch = event.batch === undefined ? '' : `, batch ${event.batch}`;
      const what = event.materials.map(({ material, said }) => {
        const name = register.materials[material]?.name ?? '';
        return said === '' ? name : `${said} of ${name}`;
      });
      return `bought ${nameList(what)}${from}${batch}`;
    }
    case 'naming':
      if (event.how === 'rename') return `renamed ${event.details}`;
      if (event.how === 'retire') return `retired ${targetNames(deed, event.targets)}`;
      return `set ${targetNames(deed, event.targets)} apart${event.as === undefined ? '' : ` as ${cellar.nameOfLot(event.as)}`}`;
    case 'kept':
      return event.details.replace(/\s(--|—)\s.*$/, '');
    case 'day':
      return '';
  }
}

/** What an addition came to in all, where that says more than the line. */
function inAll(deed: Deed): string {
  const sums = new Map<number, number>();
  for (const added of deed.added)
    if (added.micrograms !== undefined) sums.set(added.material, (sums.get(added.material) ?? 0) + added.micrograms);
  if (sums.size === 0) return '';
  return `: ${[...sums.values()].map((sum) => mass(deed, sum)).join(', ')} in all`;
}
