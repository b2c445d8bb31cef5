/** How the house works figures out, where a `method` line says so: molecular sulfur dioxide, and alcohol from sugar. */

import { potentialAlcohol, potentialAlcoholByFactor } from '../trade/must-sugar.ts';
import type { SulfurDioxideMethod } from '../trade/sulfur-dioxide.ts';
import type { Worked } from '../trade/worked.ts';
import type { Settings } from './register.ts';

/** What a house may write for the analytes whose method changes a figure the tool works out. */
const MOLECULAR: Readonly<Record<string, SulfurDioxideMethod>> = { plain: 'plain', oiv: 'oiv' };

/** `16.83 g/L`: sugar a per cent by volume; `0.58`: a factor of degrees Brix. */
const CONVENTION = /^(\d+(?:\.\d+)?)(?: (g\/L))?$/;

export type AlcoholConvention =
  | { readonly kind: 'sugar'; readonly gramsPerPercent: number }
  | { readonly kind: 'factor'; readonly factor: number };

function convention(how: string): AlcoholConvention | undefined {
  const match = CONVENTION.exec(how);
  if (match === null) return undefined;
  const value = Number(match[1]);
  if (match[2] !== undefined)
    return value >= 15.4 && value <= 20 ? { kind: 'sugar', gramsPerPercent: value } : undefined;
  return value >= 0.5 && value <= 0.65 ? { kind: 'factor', factor: value } : undefined;
}

/** What is wrong with a house method, in words; undefined where it is one the tool takes or merely shows. */
export function methodProblem(analyte: string, how: string): { message: string; help: string } | undefined {
  if (analyte === 'molecular SO2' && MOLECULAR[how] === undefined) {
    return {
      message: `\`${how}\` is no method of molecular SO2`,
      help: 'write `method molecular SO2 plain` (the constant 1.81) or `method molecular SO2 oiv` (the tables of OIV-MA-AS323-04C)',
    };
  }
  if (analyte === 'alcohol' && /\d/.test(how) && convention(how) === undefined) {
    return {
      message: `\`${how}\` is no convention for alcohol from sugar`,
      help: 'write the sugar one per cent takes, `method alcohol 16.83 g/L`, or a factor of degrees Brix, `method alcohol 0.58`',
    };
  }
  return undefined;
}

/** The house's method for molecular sulfur dioxide; the plain constant where nothing is said. */
export function molecularMethod(settings: Settings): SulfurDioxideMethod {
  return MOLECULAR[settings.methods.get('molecular SO2') ?? ''] ?? 'plain';
}

/** The convention of the EU and the OIV, where the house has none of its own. */
const USUAL: AlcoholConvention = { kind: 'sugar', gramsPerPercent: 16.83 };

/** The house's convention for alcohol from sugar. */
export function alcoholConvention(settings: Settings): AlcoholConvention {
  return convention(settings.methods.get('alcohol') ?? '') ?? USUAL;
}

/** The convention in words: `16.83 g/L of sugar for 1 % vol`. */
export const sayConvention = (by: AlcoholConvention): string =>
  by.kind === 'sugar' ? `${by.gramsPerPercent} g/L of sugar for 1 % vol` : `${by.factor} % vol for 1 °Bx`;

/** Potential alcohol in % vol by a convention, of a must of so many degrees Brix and so much sugar in g/L. */
export function alcoholBy(by: AlcoholConvention, brix: number, sugarGramsPerLitre: number): Worked {
  return by.kind === 'sugar'
    ? potentialAlcohol(sugarGramsPerLitre, by.gramsPerPercent)
    : potentialAlcoholByFactor(brix, by.factor);
}
