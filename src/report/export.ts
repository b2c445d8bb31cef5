/** The whole derived state of a journal as plain data; `export.schema.json` describes it. */
import { formatDate } from '../../grammar/dates.ts';
import type { Book, Happening, LotRecord, Movement } from '../cellar/book.ts';
import type { Target } from '../journal/events.ts';
import { litresPerTonne } from '../trade/fruit-yield.ts';
import { chemistryJson, fermentsJson } from './chemistry-json.ts';
import { contextOf } from './context.ts';
import { findingJson } from './findings-json.ts';
import { outcomesByFruitLot, sumOutcomes, yieldsOf } from './fruit-outcome.ts';
import { monthVolumes } from './month-volumes.ts';

/** Litres of microlitres: six decimals at most, so that nothing is lost. */
const litres = (microlitres: number): number => microlitres / 1e6;
const kilograms = (micrograms: number): number => micrograms / 1e9;
const grams = (micrograms: number): number => micrograms / 1e6;

/** `2026-09-14T07:00`, in the cellar's own clock. */
export const timestamp = (minute: number): string => new Date(minute * 60_000).toISOString().slice(0, 16);

/** Parts per million of a whole, rounded by largest remainder so that they add up to it. */
function shares(volumes: readonly number[]): number[] {
  const total = volumes.reduce((sum, volume) => sum + volume, 0);
  if (total === 0) return volumes.map(() => 0);
  const exact = volumes.map((volume) => (volume / total) * 1e6);
  const floor = exact.map((share) => Math.floor(share));
  let left = 1e6 - floor.reduce((sum, share) => sum + share, 0);
  const order = exact
    .map((share, i) => [share - Math.floor(share), i] as const)
    .sort((a, b) => b[0] - a[0] || a[1] - b[1]);
  for (const [, i] of order) {
    if (left <= 0) break;
    floor[i] = (floor[i] ?? 0) + 1;
    left--;
  }
  return floor;
}

interface ReadingJson {
  readonly at: string;
  readonly analyte: string;
  readonly value: number;
  readonly mark: string;
  readonly said: string;
  readonly source: { readonly file: string; readonly line: number };
}

export function exportBook(book: Book) {
  const source = (place: { readonly file: number; readonly line: number }) => ({
    file: book.files[place.file]?.path ?? '',
    line: place.line,
  });
  const vesselName = (id: number): string => book.vessels[id]?.facts.name ?? '';
  const lotName = (id: number): string => book.lots[id]?.facts.name ?? '';
  const materialName = (id: number): string => book.materials[id]?.name ?? '';
  const targetName = (target: Target): string =>
    target.kind === 'vessel'
      ? vesselName(target.vessel)
      : target.kind === 'lot'
        ? lotName(target.lot)
        : (book.blocks[target.block]?.name ?? '');

  const origin = (id: number) => {
    const facts = book.origins[id];
    return {
      block: facts?.block ?? null,
      variety: facts?.variety ?? null,
      vintage: facts?.vintage ?? null,
      region: facts?.region ?? null,
      grower: facts?.grower ?? null,
      estate: facts?.estate === true,
      run: facts?.run ?? null,
    };
  };

  const composition = (parts: LotRecord['composition']) => {
    const ppm = shares(parts.map((part) => part.volume));
    return parts.map((part, i) => ({
      ...origin(part.origin),
      litres: litres(part.volume),
      share: (ppm[i] ?? 0) / 1e6,
    }));
  };

  const movement = (happening: Happening, one: Movement) => {
    const base = {
      at: timestamp(happening.event.minute),
      verb: happening.event.verb,
      source: source(happening.event.place),
      litres: litres(one.volume),
    };
    switch (one.kind) {
      case 'in':
        return {
          ...base,
          kind: one.how === 'dip' ? 'dip-gain' : one.how,
          from: null,
          fromLot: null,
          to: vesselName(one.vessel),
          toLot: lotName(one.lot),
        };
      case 'out':
        return {
          ...base,
          kind: one.how === 'dip' ? 'dip-loss' : one.how,
          from: vesselName(one.vessel),
          fromLot: lotName(one.lot),
          to: null,
          toLot: null,
        };
      case 'across':
        return {
          ...base,
          kind: 'moved',
          from: vesselName(one.from),
          fromLot: lotName(one.fromLot),
          to: vesselName(one.to),
          toLot: lotName(one.toLot),
        };
      case 'renamed':
        return {
          ...base,
          kind: one.setApart ? 'set-apart' : 'renamed',
          from: vesselName(one.vessel),
          fromLot: lotName(one.fromLot),
          to: vesselName(one.vessel),
          toLot: lotName(one.toLot),
        };
      case 'bottles':
        return {
          ...base,
          kind: `bottles-${one.how}`,
          from: null,
          fromLot: one.direction === 'out' ? lotName(one.lot) : null,
          to: null,
          toLot: one.direction === 'in' ? lotName(one.lot) : null,
        };
    }
  };

  const lastReadings = new Map<number, ReadingJson[]>();
  const readings: (ReadingJson & { readonly of: readonly string[]; readonly sample?: string })[] = [];
  const capWork = new Map<
    string,
    { vessel: string; day: string; punchDowns: number; pumpOvers: number; rackAndReturns: number }
  >();
  for (const happening of book.happenings) {
    const { event } = happening;
    if (event.kind === 'reading') {
      for (const measure of event.measures) {
        const one = {
          at: timestamp(event.sampled ?? event.minute),
          analyte: measure.analyte,
          value: measure.value,
          mark: measure.mark,
          said: measure.said,
          source: source(event.place),
        };
        readings.push({
          ...one,
          of: event.targets.map(targetName),
          ...(event.sample === undefined ? {} : { sample: event.sample }),
        });
        for (const id of happening.vessels) {
          const known = (lastReadings.get(id) ?? []).filter((other) => other.analyte !== measure.analyte);
          lastReadings.set(id, [...known, one]);
        }
      }
    } else if (event.kind === 'cap') {
      const day = formatDate(Math.floor(event.minute / 1440));
      for (const id of happening.vessels) {
        const key = `${day} ${id}`;
        const row = capWork.get(key) ?? { vessel: vesselName(id), day, punchDowns: 0, pumpOvers: 0, rackAndReturns: 0 };
        if (event.verb === 'punch-down') row.punchDowns += event.times;
        else if (event.verb === 'pump-over') row.pumpOvers += event.times;
        else row.rackAndReturns += event.times;
        capWork.set(key, row);
      }
    }
  }

  const section = (one: {
    start: number;
    in: Readonly<Record<string, number>>;
    out: Readonly<Record<string, number>>;
    end: number;
  }) => {
    const each = (sums: Readonly<Record<string, number>>) =>
      Object.fromEntries(
        Object.keys(sums)
          .sort()
          .map((key) => [key, litres(sums[key] ?? 0)]),
      );
    return { start: litres(one.start), in: each(one.in), out: each(one.out), end: litres(one.end) };
  };

  const ofFruit = outcomesByFruitLot(book);
  const context = contextOf(book);
  return {
    format: 'ullage-export',
    version: 1,
    on: formatDate(book.on),
    cellar: { name: book.settings.name, region: book.settings.region ?? null, law: book.settings.law },
    vessels: book.vessels.map((vessel) => ({
      name: vessel.facts.name,
      kind: vessel.facts.kind,
      capacityLitres: litres(vessel.facts.capacity),
      at: vessel.facts.at ?? null,
      details: vessel.facts.details,
      lot: vessel.lot === undefined ? null : lotName(vessel.lot),
      litres: litres(vessel.content.volume),
      estimated: vessel.estimated,
      doubtful: vessel.doubtful,
      retired: vessel.retired,
      since: vessel.since === undefined ? null : timestamp(vessel.since),
      readings: lastReadings.get(vessel.facts.id) ?? [],
      source: source(vessel.facts.place),
    })),
    lots: book.lots.map((lot) => {
      const { account, fruit } = lot;
      const volume = lot.onHand;
      const { wine } = yieldsOf(sumOutcomes(ofFruit.get(lot.facts.id) ?? []));
      return {
        name: lot.facts.name,
        formerly: lot.facts.formerly,
        stage: lot.stage,
        colour: lot.colour ?? null,
        onHandLitres: litres(volume),
        estimated: lot.estimated,
        vessels: lot.vessels.map(vesselName),
        bottles: lot.bottles.map((one) => ({ count: one.count, sizeLitres: litres(one.size) })),
        account: Object.fromEntries(Object.entries(account).map(([key, value]) => [key, litres(value)])),
        losses: Object.fromEntries(Object.entries(lot.losses).map(([key, value]) => [key, litres(value)])),
        fruit: {
          receivedKilograms: kilograms(fruit.received),
          sortedKilograms: kilograms(fruit.sorted),
          stemsKilograms: kilograms(fruit.stems),
          usedKilograms: kilograms(fruit.used),
          waitingKilograms: kilograms(fruit.waiting),
          pomaceKilograms: kilograms(fruit.pomace),
          litresPerTonne: wine === undefined ? null : Math.round(litresPerTonne(wine)),
        },
        composition: composition(lot.composition),
        additions: lot.additions.map((one) => {
          const all = one.direct + one.carriedIn;
          return {
            material: materialName(one.material),
            unit: one.unit === 'µg' ? 'g' : one.unit === 'µL' ? 'mL' : 'pieces',
            direct: one.unit === 'µg' ? grams(one.direct) : one.unit === 'µL' ? one.direct / 1000 : one.direct,
            carriedIn:
              one.unit === 'µg' ? grams(one.carriedIn) : one.unit === 'µL' ? one.carriedIn / 1000 : one.carriedIn,
            // over all that ever came into the lot
            milligramsPerLitre:
              one.unit === 'µg' && broughtIn(lot) > 0
                ? Math.round((all / 1000 / litres(broughtIn(lot))) * 1000) / 1000
                : null,
          };
        }),
        chemistry: chemistryJson(context, lot),
        from: lot.parents.map((one) => ({ lot: lotName(one.lot), litres: litres(one.volume) })),
        to: lot.children.map((one) => ({ lot: lotName(one.lot), litres: litres(one.volume) })),
        source: source(lot.facts.place),
      };
    }),
    ferments: fermentsJson(context),
    movements: book.happenings.flatMap((happening) => happening.movements.map((one) => movement(happening, one))),
    additions: book.happenings.flatMap((happening) =>
      happening.added.map((added) => ({
        at: timestamp(happening.event.minute),
        vessel: vesselName(added.vessel),
        lot: lotName(added.lot),
        material: materialName(added.material),
        grams: added.micrograms === undefined ? null : grams(added.micrograms),
        millilitres: added.microlitres === undefined ? null : added.microlitres / 1000,
        pieces: added.pieces ?? null,
        intoLitres: litres(added.into),
        brings: added.brings.map((one) => ({ analyte: one.analyte, milligramsPerLitre: one.nanogramsPerLitre / 1e6 })),
        source: source(happening.event.place),
      })),
    ),
    readings,
    capWork: [...capWork.values()],
    months: monthVolumes(book).map((month) => ({
      month: month.month,
      bulk: section(month.bulk),
      bottled: section(month.bottled),
    })),
    findings: book.findings.map((finding) => findingJson(finding, book.files)),
  };
}

/** All that ever came into a lot. */
function broughtIn(lot: LotRecord): number {
  const { account } = lot;
  return account.made + account.bought + account.found + account.blendedIn + account.liquids;
}
