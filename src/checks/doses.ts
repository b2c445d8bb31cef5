/** Doses beyond what a cellar uses: a rate in grams a litre typed for grams a hectolitre, a point too far to the right. */
import type { MaterialId } from '../journal/events.ts';
import { forgetful } from './check.ts';

/** The most of one addition, in g/hL, by kind of material (from memory, no source: far above what packages recommend). */
const MOST: Readonly<Record<string, number>> = {
  yeast: 100,
  bacteria: 20,
  nutrient: 100,
  enzyme: 20,
  tannin: 100,
  'fining agent': 250,
  acid: 600,
};

/** The most sulfur dioxide of one addition, in mg/L (from memory, no source). */
const MOST_SO2 = 150;

const rounded = (value: number): string => String(Number(value.toPrecision(3)));

export const doses = forgetful((cellar) => ({
  after(deed) {
    const { event } = deed;
    if (event.kind !== 'add') return;
    const told = new Set<MaterialId>();
    for (const added of deed.added) {
      const facts = cellar.register.materials[added.material];
      if (facts === undefined || told.has(added.material) || added.into <= 0) continue;
      const so2 = (added.brings.find((one) => one.analyte === 'SO2')?.nanogramsPerLitre ?? 0) / 1e6;
      // a microgram a microlitre is 100 kg a hectolitre
      const rate = added.micrograms === undefined ? 0 : (added.micrograms / added.into) * 100;
      const most = MOST[facts.kind];
      const message =
        so2 > MOST_SO2
          ? `${rounded(so2)} mg/L of SO2 at once; more than ${MOST_SO2} mg/L is not usual`
          : most !== undefined && rate > most
            ? `${rounded(rate)} g/hL of ${facts.name}; more than ${most} g/hL of a ${facts.kind} is not usual`
            : undefined;
      if (message === undefined) continue;
      told.add(added.material);
      const dose = event.additions.find((addition) => addition.material === added.material)?.dose;
      deed.say({
        code: 'dose-implausible',
        message: `${cellar.vessel(added.vessel).facts.name} gets ${message}`,
        help:
          dose?.kind === 'rate' && dose.unit === 'g/L'
            ? `a gram a litre is 100 g/hL: was \`${dose.text} g/hL\` meant? If it was so, answer with \`sic\``
            : 'mend the figure or its unit; if it was so, answer with `sic`',
        mark: facts.name,
        vessels: [added.vessel],
      });
    }
  },
}));
