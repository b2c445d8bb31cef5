/** What a blend will read: figures mixed by volume, how sure they are, how old, and an estimate of its pH. */
import { formatDate } from '../../grammar/dates.ts';
import { nameList } from '../report/names.ts';
import { pHOfBlend } from '../trade/ph-of-blend.ts';
import { isRefused } from '../trade/worked.ts';
import type { Part, PartFigure } from './available.ts';
import { blended } from './bounds-of-blend.ts';
import { BY_VOLUME } from './by-volume.ts';

export interface Foretold {
  readonly analyte: string;
  readonly value: number;
  /** Standard uncertainty, from the readings alone. */
  readonly uncertainty: number;
  readonly places: number;
  /** The day of the oldest reading in it; undefined where all were typed. */
  readonly oldest: number | undefined;
}

export interface ForetoldAll {
  readonly figures: readonly Foretold[];
  /** What some parts have a reading of and others lack. */
  readonly lacking: readonly { readonly analyte: string; readonly parts: readonly string[] }[];
  readonly pH: { readonly value: number; readonly mayBeOff: number } | undefined;
  readonly noPH: string | undefined;
  readonly remarks: readonly string[];
}

interface Used {
  readonly part: Part;
  readonly litres: number;
}

/** Errors of one reading go the same way in all it serves; those of different readings do not. */
function uncertaintyOf(used: readonly Used[], figure: (part: Part) => PartFigure | undefined): number {
  const total = used.reduce((sum, { litres }) => sum + litres, 0);
  const byReading = new Map<string, number>();
  for (const { part, litres } of used) {
    const one = figure(part);
    if (one === undefined) continue;
    byReading.set(one.reading, (byReading.get(one.reading) ?? 0) + (litres / total) * one.uncertainty);
  }
  return Math.sqrt([...byReading.values()].reduce((sum, one) => sum + one * one, 0));
}

/**
 * Figures of the litres drawn. Uncertainty: each reading's own by its share, squared and summed (JCGM 100:2008, 5.1.2); what
 * a reading's own is stands in `BY_VOLUME`.
 */
export function foretellBlend(parts: readonly Part[], litres: readonly number[]): ForetoldAll {
  const used = parts.flatMap((part, i) => ((litres[i] ?? 0) > 0 ? [{ part, litres: litres[i] ?? 0 }] : []));
  const figures: Foretold[] = [];
  const lacking: { analyte: string; parts: string[] }[] = [];
  const remarks: string[] = [];
  for (const { analyte, places, remark } of BY_VOLUME) {
    const figureOf = (part: Part): PartFigure | undefined => part.figures.get(analyte);
    const without = used.filter(({ part }) => figureOf(part) === undefined);
    if (without.length === used.length) continue;
    if (without.length > 0) {
      lacking.push({ analyte, parts: without.map(({ part }) => part.name) });
      continue;
    }
    const days = used.flatMap(({ part }) => figureOf(part)?.day ?? []);
    figures.push({
      analyte,
      value: blended(
        used.map((one) => one.litres),
        (i) => used[i]?.part.figures.get(analyte)?.value ?? 0,
      ),
      uncertainty: uncertaintyOf(used, figureOf),
      places,
      oldest: days.length === 0 ? undefined : Math.min(...days),
    });
    if (remark !== undefined) remarks.push(remark);
  }
  return { figures, lacking, ...acidityOf(used), remarks: [...remarks, ...stale(used, figures)] };
}

function acidityOf(used: readonly Used[]): Pick<ForetoldAll, 'pH' | 'noPH'> {
  // one wine alone has the pH it was read at
  if (used.length < 2) return { pH: undefined, noPH: undefined };
  const without = used.filter(({ part }) => !part.figures.has('pH') || !part.figures.has('TA'));
  if (without.length > 0) {
    const names = nameList(
      without.map(({ part }) => part.name),
      6,
    );
    return { pH: undefined, noPH: `no estimate of pH: pH and TA are not both known of ${names}` };
  }
  const worked = pHOfBlend(
    used.map(({ part, litres }) => ({
      litres,
      pH: part.figures.get('pH')?.value ?? Number.NaN,
      totalAcidity: part.figures.get('TA')?.value ?? Number.NaN,
    })),
  );
  return isRefused(worked)
    ? { pH: undefined, noPH: `no estimate of pH: ${worked.refused}` }
    : { pH: { value: worked.pH, mayBeOff: worked.mayBeOff }, noPH: undefined };
}

/** What was done since the readings that the figures rest on. */
function stale(used: readonly Used[], figures: readonly Foretold[]): string[] {
  const worked = used.flatMap(({ part }) => {
    const done = figures.flatMap(({ analyte }) => part.figures.get(analyte)?.since ?? []);
    return done.length === 0 ? [] : [part.name];
  });
  const oldest = figures.flatMap(({ oldest: day }) => day ?? []).sort((a, b) => a - b)[0];
  return [
    ...(oldest === undefined ? [] : [`the oldest reading is of ${formatDate(oldest)}`]),
    ...(worked.length === 0
      ? []
      : [`since the readings ${nameList(worked, 6)} had additions or were moved: read again before relying on this`]),
  ];
}
