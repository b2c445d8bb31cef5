/** How every name of a journal was first written, for the tidy form. */
import type { Spelling } from '../../grammar/tidy-names.ts';
import { fold } from '../../grammar/words.ts';
import type { SourceFile } from './files.ts';
import { Register } from './names.ts';
import { type Listener, readSequence } from './sequence.ts';

const DEAF: Listener = { event: () => {}, unread: () => {}, report: () => {}, wait: () => {} };

const firstOf = (names: Iterable<string>): Map<string, string> => {
  const first = new Map<string, string>();
  for (const name of names) if (!first.has(fold(name))) first.set(fold(name), name);
  return first;
};

/** Names by the line that gave them, in the order of time: what only a line uses, and none gives, is not known here. */
export function spellingOf(files: readonly SourceFile[]): Spelling {
  const register = new Register();
  readSequence(files, register, DEAF);
  return spellingIn(register);
}

/** As `spellingOf`, from the names a journal has given. */
export function spellingIn(register: Register): Spelling {
  return {
    places: firstOf([
      ...register.vessels.map((vessel) => vessel.name),
      ...register.lots.flatMap((lot) => [...lot.formerly, lot.name]),
      ...register.blocks.map((block) => block.name),
      ...register.samples.map((sample) => sample.name),
    ]),
    materials: firstOf(register.materials.map((material) => material.name)),
    hands: firstOf(register.hands),
    plans: firstOf(register.plans.map((plan) => plan.name)),
  };
}
