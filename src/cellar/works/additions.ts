/** What is added: amounts and rates worked out from the volume at that moment. */

import { findUnit } from '../../../grammar/units.ts';
import type { Add, Addition, Dose, Micrograms, Microlitres, VesselId } from '../../journal/events.ts';
import type { MaterialFacts } from '../../journal/register.ts';
import { applyRate, formatMass } from '../../trade/convert.ts';
import { mulDivHalfEven, parseDecimal, splitByShares } from '../../trade/decimal.ts';
import { MICROLITRES_PER_LITRE } from '../../trade/volume.ts';
import type { LotState } from '../cellar.ts';
import { addMaterial, type MaterialUnit, materialKey, PIECE } from '../content.ts';
import type { Deed } from '../deed.ts';

/** An amount of a material for one vessel. */
export interface Amount {
  readonly unit: MaterialUnit;
  /** Micrograms, microlitres or thousandths of a piece. */
  readonly amount: number;
}

const PPM = 1_000_000;

/** What a rate asks for in a volume, or in a weight of fruit. */
export function atRate(
  dose: Dose & { kind: 'rate' },
  facts: MaterialFacts,
  into: Microlitres,
  fruit: Micrograms,
): Amount | undefined {
  const written = parseDecimal(dose.text);
  const unit = findUnit(dose.unit);
  if (written === undefined || unit === undefined) return undefined;
  const onFruit = unit.dimension === 'mass per mass' || unit.dimension === 'volume per mass';
  const asked = applyRate(written, unit, onFruit ? fruit : into);
  if (asked === undefined) return undefined;
  if (unit.dimension === 'volume per volume' || unit.dimension === 'volume per mass')
    return { unit: 'µL', amount: asked };
  if (dose.of === undefined) return { unit: 'µg', amount: asked };
  // a rate of what it brings: from the analyte to the material
  const brought = facts.brings.find((one) => one.analyte === dose.of);
  if (brought === undefined || brought.amount <= 0) return undefined;
  switch (brought.per) {
    case 'mass': {
      const amount = mulDivHalfEven(asked, PPM, brought.amount);
      return amount === undefined ? undefined : { unit: 'µg', amount };
    }
    case 'volume': {
      // micrograms over nanograms a litre, in microlitres
      const amount = mulDivHalfEven(asked, 1000 * MICROLITRES_PER_LITRE, brought.amount);
      return amount === undefined ? undefined : { unit: 'µL', amount };
    }
    case 'piece': {
      const amount = mulDivHalfEven(asked, PIECE, brought.amount);
      return amount === undefined ? undefined : { unit: 'pieces', amount };
    }
  }
}

/** Nanograms a litre of an analyte that an amount brings to a volume. */
export function broughtPerLitre(
  facts: MaterialFacts,
  amount: Amount,
  into: Microlitres,
): { analyte: string; nanogramsPerLitre: number }[] {
  if (into <= 0) return [];
  return facts.brings.flatMap((brought) => {
    let nanograms: number;
    if (brought.per === 'mass' && amount.unit === 'µg') nanograms = (amount.amount * brought.amount) / 1000;
    else if (brought.per === 'volume' && amount.unit === 'µL')
      nanograms = (amount.amount / MICROLITRES_PER_LITRE) * brought.amount;
    else if (brought.per === 'piece' && amount.unit === 'pieces')
      nanograms = (amount.amount / PIECE) * brought.amount * 1000;
    else return [];
    return [{ analyte: brought.analyte, nanogramsPerLitre: Math.round(nanograms / (into / MICROLITRES_PER_LITRE)) }];
  });
}

/** The amount for each vessel of an addition. */
function amounts(
  deed: Deed,
  addition: Addition,
  facts: MaterialFacts,
  ids: readonly VesselId[],
  fruit: Micrograms,
): (Amount | undefined)[] {
  const { dose } = addition;
  const held = ids.map((id) => deed.cellar.vessel(id).content.volume);
  switch (dose.kind) {
    case 'rate':
      return held.map((volume) => atRate(dose, facts, volume, fruit));
    case 'mass':
      return share(dose.micrograms, dose.each, held, 'µg');
    case 'volume':
      return share(dose.microlitres, dose.each, held, 'µL');
    case 'count':
      return share(dose.count * PIECE, dose.each, held, 'pieces');
    case 'asked':
      return held.map(() => undefined);
  }
}

const share = (amount: number, each: boolean, held: readonly Microlitres[], unit: MaterialUnit): Amount[] =>
  each ? held.map(() => ({ unit, amount })) : splitByShares(amount, held).map((part) => ({ unit, amount: part }));

export function add(deed: Deed, event: Add): void {
  const except = deed.vesselsOf(event.except);
  const ids = deed.vesselsOf(event.targets, except);
  const filled = ids.filter((id) => deed.cellar.vessel(id).content.volume > 0);
  for (const target of event.targets) {
    if (target.kind !== 'lot') continue;
    const lot = deed.cellar.lot(target.lot);
    deed.touchedLots.add(target.lot);
    if (lot.vessels.size === 0) onFruit(deed, event, lot);
  }
  for (const id of ids) deed.touch(id);
  deed.nothingIn(ids.filter((id) => deed.cellar.vessel(id).content.volume === 0));
  if (filled.length === 0) return;
  for (const addition of event.additions) {
    const facts = deed.cellar.register.materials[addition.material];
    if (facts === undefined) continue;
    if (addition.dose.kind === 'asked') continue;
    if (addition.dose.kind === 'rate' && findUnit(addition.dose.unit)?.dimension === 'mass per mass') {
      deed.say({
        code: 'unit-wrong-kind',
        message: `a rate on the weight of fruit, and ${deed.vesselName(filled[0] ?? 0)} holds must or wine`,
        help: 'write a rate on the volume (`g/hL`), or the amount',
        mark: addition.dose.unit,
        vessels: [],
      });
      continue;
    }
    const each = amounts(deed, addition, facts, filled, 0);
    for (const [i, id] of filled.entries()) {
      const amount = each[i];
      if (amount === undefined) {
        deed.say({
          code: 'substance-unknown',
          message: `how much ${facts.name} that is cannot be worked out`,
          help: 'write the amount of the material itself',
          mark: facts.name,
          vessels: [],
        });
        break;
      }
      into(deed, id, addition, facts, amount);
    }
    checkFigure(deed, addition, facts, filled, each);
  }
  if (event.water !== undefined) {
    const split = splitByShares(
      event.water,
      filled.map((id) => deed.cellar.vessel(id).content.volume),
    );
    for (const [i, id] of filled.entries()) deed.addLiquidTo(id, split[i] ?? 0);
  }
  for (const id of filled) ferments(deed, event, id);
}

function into(deed: Deed, id: VesselId, addition: Addition, facts: MaterialFacts, amount: Amount): void {
  const state = deed.cellar.vessel(id);
  const volume = state.content.volume;
  addMaterial(state.content, materialKey(addition.material, amount.unit), amount.amount);
  deed.direct(deed.cellar.lot(state.lot), addition.material, amount.unit, amount.amount);
  // whatever is measured by volume is a liquid, and adds its own
  if (amount.unit === 'µL') deed.addLiquidTo(id, amount.amount);
  deed.gave({
    vessel: id,
    lot: state.lot,
    material: addition.material,
    into: volume,
    brings: broughtPerLitre(facts, amount, volume),
    ...(amount.unit === 'µg'
      ? { micrograms: amount.amount }
      : amount.unit === 'µL'
        ? { microlitres: amount.amount }
        : { pieces: amount.amount / PIECE }),
  });
}

/** The figure in brackets against what was worked out: 5 % apart is a slip. */
function checkFigure(
  deed: Deed,
  addition: Addition,
  facts: MaterialFacts,
  ids: readonly VesselId[],
  given: readonly (Amount | undefined)[],
): void {
  const { check } = addition;
  if (check === undefined) return;
  const expected = amounts(deed, { ...addition, dose: check }, facts, ids, 0);
  const sum = (all: readonly (Amount | undefined)[]): number =>
    all.reduce((total, one) => total + (one?.amount ?? 0), 0);
  const wanted = sum(expected);
  const is = sum(given);
  if (expected[0]?.unit !== given[0]?.unit || Math.abs(wanted - is) <= Math.max(wanted, is) / 20) return;
  const say = (amount: number): string =>
    given[0]?.unit === 'µg'
      ? formatMass(amount, 'g')
      : given[0]?.unit === 'µL'
        ? deed.litres(amount)
        : `${amount / PIECE}`;
  deed.say({
    code: 'weight-disagrees',
    message: `the figure in brackets asks for ${say(wanted)} of ${facts.name}, and ${say(is)} are written`,
    help: 'mend one of the two',
    mark: facts.name,
    vessels: ids,
  });
}

/** Additions to fruit that waits: they go with its must. */
function onFruit(deed: Deed, event: Add, lot: LotState): void {
  const fruit = deed.cellar.fruitWaiting(lot);
  if (fruit === 0) {
    deed.say({
      code: 'lot-gone',
      message: `nothing of ${lot.facts.name} is there on ${deed.day}`,
      help: 'name the lot or vessel that was meant',
      mark: lot.facts.name,
      lots: [lot.facts.id],
      vessels: [],
    });
    return;
  }
  for (const addition of event.additions) {
    const facts = deed.cellar.register.materials[addition.material];
    if (facts === undefined) continue;
    const { dose } = addition;
    let amount: Amount | undefined;
    if (dose.kind === 'mass') amount = { unit: 'µg', amount: dose.micrograms };
    else if (dose.kind === 'volume') amount = { unit: 'µL', amount: dose.microlitres };
    else if (dose.kind === 'count') amount = { unit: 'pieces', amount: dose.count * PIECE };
    else if (dose.kind === 'rate' && findUnit(dose.unit)?.dimension === 'mass per mass')
      amount = atRate(dose, facts, 0, fruit);
    if (amount === undefined) {
      deed.say({
        code: 'unit-wrong-kind',
        message: `${lot.facts.name} is still fruit, and a rate on its volume says nothing`,
        help: 'write the weight, or a rate on the fruit: `5 g/100 kg`',
        mark: facts.name,
        vessels: [],
        lots: [lot.facts.id],
      });
      continue;
    }
    addMaterial(lot.onFruit, materialKey(addition.material, amount.unit), amount.amount);
    deed.direct(lot, addition.material, amount.unit, amount.amount);
  }
}

/** Yeast begins a ferment. */
function ferments(deed: Deed, event: Add, id: VesselId): void {
  const yeast = event.additions.some((addition) => deed.cellar.register.materials[addition.material]?.kind === 'yeast');
  if (!yeast) return;
  const lot = deed.cellar.lot(deed.cellar.vessel(id).lot);
  lot.yeasted = true;
  if (lot.stage === 'must' || lot.stage === 'juice') lot.stage = 'fermenting';
}
