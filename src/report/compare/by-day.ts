/** What lots and vessels held at the end of each day, in two books, and the days on which the books differ. */
import type { Book, LotRecord, LotStage, Movement, VesselRecord } from '../../cellar/book.ts';
import type { DayNumber, LotId, Microlitres, VesselId } from '../../journal/events.ts';
import { dayOf } from '../dates.ts';
import type { Twin } from './same-things.ts';

/** What something held at the end of a day. */
export interface Held {
  readonly volume: Microlitres;
  /** For a lot: what it was. */
  readonly stage?: LotStage;
  /** For a vessel: the lot in it. */
  readonly lot?: string;
}

/** The end of a day, as each book has it. */
export interface DayDifference {
  readonly day: DayNumber;
  readonly before: Held;
  readonly after: Held;
}

/** A change of what is held, and the day it holds from. */
export interface Since {
  readonly day: DayNumber;
  readonly held: Held;
}

const NOTHING: Held = { volume: 0 };

/** Steps in time as one a day, the last of each. */
function lastOfDays(steps: readonly Since[]): Since[] {
  return steps.filter(({ day }, i) => steps[i + 1]?.day !== day);
}

/** What a lot came to at the end of each day on which that changed. */
export function lotSteps(lot: LotRecord): Since[] {
  const moments = [
    ...lot.steps.map(({ minute, volume, happening }) => ({ minute, happening, volume })),
    ...lot.stages.map(({ minute, stage, happening }) => ({ minute, happening, stage })),
  ].sort((a, b) => a.happening - b.happening);
  let held: Held = NOTHING;
  const steps = moments.map((moment): Since => {
    held = {
      volume: 'volume' in moment ? moment.volume : held.volume,
      ...('stage' in moment ? { stage: moment.stage } : held.stage === undefined ? {} : { stage: held.stage }),
    };
    return { day: dayOf(moment.minute), held };
  });
  return lastOfDays(steps);
}

/** What a movement changes in vessels. */
function vesselSides(movement: Movement): { vessel: VesselId; lot: LotId; change: Microlitres }[] {
  const { volume } = movement;
  switch (movement.kind) {
    case 'in':
      return [{ vessel: movement.vessel, lot: movement.lot, change: volume }];
    case 'out':
      return [{ vessel: movement.vessel, lot: movement.lot, change: -volume }];
    case 'across':
      return [
        { vessel: movement.from, lot: movement.fromLot, change: -volume },
        { vessel: movement.to, lot: movement.toLot, change: volume },
      ];
    case 'renamed':
      return [{ vessel: movement.vessel, lot: movement.toLot, change: 0 }];
    case 'bottles':
      return [];
  }
}

/** What every vessel held at the end of each day on which that changed, from the movements of the book. */
export function vesselSteps(book: Book): Since[][] {
  const steps: Since[][] = book.vessels.map(() => []);
  const held = new Map<VesselId, Held>();
  for (const { event, movements } of book.happenings) {
    for (const movement of movements) {
      for (const { vessel, lot, change } of vesselSides(movement)) {
        const volume = (held.get(vessel)?.volume ?? 0) + change;
        const name = book.lots[lot]?.facts.name;
        const now: Held = volume === 0 || name === undefined ? { volume } : { volume, lot: name };
        held.set(vessel, now);
        steps[vessel]?.push({ day: dayOf(event.minute), held: now });
      }
    }
  }
  return steps.map(lastOfDays);
}

const same = (a: Held, b: Held): boolean => a.volume === b.volume && a.stage === b.stage && a.lot === b.lot;

/** The days whose ends differ, of those on which either side changed. */
export function differences(before: readonly Since[], after: readonly Since[]): DayDifference[] {
  const found: DayDifference[] = [];
  let [i, j] = [0, 0];
  let [one, other] = [NOTHING, NOTHING];
  while (i < before.length || j < after.length) {
    const day = Math.min(before[i]?.day ?? Number.POSITIVE_INFINITY, after[j]?.day ?? Number.POSITIVE_INFINITY);
    if (before[i]?.day === day) one = before[i++]?.held ?? one;
    if (after[j]?.day === day) other = after[j++]?.held ?? other;
    if (!same(one, other)) found.push({ day, before: one, after: other });
  }
  return found;
}

/** The days on which a lot's volume or stage differs. */
export const lotDays = ({ before, after }: Twin<LotRecord>): DayDifference[] =>
  differences(before === undefined ? [] : lotSteps(before), after === undefined ? [] : lotSteps(after));

/** The days on which what lies in a vessel differs; lots are told apart by the names they have in the newer book. */
export function vesselDays(
  { before, after }: Twin<VesselRecord>,
  befores: readonly (readonly Since[])[],
  afters: readonly (readonly Since[])[],
  nameAfter: (lot: string) => string,
): DayDifference[] {
  const renamed = (steps: readonly Since[]): Since[] =>
    steps.map(({ day, held }) => ({
      day,
      held: held.lot === undefined ? held : { ...held, lot: nameAfter(held.lot) },
    }));
  return differences(
    renamed(before === undefined ? [] : (befores[before.facts.id] ?? [])),
    after === undefined ? [] : (afters[after.facts.id] ?? []),
  );
}

/** The first day on which the volume itself differs. */
export const firstVolumeDay = (days: readonly DayDifference[]): DayNumber | undefined =>
  days.find(({ before, after }) => before.volume !== after.volume)?.day;
