/** What a material is: from a substance the tool knows, or from what its line says it brings. */
import type { MaterialKind } from '../../grammar/words.ts';
import type { Substance, SubstanceKind } from '../trade/substances.ts';
import type { MaterialFacts } from './register.ts';

const KIND_OF: Readonly<Record<SubstanceKind, MaterialKind>> = {
  'sulfiting agent': 'sulfite',
  acid: 'acid',
  deacidifier: 'other',
  nutrient: 'nutrient',
  sugar: 'sugar',
  'fining agent': 'fining agent',
  stabiliser: 'other',
  preservative: 'other',
  antioxidant: 'other',
  carbon: 'fining agent',
  tannin: 'tannin',
  oak: 'oak',
  enzyme: 'enzyme',
  yeast: 'yeast',
  bacteria: 'bacteria',
  gas: 'gas',
  water: 'water',
  'cleaning agent': 'cleaner',
};

/** The facts of a material that is a known substance, but for its name. */
export function substanceFacts(substance: Substance): Omit<MaterialFacts, 'id' | 'name'> {
  return {
    kind: KIND_OF[substance.kind],
    substance: substance.name,
    brings: substance.brings.map((brought) => ({
      analyte: brought.analyte,
      per: 'mass' as const,
      amount: brought.partsPerMillion,
    })),
    liquid: substance.form === 'liquid',
    ...(substance.allergen === undefined ? {} : { allergen: substance.allergen }),
    ...(substance.caution === undefined ? {} : { caution: substance.caution }),
  };
}
