/** How much sulfur dioxide a wine has had in all, from the fruit on, in a litre of what there is of it. */
import type { LotRecord } from '../cellar/book.ts';
import { type MaterialUnit, materialOf, PIECE, unitOf } from '../cellar/content.ts';
import { broughtPerLitre } from '../cellar/works/additions.ts';
import type { Microlitres } from '../journal/events.ts';
import { type ReportContext, vesselOf } from './context.ts';
import { withUnit } from './figures.ts';

export interface SulfurHad {
  /** Milligrams a litre. */
  readonly perLitre: number;
  /** `104 mg/L` */
  readonly text: string;
  /** What it was brought by. */
  readonly from: readonly string[];
}

interface Carried {
  readonly material: number;
  readonly unit: MaterialUnit;
  readonly amount: number;
}

/**
 * From what the vessels of the lot carry, each material with the sulfur dioxide it brings; of a bottling from what came with
 * the wine that was filled. What bound, blew off or was fined away is not known and not taken off: a reading of total sulfur
 * dioxide says what is left. `undefined` where there is no wine of it, or none was ever added.
 */
export function sulfurHad(context: ReportContext, lot: LotRecord): SulfurHad | undefined {
  const { carried, volume } = lot.facts.bottling ? ofBottling(lot) : ofVessels(context, lot);
  if (volume <= 0) return undefined;
  let nanograms = 0;
  const from = new Set<string>();
  for (const { material, unit, amount } of carried) {
    const facts = context.book.materials[material];
    if (facts === undefined) continue;
    for (const { analyte, nanogramsPerLitre } of broughtPerLitre(facts, { unit, amount }, volume)) {
      if (analyte !== 'SO2' || nanogramsPerLitre === 0) continue;
      nanograms += nanogramsPerLitre;
      from.add(facts.name);
    }
  }
  if (nanograms === 0) return undefined;
  const perLitre = nanograms / 1_000_000;
  return { perLitre, text: withUnit(perLitre.toFixed(0), 'mg/L'), from: [...from] };
}

function ofVessels(context: ReportContext, lot: LotRecord): { carried: Carried[]; volume: Microlitres } {
  const carried: Carried[] = [];
  let volume = 0;
  for (const id of lot.vessels) {
    const content = vesselOf(context, id)?.content;
    if (content === undefined) continue;
    volume += content.volume;
    for (const [index, key] of content.materials.entries()) {
      carried.push({ material: materialOf(key), unit: unitOf(key), amount: content.amounts[index] ?? 0 });
    }
  }
  return { carried, volume };
}

function ofBottling(lot: LotRecord): { carried: Carried[]; volume: Microlitres } {
  return {
    carried: lot.additions.map(({ material, unit, direct, carriedIn }) => ({
      material,
      unit,
      amount: (direct + carriedIn) * (unit === 'pieces' ? PIECE : 1),
    })),
    volume: lot.account.blendedIn + lot.account.found,
  };
}
