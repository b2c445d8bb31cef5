/** Texts with a place marked by `¦`, and the study of a journal of one file. */
import { Study } from '../../src/editor/study.ts';
import { CELLAR } from './journals.ts';

export interface Marked {
  readonly study: Study;
  readonly text: string;
  readonly offset: number;
}

/** A journal of one file with a place in it. */
export function marked(text: string): Marked {
  const offset = text.indexOf('¦');
  const whole = text.replace('¦', '');
  return { study: new Study([{ path: 'a.cellar', text: whole }]), text: whole, offset };
}

/** Lines at the end of the small cellar. */
export const atEnd = (lines: string): Marked => marked(`${CELLAR}${lines}\n`);
