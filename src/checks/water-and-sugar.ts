/** Water and sugar beyond what the chosen law lets go into juice and wine, as far as the record has the figures. */

import type { Added } from '../cellar/book.ts';
import { ADDED_LIQUID, materialOf, unitOf } from '../cellar/content.ts';
import type { Deed } from '../cellar/deed.ts';
import type { LotId, VesselId } from '../journal/events.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import type { MakingRules, Rule } from '../law/rules.ts';
import { sucroseDensity } from '../trade/sucrose.ts';
import { isRefused } from '../trade/worked.ts';
import { remembering } from './check.ts';

const DECIDES = 'the law in force and its authority decide; if the figure is right, answer with `sic`';

/** Half a unit of the last digit a hydrometer shows, in °Brix: what is closer is not told apart. */
const CLOSE = 0.05;

interface Memory {
  /** Fixed acid last read of a lot, in g/L as tartaric: sour juice may have more water and sugar. */
  readonly acid: Map<LotId, number>;
}

const fresh = (): Memory => ({ acid: new Map() });

const tenth = (value: number): string => value.toFixed(1);

/** Kilograms of a juice of so many litres and °Brix; a must of sugar beyond the tables is not reckoned with. */
function kilogramsOf(litres: number, brix: number): number | undefined {
  const density = sucroseDensity(brix, 20);
  return isRefused(density) ? undefined : (litres * density) / 1000;
}

export const waterAndSugar = remembering(fresh, (cellar, { acid }) => {
  const kindOf = (material: number) => cellar.register.materials[material]?.kind;
  const nameOf = (vessel: VesselId): string => cellar.vessel(vessel).facts.name;

  /** Litres of water and sugar that a juice may have for its acid; none where nobody read it. */
  function allowedFor(rules: MakingRules, lot: LotId, litres: number): number {
    const read = acid.get(lot);
    return read === undefined ? 0 : rules.ameliorated.mostLitres(litres, read);
  }

  function say(deed: Deed, vessel: VesselId, material: string, message: string, { section }: Rule): void {
    deed.say({
      code: 'limit-passed',
      message: `${nameOf(vessel)} ${message}: ${section}`,
      help: `mend the figure, or write down the reading it lacks; ${DECIDES}`,
      mark: material,
      vessels: [vessel],
    });
  }

  /** Water that was poured in by itself, against what it leaves of the sugar. */
  function watered(deed: Deed, { vessel, lot, material, microlitres = 0, into }: Added, rules: MakingRules): boolean {
    const { brix } = cellar.vessel(vessel);
    const { stage } = cellar.lot(lot);
    if (brix === undefined || (stage !== 'must' && stage !== 'juice')) return false;
    const [litres, water] = [into / 1e6, microlitres / 1e6];
    const juice = kilogramsOf(litres, brix);
    if (juice === undefined || water <= allowedFor(rules, lot, litres)) return false;
    const after = (brix * juice) / (juice + water * 0.998);
    const least = rules.watered.leastBrix(brix);
    if (after >= least - CLOSE) return false;
    const { name = '' } = cellar.register.materials[material] ?? {};
    say(
      deed,
      vessel,
      name,
      `is brought from ${tenth(brix)} to ${tenth(after)} °Brix by water, and to ease a ferment ${tenth(least)} is the least`,
      rules.watered.rule,
    );
    return true;
  }

  /** Sugar in all, against what it makes of the juice it began as. */
  function sugared(deed: Deed, { vessel, lot, material }: Added, rules: MakingRules): boolean {
    const { content } = cellar.vessel(vessel);
    const { stage, brixMost } = cellar.lot(lot);
    if (brixMost === undefined || stage === 'wine' || stage === 'bottled') return false;
    let sugar = 0;
    for (const [i, key] of content.materials.entries())
      if (unitOf(key) === 'µg' && kindOf(materialOf(key)) === 'sugar') sugar += (content.amounts[i] ?? 0) / 1e9;
    const juice = kilogramsOf(content.volume / 1e6, brixMost);
    if (juice === undefined) return false;
    const after = ((juice * brixMost) / 100 + sugar) / ((juice + sugar) / 100);
    if (after <= rules.sugared.mostBrix + CLOSE) return false;
    const { name = '' } = cellar.register.materials[material] ?? {};
    say(
      deed,
      vessel,
      name,
      `has had ${tenth(sugar)} kg of sugar in all, which makes ${tenth(after)} °Brix of ${tenth(brixMost)}, and ${rules.sugared.mostBrix} is the most`,
      rules.sugared.rule,
    );
    return true;
  }

  /** Water that came with materials, over all the lots the wine came from, in per cent of what is there. */
  function withMaterials(vessel: VesselId): number {
    const { content } = cellar.vessel(vessel);
    const liquid = content.volumes[content.origins.indexOf(ADDED_LIQUID)] ?? 0;
    let other = 0;
    // what is measured by volume and is no solution is told by its own rule, or brings no water
    for (const [i, key] of content.materials.entries())
      if (unitOf(key) === 'µL' && kindOf(materialOf(key)) !== 'solution') other += content.amounts[i] ?? 0;
    return content.volume === 0 ? 0 : (Math.max(0, liquid - other) / content.volume) * 100;
  }

  function addition(deed: Deed, rules: MakingRules): void {
    const told = new Set<number>();
    let solution: Added | undefined;
    for (const one of deed.added) {
      const kind = kindOf(one.material);
      if (kind === 'solution') solution ??= one;
      if (told.has(one.material)) continue;
      if (kind === 'water' ? watered(deed, one, rules) : kind === 'sugar' && sugared(deed, one, rules))
        told.add(one.material);
    }
    const { event } = deed;
    const brought = solution ?? (event.kind === 'add' && event.water !== undefined ? deed.added[0] : undefined);
    if (brought === undefined) return;
    const share = withMaterials(brought.vessel);
    const { mostPercent, rule } = rules.waterWithMaterials;
    if (share <= mostPercent * 1.005) return;
    const { name = '' } = cellar.register.materials[brought.material] ?? {};
    say(
      deed,
      brought.vessel,
      name,
      `has had ${share.toFixed(2)} % of water with materials in all, and ${mostPercent} % is the most`,
      rule,
    );
  }

  return {
    after(deed) {
      const { making } = RULE_SETS[cellar.register.settings.law];
      if (making === undefined) return;
      const { event } = deed;
      if (event.kind === 'add') addition(deed, making);
      else if (event.kind === 'reading') {
        const read = event.measures.find(({ analyte, mark }) => analyte === 'TA' && mark !== '<' && mark !== '>');
        if (read === undefined) return;
        for (const id of deed.touchedLots) if (id >= 0) acid.set(id, read.value);
        for (const id of deed.touchedVessels) {
          const { lot } = cellar.vessel(id);
          if (lot >= 0) acid.set(lot, read.value);
        }
      }
    },
  };
});
