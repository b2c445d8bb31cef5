/** What was added to a lot or a vessel: how much in all, how much a litre, and the line that says so. */
import type { Added, Happening, LotRecord } from '../cellar/book.ts';
import type { ReportContext } from './context.ts';
import { dayOf, dayText, isoDay, timeText } from './dates.ts';
import { doseText, volumeText, withUnit } from './figures.ts';
import type { Link } from './links.ts';
import { batchLink } from './materials.ts';
import { nameList } from './names.ts';

export interface AdditionRow {
  readonly day: string;
  readonly iso: string;
  readonly time: string;
  readonly material: Link;
  readonly amount: string;
  readonly rate: string;
  readonly brings: string;
  readonly into: string;
  readonly by: string;
  /** The batch of the material, where the entry names it. */
  readonly batch: Link;
  readonly line: Link;
}

export interface AdditionTotal {
  readonly material: Link;
  readonly direct: string;
  readonly carriedIn: string;
  readonly allergen: string;
}

export interface AdditionsModel {
  readonly rows: readonly AdditionRow[];
  readonly totals: readonly AdditionTotal[];
  /** Whether sulfur dioxide is among them. */
  readonly sulfur: boolean;
}

export function additionsOf(
  context: ReportContext,
  happenings: readonly Happening[],
  belongs: (added: Added) => boolean,
  lot: LotRecord | undefined,
): AdditionsModel {
  const rows = happenings.flatMap((happening) => rowsOf(context, happening, happening.added.filter(belongs)));
  const totals = (lot?.additions ?? []).map(({ material, direct, carriedIn, unit }) => {
    const facts = context.book.materials[material];
    return {
      material: context.links.material(material),
      direct: direct === 0 ? '' : amountText(direct, unit),
      carriedIn: carriedIn === 0 ? '' : amountText(carriedIn, unit),
      allergen: facts?.allergen ?? '',
    };
  });
  return { rows, totals, sulfur: rows.some(({ brings }) => brings.includes('SO2')) };
}

function amountText(amount: number, unit: 'µg' | 'µL' | 'pieces'): string {
  if (unit === 'µg') return doseText(amount);
  return unit === 'µL' ? liquidText(amount) : piecesText(amount);
}

function liquidText(microlitres: number): string {
  return microlitres < 1_000_000
    ? withUnit(trimmed(microlitres / 1000, 1), 'mL')
    : withUnit(trimmed(microlitres / 1_000_000, 3), 'L');
}

function piecesText(pieces: number): string {
  return `${trimmed(pieces, 1)} ${pieces === 1 ? 'piece' : 'pieces'}`;
}

function trimmed(value: number, places: number): string {
  const text = value.toFixed(places);
  return places === 0 ? text : text.replace(/\.?0+$/u, '');
}

/** One row a material: what went into several vessels by one line is told in all. */
function rowsOf(context: ReportContext, { event }: Happening, added: readonly Added[]): AdditionRow[] {
  const byMaterial = new Map<number, Added[]>();
  for (const one of added) {
    const already = byMaterial.get(one.material);
    if (already === undefined) byMaterial.set(one.material, [one]);
    else already.push(one);
  }
  return [...byMaterial].map(([material, parts]) => {
    const sum = (pick: (part: Added) => number | undefined): number | undefined => {
      const values = parts.map(pick).filter((value) => value !== undefined);
      return values.length === 0 ? undefined : values.reduce((total, value) => total + value, 0);
    };
    const micrograms = sum((part) => part.micrograms);
    const microlitres = sum((part) => part.microlitres);
    const pieces = sum((part) => part.pieces);
    const into = sum((part) => part.into) ?? 0;
    const amounts = [
      micrograms === undefined ? '' : doseText(micrograms),
      microlitres === undefined ? '' : liquidText(microlitres),
      pieces === undefined ? '' : piecesText(pieces),
    ].filter((text) => text !== '');
    const vessels = nameList(
      [...new Set(parts.map(({ vessel }) => context.book.vessels[vessel]?.facts.name ?? ''))].filter(
        (name) => name !== '',
      ),
      4,
    );
    return {
      day: dayText(dayOf(event.minute)),
      iso: isoDay(dayOf(event.minute)),
      time: timeText(event.minute),
      material: context.links.material(material),
      amount: amounts.join(', '),
      // Micrograms in microlitres: thousandfold is milligrams a litre.
      rate: micrograms === undefined || into <= 0 ? '' : rateText((micrograms * 1000) / into),
      brings: bringsText(parts, into),
      into: `${volumeText(into, context.settings)}${vessels === '' ? '' : ` in ${vessels}`}`,
      by: event.hands.join(', '),
      batch:
        event.kind === 'add' && event.batch !== undefined ? batchLink(context, material, event.batch) : { text: '' },
      line: context.links.line(event.place),
    };
  });
}

function rateText(milligramsPerLitre: number): string {
  return withUnit(trimmed(milligramsPerLitre, milligramsPerLitre < 10 ? 1 : 0), 'mg/L');
}

/** What the parts bring a litre of all they went into: each weighed by its volume. */
function bringsText(parts: readonly Added[], into: number): string {
  if (into <= 0) return '';
  const brought = new Map<string, number>();
  for (const part of parts) {
    for (const { analyte, nanogramsPerLitre } of part.brings) {
      brought.set(analyte, (brought.get(analyte) ?? 0) + nanogramsPerLitre * part.into);
    }
  }
  return [...brought].map(([analyte, weighed]) => `${rateText(weighed / into / 1_000_000)} ${analyte}`).join(', ');
}
