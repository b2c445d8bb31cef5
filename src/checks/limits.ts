/** What a wine holds, or was given in all, above what the chosen law allows: total sulfur dioxide, volatile acidity, materials. */
import { materialOf, unitOf } from '../cellar/content.ts';
import type { Deed } from '../cellar/deed.ts';
import type { Kept, LotId, MaterialId, VesselId } from '../journal/events.ts';
import { type AdditionLimit, limitsOf } from '../trade/rates-of-addition.ts';
import { totalLimits } from '../trade/sulfur-dioxide-dose.ts';
import { volatileAcidityLimit } from '../trade/volatile-acidity.ts';
import { isRefused } from '../trade/worked.ts';
import { remembering } from './check.ts';

const DECIDES = 'the law in force and its authority decide; if the figure is right, answer with `sic`';

/** The body whose limits of additions go with a law: the Union takes those of the OIV's code into its annexes. */
const BODY = { us: 'US', eu: 'OIV' } as const;

/** Weights are whole micrograms: what is right at a limit may stand a hair above it. */
const HAIR = 1e-6;

const rounded = (value: number): string => String(Number(value.toPrecision(4)));

interface Memory {
  /** Sugar last read of a lot, in g/L: sweeter wine may hold more sulfur dioxide. */
  readonly sugar: Map<LotId, number>;
  /** What the house made of materials, as a solution that is added by volume: micrograms of each in a microlitre. */
  readonly made: Map<MaterialId, { readonly material: MaterialId; readonly strength: number }[]>;
}

const fresh = (): Memory => ({ sugar: new Map(), made: new Map() });

export const limits = remembering(fresh, (cellar, { sugar, made }) => {
  const { register } = cellar;
  const known = new Map<MaterialId, readonly AdditionLimit[]>();

  const colourOf = (id: LotId): 'red' | 'white' | 'rosé' => {
    const colour = cellar.colourOf(cellar.lot(id));
    // what nobody named is judged by the wider limit
    return colour ?? 'white';
  };

  function reading(deed: Deed, law: 'us' | 'eu'): void {
    const { event } = deed;
    if (event.kind !== 'reading') return;
    const [lot] = deed.touchedLots.size > 0 ? deed.touchedLots : lotsIn(deed);
    if (lot === undefined || lot < 0) return;
    for (const { analyte, value } of event.measures)
      if (analyte === 'residual sugar' || analyte === 'glucose fructose') sugar.set(lot, value);
    for (const { analyte, value, mark, said } of event.measures) {
      if (mark === '<') continue;
      if (analyte === 'total SO2') {
        const both = totalLimits(colourOf(lot), Math.min(500, sugar.get(lot) ?? 0));
        const limit = isRefused(both) ? undefined : both[law === 'us' ? 0 : 1];
        if (limit !== undefined && value > limit.milligramsPerLitre)
          over(deed, `total SO2 ${said}`, `${limit.milligramsPerLitre} mg/L`, limit.source, said);
      } else if (analyte === 'VA') {
        const limit = volatileAcidityLimit(law, colourOf(lot));
        if (value > limit.gramsPerLitre) over(deed, `volatile acidity ${said}`, limit.printed, limit.source, said);
      }
    }
  }

  function* lotsIn(deed: Deed): Generator<LotId> {
    for (const id of deed.touchedVessels) yield cellar.vessel(id).lot;
  }

  function over(deed: Deed, what: string, most: string, source: string, said: string): void {
    deed.say({
      code: 'limit-passed',
      message: `${what}: ${source} allows ${most}`,
      help: `read it again, by another method too; ${DECIDES}`,
      mark: said.split(' ')[0] ?? '',
      vessels: [...deed.touchedVessels],
    });
  }

  const limitOf = (id: MaterialId, law: 'us' | 'eu'): AdditionLimit | undefined => {
    let found = known.get(id);
    if (found === undefined) {
      const { substance } = register.materials[id] ?? {};
      found = substance === undefined ? [] : limitsOf(substance);
      known.set(id, found);
    }
    return found.find(({ place }) => place === BODY[law]);
  };

  /** Micrograms of a limited substance, under whatever name it was bought, that went into a vessel's wine so far. */
  function held(vessel: VesselId, limit: AdditionLimit, law: 'us' | 'eu'): number {
    const { content } = cellar.vessel(vessel);
    let sum = 0;
    for (const [i, key] of content.materials.entries()) {
      const amount = content.amounts[i] ?? 0;
      if (unitOf(key) === 'µg' && limitOf(materialOf(key), law) === limit) sum += amount;
      if (unitOf(key) !== 'µL') continue;
      for (const { material, strength } of made.get(materialOf(key)) ?? [])
        if (limitOf(material, law) === limit) sum += amount * strength;
    }
    return sum;
  }

  /** What is limited of an addition: the material itself, or one that it was made of. */
  const limitsIn = (id: MaterialId, law: 'us' | 'eu'): AdditionLimit[] =>
    [id, ...(made.get(id) ?? []).map(({ material }) => material)].flatMap((one) => limitOf(one, law) ?? []);

  function prepared(event: Kept): void {
    const { prepared: solution, used = [] } = event;
    if (solution === undefined) return;
    const volume = used.reduce((all, { amount }) => all + (amount?.unit === 'µL' ? amount.amount : 0), 0);
    if (volume === 0) return;
    made.set(
      solution.material,
      used.flatMap(({ material, amount }) =>
        amount?.unit === 'µg' ? [{ material, strength: amount.amount / volume }] : [],
      ),
    );
  }

  function addition(deed: Deed, law: 'us' | 'eu'): void {
    const told = new Set<MaterialId>();
    for (const { material, vessel } of deed.added) {
      if (told.has(material)) continue;
      const { volume } = cellar.vessel(vessel).content;
      if (volume === 0) continue;
      // a microgram a microlitre is a gram a litre
      const rate = (limit: AdditionLimit): number => (held(vessel, limit, law) / volume) * 1000;
      const limit = limitsIn(material, law).find((one) => rate(one) > one.milligramsPerLitre * (1 + HAIR));
      if (limit === undefined) continue;
      const milligramsPerLitre = rate(limit);
      told.add(material);
      const { name = '' } = register.materials[material] ?? {};
      deed.say({
        code: 'limit-passed',
        message: `${cellar.vessel(vessel).facts.name} has had ${rounded(milligramsPerLitre)} mg/L of ${name} in all: ${limit.source} allows ${limit.printed}`,
        help: `counted over the lots it came from; mend the figure, or ${DECIDES}`,
        mark: name,
        vessels: [vessel],
      });
    }
  }

  return {
    after(deed) {
      const { law } = register.settings;
      if (law === 'none') return;
      if (deed.event.kind === 'kept') prepared(deed.event);
      if (deed.event.kind === 'reading') reading(deed, law);
      else if (deed.event.kind === 'add') addition(deed, law);
    },
  };
});
