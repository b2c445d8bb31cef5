/** A check looks on as a journal is folded and says what is not as it should be. */
import type { Cellar } from '../cellar/cellar.ts';
import type { Say, Watcher } from '../cellar/fold.ts';

/** One check: made for a fold, told of every event, asked once more at the end. */
export type Check = (cellar: Cellar) => Watcher & { end?(say: Say): void };
