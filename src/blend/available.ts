/** What there is to blend: the wine in each vessel, its figures with their age, and where it grew. */
import { fold } from '../../grammar/words.ts';
import type { Book, VesselRecord } from '../cellar/book.ts';
import { ADDED_LIQUID } from '../cellar/content.ts';
import type { Origin } from '../journal/register.ts';
import { recordOf } from '../report/recorded.ts';
import { byVolume } from './by-volume.ts';

/** A figure of a part. */
export interface PartFigure {
  readonly value: number;
  /** Standard uncertainty, in the same unit. */
  readonly uncertainty: number;
  /** The day it was read; undefined where it was typed for this blend. */
  readonly day: number | undefined;
  readonly said: string;
  /** Parts with figures of one reading are wrong together. */
  readonly reading: string;
  readonly since: readonly string[];
}

export interface Part {
  readonly name: string;
  readonly lot: string;
  /** What the record has in it. */
  readonly litres: number;
  readonly estimated: boolean;
  readonly doubtful: boolean;
  readonly figures: ReadonlyMap<string, PartFigure>;
  /** By origin, in litres; added liquids left out. */
  readonly origins: readonly { readonly origin: Origin; readonly litres: number }[];
}

/** A figure typed for a part, beside the record or instead of it. */
export interface Typed {
  readonly vessels: readonly string[];
  readonly analyte: string;
  readonly value: number;
  readonly said: string;
}

/** Standard uncertainty of a pH meter's reading (common practice, no source). */
const PH_UNCERTAINTY = 0.03;

function figuresOf(book: Book, vessel: VesselRecord, typed: readonly Typed[]): Map<string, PartFigure> {
  const figures = new Map<string, PartFigure>();
  const record = recordOf(book, vessel.facts.name);
  for (const [analyte, recorded] of record?.figures ?? []) {
    const uncertainty = analyte === 'pH' ? PH_UNCERTAINTY : byVolume(analyte)?.uncertainty;
    if (uncertainty === undefined || recorded.place === undefined) continue;
    figures.set(analyte, {
      value: recorded.value,
      uncertainty,
      day: recorded.minute === undefined ? undefined : Math.floor(recorded.minute / 1440),
      said: recorded.said,
      reading: `${recorded.place.file}:${recorded.place.line}`,
      since: recorded.since,
    });
  }
  for (const one of typed) {
    if (!one.vessels.includes(vessel.facts.name)) continue;
    figures.set(one.analyte, {
      value: one.value,
      uncertainty: one.analyte === 'pH' ? PH_UNCERTAINTY : (byVolume(one.analyte)?.uncertainty ?? 0),
      day: undefined,
      said: 'as given',
      reading: one.said,
      since: [],
    });
  }
  return figures;
}

/** The wine in each of these vessels, in their order. */
export function partsOf(book: Book, vessels: readonly string[], typed: readonly Typed[]): Part[] {
  return vessels.flatMap((name) => {
    const vessel = book.vessels.find(({ facts }) => fold(facts.name) === fold(name));
    if (vessel === undefined) return [];
    const { content } = vessel;
    return [
      {
        name: vessel.facts.name,
        lot: vessel.lot === undefined ? '' : (book.lots[vessel.lot]?.facts.name ?? ''),
        litres: content.volume / 1e6,
        estimated: vessel.estimated,
        doubtful: vessel.doubtful,
        figures: figuresOf(book, vessel, typed),
        origins: content.origins.flatMap((id, i) => {
          const origin = id === ADDED_LIQUID ? undefined : book.origins[id];
          return origin === undefined ? [] : [{ origin, litres: (content.volumes[i] ?? 0) / 1e6 }];
        }),
      },
    ];
  });
}

/** Litres of a part that meet a test on their origin, and litres of wine in it at all. */
export function shareIn(part: Part, test: (origin: Origin) => boolean): { of: number; wine: number } {
  let of = 0;
  let wine = 0;
  for (const { origin, litres } of part.origins) {
    wine += litres;
    if (test(origin)) of += litres;
  }
  return { of, wine };
}
