/** The limits of volatile acidity, as acetic acid. */
import { gramsPerEquivalent } from './acids.ts';

export interface VolatileAcidityLimit {
  readonly where: string;
  readonly gramsPerLitre: number;
  /** As the text prints it. */
  readonly printed: string;
  readonly source: string;
}

const meq = (milliequivalents: number): number => (milliequivalents * gramsPerEquivalent('acetic')) / 1000;

/**
 * The limit of a colour by a law, in g/L as acetic acid.
 *
 * United States: 0.14 g/100 mL in red wine, 0.12 in other, 27 CFR 4.21(a) (0.17 and 0.15 where the juice had 28 °Brix or
 * more and nothing was added: not looked at here). European Union: 20 meq/L in red wine, 18 in white and rosé, Delegated
 * Regulation (EU) 2019/934, Annex I, part C, with exceptions by place. The text in force and the local authority decide.
 */
export function volatileAcidityLimit(law: 'us' | 'eu', colour: 'red' | 'white' | 'rosé'): VolatileAcidityLimit {
  const red = colour === 'red';
  if (law === 'us') {
    return {
      where: 'United States',
      gramsPerLitre: red ? 1.4 : 1.2,
      printed: red ? '0.14 g/100 mL' : '0.12 g/100 mL',
      source: '27 CFR 4.21(a)',
    };
  }
  return {
    where: 'European Union',
    gramsPerLitre: meq(red ? 20 : 18),
    printed: red ? '20 meq/L' : '18 meq/L',
    source: 'Delegated Regulation (EU) 2019/934, Annex I, part C',
  };
}
