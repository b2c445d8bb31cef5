/** A check looks on as a journal is folded and says what is not as it should be. */
import type { Cellar } from '../cellar/cellar.ts';
import type { Onlooker } from '../cellar/fold.ts';

/** One check: made for a fold, told of every event, asked once more at the end. */
export type Check = (cellar: Cellar) => Onlooker;

/** A check without a memory: each event is looked at by itself. */
export function forgetful(look: Check): Check {
  const open: Check = (cellar) => ({ ...look(cellar), copy: open });
  return open;
}

/**
 * A check that remembers. All it remembers is in `memory`, as plain data: maps, sets, lists and plain objects, none of
 * them in two places. So a fold can be paused, and go on from there more than once.
 */
export function remembering<M extends object>(fresh: () => M, look: (cellar: Cellar, memory: M) => Onlooker): Check {
  const open = (cellar: Cellar, memory: M): Onlooker => ({
    ...look(cellar, memory),
    copy: (other) => open(other, copyOf(memory)),
  });
  return (cellar) => open(cellar, fresh());
}

function copyOf<T>(value: T): T {
  if (typeof value !== 'object' || value === null) return value;
  return copyOfObject(value) as T;
}

function copyOfObject(value: object): object {
  if (Array.isArray(value)) return value.map(copyOf);
  if (value instanceof Set) return new Set(value);
  if (value instanceof Map) {
    const copy = new Map<unknown, unknown>();
    for (const [key, one] of value) copy.set(key, copyOf(one));
    return copy;
  }
  const copy: Record<string, unknown> = { ...value };
  for (const key of Object.keys(copy)) {
    const one = copy[key];
    if (typeof one === 'object' && one !== null) copy[key] = copyOfObject(one);
  }
  return copy;
}
